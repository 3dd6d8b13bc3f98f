package separationcontinuity

import (
	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/ifcx/geom"
)

// missing reports storeys on which rooms of both units adjoin with no wall of the separation,
// and where one that is there leaves them open to each other.
func (j judge) missing(sep int) {
	in := &j.Building.Input
	s := &in.Separations[sep]
	if s.Units[0] < 0 || s.Units[1] < 0 || len(s.Walls) == 0 {
		return
	}
	told, gaps := map[int]bool{}, map[int]float64{}
	for _, p := range j.rooms[s.Units[0]] {
		for _, q := range j.rooms[s.Units[1]] {
			at, ok := adjoin(p.Mesh, q.Mesh, in.Walls[s.Walls[0]].Dir)
			if !ok {
				continue
			}
			if j.walled(s.Units, at) {
				j.between(sep, p, q, gaps)
				continue
			}
			storey := j.w.StoreyAt(at.Z, true)
			if told[storey] {
				continue
			}
			told[storey] = true
			j.Report(checks.Report{
				Outcome: finding.NotShown, Evidence: finding.Modelled, Storey: storey, Units: j.w.UnitList(sep), Point: at,
				Place: j.w.UnitLine(sep) + ", between adjoining rooms", Cause: "no separation between adjoining rooms",
				Message: "Rooms of the two units adjoin here, and no separation was recognised between them.",
				Remedy:  "Show the unit separation on this storey, or name the wall that is it.",
			})
		}
	}
}

// adjoin reports whether two rooms stand side by side, a wall apart at most, over half a
// metre and more, in the axes of a wall; and where.
func adjoin(a, b *geom.Mesh, dir geom.Vec2) (geom.Vec3, bool) {
	const apart, beside = 0.8, 0.5
	x, y := axes(a, dir), axes(b, dir)
	if min(x.Max.Z, y.Max.Z)-max(x.Min.Z, y.Min.Z) < 1 {
		return geom.Vec3{}, false
	}
	gapX, gapY := max(x.Min.X, y.Min.X)-min(x.Max.X, y.Max.X), max(x.Min.Y, y.Min.Y)-min(x.Max.Y, y.Max.Y)
	if !(gapY > -0.05 && gapY <= apart && gapX <= -beside || gapX > -0.05 && gapX <= apart && gapY <= -beside) {
		return geom.Vec3{}, false
	}
	m := geom.Vec2{X: (max(x.Min.X, y.Min.X) + min(x.Max.X, y.Max.X)) / 2, Y: (max(x.Min.Y, y.Min.Y) + min(x.Max.Y, y.Max.Y)) / 2}
	p := dir.Mul(m.X).Add(geom.Vec2{X: -dir.Y, Y: dir.X}.Mul(m.Y))
	return geom.Vec3{X: p.X, Y: p.Y, Z: (max(x.Min.Z, y.Min.Z) + min(x.Max.Z, y.Max.Z)) / 2}, true
}

// axes is the box of a mesh in the axes of a direction in plan.
func axes(m *geom.Mesh, dir geom.Vec2) geom.Box {
	b := geom.EmptyBox()
	for _, v := range m.Verts {
		p := v.Plan()
		b = b.Extend(geom.Vec3{X: p.Dot(dir), Y: p.Dot(geom.Vec2{X: -dir.Y, Y: dir.X}), Z: v.Z})
	}
	return b
}

// walled reports whether a wall of a separation of the two units stands at a point.
func (j judge) walled(units [2]int, p geom.Vec3) bool {
	in := &j.Building.Input
	for i := range in.Walls {
		w := &in.Walls[i]
		if w.Separation < 0 || w.Separation >= len(in.Separations) || p.Z < w.Z0 || p.Z > w.Z1 {
			continue
		}
		u := in.Separations[w.Separation].Units
		if u != units && u != [2]int{units[1], units[0]} {
			continue
		}
		m := p.Plan().Sub(w.Origin)
		s, t := m.Dot(w.Dir), m.Dot(w.Norm())
		if s > -1 && s < w.Length+1 && t > w.Across.Lo-0.5 && t < w.Across.Hi+0.5 {
			return true
		}
	}
	return false
}
