package recognise

import (
	"math"

	"voidcheck/checks/void"
)

// splitLevels reports whether floors lie at heights less than a storey apart: units on stepped ground.
func (r *reader) splitLevels() bool {
	const storey = 2.0 // metres
	for i := 1; i < len(r.levels); i++ {
		if d := r.levels[i] - r.levels[i-1]; d > 0.3 && d < storey {
			return true
		}
	}
	return false
}

// floorBeside reports whether a wall passes a floor of its own at a level: one on that side of it
// where a row, or the whole wall, stands past the level. The floor of a neighbour half a storey up is none.
func (r *reader) floorBeside(l *leaf, v float64) bool {
	const past, reach = 1.0, 0.12 // metres; what lies behind a masonry wall is farther away
	lo, hi := l.edges()
	low, high := len(l.rowZ) == 0, len(l.rowZ) == 0
	for _, h := range l.rowZ {
		if v > h.z0+past && v < h.z1-past {
			low, high = low || h.lo-lo < 0.05 || len(l.rowZ) < 2, high || hi-h.hi < 0.05 || len(l.rowZ) < 2
		}
	}
	near := l.stretch(l.s0, l.s1, lo-reach, hi+reach)
	near.Min.Z, near.Max.Z = v-0.15, v+0.15
	for _, k := range r.near.In(near) {
		p := r.ps[k]
		if p.skip || p.role != void.RoleDeck || math.Abs(p.z1()-v) > 0.15 {
			continue
		}
		s0, s1, t0, t1 := l.span(p)
		if overlap(s0, s1, l.s0, l.s1) < 0.3*(l.s1-l.s0) {
			continue
		}
		if low && overlap(t0, t1, lo-reach, lo) > 0.02 || high && overlap(t0, t1, hi, hi+reach) > 0.02 {
			return true
		}
	}
	return false
}

// plateSpan returns the lowest and the highest of the heights at which the rows of a stepped wall
// end or go on into the attic; both are v where it is not stepped there.
func (l *leaf) plateSpan(v float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, h := range l.rowZ {
		lo, hi = math.Min(lo, h.top()), math.Max(hi, h.top())
	}
	if len(l.rowZ) < 2 || hi-lo < stepped || hi-lo > 2 {
		return v, v
	}
	return lo, hi
}

// top is the height of the plates of a row, its highest where nothing stands on them.
func (h rowHeight) top() float64 {
	if math.IsInf(h.plate, 1) {
		return h.z1
	}
	return h.plate
}

// standsOver returns how far a wall stands above another; row by row, the least of them, where both are stepped.
func (l *leaf) standsOver(o *leaf) float64 {
	if len(l.rowZ) < 2 || len(o.rowZ) < 2 {
		return l.z0 - o.z1
	}
	d := math.Inf(1)
	for _, h := range l.rowZ {
		for _, g := range o.rowZ {
			if overlap(h.lo, h.hi, g.lo, g.hi) > 0.5*(h.hi-h.lo) {
				d = math.Min(d, math.Max(h.z0, l.z0)-math.Min(g.z1, o.z1))
			}
		}
	}
	if math.IsInf(d, 1) {
		return l.z0 - o.z1
	}
	return d
}
