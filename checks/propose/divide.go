package propose

import (
	"cmp"
	"math"
	"slices"
)

// task is a region to divide: into parts of no more than limit, over no more than units
// dwelling units when there is a footprint.
type task struct {
	r     *region
	all   []station // every line with at least one run that framing carries
	full  []station // those whose runs are all carried
	limit float64
	under *footprint // nil when units do not count
	units int
}

// division is a way to divide a region.
type division struct {
	r     *region
	runs  []run
	lines int
	parts []float64 // areas, the largest first
}

// ratio is the largest part over the smallest.
func (d *division) ratio() float64 {
	if n := len(d.parts); n > 0 && d.parts[n-1] > 0 {
		return d.parts[0] / d.parts[n-1]
	}
	return math.Inf(1)
}

func (d *division) length() float64 {
	l := 0.0
	for i := range d.runs {
		l += d.runs[i].length()
	}
	return l
}

// even is the difference of ratios that counts for nothing.
const even = 1e-6

// better tells whether d is to be preferred to e: fewer lines, more equal parts, fewer
// pieces, less to build.
func (d *division) better(e *division) bool {
	switch {
	case e == nil:
		return true
	case d.lines != e.lines:
		return d.lines < e.lines
	case math.Abs(d.ratio()-e.ratio()) > even:
		return d.ratio() < e.ratio()
	case len(d.runs) != len(e.runs):
		return len(d.runs) < len(e.runs)
	}
	return d.length() < e.length()-1e-6
}

// newTask lays the faces out over the region.
func newTask(r *region, faces []face, limit float64) *task {
	t := &task{r: r, limit: limit}
	faces = slices.Clone(faces)
	slices.SortStableFunc(faces, func(a, b face) int { return cmp.Compare(a.at, b.at) })
	for _, p := range r.places(faces) {
		if n := len(t.all); n > 0 && t.all[n-1].line == p.line {
			continue // twice the same line
		}
		if slices.ContainsFunc(p.runs, func(r run) bool { return r.held }) {
			t.all = append(t.all, p)
		}
		if p.held() {
			t.full = append(t.full, p)
		}
	}
	return t
}

// solve returns the best division, nil when the faces allow none. Lines that go from side to
// side over the whole region are chosen exactly, by dynamic programming over their
// places; where notches or holes break lines into several runs, one or two lines are tried
// with every choice of runs as well.
func (t *task) solve() *division {
	best := t.straight()
	if t.broken() {
		for _, d := range t.pieces(best) {
			if d.better(best) {
				best = d
			}
		}
	}
	if best != nil {
		best = t.spare(best)
	}
	return best
}

// broken reports whether any line has several runs.
func (t *task) broken() bool {
	for i := range t.all {
		if len(t.all[i].runs) > 1 {
			return true
		}
	}
	return false
}

// evaluate measures a set of runs; ok is false when a part is still too large.
func (t *task) evaluate(runs []run, lines int) (*division, bool) {
	p := t.r.cut(runs)
	d := &division{r: t.r, runs: runs, lines: lines, parts: p.areas()}
	return d, t.fits(p)
}

// fits reports whether every part is within the limits.
func (t *task) fits(p *parts) bool {
	for i := range p.up {
		if p.find(i) == i && p.area[i] > t.limit*(1+1e-9) {
			return false
		}
	}
	return t.under == nil || t.under.fits(t.r, p, t.units)
}

// mostWork bounds the choices tried one by one.
const mostWork = 2e7

// pieces tries one line and two lines with every choice of their runs.
func (t *task) pieces(known *division) []*division {
	var out []*division
	most := 2
	if known != nil {
		most = min(most, known.lines)
	}
	one := func(runs []run, lines int) {
		if d, ok := t.evaluate(runs, lines); ok && (known == nil || d.better(known)) {
			known = d
			out = append(out, d)
		}
	}
	choices := make([][][]run, len(t.all))
	for i := range t.all {
		choices[i] = t.all[i].choices()
		for _, c := range choices[i] {
			if most >= 1 {
				one(c, 1)
			}
		}
	}
	if most < 2 || len(out) > 0 || float64(len(t.all)*len(t.all)*len(t.r.cells)) > mostWork {
		return out
	}
	for i := range choices {
		for j := i + 1; j < len(choices); j++ {
			for _, a := range choices[i] {
				for _, b := range choices[j] {
					one(append(append([]run(nil), a...), b...), 2)
				}
			}
		}
	}
	return out
}

// choices lists the sets of carried runs of a line: every one of up to three, or all.
func (p *station) choices() [][]run {
	var held []run
	for i := range p.runs {
		if p.runs[i].held {
			held = append(held, p.runs[i])
		}
	}
	if len(held) > 3 {
		return [][]run{held}
	}
	var out [][]run
	for mask := 1; mask < 1<<len(held); mask++ {
		var c []run
		for i := range held {
			if mask>>i&1 == 1 {
				c = append(c, held[i])
			}
		}
		out = append(out, c)
	}
	return out
}

// spare leaves out runs that nothing needs and that make the parts no more equal.
func (t *task) spare(d *division) *division {
	for i := 0; i < len(d.runs); {
		rest := append(append([]run(nil), d.runs[:i]...), d.runs[i+1:]...)
		lines := map[int]bool{}
		for k := range rest {
			lines[rest[k].line] = true
		}
		if e, ok := t.evaluate(rest, len(lines)); ok && e.better(d) {
			d = e
			continue
		}
		i++
	}
	return d
}
