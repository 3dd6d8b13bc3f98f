package void

import (
	"math"

	"voidcheck/ifcx/geom"
)

// strip is a wall seen in the field's frame.
type strip struct {
	wall int
	w    *Wall
	box  geom.Box // plan bounds in the frame
	// above is true when another wall of the same line stands on it.
	above bool
	// base is the height from which the void over the wall begins: the ceilings beside it.
	base float64
	// reaches is true in an attic for a wall that goes on into it.
	reaches bool
}

// ceilingBeside returns the top of the highest ceiling beside a wall that only the roof
// covers: parts of a house may have their attics at different heights.
func (h *horizontal) ceilingBeside(st *strip) float64 {
	best := math.Inf(-1)
	for _, k := range h.ceilings.In(upright(st.box.Min.Plan(), st.box.Max.Plan()).Grow(0.6)) {
		b := h.s.boxes[h.level.ceilings[k]]
		if b.Min.Z > st.w.Z1+0.6 && b.Min.X < st.box.Max.X-0.05 && b.Max.X > st.box.Min.X+0.05 && b.Min.Y < st.box.Max.Y-0.05 && b.Max.Y > st.box.Min.Y+0.05 {
			return math.Inf(1) // a ceiling lies between the wall and the roof
		}
		if b.Min.X < st.box.Max.X+0.6 && b.Max.X > st.box.Min.X-0.6 && b.Min.Y < st.box.Max.Y+0.6 && b.Max.Y > st.box.Min.Y-0.6 && b.Max.Z < st.w.Z1+0.6 {
			best = math.Max(best, b.Max.Z)
		}
	}
	if math.IsInf(best, -1) {
		return h.level.zlo
	}
	return best
}

func (st *strip) local(f frame, u, v float64) (float64, float64) {
	p := f.out(geom.Vec2{X: u, Y: v}).Sub(st.w.Origin)
	return p.Dot(st.w.Dir), st.w.Dir.Cross(p)
}

func (st *strip) has(s, t float64) bool {
	return s >= 0 && s <= st.w.Length && t >= st.w.Across.Lo && t <= st.w.Across.Hi
}

func within(t float64, spans []Span) bool {
	for _, x := range spans {
		if t > x.Lo && t < x.Hi {
			return true
		}
	}
	return false
}

// corners returns the plan rectangle of a strip between two t and two s.
func (w *Wall) corners(s0, s1, t0, t1 float64) [4]geom.Vec2 {
	return [4]geom.Vec2{w.At(s0, t0), w.At(s1, t0), w.At(s1, t1), w.At(s0, t1)}
}

func rectEdges(f frame, c [4]geom.Vec2) [][2]geom.Vec2 {
	var out [][2]geom.Vec2
	for i := range c {
		a, b := f.in(c[i]), f.in(c[(i+1)%4])
		out = append(out, [2]geom.Vec2{a, b})
	}
	return out
}

// strips returns the walls that stand under (or in) a level.
func (h *horizontal) strips() []*strip {
	var out []*strip
	boxes := make([]geom.Box, len(h.level.ceilings))
	for k, c := range h.level.ceilings {
		boxes[k] = h.s.boxes[c]
	}
	h.ceilings = geom.NewBoxIndex(boxes)
	for i := range h.s.in.Walls {
		w := &h.s.in.Walls[i]
		if w.Length <= 0 {
			continue
		}
		st := &strip{wall: i, w: w, box: geom.EmptyBox(), above: h.s.stackAbove[i], base: h.level.zlo}
		for _, p := range w.corners(0, w.Length, w.Across.Lo, w.Across.Hi) {
			q := h.f.in(p)
			st.box = st.box.Extend(geom.Vec3{X: q.X, Y: q.Y})
		}
		foot := h.level.zlo
		if h.level.kind == KindAttic {
			st.base = h.ceilingBeside(st)
			st.reaches = w.Z1 > st.base+0.5 || w.Z0 > st.base-0.2 // it stands in the attic, however low
			foot = st.base + 0.6                                  // a wall in the attic stands on the plates
		}
		if w.Z0 > foot || w.Z1 < st.base-0.15 {
			continue
		}
		out = append(out, st)
	}
	return out
}

// unboarded reports whether a wall, and every wall of its stack, is modelled without boards.
func (s *solver) unboarded(wall int) bool {
	walls := []int{wall}
	if st := s.stackOf[wall]; st != nil {
		walls = st.walls
	}
	for _, i := range walls {
		w := &s.in.Walls[i]
		if len(w.Rows) == 0 || w.Across.Lo < w.Rows[0].Lo-0.003 || w.Across.Hi > w.Rows[len(w.Rows)-1].Hi+0.003 {
			return false
		}
	}
	return true
}
