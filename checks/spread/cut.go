package spread

import (
	"slices"
	"sort"

	"voidcheck/checks/void"
)

// Barrier is something that keeps two compartments apart: a block, a sheet, a plate.
type Barrier struct{ A, B *void.Compartment }

// Cut tells what it takes, besides one barrier, to join dwelling units that are apart.
type Cut struct {
	// Size is the fewest barriers that have to be missing, this one among them: 1 or 2. It is 0
	// when two are not enough.
	Size int
	// Units are those that would then be joined, ascending.
	Units []int
	// Joined are the compartments that would then be one, in the order of the result.
	Joined []*void.Compartment
	// With are the barriers of which any one has to be missing as well, for Size 2.
	With []int
}

// Cuts tells for each barrier how few have to be missing to join units, as things stand:
//
//	floor void U1 |block| cavity |block| floor void U2     Size 2: the other block as well
//	floor void U1 |block| cavity   open  floor void U2     Size 1
//
// Units that concealed ways join already count as one.
func (g *Graph) Cuts(barriers []Barrier) []Cut {
	groups := g.Groups()
	count := 0
	for _, k := range groups {
		count = max(count, k+1)
	}
	n := &network{units: make([][]int, count), members: make([][]*void.Compartment, count)}
	for i, c := range g.Compartments {
		k := groups[i]
		n.units[k] = append(n.units[k], Units(c)...)
		n.members[k] = append(n.members[k], c)
	}
	return n.cuts(g.ends(barriers, groups))
}

// CutsRepaired is Cuts for the building in which everything that is open now is closed. What
// lies over several units undivided is left out: where it will be divided is not known.
// Openings are numbered after the barriers in Cut.With.
func (g *Graph) CutsRepaired(barriers []Barrier) []Cut {
	each := make([]int, len(g.Compartments))
	n := &network{}
	for i, c := range g.Compartments {
		each[i] = i
		n.units = append(n.units, slices.Clone(Units(c)))
		n.members = append(n.members, []*void.Compartment{c})
	}
	all := slices.Clone(barriers)
	for _, o := range g.Openings {
		all = append(all, Barrier{o.A, o.B})
	}
	ends := g.ends(all, each)
	for i := range ends {
		for _, k := range ends[i] {
			if k >= 0 && len(distinct(n.units[k])) > 1 {
				ends[i] = [2]int{-1, -1}
				break
			}
		}
	}
	return n.cuts(ends)[:len(barriers)]
}

// ends are the nodes on either side of each barrier, -1 when unknown.
func (g *Graph) ends(barriers []Barrier, node []int) [][2]int {
	out := make([][2]int, len(barriers))
	for i, b := range barriers {
		x, okX := g.at[b.A]
		y, okY := g.at[b.B]
		if !okX || !okY {
			out[i] = [2]int{-1, -1}
			continue
		}
		out[i] = [2]int{node[x], node[y]}
	}
	return out
}

// network is a graph whose nodes fire fills whole.
type network struct {
	units   [][]int
	members [][]*void.Compartment
}

// cuts looks for barriers between nodes of different units, and for nodes in no unit that have
// barriers to different units round them.
func (n *network) cuts(ends [][2]int) []Cut {
	label := n.labels()
	cuts := make([]Cut, len(ends))
	beside := map[int][]int{} // barriers round the nodes in no unit
	for i, e := range ends {
		if e[0] < 0 || e[0] == e[1] {
			continue
		}
		a, b := label[e[0]], label[e[1]]
		switch {
		case a >= 0 && b >= 0 && a != b:
			cuts[i] = Cut{Size: 1, Units: n.unitsOf(e[0], e[1]), Joined: n.membersOf(e[0], e[1])}
		case a >= 0 && b < 0:
			beside[e[1]] = append(beside[e[1]], i)
		case b >= 0 && a < 0:
			beside[e[0]] = append(beside[e[0]], i)
		}
	}
	for _, node := range sortedKeys(beside) {
		other := func(i int) int {
			if ends[i][0] == node {
				return ends[i][1]
			}
			return ends[i][0]
		}
		for _, i := range beside[node] {
			with, nodes := []int(nil), []int{node, other(i)}
			for _, j := range beside[node] {
				if label[other(j)] != label[other(i)] {
					with = append(with, j)
					if !slices.Contains(nodes, other(j)) {
						nodes = append(nodes, other(j))
					}
				}
			}
			if len(with) > 0 {
				cuts[i] = Cut{Size: 2, Units: n.unitsOf(nodes...), Joined: n.membersOf(nodes...), With: with}
			}
		}
	}
	return cuts
}

// labels numbers the nodes by their units, units in one node being one; -1 for none.
func (n *network) labels() []int {
	up := map[int]int{}
	var find func(int) int
	find = func(u int) int {
		if p, ok := up[u]; ok && p != u {
			return find(p)
		}
		return u
	}
	for i := range n.units {
		n.units[i] = distinct(n.units[i])
		for _, u := range n.units[i] {
			if a, b := find(n.units[i][0]), find(u); a != b {
				up[max(a, b)] = min(a, b)
			}
		}
	}
	out := make([]int, len(n.units))
	for i, us := range n.units {
		out[i] = -1
		if len(us) > 0 {
			out[i] = find(us[0])
		}
	}
	return out
}

func (n *network) unitsOf(nodes ...int) []int {
	var out []int
	for _, k := range nodes {
		out = append(out, n.units[k]...)
	}
	return distinct(out)
}

func (n *network) membersOf(nodes ...int) []*void.Compartment {
	var out []*void.Compartment
	for _, k := range nodes {
		out = append(out, n.members[k]...)
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Index < out[j].Index })
	return out
}

func sortedKeys(m map[int][]int) []int {
	var out []int
	for k := range m {
		out = append(out, k)
	}
	sort.Ints(out)
	return out
}
