// Package spread follows fire through concealed spaces: compartments are the nodes of a
// graph, openings its edges. It answers what a compartment can reach, by which route fire
// gets from one dwelling unit into another, and which single opening or stop matters most.
// It knows geometry and numbers of units, no limits of any code.
//
//	 floor void U1        wall cavity        floor void U2
//	+-------------+      +-----------+      +-------------+
//	|    V1.1     |=bay=>|   V3.1    |=bay=>|    V2.1     |
//	+-------------+      +-----------+      +-------------+
//
// Every answer is the same for the same building however it is turned, mirrored or listed:
// ties are broken by size and length first, by index last.
package spread

import (
	"slices"
	"sync"

	"voidcheck/checks/void"
)

// sizeTolerance is the share by which an opening may fall short of the least size and still
// count: sizes come out of floating-point geometry.
const sizeTolerance = 1e-6

// Graph is the compartments of a result joined by those openings that are large enough.
type Graph struct {
	Compartments []*void.Compartment
	Openings     []*void.Opening // the edges, in the order of the result
	at           map[*void.Compartment]int
	adj          [][]edge
	near         func() [][]int // the neighbours of each node, each once, ascending; made on first use
}

// edge leads to a node by an opening; id is its index in Graph.Openings.
type edge struct{ to, id int }

// New makes the graph of the openings that are at least min metres wide and high. With min 0
// every opening counts. Openings without two different ends, or with an end that is not
// among the compartments, are left out.
func New(r *void.Result, min float64) *Graph {
	g := &Graph{Compartments: r.Compartments, at: make(map[*void.Compartment]int, len(r.Compartments))}
	for i, c := range r.Compartments {
		g.at[c] = i
	}
	g.adj = make([][]edge, len(r.Compartments))
	for _, o := range r.Openings {
		a, okA := g.at[o.A]
		b, okB := g.at[o.B]
		if !okA || !okB || a == b || !Passes(o, min) {
			continue
		}
		id := len(g.Openings)
		g.Openings = append(g.Openings, o)
		g.adj[a] = append(g.adj[a], edge{b, id})
		g.adj[b] = append(g.adj[b], edge{a, id})
	}
	g.near = sync.OnceValue(func() [][]int {
		near := make([][]int, len(g.adj))
		for i, es := range g.adj {
			for _, e := range es {
				near[i] = append(near[i], e.to)
			}
			slices.Sort(near[i])
			near[i] = slices.Compact(near[i])
		}
		return near
	})
	return g
}

// Passes reports whether an opening is at least min metres wide and high.
func Passes(o *void.Opening, min float64) bool {
	return clear(o) >= min*(1-sizeTolerance)
}

// clear is the smaller of an opening's clear width and height.
func clear(o *void.Opening) float64 {
	if o.WidthM < o.HeightM {
		return o.WidthM
	}
	return o.HeightM
}

// Reach returns every compartment that fire in c can get to, c included, in the order of
// the result; nil when c is not in the graph.
func (g *Graph) Reach(c *void.Compartment) []*void.Compartment {
	start, ok := g.at[c]
	if !ok {
		return nil
	}
	seen := g.flood(start, func(int) bool { return true })
	var r []*void.Compartment
	for i, s := range seen {
		if s {
			r = append(r, g.Compartments[i])
		}
	}
	return r
}

// flood marks what can be reached from start through the edges that pass.
func (g *Graph) flood(start int, pass func(id int) bool) []bool {
	seen := make([]bool, len(g.adj))
	seen[start] = true
	queue := []int{start}
	for len(queue) > 0 {
		n := queue[0]
		queue = queue[1:]
		for _, e := range g.adj[n] {
			if !seen[e.to] && pass(e.id) {
				seen[e.to] = true
				queue = append(queue, e.to)
			}
		}
	}
	return seen
}

// Groups numbers the compartments by what openings join: equal numbers are one group,
// counted from 0 in the order of the result.
func (g *Graph) Groups() []int {
	n := make([]int, len(g.adj))
	for i := range n {
		n[i] = -1
	}
	next := 0
	var queue []int
	for i := range n {
		if n[i] >= 0 {
			continue
		}
		n[i] = next
		for queue = append(queue[:0], i); len(queue) > 0; {
			k := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			for _, e := range g.adj[k] {
				if n[e.to] < 0 {
					n[e.to] = next
					queue = append(queue, e.to)
				}
			}
		}
		next++
	}
	return n
}

// Between returns the openings that lie between members of one group: those left when
// branches that lead to no member are cut off, in the order of the result. They are what
// joins the members.
func (g *Graph) Between(members []*void.Compartment) []*void.Opening {
	keep := make([]bool, len(g.adj))
	for _, c := range members {
		if i, ok := g.at[c]; ok {
			keep[i] = true
		}
	}
	degree := make([]int, len(g.adj)) // neighbours still there, parallel openings counted once
	gone := make([]bool, len(g.adj))
	near := g.near()
	var leaves []int
	for i := range degree {
		degree[i] = len(near[i])
		if degree[i] <= 1 && !keep[i] {
			leaves = append(leaves, i)
		}
	}
	for len(leaves) > 0 {
		i := leaves[0]
		leaves = leaves[1:]
		if gone[i] {
			continue
		}
		gone[i] = true
		for _, j := range near[i] {
			if degree[j]--; !gone[j] && degree[j] <= 1 && !keep[j] {
				leaves = append(leaves, j)
			}
		}
	}
	reached := make([]bool, len(g.adj)) // from a member, over what is left
	for i, k := range keep {
		if !k || reached[i] {
			continue
		}
		for j, s := range g.flood(i, func(id int) bool {
			return !gone[g.at[g.Openings[id].A]] && !gone[g.at[g.Openings[id].B]]
		}) {
			reached[j] = reached[j] || s
		}
	}
	var r []*void.Opening
	for _, o := range g.Openings {
		a, b := g.at[o.A], g.at[o.B]
		if !gone[a] && !gone[b] && reached[a] && reached[b] {
			r = append(r, o)
		}
	}
	return r
}
