package crossing

import (
	"math"
	"sort"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// frame is the axes of a barrier: U and V in its plane, W across it.
type frame struct{ u, v, w geom.Vec3 }

var upright = frame{geom.Vec3{X: 1}, geom.Vec3{Y: 1}, geom.Vec3{Z: 1}}

// wallFrame is the frame of a vertical barrier that runs along dir.
func wallFrame(dir geom.Vec2) frame {
	return frame{geom.Vec3{X: dir.X, Y: dir.Y}, geom.Vec3{Z: 1}, geom.Vec3{X: -dir.Y, Y: dir.X}}
}

func (f frame) local(p geom.Vec3) geom.Vec3 {
	return geom.Vec3{X: p.Dot(f.u), Y: p.Dot(f.v), Z: p.Dot(f.w)}
}

func (f frame) world(p geom.Vec3) geom.Vec3 {
	return f.u.Mul(p.X).Add(f.v.Mul(p.Y)).Add(f.w.Mul(p.Z))
}

// box is the box of a mesh in the frame.
func (f frame) box(m *geom.Mesh) geom.Box {
	b := geom.EmptyBox()
	for _, p := range m.Verts {
		b = b.Extend(f.local(p))
	}
	return b
}

// frameOf finds how a barrier lies: flat when it is thinnest in height, else across its
// thinnest direction in plan, which is that of one of its edges.
func frameOf(s *solid) frame {
	if s.part.Role == void.RoleDeck || s.part.Role == void.RoleCeiling {
		return upright
	}
	best, dir := math.Inf(1), geom.Vec2{X: 1}
	m := s.part.Mesh
	seen := map[int]bool{}
	for _, t := range m.Tris {
		for k := range t {
			e := m.Verts[t[(k+1)%3]].Plan().Sub(m.Verts[t[k]].Plan())
			if e.Len() < 1e-4 {
				continue
			}
			e = e.Unit()
			if e.X < 0 || e.X == 0 && e.Y < 0 {
				e = e.Mul(-1)
			}
			angle := int(math.Round(math.Atan2(e.Y, e.X) * 1e5))
			if seen[angle] {
				continue
			}
			seen[angle] = true
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, p := range m.Verts {
				d := e.Cross(p.Plan())
				lo, hi = math.Min(lo, d), math.Max(hi, d)
			}
			if hi-lo < best-1e-9 {
				best, dir = hi-lo, e
			}
		}
	}
	if s.box.Max.Z-s.box.Min.Z <= best {
		return upright
	}
	return wallFrame(dir)
}

// segment is a piece of a section, in the plane of a frame.
type segment struct{ a, b geom.Vec2 }

// section cuts a mesh at height z of the frame.
func (f frame) section(m *geom.Mesh, z float64) []segment {
	var r []segment
	for _, t := range m.Tris {
		var p [3]geom.Vec3
		var above [3]bool
		for k := range t {
			p[k] = f.local(m.Verts[t[k]])
			above[k] = p[k].Z >= z
		}
		if above[0] == above[1] && above[1] == above[2] {
			continue
		}
		var ends []geom.Vec2
		for k := range p {
			a, b := p[k], p[(k+1)%3]
			if above[k] == above[(k+1)%3] {
				continue
			}
			s := (z - a.Z) / (b.Z - a.Z)
			ends = append(ends, geom.Vec2{X: a.X + s*(b.X-a.X), Y: a.Y + s*(b.Y-a.Y)})
		}
		if len(ends) == 2 {
			r = append(r, segment{ends[0], ends[1]})
		}
	}
	return r
}

// inside reports whether a point lies in the material that segments bound (even-odd rule).
func inside(segs []segment, p geom.Vec2) bool {
	in := false
	for _, s := range segs {
		if (s.a.Y > p.Y) == (s.b.Y > p.Y) {
			continue
		}
		if p.X < s.a.X+(p.Y-s.a.Y)*(s.b.X-s.a.X)/(s.b.Y-s.a.Y) {
			in = !in
		}
	}
	return in
}

// hull is the convex outline of the ends of segments, counter-clockwise: pipes and ducts
// are convex, and the inside of a hollow one does not matter.
func hull(segs []segment) []geom.Vec2 {
	var p []geom.Vec2
	for _, s := range segs {
		p = append(p, s.a, s.b)
	}
	sort.Slice(p, func(i, j int) bool { return p[i].X < p[j].X || p[i].X == p[j].X && p[i].Y < p[j].Y })
	if len(p) < 3 {
		return p
	}
	half := func(pts []geom.Vec2) []geom.Vec2 {
		var h []geom.Vec2
		for _, q := range pts {
			for len(h) > 1 && h[len(h)-1].Sub(h[len(h)-2]).Cross(q.Sub(h[len(h)-2])) <= 1e-12 {
				h = h[:len(h)-1]
			}
			h = append(h, q)
		}
		return h
	}
	lower := half(p)
	for i, j := 0, len(p)-1; i < j; i, j = i+1, j-1 {
		p[i], p[j] = p[j], p[i]
	}
	upper := half(p)
	return append(lower[:len(lower)-1], upper[:len(upper)-1]...)
}

// box2 is a box in a plane.
type box2 struct{ lo, hi geom.Vec2 }

func boxOf(segs []segment) box2 {
	i := math.Inf(1)
	b := box2{geom.Vec2{X: i, Y: i}, geom.Vec2{X: -i, Y: -i}}
	for _, s := range segs {
		for _, p := range []geom.Vec2{s.a, s.b} {
			b.lo = geom.Vec2{X: math.Min(b.lo.X, p.X), Y: math.Min(b.lo.Y, p.Y)}
			b.hi = geom.Vec2{X: math.Max(b.hi.X, p.X), Y: math.Max(b.hi.Y, p.Y)}
		}
	}
	return b
}

func (b box2) overlaps(c box2, by float64) bool {
	return b.lo.X <= c.hi.X+by && c.lo.X <= b.hi.X+by && b.lo.Y <= c.hi.Y+by && c.lo.Y <= b.hi.Y+by
}

func (b box2) centre() geom.Vec2 { return b.lo.Add(b.hi).Mul(0.5) }

// plane drops the height of a box in a frame.
func plane(b geom.Box) box2 { return box2{b.Min.Plan(), b.Max.Plan()} }
