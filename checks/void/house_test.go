package void

import (
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

// twoUnits is the worked example of the design: two units side by side, each wide x deep in
// plan, floor trusses on a double-stud separation of two 89 mm rows with 25 mm between.
// x runs across the separation, y along it.
type twoUnits struct {
	in      Input
	wide    float64
	deep    float64
	depth   float64 // of the trusses
	spacing float64
	skip    map[string]bool // blocks to leave out: "L7", "R7"
	stopAt  []float64       // y of draftstops on truss faces in the left unit: short of the deck by stopGap
	stopGap float64
	level   bool // leave the gap block out at the floor
	n       int
}

func (h *twoUnits) box(role Role, x0, x1, y0, y1, z0, z1 float64, asm int) {
	if x1 <= x0 || y1 <= y0 || z1 <= z0 {
		panic("empty part")
	}
	m := geom.BoxMesh(geom.Box{Min: geom.Vec3{X: x0, Y: y0, Z: z0}, Max: geom.Vec3{X: x1, Y: y1, Z: z1}})
	h.in.Parts = append(h.in.Parts, Part{Mesh: m, Role: role, Element: h.n, Assembly: asm})
	h.n++
}

const (
	row   = 0.089
	gapW  = 0.025
	plate = 0.038
	board = 0.0127
)

// build lays out storey 1 walls (0..2.7), floor void 2.7..3.1, storey 2 walls above.
func (h *twoUnits) build() *Input {
	const wallH, deck = 2.7, 0.0183
	zt := wallH + h.depth // underside of the deck
	half := gapW/2 + row
	x1 := half + h.wide // clear width of a unit's floor void: from inner face of the row's block to the rim
	for _, sg := range []float64{-1, 1} {
		bx := func(role Role, a, b, y0, y1, z0, z1 float64, asm int) {
			if sg < 0 {
				a, b = -b, -a
			}
			h.box(role, a, b, y0, y1, z0, z1, asm)
		}
		side := "L"
		if sg > 0 {
			side = "R"
		}
		y0, y1 := 0.0, h.deep
		// deck over the row, the void and the rim; ceiling from the row to the outer wall
		bx(RoleDeck, gapW/2, x1+0.04+0.1, y0-0.14, y1+0.14, zt, zt+deck, -1)
		bx(RoleCeiling, half, x1, y0, y1, wallH, wallH+board, -1)
		bx(RoleRim, x1, x1+0.04, y0-0.04, y1+0.04, wallH, zt, -1)
		bx(RoleRim, gapW/2, x1, y0-0.04, y0, wallH, zt, -1)
		bx(RoleRim, gapW/2, x1, y1, y1+0.04, wallH, zt, -1)
		// separation rows, both storeys: plates and studs
		for st, z := range []float64{0, zt + deck} {
			bx(RolePlate, gapW/2, half, y0, y1, z, z+plate, -1)
			if st == 0 {
				bx(RolePlate, gapW/2, half, y0, y1, z+wallH-2*plate, z+wallH, -1)
			} else {
				bx(RolePlate, gapW/2, half, y0, y1, z+2.4, z+2.4+2*plate, -1)
			}
			for y := y0; y < y1-plate; y += 0.61 {
				top := z + wallH - 2*plate
				if st == 1 {
					top = z + 2.4
				}
				bx(RoleStud, gapW/2, half, y, y+plate, z+plate, top, -1)
			}
		}
		// trusses along x, each 89 wide laid flat: chords 38 high, end post, one web
		const tw = 0.089
		var ys []float64
		for y := y0; y < y1-tw+1e-9; y += h.spacing {
			ys = append(ys, y)
		}
		for i, y := range ys {
			a := int(i)*2 + int(sg+1)/2
			bx(RoleChord, gapW/2, x1, y, y+tw, wallH+board, wallH+board+plate, a)
			bx(RoleChord, gapW/2, x1, y, y+tw, zt-plate, zt, a)
			bx(RoleWeb, gapW/2, half, y, y+tw, wallH+board+plate, zt-plate, a)
			bx(RoleWeb, x1-0.089, x1, y, y+tw, wallH+board+plate, zt-plate, a)
			bx(RoleWeb, half+h.wide/2, half+h.wide/2+0.038, y, y+tw, wallH+board+plate, zt-plate, a)
		}
		// blocks over the row between trusses
		for i := 0; i+1 <= len(ys); i++ {
			b0 := ys[i] + tw
			b1 := y1
			if i+1 < len(ys) {
				b1 = ys[i+1]
			}
			name := side + string(rune('a'+i))
			if b1-b0 < 0.02 || h.skip[name] {
				continue
			}
			bx(RoleBlock, half-plate, half, b0, b1, wallH, zt, -1)
		}
		if !h.level {
			// one closure of the gap for both sides, laid once
			if sg < 0 {
				h.box(RoleBlock, -gapW/2, gapW/2, 0, h.deep, zt-0.1, zt+0.1, -1)
			}
		}
		for _, y := range h.stopAt {
			if sg < 0 {
				bx(RoleDraftstop, half, x1, y, y+board, wallH+board, zt-h.stopGap, -1)
			}
		}
		u := 0
		if sg > 0 {
			u = 1
		}
		for _, z := range []Span{{0, wallH}, {zt + deck, zt + deck + 2.4}} {
			a, b := half+0.016, x1-0.02
			if sg < 0 {
				a, b = -b, -a
			}
			h.in.Rooms = append(h.in.Rooms, Room{Unit: u, Element: -1, Mesh: geom.BoxMesh(geom.Box{Min: geom.Vec3{X: a, Y: 0.01, Z: z.Lo}, Max: geom.Vec3{X: b, Y: h.deep - 0.01, Z: z.Hi}})})
		}
	}
	for st, z := range []float64{0, zt + deck} {
		top := z + wallH
		if st == 1 {
			top = z + 2.4 + 2*plate
		}
		h.in.Walls = append(h.in.Walls, Wall{Origin: geom.Vec2{}, Dir: geom.Vec2{Y: 1}, Length: h.deep,
			Across: Span{-half, half}, Z0: z, Z1: top, Kind: WallDouble, Cavities: []Span{{-half, half}},
			Rows: []Span{{-half, -gapW / 2}, {gapW / 2, half}}, Gaps: []Span{{-gapW / 2, gapW / 2}},
			Separation: 0, Storey: st, Framed: true, Combustible: true})
	}
	h.in.Separations = []Separation{{Units: [2]int{0, 1}, Walls: []int{0, 1}, Kind: WallDouble}}
	h.in.Levels = []float64{0, zt + deck}
	h.in.Units = 2
	h.in.MaxGap = 0.0127
	return &h.in
}

// disguise moves every part of an input by a plan rotation and shift, and may mirror it.
func disguise(in *Input, deg, dx, dy float64, mirror bool) *Input {
	c, s := math.Cos(deg*math.Pi/180), math.Sin(deg*math.Pi/180)
	m := geom.Mat{X: geom.Vec3{X: c, Y: s}, Y: geom.Vec3{X: -s, Y: c}, Z: geom.Vec3{Z: 1}, O: geom.Vec3{X: dx, Y: dy}}
	if mirror {
		m.X = m.X.Mul(-1)
	}
	out := *in
	out.Parts = nil
	for _, p := range in.Parts {
		p.Mesh = p.Mesh.Transform(m)
		out.Parts = append(out.Parts, p)
	}
	out.Rooms = nil
	for _, r := range in.Rooms {
		r.Mesh = r.Mesh.Transform(m)
		out.Rooms = append(out.Rooms, r)
	}
	out.Walls = nil
	for _, w := range in.Walls {
		n := w
		n.Origin = m.Point(geom.Vec3{X: w.Origin.X, Y: w.Origin.Y}).Plan()
		n.Dir = m.Dir(geom.Vec3{X: w.Dir.X, Y: w.Dir.Y}).Plan()
		if mirror {
			flip := func(l []Span) []Span {
				var o []Span
				for i := len(l) - 1; i >= 0; i-- {
					o = append(o, Span{-l[i].Hi, -l[i].Lo})
				}
				return o
			}
			n.Across = Span{-w.Across.Hi, -w.Across.Lo}
			n.Cavities, n.Rows, n.Gaps = flip(w.Cavities), flip(w.Rows), flip(w.Gaps)
			n.RowZ = append([]Span(nil), w.RowZ...)
			slices.Reverse(n.RowZ)
		}
		out.Walls = append(out.Walls, n)
	}
	return &out
}
