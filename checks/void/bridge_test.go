package void

import (
	"math"
	"testing"

	"voidcheck/ifcx/geom"
)

// A partition that a model shows by its two boards alone divides no floor void: nothing is drawn
// over it, and the ceilings end at it. Where its boards go on up to the deck they do divide it.
func TestPartitionOfBoardsAlone(t *testing.T) {
	const top, deck, gyp = 2.46, 2.86, 0.0127
	for _, tt := range []struct {
		boards float64 // how high they stand
		want   []float64
	}{
		{top, []float64{5 * 8.0}},
		{deck, []float64{5 * 3.9, 5 * 3.9}},
	} {
		in := &Input{Levels: []float64{0, deck + 0.018}}
		add := func(role Role, x0, y0, z0, x1, y1, z1 float64) {
			in.Parts = append(in.Parts, Part{Mesh: geom.BoxMesh(geom.Box{Min: geom.Vec3{X: x0, Y: y0, Z: z0}, Max: geom.Vec3{X: x1, Y: y1, Z: z1}}), Role: role, Element: len(in.Parts), Assembly: -1})
		}
		add(RoleDeck, 0, 0, deck, 5, 8, deck+0.018)
		add(RoleCeiling, 0, 0, top-gyp, 5, 3.9, top)
		add(RoleCeiling, 0, 4.1, top-gyp, 5, 8, top)
		add(RoleFinish, 0, 3.9, 0, 5, 3.9+gyp, tt.boards)
		add(RoleFinish, 0, 4.1-gyp, 0, 5, 4.1, tt.boards)
		r := mustSolve(t, disguise(in, 20, 3, 4, false))
		var got []float64
		for _, c := range r.Compartments {
			got = append(got, c.AreaM2)
		}
		if len(got) != len(tt.want) || math.Abs(got[0]-tt.want[0]) > 0.01 {
			t.Errorf("boards up to %.2f: areas %.3f want %.3f", tt.boards, got, tt.want)
		}
	}
}
