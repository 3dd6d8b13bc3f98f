package void

import (
	"math"
	"slices"
	"sort"

	"voidcheck/ifcx/geom"
)

// What finds things by place, so that work grows with a building and not with its square.

// sweep tells which of some spans lie over an interval that moves up.
type sweep struct {
	spans []Span
	order []int // by their low ends; made on first use
	next  int
	live  []int // ascending
}

// to returns the spans that share more than a point with an interval, ascending; neither of
// its ends may lie below that of an earlier call.
func (s *sweep) to(lo, hi float64) []int {
	if s.order == nil {
		s.order = make([]int, len(s.spans))
		for i := range s.order {
			s.order[i] = i
		}
		slices.SortStableFunc(s.order, func(a, b int) int {
			switch {
			case s.spans[a].Lo < s.spans[b].Lo:
				return -1
			case s.spans[a].Lo > s.spans[b].Lo:
				return 1
			}
			return 0
		})
	}
	s.live = slices.DeleteFunc(s.live, func(i int) bool { return s.spans[i].Hi <= lo })
	n := len(s.live)
	for ; s.next < len(s.order) && s.spans[s.order[s.next]].Lo < hi; s.next++ {
		if i := s.order[s.next]; s.spans[i].Hi > lo {
			s.live = append(s.live, i)
		}
	}
	if len(s.live) > n {
		slices.Sort(s.live)
	}
	return s.live
}

// sheetIndex finds sheets by place in the building frame, at any height.
func sheetIndex(sheets []sheet) *geom.BoxIndex {
	boxes := make([]geom.Box, len(sheets))
	for i, sh := range sheets {
		l, t := sh.dir.Mul(sh.half), geom.Vec2{X: -sh.dir.Y, Y: sh.dir.X}.Mul(sh.thick/2)
		boxes[i] = planBox([4]geom.Vec2{sh.mid.Add(l).Add(t), sh.mid.Add(l).Sub(t), sh.mid.Sub(l).Add(t), sh.mid.Sub(l).Sub(t)})
	}
	return geom.NewBoxIndex(boxes)
}

// planBox holds all heights over some points.
func planBox(c [4]geom.Vec2) geom.Box {
	b := upright(c[0], c[0])
	for _, p := range c[1:] {
		b = b.Join(upright(p, p))
	}
	return b
}

// along is the extent of a line's band along u.
func (h *horizontal) along(b *bandLine) Span {
	x := Span{math.Inf(1), math.Inf(-1)}
	for _, p := range b.rect() {
		u := h.f.in(p).X
		x = Span{math.Min(x.Lo, u), math.Max(x.Hi, u)}
	}
	return x
}

// nodesOver returns the range of the nodes over an interval along u, and of some beside it:
// cells and nodes are numbered slab by slab.
func (h *horizontal) nodesOver(x Span) (first, last int32) {
	a := max(sort.SearchFloat64s(h.us, x.Lo)-1, 0)
	b := min(sort.SearchFloat64s(h.us, x.Hi)+1, h.slabs())
	if a >= b {
		return 0, 0
	}
	return h.nodesOf[h.first[a]], h.nodesOf[h.first[b]]
}

// PartIndex finds the parts of some roles by place. It is safe for several goroutines.
type PartIndex struct {
	parts []int // indices into Input.Parts, ascending
	index *geom.BoxIndex
}

// PartsOf returns an index of the parts of some roles that have a body.
func (in *Input) PartsOf(roles ...Role) *PartIndex {
	return in.partsOf(func(i int) geom.Box { return in.Parts[i].Mesh.Box() }, roles...)
}

func (in *Input) partsOf(box func(i int) geom.Box, roles ...Role) *PartIndex {
	x := &PartIndex{}
	var boxes []geom.Box
	for i := range in.Parts {
		if p := &in.Parts[i]; p.Mesh != nil && slices.Contains(roles, p.Role) {
			x.parts, boxes = append(x.parts, i), append(boxes, box(i))
		}
	}
	x.index = geom.NewBoxIndex(boxes)
	return x
}

// indexOf finds the parts of some roles by place.
func (s *solver) indexOf(roles ...Role) *PartIndex {
	return s.in.partsOf(func(i int) geom.Box { return s.boxes[i] }, roles...)
}

// In returns the parts whose boxes meet b, as indices into Input.Parts, ascending.
func (x *PartIndex) In(b geom.Box) []int {
	found := x.index.In(b)
	for k, i := range found {
		found[k] = x.parts[i]
	}
	return found
}

// upright returns the box that holds all heights over a rectangle of the plan.
func upright(lo, hi geom.Vec2) geom.Box {
	return geom.Box{Min: geom.Vec3{X: lo.X, Y: lo.Y, Z: math.Inf(-1)}, Max: geom.Vec3{X: hi.X, Y: hi.Y, Z: math.Inf(1)}}
}

// overWall returns the cells over a wall, ascending.
func (h *horizontal) overWall(wall int) []int32 {
	if h.cellsOf == nil {
		h.cellsOf = map[int32][]int32{}
		for i, w := range h.wallOf {
			if w >= 0 {
				h.cellsOf[w] = append(h.cellsOf[w], int32(i))
			}
		}
	}
	return h.cellsOf[int32(wall)]
}
