package spread

import (
	"sort"

	"voidcheck/checks/void"
)

// Joint is a group of compartments of one class that openings join: one area as far as
// fire is concerned.
type Joint struct {
	Class        Class
	Compartments []*void.Compartment // in the order of the result
	AreaM2       float64
	Units        []int
	Openings     []*void.Opening // what joins them; empty for a lone compartment
}

// Joints groups the compartments for which in holds by class and by what openings join
// (Compartment.Joined), in the order of the result. The way between two of them may lead
// through spaces of other classes, a wall cavity for example.
func Joints(r *void.Result, in func(*void.Compartment) bool) []*Joint {
	type key struct {
		class  Class
		joined int
	}
	var js []*Joint
	at := map[key]*Joint{}
	for _, c := range r.Compartments {
		if !in(c) {
			continue
		}
		k := key{ClassOf(c), c.Joined}
		j := at[k]
		if j == nil {
			j = &Joint{Class: k.class}
			at[k] = j
			js = append(js, j)
		}
		j.Compartments = append(j.Compartments, c)
		j.AreaM2 += c.AreaM2
		j.Units = append(j.Units, c.Units...)
	}
	var g *Graph
	for _, j := range js {
		j.Units = distinct(j.Units)
		if len(j.Compartments) < 2 {
			continue
		}
		if g == nil {
			g = New(r, 0)
		}
		for _, o := range g.Between(j.Compartments) {
			if o.A.Joined == o.B.Joined {
				j.Openings = append(j.Openings, o)
			}
		}
		sort.SliceStable(j.Openings, func(a, b int) bool { return j.Openings[a].Index < j.Openings[b].Index })
	}
	return js
}
