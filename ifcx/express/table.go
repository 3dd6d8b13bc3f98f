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
			if e := t.entities[upper]; e != nil {
				return e
			}
		}
	}
	return nil
}

// load reads a generated table. Supertypes may stand behind their subtypes, so the
// attribute lists are put together afterwards.
func load(name, table string) *Schema {
	n := strings.Count(table, "\nE\t")
	s := &Schema{Name: name, entities: make(map[string]*Entity, n), types: make(map[string]*Type, n/2)}
	rows := make(map[*Entity][]string, n)
	for line := range strings.Lines(table) {
		f := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		switch f[0] {
		case "E":
			e := &Entity{Name: f[1], Abstract: f[3] == "A", Schema: s}
			s.entities[strings.ToUpper(e.Name)] = e
			s.ordered = append(s.ordered, e)
			rows[e] = f
		case "T":
			s.types[strings.ToUpper(f[1])] = &Type{Name: f[1], Under: f[2]}
		case "N":
			s.types[strings.ToUpper(f[1])] = &Type{Name: f[1], Kind: Enumeration, Items: strings.Split(f[2], ",")}
		case "S":
			s.types[strings.ToUpper(f[1])] = &Type{Name: f[1], Kind: Select, Items: strings.Split(f[2], ",")}
		}
	}
	for _, e := range s.ordered {
		if p := rows[e][2]; p != "" {
			e.Parent = s.entities[strings.ToUpper(p)]
			e.Parent.subtypes = append(e.Parent.subtypes, e)
		}
	}
	done := make(map[*Entity]bool, n)
	for _, e := range s.ordered {
		e.fill(rows, done)
	}
	for entity, n := range short[name] {
		s.entities[entity].Short = n
	}
	return s
}

// short has the entities that ISO 16739-1:2018 (IFC4 ADD2 TC1) defines with fewer attributes
// than IFC4 ADD2; both write "IFC4" in their files. Their TagList was dropped there and came
// back in IFC4X3.
var short = map[string]map[string]int{"IFC4": {"IFCCARTESIANPOINTLIST2D": 1, "IFCCARTESIANPOINTLIST3D": 1}}

// fill sets the attributes and inverse attributes of e after those of its supertypes.
func (e *Entity) fill(rows map[*Entity][]string, done map[*Entity]bool) {
	if done[e] {
		return
	}
	done[e] = true
	f := rows[e]
	own, inv := fields(f[4]), fields(f[5])
	if p := e.Parent; p != nil {
		p.fill(rows, done)
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
