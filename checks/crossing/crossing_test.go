package crossing

import (
	"fmt"
	"math"
	"testing"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

func box(x0, y0, z0, x1, y1, z1 float64) *geom.Mesh {
	return geom.BoxMesh(geom.Box{Min: geom.Vec3{X: x0, Y: y0, Z: z0}, Max: geom.Vec3{X: x1, Y: y1, Z: z1}})
}

// prism is an upright prism over a ring with one hole (nil: none), between two heights.
func prism(outer, hole []geom.Vec2, z0, z1 float64) *geom.Mesh {
	m := &geom.Mesh{}
	ring := func(r []geom.Vec2, out bool) {
		n := int32(len(r))
		at := int32(len(m.Verts))
		for _, p := range r {
			m.Verts = append(m.Verts, geom.Vec3{X: p.X, Y: p.Y, Z: z0}, geom.Vec3{X: p.X, Y: p.Y, Z: z1})
		}
		for i := range n {
			a, b := at+2*i, at+2*((i+1)%n)
			q := [][3]int32{{a, b, b + 1}, {a, b + 1, a + 1}}
			if !out {
				q = [][3]int32{{a, b + 1, b}, {a, a + 1, b + 1}}
			}
			m.Tris = append(m.Tris, q...)
		}
	}
	ring(outer, true)
	if hole != nil {
		ring(hole, false)
	}
	return m // sides only: sections at heights between need no more
}

func circle(cx, cy, r float64, n int) []geom.Vec2 {
	var p []geom.Vec2
	for i := range n {
		a := 2 * math.Pi * float64(i) / float64(n)
		p = append(p, geom.Vec2{X: cx + r*math.Cos(a), Y: cy + r*math.Sin(a)})
	}
	return p
}

func rect(x0, y0, x1, y1 float64) []geom.Vec2 {
	return []geom.Vec2{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

// turn returns the parts turned in plan and moved far away.
func turn(ps []void.Part, deg float64) []void.Part {
	s, c := math.Sincos(deg * math.Pi / 180)
	m := geom.Mat{X: geom.Vec3{X: c, Y: s}, Y: geom.Vec3{X: -s, Y: c}, Z: geom.Vec3{Z: 1}, O: geom.Vec3{X: 130, Y: -40}}
	r := append([]void.Part(nil), ps...)
	for i := range r {
		r[i].Mesh = r[i].Mesh.Transform(m)
	}
	return r
}

func pipe(el int, cx, cy, r, z0, z1 float64) void.Part {
	return void.Part{Mesh: prism(circle(cx, cy, r, 32), nil, z0, z1), Role: void.RoleService, Element: el}
}

func TestBarriers(t *testing.T) {
	deck := func(hole []geom.Vec2) void.Part {
		return void.Part{Mesh: prism(rect(0, 0, 4, 3), hole, 3.0, 3.02), Role: void.RoleDeck, Element: 1}
	}
	solid := void.Part{Mesh: box(0, 0, 3, 4, 3, 3.02), Role: void.RoleDeck, Element: 1}
	seal := void.Part{Mesh: box(0.94, 0.94, 3, 1.06, 1.06, 3.03), Role: void.RoleSeal, Element: 9}
	for _, tt := range []struct {
		name  string
		parts []void.Part
		want  string
	}{
		{"pipe stands in the deck", []void.Part{solid, pipe(2, 1, 1, 0.03, 0, 5)}, "[2] through [1] no hole"},
		{"pipe ends inside the deck", []void.Part{solid, pipe(2, 1, 1, 0.03, 0, 3.01)}, ""},
		{"pipe ends below the deck", []void.Part{solid, pipe(2, 1, 1, 0.03, 0, 2.9)}, ""},
		{"pipe beside the deck", []void.Part{solid, pipe(2, 5, 1, 0.03, 0, 5)}, ""},
		// The worked example's 42 mm pipe in a 60 mm hole: a ring of 9 mm.
		{"ring", []void.Part{deck(circle(1, 1, 0.03, 32)), pipe(2, 1, 1, 0.021, 0, 5)}, "[2] through [1] ring 9 mm"},
		{"pipe against one side of its hole", []void.Part{deck(circle(1, 1, 0.03, 32)), pipe(2, 1.009, 1, 0.021, 0, 5)}, "[2] through [1] ring 18 mm"},
		{"duct in a rectangular hole", []void.Part{deck(rect(0.99, 0.99, 1.31, 1.21)), {Mesh: box(1, 1, 0, 1.3, 1.2, 5), Role: void.RoleService, Element: 2}}, "[2] through [1] ring 10 mm"},
		{"pipe in a stair well", []void.Part{deck(rect(0.5, 0.5, 3.5, 2.5)), pipe(2, 2, 1.5, 0.03, 0, 5)}, ""},
		{"sealed", []void.Part{deck(circle(1, 1, 0.05, 32)), pipe(2, 1, 1, 0.03, 0, 5), seal}, "[2] through [1] ring 20 mm sealed [9]"},
		{"seal of another pipe", []void.Part{solid, pipe(2, 2, 1, 0.03, 0, 5), seal}, "[2] through [1] no hole"},
		{"two lengths that meet in the deck", []void.Part{solid, pipe(2, 1, 1, 0.03, 0, 3.01), pipe(3, 1, 1, 0.03, 3.01, 5)}, "[2 3] through [1] no hole"},
		{"two lengths that do not meet", []void.Part{solid, pipe(2, 1, 1, 0.03, 0, 2.9), pipe(3, 1, 1, 0.03, 3.1, 5)}, ""},
		{"deck and bottom plate are one", []void.Part{solid, {Mesh: box(0, 0.95, 3.02, 4, 1.05, 3.058), Role: void.RolePlate, Element: 4}, pipe(2, 1, 1, 0.03, 0, 5)}, "[2] through [1 4] no hole"},
		{"ceiling and deck are two", []void.Part{solid, {Mesh: box(0, 0, 2.5, 4, 3, 2.513), Role: void.RoleCeiling, Element: 4}, pipe(2, 1, 1, 0.03, 0, 5)}, "[2] through [4] no hole; [2] through [1] no hole"},
		{"sheet of the deck on either side", []void.Part{
			{Mesh: box(0, 0, 3, 0.98, 3, 3.02), Role: void.RoleDeck, Element: 1}, {Mesh: box(1.02, 0, 3, 4, 3, 3.02), Role: void.RoleDeck, Element: 4},
			pipe(2, 1, 1, 0.03, 0, 5)}, "[2] through [1 4] no hole"},
		{"deck modelled twice", []void.Part{solid, {Mesh: solid.Mesh, Role: void.RoleDeck, Element: 4}, pipe(2, 1, 1, 0.03, 0, 5)}, "[2] through [1 4] no hole"},
		{"block between trusses", []void.Part{
			{Mesh: box(1, 1, 2.5, 1.52, 1.038, 2.9), Role: void.RoleBlock, Element: 1},
			{Mesh: box(1.2, 0, 2.6, 1.25, 3, 2.65), Role: void.RoleService, Element: 2}}, "[2] through [1] no hole"},
	} {
		for _, deg := range []float64{0, 33} {
			in := &void.Input{Parts: turn(tt.parts, deg)}
			got := ""
			for i, c := range Barriers(in, nil) {
				if i > 0 {
					got += "; "
				}
				got += describe(c)
			}
			if got != tt.want {
				t.Errorf("%s, turned %v: got %q, want %q", tt.name, deg, got, tt.want)
			}
		}
	}
}

func describe(c *Crossing) string {
	s := fmt.Sprintf("%v through %v ", c.Services, c.Barriers)
	if c.Hole {
		s += fmt.Sprintf("ring %.0f mm", c.RingM*1000)
	} else {
		s += "no hole"
	}
	if len(c.Seals) > 0 {
		s += fmt.Sprintf(" sealed %v", c.Seals)
	}
	return s
}

func TestBarriersKeepsOnlyAskedServices(t *testing.T) {
	in := &void.Input{Parts: []void.Part{{Mesh: box(0, 0, 3, 4, 3, 3.02), Role: void.RoleDeck, Element: 1}, pipe(2, 1, 1, 0.03, 0, 5)}}
	if got := Barriers(in, func(e int) bool { return e != 2 }); len(got) != 0 {
		t.Errorf("%d crossings of services that were not asked for", len(got))
	}
}

func TestWalls(t *testing.T) {
	// A double wall along x at y = 0: two rows of 89 mm, 25 mm between, 16 mm board on each face.
	wall := void.Wall{Dir: geom.Vec2{X: 1}, Length: 11, Across: void.Span{Lo: 0, Hi: 0.235}, Z1: 2.46,
		Cavities: []void.Span{{Lo: 0.016, Hi: 0.219}}, Elements: []int{7}, Kind: void.WallDouble}
	strips := []Strip{{Wall: 0, Z0: 0, Z1: 2.46}, {Wall: 0, Z0: 2.46, Z1: 2.9, Above: true}}
	run := func(el int, y0, y1, z float64) void.Part {
		return void.Part{Mesh: box(3, y0, z, 3.05, y1, z+0.05), Role: void.RoleService, Element: el}
	}
	for _, tt := range []struct {
		name  string
		parts []void.Part
		want  string
	}{
		{"through", []void.Part{run(2, -1, 1, 1)}, "[2] through"},
		{"through above the wall", []void.Part{run(2, -1, 1, 2.6)}, "[2] above"},
		{"one face", []void.Part{run(2, -1, 0.1, 1)}, "[2] membrane"},
		{"up to the face", []void.Part{run(2, -1, 0.0005, 1)}, ""},
		{"inside the cavity", []void.Part{run(2, 0.05, 0.2, 1)}, ""},
		{"beyond the wall's end", []void.Part{{Mesh: box(12, -1, 1, 12.05, 1, 1.05), Role: void.RoleService, Element: 2}}, ""},
		{"two lengths that meet in the cavity", []void.Part{run(2, -1, 0.12, 1), run(3, 0.12, 1, 1)}, "[2 3] through"},
		{"two lengths that do not meet", []void.Part{run(2, -1, 0.08, 1), run(3, 0.16, 1, 1)}, "[2] membrane; [3] membrane"},
	} {
		in := &void.Input{Parts: tt.parts, Walls: []void.Wall{wall}}
		got := ""
		for i, c := range Walls(in, strips, nil) {
			if i > 0 {
				got += "; "
			}
			got += fmt.Sprint(c.Services, " ")
			switch {
			case c.Membrane:
				got += "membrane"
			case c.Strip.Above:
				got += "above"
			default:
				got += "through"
			}
		}
		if got != tt.want {
			t.Errorf("%s: got %q, want %q", tt.name, got, tt.want)
		}
	}
}

func BenchmarkBarriers(b *testing.B) {
	var parts []void.Part
	for i := range 400 {
		x := float64(i%20) * 0.6
		y := float64(i/20) * 0.6
		parts = append(parts, pipe(1000+i, x+0.3, y+0.3, 0.03, 0, 5), void.Part{Mesh: box(x, y, 3, x+0.6, y+0.6, 3.02), Role: void.RoleDeck, Element: i})
	}
	in := &void.Input{Parts: parts}
	for b.Loop() {
		if n := len(Barriers(in, nil)); n != 400 {
			b.Fatal(n)
		}
	}
}
