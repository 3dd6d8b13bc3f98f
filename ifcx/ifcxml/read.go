// Package ifcxml reads ifcXML into the same instance graph as STEP. One reader serves both
// dialects, since an element says itself what it is:
//
//   - ISO 10303-28 edition 1, used with IFC2X3: an attribute is an element, which holds the
//     value's text or an element named after an entity or a type; references are empty
//     elements with ref.
//   - the IFC4 style: simple attributes are XML attributes, an attribute element may be the
//     instance itself (with xsi:type where the schema leaves a choice), references have
//     href, and relations nest inside the object they relate by its inverse attribute.
//
// The text is read in one pass; nothing is fetched and no entity is expanded.
package ifcxml

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"unsafe"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

// maxNesting bounds how deep elements nest; models nest about 40 deep.
const maxNesting = 500

// Read makes the graph of an ifcXML file. What is wrong inside the file goes to the log; an
// error means that nothing in it can be used, and says what to do.
func Read(f *source.File, log *source.Log) (*graph.Graph, error) {
	f, err := decoded(f, log)
	if err != nil {
		return nil, err
	}
	b := newBuilder(f, log)
	if err := b.run(); err != nil {
		return nil, err
	}
	if len(b.in.IDs) == 0 {
		root := "no element"
		if b.root != "" {
			root = "the outermost element is <" + clip(b.root) + "> and"
		}
		return nil, fmt.Errorf("%s: %s holds no IFC instance; expected <ifcXML> or <iso_10303_28>: export the model as ifcXML", f.Name, root)
	}
	b.finish()
	return graph.New(f, b.schema, b.head, log, b, b.in), nil
}

// Attrs implements graph.Reader. References have been checked, so the graph changes nothing
// in the values.
func (b *builder) Attrs(pos int) ([]graph.Value, []graph.Fault) {
	if v, ok := b.vals[pos]; ok {
		return v, nil
	}
	return graph.ParseRecord(b.record(pos), b.schema), nil
}

// Odd implements graph.PlainReader.
func (b *builder) Odd(pos int) bool {
	_, odd := b.vals[pos]
	return odd
}

// Record implements graph.PlainReader.
func (b *builder) Record(pos int) string { return b.record(pos) }

func (b *builder) record(pos int) string {
	at := int64(b.start4[pos]) * 4
	r := b.records[at/blockSize][at%blockSize:]
	return unsafe.String(&r[0], len(r))
}

// Place implements graph.Reader.
func (b *builder) Place(pos int) (string, int64) {
	label := b.names.ids[b.in.IDs[pos]]
	if again, ok := b.again[pos]; ok {
		label = again
	}
	if label == "" {
		label = "(no id)"
	}
	return label, int64(b.off[pos])
}

// run feeds the elements to the builder. Tags are matched here: the tokens are not.
func (b *builder) run() error {
	d, past := newTokens(b.file.Data), 0
	for {
		b.at = int64(d.pos)
		if d.pos-past > source.Stride {
			b.file.Passed(past, d.pos)
			past = d.pos
		}
		t, err := d.next()
		if err == io.EOF {
			if len(b.stack) > 1 {
				b.broken("the file ends inside <" + clip(b.top().name()) + ">; what is missing is left out")
			}
			return nil
		}
		if err != nil {
			var s *xml.SyntaxError
			text := err.Error()
			if errors.As(err, &s) {
				text = s.Msg
			}
			if len(b.in.IDs) == 0 {
				line, col := b.file.Position(int64(d.pos))
				return fmt.Errorf("%s:%d:%d: not well-formed XML (%s) before any IFC instance; export the model again", b.file.Name, line, col, text)
			}
			b.at = int64(d.pos)
			b.broken("not well-formed XML (" + text + "); what follows is not read")
			return nil
		}
		switch t.kind {
		case startTag:
			if len(b.stack) > maxNesting {
				return fmt.Errorf("%s: elements nest deeper than %d; this is not a building model", b.file.Name, maxNesting)
			}
			b.start(t)
		case endTag:
			if len(b.stack) < 2 || !b.top().named(t.name) {
				b.broken(fmt.Sprintf("</%s> closes no open element; what follows is not read", clip(qualified(t.name))))
				return nil
			}
			b.end()
		case charData:
			if f := b.top(); f.kind == inSlot || f.kind == inValue || f.kind == inList || f.kind == inField {
				f.add(t.text)
			}
		case directive:
			b.log.Add(b.problem(source.Warning, -1, "doctype", "the document type declaration is passed over; entities it defines are not expanded", ""))
		}
	}
}

