package void

import "voidcheck/ifcx/geom"

// bareTop reports whether the cavity of a wall runs out at the top of its wall with nothing there
// that closes it, and no opening that says so. Above a framed wall there is neither deck, ceiling
// nor roof: no void was made there. One known by its layers shows no plates, which are usual over
// its rows of studs, and not over the gap between two of them.
func (st *stack) bareTop(i int) bool {
	const reach, foot = 0.002, 0.3 // of the top; of the foot of the wall: what is free over a lower plate is none of its cavity, metres
	const end = 0.15               // of a layered wall, where the wall that it meets has its studs, metres
	s := st.s
	w := &s.in.Walls[i]
	if !w.Framed && len(w.Gaps) == 0 {
		return false
	}
	for k := range st.nodes {
		n := &st.nodes[k]
		if int(n.ref) != i {
			continue
		}
		c := &st.cells[n.cell]
		p := st.f.out(geom.Vec2{X: c.cu, Y: c.cv})
		along, t := p.Sub(w.Origin).Dot(w.Dir), w.Dir.Cross(p.Sub(w.Origin))
		top := w.Heights(t).Hi
		if n.z1 <= top-reach || st.coveredAt(c, top) || st.standsUnder(n) {
			continue
		}
		switch {
		case !w.Framed:
			if within(t, w.Gaps) && along > end && along < w.Length-end && !st.stopUnder(c, top) {
				return true
			}
		case st.comps[st.uf.find(int32(k))].zlo < w.highFoot()+foot && !s.underCover(p, top):
			return true
		}
	}
	return false
}

// stopUnder reports whether a stop closes the gap of a wall over a cell a little below the top.
func (st *stack) stopUnder(c *cell, top float64) bool {
	const below = 0.35 // metres
	for e := range st.column(c) {
		if closesLevel(e.role) && e.z1 > top-below && e.z0 < top {
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
