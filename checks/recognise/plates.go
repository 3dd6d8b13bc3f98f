package recognise

import (
	"math"

	"voidcheck/ifcx/geom"
)

// findPlates returns the plates: level sticks that a stud stands on or ends under, sticks that
// types or words call plates, and sticks that lie flat on a plate of the same direction.
func (r *reader) findPlates(studs []*piece) []*piece {
	like, is := make([]bool, len(r.ps)), make([]bool, len(r.ps))
	parallel(len(r.ps), func(from, to int) {
		for i := from; i < to; i++ {
			p := r.ps[i]
			if like[i] = r.isPlateLike(p); like[i] {
				e, ok := r.hint(p).says("plate")
				is[i] = ok && (e.Strong() || r.hint(p).first() == "plate")
			}
		}
	})
	meets := make([][]int32, len(studs))
	parallel(len(studs), func(from, to int) {
		var near []int
		for k := from; k < to; k++ {
			s := studs[k]
			near = r.near.Append(near[:0], s.box.Grow(endLap+0.001))
			for _, i := range near {
				if like[i] && !is[i] && endsOn(s, r.ps[i]) != 0 {
					meets[k] = append(meets[k], int32(i))
				}
			}
		}
	})
	for _, l := range meets {
		for _, i := range l {
			is[i] = true
		}
	}
	var near []int
	for again := true; again; {
		again = false
		for k, p := range r.ps {
			if is[k] || !like[k] {
				continue
			}
			near = r.near.Append(near[:0], p.box.Grow(endClear))
			for _, i := range near {
				if is[i] && stacked(p, r.ps[i]) {
					is[k], again = true, true
					break
				}
			}
		}
	}
	var out []*piece
	for i, p := range r.ps {
		if is[i] {
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
	most := 0.55
	if s.z1()-s.z0() < lowStud { // a short end of floor framing over a wall stands out from it
		most = 0.9
	}
	if overlap(s0, s1, u0, u1) < 0.5*(u1-u0) || overlap(t0, t1, v0, v1) < most*(v1-v0) {
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

// sameStrip reports whether two level sticks lie over each other in one strip.
func sameStrip(p, q *piece) bool {
	if math.Abs(p.axes[0].Dot(q.axes[0])) < 0.999 {
		return false
	}
	l := stripOf(p)
	_, _, a0, a1 := l.span(p)
	_, _, b0, b1 := l.span(q)
	return overlap(a0, a1, b0, b1) > 0.5*math.Max(a1-a0, b1-b0)
}

// endToEnd reports whether two sticks continue each other.
func endToEnd(p, q *piece) bool {
	if !sameStrip(p, q) || overlap(p.z0(), p.z1(), q.z0(), q.z1()) < 0.5*p.height() {
		return false
	}
	l := stripOf(p)
	p0, p1, a0, a1 := l.span(p)
	q0, q1, b0, b1 := l.span(q)
	// A plate of another width begins another wall in line with the first.
	return overlap(p0, p1, q0, q1) > -endClear && math.Abs(a0-b0) < flush && math.Abs(a1-b1) < flush
}

// fillsPlate reports whether an upright piece stands on a plate, as deep as that is wide and thin along it: a
// cripple under low eaves, hardly taller than deep.
func (r *reader) fillsPlate(p *piece) bool {
	const play = 0.006
	for _, i := range r.near.In(p.box.Grow(endClear)) {
		q := r.ps[i]
		if q == p || !r.isPlateLike(q) || endsOn(p, q) != -1 {
			continue
		}
		l := stripOf(q)
		s0, s1, t0, t1 := l.span(p)
		_, _, u0, u1 := l.span(q)
		if s1-s0 < 0.6*(t1-t0) && math.Abs(t0-u0) < play && math.Abs(t1-u1) < play {
			return true
		}
	}
	return false
}
