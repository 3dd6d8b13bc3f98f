package recognise

// groups is a union-find over 0..n-1; the lowest member stands for its group.
type groups []int

func newGroups(n int) groups {
	g := make(groups, n)
	for i := range g {
		g[i] = i
	}
	return g
}

func (g groups) find(i int) int {
	for g[i] != i {
		g[i] = g[g[i]]
		i = g[i]
	}
	return i
}

func (g groups) join(a, b int) {
	a, b = g.find(a), g.find(b)
	if a < b {
		g[b] = a
	} else {
		g[a] = b
	}
}

// sets returns the groups with their members in order, by lowest member.
func (g groups) sets() [][]int {
	at := map[int]int{}
	var r [][]int
	for i := range g {
		root := g.find(i)
		k, ok := at[root]
		if !ok {
			k = len(r)
			at[root] = k
			r = append(r, nil)
		}
		r[k] = append(r[k], i)
	}
	return r
}
