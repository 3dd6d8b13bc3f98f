package ifcxml

import (
	"slices"

	"voidcheck/ifcx/graph"
)

// sorted returns the values in the order that the file gives by pos, where it does, cut
// into inner lists when it gives two places each or the sizes of two dimensions.
func (f *frame) sorted() []graph.Value {
	if len(f.order) != len(f.vals) || len(f.vals) == 0 {
		return f.vals
	}
	type placed struct {
		v   graph.Value
		pos [2]int
	}
	all, two := make([]placed, len(f.vals)), true
	for i, v := range f.vals {
		all[i] = placed{v, f.order[i]}
		if f.order[i][0] < 0 {
			return f.cut(f.vals)
		}
		two = two && f.order[i][1] >= 0
	}
	slices.SortStableFunc(all, func(a, z placed) int {
		if a.pos[0] != z.pos[0] {
			return a.pos[0] - z.pos[0]
		}
		return a.pos[1] - z.pos[1]
	})
	r := make([]graph.Value, 0, len(all))
	for i, p := range all {
		switch {
		case !two:
			r = append(r, p.v)
		case i == 0 || p.pos[0] != all[i-1].pos[0]:
			r = append(r, graph.Value{Kind: graph.List, List: []graph.Value{p.v}})
		default:
			last := &r[len(r)-1]
			last.List = append(last.List, p.v)
		}
	}
	if two {
		return r
	}
	return f.cut(r)
}

// cut turns a flat list into lists when the type is a list of lists and the inner length is known.
func (f *frame) cut(vals []graph.Value) []graph.Value {
	if f.typ.kind != aggregate || f.typ.elem.kind != aggregate || vals[0].Kind == graph.List {
		return vals
	}
	n := f.typ.elem.size
	if n == 0 && len(f.sizes) > 1 {
		n = f.sizes[len(f.sizes)-1]
	}
	if n <= 0 || len(vals)%n != 0 {
		return vals
	}
	var r []graph.Value
	for chunk := range slices.Chunk(vals, n) {
		r = append(r, graph.Value{Kind: graph.List, List: chunk})
	}
	return r
}
