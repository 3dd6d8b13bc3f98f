package void

import (
	"math"
	"slices"
	"sort"
)

// midZone tells between which planes of which walls a zone lies that is no wall's own.
type midZone struct{ lower, upper, plane int }

// mid returns the ref of the zone above a plane between two walls.
func (st *stack) mid(lower, upper int, z float64) int32 {
	m := midZone{lower, upper, max(0, slices.Index(st.cuts[[2]int{lower, upper}], z))}
	k := slices.Index(st.mids, m)
	if k < 0 {
		k = len(st.mids)
		st.mids = append(st.mids, m)
	}
	return int32(len(st.s.in.Walls) + k)
}

// wallOf returns the wall that a node's ref stands for: itself, or the wall below a zone
// between two planes.
func (st *stack) wallOf(ref int32) int {
	if k := int(ref) - len(st.s.in.Walls); k >= 0 {
		return st.mids[k].lower
	}
	return int(ref)
}

// floorOf returns the wall whose floor a node lies at or below.
func (st *stack) floorOf(ref int32) int {
	if k := int(ref) - len(st.s.in.Walls); k >= 0 {
		return st.mids[k].upper
	}
	return int(ref)
}

// stopPlane is a height at which stops close the gap of a double wall over most of its
// length.
type stopPlane struct{ z, length float64 }

// levelPlane is a stopPlane with the floor it belongs to: the end of the wall below and the
// foot of the one above.
type levelPlane struct{ z, top, foot float64 }

// stopPlanes returns the planes of every pair of walls of a stack.
func (st *stack) stopPlanes(p *placer) []levelPlane {
	var out []levelPlane
	if len(st.walls) < 2 || !slices.ContainsFunc(st.walls, func(i int) bool { return len(st.s.in.Walls[i].Gaps) > 0 }) {
		return nil
	}
	st.placeSolids(p, closesLevel)
	for k, i := range st.walls {
		for _, j := range st.walls[k+1:] {
			lo, hi := &st.s.in.Walls[i], &st.s.in.Walls[j]
			for _, p := range st.stopsBetween(lo, hi) {
				if p.length > 0.5*math.Min(lo.Length, hi.Length) {
					out = append(out, levelPlane{p.z, lo.lowTop(), hi.highFoot()})
				}
			}
		}
	}
	return out
}

// closesLevel reports whether solids of a role may close the gap of a wall at a level.
func closesLevel(r Role) bool {
	switch r {
	case RoleBlock, RoleDraftstop, RolePlate, RoleDeck, RoleSeal, RoleSolid, RoleRim:
		return true
	}
	return false
}

// stopsBetween returns the heights of the stops in the gap between two walls, with the
// length of wall that they close.
func (st *stack) stopsBetween(lo, hi *Wall) []stopPlane {
	if len(lo.Gaps) == 0 {
		return nil
	}
	type piece struct {
		z float64
		s Span
	}
	var ps []piece
	for _, sd := range st.solids {
		if !closesLevel(sd.role) {
			continue
		}
		z := (sd.box.Min.Z + sd.box.Max.Z) / 2
		v := st.f.in(lo.At(0, (lo.Gaps[0].Lo+lo.Gaps[0].Hi)/2)).Y
		if z < lo.lowTop()-0.35 || z > hi.highFoot()+0.2 || sd.box.Min.Y > v || sd.box.Max.Y < v || sd.box.Max.Z-sd.box.Min.Z > 0.6 {
			continue
		}
		ps = append(ps, piece{z, Span{sd.box.Min.X, sd.box.Max.X}})
	}
	sort.Slice(ps, func(i, j int) bool {
		if ps[i].z != ps[j].z {
			return ps[i].z < ps[j].z
		}
		return ps[i].s.Lo < ps[j].s.Lo
	})
	var out []stopPlane
	for i := 0; i < len(ps); {
		j := i
		var spans []Span
		var zs []float64 // of the longest: a short upright between two levels is neither
		longest := 0.0
		for j < len(ps) && ps[j].z-ps[i].z < samePlane {
			spans = append(spans, ps[j].s)
			if l := ps[j].s.Hi - ps[j].s.Lo; l > longest+0.1 {
				zs, longest = append(zs[:0], ps[j].z), l
			} else if l > longest-0.1 {
				zs = append(zs, ps[j].z)
			}
			j++
		}
		out = append(out, stopPlane{zs[len(zs)/2], covered(spans)})
		i = j
	}
	return out
}

// samePlane is how far apart in height stops may lie to close one level, metres.
const samePlane = 0.08

// covered returns the length that spans cover together.
func covered(spans []Span) float64 {
	sort.Slice(spans, func(i, j int) bool { return spans[i].Lo < spans[j].Lo })
	sum, end := 0.0, math.Inf(-1)
	for _, x := range spans {
		if x.Hi > end {
			sum += x.Hi - math.Max(x.Lo, end)
			end = x.Hi
		}
	}
	return sum
}

// cutPlanes returns the heights at which the gap of a double wall is, or should be, closed
// between two storeys. A level is expected where this wall's own stops, or those of another
// double wall of the building, stand along most of a wall: where a builder closes the ceiling
// level and the floor level of one unit line, the others want both too. Without any stop it
// is the middle of the floor.
func (st *stack) cutPlanes(lo, hi *Wall) []float64 {
	mid := (lo.Z1 + hi.Z0) / 2
	if len(lo.Gaps) == 0 || len(hi.Gaps) == 0 {
		return []float64{mid}
	}
	var distinct []float64
	// Those of walls that stand at other heights are other units' levels.
	top, foot := lo.lowTop(), hi.highFoot()
	planes := st.s.planes
	for i := sort.Search(len(planes), func(k int) bool { return planes[k].z >= top-0.35 }); i < len(planes) && planes[i].z <= foot+0.2; i++ {
		p := planes[i]
		if math.Abs(p.top-top) > samePlane || math.Abs(p.foot-foot) > samePlane {
			continue
		}
		if n := len(distinct); n == 0 || p.z-distinct[n-1] > samePlane {
			distinct = append(distinct, p.z)
		}
	}
	if len(distinct) == 0 { // stops over a small part only: still the level they stand at
		best := 0.0
		for _, p := range st.stopsBetween(lo, hi) {
			if p.length > best+1e-6 {
				best, mid = p.length, p.z
			}
		}
		return []float64{mid}
	}
	return distinct
}
