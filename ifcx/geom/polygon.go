package geom

import "math"

// Ring is a closed polygon; the last point joins the first and is not repeated.
type Ring []Vec2

// Area returns the signed area in square metres, positive for a counter-clockwise ring.
func (r Ring) Area() float64 {
	if len(r) < 3 {
		return 0
	}
	o, a := r[0], 0.0 // a local origin keeps digits far from the axes
	for i := 1; i+1 < len(r); i++ {
		a += r[i].Sub(o).Cross(r[i+1].Sub(o))
	}
	return a / 2
}

// IsCCW reports whether the ring runs counter-clockwise.
func (r Ring) IsCCW() bool { return r.Area() > 0 }

// Reversed returns the ring in the other direction, starting at the same point.
func (r Ring) Reversed() Ring {
	s := make(Ring, len(r))
	for i := range r {
		s[(len(r)-i)%len(r)] = r[i]
	}
	return s
}

// Length returns the length of the boundary in metres.
func (r Ring) Length() float64 {
	l := 0.0
	for i, p := range r {
		l += r[(i+1)%len(r)].Sub(p).Len()
	}
	return l
}

// Contains reports whether the point is inside by the even-odd rule. Points on the boundary
// belong to one side or the other; ask OnBoundary when that matters.
func (r Ring) Contains(p Vec2) bool {
	in := false
	for i, a := range r {
		b := r[(i+1)%len(r)]
		if (a.Y > p.Y) == (b.Y > p.Y) {
			continue
		}
		lo, hi := a, b
		if lo.Y > hi.Y {
			lo, hi = hi, lo
		}
		if hi.Sub(lo).Cross(p.Sub(lo)) > 0 {
			in = !in
		}
	}
	return in
}

// OnBoundary reports whether the point lies within tol metres of the ring's edges.
func (r Ring) OnBoundary(p Vec2, tol float64) bool {
	for i, a := range r {
		if DistToSegment(p, a, r[(i+1)%len(r)]) <= tol {
			return true
		}
	}
	return false
}

// DistToSegment returns the distance in metres from p to the segment a-b.
func DistToSegment(p, a, b Vec2) float64 {
	d := b.Sub(a)
	l2 := d.Dot(d)
	if l2 == 0 {
		return p.Sub(a).Len()
	}
	t := math.Max(0, math.Min(1, p.Sub(a).Dot(d)/l2))
	return p.Sub(a.Add(d.Mul(t))).Len()
}

// Cleaned returns the ring without repeated points, spikes and points on straight edges, all
// within tol metres; nil when fewer than three points or no area remain.
func (r Ring) Cleaned(tol float64) Ring {
	s := make(Ring, 0, len(r))
	for _, p := range r {
		if !p.IsFinite() {
			return nil
		}
		s = append(s, p)
	}
	for changed := true; changed && len(s) >= 3; {
		changed = false
		for i := 0; i < len(s) && len(s) >= 3; {
			a, b, c := s[(i+len(s)-1)%len(s)], s[i], s[(i+1)%len(s)]
			if !isCorner(a, b, c, tol) {
				s = append(s[:i], s[i+1:]...)
				changed = true
				continue
			}
			i++
		}
	}
	if len(s) < 3 || math.Abs(s.Area()) < tol*s.Length()/2 {
		return nil
	}
	return s
}

// isCorner reports whether b is a point of its own and off the line a-c.
func isCorner(a, b, c Vec2, tol float64) bool {
	ab, bc, ac := b.Sub(a), c.Sub(b), c.Sub(a)
	if ab.Len() <= tol || bc.Len() <= tol {
		return false
	}
	l := math.Max(ac.Len(), math.Max(ab.Len(), bc.Len())) // a spike has a short a-c
	return math.Abs(ab.Cross(bc)) > tol*l
}

// IsFinite reports whether no coordinate is NaN or infinite.
func (a Vec2) IsFinite() bool {
	return !math.IsNaN(a.X) && !math.IsInf(a.X, 0) && !math.IsNaN(a.Y) && !math.IsInf(a.Y, 0)
}

// IsFinite reports whether no coordinate is NaN or infinite.
func (a Vec3) IsFinite() bool {
	return !math.IsNaN(a.X) && !math.IsInf(a.X, 0) && !math.IsNaN(a.Y) && !math.IsInf(a.Y, 0) && !math.IsNaN(a.Z) && !math.IsInf(a.Z, 0)
}

// Region is a plane area bounded by rings: outer rings counter-clockwise, holes clockwise,
// not crossing each other. Combine makes regions out of any rings.
type Region []Ring

// Area returns the area in square metres, holes deducted.
func (g Region) Area() float64 {
	a := 0.0
	for _, r := range g {
		a += r.Area()
	}
	return a
}

// Contains reports whether the point is inside the region by the even-odd rule.
func (g Region) Contains(p Vec2) bool {
	in := false
	for _, r := range g {
		if r.Contains(p) {
			in = !in
		}
	}
	return in
}

// Bounds returns the corners of the region's box; lo.X > hi.X for an empty region.
func (g Region) Bounds() (lo, hi Vec2) {
	i := math.Inf(1)
	lo, hi = Vec2{i, i}, Vec2{-i, -i}
	for _, r := range g {
		for _, p := range r {
			lo = Vec2{math.Min(lo.X, p.X), math.Min(lo.Y, p.Y)}
			hi = Vec2{math.Max(hi.X, p.X), math.Max(hi.Y, p.Y)}
		}
	}
	return lo, hi
}

// Parts splits the region into its connected areas: each outer ring followed by the holes
// that lie directly inside it, in the order of the outer rings.
func (g Region) Parts() []Region {
	var outer []int
	for i, r := range g {
		if r.Area() > 0 {
			outer = append(outer, i)
		}
	}
	parts := make([]Region, len(outer))
	for k, i := range outer {
		parts[k] = Region{g[i]}
	}
	for _, h := range g {
		if h.Area() > 0 {
			continue
		}
		best, bestArea := -1, math.Inf(1)
		for k, i := range outer {
			if a := g[i].Area(); a < bestArea && (len(outer) == 1 || holds(g[i], h)) {
				best, bestArea = k, a
			}
		}
		if best >= 0 {
			parts[best] = append(parts[best], h)
		}
	}
	return parts
}

// holds reports whether hole h lies in outer ring r; they may touch in points.
func holds(r, h Ring) bool {
	for i, p := range h {
		q := h[(i+1)%len(h)]
		m := p.Add(q).Mul(0.5) // an edge's middle is off the outer ring, its ends may not be
		if !r.OnBoundary(m, Weld/4) {
			return r.Contains(m)
		}
	}
	return false
}
