package void

import (
	"context"
	"math"
	"testing"

	"voidcheck/ifcx/geom"
)

func boxAt(x0, y0, z0, x1, y1, z1 float64, turn float64) *geom.Mesh {
	s, c := math.Sincos(turn)
	return geom.BoxMesh(geom.Box{Min: geom.Vec3{X: x0, Y: y0, Z: z0}, Max: geom.Vec3{X: x1, Y: y1, Z: z1}}).
		Transform(geom.Mat{X: geom.Vec3{X: c, Y: s}, Y: geom.Vec3{X: -s, Y: c}, Z: geom.Vec3{Z: 1}, O: geom.Vec3{X: 1000, Y: -300}})
}

// A chase of 0.6 x 0.4 m over two storeys, as one space or as one on each storey: one void of
// two compartments, open between them unless a deck passes through; a pipe in a hole that is
// nearly filled leaves it closed.
func TestChase(t *testing.T) {
	const x, y = 5.0, 2.0
	deck := func(hole bool, turn float64) []Part {
		var out []Part
		add := func(x0, y0, x1, y1 float64) {
			out = append(out, Part{Mesh: boxAt(x0, y0, 2.98, x1, y1, 3, turn), Role: RoleDeck, Element: -1, Assembly: -1})
		}
		if !hole {
			add(0, 0, 10, 8)
			return out
		}
		add(0, 0, x, 8)
		add(x+0.6, 0, 10, 8)
		add(x, 0, x+0.6, y)
		add(x, y+0.4, x+0.6, 8)
		return out
	}
	for _, turn := range []float64{0, 0.5, math.Pi} {
		whole := []Room{{Mesh: boxAt(x, y, 0, x+0.6, y+0.4, 5.4, turn), Unit: -1}}
		split := []Room{{Mesh: boxAt(x, y, 3, x+0.6, y+0.4, 5.4, turn), Unit: -1}, {Mesh: boxAt(x, y, 0, x+0.6, y+0.4, 2.4, turn), Unit: -1}}
		for _, tt := range []struct {
			name   string
			shafts []Room
			parts  []Part
			open   bool
			high   float64
		}{
			{"whole, hole in the deck", whole, deck(true, turn), true, 5.4},
			{"whole, deck through it", whole, deck(false, turn), false, 5.4},
			{"split, hole in the deck", split, deck(true, turn), true, 5.4},
			{"split, deck between", split, deck(false, turn), false, 5.4},
		} {
			pipe := Part{Mesh: boxAt(x+0.2, y+0.2, 0, x+0.25, y+0.25, 5.4, turn), Role: RoleService, Element: 7, Assembly: -1}
			in := &Input{Parts: append(tt.parts, pipe), Shafts: tt.shafts, Levels: []float64{0, 3}, Units: 2,
				Rooms: []Room{{Mesh: boxAt(0, 0, 0, 4.9, 8, 2.4, turn), Unit: 0}, {Mesh: boxAt(5.7, 0, 3, 10, 8, 5.4, turn), Unit: 1}}}
			r, err := Solve(context.Background(), in)
			if err != nil {
				t.Fatal(err)
			}
			var list []*Void
			for _, v := range r.Voids {
				if v.Kind == KindChase {
					list = append(list, v)
				}
			}
			if len(list) != 1 {
				t.Fatalf("%s: %d chases", tt.name, len(list))
			}
			v := list[0]
			if math.Abs(v.AreaM2-0.24) > 1e-6 || math.Abs(v.HeightMaxM-tt.high) > 1e-6 || len(v.Compartments) != 2 || len(v.Units) != 2 || len(v.Services) != 1 {
				t.Errorf("%s: %.4f m2, %.3f m, %d compartments, units %v, services %v", tt.name, v.AreaM2, v.HeightMaxM, len(v.Compartments), v.Units, v.Services)
			}
			open := 0
			for _, o := range r.Openings {
				if o.A.Void == v && o.B.Void == v {
					open++
					if o.Kind != OpenLevel || math.Abs(o.WidthM-0.6) > 0.02 || math.Abs(o.HeightM-0.4) > 0.02 || math.Abs(o.Point.Z-3) > 0.01 {
						t.Errorf("%s: opening %+v", tt.name, o)
					}
				}
			}
			if (open == 1) != tt.open || open > 1 {
				t.Errorf("%s, turn %g: %d openings", tt.name, turn, open)
			}
		}
	}
}
