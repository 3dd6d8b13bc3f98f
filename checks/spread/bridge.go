package spread

import (
	"sort"

	"voidcheck/checks/void"
)

// Bridges returns the openings whose closing would divide a group in two, in the order of
// the result: each is the only way between its two sides.
func (g *Graph) Bridges() []*void.Opening {
	bridge, _ := g.lowLinks()
	var r []*void.Opening
	for id, b := range bridge {
		if b {
			r = append(r, g.Openings[id])
		}
	}
	return r
}

// Articulation returns the compartments through which every way between some others leads,
// in the order of the result.
func (g *Graph) Articulation() []*void.Compartment {
	_, cut := g.lowLinks()
	var r []*void.Compartment
	for i, c := range cut {
		if c {
			r = append(r, g.Compartments[i])
		}
	}
	return r
}

// lowLinks is Tarjan's search for bridges and cut nodes, with a stack of its own: a long
// row of voids must not exhaust the goroutine's. Parallel openings are no bridges.
func (g *Graph) lowLinks() (bridge, cut []bool) {
	n := len(g.adj)
	bridge, cut = make([]bool, len(g.Openings)), make([]bool, n)
	order, low := make([]int, n), make([]int, n)
	type frame struct{ node, by, next, children int }
	clock := 0
	for root := range order {
		if order[root] > 0 {
			continue
		}
		clock++
		order[root], low[root] = clock, clock
		stack := []frame{{node: root, by: -1}}
		for len(stack) > 0 {
			f := &stack[len(stack)-1]
			if f.next < len(g.adj[f.node]) {
				e := g.adj[f.node][f.next]
				f.next++
				if e.id == f.by {
					continue
				}
				if order[e.to] > 0 {
					low[f.node] = min(low[f.node], order[e.to])
					continue
				}
				clock++
				order[e.to], low[e.to] = clock, clock
				f.children++
				stack = append(stack, frame{node: e.to, by: e.id})
				continue
			}
			done := *f
			stack = stack[:len(stack)-1]
			if len(stack) == 0 {
				cut[done.node] = done.children > 1
				continue
			}
			up := &stack[len(stack)-1]
			low[up.node] = min(low[up.node], low[done.node])
			if low[done.node] > order[up.node] {
				bridge[done.by] = true
			}
			if up.by >= 0 && low[done.node] >= order[up.node] {
				cut[up.node] = true
			}
		}
	}
	return bridge, cut
}

// UnitsReached returns the units that fire in any of the compartments can get to, ascending.
func (g *Graph) UnitsReached(cs ...*void.Compartment) []int {
	var all []int
	for _, c := range cs {
		for _, r := range g.Reach(c) {
			all = append(all, Units(r)...)
		}
	}
	return distinct(all)
}

// IfOpened returns the pairs of units that a missing stop between two compartments would
// newly join, sorted: the first of each pair on one side, the second on the other, and no
// concealed way between them as things stand. It is what makes a stop critical.
func (g *Graph) IfOpened(a, b *void.Compartment) []Pair {
	ia, okA := g.at[a]
	ib, okB := g.at[b]
	if !okA || !okB || g.flood(ia, func(int) bool { return true })[ib] {
		return nil
	}
	joined := map[Pair]bool{} // pairs that are joined as things stand
	groups := g.Groups()
	units := map[int][]int{}
	for i, c := range g.Compartments {
		units[groups[i]] = append(units[groups[i]], Units(c)...)
	}
	for _, us := range units {
		us = distinct(us)
		for i, u := range us {
			for _, v := range us[i+1:] {
				joined[Pair{u, v}] = true
			}
		}
	}
	seen := map[Pair]bool{}
	var r []Pair
	for _, u := range distinct(units[groups[ia]]) {
		for _, v := range distinct(units[groups[ib]]) {
			p := Pair{min(u, v), max(u, v)}
			if u != v && !joined[p] && !seen[p] {
				seen[p] = true
				r = append(r, p)
			}
		}
	}
	sort.Slice(r, func(i, j int) bool { return r[i].A < r[j].A || r[i].A == r[j].A && r[i].B < r[j].B })
	return r
}

func distinct(v []int) []int {
	v = append([]int(nil), v...)
	sort.Ints(v)
	u := v[:0]
	for i, x := range v {
		if x >= 0 && (i == 0 || x != v[i-1]) {
			u = append(u, x)
		}
	}
	return u
}
