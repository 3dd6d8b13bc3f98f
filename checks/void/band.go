package void

import (
	"cmp"
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

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
		if !x.has(s, t) || h.above(x.w, t) {
			continue
		}
		a, b := h.s.sep[x.wall] >= 0, st != nil && h.s.sep[st.wall] >= 0
		if st == nil || a && !b || a == b && x.w.Z1 > st.w.Z1 {
			st, tt = x, t
		}
	}
	return st, tt
}

// above reports whether what stands of a wall at a place across it stands on the deck of a floor: the row of the
// higher unit in a stepped wall.
func (h *horizontal) above(w *Wall, t float64) bool {
	const joint = 0.1
	return h.level.kind == KindFloor && w.Heights(t).Lo > h.level.zt-joint
}

// trimBands gives back to the void the cells of a lengthened draftstop line that its sheets
// do not lead to: the line ends where its own void ends.
func (h *horizontal) trimBands() {
	own := func(ci int32) int32 {
		for _, z := range h.zonesAt(ci) {
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
			own := slices.Clone(h.zonesAt(ci)) // cells share what is equal
			for k := range own {
				if z := &own[k]; z.class == classBand {
					z.class, z.ref = classVoid, -1
				}
			}
			h.setZones(ci, own)
		}
	}
}

// endAt ends the line of a unit separation where the separation of two other units goes on in its strip.
func (b *bandLine) endAt(walls []*strip, sep []int) {
	end, _ := b.local(b.B)
	for _, st := range walls {
		if sep[st.wall] == b.Separation || math.Abs(st.w.Dir.Cross(b.dir)) > 0.02 {
			continue
		}
		u, t0 := b.local(st.w.At(0, st.w.Across.Lo))
		v, t1 := b.local(st.w.At(st.w.Length, st.w.Across.Hi))
		if u, v = min(u, v), max(u, v); min(t0, t1) > b.t1 || max(t0, t1) < b.t0 {
			continue
		}
		if u > end/2 {
			b.s1 = min(b.s1, max(end, u))
		}
		if v < end/2 {
			b.s0 = max(b.s0, min(0, v))
		}
	}
}

// bandZone returns the zone of a line's band over a cell, or nil.
func (h *horizontal) bandZone(ci int32) *zone {
	for k := range h.zonesAt(ci) {
		if z := &h.zonesAt(ci)[k]; z.class == classBand {
			return z
		}
	}
	return nil
}

// ranked puts what an opening leads to in order: the void that the line divides before the
// cavities of walls that meet the line at its ends, the larger before the smaller.
func ranked(cs []contact) {
	area := func(c contact) float64 {
		if c.end.comp == nil || c.end.comp.Void != nil && c.end.comp.Void.Kind == KindWall {
			return 0
		}
		return c.end.comp.AreaM2
	}
	slices.SortStableFunc(cs, func(a, b contact) int { return cmp.Compare(area(b), area(a)) })
}

// isCornice reports whether two compartments on the two sides of a unit line under a roof lie
// beyond the end of its wall: eaves that are closed from the attic. What crosses the line there,
// or leads from there into the gap of the wall, is no gap of the wall.
func (h *horizontal) isCornice(b *bandLine, x, y *Compartment) bool {
	if h.level.kind != KindAttic || b.Kind != LineSeparation || x == nil || y == nil {
		return false
	}
	const tol = 0.005
	a0, _ := b.local(b.A)
	a1, _ := b.local(b.B)
	before, after, own := true, true, false
	for _, c := range []*Compartment{x, y} {
		if c.Void != nil && c.Void.Kind == KindWall && x != y {
			continue // the slot that the line bounds, into which the end of the eaves of a stepped row leads
		}
		own = true
		for _, ring := range c.Outline {
			for _, p := range ring {
				s, _ := b.local(p)
				before, after = before && s < a0+tol, after && s > a1-tol
			}
		}
	}
	return own && (before || after)
}

// gapIsVoid reports whether the gap over a double wall belongs to the horizontal void: one
// line closes both sides, so that the gap is not a cavity of its own here.
func (h *horizontal) gapIsVoid(st *strip) bool { return h.single[st.wall] }

// singleLines returns the walls over which one line closes both sides.
func (h *horizontal) singleLines() map[int]bool {
	single := map[int]bool{}
	for _, b := range h.lines {
		if b.Kind == LineSeparation && b.Side == 0 {
			single[b.Wall] = true
		}
	}
	return single
}

// within reports whether an opening lies between the ends of the sheets of a draftstop: a
// gap in it, whatever joins its two sides besides.
func (b *bandLine) within(o *Opening) bool {
	s, _ := b.local(o.Point.Plan())
	a0, _ := b.local(b.A)
	a1, _ := b.local(b.B)
	return s-o.WidthM/2 > a0-0.01 && s+o.WidthM/2 < a1+0.01
}
