package kept

import "voidcheck/checks/void"

// solved is what the solver found, without pointers between its things.
type solved struct {
	Gap          float64
	Voids        []void.Void
	Compartments []void.Compartment
	Openings     []void.Opening
	Lines        []void.Line
	Cavities     []void.WallCavity
	Warnings     []string
	Unsolved     []string

	// By the things above, indices of what they point to, -1 for nothing.
	InVoid     []int   // of each void: nothing; of each compartment, its void
	Of         [][]int // of each void, its compartments
	Ends       [][3]int
	LineVoid   []int
	LineOpen   [][]int
	CavityVoid []int
	LevelOpen  [][][]int
}

func freezeResult(gap float64, r *void.Result) solved {
	s := solved{Gap: gap, Warnings: r.Warnings, Unsolved: r.Unsolved}
	voids, comps, opens, lines := map[*void.Void]int{}, map[*void.Compartment]int{}, map[*void.Opening]int{}, map[*void.Line]int{}
	for i, v := range r.Voids {
		voids[v] = i
	}
	for i, c := range r.Compartments {
		comps[c] = i
	}
	for i, o := range r.Openings {
		opens[o] = i
	}
	for i, l := range r.Lines {
		lines[l] = i
	}
	for _, v := range r.Voids {
		x := *v
		x.Compartments = nil
		s.Voids = append(s.Voids, x)
		s.Of = append(s.Of, indicesOf(comps, v.Compartments))
	}
	for _, c := range r.Compartments {
		x := *c
		x.Void = nil
		s.Compartments = append(s.Compartments, x)
		s.InVoid = append(s.InVoid, indexOf(voids, c.Void))
	}
	for _, o := range r.Openings {
		x := *o
		x.A, x.B, x.Line = nil, nil, nil
		s.Openings = append(s.Openings, x)
		s.Ends = append(s.Ends, [3]int{indexOf(comps, o.A), indexOf(comps, o.B), indexOf(lines, o.Line)})
	}
	for _, l := range r.Lines {
		x := *l
		x.Void, x.Openings = nil, nil
		s.Lines = append(s.Lines, x)
		s.LineVoid, s.LineOpen = append(s.LineVoid, indexOf(voids, l.Void)), append(s.LineOpen, indicesOf(opens, l.Openings))
	}
	for _, c := range r.Cavities {
		x := *c
		x.Void = nil
		x.Levels = append([]void.WallLevel(nil), c.Levels...)
		var at [][]int
		for i := range x.Levels {
			at = append(at, indicesOf(opens, x.Levels[i].Openings))
			x.Levels[i].Openings = nil
		}
		s.Cavities = append(s.Cavities, x)
		s.CavityVoid, s.LevelOpen = append(s.CavityVoid, indexOf(voids, c.Void)), append(s.LevelOpen, at)
	}
	return s
}

func indexOf[T any](index map[*T]int, p *T) int {
	if i, ok := index[p]; ok && p != nil {
		return i
	}
	return -1
}

func indicesOf[T any](index map[*T]int, list []*T) []int {
	var out []int
	for _, p := range list {
		out = append(out, indexOf(index, p))
	}
	return out
}

func pointers[T any](list []T) []*T {
	var out []*T
	for i := range list {
		out = append(out, &list[i])
	}
	return out
}

func (s *solved) thaw() (*void.Result, error) {
	if len(s.Of) != len(s.Voids) || len(s.InVoid) != len(s.Compartments) || len(s.Ends) != len(s.Openings) || len(s.LineVoid) != len(s.Lines) ||
		len(s.LineOpen) != len(s.Lines) || len(s.CavityVoid) != len(s.Cavities) || len(s.LevelOpen) != len(s.Cavities) {
		return nil, errShort
	}
	r := &void.Result{
		Voids: pointers(s.Voids), Compartments: pointers(s.Compartments), Openings: pointers(s.Openings), Lines: pointers(s.Lines), Cavities: pointers(s.Cavities), Warnings: s.Warnings, Unsolved: s.Unsolved,
	}
	for i, v := range r.Voids {
		v.Compartments = at(r.Compartments, s.Of[i])
	}
	for i, c := range r.Compartments {
		c.Void = one(r.Voids, s.InVoid[i])
	}
	for i, o := range r.Openings {
		o.A, o.B, o.Line = one(r.Compartments, s.Ends[i][0]), one(r.Compartments, s.Ends[i][1]), one(r.Lines, s.Ends[i][2])
	}
	for i, l := range r.Lines {
		l.Void, l.Openings = one(r.Voids, s.LineVoid[i]), at(r.Openings, s.LineOpen[i])
	}
	for i, c := range r.Cavities {
		c.Void = one(r.Voids, s.CavityVoid[i])
		if len(s.LevelOpen[i]) != len(c.Levels) {
			return nil, errShort
		}
		for k := range c.Levels {
			c.Levels[k].Openings = at(r.Openings, s.LevelOpen[i][k])
		}
	}
	return r, nil
}
