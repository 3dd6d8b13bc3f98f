package spread

import (
	"sort"

	"voidcheck/checks/void"
)

// Pair is two dwelling units, the lower index first.
type Pair struct{ A, B int }

// MakePair returns the pair of two units whichever comes first.
func MakePair(u, v int) Pair { return Pair{min(u, v), max(u, v)} }

// Units returns the units a compartment lies in. The cavity of a wall between units lies
// between them and in neither: fire in it has left its own unit but not entered another.
func Units(c *void.Compartment) []int {
	if c.Void != nil && c.Void.Kind == void.KindWall && len(c.Units) != 1 {
		return nil
	}
	return c.Units
}

// lies reports whether a compartment lies in a unit.
func lies(c *void.Compartment, u int) bool {
	for _, v := range Units(c) {
		if v == u {
			return true
		}
	}
	return false
}

// Class tells apart the places where two units can be joined: the kind of the horizontal
// void and its storey. Two ways in different classes are different defects.
type Class struct {
	Kind   void.Kind
	Storey int
}

// ClassOf returns the class of a compartment's void.
func ClassOf(c *void.Compartment) Class {
	if c.Void == nil {
		return Class{}
	}
	return Class{c.Void.Kind, c.Void.Storey}
}

// parts reports whether a compartment is inside the floor between two units that lie over
// each other: fire in it has entered neither from the other.
func parts(c *void.Compartment, p Pair) bool {
	for _, s := range c.Stacked {
		if MakePair(s[0], s[1]) == p {
			return true
		}
	}
	return false
}

// Crossing is a way from one dwelling unit into another.
type Crossing struct {
	Pair  Pair
	Class Class // of the void where the route starts
	*Route
}

// Crossings returns every way by which fire gets from one unit straight into another:
// through spaces that lie in no third unit. There is at most one for a pair and a class,
// the shortest. A compartment that itself lies over both units is a way without openings;
// one over more than two counts for the pairs that share a separation (adjacent), and for
// others only when those do not join them already. Sorted by pair, then by class.
func (g *Graph) Crossings(adjacent []Pair) []*Crossing {
	shares := map[Pair]bool{}
	for _, p := range adjacent {
		shares[MakePair(p.A, p.B)] = true
	}
	// Units are joined only within a group of compartments that openings join.
	groups := g.Groups()
	members := map[int][]*void.Compartment{}
	touched := map[int]map[int]bool{} // units of each group
	var order []int
	for i, c := range g.Compartments {
		k := groups[i]
		if touched[k] == nil {
			touched[k] = map[int]bool{}
			order = append(order, k)
		}
		members[k] = append(members[k], c)
		for _, u := range Units(c) {
			touched[k][u] = true
		}
	}
	pairs := map[Pair][]*void.Compartment{} // with the compartments of the groups that touch both
	var list []Pair
	for _, k := range order {
		var us []int
		for u := range touched[k] {
			us = append(us, u)
		}
		us = distinct(us)
		for i, u := range us {
			for _, v := range us[i+1:] {
				p := Pair{u, v}
				if pairs[p] == nil {
					list = append(list, p)
				}
				pairs[p] = append(pairs[p], members[k]...)
			}
		}
	}
	sort.Slice(list, func(i, j int) bool {
		return list[i].A < list[j].A || list[i].A == list[j].A && list[i].B < list[j].B
	})
	var r []*Crossing
	for _, p := range list {
		r = append(r, g.crossings(p, pairs[p])...)
	}
	return drop(r, shares)
}

// crossings finds the ways of one pair among the compartments of the groups that touch both
// units, one a class, each set of openings once.
func (g *Graph) crossings(p Pair, among []*void.Compartment) []*Crossing {
	byClass := map[Class][]*void.Compartment{}
	var classes []Class
	for _, c := range among {
		if len(Units(c)) == 0 {
			continue
		}
		k := ClassOf(c)
		if byClass[k] == nil {
			classes = append(classes, k)
		}
		byClass[k] = append(byClass[k], c)
	}
	sort.Slice(classes, func(i, j int) bool {
		a, b := classes[i], classes[j]
		return a.Storey < b.Storey || a.Storey == b.Storey && a.Kind < b.Kind
	})
	of := func(cs []*void.Compartment, u int) []*void.Compartment {
		var r []*void.Compartment
		for _, c := range cs {
			if lies(c, u) && !parts(c, p) {
				r = append(r, c)
			}
		}
		return r
	}
	allA, allB := of(among, p.A), of(among, p.B)
	neutral := func(c *void.Compartment) bool { return len(Units(c)) == 0 || parts(c, p) }
	var r []*Crossing
	for _, k := range classes {
		a, b := of(byClass[k], p.A), of(byClass[k], p.B)
		var best *Route
		for _, ends := range [][2][]*void.Compartment{{a, b}, {a, allB}, {allA, b}} {
			if len(ends[0]) == 0 || len(ends[1]) == 0 {
				continue
			}
			if w := g.Route(ends[0], ends[1], neutral); w != nil && (best == nil || len(w.Openings) < len(best.Openings)) {
				best = w
			}
		}
		if best != nil && !known(r, best) {
			r = append(r, &Crossing{p, k, best})
		}
	}
	return r
}

// known reports whether a route with the same ends and openings was found already.
func known(r []*Crossing, w *Route) bool {
	for _, c := range r {
		if len(c.Openings) != len(w.Openings) {
			continue
		}
		same := len(w.Openings) > 0 || c.Compartments[0] == w.Compartments[0]
		for i := range w.Openings {
			if c.Openings[i] != w.Openings[i] {
				same = false
			}
		}
		if same {
			return true
		}
	}
	return false
}

// drop leaves out pairs that share no separation and are joined by reported pairs of the
// same class anyway: an attic over a row of units is told unit line by unit line.
func drop(r []*Crossing, shares map[Pair]bool) []*Crossing {
	type member struct {
		k Class
		u int
	}
	root := map[member]member{}
	var find func(m member) member
	find = func(m member) member {
		if up, ok := root[m]; ok && up != m {
			return find(up)
		}
		return m
	}
	keep := map[*Crossing]bool{}
	for _, first := range []bool{true, false} {
		for _, c := range r {
			if shares[c.Pair] != first {
				continue
			}
			a, b := find(member{c.Class, c.Pair.A}), find(member{c.Class, c.Pair.B})
			if !first && a == b {
				continue
			}
			keep[c] = true
			if a != b {
				root[a] = b
			}
		}
	}
	var out []*Crossing
	for _, c := range r {
		if keep[c] {
			out = append(out, c)
		}
	}
	return out
}
