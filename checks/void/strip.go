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
	// below is the wall of the storey under one that stands in the attic.
	below *strip
}

// roomHigh returns the cavity of the wall below one that stands in an attic, as far as it
// lies beside the rooms: what is boxed out of a room under the ceiling may be open to it. It
// ends under the plates, which are judged where one wall stands on the other.
func (st *strip) roomHigh(f frame, c *cell, zlo float64) (zone, bool) {
	const plates = 0.08 // two of 38 mm
	if st.below == nil || len(st.below.w.Cavities) == 0 {
		return zone{}, false
	}
	_, t := st.below.local(f, c.cu, c.cv)
	z := zone{free{z0: zlo, z1: st.below.w.Heights(t).Hi - plates}, classWall, false, int32(st.below.wall)}
	return z, z.z1-z.z0 > 0.05
}

// ceilingBeside returns the top of the highest ceiling beside a wall that only the roof
// covers: parts of a house may have their attics at different heights.
func (h *horizontal) ceilingBeside(st *strip) float64 {
	const slopes, board = 0.15, 0.013 // from how much a ceiling rises it slopes; its thickness, metres
	best, above := math.Inf(-1), math.Inf(1)
	for _, k := range h.ceilings.In(upright(st.box.Min.Plan(), st.box.Max.Plan()).Grow(0.6)) {
		b := h.s.boxes[h.level.ceilings[k]]
		if b.Min.Z > st.w.Z1+0.6 && b.Min.X < st.box.Max.X-0.05 && b.Max.X > st.box.Min.X+0.05 && b.Min.Y < st.box.Max.Y-0.05 && b.Max.Y > st.box.Min.Y+0.05 {
			return math.Inf(1) // a ceiling lies between the wall and the roof
		}
		if !beside(b, st.box) || b.Max.Z >= st.w.Z1+0.6 {
			continue
		}
		top := b.Max.Z
		if top-b.Min.Z > slopes { // a wall meets a sloping ceiling from its low edge on
			top = b.Min.Z + board
		}
		// What hangs above the wall's top, as the board under an eave, is not its ceiling where
		// another one is.
		if b.Max.Z < st.w.Z1+0.1 {
			best = math.Max(best, top)
		} else {
			above = math.Min(above, top)
		}
	}
	switch {
	case !math.IsInf(best, -1):
		return best
	case !math.IsInf(above, 1):
		return above
	}
	return h.level.zlo
}

// beside reports whether a ceiling lies along a wall, within 0.6 m of its side; one that only
// meets its end says nothing of it.
func beside(c, w geom.Box) bool {
	const reach, least = 0.6, 0.3
	if c.Min.X >= w.Max.X+reach || c.Max.X <= w.Min.X-reach || c.Min.Y >= w.Max.Y+reach || c.Max.Y <= w.Min.Y-reach {
		return false
	}
	d := w.Size()
	lo, hi, long := math.Max(c.Min.X, w.Min.X), math.Min(c.Max.X, w.Max.X), d.X
	if d.Y > d.X {
		lo, hi, long = math.Max(c.Min.Y, w.Min.Y), math.Min(c.Max.Y, w.Max.Y), d.Y
	}
	return hi-lo > math.Min(least, long/2)
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

// Box is the box around all of a wall, finishes included.
func (w *Wall) Box() geom.Box {
	b := geom.EmptyBox()
	for _, c := range w.corners(0, w.Length, w.Across.Lo, w.Across.Hi) {
		b = b.Extend(geom.Vec3{X: c.X, Y: c.Y, Z: w.Z0}).Extend(geom.Vec3{X: c.X, Y: c.Y, Z: w.Z1})
	}
	return b
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
			st.reaches = w.Z1 > st.base+0.5 || w.highFoot() > st.base-0.2 // it stands in the attic, however low
			foot = st.base + 0.6                                          // a wall in the attic stands on the plates
		}
		if w.Z0 > foot || w.Z1 < st.base-0.15 {
			continue
		}
		out = append(out, st)
	}
	for _, a := range out {
		for _, b := range out {
			if a.reaches && !b.reaches && math.Abs(a.w.Z0-b.w.Z1) < 0.1 && math.Abs(a.w.Dir.Cross(b.w.Dir)) < 0.01 && b.box.Overlaps(geom.Box{Min: a.box.Center(), Max: a.box.Center()}) {
				a.below = b
			}
		}
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

// separating returns the strips of unit separations: a draftstop ends at them.
func separating(h *horizontal, strips []*strip) []*strip {
	var out []*strip
	for _, st := range strips {
		if h.s.sep[st.wall] >= 0 {
			out = append(out, st)
		}
	}
	return out
}

// across returns where along a line a wall crosses it.
func (st *strip) across(b *bandLine) (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), math.Inf(-1)
	t0, t1 := math.Inf(1), math.Inf(-1)
	for _, p := range st.w.corners(0, st.w.Length, st.w.Across.Lo, st.w.Across.Hi) {
		s, t := b.local(p)
		lo, hi, t0, t1 = math.Min(lo, s), math.Max(hi, s), math.Min(t0, t), math.Max(t1, t)
	}
	return lo, hi, t0 < b.t1 && t1 > b.t0 && math.Abs(st.w.Dir.Cross(b.dir)) > 0.7
}

// apart reports whether a unit separation stands between the sheets of a line and another
// sheet in its plane, from s0 to s1 along it.
func apart(b *bandLine, s0, s1 float64, walls []*strip) bool {
	from, to := b.s1, s0
	if s1 < b.s0 {
		from, to = s1, b.s0
	}
	if to <= from {
		return false
	}
	for _, w := range walls {
		if lo, hi, ok := w.across(b); ok && hi > from && lo < to {
			return true
		}
	}
	return false
}
