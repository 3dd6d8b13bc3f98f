package catalogue

import (
	"math"
	"sort"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/void"
	"voidcheck/ifcx/ifctest"
)

// An export without its ceilings: the wall boards still end below the framing by the thickness
// of the ceilings. Those joints are no openings between cavities and floor voids.
func TestCeilingsLeftOut(t *testing.T) {
	h := ifctest.Row(2)
	h.Name, h.Depth = "Ceilings left out", 24*ifctest.Foot
	m, err := h.Build()
	if err != nil {
		t.Fatal(err)
	}
	m.Remove(func(p *ifctest.Part) bool { return p.Role == ifctest.Ceiling })
	for _, d := range []ifctest.Disguise{{}, {Unit: "ft", RotateDeg: 33}} {
		r := checktest.ReviewModel(t, m, d, checktest.With{Facts: checktest.Facts}, Checks()...)
		primary, _ := r.Deficient()
		for _, it := range primary {
			t.Errorf("deficient: %s", checktest.Line(it))
		}
	}
}

// Trusses shown as solids: what is between the chords is still open along and across, so that
// areas, unit lines and attics come out as with trusses in full.
func TestTrussesAsSolids(t *testing.T) {
	for _, c := range []struct {
		name  string
		along string
		seeds []ifctest.Seed
	}{
		{"sound", "", nil},
		{"sound, along the unit walls", "y", nil},
		{"block missing", "", []ifctest.Seed{{Kind: "block-missing", Side: "low", Level: 1, Bay: 6}}},
		{"attic open", "", []ifctest.Seed{{Kind: "attic-open"}}},
	} {
		h := ifctest.Row(2)
		h.Name, h.Depth, h.Separation.Attic, h.Defects = "Solid trusses", 24*ifctest.Foot, "sheet", c.seeds
		if c.along != "" {
			h.Floor.Along = c.along
		}
		m, err := h.Build()
		if err != nil {
			t.Fatal(err)
		}
		want := checktest.ReviewModel(t, m, ifctest.Disguise{}, checktest.With{Facts: checktest.Facts}, Checks()...)
		m.CoarseTrusses()
		for _, d := range []ifctest.Disguise{{}, {Unit: "ft", RotateDeg: 33, Schema: "IFC2X3"}, {Naming: ifctest.NamesGerman}} {
			r := checktest.ReviewModel(t, m, d, checktest.With{Facts: checktest.Facts}, Checks()...)
			r.CheckTruth(t)
			if len(r.Building.Trusses) != len(want.Building.Trusses) {
				t.Errorf("%s: %d trusses want %d", c.name, len(r.Building.Trusses), len(want.Building.Trusses))
			}
			areas := func(x *checktest.Reviewed) (a []float64) {
				for _, v := range x.Voids.Voids {
					if v.Kind == void.KindFloor || v.Kind == void.KindAttic {
						for _, k := range v.Compartments {
							a = append(a, k.AreaM2)
						}
					}
				}
				sort.Float64s(a)
				return a
			}
			got, full := areas(r), areas(want)
			if len(got) != len(full) {
				t.Errorf("%s: compartments of %.2f m2 want %.2f", c.name, got, full)
				continue
			}
			for i := range got {
				if math.Abs(got[i]-full[i]) > 0.001*full[i] {
					t.Errorf("%s: a compartment of %.3f m2 want %.3f", c.name, got[i], full[i])
				}
			}
		}
	}
}

// A chimney and a wide pipe pass a floor in holes of its deck and ceiling: what stands inside
// a void is not deducted from its area, and the holes are no missing board.
func TestHolesInMembranes(t *testing.T) {
	h := ifctest.Row(2)
	h.Name, h.Depth, h.Services = "Holes in membranes", 24*ifctest.Foot, nil
	areas := func(cut bool, d ifctest.Disguise) (out []float64) {
		m, err := h.Build()
		if err != nil {
			t.Fatal(err)
		}
		x, y := h.Layout().Void(0)
		mid := ifctest.Span{Lo: x.Lo + 1.2, Hi: x.Lo + 1.6} // clear of the partitions
		at := ifctest.Span{Lo: y.Mid() - 0.2, Hi: y.Mid() + 0.2}
		wide := func(s ifctest.Span) ifctest.Span { return ifctest.Span{Lo: s.Lo - 0.05, Hi: s.Hi + 0.05} }
		m.Add(ifctest.ChimneyStack, 0, ifctest.Steel, ifctest.Box(mid, at, ifctest.Span{Lo: 0, Hi: h.Layout().Plate(1) + 4}, ifctest.Z))
		for _, role := range []ifctest.Role{ifctest.Deck, ifctest.Ceiling} {
			for _, p := range m.Find(role) {
				b := p.Bounds()
				if cut && b.Min.X < mid.Lo && b.Max.X > mid.Hi && b.Min.Y < at.Lo && b.Max.Y > at.Hi {
					p.Openings = append(p.Openings, ifctest.Opening{Solid: ifctest.Box(wide(mid), wide(at), ifctest.Span{Lo: b.Min.Z - 0.02, Hi: b.Max.Z + 0.02}, ifctest.Z), Name: "Chimney opening"})
				}
			}
		}
		r := checktest.ReviewModel(t, m, d, checktest.With{Facts: checktest.Facts}, Checks()...)
		for _, it := range r.Items {
			if it.Check == "floor-membrane" && it.Outcome == finding.Deficient {
				t.Errorf("holes cut %v: %s", cut, checktest.Line(&it))
			}
		}
		for _, v := range r.Voids.Voids {
			if v.Kind == void.KindFloor {
				out = append(out, v.AreaM2)
			}
		}
		return out
	}
	for _, d := range []ifctest.Disguise{{}, {Unit: "ft", RotateDeg: 33}} {
		whole, cut := areas(false, d), areas(true, d)
		if len(whole) != len(cut) {
			t.Fatalf("floor voids of %.3f m2, with holes %.3f", whole, cut)
		}
		for i := range whole {
			if math.Abs(whole[i]-cut[i]) > 0.001*whole[i] {
				t.Errorf("a floor void of %.3f m2 is %.3f with holes in its membranes", whole[i], cut[i])
			}
		}
	}
}
