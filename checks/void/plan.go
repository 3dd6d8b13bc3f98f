package void

import (
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
	first []int32 // first[i]..first[i+1] are the cells of slab i, by v; consecutive ones touch
	cells []cell
	// entries has one entry for each solid, which for a box is the same over all its cells,
	// and then those of the other solids cell by cell; columns numbers the entries over the
	// cells, by z0.
	entries []entry
	columns []int32
	buf     *scratch
	// tooFine tells that the edges cut more cells than mostCells: then there is none.
	tooFine bool
}

// mostCells is how many cells a number of edges may cut. Buildings have up to ten for an edge and
// a few more the larger they are; thousands of oblique edges that cross each other, as damaged
// placements leave them, would have more than fit into any memory.
func mostCells(edges int) int { return 250_000 + 40*edges }

// slabs is how many slabs there are.
func (p *plan) slabs() int { return len(p.first) - 1 }

// row returns the numbers of the cells of a slab, from one up to and without the other.
func (p *plan) row(slab int) (from, to int32) { return p.first[slab], p.first[slab+1] }

// newPlan cuts the plan by the edges of solids and by others. Slabs narrower than gap are
// split where the cells beside them begin and end.
func newPlan(cores int, solids []*solid, edges [][2]geom.Vec2, gap float64, buf *scratch) *plan {
	x := &buf.linework
	x.read(cores, solids, edges)
	p := &plan{us: x.us.reps, buf: buf}
	most := mostCells(len(x.level) + len(x.sloped))
	if p.addCrossings(x, most); !p.tooFine {
		p.cut(x, gap, most)
	}
	if p.tooFine {
		p.us, p.first, p.cells = p.us[:0], []int32{0}, nil
	}
	return p
}

