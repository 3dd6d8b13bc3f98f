package step

import (
	"fmt"
	"slices"
	"strings"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

// resolve finds the entity of every type name that occurs. A name that the file's schema
// does not have is taken from another schema that has it.
func (r *reader) resolve(s *scanner) []*express.Entity {
	kinds := make([]*express.Entity, len(s.names))
	for k, name := range s.names {
		if name[0] == '(' {
			kinds[k] = complexEntity(r.schema, name)
		} else {
			kinds[k] = r.schema.Entity(name)
		}
		if kinds[k] != nil {
			continue
		}
		f := fault{severity: source.Warning, code: "unknown-entity"}
		n := 0
		for p, x := range s.kind {
			if int(x) == k {
				if n++; n == 1 {
					f.off, f.id = int(s.off[p]), uint64(s.ids[p])
				}
			}
		}
		if e := r.schema.Elsewhere(name); e != nil {
			kinds[k], f.entity = e, e.Name
			f.text = fmt.Sprintf("%s has no entity %s; %s read as %s defines it", r.schema.Name, e.Name, instances(n), e.Schema.Name)
		} else {
			kinds[k], f.entity = &express.Entity{Name: name}, name
			f.severity = source.Skipped
			f.text = fmt.Sprintf("no IFC schema known here has an entity %s; %s kept without meaning", name, instances(n))
		}
		f.fix = "check that the header names the schema that the file was written in"
		s.faults = append(s.faults, f)
	}
	return kinds
}

func instances(n int) string {
	if n == 1 {
		return "its one instance is"
	}
	return fmt.Sprintf("its %d instances are", n)
}

// guess returns the schema that knows most of the type names and, among equals, fits the
// number of attributes of most instances; nil when none knows any.
func (s *scanner) guess() *express.Schema {
	var best *express.Schema
	var bestNames, bestFits int
	for _, schema := range express.All() {
		names, fits := 0, 0
		ents := make([]*express.Entity, len(s.names))
		for k, n := range s.names {
			if ents[k] = schema.Entity(n); ents[k] != nil {
				names++
			}
		}
		seen := make([]bool, len(s.names))
		for p, k := range s.kind {
			if e := ents[k]; e != nil && !seen[k] {
				seen[k] = true
				if s.arity(p) == len(e.Attrs) {
					fits++
				}
			}
		}
		if names > bestNames || names == bestNames && fits > bestFits {
			best, bestNames, bestFits = schema, names, fits
		}
	}
	return best
}

// arity counts the attributes of an instance, -1 when it cannot be read.
func (s *scanner) arity(pos int) int {
	p := parser{text: textOf(s.data), pos: int(s.off[pos])}
	if k := strings.IndexByte(p.text[p.pos:], '('); k >= 0 {
		p.pos += k
	}
	l, ok := p.list()
	if !ok {
		return -1
	}
	return len(l)
}

// record reads what follows the = of an instance, up to its semicolon.
func (p *parser) record(e *express.Entity) ([]graph.Value, bool) {
	var vals []graph.Value
	var ok bool
	if p.at('(') {
		vals, ok = p.complex(e)
	} else {
		p.word()
		vals, ok = p.list()
	}
	if !ok {
		return nil, false
	}
	if !p.at(';') {
		return nil, p.fatal("; was expected behind the attributes, found " + p.here())
	}
	return vals, true
}

// word reads an entity name; it is empty when none stands here.
func (p *parser) word() string {
	p.blank()
	start := p.pos
	for p.pos < len(p.text) && isWord(p.text[p.pos]) {
		p.pos++
	}
	return p.text[start:p.pos]
}

// complex reads (A(...)B(...)), the external mapping of ISO 10303-21: one record for the
// entity and one for each supertype, each with its own attributes only. The values come out
// in the order of a plain record, or one typed list a record when e is not the one entity
// that all records are part of.
func (p *parser) complex(e *express.Entity) ([]graph.Value, bool) {
	p.pos++
	var parts []graph.Value
	for !p.at(')') {
		name := p.word()
		if name == "" {
			return nil, p.fatal("an entity name was expected, found " + p.here())
		}
		l, ok := p.list()
		if !ok {
			return nil, false
		}
		parts = append(parts, graph.Value{Kind: graph.Typed, Type: upper(name), List: l})
	}
	p.pos++
	if e.Schema == nil {
		return parts, true
	}
	var vals []graph.Value
	var chain []string
	for x := e; x != nil; x = x.Parent {
		chain = append(chain, strings.ToUpper(x.Name))
	}
	for _, name := range slices.Backward(chain) {
		for _, part := range parts {
			if part.Type == name {
				vals = append(vals, part.List...)
			}
		}
	}
	return vals, true
}

// maxComplex is how many bytes a complex instance may have; no IFC schema needs any.
const maxComplex = 1 << 12

// complexName lists the entities of a complex instance whose parenthesis opens at i, as
// "(A B)": the type name it is indexed under.
func complexName(d []byte, i int) ([]byte, bool) {
	p := parser{text: textOf(d[i:min(len(d), i+maxComplex)])}
	parts, ok := p.complex(&express.Entity{})
	name := []byte("(")
	for k, x := range parts {
		if k > 0 {
			name = append(name, ' ')
		}
		name = append(name, x.Type...)
	}
	name = append(name, ')')
	return name, ok && len(parts) > 0 && len(parts) <= 20
}

// complexEntity returns the entity that all of "(A B C)" are supertypes of, or nil.
func complexEntity(s *express.Schema, name string) *express.Entity {
	names := strings.Fields(name[1 : len(name)-1])
	for _, n := range names {
		e := s.Entity(n)
		if e == nil {
			return nil
		}
		all := true
		for _, o := range names {
			x := s.Entity(o)
			all = all && x != nil && e.Is(x.Name)
		}
		if all {
			return e
		}
	}
	return nil
}
