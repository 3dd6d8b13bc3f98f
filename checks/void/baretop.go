package void

import "voidcheck/ifcx/geom"

// bareTop reports whether the cavity of a framed wall runs out at the top of its wall with
// nothing there that closes it, and neither deck, ceiling nor roof anywhere above: no void was
// made there, and so no opening leads out, but nothing shows that it is closed.
func (st *stack) bareTop(i int) bool {
	const reach, foot = 0.002, 0.3 // of the top; of the foot of the wall: what is free over a lower plate is none of its cavity, metres
	s := st.s
	w := &s.in.Walls[i]
	if !w.Framed {
		return false // no plates of it are modelled
	}
	for k := range st.nodes {
		n := &st.nodes[k]
		if int(n.ref) != i {
			continue
		}
		c := &st.cells[n.cell]
		p := st.f.out(geom.Vec2{X: c.cu, Y: c.cv})
		top := w.Heights(w.Dir.Cross(p.Sub(w.Origin))).Hi
		if n.z1 > top-reach && st.comps[st.uf.find(int32(k))].zlo < w.highFoot()+foot && !st.coveredAt(c, top) && !s.underCover(p, top) && !st.standsUnder(n) {
			return true
		}
	}
	return false
}

// coveredAt reports whether something lies on the top of a wall over a cell.
func (st *stack) coveredAt(c *cell, top float64) bool {
	for e := range st.column(c) {
		if e.role != roleRoom && e.z1 > top && e.z0 < top+st.gap {
			return true
		}
	}
	return false
}

// standsUnder reports whether another wall of the stack goes on over a node.
func (st *stack) standsUnder(n *node) bool {
	zs := st.zonesAt(n.cell)
	return len(zs) > 0 && zs[len(zs)-1].ref != n.ref
}

// underCover reports whether a deck, ceiling or roof lies over a place: higher than the top of
// a wall, into which the wall may run a little, as it may stick out beside.
func (s *solver) underCover(p geom.Vec2, top float64) bool {
	const into, beside = 0.3, 0.1 // metres
	q := s.f.in(p)
	d := geom.Vec2{X: beside, Y: beside}
	for _, i := range s.covers.In(upright(q.Sub(d), q.Add(d))) {
		if s.boxes[i].Max.Z > top-into {
			return true
		}
	}
	return false
}
