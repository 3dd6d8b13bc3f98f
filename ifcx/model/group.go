package model

import (
	"cmp"
	"slices"
)

// Group is the elements of a building that are alike in what an overview asks for.
type Group struct {
	Sort
	N int
}

// Sort is what the elements of a group have in common.
type Sort struct {
	Entity string
	// Predefined is given for slabs, coverings and assemblies and empty for all others.
	Predefined string
	Layered    bool // has two material layers or more; of walls and slabs
	HasParts   bool // of walls and slabs
	PartOfWall bool // of walls
	is         func(entity string) bool
}

// Is reports whether the elements are of the named entity or a subtype of it.
func (g Group) Is(entity string) bool { return g.is(entity) }

// sortKey is a Sort that can be compared.
type sortKey struct {
	entity, predefined        string
	layered, parts, inAnother bool
}

// tally collects groups.
type tally map[sortKey]*Group

func (t tally) add(s Sort, n int) {
	k := sortKey{s.Entity, s.Predefined, s.Layered, s.HasParts, s.PartOfWall}
	if g := t[k]; g != nil {
		g.N += n
		return
	}
	t[k] = &Group{Sort: s, N: n}
}

// groups returns what was collected in a steady order.
func (t tally) groups() []Group {
	out := make([]Group, 0, len(t))
	for _, g := range t {
		out = append(out, *g)
	}
	slices.SortFunc(out, func(a, b Group) int {
		return cmp.Or(cmp.Compare(a.Entity, b.Entity), cmp.Compare(a.Predefined, b.Predefined),
			before01(a.Layered, b.Layered), before01(a.HasParts, b.HasParts), before01(a.PartOfWall, b.PartOfWall))
	})
	return out
}

// before01 orders false before true.
func before01(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

// asksPredefined reports whether the predefined type of an element tells groups apart.
func asksPredefined(is func(string) bool) bool {
	return is("IfcSlab") || is("IfcCovering") || is("IfcElementAssembly")
}

// asksBuildUp reports whether layers and parts of an element tell groups apart.
func asksBuildUp(is func(string) bool) bool { return is("IfcWall") || is("IfcSlab") }

// sortOf returns the sort of an element that has been made.
func sortOf(e *Element) Sort {
	s := Sort{Entity: e.Entity, is: e.Is}
	if asksPredefined(e.Is) {
		s.Predefined = e.Predefined
	}
	if asksBuildUp(e.Is) {
		s.Layered = e.Layers != nil && len(e.Layers.Layers) > 1
		s.HasParts = len(e.Parts) > 0
		s.PartOfWall = e.Is("IfcWall") && e.Whole != nil && e.Whole.Is("IfcWall")
	}
	return s
}

// Groups counts the elements, spaces and openings of the building, also of one that is only
// outlined. Spaces and openings are groups of their entity.
func (b *Building) Groups() []Group {
	t := tally{}
	for _, g := range b.groups {
		t.add(g.Sort, g.N)
	}
	for _, e := range b.Elements {
		t.add(sortOf(e), 1)
	}
	plain := func(entity string) Sort {
		return Sort{Entity: entity, is: func(e string) bool { return e == entity }}
	}
	if len(b.Spaces) > 0 {
		t.add(plain("IfcSpace"), len(b.Spaces))
	}
	if len(b.Openings) > 0 {
		t.add(plain("IfcOpeningElement"), len(b.Openings))
	}
	return t.groups()
}

// ElementsIn returns how many elements a storey holds, also of a building that is only outlined.
func (b *Building) ElementsIn(s *Storey) int {
	n := s.held
	for _, e := range b.Elements {
		if e.Storey == s {
			n++
		}
	}
	return n
}
