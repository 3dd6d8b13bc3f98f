package ifcjson

import (
	"bytes"
	"path"
	"sort"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// has reports whether a node has an attribute that no layer removed.
func (n *node) has(name string) bool {
	a, ok := n.attrs[name]
	return ok && (a.mesh != nil || a.val.Kind() != 'n')
}

// code returns the class code ("IfcWall"), "" when the node has none.
func (n *node) code() string { return n.field(classAttr, "code") }

// field returns a text member of an object attribute.
func (n *node) field(attr, member string) string {
	a, ok := n.attrs[attr]
	if !ok {
		return ""
	}
	for _, m := range members(a.val) {
		if m.name == member && m.val.Kind() == '"' {
			return stringOf(m.val)
		}
	}
	return ""
}

// prop returns a text attribute of the IFC property namespace.
func (n *node) prop(name string) string {
	a, ok := n.attrs["bsi::ifc::prop::"+name]
	if !ok || a.val.Kind() != '"' {
		return ""
	}
	return stringOf(a.val)
}

// predefined is the predefined type: the words that follow the entity in the class code, or
// the property of that name.
func (n *node) predefined(words string) string {
	if words == "" {
		words = n.prop("PredefinedType")
	}
	return strings.ToUpper(words)
}

// transform applies usd::xformop: a 4 x 4 matrix for row vectors, the last row the translation.
func (n *node) transform(parent geom.Mat) geom.Mat {
	a, ok := n.attrs[xformAttr]
	if !ok {
		return parent
	}
	for _, m := range members(a.val) {
		if m.name != "transform" {
			continue
		}
		d := jsontext.NewDecoder(bytes.NewReader(m.val))
		var x [4][4]float64
		i := 0
		err := each(d, func() error {
			k := 0
			err := each(d, func() error {
				v, err := readNumber(d)
				if i < 4 && k < 4 {
					x[i][k] = v
				}
				k++
				return err
			})
			i++
			return err
		})
		if err == nil {
			row := func(i int) geom.Vec3 { return geom.Vec3{X: x[i][0], Y: x[i][1], Z: x[i][2]} }
			return parent.Then(geom.Mat{X: row(0), Y: row(1), Z: row(2), O: row(3)})
		}
	}
	return parent
}

// invisible reports whether the node and what is below it is hidden: the solid of an
// opening, for example.
func (n *node) invisible() bool {
	return n.field(visibilityAttr, "visibility") == "invisible"
}

type member struct {
	name string
	val  jsontext.Value
}

// members lists the members of a JSON object; nil for other values.
func members(v jsontext.Value) []member {
	if v.Kind() != '{' {
		return nil
	}
	d := jsontext.NewDecoder(bytes.NewReader(v))
	var out []member
	if _, err := d.ReadToken(); err != nil {
		return nil
	}
	for d.PeekKind() == '"' {
		t, err := d.ReadToken()
		if err != nil {
			return out
		}
		name := t.String()
		x, err := d.ReadValue()
		if err != nil {
			return out
		}
		out = append(out, member{name, x.Clone()})
	}
	return out
}

// props turns attributes into property sets: the namespace is the set ("bsi::ifc::prop"),
// the last part the property. Geometry, presentation and what is read elsewhere stays out;
// objects give "Outer.Inner" names.
func (n *node) props() model.PropSets {
	sets := model.PropSets{}
	for name, a := range n.attrs {
		if a.mesh != nil || a.val.Kind() == 'n' || strings.HasPrefix(name, "usd::") || strings.Contains(name, "::presentation::") ||
			name == classAttr || name == materialAttr || name == boundaryAttr {
			continue
		}
		set, prop := "", name
		if i := strings.LastIndex(name, "::"); i >= 0 {
			set, prop = name[:i], name[i+2:]
		}
		addProp(sets, set, prop, a.val)
	}
	return sets
}

func addProp(sets model.PropSets, set, name string, v jsontext.Value) {
	if v.Kind() == '{' {
		for _, m := range members(v) {
			addProp(sets, set, name+"."+m.name, m.val)
		}
		return
	}
	p, ok := propValue(v)
	if !ok {
		return
	}
	if sets[set] == nil {
		sets[set] = map[string]model.PropValue{}
	}
	sets[set][name] = p
}

// propValue reads a scalar or a list; numbers are SI, as IFC5 has it.
func propValue(v jsontext.Value) (model.PropValue, bool) {
	switch v.Kind() {
	case '"':
		return model.PropValue{Text: stringOf(v)}, true
	case '0':
		f, err := strconv.ParseFloat(string(v), 64)
		return model.PropValue{Text: string(v), Num: f, IsNum: err == nil}, true
	case 't', 'f':
		b := v.Kind() == 't'
		return model.PropValue{Text: strings.ToUpper(strconv.FormatBool(b)), Bool: &b}, true
	case '[':
		var p model.PropValue
		d := jsontext.NewDecoder(bytes.NewReader(v))
		err := each(d, func() error {
			x, err := d.ReadValue()
			if err != nil {
				return err
			}
			if q, ok := propValue(x); ok {
				if len(p.List) == 0 {
					p.Num, p.IsNum, p.Bool = q.Num, q.IsNum, q.Bool
				}
				p.List = append(p.List, q.Text)
			}
			return nil
		})
		p.Text = strings.Join(p.List, ", ")
		return p, err == nil && len(p.List) > 0
	}
	return model.PropValue{}, false
}

// classes lists the classifications other than the IFC class: attributes like "nlsfb::class"
// with a code.
func (n *node) classes() []model.Classification {
	var out []model.Classification
	for name := range n.attrs {
		system, ok := strings.CutSuffix(name, "::class")
		if !ok || name == classAttr {
			continue
		}
		if code := n.field(name, "code"); code != "" {
			k := model.Classification{System: system, Code: code}
			if last := path.Base(n.field(name, "uri")); last != code && last != "." && last != "/" {
				k.Name = last
			}
			out = append(out, k)
		}
	}
	sort.Slice(out, func(i, j int) bool {
		if out[i].System != out[j].System {
			return out[i].System < out[j].System
		}
		return out[i].Code < out[j].Code
	})
	return out
}
