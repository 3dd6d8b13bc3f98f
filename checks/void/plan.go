package void

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"voidcheck/ifcx/geom"
)

// The plan of a field is cut by a slab decomposition: one line u = const through every
// vertex and crossing of the plan edges, and within each slab a cell between each pair of
// neighbouring edges that span it:
//
//	v |------+-----+---------+
//	  |  c   |  c  |    c    |     edges along u bound the cells from below and above,
//	  |------+-----+---...---|     edges along v only add slab lines, oblique edges
//	  |  c   |  c  | c   /   |     make trapezoids, so that oblique walls come out exact
//	  +------+-----+----/----+
//	 u0      u1    u2        u3
//
// Within a cell no solid begins or ends in plan, so one vertical line through it tells the
// whole cell, and a sloped surface over it is one plane.

// cell is one trapezoid of the plan, between lines u0 and u1 of its slab.
type cell struct {
	slab     int32
	lo0, lo1 float64 // v of the lower edge at u0 and u1
	hi0, hi1 float64
	area     float64
	cu, cv   float64 // centroid
	column   int32   // where the solids over it begin in the plan's columns
	solids   int32   // how many there are
}

// plan is the decomposition.
type plan struct {
	us    []float64
	slabs [][]int32 // cell indices of each slab, by v; consecutive ones touch
	cells []cell
	// entries has one entry for each solid, which for a box is the same over all its cells,
	// and then those of the other solids cell by cell; columns numbers the entries over the
	// cells, by z0.
	entries []entry
	columns []int32
	buf     *scratch
}

type seg struct{ u0, v0, u1, v1 float64 }

// cluster groups sorted values closer than tol to the group's first, and maps each value to
// the group's median. Values that only noise tells apart are never in two groups: their
// medians would lie so close that a face falls on the wrong side of a line.
type cluster struct{ starts, reps []float64 }

func newCluster(vals []float64, tol float64) cluster {
	sort.Float64s(vals)
	var c cluster
	for i := 0; i < len(vals); {
		j := i
		for j < len(vals) && (vals[j]-vals[i] <= tol || j > i && vals[j]-vals[j-1] <= noiseTol) {
			j++
		}
		c.starts = append(c.starts, vals[i])
		c.reps = append(c.reps, vals[(i+j-1)/2])
		i = j
	}
	return c
}

func (c cluster) snap(x float64) float64 {
	i := sort.SearchFloat64s(c.starts, x)
	if i == len(c.starts) || c.starts[i] != x {
		i--
	}
	if i < 0 {
		i = 0
	}
	return c.reps[i]
}

// newPlan cuts the plan by the given edges.
func newPlan(edges [][2]geom.Vec2, buf *scratch) *plan {
	us := make([]float64, 0, 2*len(edges))
	vs := make([]float64, 0, 2*len(edges))
	for _, e := range edges {
		us = append(us, e[0].X, e[1].X)
		vs = append(vs, e[0].Y, e[1].Y)
	}
	cu, cv := newCluster(us, mergeTol), newCluster(vs, mergeTol)
	segs := make([]seg, 0, len(edges))
	for _, e := range edges {
		s := seg{cu.snap(e[0].X), cv.snap(e[0].Y), cu.snap(e[1].X), cv.snap(e[1].Y)}
		if s.u0 > s.u1 {
			s = seg{s.u1, s.v1, s.u0, s.v0}
		}
		if s.u0 != s.u1 { // edges along v only give their line
			segs = append(segs, s)
		}
	}
	slices.SortFunc(segs, func(a, b seg) int {
		return cmp.Or(cmp.Compare(a.u0, b.u0), cmp.Compare(a.v0, b.v0), cmp.Compare(a.u1, b.u1), cmp.Compare(a.v1, b.v1))
	})
	segs = slices.Compact(segs)
	p := &plan{us: cu.reps, buf: buf}
	p.addCrossings(segs)
	p.cut(segs)
	return p
}

