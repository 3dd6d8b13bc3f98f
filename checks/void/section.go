package void

import (
	"math"
	"sort"
)

// gapPiece is one free cell in the band of a line: along it, across it, and in height, as at its
// middle.
type gapPiece struct {
	s0, s1, t0, t1, z0, z1 float64
	node                   int32
}

// section returns the pieces that a plane at t across the line cuts, and their area in it.
func section(ps []gapPiece, t float64) (cut []gapPiece, area float64) {
	for _, p := range ps {
		if p.t0 < t && t < p.t1 {
			cut = append(cut, p)
			area += (p.s1 - p.s0) * (p.z1 - p.z0)
		}
	}
	return cut, area
}

// narrowest returns the place across the line of the section with the least area; ts are the
// edges of the pieces, ascending. Of equally narrow sections it is the one nearest to middle;
// even is true when there is one on either side of it, equally near.
func narrowest(ps []gapPiece, ts []float64, middle float64) (t float64, even bool) {
	const equal, thin, near = 1e-3, 1e-4, 0.002
	type stretch struct{ lo, hi, area float64 }
	var all []stretch
	least := math.Inf(1)
	for i := 0; i+1 < len(ts); i++ {
		if ts[i+1]-ts[i] < thin {
			continue
		}
		cut, area := section(ps, (ts[i]+ts[i+1])/2)
		if len(cut) == 0 {
			continue
		}
		least = math.Min(least, area)
		if n := len(all) - 1; n >= 0 && ts[i]-all[n].hi < thin && math.Abs(area-all[n].area) <= equal*area {
			all[n].hi = ts[i+1] // however the pieces are cut, one stretch has one middle
			continue
		}
		all = append(all, stretch{ts[i], ts[i+1], area})
	}
	best := math.Inf(1)
	for _, x := range all {
		if x.area > least*(1+equal) {
			continue
		}
		m := (x.lo + x.hi) / 2
		off := math.Abs(m - middle)
		even = even || math.Abs(off-best) < near
		if off < best-near {
			t, best, even = m, off, false
		}
	}
	for i := 0; i+1 < len(ts); i++ { // inside the pieces, not on an edge of them
		if lo, hi := ts[i]+thin/4, ts[i+1]-thin/4; ts[i+1]-ts[i] >= thin && t < hi+thin/2 {
			return math.Max(lo, math.Min(t, hi)), even
		}
	}
	return t, even
}

// inner leaves out places across a line that lie past the edges of its band: cells are cut to
// mergeTol, and a corner of one that reaches over an edge is no section of what is in the band.
func (b *bandLine) inner(ts []float64) []float64 {
	from := max(0, sort.SearchFloat64s(ts, b.t0+mergeTol)-1)
	to := min(len(ts), sort.SearchFloat64s(ts, b.t1-mergeTol)+1)
	if to-from < 2 || ts[to-1]-ts[from] < mergeTol {
		return ts
	}
	return ts[from:to]
}
