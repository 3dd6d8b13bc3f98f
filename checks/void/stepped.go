package void

import "math"

// Heights returns from where to where a wall stands at a place across it: over a stepped wall
// those of the row there, and in its gap up to where the lower row ends. Metres, t from the wall's origin.
func (w *Wall) Heights(t float64) Span {
	if len(w.RowZ) != len(w.Rows) || len(w.RowZ) == 0 {
		return Span{w.Z0, w.Z1}
	}
	if within(t, w.Gaps) {
		return Span{w.Z0, w.lowTop()}
	}
	best, off := 0, math.Inf(1)
	for i, r := range w.Rows {
		if d := math.Max(0, math.Max(r.Lo-t, t-r.Hi)); d < off-1e-9 {
			best, off = i, d
		}
	}
	return w.RowZ[best]
}

// lowTop is the top of the lower row, highFoot the foot of the higher one.
func (w *Wall) lowTop() float64 {
	z := w.Z1
	for _, r := range w.RowZ {
		z = math.Min(z, r.Hi)
	}
	return z
}

func (w *Wall) highFoot() float64 {
	z := w.Z0
	for _, r := range w.RowZ {
		z = math.Max(z, r.Lo)
	}
	return z
}

// standsOn returns how far one wall stands above another, row by row, the least of them.
func (w *Wall) standsOn(lo *Wall) float64 {
	if len(w.RowZ) == 0 || len(lo.RowZ) == 0 {
		return w.Z0 - lo.Z1
	}
	d := math.Inf(1)
	for _, r := range w.Rows {
		t := (r.Lo + r.Hi) / 2
		d = math.Min(d, w.Heights(t).Lo-lo.Heights(t).Hi)
	}
	return d
}

// deckBeside returns the underside of the deck over the floor void on one side of a wall:
// units side by side may have their floors at different heights within one level, or the
// level of a stepped wall may have none on that side.
func (h *horizontal) deckBeside(w *Wall, high bool) (float64, bool) {
	if h.level.kind != KindFloor || len(w.RowZ) == 0 {
		return h.level.zt, true
	}
	key := wallSide{w, high}
	if z, ok := h.beside[key]; ok {
		return z, !math.IsInf(z, 1)
	}
	z := math.Inf(1)
	for k := 1; k < 8; k++ {
		t := w.Across.Lo - 0.15
		if high {
			t = w.Across.Hi + 0.15
		}
		q := h.f.in(w.At(w.Length*float64(k)/8, t))
		for _, i := range h.level.parts {
			x := h.s.boxes[i]
			if h.s.in.Parts[i].Role == RoleDeck && h.level.owns(x.Min.Z) && x.Min.X < q.X && q.X < x.Max.X && x.Min.Y < q.Y && q.Y < x.Max.Y {
				z = math.Min(z, x.Min.Z)
			}
		}
	}
	if h.beside == nil {
		h.beside = map[wallSide]float64{}
	}
	h.beside[key] = z
	return z, !math.IsInf(z, 1)
}

// wallSide is one side of a wall.
type wallSide struct {
	w    *Wall
	high bool
}

// plateHeight is how far a plane between two storeys of a row may lie past its plates, metres: a
// plate and its joint.
const plateHeight = 0.045

// cutsAt returns the planes between the zones of two walls at a place across them: over a
// stepped wall those that lie nearest to the ceiling or the floor of the row there.
func (st *stack) cutsAt(i, j int, t float64) []float64 {
	lo, hi := &st.s.in.Walls[i], &st.s.in.Walls[j]
	cuts := st.cuts[[2]int{i, j}]
	stepped := len(lo.RowZ) > 0 && len(hi.RowZ) > 0
	if stepped && within(t, lo.Gaps) && len(cuts) <= 4 {
		return cuts // the levels of both units
	}
	if stepped && !within(t, lo.Gaps) {
		here := Span{lo.Heights(t).Hi, hi.Heights(t).Lo}
		off := func(z float64, f Span) float64 { return math.Min(math.Abs(z-f.Lo), math.Abs(z-f.Hi)) }
		var own []float64
		for _, z := range cuts {
			nearest := z > here.Lo-plateHeight && z < here.Hi+plateHeight
			for _, r := range lo.Rows {
				m := (r.Lo + r.Hi) / 2
				nearest = nearest && off(z, here) <= off(z, Span{lo.Heights(m).Hi, hi.Heights(m).Lo})+1e-9
			}
			if nearest {
				own = append(own, z)
			}
		}
		if len(own) == 0 {
			own = []float64{(here.Lo + here.Hi) / 2}
		}
		cuts = own
	}
	if n := len(cuts); n > 2 { // a ceiling level and a floor level, no more
		return []float64{cuts[0], cuts[n-1]}
	}
	return cuts
}