// addCrossings adds a line where two edges cross, so that edges keep their order in a slab.
func (p *plan) addCrossings(segs []seg) {
	var extra []float64
	var index *geom.BoxIndex
	box := func(s seg) geom.Box {
		return geom.Box{Min: geom.Vec3{X: s.u0, Y: math.Min(s.v0, s.v1)}, Max: geom.Vec3{X: s.u1, Y: math.Max(s.v0, s.v1)}}
	}
	for i, a := range segs {
		if a.v0 == a.v1 {
			continue
		}
		if index == nil {
			boxes := make([]geom.Box, len(segs))
			for k, s := range segs {
				boxes[k] = box(s)
			}
			index = geom.NewBoxIndex(boxes)
		}
		for _, j := range index.In(box(a)) {
			b := segs[j]
			if i == j || j < i && b.v0 != b.v1 {
				continue
			}
			if u, ok := crossing(a, b); ok {
				extra = append(extra, u)
			}
		}
	}
	if len(extra) == 0 {
		return
	}
	sort.Float64s(extra)
	merged := make([]float64, 0, len(p.us)+len(extra))
	i := 0
	for _, x := range extra {
		for i < len(p.us) && p.us[i] <= x {
			merged = append(merged, p.us[i])
			i++
		}
		if (len(merged) == 0 || x-merged[len(merged)-1] > crossTol) && (i == len(p.us) || p.us[i]-x > crossTol) {
			merged = append(merged, x)
		}
	}
	p.us = append(merged, p.us[i:]...)
}

// crossing returns the u at which two edges cross inside both.
func crossing(a, b seg) (float64, bool) {
	if math.Max(a.v0, a.v1) < math.Min(b.v0, b.v1) || math.Max(b.v0, b.v1) < math.Min(a.v0, a.v1) {
		return 0, false
	}
	ka, kb := (a.v1-a.v0)/(a.u1-a.u0), (b.v1-b.v0)/(b.u1-b.u0)
	if math.Abs(ka-kb) < 1e-9 {
		return 0, false
	}
	u := (b.v0 - kb*b.u0 - a.v0 + ka*a.u0) / (ka - kb)
	return u, u > math.Max(a.u0, b.u0)+crossTol && u < math.Min(a.u1, b.u1)-crossTol
}

func (p *plan) cut(segs []seg) {
	type span struct{ a, b float64 }
	var active []seg
	next := 0
	p.slabs = make([][]int32, 0, len(p.us))
	var spans []span
	p.cells = p.buf.cells[:0]
	for i := 0; i+1 < len(p.us); i++ {
		ua, ub := p.us[i], p.us[i+1]
		keep := active[:0]
		for _, s := range active {
			if s.u1 > ua+1e-12 {
				keep = append(keep, s)
			}
		}
		active = keep
		for next < len(segs) && segs[next].u0 <= ua {
			if segs[next].u1 > ua {
				active = append(active, segs[next])
			}
			next++
		}
		spans = spans[:0]
		for _, s := range active {
			k := (s.v1 - s.v0) / (s.u1 - s.u0)
			spans = append(spans, span{s.v0 + k*(ua-s.u0), s.v0 + k*(ub-s.u0)})
		}
		slices.SortFunc(spans, func(x, y span) int {
			return cmp.Or(cmp.Compare(x.a+x.b, y.a+y.b), cmp.Compare(x.a, y.a))
		})
		first := len(p.cells)
		for j := 0; j+1 < len(spans); j++ {
			lo, hi := spans[j], spans[j+1]
			h0, h1 := math.Max(hi.a-lo.a, 0), math.Max(hi.b-lo.b, 0)
			if h0+h1 < 1e-7 {
				spans[j+1] = lo // the same edge twice
				continue
			}
			c := cell{slab: int32(i), lo0: lo.a, lo1: lo.b, hi0: lo.a + h0, hi1: lo.b + h1}
			p.cells = append(roomFor(p.cells, i, len(p.us)), p.sized(c))
		}
		p.slabs = append(p.slabs, p.row(first, len(p.cells)))
	}
	p.buf.cells = p.cells
}

// row lists the cells from one number to another.
func (p *plan) row(from, to int) []int32 {
	for n := len(p.buf.rows); n < to; n++ {
		p.buf.rows = append(p.buf.rows, int32(n))
	}
	return p.buf.rows[from:to:to]
}

