package void

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"voidcheck/ifcx/geom"
)

// linework is what cuts a plan: the lines along u and v at which edges end, and the edges
// that do not lie along v, which bound cells from below and above.
type linework struct {
	us, vs cluster
	level  []planEdge // along u, by their low ends
	sloped []seg      // oblique ones, sorted
	times  []int32    // of the solid at hand
}

// planEdge is an edge by numbers of lines.
type planEdge struct{ u0, v0, u1, v1 int32 }

type seg struct{ u0, v0, u1, v1 float64 }

// read takes the edges of solids and others in place of those from before.
func (x *linework) read(cores int, solids []*solid, others [][2]geom.Vec2) {
	ends, n := 2*len(others), len(others)
	for _, s := range solids {
		ends, n = ends+max(2, len(s.verts)), n+max(2, len(s.edges))
	}
	x.us.reset(ends)
	x.vs.reset(ends)
	edges := slices.Grow(x.level[:0], n) // by numbers of ends
	times := x.times                     // how often a vertex is the end of an edge, then its number as an end
	for _, s := range solids {
		if s.isBox && !s.bare { // each of its sides is the end of an edge four times
			u0, v0 := x.end(s.box.Min.Plan(), 4)
			u1, v1 := x.end(s.box.Max.Plan(), 4)
			edges = append(edges, planEdge{u0, v0, u1, v0}, planEdge{u0, v1, u1, v1})
			continue
		}
		times = sized(times, len(s.verts))
		for _, e := range s.edges {
			times[e[0]]++
			times[e[1]]++
		}
		for i, n := range times {
			if n > 0 {
				times[i], _ = x.end(s.verts[i].Plan(), n)
			}
		}
		for _, e := range s.edges {
			a, b := times[e[0]], times[e[1]]
			edges = append(edges, planEdge{a, a, b, b})
		}
	}
	for _, e := range others {
		a, _ := x.end(e[0], 1)
		b, _ := x.end(e[1], 1)
		edges = append(edges, planEdge{a, a, b, b})
	}
	inPieces(cores, 2, func(_, from, to int) {
		for _, c := range []*cluster{&x.us, &x.vs}[from:to] {
			c.join(mergeTol)
		}
	})
	x.level, x.sloped, x.times = edges[:0], x.sloped[:0], times
	for _, e := range edges {
		e = planEdge{x.us.line[e.u0], x.vs.line[e.v0], x.us.line[e.u1], x.vs.line[e.v1]}
		if e.u0 > e.u1 {
			e = planEdge{e.u1, e.v1, e.u0, e.v0}
		}
		switch {
		case e.u0 == e.u1: // edges along v only give their line
		case e.v0 == e.v1:
			x.level = append(x.level, e)
		default:
			x.sloped = append(x.sloped, seg{x.us.reps[e.u0], x.vs.reps[e.v0], x.us.reps[e.u1], x.vs.reps[e.v1]})
		}
	}
	slices.SortFunc(x.level, func(a, b planEdge) int { return int(a.u0) - int(b.u0) })
	slices.SortFunc(x.sloped, func(a, b seg) int {
		return cmp.Or(cmp.Compare(a.u0, b.u0), cmp.Compare(a.v0, b.v0), cmp.Compare(a.u1, b.u1), cmp.Compare(a.v1, b.v1))
	})
	x.sloped = slices.Compact(x.sloped)
}

// end adds a point at which n edges end, and returns its numbers along u and v.
func (x *linework) end(p geom.Vec2, n int32) (int32, int32) {
	return x.us.add(p.X, n), x.vs.add(p.Y, n)
}

// cluster groups values closer than tol to the group's first; a group stands at its median.
// Values that only noise tells apart are never in two groups: their medians would lie so
// close that a face falls on the wrong side of a line.
type cluster struct {
	ticks []tick
	line  []int32   // group of each value, by number
	reps  []float64 // medians of the groups, ascending
}

// tick is a value that was added n times.
type tick struct {
	at        float64
	n, number int32
}

// reset forgets all values and makes room for n.
func (c *cluster) reset(n int) {
	c.ticks, c.reps = slices.Grow(c.ticks[:0], n), nil
}

// add adds a value n times and returns its number.
func (c *cluster) add(x float64, n int32) int32 {
	k := int32(len(c.ticks))
	c.ticks = append(c.ticks, tick{x, n, k})
	return k
}

// join makes the groups.
func (c *cluster) join(tol float64) {
	x := c.ticks
	slices.SortFunc(x, func(a, b tick) int {
		switch {
		case a.at < b.at:
			return -1
		case a.at > b.at:
			return 1
		}
		return 0
	})
	c.line = sized(c.line, len(x))
	for i := 0; i < len(x); {
		j, n := i, int32(0)
		for j < len(x) && (x[j].at-x[i].at <= tol || j > i && x[j].at-x[j-1].at <= noiseTol) {
			c.line[x[j].number] = int32(len(c.reps))
			n += x[j].n
			j++
		}
		k, before := i, x[i].n // values up to and with the k-th
		for before <= (n-1)/2 {
			k++
			before += x[k].n
		}
		c.reps = append(c.reps, x[k].at)
		i = j
	}
}

// span is an edge over a slab: its v at the two ends of the slab.
type span struct{ a, b float64 }

// spans tells which edges span a slab that moves up along u.
type spans struct {
	x      *linework
	live   []int32   // lines along u over the slab, ascending
	until  []float64 // how far the edges on each line reach
	active []seg     // sloped edges over the slab
	level  int       // next of linework.level
	sloped int       // next of linework.sloped
	out    []span
}

func newSpans(x *linework) *spans {
	s := &spans{x: x, until: make([]float64, len(x.vs.reps))}
	for i := range s.until {
		s.until[i] = math.Inf(-1)
	}
	return s
}

// to returns the edges that span the slab from ua to ub, from low to high. Of those on one
// line there is one. The list is good until the next call.
func (s *spans) to(ua, ub float64) []span {
	x := s.x
	s.live = slices.DeleteFunc(s.live, func(v int32) bool { return s.until[v] <= ua+1e-12 })
	for ; s.level < len(x.level) && x.us.reps[x.level[s.level].u0] <= ua; s.level++ {
		l := x.level[s.level]
		end := x.us.reps[l.u1]
		if end <= ua {
			continue
		}
		if s.until[l.v0] <= ua+1e-12 {
			at, _ := slices.BinarySearch(s.live, l.v0)
			s.live = slices.Insert(s.live, at, l.v0)
		}
		s.until[l.v0] = max(s.until[l.v0], end)
	}
	s.active = slices.DeleteFunc(s.active, func(e seg) bool { return e.u1 <= ua+1e-12 })
	for ; s.sloped < len(x.sloped) && x.sloped[s.sloped].u0 <= ua; s.sloped++ {
		if x.sloped[s.sloped].u1 > ua {
			s.active = append(s.active, x.sloped[s.sloped])
		}
	}
	s.out = s.out[:0]
	for _, v := range s.live {
		s.out = append(s.out, span{x.vs.reps[v], x.vs.reps[v]})
	}
	for _, e := range s.active {
		k := (e.v1 - e.v0) / (e.u1 - e.u0)
		s.out = append(s.out, span{e.v0 + k*(ua-e.u0), e.v0 + k*(ub-e.u0)})
	}
	if len(s.active) > 0 {
		sort.Slice(s.out, func(i, j int) bool {
			a, b := s.out[i], s.out[j]
			return a.a+a.b < b.a+b.b || a.a+a.b == b.a+b.b && a.a < b.a
		})
	}
	return s.out
}
