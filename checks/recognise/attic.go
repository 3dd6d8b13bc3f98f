package recognise

import (
	"math"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// topCut returns the height at which a wall that goes on into the attic passes from the top
// storey to the attic: the top of its plates there or, in a wall of layers, the nearest
// ceiling. It reports false when the wall ends with its storey.
func (r *reader) topCut(l *leaf, z float64) (float64, bool) {
	const storey = 1.8 // least height below the cut, metres
	rest := 0.3        // and above it
	for _, h := range l.rowZ {
		if !math.IsInf(h.plate, 1) { // studs on the plates show the wall above, however low
			rest = plateMax
		}
	}
	for _, v := range r.levels {
		if v > z+1 && v < l.z1+0.5 && !l.standsAt(v) {
			return 0, false // another storey begins where it ends
		}
	}
	area := geom.EmptyBox()
	lo, hi := l.edges()
	for _, s := range []float64{l.s0, l.s1} {
		for _, t := range []float64{lo, hi} {
			p := l.dir.Mul(s).Add(l.norm.Mul(t))
			area = area.Extend(geom.Vec3{X: p.X, Y: p.Y, Z: z + storey}).Extend(geom.Vec3{X: p.X, Y: p.Y, Z: l.z1 - rest})
		}
	}
	if area.Min.Z >= area.Max.Z {
		return 0, false
	}
	best, length := 0.0, 0.0
	near := area.Grow(0.02)
	if !l.framed {
		near = area.Grow(1.0)
	}
	for _, k := range r.near.In(near) {
		p := r.ps[k]
		if p.skip || p.lie != flat {
			continue
		}
		top := p.z1()
		if top <= z+storey || top >= l.z1-rest {
			continue
		}
		switch {
		case l.framed && p.role == void.RolePlate && math.Abs(p.axes[0].Plan().Dot(l.dir)) > 0.99:
		case !l.framed && p.role == void.RoleCeiling:
		default:
			continue
		}
		// Of two plates on each other the upper one ends the storey.
		if p.length() > length+0.1 || p.length() > length-0.1 && top > best && top-best < 0.1 {
			best, length = top, math.Max(length, p.length())
		}
	}
	return best, length > 0.3*math.Min(l.s1-l.s0, 3)
}

// standsAt reports whether one of the rows of a wall stands on the floor at a level.
func (l *leaf) standsAt(v float64) bool {
	const step = 0.2 // from a level to the floor that it stands for, metres
	for _, h := range l.rowZ {
		if math.Abs(h.z0-v) < step {
			return true
		}
	}
	return false
}
