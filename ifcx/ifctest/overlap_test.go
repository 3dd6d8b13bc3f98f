package ifctest

import (
	"fmt"
	"math"
	"sort"
	"testing"

	"voidcheck/ifcx/geom"
)

// upright reports whether a solid is a box along the axes.
func upright(p Prism) bool {
	if p.Profile.Kind == Poly {
		if len(p.Profile.Holes) > 0 || len(p.Profile.Outline) != 4 {
			return false
		}
		for i, c := range p.Profile.Outline {
			d := p.Profile.Outline[(i+1)%4].Sub(c)
			if math.Abs(d.X) > 1e-9 && math.Abs(d.Y) > 1e-9 {
				return false
			}
		}
	} else if p.Profile.Kind != Rect {
		return false
	}
	for _, v := range []geom.Vec3{p.Frame.X, p.Frame.Z} {
		if max(math.Abs(v.X), math.Abs(v.Y), math.Abs(v.Z)) < 1-1e-9 {
			return false
		}
	}
	return true
}

// checkOverlaps tells which upright parts stand in each other.
func checkOverlaps(t *testing.T, m *Model) {
	t.Helper()
	type item struct {
		p *Part
		b geom.Box
	}
	var list []item
	for _, p := range m.Parts {
		for _, s := range p.Solids {
			if upright(s) && len(p.Openings) == 0 {
				list = append(list, item{p, s.Bounds().Grow(-1e-6)})
			}
		}
	}
	sort.Slice(list, func(i, j int) bool { return list[i].b.Min.X < list[j].b.Min.X })
	shown := map[string]int{}
	for i, a := range list {
		for _, b := range list[i+1:] {
			if b.b.Min.X > a.b.Max.X {
				break
			}
			inLayer := a.p.Role == FloorWhole && b.p.Role == Draftstop || a.p.Role == Draftstop && b.p.Role == FloorWhole
			if !a.b.Overlaps(b.b) || inLayer {
				continue
			}
			k := fmt.Sprintf("%s %s in %s %s", a.p.Role, a.p.Mark, b.p.Role, b.p.Mark)
			if shown[k]++; shown[k] == 1 {
				t.Errorf("%s: %v and %v", k, a.b, b.b)
			}
		}
	}
	if len(list) < 12 {
		t.Errorf("only %d solids compared", len(list))
	}
}

func TestPartsDoNotOverlap(t *testing.T) {
	for name, change := range map[string]func(*House){
		"double":  func(h *House) {},
		"single":  func(h *House) { h.Separation.Kind, h.Separation.Stud = "single", SixWide },
		"along y": func(h *House) { h.Floor.Along = "y" },
		"stair":   func(h *House) { h.Units[1].Stair = &StairHole{X: 4.2, Y: 2, LX: 1, LY: 3} },
		"stops":   func(h *House) { h.Units[0].Draftstops = []float64{4, 8} },
		"mono":    func(h *House) { h.Roof.Kind = "mono" },
		"layered": func(h *House) { h.Layered = true },
		"layered, floors over": func(h *House) {
			h.Layered, h.LayerPlan = true, LayerPlan{FloorsOver: true, CeilingApart: true}
		},
		"layered, full height": func(h *House) { h.Layered, h.LayerPlan = true, LayerPlan{FullHeight: true, NegSense: true} },
		"open": func(h *House) {
			h.Layered, h.Defects = true, []Seed{{Kind: "attic-open"}, {Kind: "line-open", Level: 1}}
		},
	} {
		t.Run(name, func(t *testing.T) {
			h := Row(2)
			h.Depth = 9
			change(&h)
			checkOverlaps(t, h.MustBuild())
		})
	}
}
