package void

import (
	"slices"
	"testing"
)

// Units over each other: each floor void is inside the floor that parts them. Units side by
// side, each of both storeys, are parted by no floor.
func TestStackedUnits(t *testing.T) {
	for _, stacked := range []bool{false, true} {
		for _, deg := range []float64{0, 90, 31} {
			h := &twoUnits{wide: 6, deep: 5, depth: 0.4, spacing: 0.61}
			in := h.build()
			if stacked {
				for i := range in.Rooms {
					in.Rooms[i].Unit = 0
					if in.Rooms[i].Mesh.Box().Min.Z > 1 {
						in.Rooms[i].Unit = 1
					}
				}
			}
			r := mustSolve(t, disguise(in, deg, 2, 9, false))
			for _, c := range r.Compartments {
				if c.Void.Kind != KindFloor {
					continue
				}
				if want := [][2]int{{0, 1}}; stacked && !slices.Equal(c.Stacked, want) || !stacked && len(c.Stacked) > 0 {
					t.Errorf("stacked %v at %g: a floor void parts %v", stacked, deg, c.Stacked)
				}
			}
		}
	}
}
