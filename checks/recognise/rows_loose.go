package recognise

import (
	"math"
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
	for {
		set, dir := bestLine(free)
		if len(set) == 0 {
			break
		}
		w := &row{leaf: &leaf{dir: dir, norm: geom.Vec2{X: -dir.Y, Y: dir.X}}}
		left := free[:0:0]
		for i, s := range free {
			if set[i] {
				s.row = len(r.rows)
				w.studs = append(w.studs, s)
			} else {
				left = append(left, s)
			}
		}
		w.measure()
		free = left
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

// bestLine returns the largest set of studs that stand in one line parallel to an axis, not
// farther apart than studs of one wall do, overlapping in height.
func bestLine(studs []*piece) (map[int]bool, geom.Vec2) {
	var best []int
	bestSpread := 0.0
	var dir geom.Vec2
	for _, d := range []geom.Vec2{{X: 1}, {Y: 1}} {
		l := &leaf{dir: d, norm: geom.Vec2{X: -d.Y, Y: d.X}}
		type item struct {
			i              int
			s0, s1, t0, t1 float64
		}
		items := make([]item, len(studs))
		for i, p := range studs {
			items[i].i = i
			items[i].s0, items[i].s1, items[i].t0, items[i].t1 = l.span(p)
		}
		sort.SliceStable(items, func(a, b int) bool {
			x, y := items[a], items[b]
			if u, v := lane(x.t0+x.t1), lane(y.t0+y.t1); u != v {
				return u < v
			}
			if u, v := lane(studs[x.i].z0()), lane(studs[y.i].z0()); u != v {
				return u < v // storeys apart, and cripples from full studs
			}
			return x.s0 < y.s0
		})
		for a := 0; a < len(items); {
			b := a + 1
			for b < len(items) && math.Abs(items[b].t0-items[a].t0) < 0.015 && math.Abs(items[b].t1-items[a].t1) < 0.015 &&
				items[b].s0-items[b-1].s1 < studGap && items[b].s0 > items[b-1].s0-1e-6 &&
				overlap(studs[items[b].i].z0(), studs[items[b].i].z1(), studs[items[b-1].i].z0(), studs[items[b-1].i].z1()) > 0.3*studs[items[b].i].size[0] {
				b++
			}
			// The wall runs across the depth of its studs: the larger side of the section.
			wide := items[a].t1-items[a].t0 >= items[a].s1-items[a].s0-1e-6
			spread := items[b-1].s1 - items[a].s0
			tall := false // low ones alone make no wall without plates: ends of rafters at a ridge, for example
			for _, x := range items[a:b] {
				tall = tall || studs[x.i].size[0] > lowStud
			}
			if n := b - a; tall && n >= 3 && (wide || n >= 5) && (n > len(best) || n == len(best) && spread > bestSpread+1e-6) {
				best = best[:0]
				for k := a; k < b; k++ {
					best = append(best, items[k].i)
				}
				bestSpread, dir = spread, d
			}
			a = b
		}
	}
	set := map[int]bool{}
	for _, i := range best {
		set[i] = true
	}
	return set, dir
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