// broken reports the end of what can be read.
func (b *builder) broken(text string) {
	b.log.Add(b.problem(source.Skipped, -1, "truncated", text, "export or copy the file again"))
}

func qualified(n xml.Name) string {
	if n.Space == "" {
		return n.Local
	}
	return n.Space + ":" + n.Local
}

// builder gathers instances and is then their reader.
type builder struct {
	file   *source.File
	log    *source.Log
	schema *express.Schema
	head   graph.Header
	guess  schemaGuess
	root   string

	in graph.Instances
	// Instances are held as records (graph.AppendRecord) once their element has ended, in
	// blocks that are never moved; vals has those that are still open and those that no plain
	// record can hold.
	records [][]byte
	start4  []uint32 // by position: where the record begins, in units of four bytes
	vals    map[int][]graph.Value
	off     []uint32
	again   map[int]string // by position: XML ids that an earlier instance has
	kinds   map[*express.Entity]uint16
	odd     map[string]*express.Entity // entities that no schema knows, by name
	types   map[string]*typ

	names names
	where []int32 // by number: position, -1 when not defined
	first map[graph.ID]mention
	late  []nested

	stack []frame
	given []xml.Attr // of the tag at hand
	room  []byte     // for the record at hand
	at    int64      // offset of the token at hand
}

// mention is the first use of an XML id that was not defined yet.
type mention struct {
	name string
	off  int64
	pos  int // of the instance that mentions it, -1
}

// nested is a relation found inside an inverse attribute: its attribute names the holder.
type nested struct {
	relation, holder graph.ID
	attr             string
	off              int64
}

func newBuilder(f *source.File, log *source.Log) *builder {
	return &builder{file: f, log: log, kinds: map[*express.Entity]uint16{}, odd: map[string]*express.Entity{},
		types: map[string]*typ{}, vals: map[int][]graph.Value{}, again: map[int]string{}, names: names{ids: []string{""}}, where: []int32{-1}, first: map[graph.ID]mention{},
		stack: []frame{{kind: inContainer}}}
}

func (b *builder) top() *frame { return &b.stack[len(b.stack)-1] }

// add makes an instance. id is its XML id, empty when it has none.
func (b *builder) add(e *express.Entity, id string) int {
	pos := len(b.in.IDs)
	k, ok := b.kinds[e]
	if !ok {
		k = uint16(len(b.in.Kinds))
		b.kinds[e] = k
		b.in.Kinds = append(b.in.Kinds, e)
	}
	n := b.number(id)
	if b.where[n] >= 0 {
		line, _ := b.file.Position(int64(b.off[b.where[n]]))
		b.log.Add(b.problem(source.Warning, int(b.where[n]), "duplicate-id", fmt.Sprintf("the id %q is already used on line %d; references go to the first one", clip(id), line), "export the file again"))
		n = b.number("")
		b.again[pos] = id
	}
	b.where[n] = int32(pos)
	vals := make([]graph.Value, len(e.Attrs))
	for i := range e.Attrs {
		if e.Attrs[i].Derived {
			vals[i].Kind = graph.Derived
		}
	}
	b.in.IDs, b.in.Kind = append(b.in.IDs, n), append(b.in.Kind, k)
	b.vals[pos] = vals
	b.start4, b.off = append(b.start4, 0), append(b.off, uint32(b.at))
	return pos
}

