package spread

import (
	"container/heap"
	"math"

	"voidcheck/checks/void"
)

// Route is a way for fire: Compartments[0], through Openings[0], into Compartments[1] ...
// A route without openings stays in one compartment.
type Route struct {
	Compartments []*void.Compartment
	Openings     []*void.Opening
}

// ClearM is the narrowest clear size along the route, metres; +Inf without openings.
func (r *Route) ClearM() float64 {
	m := math.Inf(1)
	for _, o := range r.Openings {
		m = math.Min(m, clear(o))
	}
	return m
}

// Route returns the shortest way from any of the sources to any of the targets over
// compartments for which through holds (nil: all), the ends excepted; nil when there is none. The fewest
// openings win; among those the way whose narrowest opening is widest (to the millimetre);
// then the shortest in metres from opening to opening; then the lowest opening indices.
func (g *Graph) Route(from, to []*void.Compartment, through func(*void.Compartment) bool) *Route {
	source, target := g.mark(from), g.mark(to)
	for i, c := range g.Compartments {
		if source[i] && target[i] {
			return &Route{Compartments: []*void.Compartment{c}}
		}
	}
	open := func(i int) bool {
		return source[i] || target[i] || through == nil || through(g.Compartments[i])
	}
	hops := g.hops(source, target, open, 0)
	if hops < 0 {
		return nil
	}
	// The widest bottleneck that still gives as few openings, by bisection over the sizes.
	lo, hi := 0, g.widestMM()
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if g.hops(source, target, open, mid) == hops {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	return g.shortest(source, target, open, lo, hops)
}

// mark turns compartments into a set over the nodes.
func (g *Graph) mark(cs []*void.Compartment) []bool {
	m := make([]bool, len(g.adj))
	for _, c := range cs {
		if i, ok := g.at[c]; ok {
			m[i] = true
		}
	}
	return m
}

// sizeMM is an opening's clear size in about whole millimetres, for ties only: no size in
// whole millimetres or sixteenths of an inch lies where rounding would tell equal ones apart.
func sizeMM(o *void.Opening) int {
	return int(math.Min(math.Round(clear(o)*1000+0.207), 1e6))
}

func (g *Graph) widestMM() int {
	m := 0
	for _, o := range g.Openings {
		m = max(m, sizeMM(o))
	}
	return m
}

// hops is the least number of openings from source to target using only openings of at
// least mm millimetres; -1 when there is no way.
func (g *Graph) hops(source, target []bool, open func(int) bool, mm int) int {
	dist := make([]int, len(g.adj))
	var queue []int
	for i := range dist {
		dist[i] = -1
		if source[i] {
			dist[i] = 0
			queue = append(queue, i)
		}
	}
	for len(queue) > 0 {
		n := queue[0]
		queue = queue[1:]
		if target[n] {
			return dist[n]
		}
		for _, e := range g.adj[n] {
			if dist[e.to] < 0 && open(e.to) && sizeMM(g.Openings[e.id]) >= mm {
				dist[e.to] = dist[n] + 1
				queue = append(queue, e.to)
			}
		}
	}
	return -1
}

// step is a state of the search: an opening passed into a node.
type step struct {
	node, id int
	hops     int
	length   float64 // metres between the points of the openings passed
	prev     *step
}

type steps []*step

func (s steps) Len() int { return len(s) }
func (s steps) Less(i, j int) bool {
	a, b := s[i], s[j]
	switch {
	case a.hops != b.hops:
		return a.hops < b.hops
	case math.Abs(a.length-b.length) > lengthTie:
		return a.length < b.length
	case a.id != b.id:
		return a.id < b.id
	}
	return a.node < b.node
}
func (s steps) Swap(i, j int) { s[i], s[j] = s[j], s[i] }
func (s *steps) Push(x any)   { *s = append(*s, x.(*step)) }
func (s *steps) Pop() any     { o := *s; x := o[len(o)-1]; *s = o[:len(o)-1]; return x }

// lengthTie is the difference below which two routes are as long as each other, metres.
const lengthTie = 0.001

// shortest finds the route of the known number of openings, all of at least mm millimetres,
// that is shortest in metres. Its states are openings, because a route's length is counted
// from opening to opening.
func (g *Graph) shortest(source, target []bool, open func(int) bool, mm, hops int) *Route {
	var h steps
	leave := func(n int, from *step) {
		for _, e := range g.adj[n] {
			o := g.Openings[e.id]
			if !open(e.to) || source[e.to] || sizeMM(o) < mm {
				continue
			}
			s := &step{node: e.to, id: e.id, hops: 1, prev: from}
			if from != nil {
				s.hops = from.hops + 1
				s.length = from.length + o.Point.Sub(g.Openings[from.id].Point).Len()
			}
			if s.hops <= hops {
				heap.Push(&h, s)
			}
		}
	}
	for i, s := range source {
		if s {
			leave(i, nil)
		}
	}
	done := map[[2]int]bool{} // opening and node entered
	for h.Len() > 0 {
		s := heap.Pop(&h).(*step)
		if done[[2]int{s.id, s.node}] {
			continue
		}
		done[[2]int{s.id, s.node}] = true
		if target[s.node] {
			return g.trace(s)
		}
		leave(s.node, s)
	}
	return nil
}

// trace walks a finished search back into a route.
func (g *Graph) trace(s *step) *Route {
	r := &Route{}
	for ; s != nil; s = s.prev {
		r.Compartments = append(r.Compartments, g.Compartments[s.node])
		r.Openings = append(r.Openings, g.Openings[s.id])
		if s.prev == nil {
			o := g.Openings[s.id]
			first := o.A
			if g.at[o.A] == s.node {
				first = o.B
			}
			r.Compartments = append(r.Compartments, first)
		}
	}
	for i, j := 0, len(r.Compartments)-1; i < j; i, j = i+1, j-1 {
		r.Compartments[i], r.Compartments[j] = r.Compartments[j], r.Compartments[i]
	}
	for i, j := 0, len(r.Openings)-1; i < j; i, j = i+1, j-1 {
		r.Openings[i], r.Openings[j] = r.Openings[j], r.Openings[i]
	}
	return r
}
