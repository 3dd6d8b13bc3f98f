package model

import (
	"sync"

	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

// relations are the objectified relationships of one file, as look-ups by instance; each is
// read on first use. Lists are in the order of the relationships' GlobalIds, so they do not
// depend on the order of instances in the file.
type relations struct {
	whole      func() *single // part -> whole: IfcRelAggregates, IfcRelNests
	container  func() *single // element -> spatial structure
	typeOf     func() *single
	host       func() *single   // opening or projection -> element
	filledBy   func() *single   // filling -> opening
	referenced func() *multiple // element -> spatial structure or zone that only names it
	material   func() *multiple // object or type -> IfcMaterialSelect
	classes    func() *multiple // object or type -> classification reference
	groups     func() *multiple // member -> group
	fills      func() *multiple // opening -> what fills it
	bounds     func() *multiple // space -> bounding elements, both levels
	coverings  func() *multiple // element or space -> coverings
	defs       func() *multiple // object or type -> property set definitions
}

// prepare reads what every element asks for.
func (r *relations) prepare() {
	var all source.Group
	for _, f := range []func() *single{r.whole, r.container, r.typeOf, r.host, r.filledBy} {
		all.Go(func() { f() })
	}
	for _, f := range []func() *multiple{r.referenced, r.material, r.classes, r.groups, r.defs} {
		all.Go(func() { f() })
	}
	all.Wait()
}

// single is a relationship in which each object has one partner. Partners lie in a table by
// rank of the object (graph.Roots): models have hundreds of thousands of objects.
type single struct {
	g      *graph.Graph
	to     []graph.ID // nil when nothing is related
	second []conflict
}

// of returns the partner of an object, 0 when it has none.
func (s *single) of(id graph.ID) graph.ID {
	if s.to == nil {
		return 0
	}
	if p, ok := s.g.Find(id); ok {
		return s.at(p)
	}
	return 0
}

// at is of for the object at a place in the file.
func (s *single) at(place int) graph.ID {
	if s.to == nil {
		return 0
	}
	if k, ok := s.g.Roots().Of(place); ok {
		return s.to[k]
	}
	return 0
}

// multiple is a relationship in which an object may have several partners.
type multiple struct {
	g     *graph.Graph
	first []graph.ID // by rank
	more  map[graph.ID][]graph.ID
}

// of returns the partners of an object; do not change the list.
func (m *multiple) of(id graph.ID) []graph.ID {
	if m.first == nil {
		return nil
	}
	p, ok := m.g.Find(id)
	if !ok {
		return nil
	}
	k, ok := m.g.Roots().Of(p)
	if !ok || m.first[k] == 0 {
		return nil
	}
	if len(m.more) > 0 {
		if l := m.more[id]; l != nil {
			return l
		}
	}
	return m.first[k : k+1 : k+1]
}

// each calls f for every object and partner, objects in file order.
func (m *multiple) each(f func(object, partner graph.ID)) {
	if m.first == nil {
		return
	}
	m.g.Roots().Each(func(place, k int) {
		if m.first[k] == 0 {
			return
		}
		id := m.g.At(place)
		if len(m.more) == 0 {
			f(id, m.first[k])
			return
		}
		for _, x := range m.of(id) {
			f(id, x)
		}
	})
}

// each calls f for every object and its partner in file order.
func (s *single) each(f func(object, partner graph.ID)) {
	if s.to == nil {
		return
	}
	s.g.Roots().Each(func(place, k int) {
		if s.to[k] != 0 {
			f(s.g.At(place), s.to[k])
		}
	})
}

// conflict is a partner that is left out because the object has another one already.
type conflict struct {
	object, first, second graph.ID
	says                  string
	spatial               bool
}

// relationship names an entity and its two attributes; to names the partner of objects.
type relationship struct{ entity, to, objects string }

// The names are the same in IFC2X3, IFC4 and IFC4X3 where the relationship exists.
func readRelations(v *view) *relations {
	one := func(says string, from ...relationship) func() *single {
		return sync.OnceValue(func() *single { return readSingle(v, says, from) })
	}
	many := func(from ...relationship) func() *multiple {
		return sync.OnceValue(func() *multiple { return readMultiple(v, from) })
	}
	return &relations{
		whole: one("is part of", relationship{"IfcRelAggregates", "RelatingObject", "RelatedObjects"},
			relationship{"IfcRelNests", "RelatingObject", "RelatedObjects"}),
		container: one("is contained in", relationship{"IfcRelContainedInSpatialStructure", "RelatingStructure", "RelatedElements"}),
		typeOf:    one("is typed by", relationship{"IfcRelDefinesByType", "RelatingType", "RelatedObjects"}),
		host: one("is cut into", relationship{"IfcRelVoidsElement", "RelatingBuildingElement", "RelatedOpeningElement"},
			relationship{"IfcRelProjectsElement", "RelatingElement", "RelatedFeatureElement"}),
		filledBy:   one("fills", relationship{"IfcRelFillsElement", "RelatingOpeningElement", "RelatedBuildingElement"}),
		fills:      many(relationship{"IfcRelFillsElement", "RelatedBuildingElement", "RelatingOpeningElement"}),
		referenced: many(relationship{"IfcRelReferencedInSpatialStructure", "RelatingStructure", "RelatedElements"}),
		material:   many(relationship{"IfcRelAssociatesMaterial", "RelatingMaterial", "RelatedObjects"}),
		classes:    many(relationship{"IfcRelAssociatesClassification", "RelatingClassification", "RelatedObjects"}),
		groups:     many(relationship{"IfcRelAssignsToGroup", "RelatingGroup", "RelatedObjects"}),
		bounds:     many(relationship{"IfcRelSpaceBoundary", "RelatedBuildingElement", "RelatingSpace"}),
		coverings: many(relationship{"IfcRelCoversBldgElements", "RelatedCoverings", "RelatingBuildingElement"},
			relationship{"IfcRelCoversSpaces", "RelatedCoverings", "RelatedSpace"},   // IFC2X3
			relationship{"IfcRelCoversSpaces", "RelatedCoverings", "RelatingSpace"}), // IFC4
		defs: many(relationship{"IfcRelDefinesByProperties", "RelatingPropertyDefinition", "RelatedObjects"}),
	}
}

// readSingle reads relationships in which each object may have only one partner; the first,
// by GlobalId of the relationship, stands. Only where an object has two does the order matter,
// and then the relationships are read again in order.
func readSingle(v *view, says string, from []relationship) *single {
	s := readSingleBy(v, v.unordered, says, from)
	if len(s.second) > 0 {
		s = readSingleBy(v, v.rows, says, from)
	}
	return s
}

func readSingleBy(v *view, rows func(string) []row, says string, from []relationship) *single {
	s := &single{g: v.g}
	var objects []graph.ID
	for _, f := range from {
		for _, r := range rows(f.entity) {
			partner := r.ref(f.to)
			if partner == 0 {
				continue
			}
			if s.to == nil {
				s.to = make([]graph.ID, v.g.Roots().Len())
			}
			objects = v.g.AppendRefs(objects[:0], r.id, f.objects)
			for _, o := range objects {
				p, ok := v.rank(o)
				switch {
				case !ok || s.to[p] == partner:
				case s.to[p] != 0:
					s.second = append(s.second, conflict{o, s.to[p], partner, says, f.entity == "IfcRelContainedInSpatialStructure"})
				default:
					s.to[p] = partner
				}
			}
		}
	}
	return s
}

// readMultiple collects the partners of each object without doubles, those of relationships
// with lower GlobalIds first.
func readMultiple(v *view, from []relationship) *multiple {
	m := readMultipleBy(v, v.unordered, from)
	if len(m.more) > 0 {
		m = readMultipleBy(v, v.rows, from)
	}
	return m
}

func readMultipleBy(v *view, rows func(string) []row, from []relationship) *multiple {
	m := &multiple{g: v.g, more: map[graph.ID][]graph.ID{}}
	var partners, objects []graph.ID
	for _, f := range from {
		for _, r := range rows(f.entity) {
			if partners = v.g.AppendRefs(partners[:0], r.id, f.to); len(partners) == 0 {
				continue
			}
			if m.first == nil {
				m.first = make([]graph.ID, v.g.Roots().Len())
			}
			objects = v.g.AppendRefs(objects[:0], r.id, f.objects)
			for _, o := range objects {
				if p, ok := v.rank(o); ok {
					m.add(p, o, partners)
				}
			}
		}
	}
	return m
}

// rank returns the rank of an object that can be related.
func (v *view) rank(id graph.ID) (int, bool) {
	p, ok := v.g.Find(id)
	if !ok {
		return 0, false
	}
	return v.g.Roots().Of(p)
}

func (m *multiple) add(p int, o graph.ID, partners []graph.ID) {
	for _, to := range partners {
		if m.first[p] == 0 {
			m.first[p] = to
			continue
		}
		switch l := m.more[o]; {
		case l == nil && m.first[p] != to:
			m.more[o] = []graph.ID{m.first[p], to}
		case l != nil && !contains(l, to):
			m.more[o] = append(l, to)
		}
	}
}

// reportSecond logs the partners that were left out, except a second room of the same
// storey: doors are often listed in both rooms they join.
func (c *content) reportSecond() {
	for _, s := range []*single{c.rel.whole(), c.rel.container(), c.rel.typeOf(), c.rel.host(), c.rel.filledBy()} {
		for _, x := range s.second {
			if x.spatial && c.climb(x.first, "IfcBuildingStorey") == c.climb(x.second, "IfcBuildingStorey") {
				continue
			}
			c.v.warn(c.v.row(x.object), "two-partners", x.says+" both "+c.v.g.Label(x.first)+" and "+c.v.g.Label(x.second)+"; the first is taken",
				"keep one of the two relationships")
		}
	}
}

func contains(l []graph.ID, id graph.ID) bool {
	for _, x := range l {
		if x == id {
			return true
		}
	}
	return false
}
