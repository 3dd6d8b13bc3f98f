package void

import "voidcheck/ifcx/geom"

// rowShort finds where one row of a double wall in the attic, with its board, ends below the
// sheathing while the other reaches it: nothing leads across the line, but the void is open to the
// gap between the rows. nodes are a group of free cells of the line's band and cs what they touch.
//
//	sheathing =========
//	  free  |    |    |
//	 -------  gap|    |   the low row is short: the attic on its side is open to the gap
//	  row   |    |row |
func (h *horizontal) rowShort(nodes []int32, cs []contact) (found, bool) {
	b := h.lines[h.nodes[nodes[0]].ref]
	if !b.Bounds || b.Wall < 0 || h.level.kind != KindAttic {
		return found{}, false
	}
	w := &h.s.in.Walls[b.Wall]
	if !w.Framed || len(w.Rows) != 2 || len(w.Gaps) != 1 {
		return found{}, false
	}
	gap := w.Gaps[0]
	ranked(cs)
	var to *contact
	for i := range cs {
		switch {
		case cs[i].end.comp == nil:
		case to == nil:
			to = &cs[i]
		case cs[i].high != to.high:
			return found{}, false // an opening across the wall, told as one
		}
	}
	if to == nil {
		return found{}, false
	}
	side := *b // the part of the band over the short row
	side.t0, side.t1 = b.t0, gap.Lo
	if to.high {
		side.t0, side.t1 = gap.Hi, b.t1
	}
	var over []int32
	at, tall, own := geom.Vec3{}, 0.0, false
	for _, ni := range nodes {
		n := &h.nodes[ni]
		c := &h.cells[n.cell]
		p := h.f.out(geom.Vec2{X: c.cu, Y: c.cv})
		switch s, t := b.local(p); {
		case t > side.t0 && t < side.t1:
			over = append(over, ni)
		case t > gap.Lo && t < gap.Hi:
			// The band reaches past the ends of its wall, into the gap of one that it meets at a corner.
			in := s > 0 && s < w.Length
			if in && !own || in == own && n.z1-n.z0 > tall+1e-6 {
				at, tall, own = geom.Vec3{X: p.X, Y: p.Y, Z: (n.z0 + n.z1) / 2}, n.z1-n.z0, in
			}
		}
	}
	if len(over) == 0 || tall == 0 || !h.hasBoard(&side, over) {
		return found{}, false
	}
	o := found{a: end{wall: b.Wall, at: at}, b: to.end}
	h.size(&o.Opening, &side, over)
	o.Kind, o.Service = OpenJunction, -1
	return o, o.WidthM >= h.gap-openTol && o.HeightM >= h.gap-openTol
}

// hasBoard reports whether boards stand on a row over which nodes are free: a row without any
// in the attic is a frame, and its bays are open to the attic by design.
func (h *horizontal) hasBoard(b *bandLine, over []int32) bool {
	for _, ni := range over {
		n := &h.nodes[ni]
		for e := range h.column(&h.cells[n.cell]) {
			if e.role == RoleFinish && e.z0 < n.z0 && e.z1 > h.s.in.Walls[b.Wall].Z0+0.05 {
				return true
			}
		}
	}
	return false
}
