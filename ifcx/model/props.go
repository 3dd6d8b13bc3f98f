package model

import (
	"strconv"
	"strings"

	"voidcheck/ifcx/graph"
)

// objectProps reads every property set and quantity set of an object and its type; the
// occurrence's value wins over the type's.
func (c *content) objectProps(id graph.ID) PropSets {
	sets := PropSets{}
	typ := c.rel.typeOf().of(id)
	defs := c.rel.defs()
	for _, d := range c.v.row(typ).refs("HasPropertySets") {
		c.addDefinition(sets, d, false)
	}
	for _, d := range defs.of(typ) {
		c.addDefinition(sets, d, false)
	}
	own := PropSets{}
	for _, d := range defs.of(id) {
		c.addDefinition(own, d, true)
	}
	for s, m := range own {
		if sets[s] == nil {
			sets[s] = m
			continue
		}
		for k, p := range m {
			sets[s][k] = p
		}
	}
	return sets
}

// addDefinition adds one IfcPropertySetDefinition. The first value of a name stays, so that
// two sets of the same name join without depending on the order of instances.
func (c *content) addDefinition(sets PropSets, id graph.ID, occurrence bool) {
	r := c.v.row(id)
	if r.ent == nil {
		return
	}
	name := r.str("Name")
	m := map[string]PropValue{}
	switch {
	case r.ent.Is("IfcPropertySet"):
		for _, p := range r.refs("HasProperties") {
			c.v.addProperty(m, "", p, 0)
		}
	case r.ent.Is("IfcElementQuantity"):
		for _, q := range r.refs("Quantities") {
			c.v.addQuantity(m, "", q, 0)
		}
	default: // IfcDoorLiningProperties and such: attributes instead of properties
		if name == "" {
			name = r.ent.Name
		}
		vals := r.vals()
		for i := 4; i < len(r.ent.Attrs) && i < len(vals); i++ {
			a := r.ent.Attrs[i]
			if p, ok := c.v.propValue(typedAs(vals[i], a.Type), 0); ok {
				m[a.Name] = p
			}
		}
	}
	into := sets[name]
	if into == nil {
		into = map[string]PropValue{}
		sets[name] = into
	}
	for k, p := range m {
		if _, ok := into[k]; !ok {
			into[k] = p
		}
	}
}

// typedAs gives a plain number its measure type, so that it is converted like a property.
func typedAs(v graph.Value, typ string) graph.Value {
	if v.Kind == graph.Integer || v.Kind == graph.Real {
		return graph.Value{Kind: graph.Typed, Type: typ, List: []graph.Value{v}}
	}
	return v
}

// addProperty adds one IfcProperty; complex properties give "Outer.Inner" names.
func (v *view) addProperty(m map[string]PropValue, prefix string, id graph.ID, depth int) {
	r := v.row(id)
	if r.ent == nil || depth > 8 {
		return
	}
	name := prefix + r.str("Name")
	if r.ent.Is("IfcComplexProperty") {
		for _, p := range r.refs("HasProperties") {
			v.addProperty(m, name+".", p, depth+1)
		}
		return
	}
	p, ok := v.property(r)
	if !ok {
		return
	}
	if _, dup := m[name]; !dup {
		m[name] = p
	}
}

// property reads a simple property; false when it has no value.
func (v *view) property(r row) (PropValue, bool) {
	own := r.ref("Unit")
	switch r.ent.Name {
	case "IfcPropertySingleValue":
		return v.propValue(r.get("NominalValue"), own)
	case "IfcPropertyEnumeratedValue":
		return v.listValue(r.get("EnumerationValues"), v.row(r.ref("EnumerationReference")).ref("Unit"))
	case "IfcPropertyListValue":
		return v.listValue(r.get("ListValues"), own)
	case "IfcPropertyTableValue":
		return v.tableValue(r)
	case "IfcPropertyBoundedValue":
		return v.boundedValue(r, own)
	case "IfcPropertyReferenceValue":
		to := v.row(r.ref("PropertyReference"))
		if to.ent == nil {
			return PropValue{}, false
		}
		for _, a := range []string{"Name", "FamilyName", "Identification", "Id", "UsageName"} {
			if s := to.str(a); s != "" {
				return PropValue{Text: s, Measure: to.ent.Name}, true
			}
		}
		return PropValue{Text: to.ent.Name + " " + v.g.Label(to.id), Measure: to.ent.Name}, true
	}
	return PropValue{}, false
}

