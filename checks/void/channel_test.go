package void

import (
	"context"
	"math"
	"testing"

	"voidcheck/ifcx/geom"
)

// Joists over a room without a ceiling, beside one that has its own: the channels between them are
// floor voids all the same, and what lies outside the rims is none.
func TestChannelsWithoutCeiling(t *testing.T) {
	in := &Input{Levels: []float64{0, 2.7}, Units: 1, MaxGap: 0.0127}
	part := func(r Role, x0, x1, y0, y1, z0, z1 float64) {
		in.Parts = append(in.Parts, Part{Mesh: geom.BoxMesh(geom.Box{Min: geom.Vec3{X: x0, Y: y0, Z: z0}, Max: geom.Vec3{X: x1, Y: y1, Z: z1}}), Role: r, Element: len(in.Parts), Assembly: -1})
	}
	part(RoleDeck, -0.5, 8.04, -0.5, 4.04, 2.68, 2.7) // over a step of half a metre outside
	part(RoleCeiling, 4, 8, 0, 4, 2.38, 2.4)
	for _, x := range []float64{-0.04, 4 - 0.02, 8} {
		part(RoleRim, x, x+0.04, 0, 4, 2.4, 2.68)
	}
	part(RoleRim, -0.04, 8.04, -0.04, 0, 2.4, 2.68)
	part(RoleRim, -0.04, 8.04, 4, 4.04, 2.4, 2.68)
	for y := 0.4; y < 4; y += 0.4 {
		part(RoleJoist, 0, 3.98, y, y+0.04, 2.4, 2.68)
		part(RoleJoist, 4.02, 8, y, y+0.04, 2.4, 2.68)
	}
	for _, z := range []float64{0.001, 2.71} {
		in.Rooms = append(in.Rooms, Room{Mesh: geom.BoxMesh(geom.Box{Min: geom.Vec3{Z: z}, Max: geom.Vec3{X: 8, Y: 4, Z: z + 2.3}}), Element: -1})
	}
	r, err := Solve(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	low, high, out := 0.0, 0.0, 0
	for _, c := range r.Compartments {
		switch {
		case c.Void.Kind != KindFloor:
		case c.Point.X < 0 || c.Point.Y < 0:
			out++
		case c.Point.X < 4:
			low += c.AreaM2
		default:
			high += c.AreaM2
		}
	}
	if math.Abs(low-high) > 0.05*high || high < 13 || out > 0 {
		t.Errorf("channels of %.2f m2 without and %.2f m2 with a ceiling, %d outside", low, high, out)
	}
}
