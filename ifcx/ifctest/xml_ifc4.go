package ifctest

import (
	"fmt"
	"strings"
)

// nestedInst is a relation that stands inside an object, in the element of the inverse
// attribute that leads to it; the attribute that names the object is left out there.
type nestedInst struct {
	ref     Ref
	inverse string
	attr    string
}

// nestedIn are the relations that the published example files write inside an object, and
// the attribute that names this object.
var nestedIn = map[string]string{
	"IfcRelAggregates": "RelatingObject", "IfcRelContainedInSpatialStructure": "RelatingStructure",
	"IfcRelVoidsElement": "RelatingBuildingElement", "IfcRelDefinesByProperties": "RelatedObjects",
}

// ifc4 writes the IFC4 dialect: simple attributes as XML attributes, an instance in place
// where it is named first, relations inside the object they relate.
func (x *xmlWriter) ifc4() {
	ns := "http://www.buildingsmart-tech.org/ifcXML/IFC4/Add2"
	if x.schema.Name == "IFC4X3" {
		ns = "https://standards.buildingsmart.org/IFC/RELEASE/IFC4_3"
	}
	x.put(`<ifcXML xmlns="` + ns + `" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">` + "\n<header>\n")
	x.header("")
	x.put("</header>\n")
	x.nest()
	for i := range x.s.insts {
		in := &x.s.insts[i]
		if e := x.entity(in); e.Is("IfcRoot") && !x.inside[in.ref] && !x.begun[in.ref] {
			x.instance(in, e.Name, "", "")
		}
	}
	for i := range x.s.insts { // what nothing names
		in := &x.s.insts[i]
		if !x.begun[in.ref] {
			x.instance(in, x.entity(in).Name, "", "")
		}
	}
	x.put("</ifcXML>\n")
}

// nest finds the objects in which relations are written.
func (x *xmlWriter) nest() {
	x.nested, x.inside = map[Ref][]nestedInst{}, map[Ref]bool{}
	for i := range x.s.insts {
		in := &x.s.insts[i]
		e := x.entity(in)
		attr, ok := nestedIn[e.Name]
		if !ok {
			continue
		}
		var holder Ref
		switch v := in.args[e.Index(attr)].(type) {
		case Ref:
			holder = v
		case []Ref:
			if len(v) != 1 {
				continue
			}
			holder = v[0]
		}
		for _, inv := range x.entity(x.at[holder]).Inverses {
			if inv.Entity == e.Name && inv.Attr == attr {
				x.nested[holder] = append(x.nested[holder], nestedInst{in.ref, inv.Name, attr})
				x.inside[in.ref] = true
				break
			}
		}
	}
}

// instance writes an instance as an element: one of its own name, or the attribute element
// that it is the value of (then with its type, when the schema leaves a choice). The
// attribute named in without is left out.
func (x *xmlWriter) instance(in *stepInst, element, typ, without string) {
	x.begun[in.ref] = true
	e := x.entity(in)
	x.put(fmt.Sprintf(`<%s id="i%d"`, element, in.ref))
	if typ != "" {
		x.put(` xsi:type="` + typ + `"`)
	}
	var later []int
	for k, v := range in.args {
		if absent(v) || e.Attrs[k].Name == without {
			continue
		}
		switch v.(type) {
		case Ref, []Ref, Typed, []any, []string, [][]int:
			later = append(later, k)
		default:
			x.put(" " + e.Attrs[k].Name + `="` + xmlText(v) + `"`)
		}
	}
	nested := x.nested[in.ref]
	if len(later) == 0 && len(nested) == 0 {
		x.put("/>\n")
		return
	}
	x.put(">\n")
	for _, k := range later {
		x.attribute(e.Attrs[k].Name, e.Attrs[k].Type, in.args[k])
	}
	for i := 0; i < len(nested); {
		name := nested[i].inverse
		x.put("<" + name + ">\n")
		for ; i < len(nested) && nested[i].inverse == name; i++ {
			r := x.at[nested[i].ref]
			x.instance(r, x.entity(r).Name, "", nested[i].attr)
		}
		x.put("</" + name + ">\n")
	}
	x.put("</" + element + ">\n")
}

// attribute writes an attribute whose value is no simple text.
func (x *xmlWriter) attribute(name, typ string, v any) {
	switch v := v.(type) {
	case Ref:
		t := x.at[v]
		actual := x.entity(t).Name
		declared := x.schema.Entity(typ)
		switch {
		case declared == nil: // a select: the value says what it is
			x.put("<" + name + ">")
			x.item(v)
			x.put("</" + name + ">\n")
		case x.begun[v]:
			x.put(fmt.Sprintf("<%s xsi:nil=\"true\" href=\"i%d\"/>\n", name, v))
		case actual == declared.Name:
			x.instance(t, name, "", "")
		default:
			x.instance(t, name, actual, "")
		}
	case []Ref:
		x.put("<" + name + ">\n")
		for _, r := range v {
			x.item(r)
		}
		x.put("</" + name + ">\n")
	case Typed:
		x.put("<" + name + ">")
		x.wrapped(v)
		x.put("</" + name + ">\n")
	case []any:
		x.put("<" + name + ">")
		for _, y := range v {
			if t, ok := y.(Typed); ok {
				x.wrapped(t)
			} else {
				x.item(y.(Ref))
			}
		}
		x.put("</" + name + ">\n")
	case []string:
		x.put("<" + name + ">")
		for _, y := range v {
			x.wrapped(Typed{typ[strings.LastIndexByte(typ, ' ')+1:], y})
		}
		x.put("</" + name + ">\n")
	case [][]int:
		x.put("<" + name + ">")
		for _, y := range v {
			x.put("<Seq-IfcPositiveInteger-wrapper>" + xmlText(y) + "</Seq-IfcPositiveInteger-wrapper>")
		}
		x.put("</" + name + ">\n")
	}
}

func (x *xmlWriter) wrapped(v Typed) {
	x.put("<" + v.Type + "-wrapper>" + xmlText(v.Value) + "</" + v.Type + "-wrapper>")
}

// item writes an instance in a list or a select: itself, or a reference to it.
func (x *xmlWriter) item(r Ref) {
	in := x.at[r]
	if name := x.entity(in).Name; x.begun[r] {
		x.put(fmt.Sprintf("<%s xsi:nil=\"true\" href=\"i%d\"/>\n", name, r))
	} else {
		x.instance(in, name, "", "")
	}
}
