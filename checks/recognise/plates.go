package recognise

import (
	"math"

	"voidcheck/ifcx/geom"
)

// findPlates returns the plates: level sticks that a stud stands on or ends under, sticks that
// types or words call plates, and sticks that lie flat on a plate of the same direction.
func (r *reader) findPlates(studs []*piece) []*piece {
	is := map[*piece]bool{}
	for _, s := range studs {
		b := s.box.Grow(endLap + 0.001)
		for _, i := range r.near.In(b) {
			if p := r.ps[i]; !is[p] && r.isPlateLike(p) && endsOn(s, p) != 0 {
				is[p] = true
			}
		}
	}
	for _, p := range r.ps {
		if r.isPlateLike(p) && !is[p] {
			if e, ok := r.hint(p).says("plate"); ok && (e.Strong() || r.hint(p).first() == "plate") {
				is[p] = true
			}
		}
	}
	for again := true; again; {
		again = false
		for _, p := range r.ps {
			if is[p] || !r.isPlateLike(p) {
				continue
			}
			for _, i := range r.near.In(p.box.Grow(endClear)) {
				if q := r.ps[i]; is[q] && stacked(p, q) {
					is[p], again = true, true
					break
				}
			}
		}
	}
	var out []*piece
	for _, p := range r.ps {
		if is[p] {
			out = append(out, p)
		}
	}
	return out
}

// endsOn returns -1 when a stud stands on a plate, +1 when it ends under it, 0 otherwise.
func endsOn(s, p *piece) int {
	l := stripOf(p)
	s0, s1, t0, t1 := l.span(p)
	u0, u1, v0, v1 := l.span(s)
	if overlap(s0, s1, u0, u1) < 0.5*(u1-u0) || overlap(t0, t1, v0, v1) < 0.55*(v1-v0) {
		return 0
	}
	down := s.z0() - p.z1()
	up := p.z0() - s.z1()
	switch {
	case down > -endLap && down < endClear && s.z1() > p.z1()+studMin/2:
		return -1
	case up > -endLap && up < endClear && s.z0() < p.z0()-studMin/2:
		return 1
	}
	return 0
}

// stripOf returns a strip along a level stick that tells directions only.
func stripOf(p *piece) leaf {
	d := p.axes[0].Plan()
	return newStrip(geom.Vec2{X: -d.Y, Y: d.X})
}

// stacked reports whether p lies flat on or under q, along it.
func stacked(p, q *piece) bool {
	if math.Abs(p.axes[0].Dot(q.axes[0])) < 0.999 {
		return false
	}
	up, down := p.z0()-q.z1(), q.z0()-p.z1()
	if !(up > -endLap/2 && up < endClear/2) && !(down > -endLap/2 && down < endClear/2) {
		return false
	}
	l := stripOf(p)
	ps0, ps1, pt0, pt1 := l.span(p)
	qs0, qs1, qt0, qt1 := l.span(q)
	return overlap(ps0, ps1, qs0, qs1) > 0.1 && overlap(pt0, pt1, qt0, qt1) > 0.6*math.Max(pt1-pt0, qt1-qt0)
}
