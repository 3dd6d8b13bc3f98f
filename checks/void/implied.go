package void

import (
	"math"
	"slices"
)

// impliedStuds adds to the solids of a stack the studs that hold an upright block in the gap of a wall
// known by its layers. Layers do not show studs, and without them fire would pass any block through the rows
// beside it, which each stud of full depth closes.
func (st *stack) impliedStuds(p *placer) {
	const upright, thick, beside = 0.3, 0.3, 0.02
	for _, sd := range st.solids[:len(st.solids):len(st.solids)] {
		if sd.role != RoleBlock && sd.role != RoleDraftstop || sd.box.Max.Z-sd.box.Min.Z < upright || sd.box.Max.X-sd.box.Min.X > thick {
			continue
		}
		for _, i := range st.walls {
			w := &st.s.in.Walls[i]
			if w.Framed || math.Min(sd.box.Max.Z, w.Z1)-math.Max(sd.box.Min.Z, w.Z0) < upright {
				continue
			}
			for _, g := range w.Gaps {
				if mid := st.spanOf(w, g); (sd.box.Min.Y+sd.box.Max.Y)/2 < mid.Lo || (sd.box.Min.Y+sd.box.Max.Y)/2 > mid.Hi {
					continue
				}
				for _, r := range w.Rows {
					if math.Abs(r.Hi-g.Lo) > beside && math.Abs(r.Lo-g.Hi) > beside {
						continue
					}
					stud := *sd
					stud.role, stud.isBox, stud.faces = RoleStud, true, noFaces
					row := st.spanOf(w, r)
					stud.box.Min.Y, stud.box.Max.Y = row.Lo, row.Hi
					stud.box.Min.Z, stud.box.Max.Z = w.Z0, w.Z1 // plates that are not shown either close what is over it
					st.solids = append(st.solids, p.solids.one(stud))
				}
			}
		}
	}
}

// spanOf returns an interval across a wall as it lies across the frame of the stack.
func (st *stack) spanOf(w *Wall, t Span) Span {
	a, b := st.f.in(w.At(0, t.Lo)).Y, st.f.in(w.At(0, t.Hi)).Y
	return Span{math.Min(a, b), math.Max(a, b)}
}

// blocksNear reports whether blocks close part of the gap of a wall near a height.
func (st *stack) blocksNear(wall int, z float64) bool {
	w := &st.s.in.Walls[wall]
	gap := st.spanOf(w, w.Gaps[0])
	return slices.ContainsFunc(st.solids, func(sd *solid) bool {
		return (sd.role == RoleBlock || sd.role == RoleDraftstop) && sd.box.Min.Y < (gap.Lo+gap.Hi)/2 && sd.box.Max.Y > (gap.Lo+gap.Hi)/2 &&
			math.Abs((sd.box.Min.Z+sd.box.Max.Z)/2-z) < 2*samePlane && sd.box.Max.X-sd.box.Min.X > 0.1
	})
}

// plated reports whether a place between the inside of a wall known by its layers and the depth of the floor over
// or under it is in a row of studs, whose plates close it: layers do not show them.
func (st *stack) plated(l link) bool {
	a, b := int(st.nodes[l.a].ref), int(st.nodes[l.b].ref)
	walls := len(st.s.in.Walls)
	if a >= walls == (b >= walls) {
		return false
	}
	return !st.s.in.Walls[min(a, b)].Framed && !st.inGap(l.a)
}