// propValue reads one value and converts numbers to SI by the property's own unit, else by
// its measure type.
func (v *view) propValue(val graph.Value, own graph.ID) (PropValue, bool) {
	p := PropValue{}
	if val.Kind == graph.Typed {
		p.Measure = val.Type
	}
	switch x := val.Unwrap(); x.Kind {
	case graph.String, graph.Binary:
		p.Text = x.Text
	case graph.Enum:
		p.Text = x.Text
		switch x.Text {
		case "T", "F":
			b := x.Text == "T"
			p.Bool = &b
			p.Text = strings.ToUpper(strconv.FormatBool(b))
		case "U":
			p.Text = "UNKNOWN"
		}
	case graph.Integer, graph.Real:
		p.Text = strconv.FormatFloat(x.Num, 'g', -1, 64)
		p.Num, p.IsNum = v.toSI(x.Num, p.Measure, own), true
	case graph.List:
		return v.listValue(graph.Value{Kind: graph.List, List: x.List}, own)
	case graph.Ref:
		r := v.row(x.Ref)
		if r.ent == nil {
			return p, false
		}
		if p.Text = r.str("Name"); p.Text == "" {
			p.Text = r.ent.Name + " " + v.g.Label(r.id)
		}
	default:
		return p, false
	}
	return p, true
}

func (v *view) toSI(x float64, measure string, own graph.ID) float64 {
	if own != 0 {
		if u, ok := v.unit(own, 0); ok {
			return u.si(x)
		}
	}
	if u, ok := v.units.measure(measure); ok {
		return u.si(x)
	}
	return x
}

// listValue joins list and enumerated values; the number is the first one's.
func (v *view) listValue(val graph.Value, own graph.ID) (PropValue, bool) {
	items := val.Items()
	if len(items) == 0 {
		return PropValue{}, false
	}
	var out PropValue
	for i, x := range items {
		p, ok := v.propValue(x, own)
		if !ok {
			continue
		}
		if i == 0 {
			out = p
			out.List = nil
		}
		out.List = append(out.List, p.Text)
	}
	out.Text = strings.Join(out.List, ", ")
	return out, len(out.List) > 0
}

// tableValue lists "defining = defined" pairs.
func (v *view) tableValue(r row) (PropValue, bool) {
	a, b := r.get("DefiningValues").Items(), r.get("DefinedValues").Items()
	var p PropValue
	for i := range min(len(a), len(b)) {
		x, ok := v.propValue(a[i], r.ref("DefiningUnit"))
		y, ok2 := v.propValue(b[i], r.ref("DefinedUnit"))
		if ok && ok2 {
			p.List = append(p.List, x.Text+" = "+y.Text)
		}
	}
	p.Text = strings.Join(p.List, ", ")
	return p, len(p.List) > 0
}

// boundedValue reads the set point when there is one; the bounds are kept in Lower and Upper.
func (v *view) boundedValue(r row, own graph.ID) (PropValue, bool) {
	lo, okLo := v.propValue(r.get("LowerBoundValue"), own)
	hi, okHi := v.propValue(r.get("UpperBoundValue"), own)
	set, okSet := v.propValue(r.get("SetPointValue"), own)
	var p PropValue
	switch {
	case okSet:
		p = set
	case okLo:
		p.Measure = lo.Measure
	case okHi:
		p.Measure = hi.Measure
	default:
		return p, false
	}
	if okLo && lo.IsNum {
		p.Lower = &lo.Num
	}
	if okHi && hi.IsNum {
		p.Upper = &hi.Num
	}
	if !okSet {
		p.Text = lo.Text + " .. " + hi.Text
		if okLo && okHi && lo.Num == hi.Num {
			p.Num, p.IsNum, p.Text = lo.Num, lo.IsNum, lo.Text
		}
	}
	return p, true
}

// addQuantity adds one IfcPhysicalQuantity; complex ones give "Outer.Inner" names.
func (v *view) addQuantity(m map[string]PropValue, prefix string, id graph.ID, depth int) {
	r := v.row(id)
	if r.ent == nil || depth > 8 {
		return
	}
	name := prefix + r.str("Name")
	if r.ent.Is("IfcPhysicalComplexQuantity") {
		for _, q := range r.refs("HasQuantities") {
			v.addQuantity(m, name+".", q, depth+1)
		}
		return
	}
	vals := r.vals()
	for i, a := range r.ent.Attrs {
		if !strings.HasSuffix(a.Name, "Value") || i >= len(vals) {
			continue
		}
		if x, ok := vals[i].AsFloat(); ok {
			p := PropValue{Text: strconv.FormatFloat(x, 'g', -1, 64), Num: v.toSI(x, a.Type, r.ref("Unit")), IsNum: true, Measure: a.Type}
			if _, dup := m[name]; !dup {
				m[name] = p
			}
			return
		}
	}
}
