package void

import "math"

// wallStop is a sheet that may stop a void in line with a wall, along and across the wall.
type wallStop struct {
	sheet
	s0, s1, t0, t1 float64
}

// stopsOver returns the sheets that stand along a wall, over it or beside it. decks are the
// undersides of the deck on its t-low and t-high side.
func (h *horizontal) stopsOver(w *Wall, sheets []sheet, decks map[bool]float64) []wallStop {
	var stops []wallStop
	for _, sh := range sheets {
		d := sh.mid.Sub(w.Origin)
		s, t := d.Dot(w.Dir), w.Dir.Cross(d)
		top := w.Heights(t).Hi
		if math.Abs(sh.dir.Cross(w.Dir)) > 0.02 || sh.thick > 0.2 {
			continue
		}
		if sh.z1 < top+0.02 || h.level.kind == KindFloor && sh.z0 > decks[t > (w.Across.Lo+w.Across.Hi)/2]-0.02 {
			continue // beside the wall, or on the deck
		}
		role := h.s.in.Parts[sh.part].Role
		reach := 0.02
		switch role {
		case RoleDraftstop:
			reach = stopReach
		case RoleBlock:
			reach = 0.10
		case RoleJoist: // on the plates, as deep as the void: a rim that nothing calls one
			const slack = 0.03
			if deck := decks[t > (w.Across.Lo+w.Across.Hi)/2]; h.level.kind != KindFloor || sh.z0 > top+slack || sh.z1 < deck-slack {
				continue
			}
		case RoleFinish, RoleSolid:
			if sh.z0 < top-0.3 || sh.z1 < top+0.1 {
				continue // the wall's own board
			}
		}
		if s+sh.half < 0 || s-sh.half > w.Length || t < w.Across.Lo-reach || t > w.Across.Hi+reach {
			continue
		}
		stops = append(stops, wallStop{sh, s - sh.half, s + sh.half, t - sh.thick/2, t + sh.thick/2})
	}
	return stops
}
