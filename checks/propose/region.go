package propose

import (
	"math"
	"slices"
	"sort"

	"voidcheck/ifcx/geom"
)

// snap is how near two values of t are one, metres.
const snap = 1e-5

// axes is a plan turned to the framing: s along the members, t across them.
type axes struct {
	o, dir geom.Vec2 // dir is the unit direction of s
}

func (a axes) in(p geom.Vec2) (s, t float64) {
	d := p.Sub(a.o)
	return d.Dot(a.dir), a.dir.Cross(d)
}

func (a axes) out(s, t float64) geom.Vec2 {
	return geom.Vec2{X: a.o.X + s*a.dir.X - t*a.dir.Y, Y: a.o.Y + s*a.dir.Y + t*a.dir.X}
}

// turned returns the axes with s and t exchanged, for lines across the framing.
func (a axes) turned() axes { return axes{a.o, geom.Vec2{X: -a.dir.Y, Y: a.dir.X}} }

// region is an area in plan in slabs between lines t = const:
//
//	t |  +-------+
//	  |  | cell  |          slab 1
//	  |--+-------+------+-- line 1: one touch, over the width that both cells share
//	  |  |    cell      |   slab 0
//	  |  +--------------+
//	  +------------------ s
//
// Cutting a line takes its touches away; what still hangs together is a part.
type region struct {
	axes
	ts      []float64 // lines, ascending; slab i lies between ts[i] and ts[i+1]
	cells   []cell
	slabs   [][]int   // cells of each slab, by s
	touches [][]touch // touches[i] lie on line i
	area    float64
}

// cell is a trapezoid of a slab: its ends along s at the lower and the upper line.
type cell struct {
	lo0, hi0, lo1, hi1 float64
	area               float64
}

// touch is where a cell below a line meets one above it.
type touch struct {
	below, above int
	lo, hi       float64
}

// newRegion cuts rings (outer ones and holes, even-odd) at the given values of t and at
// every corner.
func newRegion(rings [][]geom.Vec2, a axes, at []float64) *region {
	r := &region{axes: a}
	type edge struct{ s0, t0, s1, t1 float64 }
	var edges []edge
	var vals []float64
	for _, ring := range rings {
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			s0, t0 := a.in(p)
			s1, t1 := a.in(q)
			vals = append(vals, t0)
			edges = append(edges, edge{s0, t0, s1, t1})
		}
	}
	r.ts = distinct(vals, at)
	line := func(t float64) int { return nearest(r.ts, t) }
	type span struct{ i0, i1 int }
	ends := make([]span, len(edges))
	for k := range edges {
		e := &edges[k]
		if e.t0 > e.t1 {
			*e = edge{e.s1, e.t1, e.s0, e.t0}
		}
		ends[k] = span{line(e.t0), line(e.t1)}
	}
	r.slabs = make([][]int, max(len(r.ts)-1, 0))
	crossing := make([][]int, len(r.slabs)) // edges by slab
	for k, e := range ends {
		for i := e.i0; i < e.i1; i++ {
			crossing[i] = append(crossing[i], k)
		}
	}
	for i := range r.slabs {
		t0, t1 := r.ts[i], r.ts[i+1]
		type wall struct{ a, b float64 }
		var ws []wall
		for _, k := range crossing[i] {
			e, d := edges[k], ends[k]
			lo, hi := r.ts[d.i0], r.ts[d.i1]
			f := func(t float64) float64 { return e.s0 + (e.s1-e.s0)*(t-lo)/(hi-lo) }
			ws = append(ws, wall{f(t0), f(t1)})
		}
		sort.Slice(ws, func(x, y int) bool { return ws[x].a+ws[x].b < ws[y].a+ws[y].b })
		for k := 0; k+1 < len(ws); k += 2 {
			c := cell{lo0: ws[k].a, hi0: ws[k+1].a, lo1: ws[k].b, hi1: ws[k+1].b}
			c.area = (t1 - t0) * (c.hi0 - c.lo0 + c.hi1 - c.lo1) / 2
			if c.area <= 1e-9 {
				continue
			}
			r.slabs[i] = append(r.slabs[i], len(r.cells))
			r.cells = append(r.cells, c)
			r.area += c.area
		}
	}
	r.touch()
	return r
}

// touch finds where cells of neighbouring slabs meet.
func (r *region) touch() {
	r.touches = make([][]touch, len(r.ts))
	for i := 1; i < len(r.slabs); i++ {
		for _, b := range r.slabs[i-1] {
			for _, c := range r.slabs[i] {
				lo := math.Max(r.cells[b].lo1, r.cells[c].lo0)
				hi := math.Min(r.cells[b].hi1, r.cells[c].hi0)
				if hi-lo > snap {
					r.touches[i] = append(r.touches[i], touch{b, c, lo, hi})
				}
			}
		}
	}
}

// distinct sorts values, with the wanted ones that lie between them, and makes one of those
// that lie together; where a wanted value lies among them, it is the one kept.
func distinct(vals, wanted []float64) []float64 {
	if len(vals) == 0 {
		return nil
	}
	lo, hi := slices.Min(vals), slices.Max(vals)
	var w []float64
	for _, v := range wanted {
		if v > lo-snap && v < hi+snap {
			w = append(w, v)
		}
	}
	sort.Float64s(w)
	vals = append(vals, w...)
	sort.Float64s(vals)
	var out []float64
	for i := 0; i < len(vals); {
		j := i
		for j < len(vals) && vals[j]-vals[i] <= snap {
			j++
		}
		v := vals[i]
		if k := sort.SearchFloat64s(w, vals[i]); k < len(w) && w[k] <= vals[j-1] {
			v = w[k]
		}
		out = append(out, v)
		i = j
	}
	return out
}

// nearest returns the index of the value nearest to t.
func nearest(sorted []float64, t float64) int {
	i := sort.SearchFloat64s(sorted, t)
	if i == len(sorted) || i > 0 && t-sorted[i-1] < sorted[i]-t {
		i--
	}
	return i
}

// below returns the area of the region below t.
func (r *region) below(t float64) float64 {
	sum := 0.0
	for i, slab := range r.slabs {
		t0, t1 := r.ts[i], r.ts[i+1]
		if t <= t0 {
			break
		}
		f := math.Min(1, (t-t0)/(t1-t0))
		for _, k := range slab {
			c := &r.cells[k]
			w0, w1 := c.hi0-c.lo0, c.hi1-c.lo1
			sum += (t1 - t0) * f * (w0 + w0 + (w1-w0)*f) / 2
		}
	}
	return sum
}

// level returns the t below which the given area lies.
func (r *region) level(area float64) float64 {
	if len(r.ts) == 0 {
		return 0
	}
	lo, hi := r.ts[0], r.ts[len(r.ts)-1]
	for range 60 {
		mid := (lo + hi) / 2
		if r.below(mid) < area {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}