// number returns the instance number of an XML id, a new one when it is not known or empty.
func (b *builder) number(id string) graph.ID {
	if id == "" {
		b.where, b.names.ids = append(b.where, -1), append(b.names.ids, "")
		return graph.ID(len(b.where) - 1)
	}
	n, known := b.names.number(id)
	if !known {
		b.where = append(b.where, -1)
	}
	return n
}

// mentioned returns the reference to an XML id; pos is the instance that holds it.
func (b *builder) mentioned(id string, pos int) graph.Value {
	n := b.number(id)
	if _, ok := b.first[n]; !ok && b.where[n] < 0 {
		b.first[n] = mention{id, b.at, pos}
	}
	return graph.Value{Kind: graph.Ref, Ref: n}
}

// finish sets the attributes that nesting stands for, and takes out references to nothing.
func (b *builder) finish() {
	held := map[graph.ID]map[graph.ID]bool{} // what a relation's list names already
	for _, x := range b.late {
		pos := int(b.where[x.relation])
		if pos < 0 {
			continue // told below
		}
		e := b.in.Kinds[b.in.Kind[pos]]
		i := e.Index(x.attr)
		if i < 0 {
			b.at = x.off
			b.log.Add(b.problem(source.Skipped, pos, "nesting", fmt.Sprintf("%s has no attribute %s to stand for this nesting; the relation is left out", e.Name, x.attr), ""))
			continue
		}
		v, ref := &b.opened(pos)[i], graph.Value{Kind: graph.Ref, Ref: x.holder}
		if b.typeOf(e.Attrs[i].Type).kind != aggregate {
			if v.IsNull() {
				*v = ref
			}
			continue
		}
		if held[x.relation] == nil {
			held[x.relation] = map[graph.ID]bool{}
			for _, r := range v.Refs() {
				held[x.relation][r] = true
			}
		}
		if !held[x.relation][x.holder] {
			held[x.relation][x.holder] = true
			v.Kind, v.List = graph.List, append(v.List, ref)
		}
	}
	for _, x := range b.late {
		if pos := int(b.where[x.relation]); pos >= 0 {
			b.close(pos)
		}
	}
	gone := false
	for n := 1; n < len(b.where); n++ {
		if m, ok := b.first[graph.ID(n)]; ok && b.where[n] < 0 {
			gone = true
			b.at = m.off
			b.log.Add(b.problem(source.Warning, m.pos, "dangling-reference", fmt.Sprintf("%q is not in the file; references to it are left out", clip(m.name)), ""))
		}
	}
	if gone {
		for pos := range b.in.IDs {
			if b.dangles(pos) {
				b.forget(b.opened(pos))
				b.close(pos)
			}
		}
	}
}

func (b *builder) forget(vals []graph.Value) {
	for i := range vals {
		if vals[i].Kind == graph.Ref && b.where[vals[i].Ref] < 0 {
			vals[i] = graph.Value{}
		}
		b.forget(vals[i].List)
	}
}

// problem describes the instance at pos, -1 for none, at the place of the token at hand.
func (b *builder) problem(sev source.Severity, pos int, code, text, fix string) source.Problem {
	p := source.Problem{Severity: sev, File: b.file.Name, Code: code, Text: text, Fix: fix}
	p.Line, p.Col = b.file.Position(b.at)
	if pos < 0 {
		return p
	}
	e := b.in.Kinds[b.in.Kind[pos]]
	p.Entity, _ = b.Place(pos)
	p.EntityType = e.Name
	if e.Is("IfcRoot") {
		vals, _ := b.Attrs(pos)
		p.GlobalID, p.Name = vals[e.Index("GlobalId")].AsString(), vals[e.Index("Name")].AsString()
	}
	return p
}

func clip(s string) string {
	if len(s) > 60 {
		return s[:60] + "..."
	}
	return s
}
