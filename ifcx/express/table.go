package express

import (
	"strings"
	"sync"
)

var (
	ifc2x3 = sync.OnceValue(func() *Schema { return load("IFC2X3", tableIFC2X3) })
	ifc4   = sync.OnceValue(func() *Schema { return load("IFC4", tableIFC4) })
	ifc4x3 = sync.OnceValue(func() *Schema { return load("IFC4X3", tableIFC4X3) })
)

// All returns every schema there is a table for, oldest first.
func All() []*Schema { return []*Schema{ifc2x3(), ifc4(), ifc4x3()} }

// ForName returns the schema that stands nearest to a schema identifier as written in a
// file ("IFC2X3", "IFC2X3_TC1", "IFC4X2", "IFC4X3_ADD2"), or nil when it is no IFC schema.
// Identifiers may carry an object identifier in braces behind the name.
func ForName(id string) *Schema {
	id = strings.ToUpper(strings.TrimSpace(id))
	if i := strings.IndexAny(id, " {"); i >= 0 {
		id = id[:i]
	}
	switch {
	case strings.HasPrefix(id, "IFC2X"), strings.HasPrefix(id, "IFC20"):
		return ifc2x3()
	case strings.HasPrefix(id, "IFC4X1"), strings.HasPrefix(id, "IFC4X2"):
		return ifc4() // what they added is looked up in IFC4X3
	case strings.HasPrefix(id, "IFC4X"), strings.HasPrefix(id, "IFC4.3"):
		return ifc4x3()
	case strings.HasPrefix(id, "IFC4"):
		return ifc4()
	}
	return nil
}

// Elsewhere returns the entity of an upper-case name from another schema than s, the
// nearest later one first, or nil when none knows it.
func (s *Schema) Elsewhere(upper string) *Entity {
	for _, o := range [...]func() *Schema{ifc4, ifc4x3, ifc2x3} {
		if t := o(); t != s {
			if e := t.Entity(upper); e != nil {
				return e
			}
		}
	}
	return nil
}

// load finds the lines of a generated table. Entities and types are made of them when they
// are asked for: a file has some fifty of the eight hundred.
func load(name, table string) *Schema {
	n := strings.Count(table, "\n")
	s := &Schema{Name: name, lines: make(map[string]string, n), entities: map[string]*Entity{}, types: map[string]*Type{}}
	upper := make([]byte, 0, len(table)/8)
	for line := range strings.Lines(table) {
		_, rest, ok := strings.Cut(line, "\t")
		if !ok {
			continue
		}
		word, _, _ := strings.Cut(rest, "\t")
		from := len(upper)
		for i := range len(word) {
			c := word[i]
			if c >= 'a' && c <= 'z' {
				c -= 'a' - 'A'
			}
			upper = append(upper, c)
		}
		s.lines[string(upper[from:])] = strings.TrimSuffix(line, "\n")
		if line[0] == 'E' {
			s.order = append(s.order, word)
		}
	}
	return s
}

// entity returns the entity of an upper-case name, making it and its supertypes when they
// are not there yet; nil when there is none. The caller holds the lock.
func (s *Schema) entity(upper string) *Entity {
	if e := s.entities[upper]; e != nil {
		return e
	}
	line, ok := s.lines[upper]
	if !ok || line[0] != 'E' {
		return nil
	}
	f := strings.Split(line, "\t")
	e := &Entity{Name: f[1], Abstract: f[3] == "A", Schema: s, Short: short[s.Name][upper]}
	if f[2] != "" {
		e.Parent = s.entity(strings.ToUpper(f[2]))
	}
	e.fill(f)
	s.entities[upper], s.entities[e.Name] = e, e
	return e
}

// typ is entity for defined types.
func (s *Schema) typ(upper string) *Type {
	if t := s.types[upper]; t != nil {
		return t
	}
	line, ok := s.lines[upper]
	if !ok || line[0] == 'E' {
		return nil
	}
	f := strings.Split(line, "\t")
	t := &Type{Name: f[1], Under: f[2]}
	switch f[0] {
	case "N":
		t.Kind, t.Under, t.Items = Enumeration, "", strings.Split(f[2], ",")
	case "S":
		t.Kind, t.Under, t.Items = Select, "", strings.Split(f[2], ",")
	}
	s.types[upper], s.types[t.Name] = t, t
	return t
}

// whole makes every entity.
func (s *Schema) whole() {
	s.once.Do(func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		for _, name := range s.order {
			s.ordered = append(s.ordered, s.entity(strings.ToUpper(name)))
		}
		for _, e := range s.ordered {
			if e.Parent != nil {
				e.Parent.subtypes = append(e.Parent.subtypes, e)
			}
		}
	})
}

// short has the entities that ISO 16739-1:2018 (IFC4 ADD2 TC1) defines with fewer attributes
// than IFC4 ADD2; both write "IFC4" in their files. Their TagList was dropped there and came
// back in IFC4X3.
var short = map[string]map[string]int{"IFC4": {"IFCCARTESIANPOINTLIST2D": 1, "IFCCARTESIANPOINTLIST3D": 1}}

// fill sets the attributes and inverse attributes of e after those of its supertypes.
func (e *Entity) fill(f []string) {
	own, inv := fields(f[4]), fields(f[5])
	if p := e.Parent; p != nil {
		e.Attrs = append(make([]Attr, 0, len(p.Attrs)+len(own)), p.Attrs...)
		e.Inverses = append(make([]Inverse, 0, len(p.Inverses)+len(inv)), p.Inverses...)
	}
	for _, a := range own {
		head, text, _ := strings.Cut(a, ":")
		head, opt := strings.CutSuffix(head, "?")
		if narrowed, ok := strings.CutPrefix(head, "^"); ok {
			if i := e.Index(narrowed); i >= 0 {
				e.Attrs[i].Type, e.Attrs[i].Optional = text, opt
			}
			continue
		}
		e.Attrs = append(e.Attrs, Attr{Name: head, Optional: opt, Type: text})
	}
	for _, a := range inv {
		head, text, _ := strings.Cut(a, ":")
		head, agg := strings.CutSuffix(head, "+")
		from, attr, _ := strings.Cut(text, ".")
		e.Inverses = append(e.Inverses, Inverse{Name: head, Entity: from, Attr: attr, Aggregate: agg})
	}
	for _, d := range fields(f[6]) {
		if i := e.Index(d); i >= 0 {
			e.Attrs[i].Derived = true
		}
	}
}

func fields(s string) []string {
	if s == "" {
		return nil
	}
	return strings.Split(s, ";")
}
