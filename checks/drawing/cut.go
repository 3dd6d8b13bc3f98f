package drawing

import (
	"math"

	"voidcheck/checks/finding"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// cuts are what a plane cuts within its length, by role. Beyond adds stops that run along the
// plane a little way off: in elevation they show where they end.
func (m *maker) cuts(p plane, beyond bool) []finding.Cut {
	byRole := map[string]*finding.Cut{}
	behind := map[string]*finding.Cut{}
	for _, i := range m.index.In(p.bounds(0, p.length).Grow(near + 0.01)) {
		part := &m.b.Input.Parts[i]
		name := roleName[part.Role]
		if name == "" {
			continue
		}
		if far(m.boxes[i], p, near) {
			continue
		}
		if rings := upright(part.Mesh, p); len(rings) > 0 {
			m.put(byRole, name, p, rings)
			continue
		}
		if beyond && (part.Role == void.RoleDraftstop || part.Role == void.RoleBlock) {
			if off, runs := alongside(part.Mesh, p); runs {
				m.put(behind, name, p, upright(part.Mesh, p.moved(off)))
			}
		}
	}
	var out []finding.Cut
	for _, set := range []map[string]*finding.Cut{behind, byRole} {
		done := map[string]bool{}
		for _, r := range roles {
			if c := set[r.name]; c != nil && !done[r.name] {
				done[r.name] = true
				c.Role, c.Beyond = r.name, set[r.name] == behind[r.name]
				out = append(out, *c)
			}
		}
	}
	return out
}

// far reports whether a box keeps more than d away from the plane, or lies beyond its ends.
func far(b geom.Box, p plane, d float64) bool {
	lo, hi := math.Inf(1), math.Inf(-1)
	s0, s1 := math.Inf(1), math.Inf(-1)
	for _, q := range []geom.Vec2{{X: b.Min.X, Y: b.Min.Y}, {X: b.Max.X, Y: b.Min.Y}, {X: b.Max.X, Y: b.Max.Y}, {X: b.Min.X, Y: b.Max.Y}} {
		o, s := p.off(q), p.s(q)
		lo, hi, s0, s1 = min(lo, o), max(hi, o), min(s0, s), max(s1, s)
	}
	return lo > d || hi < -d || s1 < 0 || s0 > p.length
}

// alongside reports whether a thin part stands parallel to the plane, and how far off its
// middle is.
func alongside(mesh *geom.Mesh, p plane) (off float64, runs bool) {
	lo, hi := math.Inf(1), math.Inf(-1)
	s0, s1 := math.Inf(1), math.Inf(-1)
	for _, v := range mesh.Verts {
		q := v.Plan()
		lo, hi = min(lo, p.off(q)), max(hi, p.off(q))
		s0, s1 = min(s0, p.s(q)), max(s1, p.s(q))
	}
	off = (lo + hi) / 2
	return off, hi-lo < 0.12 && s1-s0 > 2*(hi-lo) && math.Abs(off) <= near
}

func (m *maker) put(set map[string]*finding.Cut, name string, p plane, rings []geom.Ring) {
	for _, r := range rings {
		r = clipped(r, p.length)
		if len(r) < 3 {
			continue
		}
		c := set[name]
		if c == nil {
			c = &finding.Cut{}
			set[name] = c
		}
		if b, ok := asBox(r); ok {
			c.Boxes = append(c.Boxes, [4]float64{round(b[0]), round(b[1] + m.o.Z), round(b[2]), round(b[3] + m.o.Z)})
			continue
		}
		ring := make([][2]float64, len(r))
		for i, q := range r {
			ring[i] = [2]float64{round(q.X), round(q.Y + m.o.Z)}
		}
		c.Rings = append(c.Rings, ring)
	}
}

// clipped keeps of a ring what lies between 0 and length along s.
func clipped(r geom.Ring, length float64) geom.Ring {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range r {
		lo, hi = min(lo, p.X), max(hi, p.X)
	}
	if lo >= 0 && hi <= length {
		return r
	}
	r = keep(r, func(p geom.Vec2) float64 { return p.X })
	return keep(r, func(p geom.Vec2) float64 { return length - p.X })
}

// keep clips a ring to where f is not negative.
func keep(r geom.Ring, f func(geom.Vec2) float64) geom.Ring {
	var out geom.Ring
	for i, a := range r {
		b := r[(i+1)%len(r)]
		fa, fb := f(a), f(b)
		if fa >= 0 {
			out = append(out, a)
		}
		if (fa >= 0) != (fb >= 0) {
			out = append(out, a.Add(b.Sub(a).Mul(fa/(fa-fb))))
		}
	}
	return out
}
