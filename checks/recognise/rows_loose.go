package recognise

import (
	"math"
	"slices"
	"sort"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// looseRows takes up studs that meet no plate: into a row whose strip they stand in, else
// into rows of their own where several stand in one line.
func (r *reader) looseRows(studs []*piece) {
	var free []*piece
	rows := r.rowGrid()
	for _, s := range studs {
		if s.row >= 0 {
			continue
		}
		if w := r.rowAround(s, rows); w >= 0 {
			s.row = w
			r.rows[w].studs = append(r.rows[w].studs, s)
			continue
		}
		free = append(free, s)
	}
	ls := newLines(free)
	for {
		set, dir := ls.best()
		if len(set) == 0 {
			break
		}
		w := &row{leaf: &leaf{dir: dir, norm: geom.Vec2{X: -dir.Y, Y: dir.X}}}
		left := free[:0:0]
		for _, s := range free {
			if set[s] {
				s.row = len(r.rows)
				w.studs = append(w.studs, s)
			} else {
				left = append(left, s)
			}
		}
		w.measure()
		free = left
		ls.without(set)
		if w.fillsLine() {
			for _, s := range w.studs {
				s.row = -1
			}
			continue
		}
		r.rows = append(r.rows, w)
	}
	rows = r.rowGrid()
	for _, s := range free { // cripples in the rows just found
		if w := r.rowAround(s, rows); w >= 0 {
			s.row = w
			r.rows[w].studs = append(r.rows[w].studs, s)
		}
	}
	r.measureRows()
}

// fillsLine reports whether the uprights of a row take up most of its length at the depth of a floor: studs stand
// apart, while blocks between members that are deeper than they are far apart stand side by side.
func (w *row) fillsLine() bool {
	filled := 0.0
	for _, s := range w.studs {
		s0, s1, _, _ := w.leaf.span(s)
		filled += s1 - s0
	}
	return filled > 0.5*(w.leaf.s1-w.leaf.s0) && w.leaf.z1-w.leaf.z0 < floorDeep
}

// rowGrid returns the strips of the rows by place.
func (r *reader) rowGrid() *leafGrid {
	ls := make([]*leaf, len(r.rows))
	for i, w := range r.rows {
		ls[i] = w.leaf
	}
	return newLeafGrid(ls)
}

// rowAround returns the row in whose strip and height a stud stands, or -1.
func (r *reader) rowAround(s *piece, rows *leafGrid) int {
	for _, i := range rows.ids(s.reach().Grow(0.75)) {
		l := rows.all[i]
		s0, s1, t0, t1 := l.span(s)
		if s0 < l.s0-0.7 || s1 > l.s1+0.7 || overlap(s.z0(), s.z1(), l.z0, l.z1) < 0.5*s.size[0] {
			continue
		}
		for _, b := range l.bands {
			if overlap(t0, t1, b.lo, b.hi) > 0.6*math.Max(t1-t0, b.hi-b.lo) {
				return i
			}
		}
	}
	return -1
}

// lines are studs in the order in which they stand side by side, along one axis and the other: sorted
// once, since what is left when a row is taken out keeps its order.
type lines [2]line

// line are studs sorted by the lane that they stand in across dir, then by foot, then along dir.
type line struct {
	dir   geom.Vec2
	studs []inLine
}

// inLine is a stud with its extent along a line and across it.
type inLine struct {
	p              *piece
	s0, s1, t0, t1 float64
}

func newLines(studs []*piece) *lines {
	ls := &lines{{dir: geom.Vec2{X: 1}}, {dir: geom.Vec2{Y: 1}}}
	for k := range ls {
		l := &ls[k]
		along := &leaf{dir: l.dir, norm: geom.Vec2{X: -l.dir.Y, Y: l.dir.X}}
		l.studs = make([]inLine, len(studs))
		for i, p := range studs {
			x := &l.studs[i]
			x.p = p
			x.s0, x.s1, x.t0, x.t1 = along.span(p)
		}
		sort.SliceStable(l.studs, func(a, b int) bool {
			x, y := &l.studs[a], &l.studs[b]
			if u, v := lane(x.t0+x.t1), lane(y.t0+y.t1); u != v {
				return u < v
			}
			if u, v := lane(x.p.z0()), lane(y.p.z0()); u != v {
				return u < v // storeys apart, and cripples from full studs
			}
			return x.s0 < y.s0
		})
	}
	return ls
}

// without takes studs out.
func (ls *lines) without(set map[*piece]bool) {
	for k := range ls {
		ls[k].studs = slices.DeleteFunc(ls[k].studs, func(x inLine) bool { return set[x.p] })
	}
}

// best returns the largest set of studs that stand in one line parallel to an axis, not
// farther apart than studs of one wall do, overlapping in height.
func (ls *lines) best() (map[*piece]bool, geom.Vec2) {
	var best []inLine
	bestSpread := 0.0
	var dir geom.Vec2
	for k := range ls {
		items := ls[k].studs
		for a := 0; a < len(items); {
			b := a + 1
			tall := items[a].p.size[0] > lowStud // low ones alone make no wall without plates: ends of rafters at a ridge, for example
			for b < len(items) && items[b].follows(&items[a], &items[b-1]) {
				tall = tall || items[b].p.size[0] > lowStud
				b++
			}
			// The wall runs across the depth of its studs: the larger side of the section.
			wide := items[a].t1-items[a].t0 >= items[a].s1-items[a].s0-1e-6
			spread := items[b-1].s1 - items[a].s0
			if n := b - a; tall && n >= 3 && (wide || n >= 5) && (n > len(best) || n == len(best) && spread > bestSpread+1e-6) {
				best, bestSpread, dir = items[a:b], spread, ls[k].dir
			}
			a = b
		}
	}
	set := map[*piece]bool{}
	for i := range best {
		set[best[i].p] = true
	}
	return set, dir
}

// follows reports whether a stud goes on with a line that begins with a first one and has come
// to a last one.
func (x *inLine) follows(first, last *inLine) bool {
	return math.Abs(x.t0-first.t0) < 0.015 && math.Abs(x.t1-first.t1) < 0.015 && x.s0-last.s1 < studGap && x.s0 > last.s0-1e-6 &&
		overlap(x.p.z0(), x.p.z1(), last.p.z0(), last.p.z1()) > 0.3*x.p.size[0]
}

// lane rounds a coordinate for sorting what lies in one line together.
func lane(v float64) float64 { return math.Floor(v/0.01 + 0.37) }

// dropGapRows dissolves rows that are really blocks in the gap between two rows: they lie
// between the bands of rows on either side and fill the gap, or in the air layer of a wall known by its layers;
// those between a row and a masonry wall are thinner than any stud.
func (r *reader) dropGapRows() {
	kept := r.rows[:0:0]
	grid := r.rowGrid()
	var solid, layers []*leaf
	for _, l := range r.leaves {
		switch {
		case kindOf(l) == void.WallSolid:
			solid = append(solid, l)
		case l.framing && !l.framed:
			layers = append(layers, l)
		}
	}
	masonry, layered := newLeafGrid(solid), newLeafGrid(layers)
	for _, w := range r.rows {
		if w.leaf == nil || len(w.leaf.bands) == 0 || !inGap(w.leaf, grid, masonry, layered) {
			kept = append(kept, w)
			continue
		}
		for _, p := range append(w.studs, w.plates...) {
			p.row = -1
		}
	}
	r.rows = kept
	for i, w := range r.rows {
		for _, p := range append(append([]*piece(nil), w.plates...), w.studs...) {
			p.row = i
		}
	}
}

func inGap(w *leaf, rows, masonry, layered *leafGrid) bool {
	const thin = 0.032 // 1-1/4 in
	lo, hi := w.edges()
	below, above := false, false
	beside := append(rows.in(w.box().Grow(0.1)), layered.in(w.box().Grow(0.1))...)
	if hi-lo < thin {
		beside = append(beside, masonry.in(w.box().Grow(0.1))...)
	}
	for _, l := range beside {
		if l == w || !l.parallel(w) || overlap(l.s0, l.s1, w.s0, w.s1) < 0.3 || overlap(l.z0, l.z1, w.z0, w.z1) < 0.3 {
			continue
		}
		for _, x := range l.bands {
			if x.kind == bandAir && lo > x.lo-0.01 && hi < x.hi+0.01 {
				return true
			}
		}
		a, b := l.edges()
		below = below || math.Abs(b-lo) < 0.06 && a < lo
		above = above || math.Abs(a-hi) < 0.06 && b > hi
	}
	return below && above
}

// doubleGap is the widest gap between two parallel walls or stud rows that make one double
// wall, metres (the product's definition; a 3-1/2 in gap holds liner panels).
const doubleGap = 0.150
