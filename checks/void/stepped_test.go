package void

import (
	"math"
	"testing"

	"voidcheck/ifcx/geom"
)

// stepUp raises the unit at x > 0 by dz, as on a slope: its row of the separation, its floors
// and its rooms, and the closure of the gap at its own floor.
func stepUp(h *twoUnits, dz float64) *Input {
	in := h.build()
	up := geom.Mat{X: geom.Vec3{X: 1}, Y: geom.Vec3{Y: 1}, Z: geom.Vec3{Z: 1}, O: geom.Vec3{Z: dz}}
	parts := in.Parts
	for i := range parts {
		switch x := parts[i].Mesh.Box().Center().X; {
		case x > 0.005:
			parts[i].Mesh = parts[i].Mesh.Transform(up)
		case x > -0.005: // in the gap: both units want it closed at their floors
			p := parts[i]
			p.Mesh = p.Mesh.Transform(up)
			in.Parts = append(in.Parts, p)
		}
	}
	for i := range in.Rooms {
		if in.Rooms[i].Unit == 1 {
			in.Rooms[i].Mesh = in.Rooms[i].Mesh.Transform(up)
		}
	}
	for i := range in.Walls {
		w := &in.Walls[i]
		w.RowZ = []Span{{w.Z0 + dz, w.Z1 + dz}, {w.Z0, w.Z1}} // t runs against x
		w.Z1 += dz
	}
	return in
}

// Units on a slope: one floor stands higher than the other. Areas and openings are those of
// the units side by side on one level.
func TestSteppedUnits(t *testing.T) {
	for _, dz := range []float64{0.15, 0.3, 0.6, 0.9, -0.3} {
		for _, skip := range []map[string]bool{nil, {"Lc": true}, {"Rc": true}, {"Lc": true, "Rc": true}} {
			flat := mustSolve(t, (&twoUnits{wide: 6, deep: 5, depth: 0.4, spacing: 0.61, skip: skip}).build())
			for _, deg := range []float64{0, 90} {
				in := stepUp(&twoUnits{wide: 6, deep: 5, depth: 0.4, spacing: 0.61, skip: skip}, math.Abs(dz))
				r := mustSolve(t, disguise(in, deg, 4, 1, dz < 0))
				var want, got []float64
				for k, x := range []*Result{flat, r} {
					for _, c := range x.Compartments {
						if c.Void.Kind == KindFloor {
							if k == 0 {
								want = append(want, c.AreaM2)
							} else {
								got = append(got, c.AreaM2)
							}
						}
					}
				}
				if len(got) != 2 || len(want) != 2 || math.Abs(got[0]-want[0]) > 0.01 || math.Abs(got[1]-want[1]) > 0.01 {
					t.Errorf("step %g, without %v: areas %v want %v\n%s", dz, skip, got, want, describe(r))
				}
				if len(r.Openings) != len(flat.Openings) || len(skip) != len(r.Openings) {
					t.Errorf("step %g, without %v: %d openings, %d on one level, %d blocks left out\n%s", dz, skip, len(r.Openings), len(flat.Openings), len(skip), describe(r))
				}
			}
		}
	}
}