// addCrossings adds a line where two edges cross, so that edges keep their order in a slab.
func (p *plan) addCrossings(x *linework, most int) {
	if len(x.sloped) == 0 {
		return
	}
	segs := slices.Clone(x.sloped)
	for _, l := range x.level {
		v := x.vs.reps[l.v0]
		segs = append(segs, seg{x.us.reps[l.u0], v, x.us.reps[l.u1], v})
	}
	boxes := make([]geom.Box, len(segs))
	for k, s := range segs {
		boxes[k] = geom.Box{Min: geom.Vec3{X: s.u0, Y: min(s.v0, s.v1)}, Max: geom.Vec3{X: s.u1, Y: max(s.v0, s.v1)}}
	}
	index := geom.NewBoxIndex(boxes)
	var extra []float64
	for i, a := range x.sloped {
		for _, j := range index.In(boxes[i]) {
			if j <= i { // two sloped ones are looked at once
				continue
			}
			if u, ok := crossing(a, segs[j]); ok {
				extra = append(extra, u)
			}
		}
		if len(extra) > 10*most { // many may come to lie on each other
			p.tooFine = true
			return
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

// cut makes the cells, slab by slab.
func (p *plan) cut(x *linework, gap float64, most int) {
	over := newSpans(x)
	p.cells = p.buf.cells[:0]
	p.first = append(make([]int32, 0, len(p.us)), 0)
	var rows, spare [][]cell // of the slabs within the gap of one, before any is split
	low, made := 0, 0
	for i := 0; i+1 < len(p.us); i++ {
		for ; made+1 < len(p.us) && (made <= i || p.us[made]-p.us[i+1] < gap); made++ {
			var row []cell
			if n := len(spare); n > 0 {
				row, spare = spare[n-1], spare[:n-1]
			}
			rows = append(rows, p.between(row[:0], made, over.to(p.us[made], p.us[made+1])))
		}
		for low < i && p.us[i]-p.us[low+1] >= gap {
			spare, rows = append(spare, rows[0]), rows[1:]
			low++
		}
		here := rows[i-low]
		p.cells = roomFor(p.cells, i+1, len(p.us), 2*len(here))
		if p.us[i+1]-p.us[i] < gap {
			p.split(rows[:i-low], here, rows[i-low+1:])
		} else {
			p.cells = append(p.cells, here...)
		}
		p.first = append(p.first, int32(len(p.cells)))
		if len(p.cells) > most {
			p.tooFine = true
			return
		}
	}
	p.buf.cells = p.cells
}

// between appends the cells between neighbouring edges over a slab.
func (p *plan) between(out []cell, slab int, edges []span) []cell {
	for j := 0; j+1 < len(edges); j++ {
		lo, hi := edges[j], edges[j+1]
		h0, h1 := max(hi.a-lo.a, 0), max(hi.b-lo.b, 0)
		if h0+h1 < 1e-7 {
			edges[j+1] = lo // the same edge twice
			continue
		}
		out = append(out, p.sized(cell{slab: int32(slab), lo0: lo.a, lo1: lo.b, hi0: lo.a + h0, hi1: lo.b + h1}))
	}
	return out
}

// split adds the cells of a thin slab, cut where the cells of the slabs within the gap on
// either side begin and end, so that a slit along the ends of many members is looked at member by member:
//
//	 bay | s |          the slit s is closed where a joist ends at it, and open to
//	-----| l | rim      the bay where none does
//	joist| i |
//	-----| t |
func (p *plan) split(before [][]cell, here []cell, after [][]cell) {
	var at []float64
	for _, row := range before {
		for k := range row {
			at = append(at, row[k].lo1, row[k].hi1)
		}
	}
	for _, row := range after {
		for k := range row {
			at = append(at, row[k].lo0, row[k].hi0)
		}
	}
	sort.Float64s(at)
	for _, c := range here {
		for _, v := range at {
			if v > max(c.lo0, c.lo1)+mergeTol && v < min(c.hi0, c.hi1)-mergeTol {
				lower := c
				lower.hi0, lower.hi1 = v, v
				c.lo0, c.lo1 = v, v
				p.cells = append(p.cells, p.sized(lower))
			}
		}
		p.cells = append(p.cells, p.sized(c))
	}
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
	if i < 0 || i >= p.slabs() {
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
	f := (u - p.us[i]) / (p.us[i+1] - p.us[i])
	lo, to := p.row(i)
	for hi := to; lo < hi; { // the first cell that ends above v
		m := (lo + hi) / 2
		if c := &p.cells[m]; c.hi0*(1-f)+c.hi1*f > v {
			hi = m
		} else {
			lo = m + 1
		}
	}
	if lo == to {
		return -1
	}
	c := &p.cells[lo]
	if c.lo0*(1-f)+c.lo1*f > v {
		return -1
	}
	return lo
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
	for i := range p.slabs() {
		w := p.us[i+1] - p.us[i]
		from, to := p.row(i)
		for ia := from; ia+1 < to; ia++ {
			a, b := &p.cells[ia], &p.cells[ia+1]
			if b.lo0-a.hi0 > 1e-7 || b.lo1-a.hi1 > 1e-7 {
				continue
			}
			f(touch{ia, ia + 1, w, geom.Vec2{X: p.us[i] + w/2, Y: (a.hi0 + a.hi1) / 2}, false})
		}
		if i+1 == p.slabs() {
			break
		}
		k, end := p.row(i + 1)
		for ia := from; ia < to; ia++ {
			a := &p.cells[ia]
			for k < end && p.cells[k].hi0 <= a.lo1+1e-9 {
				k++
			}
			for ib := k; ib < end && p.cells[ib].lo0 < a.hi1-1e-9; ib++ {
				b := &p.cells[ib]
				lo, hi := max(a.lo1, b.lo0), min(a.hi1, b.hi0)
				if hi-lo > 1e-7 {
					f(touch{ia, ib, hi - lo, geom.Vec2{X: p.us[i+1], Y: (lo + hi) / 2}, true})
				}
			}
		}
	}
}
