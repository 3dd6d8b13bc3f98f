package ifcxml

import (
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

// place says what an open element is.
type place uint8

const (
	inContainer place = iota // holds instances: the root, uos, and elements that nobody knows
	inInstance
	inSlot   // an attribute of an instance
	inValue  // a simple value in a slot: <IfcLabel>, <exp:double-wrapper>
	inList   // a list inside a list
	inHeader // the file's header
	inField  // a field of the header
	inSkip   // content that has been dealt with: references, nil
)

// frame is one open element.
type frame struct {
	kind   place
	tag    xml.Name
	inst   int // the instance that this element is: inInstance, or a slot that is one itself; else -1
	holder int // slot, value, list: the instance that the value is for
	attr   int // slot: index of the explicit attribute, -1 for an inverse one
	inv    *express.Inverse
	typ    *typ
	typed  string // value: the type to wrap it in, "" for none
	vals   []graph.Value
	order  [][2]int // places of vals where the file gives them
	sizes  []int
	text   string // the first piece
	more   []byte // what comments and CDATA part from it
	pos    [2]int // this element's own place in its parent
}

// name returns the element's name with its prefix.
func (f *frame) name() string { return qualified(f.tag) }

// add takes in a piece of text. What stands between the elements of a list is nothing.
func (f *frame) add(text string) {
	switch {
	case len(f.vals) > 0 || f.inst >= 0:
	case f.text == "":
		f.text = text
	default:
		f.more = append(f.more, text...)
	}
}

// words returns the text of the element.
func (f *frame) words() string {
	if len(f.more) == 0 {
		return f.text
	}
	return f.text + string(f.more)
}

// named reports whether an end tag is that of the element.
func (f *frame) named(n xml.Name) bool { return f.tag == n }

// tag is what the attributes of an element say besides values.
type tag struct {
	local       string
	id, ref, xt string // id, ref or href, xsi:type
	null        bool
	sizes       []int
	pos         [2]int
	attrs       []xml.Attr // values
}

func (b *builder) readTag(t token) tag {
	x := tag{local: t.name.Local, pos: [2]int{-1, -1}, attrs: b.given[:0]}
	defer func() { b.given = x.attrs }()
	for _, a := range t.attrs {
		switch {
		case a.Name.Space == "xmlns" || a.Name.Local == "xmlns" && a.Name.Space == "" || a.Name.Space == "xml":
		case a.Name.Local == "nil" && a.Name.Space != "":
			x.null = a.Value == "true" || a.Value == "1"
		case a.Name.Local == "type" && a.Name.Space != "":
			x.xt = a.Value[strings.LastIndexByte(a.Value, ':')+1:]
		case a.Name.Local == "ref" || a.Name.Local == "href":
			x.ref = strings.TrimPrefix(a.Value, "#")
		case a.Name.Local == "id":
			x.id = a.Value
		case a.Name.Local == "pos":
			for i, w := range strings.Fields(a.Value) {
				if n, err := strconv.Atoi(w); err == nil && i < 2 {
					x.pos[i] = n
				}
			}
		case a.Name.Local == "arraySize":
			for w := range strings.FieldsSeq(a.Value) {
				n, _ := strconv.Atoi(w)
				x.sizes = append(x.sizes, n)
			}
		case a.Name.Local == "cType" || a.Name.Local == "itemType" || a.Name.Local == "path" || a.Name.Space == "xsi" || a.Name.Space == "exp":
		default:
			x.attrs = append(x.attrs, a)
		}
	}
	return x
}

// start opens an element.
func (b *builder) start(t token) {
	top := b.top()
	f := frame{tag: t.name, inst: -1, attr: -1, holder: top.holder}
	if len(b.stack) == 1 && b.root == "" {
		b.root = qualified(t.name)
	}
	x := b.readTag(t)
	f.pos = x.pos
	switch {
	case top.kind == inSkip:
		f.kind = inSkip
	case top.kind == inHeader || top.kind == inField:
		f.kind = inField
	case top.kind == inContainer:
		b.startOutside(&f, t, x)
	case top.inst >= 0:
		b.startAttr(&f, top.inst, x)
	default:
		b.startItem(&f, top, x)
	}
	b.stack = append(b.stack, f)
}

// startOutside handles elements that are no part of an instance.
func (b *builder) startOutside(f *frame, t token, x tag) {
	f.kind = inContainer
	switch x.local {
	case "header", "iso_10303_28_header":
		f.kind = inHeader
		return
	}
	if !strings.HasPrefix(x.local, "Ifc") {
		if b.schema == nil {
			b.guess.look(t)
		}
		return
	}
	b.settleSchema()
	if x.ref != "" || x.null {
		f.kind = inSkip // a list of references, as in views; it says nothing by itself
		return
	}
	b.open(f, b.entity(x.local), x)
}

// entity finds an entity by name, in another schema when the file's own does not have it;
// one that no schema has is made up, so that what it holds is still read.
func (b *builder) entity(name string) *express.Entity {
	if e := b.schema.Entity(name); e != nil {
		return e
	}
	if e := b.odd[name]; e != nil {
		return e
	}
	if e := b.schema.Elsewhere(strings.ToUpper(name)); e != nil {
		b.log.Add(b.problem(source.Warning, -1, "unknown-entity", fmt.Sprintf("%s has no entity %s; it is read as %s defines it", b.schema.Name, e.Name, e.Schema.Name), ""))
		b.odd[name] = e
		return e
	}
	b.log.Add(b.problem(source.Skipped, -1, "unknown-entity", fmt.Sprintf("no IFC schema known here has an entity %s; such instances are kept without meaning", clip(name)), ""))
	if len(b.odd) > 1000 { // no file has that many by mistake
		name = "unknown"
	}
	if b.odd[name] == nil {
		b.odd[name] = &express.Entity{Name: name}
	}
	return b.odd[name]
}

// open makes the element an instance and reads its XML attributes.
func (b *builder) open(f *frame, e *express.Entity, x tag) {
	f.kind, f.inst = inInstance, b.add(e, x.id)
	b.xmlAttrs(f.inst, e, x)
}

func (b *builder) xmlAttrs(pos int, e *express.Entity, x tag) {
	for _, a := range x.attrs {
		i := e.Index(a.Name.Local)
		if i < 0 {
			if e.Schema != nil {
				b.log.Add(b.problem(source.Skipped, pos, "unknown-attribute", fmt.Sprintf("%s has no attribute %s; it is left out", e.Name, clip(a.Name.Local)), ""))
			}
			continue
		}
		b.opened(pos)[i] = b.value(b.typeOf(e.Attrs[i].Type), a.Value, pos, x.sizes)
	}
}

// startAttr opens an attribute of the instance at pos.
func (b *builder) startAttr(f *frame, pos int, x tag) {
	e := b.in.Kinds[b.in.Kind[pos]]
	f.kind, f.holder, f.attr, f.sizes = inSlot, pos, e.Index(x.local), x.sizes
	switch {
	case f.attr >= 0:
		f.typ = b.typeOf(e.Attrs[f.attr].Type)
	case e.Inverse(x.local) != nil:
		f.inv = e.Inverse(x.local)
		f.typ = b.typeOf("SET [0:?] OF " + f.inv.Entity)
	default:
		if e.Schema != nil {
			b.log.Add(b.problem(source.Skipped, pos, "unknown-attribute", fmt.Sprintf("%s has no attribute %s; it is left out", e.Name, clip(x.local)), ""))
		}
		f.kind = inContainer // instances in it may be named from elsewhere
		return
	}
	item := f.typ
	if item.kind == aggregate {
		item = item.elem
	}
	switch {
	case x.ref != "":
		f.vals = append(f.vals, b.mentioned(x.ref, pos))
		f.kind = inSlot
		f.typed = "ref"
	case x.null:
		f.kind = inSkip
	case x.xt != "" && b.schema.Type(x.xt) != nil && b.schema.Entity(x.xt) == nil:
		f.typ = b.typeOf(b.schema.Type(x.xt).Name)
		f.typed = f.typ.name
	case x.xt != "" && (item.kind == entity || item.kind == choice):
		b.itself(f, b.entity(x.xt), x)
	case item.kind == entity && (x.id != "" || len(x.attrs) > 0):
		b.itself(f, item.ent, x)
	}
}

// itself makes an attribute element the instance that it refers to.
func (b *builder) itself(f *frame, e *express.Entity, x tag) {
	if e.Abstract {
		b.log.Add(b.problem(source.Warning, f.holder, "no-type", fmt.Sprintf("%s is abstract and no xsi:type says what the instance is", e.Name), ""))
	}
	f.inst = b.add(e, x.id)
	f.vals = append(f.vals, graph.Value{Kind: graph.Ref, Ref: b.in.IDs[f.inst]})
	b.xmlAttrs(f.inst, e, x)
}

// startItem opens what stands inside an attribute, a value or a list.
func (b *builder) startItem(f *frame, top *frame, x tag) {
	item := top.typ
	if item.kind == aggregate {
		item = item.elem
	}
	name, wrapped := strings.CutSuffix(x.local, "-wrapper")
	f.typ = item
	switch {
	case top.typed == "ref":
		f.kind = inSkip
	case strings.HasPrefix(name, "Seq-") || strings.HasPrefix(name, "List-") || strings.HasPrefix(name, "Set-"):
		f.kind, f.sizes = inList, x.sizes
	case b.schema.Entity(name) != nil || len(name) > 3 && strings.HasPrefix(name, "Ifc") && b.schema.Type(name) == nil:
		switch {
		case x.ref != "":
			top.take(b.mentioned(x.ref, top.holder), x.pos)
			f.kind = inSkip
		case x.null:
			f.kind = inSkip
		default:
			b.open(f, b.entity(name), x)
			top.take(graph.Value{Kind: graph.Ref, Ref: b.in.IDs[f.inst]}, x.pos)
		}
	case x.ref != "" && item.kind == entity && top.kind == inSlot && len(top.vals) == 0 && item.ent.Index(x.local) >= 0:
		b.itself(top, item.ent, tag{}) // an attribute of an instance without id, and its value is a reference
		b.startAttr(f, top.inst, x)
	case x.null && x.ref != "" && b.schema.Type(name) == nil: // a reference under a name that no entity has
		b.log.Add(b.problem(source.Skipped, top.holder, "unknown-element", fmt.Sprintf("<%s> was not expected in %s; the reference to %q is left out", clip(x.local), clip(top.name()), clip(x.ref)), "export the file again"))
		f.kind = inSkip
	case x.null:
		f.kind = inSkip
		top.take(graph.Value{}, x.pos)
	case b.schema.Type(name) != nil:
		f.kind = inValue
		t := b.typeOf(b.schema.Type(name).Name)
		if item.kind == choice || item.kind == unknown || item.kind == entity {
			f.typ, f.typed = t, t.name
		}
		f.sizes = x.sizes
	case wrapped || simple[name] != "":
		f.kind = inValue
		if item.kind == choice || item.kind == unknown || item.kind == entity {
			f.typ = b.typeOf(simple[name])
		}
	case item.kind == entity && top.kind == inSlot && len(top.vals) == 0:
		b.itself(top, item.ent, tag{})
		b.startAttr(f, top.inst, x)
	default:
		b.log.Add(b.problem(source.Skipped, top.holder, "unknown-element", fmt.Sprintf("<%s> was not expected in %s; it is left out", clip(x.local), clip(top.name())), ""))
		f.kind = inContainer
	}
}

// simple are the elements of ISO 10303-28 for values of the basic types.
var simple = map[string]string{"double": "REAL", "decimal": "REAL", "real": "REAL", "integer": "INTEGER", "long": "INTEGER", "number": "NUMBER",
	"string": "STRING", "boolean": "BOOLEAN", "logical": "LOGICAL", "hexBinary": "BINARY", "base64Binary": "BINARY"}

// take adds a value to a slot or list.
func (f *frame) take(v graph.Value, pos [2]int) {
	f.vals = append(f.vals, v)
	f.order = append(f.order, pos)
}

// end closes the innermost element.
func (b *builder) end() {
	f := b.stack[len(b.stack)-1]
	b.stack = b.stack[:len(b.stack)-1]
	up := b.top()
	if f.inst >= 0 {
		defer b.close(f.inst)
	}
	switch f.kind {
	case inField:
		b.headerField(f.name(), strings.TrimSpace(f.words()))
	case inList:
		v := graph.Value{Kind: graph.List, List: f.sorted()}
		if len(f.vals) == 0 && f.typ.kind == aggregate { // numbers stand in it as text
			v = b.value(f.typ, f.words(), f.holder, f.sizes)
		}
		up.take(v, f.pos)
	case inValue:
		v := b.content(&f)
		if f.typed != "" {
			v = graph.Value{Kind: graph.Typed, Type: f.typed, List: []graph.Value{v}}
		}
		up.take(v, f.pos)
	case inSlot:
		b.endSlot(&f)
	}
}

// content is what a value or slot holds: the elements in it, or its text.
func (b *builder) content(f *frame) graph.Value {
	if len(f.vals) == 0 {
		return b.value(f.typ, f.words(), f.holder, f.sizes)
	}
	if f.typ.kind == aggregate {
		return graph.Value{Kind: graph.List, List: f.sorted()}
	}
	if len(f.vals) > 1 {
		b.log.Add(b.problem(source.Skipped, f.holder, "several-values", fmt.Sprintf("%s holds %d values where 1 was expected; the first is kept", clip(f.name()), len(f.vals)), ""))
	}
	return f.vals[0]
}

func (b *builder) endSlot(f *frame) {
	if f.inv != nil {
		for _, v := range f.vals {
			if v.Kind == graph.Ref {
				b.late = append(b.late, nested{v.Ref, b.in.IDs[f.holder], f.inv.Attr, b.at})
			}
		}
		return
	}
	v := b.content(f)
	if f.typed != "" && f.typed != "ref" {
		v = graph.Value{Kind: graph.Typed, Type: f.typed, List: []graph.Value{v}}
	}
	b.opened(f.holder)[f.attr] = v
}
