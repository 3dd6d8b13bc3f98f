package recognise_test

import (
	"testing"

	"voidcheck/checks/recognise"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/shape"
)

// keep rebuilds the element list with those that f lets through, renumbered.
func keep(m *model.Building, f func(*model.Element) bool) {
	var out []*model.Element
	for _, e := range m.Elements {
		if f(e) {
			e.Index = len(out)
			out = append(out, e)
		}
	}
	m.Elements = out
	for _, e := range out {
		var ps []*model.Element
		for _, p := range e.Parts {
			if f(p) {
				ps = append(ps, p)
			}
		}
		e.Parts = ps
		if e.Whole != nil && !f(e.Whole) {
			e.Whole = nil
		}
	}
}

// mergeTrusses makes every truss one element: of many solids, or of one mesh.
func mergeTrusses(m *model.Building, oneMesh bool) {
	gone := map[*model.Element]bool{}
	for _, e := range m.Elements {
		if e.Entity != "IfcElementAssembly" {
			continue
		}
		body := &shape.Body{Box: geom.EmptyBox()}
		all := &geom.Mesh{}
		for _, p := range e.Parts {
			gone[p] = true
			for _, s := range p.Body().Solids {
				body.Solids = append(body.Solids, s)
				body.Box = body.Box.Join(s.Mesh.Box())
				all.Append(s.Mesh)
			}
		}
		if oneMesh {
			body.Solids = []shape.Solid{{Mesh: all}}
		}
		e.Parts = nil
		e.Entity, e.Parents, e.Predefined = "IfcBuildingElementProxy", []string{"IfcBuildingElement", "IfcElement"}, ""
		e.SetBody(func() *shape.Body { return body })
	}
	keep(m, func(e *model.Element) bool { return !gone[e] })
}

func TestOtherWaysToModel(t *testing.T) {
	drop := func(names ...string) func(*model.Building) {
		return func(m *model.Building) {
			keep(m, func(e *model.Element) bool {
				for _, n := range names {
					if kindOfName(e.Name) == n {
						return false
					}
				}
				return true
			})
		}
	}
	for _, c := range []struct {
		name string
		edit func(*model.Building)
		skip []string // counts that the edit changes
	}{
		{"truss of many solids", func(m *model.Building) { mergeTrusses(m, false) }, nil},
		{"truss of one mesh", func(m *model.Building) { mergeTrusses(m, true) }, nil},
		{"no wall elements", drop("Unit separation wall", "Exterior wall", "Bearing partition"), nil},
		{"no plates", drop("Bottom plate", "Top plate"), []string{"plate"}},
		{"no bottom plates", drop("Bottom plate"), []string{"plate"}},
		{"no wall boards", drop("Gypsum board", "Wall sheathing"), nil},
		{"no decks", drop("Subfloor", "Slab on grade"), []string{"deck"}},
		{"no ceilings", drop("Gypsum ceiling"), []string{"ceiling"}},
		{"no blocks", drop("Fireblock", "Fireblocking at level", "Fireblocking upright"), []string{"fireblock"}},
		{"no rims", drop("Rim board", "Eave blocking board"), nil},
		{"no roof", drop("Roof sheathing"), nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, mb := openFixture(t, small(), ifctest.Disguise{RotateDeg: 5})
			c.edit(mb)
			names := strip(mb, true)
			b := recogniseModel(t, mb)
			want := built(m)
			for _, k := range c.skip {
				delete(want, k)
			}
			checkTally(t, m, b, want)
			if t.Failed() {
				wrong := map[string]int{}
				for i, th := range b.Things {
					wrong[kindOfName(names[i])+" -> "+string(th.Concept)+" ("+th.Reason.Value+")"]++
				}
				for k, n := range wrong {
					t.Logf("%4d %s", n, k)
				}
			}
		})
	}
}

var _ = recognise.Stud
