package propose

import (
	"math"
	"sort"
)

// strip is what lies between two lines, or between a line and an end of the region.
type strip struct {
	to       int // the boundary it ends at
	min, max float64
	square   float64 // sum over its parts of (area - ideal)^2, set by best
	areas    []float64
}

// bounds numbers the boundaries: 0 is the low end, 1 to n the full lines, n+1 the high end.
// slab returns the first slab above a boundary.
func (t *task) slab(bound int) int {
	switch {
	case bound == 0:
		return 0
	case bound > len(t.full):
		return len(t.r.slabs)
	}
	return t.full[bound-1].line
}

// strips lists for each boundary the strips above it whose parts are all within the limits.
func (t *task) strips() [][]strip {
	n := len(t.full) + 1
	out := make([][]strip, n+1)
	for i := 0; i < n; i++ {
		p := newParts(t.r)
		var cells []int
		for j := i + 1; j <= n; j++ {
			for k := t.slab(j - 1); k < t.slab(j); k++ {
				if k > t.slab(i) {
					for _, x := range t.r.touches[k] {
						p.join(x.below, x.above)
					}
				}
				cells = append(cells, t.r.slabs[k]...)
			}
			s := strip{to: j, min: math.Inf(1)}
			for _, c := range cells {
				if p.find(c) == c {
					s.areas = append(s.areas, p.area[c])
					s.min, s.max = math.Min(s.min, p.area[c]), math.Max(s.max, p.area[c])
				}
			}
			if s.max > t.limit*(1+1e-9) {
				break
			}
			if t.under != nil && t.under.between(t.r.ts[t.slab(i)], t.r.ts[t.slab(j)], s.max) > t.units {
				break
			}
			out[i] = append(out[i], s)
		}
	}
	return out
}

// straight returns the division by full lines: the fewest, then the smallest ratio of the
// largest part to the smallest, then the smallest squared differences from equal parts,
// then the lines nearest to where equal parts would want them.
func (t *task) straight() *division {
	strips := t.strips()
	lines := fewest(strips)
	if lines < 0 {
		return nil
	}
	if lines == 0 {
		return t.along(nil)
	}
	ideal := t.r.area / float64(lines+1)
	want := make([]float64, lines+1)
	for k := range want {
		want[k] = t.r.level(ideal * float64(k))
	}
	for i := range strips {
		for j := range strips[i] {
			for _, a := range strips[i][j].areas {
				strips[i][j].square += (a - ideal) * (a - ideal)
			}
		}
	}
	cost := func(s *strip, k int) float64 {
		c := s.square
		if k <= lines && s.to <= len(t.full) {
			d := t.full[s.to-1].at - want[k]
			c += 1e-6 * d * d
		}
		return c
	}
	first := chain(strips, lines, 0, math.Inf(1), cost)
	if first == nil {
		return nil
	}
	best := t.along(first)
	lo, hi := narrow(strips, lines, best, ideal)
	if c := chain(strips, lines, lo, hi, cost); c != nil {
		best = t.along(c)
	}
	return best
}

// along makes a division of boundaries.
func (t *task) along(bounds []int) *division {
	var runs []run
	for _, b := range bounds {
		runs = append(runs, t.full[b-1].runs...)
	}
	d, _ := t.evaluate(runs, len(bounds))
	return d
}

// fewest is the least number of lines that leaves only strips within the limits, -1 when
// none does.
func fewest(strips [][]strip) int {
	n := len(strips) - 1
	need := make([]int, n+1)
	for i := range need {
		need[i] = -1
	}
	need[0] = 0
	for i := 0; i < n; i++ {
		if need[i] < 0 {
			continue
		}
		for k := range strips[i] {
			if to := strips[i][k].to; need[to] < 0 || need[i]+1 < need[to] {
				need[to] = need[i] + 1
			}
		}
	}
	if need[n] < 0 {
		return -1
	}
	return need[n] - 1
}

// chain returns the boundaries of the cheapest division by a number of lines with every part
// between lo and hi; nil when there is none.
func chain(strips [][]strip, lines int, lo, hi float64, cost func(*strip, int) float64) []int {
	n := len(strips) - 1
	f := make([][]float64, lines+2)
	from := make([][]int, lines+2)
	for k := range f {
		f[k], from[k] = make([]float64, n+1), make([]int, n+1)
		for i := range f[k] {
			f[k][i] = math.Inf(1)
		}
	}
	f[0][0] = 0
	for k := 1; k <= lines+1; k++ {
		for i := 0; i < n; i++ {
			if math.IsInf(f[k-1][i], 1) {
				continue
			}
			for x := range strips[i] {
				s := &strips[i][x]
				if s.min < lo || s.max > hi || (s.to == n) != (k == lines+1) {
					continue
				}
				if c := f[k-1][i] + cost(s, k); c < f[k][s.to]-1e-12 {
					f[k][s.to], from[k][s.to] = c, i
				}
			}
		}
	}
	if math.IsInf(f[lines+1][n], 1) {
		return nil
	}
	var out []int
	for k, at := lines+1, n; k > 1; k-- {
		at = from[k][at]
		out = append(out, at)
	}
	sort.Ints(out)
	return out
}

// mostFloors bounds how many least areas narrow tries.
const mostFloors = 200

// narrow returns bounds on the parts between which the division with the smallest ratio lies.
// Whatever beats a known ratio has no part smaller than the mean over that ratio.
func narrow(strips [][]strip, lines int, known *division, ideal float64) (lo, hi float64) {
	mean := ideal
	if n := len(known.parts); n > 0 {
		lo, hi = known.parts[n-1]-even, known.parts[0]+even
		mean = math.Min(mean, known.parts[0])
	}
	ratio := known.ratio()
	var floors []float64
	for i := range strips {
		for k := range strips[i] {
			if m := strips[i][k].min; m >= mean/ratio-even && m <= ideal+even {
				floors = append(floors, m)
			}
		}
	}
	sort.Float64s(floors)
	last := math.Inf(-1)
	step := 1 + len(floors)/mostFloors/8
	tried := 0
	for i := 0; i < len(floors) && tried < mostFloors; i += step {
		if floors[i]-last < 1e-4 {
			continue
		}
		last = floors[i]
		tried++
		if top := lowest(strips, lines, last-even); top/last < ratio-even {
			ratio, lo, hi = top/last, last-even, top+even
		}
	}
	return lo, hi
}

// lowest is the smallest largest part over the divisions by a number of lines whose parts
// are all at least lo; +Inf when there is none.
func lowest(strips [][]strip, lines int, lo float64) float64 {
	n := len(strips) - 1
	f := make([]float64, n+1)
	for i := range f {
		f[i] = math.Inf(1)
	}
	f[0] = 0
	for k := 1; k <= lines+1; k++ {
		next := make([]float64, n+1)
		for i := range next {
			next[i] = math.Inf(1)
		}
		for i := 0; i < n; i++ {
			if math.IsInf(f[i], 1) {
				continue
			}
			for x := range strips[i] {
				s := &strips[i][x]
				if s.min >= lo && (s.to == n) == (k == lines+1) {
					next[s.to] = math.Min(next[s.to], math.Max(f[i], s.max))
				}
			}
		}
		f = next
	}
	return f[n]
}