// splitThin cuts the cells of slabs narrower than gap where the cells beside them begin and
// end, so that a slit along the ends of many members is looked at member by member:
//
//	 bay | s |          the slit s is closed where a joist ends at it, and open to
//	-----| l | rim      the bay where none does
//	joist| i |
//	-----| t |
func (p *plan) splitThin(gap float64) {
	thin := false
	for i := range p.slabs {
		thin = thin || p.us[i+1]-p.us[i] < gap && len(p.slabs[i]) > 0
	}
	if !thin {
		return
	}
	old := p.cells
	p.cells = slices.Grow(p.buf.whole[:0], len(old)+len(old)/16)
	slabs := make([][]int32, len(p.slabs))
	var at []float64
	for i, row := range p.slabs {
		at = at[:0]
		if p.us[i+1]-p.us[i] < gap {
			if i > 0 {
				for _, k := range p.slabs[i-1] {
					at = append(at, old[k].lo1, old[k].hi1)
				}
			}
			if i+1 < len(p.slabs) {
				for _, k := range p.slabs[i+1] {
					at = append(at, old[k].lo0, old[k].hi0)
				}
			}
			sort.Float64s(at)
		}
		first := len(p.cells)
		for _, k := range row {
			c := old[k]
			for _, v := range at {
				if v > math.Max(c.lo0, c.lo1)+mergeTol && v < math.Min(c.hi0, c.hi1)-mergeTol {
					lower := c
					lower.hi0, lower.hi1 = v, v
					c.lo0, c.lo1 = v, v
					p.cells = append(p.cells, p.sized(lower))
				}
			}
			p.cells = append(p.cells, p.sized(c))
		}
		slabs[i] = p.row(first, len(p.cells))
	}
	p.slabs = slabs
	p.buf.cells, p.buf.whole = p.cells, old // the other way round for the next plan
}

// sized works out the area and the centroid of a cell.
func (p *plan) sized(c cell) cell {
	h0, h1 := c.hi0-c.lo0, c.hi1-c.lo1
	w := p.us[c.slab+1] - p.us[c.slab]
	c.area = w * (h0 + h1) / 2
	x := w / 3 * (h0 + 2*h1) / (h0 + h1)
	c.cu = p.us[c.slab] + x
	f := x / w
	c.cv = (c.lo0+c.hi0)/2*(1-f) + (c.lo1+c.hi1)/2*f
	return c
}

// slabAt returns the slab that contains u, or -1.
func (p *plan) slabAt(u float64) int {
	i := sort.SearchFloat64s(p.us, u) - 1
	if i < 0 || i >= len(p.slabs) {
		return -1
	}
	return i
}

// at returns the cell that contains (u, v), or -1.
func (p *plan) at(u, v float64) int32 {
	i := p.slabAt(u)
	if i < 0 {
		return -1
	}
	return p.inSlab(i, u, v)
}

func (p *plan) inSlab(i int, u, v float64) int32 {
	row := p.slabs[i]
	f := (u - p.us[i]) / (p.us[i+1] - p.us[i])
	j := sort.Search(len(row), func(k int) bool {
		c := &p.cells[row[k]]
		return c.hi0*(1-f)+c.hi1*f > v
	})
	if j == len(row) {
		return -1
	}
	c := &p.cells[row[j]]
	if c.lo0*(1-f)+c.lo1*f > v {
		return -1
	}
	return row[j]
}

// width returns the extent of a cell along u.
func (p *plan) width(c *cell) float64 { return p.us[c.slab+1] - p.us[c.slab] }

// height returns the mean extent of a cell along v.
func (c *cell) height() float64 { return (c.hi0 - c.lo0 + c.hi1 - c.lo1) / 2 }

// touch is one shared edge of two cells: its length, its middle, and whether the neighbours
// lie along u (in different slabs).
type touch struct {
	a, b   int32
	length float64
	mid    geom.Vec2
	alongU bool
}

// touches calls f for every pair of cells that share an edge, in a fixed order.
func (p *plan) touches(f func(touch)) {
	for i, row := range p.slabs {
		w := p.us[i+1] - p.us[i]
		for j := 0; j+1 < len(row); j++ {
			a, b := &p.cells[row[j]], &p.cells[row[j+1]]
			if b.lo0-a.hi0 > 1e-7 || b.lo1-a.hi1 > 1e-7 {
				continue
			}
			f(touch{row[j], row[j+1], w, geom.Vec2{X: p.us[i] + w/2, Y: (a.hi0 + a.hi1) / 2}, false})
		}
		if i+1 == len(p.slabs) {
			break
		}
		next := p.slabs[i+1]
		k := 0
		for _, ia := range row {
			a := &p.cells[ia]
			for k < len(next) && p.cells[next[k]].hi0 <= a.lo1+1e-9 {
				k++
			}
			for m := k; m < len(next) && p.cells[next[m]].lo0 < a.hi1-1e-9; m++ {
				b := &p.cells[next[m]]
				lo, hi := math.Max(a.lo1, b.lo0), math.Min(a.hi1, b.hi0)
				if hi-lo > 1e-7 {
					f(touch{ia, next[m], hi - lo, geom.Vec2{X: p.us[i+1], Y: (lo + hi) / 2}, true})
				}
			}
		}
	}
}
