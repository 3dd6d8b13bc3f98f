package void

import (
	"context"
	"math"
	"testing"

	"voidcheck/ifcx/geom"
)

// Over a double wall in the attic whose low row, with its board, ends 0.3 m below the sheathing while
// the high row reaches it, the attic on the low side is open to the gap over the whole length.
func TestRowShort(t *testing.T) {
	build := func(short float64) *Input {
		in := &Input{Levels: []float64{0}, Units: 2, MaxGap: 0.0127}
		part := func(r Role, x0, x1, y0, y1, z0, z1 float64) {
			in.Parts = append(in.Parts, Part{Mesh: geom.BoxMesh(geom.Box{Min: geom.Vec3{X: x0, Y: y0, Z: z0}, Max: geom.Vec3{X: x1, Y: y1, Z: z1}}), Role: r, Element: len(in.Parts), Assembly: -1})
		}
		part(RoleDeck, -0.1, 10.1, 0, 6, -0.02, 0)
		part(RoleRoof, -0.1, 10.1, -0.1, 6.1, 4, 4.02)
		for _, x := range []float64{-0.1, 10} {
			part(RoleFinish, x, x+0.1, 0, 6, 0, 4)
		}
		for _, y := range []float64{-0.1, 6} {
			part(RoleFinish, -0.1, 10.1, y, y+0.1, 0, 4)
		}
		part(RoleCeiling, 0, 4.9, 0, 6, 2.4, 2.41)
		part(RoleCeiling, 5.126, 10, 0, 6, 2.4, 2.41)
		rows := []Span{{4.9, 4.989}, {5.014, 5.103}}
		for j, r := range rows {
			top := 4.0
			if j == 0 {
				top -= short
			}
			board := Span{4.887, 4.9}
			if j == 1 {
				board = Span{5.103, 5.116}
			}
			part(RoleFinish, board.Lo, board.Hi, 0, 6, 0, top)
			part(RolePlate, r.Lo, r.Hi, 0, 6, 2.36, 2.4)
			part(RolePlate, r.Lo, r.Hi, 0, 6, top-0.04, top)
			for y := 0.0; y < 6; y += 0.6 {
				part(RoleStud, r.Lo, r.Hi, y, y+0.04, 0, 2.36)
				part(RoleStud, r.Lo, r.Hi, y, y+0.04, 2.4, top-0.04)
			}
			x := Span{0, 4.887}
			if j == 1 {
				x = Span{5.116, 10}
			}
			in.Rooms = append(in.Rooms, Room{Mesh: geom.BoxMesh(geom.Box{Min: geom.Vec3{X: x.Lo, Z: 0.001}, Max: geom.Vec3{X: x.Hi, Y: 6, Z: 2.39}}), Unit: j, Element: -1})
		}
		part(RoleBlock, 4.989, 5.014, 0, 6, 2.32, 2.4)
		wall := Wall{Origin: geom.Vec2{X: 5}, Dir: geom.Vec2{Y: 1}, Length: 6, Across: Span{-0.116, 0.113}, Kind: WallDouble, Framed: true, Combustible: true,
			Cavities: []Span{{-0.103, 0.1}}, Rows: []Span{{-0.103, -0.014}, {0.011, 0.1}}, Gaps: []Span{{-0.014, 0.011}}}
		lower, upper := wall, wall
		lower.Z1, upper.Z0, upper.Z1 = 2.4, 2.4, 4
		in.Walls = []Wall{lower, upper}
		in.Separations = []Separation{{Units: [2]int{0, 1}, Walls: []int{0, 1}, Kind: WallDouble}}
		return in
	}
	for _, short := range []float64{0, 0.3} {
		r, err := Solve(context.Background(), build(short))
		if err != nil {
			t.Fatal(err)
		}
		var got []*Opening
		for _, o := range r.Openings {
			if o.Kind == OpenJunction && (o.A.Void.Kind == KindAttic || o.B.Void.Kind == KindAttic) {
				got = append(got, o)
			}
		}
		if short == 0 {
			if len(got) != 0 {
				t.Errorf("%d junctions over a whole wall", len(got))
			}
			continue
		}
		if len(got) != 1 || math.Abs(got[0].HeightM-short) > 0.002 || math.Abs(got[0].WidthM-6) > 0.3 {
			t.Errorf("short row: junctions %+v, want one of 6 m x %.1f m", got, short)
		}
	}
}
