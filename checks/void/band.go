package void

import "voidcheck/ifcx/geom"

// stripOver returns the wall under a cell and the distance across it. A separation wins over
// another wall at a corner, then the taller one.
func (h *horizontal) stripOver(near []*strip, c *cell) (*strip, float64) {
	var st *strip
	var tt float64
	for _, x := range near {
		if c.cv < x.box.Min.Y || c.cv > x.box.Max.Y {
			continue
		}
		s, t := x.local(h.f, c.cu, c.cv)
		if !x.has(s, t) {
			continue
		}
		a, b := h.s.sep[x.wall] >= 0, st != nil && h.s.sep[st.wall] >= 0
		if st == nil || a && !b || a == b && x.w.Z1 > st.w.Z1 {
			st, tt = x, t
		}
	}
	return st, tt
}

// trimBands gives back to the void the cells of a lengthened draftstop line that its sheets
// do not lead to: the line ends where its own void ends.
func (h *horizontal) trimBands() {
	own := func(ci int32) int32 {
		for _, z := range h.zones[ci] {
			if z.class == classBand && h.lines[z.ref].Kind == LineDraftstop {
				return z.ref
			}
		}
		return -1
	}
	uf := newUnion(len(h.cells))
	h.touches(func(t touch) {
		if k := own(t.a); k >= 0 && k == own(t.b) {
			uf.join(t.a, t.b)
		}
	})
	core := map[int32]bool{}
	for i := range h.cells {
		ci := int32(i)
		if k := own(ci); k >= 0 {
			b := h.lines[k]
			s, _ := b.local(h.f.out(geom.Vec2{X: h.cells[i].cu, Y: h.cells[i].cv}))
			a0, _ := b.local(b.A)
			a1, _ := b.local(b.B)
			if s > a0 && s < a1 {
				core[uf.find(ci)] = true
			}
		}
	}
	for i := range h.cells {
		ci := int32(i)
		if own(ci) >= 0 && !core[uf.find(ci)] {
			for k := range h.zones[i] {
				if z := &h.zones[i][k]; z.class == classBand {
					z.class, z.ref = classVoid, -1
				}
			}
		}
	}
}

// bandZone returns the zone of a line's band over a cell, or nil.
func (h *horizontal) bandZone(ci int32) *zone {
	for k := range h.zones[ci] {
		if z := &h.zones[ci][k]; z.class == classBand {
			return z
		}
	}
	return nil
}
