package crossing

import (
	"math"
	"testing"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// What a service passes in a unit separation, layer by layer: boards that lie on each other are
// one, each has its own ring, and a seal belongs to the face that it is nearest to.
func TestLayersOfWalls(t *testing.T) {
	wall := void.Wall{Dir: geom.Vec2{X: 1}, Length: 11, Across: void.Span{Lo: 0, Hi: 0.114}, Z1: 2.46,
		Cavities: []void.Span{{Lo: 0.0125, Hi: 0.1015}}, Elements: []int{7}, Kind: void.WallSingle}
	strips := []Strip{{Wall: 0, Z0: 0, Z1: 2.46}}
	// A board from y0 to y1 with a square hole of half width a round x = 3, z = 1; 0: none.
	board := func(el int, y0, y1, a float64) []void.Part {
		part := func(x0, z0, x1, z1 float64) void.Part {
			return void.Part{Mesh: box(x0, y0, z0, x1, y1, z1), Role: void.RoleFinish, Element: el}
		}
		if a == 0 {
			return []void.Part{part(0, 0, 11, 2.46)}
		}
		return []void.Part{part(0, 0, 3-a, 2.46), part(3+a, 0, 11, 2.46), part(3-a, 0, 3+a, 1-a), part(3-a, 1+a, 3+a, 2.46)}
	}
	duct := void.Part{Mesh: box(2.95, -1, 0.95, 3.05, 1, 1.05), Role: void.RoleService, Element: 2}
	seal := func(y0, y1 float64) void.Part {
		return void.Part{Mesh: box(2.92, y0, 0.92, 3.08, y1, 1.08), Role: void.RoleSeal, Element: 9}
	}
	join := func(lists ...[]void.Part) (r []void.Part) {
		for _, l := range lists {
			r = append(r, l...)
		}
		return append(r, duct)
	}
	for _, tt := range []struct {
		name  string
		parts []void.Part
		want  string
	}{
		{"open in both faces", join(board(3, 0, 0.0125, 0.07), board(4, 0.1015, 0.114, 0.08)), "[2] through [3] ring 20 mm; [2] through [4] ring 30 mm"},
		{"two boards on each other", join(board(3, 0, 0.006, 0.08), board(4, 0.006, 0.0125, 0.07), board(5, 0.1015, 0.114, 0)), "[2] through [3 4] ring 20 mm; [2] through [5] no hole"},
		{"a seal in one face", append(join(board(3, 0, 0.0125, 0.07), board(4, 0.1015, 0.114, 0.07)), seal(-0.02, 0.0125)), "[2] through [3] ring 20 mm sealed [9]; [2] through [4] ring 20 mm"},
		{"a plug through the wall", append(join(board(3, 0, 0.0125, 0.07), board(4, 0.1015, 0.114, 0.07)), seal(0, 0.114)), "[2] through [3] ring 20 mm sealed [9]; [2] through [4] ring 20 mm sealed [9]"},
		{"no board modelled", join(), ""},
	} {
		for _, deg := range []float64{0, 33} {
			in := &void.Input{Parts: turn(tt.parts, deg), Walls: []void.Wall{turnWall(wall, deg)}}
			got := ""
			for _, c := range Walls(in, strips, nil) {
				for i, l := range c.Layers {
					if i > 0 {
						got += "; "
					}
					got += describe(l)
				}
			}
			if got != tt.want {
				t.Errorf("%s, turned %v: got %q, want %q", tt.name, deg, got, tt.want)
			}
		}
	}
}

// turnWall turns and moves a wall as turn does parts.
func turnWall(w void.Wall, deg float64) void.Wall {
	s, c := math.Sincos(deg * math.Pi / 180)
	w.Origin, w.Dir = geom.Vec2{X: 130, Y: -40}, geom.Vec2{X: c, Y: s}
	return w
}
