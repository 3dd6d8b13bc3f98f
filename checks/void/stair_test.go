package void

import (
	"context"
	"math"
	"testing"

	"voidcheck/ifcx/geom"
)

// run is a stair of three stringers, 5 m long up a slope of 3 in 4, each 38.1 x 286 mm, and a
// board of 12.7 mm whose upper face lies on their lower edges, in one or two pieces.
func run(turn, wide float64, pieces int) []Part {
	angle := math.Atan2(3, 4)
	s, c := math.Sincos(angle)
	ts, tc := math.Sincos(turn)
	place := func(along, across, up, long, w, deep float64, role Role) Part {
		m := geom.BoxMesh(geom.Box{Min: geom.Vec3{X: along, Y: across - w/2, Z: up - deep/2}, Max: geom.Vec3{X: along + long, Y: across + w/2, Z: up + deep/2}})
		m = m.Transform(geom.Mat{X: geom.Vec3{X: c, Z: s}, Y: geom.Vec3{Y: 1}, Z: geom.Vec3{X: -s, Z: c}})
		m = m.Transform(geom.Mat{X: geom.Vec3{X: tc, Y: ts}, Y: geom.Vec3{X: -ts, Y: tc}, Z: geom.Vec3{Z: 1}, O: geom.Vec3{X: 100, Y: -50, Z: 1}})
		return Part{Mesh: m, Role: role, Element: -1, Assembly: -1}
	}
	var parts []Part
	for k := range 3 {
		parts = append(parts, place(0, float64(k)*wide/2, 0, 5, 0.0381, 0.286, RoleStair))
	}
	for k := range pieces {
		long := 5 / float64(pieces)
		parts = append(parts, place(float64(k)*long, wide/2, -0.143-0.00635, long, wide+0.0381, 0.0127, RoleSoffitBoard))
	}
	return parts
}

// The space between stringers: between the inside faces of the outer ones, 4 m long in plan,
// from the board to the upper edges: 0.286 m square to the slope, 0.286 / cos straight up.
func TestStair(t *testing.T) {
	const wide = 0.9
	area := 4.0 * (wide - 0.0381)
	high := 0.286 / 0.8
	for _, turn := range []float64{0, 0.6, math.Pi / 2, 4} {
		for _, pieces := range []int{1, 2} {
			in := &Input{Parts: run(turn, wide, pieces), Levels: []float64{0, 4}}
			r, err := Solve(context.Background(), in)
			if err != nil {
				t.Fatal(err)
			}
			var list []*Void
			for _, v := range r.Voids {
				if v.Kind == KindStair {
					list = append(list, v)
				}
			}
			if len(list) != 1 {
				t.Fatalf("turn %g, %d pieces: %d stair voids", turn, pieces, len(list))
			}
			v := list[0]
			if math.Abs(v.AreaM2-area) > 1e-3*area || math.Abs(v.HeightMaxM-high) > 1e-3 || math.Abs(v.VolumeM3-area*high) > 2e-3*area*high || v.Storey != 0 {
				t.Errorf("turn %g: %.4f m2, %.4f m, %.4f m3, storey %d; want %.4f %.4f %.4f", turn, v.AreaM2, v.HeightMaxM, v.VolumeM3, v.Storey, area, high, area*high)
			}
			if n := len(v.Compartments); n != 1 || math.Abs(geom.Ring(v.Compartments[0].Outline[0]).Area()-area) > 1e-3*area {
				t.Errorf("%d compartments, outline %v", n, v.Compartments[0].Outline)
			}
		}
	}
}

// A run that is open below, one with a single stringer, and one whose board is level conceal
// nothing.
func TestNoStair(t *testing.T) {
	full := run(0, 0.9, 1)
	level := append(full[:3:3], Part{Mesh: geom.BoxMesh(geom.Box{Min: geom.Vec3{X: 100, Y: -51, Z: 0}, Max: geom.Vec3{X: 104, Y: -48, Z: 0.0127}}), Role: RoleCeiling, Element: -1, Assembly: -1})
	for name, parts := range map[string][]Part{"open below": full[:3], "one stringer": {full[0], full[3]}, "level board": level, "no stair": full[3:]} {
		r, err := Solve(context.Background(), &Input{Parts: parts, Levels: []float64{0, 4}})
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range r.Voids {
			if v.Kind == KindStair {
				t.Errorf("%s: a stair void of %.2f m2", name, v.AreaM2)
			}
		}
	}
}
