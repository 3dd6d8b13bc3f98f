package recognise

import (
	"math"

	"voidcheck/checks/void"
)

// isRiser reports whether an upright board stands between two ceilings of different height, the edge of a tray or the end of a
// vault: it bounds a room, whatever framing stands behind it. A stop goes on to the deck or the roof.
func (r *reader) isRiser(p *piece) bool {
	const touch, step = 0.05, 0.1 // metres
	low, high := false, false
	for _, i := range r.near.In(p.box.Grow(sheetTouch)) {
		q := r.ps[i]
		if q == p || q.role != void.RoleCeiling {
			continue
		}
		low = low || math.Abs(q.z1()-p.z0()) < touch && q.lie == flat
		high = high || math.Abs(q.z1()-p.z1()) < touch && q.z1() > p.z0()+step || math.Abs(q.z0()-p.z1()) < touch && q.z0() > p.z0()+step
	}
	return low && high
}
