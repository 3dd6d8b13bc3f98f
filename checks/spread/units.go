package spread

import (
	"slices"
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
// others only when those do not join them already in the same class: an attic over a row of
// units is told unit line by unit line. Sorted by pair, then by class.
func (g *Graph) Crossings(adjacent []Pair) []*Crossing {
	shares := map[Pair]bool{}
	for _, p := range adjacent {
		shares[MakePair(p.A, p.B)] = true
	}
	list, near := g.beside(), g.neighbourhoods()
	joined := newJoins()
	var r []*Crossing
	for _, sharing := range []bool{true, false} {
		for _, p := range list {
			if shares[p] != sharing {
				continue
			}
			if !sharing && joined.all(p, near.classes(p)) {
				continue
			}
			for _, c := range g.crossings(p, near.of(p)) {
				if joined.join(c.Class, p) || sharing {
					r = append(r, c)
				}
			}
		}
	}
	sort.SliceStable(r, func(i, j int) bool { return r[i].Pair.before(r[j].Pair) })
	return r
}

func (p Pair) before(q Pair) bool { return p.A < q.A || p.A == q.A && p.B < q.B }

// beside returns the pairs of units between which there may be a way through spaces that lie
// in no third one, sorted: those a compartment lies over, those an opening joins, and those
// that lie round what openings join of spaces in no unit. What lies inside the floor between
// two units counts as both.
func (g *Graph) beside() []Pair {
	neutral := func(i int) bool { c := g.Compartments[i]; return len(Units(c)) == 0 || len(c.Stacked) > 0 }
	seen := map[Pair]bool{}
	var list []Pair
	add := func(us, vs []int) {
		for _, u := range us {
			for _, v := range vs {
				if p := MakePair(u, v); u != v && u >= 0 && v >= 0 && !seen[p] {
					seen[p] = true
					list = append(list, p)
				}
			}
		}
	}
	done := make([]bool, len(g.adj))
	for i, c := range g.Compartments {
		add(Units(c), Units(c))
		for _, k := range g.near()[i] {
			if k > i {
				add(Units(c), Units(g.Compartments[k]))
			}
		}
		if !neutral(i) || done[i] {
			continue
		}
		done[i] = true
		var round []int
		for queue := []int{i}; len(queue) > 0; queue = queue[1:] {
			round = append(round, Units(g.Compartments[queue[0]])...)
			for _, k := range g.near()[queue[0]] {
				round = append(round, Units(g.Compartments[k])...)
				if neutral(k) && !done[k] {
					done[k] = true
					queue = append(queue, k)
				}
			}
		}
		round = distinct(round)
		add(round, round)
	}
	sort.Slice(list, func(i, j int) bool { return list[i].before(list[j]) })
	return list
}

// neighbourhoods are the groups of compartments that openings join, by the units they touch.
type neighbourhoods struct {
	members [][]*void.Compartment
	touched map[int][]group // of each unit, ascending
}

// group is a group in which a unit has compartments, and their classes.
type group struct {
	number  int
	classes []Class
}

func (g *Graph) neighbourhoods() *neighbourhoods {
	n := &neighbourhoods{touched: map[int][]group{}}
	groups := g.Groups()
	for i, c := range g.Compartments {
		k := groups[i]
		if k == len(n.members) {
			n.members = append(n.members, nil)
		}
		n.members[k] = append(n.members[k], c)
	}
	for k, cs := range n.members {
		for _, c := range cs {
			for _, u := range Units(c) {
				gs := n.touched[u]
				if len(gs) == 0 || gs[len(gs)-1].number != k {
					gs = append(gs, group{number: k})
				}
				if last := &gs[len(gs)-1]; !slices.Contains(last.classes, ClassOf(c)) {
					last.classes = append(last.classes, ClassOf(c))
				}
				n.touched[u] = gs
			}
		}
	}
	return n
}

// of returns the compartments of the groups that touch both units of a pair.
func (n *neighbourhoods) of(p Pair) []*void.Compartment {
	var out []*void.Compartment
	n.both(p, func(a, _ group) { out = append(out, n.members[a.number]...) })
	return out
}

// classes returns the classes of the compartments that either unit has in those groups.
func (n *neighbourhoods) classes(p Pair) []Class {
	var out []Class
	n.both(p, func(a, b group) { out = append(append(out, a.classes...), b.classes...) })
	return out
}

// both calls f for each group that touches both units of a pair.
func (n *neighbourhoods) both(p Pair, f func(a, b group)) {
	b := n.touched[p.B]
	for _, a := range n.touched[p.A] {
		for len(b) > 0 && b[0].number < a.number {
			b = b[1:]
		}
		if len(b) > 0 && b[0].number == a.number {
			f(a, b[0])
		}
	}
}

// joins are the units that crossings join, class by class.
type joins struct{ root map[unitIn]unitIn }

// unitIn is a unit in one class.
type unitIn struct {
	class Class
	unit  int
}

func newJoins() *joins { return &joins{map[unitIn]unitIn{}} }

func (j *joins) find(m unitIn) unitIn {
	for {
		up, ok := j.root[m]
		if !ok || up == m {
			return m
		}
		m = up
	}
}

// join joins the units of a pair in a class and reports whether they were apart.
func (j *joins) join(k Class, p Pair) bool {
	a, b := j.find(unitIn{k, p.A}), j.find(unitIn{k, p.B})
	if a != b {
		j.root[a] = b
	}
	return a != b
}

// all reports whether the units of a pair are joined in every class of a list.
func (j *joins) all(p Pair, classes []Class) bool {
	return !slices.ContainsFunc(classes, func(k Class) bool { return j.find(unitIn{k, p.A}) != j.find(unitIn{k, p.B}) })
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
