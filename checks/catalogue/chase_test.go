package catalogue

import (
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/void"
	"voidcheck/ifcx/ifctest"
)

// A chase that is modelled as a space on each storey is a void of its own; at the floor
// between, the deck closes it, or the hole that is cut for it leaves it open (IRC R302.11
// item 1; hollow vertical spaces at every floor: seen in 780 CMR 707.5.1).
func TestChase(t *testing.T) {
	for _, open := range []bool{false, true} {
		m := pair().MustBuild()
		at := pair().Layout()
		v, _ := at.Void(0)
		x, y := ifctest.Span{Lo: v.Lo + 2, Hi: v.Lo + 2.6}, ifctest.Span{Lo: 1, Hi: 1.4}
		for k := range 2 {
			z := ifctest.Span{Lo: at.Floor(k), Hi: at.Floor(k) + 2.4}
			m.Rooms = append(m.Rooms, &ifctest.Room{Unit: 0, Storey: k, N: 9, Use: "Pipe chase", Solids: []ifctest.Prism{ifctest.Box(x, y, z, ifctest.Z)}})
		}
		for _, p := range m.Parts {
			if b := p.Bounds(); open && (p.Role == ifctest.Deck || p.Role == ifctest.Ceiling) && p.Storey == 0 || open && p.Role == ifctest.Deck && b.Min.Z > 1 && b.Max.Z < 4 {
				if b.Min.X < x.Lo && b.Max.X > x.Hi && b.Min.Y < y.Lo && b.Max.Y > y.Hi {
					p.Openings = append(p.Openings, ifctest.Opening{Solid: ifctest.Box(x, y, ifctest.Span{Lo: b.Min.Z - 0.05, Hi: b.Max.Z + 0.05}, ifctest.Z), Name: "Chase"})
				}
			}
		}
		for _, d := range []ifctest.Disguise{{}, {Unit: "in", RotateDeg: 90, Schema: "IFC2X3"}} {
			r := checktest.ReviewModel(t, m, d, checktest.With{Facts: checktest.Facts}, Checks()...)
			n := 0
			for _, v := range r.Voids.Voids {
				if v.Kind == void.KindChase {
					n++
					if v.AreaM2 < 0.239 || v.AreaM2 > 0.241 || len(v.Compartments) != 2 {
						t.Errorf("chase of %.3f m2 in %d parts", v.AreaM2, len(v.Compartments))
					}
				}
			}
			var items []finding.Item
			for _, it := range r.Of("wall-fireblock-level") {
				if strings.Contains(it.Place, "chase") {
					items = append(items, it)
				}
			}
			want := finding.Meets
			if open {
				want = finding.NotShown
			}
			if n != 1 || len(items) != 1 || items[0].Outcome != want {
				t.Errorf("open %v: %d chases; items\n%swant one %s", open, n, checktest.Lines(items), want)
			}
		}
	}
}
