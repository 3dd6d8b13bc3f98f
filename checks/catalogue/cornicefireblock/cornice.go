package cornicefireblock

import (
	"math"

	"voidcheck/checks"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Lengths that tell a cornice, metres.
const (
	overhangMin = 0.10 // roofs that stand out less have no cornice
	overhangMax = 2.0
	step        = 0.02
	roofThick   = 0.50 // layers of one roof lie no further apart
	boxMax      = 1.20 // the board of a boxed eave lies no deeper below the roof
	beside      = 0.15 // how far beside the unit line the boards must go on
	slab        = 0.001
	enough      = 0.95 // share of the section that a block must fill
)

// cornice is the eave at one end of a unit line.
type cornice struct {
	wall  *void.Wall
	index int
	base  geom.Vec2 // on the middle of the unit line, at the end of the wall
	out   geom.Vec2 // away from the building
	d0    float64   // outer face of the exterior wall, from base
	d1    float64   // end of the roof
	boxed bool      // a board closes it from below on both sides of the line
	lo    float64   // top of that board
	point geom.Vec3
}

// at is the plan point at a distance out from the base, shifted across the line.
func (c *cornice) at(d, t float64) geom.Vec2 {
	return c.base.Add(c.out.Mul(d)).Add(c.wall.Norm().Mul(t))
}

// find returns the cornices of all unit lines: at both ends of the topmost wall of each.
func find(p *checks.Pass) []*cornice {
	in := &p.Building.Input
	var out []*cornice
	for _, s := range in.Separations {
		top := -1
		for _, i := range s.Walls {
			if i >= 0 && i < len(in.Walls) && (top < 0 || in.Walls[i].Z1 > in.Walls[top].Z1+1e-6) {
				top = i
			}
		}
		if top < 0 {
			continue
		}
		w := &in.Walls[top]
		mid := (w.Across.Lo + w.Across.Hi) / 2
		for _, end := range []float64{0, w.Length} {
			c := &cornice{wall: w, index: top, base: w.At(end, mid), out: w.Dir}
			if end == 0 {
				c.out = w.Dir.Mul(-1)
			}
			if c.measure(in) {
				out = append(out, c)
			}
		}
	}
	return out
}

// measure finds how far the roof stands out and what closes it from below; false when there
// is no cornice.
func (c *cornice) measure(in *void.Input) bool {
	c.d0 = c.face(in)
	c.d1 = math.Inf(-1)
	high := math.Inf(-1)
	for d := c.d0; d < c.d0+overhangMax; d += step {
		z, ok := c.roof(in, d)
		if !ok {
			break
		}
		c.d1, high = d, math.Max(high, z)
	}
	for a, b := c.d1, c.d1+step; b-a > 1e-5; { // the edge of the roof itself
		m := (a + b) / 2
		if _, ok := c.roof(in, m); ok {
			a, c.d1 = m, m
		} else {
			b = m
		}
	}
	if c.d1-c.d0 < overhangMin {
		return false
	}
	half := (c.wall.Across.Hi - c.wall.Across.Lo) / 2
	middle := (c.d0 + c.d1) / 2
	lo, left := c.board(in, middle, -half-beside, high)
	_, right := c.board(in, middle, half+beside, high)
	c.boxed, c.lo = left && right, lo
	z := high
	if c.boxed {
		z = (c.lo + high) / 2
	}
	q := c.at(middle, 0)
	c.point = geom.Vec3{X: q.X, Y: q.Y, Z: z}
	return true
}

// face is the distance from the base to the outer face of the exterior wall.
func (c *cornice) face(in *void.Input) float64 {
	far := 0.0
	for i := range in.Walls {
		w := &in.Walls[i]
		if math.Abs(w.Dir.Dot(c.out)) > 0.2 || w.Z1 < c.wall.Z0 || w.Z0 > c.wall.Z1 {
			continue
		}
		for _, t := range []float64{w.Across.Lo, w.Across.Hi} {
			a, b := w.At(0, t).Sub(c.base), w.At(w.Length, t).Sub(c.base)
			if d := a.Dot(c.out); d > far && d < 0.6 && a.Cross(c.out)*b.Cross(c.out) < 0.25 {
				far = d
			}
		}
	}
	return far
}

// roof returns the height of the underside of the topmost roof at a distance out from the
// base; its boards and layers are one roof.
func (c *cornice) roof(in *void.Input, d float64) (float64, bool) {
	var all []float64
	top := math.Inf(-1)
	q := c.at(d, 0)
	for i := range in.Parts {
		p := &in.Parts[i]
		if p.Role != void.RoleRoof || p.Mesh == nil {
			continue
		}
		if lo, _, ok := heights(p.Mesh, q); ok {
			all, top = append(all, lo), math.Max(top, lo)
		}
	}
	best := top
	for _, z := range all {
		if z > top-roofThick {
			best = math.Min(best, z)
		}
	}
	return best, len(all) > 0
}

// board returns the top of the highest board below the roof at a place.
func (c *cornice) board(in *void.Input, d, t, below float64) (float64, bool) {
	best, found := math.Inf(-1), false
	q := c.at(d, t)
	for i := range in.Parts {
		p := &in.Parts[i]
		switch p.Role {
		case void.RoleSoffitBoard, void.RoleCeiling, void.RoleFinish, void.RoleDeck:
		default:
			continue
		}
		if p.Mesh == nil {
			continue
		}
		if _, hi, ok := heights(p.Mesh, q); ok && hi < below && hi > below-boxMax && hi > best {
			best, found = hi, true
		}
	}
	return best, found
}

// heights returns the lowest and highest height of a mesh over a plan point.
func heights(m *geom.Mesh, q geom.Vec2) (lo, hi float64, ok bool) {
	b := m.Box()
	if q.X < b.Min.X || q.X > b.Max.X || q.Y < b.Min.Y || q.Y > b.Max.Y || !m.Covers(q) {
		return 0, 0, false
	}
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, t := range m.Tris {
		a, e, f := m.Verts[t[0]], m.Verts[t[1]], m.Verts[t[2]]
		area := e.Plan().Sub(a.Plan()).Cross(f.Plan().Sub(a.Plan()))
		if math.Abs(area) < 1e-12 {
			continue
		}
		u := e.Plan().Sub(q).Cross(f.Plan().Sub(q)) / area
		v := f.Plan().Sub(q).Cross(a.Plan().Sub(q)) / area
		w := 1 - u - v
		if u < -1e-9 || v < -1e-9 || w < -1e-9 {
			continue
		}
		z := u*a.Z + v*e.Z + w*f.Z
		lo, hi, ok = math.Min(lo, z), math.Max(hi, z), true
	}
	return lo, hi, ok
}

// section is the area to be closed at the unit line, from board to roof.
func (c *cornice) section(in *void.Input) float64 {
	const n = 40
	sum := 0.0
	for i := range n {
		d := c.d0 + (c.d1-c.d0)*(float64(i)+0.5)/n
		if z, ok := c.roof(in, d); ok && z > c.lo {
			sum += (z - c.lo) * (c.d1 - c.d0) / n
		}
	}
	return sum
}

// closing returns the largest area of the section that blocks, boards or the wall close in
// one plane along the unit line, and their elements.
func (c *cornice) closing(in *void.Input) (float64, []int) {
	norm := c.wall.Norm()
	half := (c.wall.Across.Hi-c.wall.Across.Lo)/2 + 0.1
	type piece struct {
		mesh    *geom.Mesh
		element int
		t0, t1  float64
	}
	var pieces []piece
	for i := range in.Parts {
		p := &in.Parts[i]
		switch p.Role {
		case void.RoleBlock, void.RoleDraftstop, void.RoleSolid, void.RoleFinish, void.RoleSeal, void.RoleRim:
		default:
			continue
		}
		if p.Mesh == nil {
			continue
		}
		m := c.within(p.Mesh)
		if m == nil {
			continue
		}
		x := piece{mesh: m, element: p.Element, t0: math.Inf(1), t1: math.Inf(-1)}
		for _, v := range m.Verts {
			t := v.Plan().Sub(c.base).Dot(norm)
			x.t0, x.t1 = math.Min(x.t0, t), math.Max(x.t1, t)
		}
		if x.t0 < half && x.t1 > -half {
			pieces = append(pieces, x)
		}
	}
	best, elements := 0.0, []int(nil)
	for _, plane := range pieces {
		t := math.Max(-half, math.Min(half, (plane.t0+plane.t1)/2))
		area, used := 0.0, []int(nil)
		for _, x := range pieces {
			if x.t0 > t || x.t1 < t {
				continue
			}
			if a := c.cut(x.mesh, t); a > 0 {
				area, used = area+a, append(used, x.element)
			}
		}
		if area > best {
			best, elements = area, used
		}
	}
	return best, elements
}

// within returns the part of a mesh in the cornice: beyond the wall's face, up to the roof's
// end, above the board.
func (c *cornice) within(m *geom.Mesh) *geom.Mesh {
	out := geom.Vec3{X: c.out.X, Y: c.out.Y}
	at := func(d float64) geom.Vec3 {
		q := c.at(d, 0)
		return geom.Vec3{X: q.X, Y: q.Y}
	}
	for _, plane := range []geom.Plane{
		geom.PlaneAt(at(c.d1), out), geom.PlaneAt(at(c.d0), out.Mul(-1)), geom.PlaneAt(geom.Vec3{Z: c.lo}, geom.Vec3{Z: -1}),
	} {
		if m = geom.Clip(m, plane); len(m.Tris) == 0 {
			return nil
		}
	}
	return m
}

// cut is the area of the section of a mesh at a distance across the unit line.
func (c *cornice) cut(m *geom.Mesh, t float64) float64 {
	n := c.wall.Norm()
	across := geom.Vec3{X: n.X, Y: n.Y}
	at := func(t float64) geom.Vec3 {
		q := c.at(0, t)
		return geom.Vec3{X: q.X, Y: q.Y}
	}
	m = geom.Clip(m, geom.PlaneAt(at(t+slab/2), across))
	if len(m.Tris) > 0 {
		m = geom.Clip(m, geom.PlaneAt(at(t-slab/2), across.Mul(-1)))
	}
	return math.Abs(m.Volume()) / slab
}
