package void

import (
	"math"

	"voidcheck/ifcx/geom"
)

// outdoorEnds finds what of a double wall lies outdoors beyond the end of its shorter row, where
// units stand a little back from each other in plan: rectangles of s by t in the wall's own frame.
// The weather side of the longer row begins there, and the gap ends with the shorter one.
//
//	longer row   ===================
//	gap                        |
//	shorter row  ==============| outdoors
//
// Nothing of the shorter row or of a wall that meets it may stand there at any height of the stack,
// nor begin close behind: the gap then runs on.
func (st *stack) outdoorEnds(w *Wall) [][2]Span {
	const (
		behind = 0.15 // as far apart rows may still be one wall, metres
		most   = 0.25 // walls that run on farther are walls of their own there, metres
		touch  = 0.02 // a part that reaches this little into a row stands beside it, metres
	)
	if len(w.Rows) != 2 || len(w.Gaps) == 0 || w.Rows[0].Hi > w.Rows[1].Lo {
		return nil
	}
	area := geom.EmptyBox()
	for _, p := range w.corners(-behind, w.Length+behind, w.Across.Lo, w.Across.Hi) {
		q := st.f.in(p)
		area = area.Extend(geom.Vec3{X: q.X, Y: q.Y, Z: st.area.Min.Z}).Extend(geom.Vec3{X: q.X, Y: q.Y, Z: st.area.Max.Z})
	}
	reach := [2]Span{{math.Inf(1), math.Inf(-1)}, {math.Inf(1), math.Inf(-1)}}
	for _, i := range st.s.near(area, st.f) {
		part := &st.s.in.Parts[i]
		switch part.Role {
		case RoleStud, RolePlate, RoleFinish, RoleSolid, RoleChimney, RoleFraming:
		default:
			continue // floors, roofs and what closes a cornice reach beyond walls
		}
		s, t, z := w.extent(part.Mesh)
		if z.Hi < st.area.Min.Z || z.Lo > st.area.Max.Z || s.Hi < -behind || s.Lo > w.Length+behind {
			continue
		}
		for k, r := range w.Rows {
			if math.Min(t.Hi, r.Hi)-math.Max(t.Lo, r.Lo) > touch {
				reach[k] = Span{math.Min(reach[k].Lo, s.Lo), math.Max(reach[k].Hi, s.Hi)}
			}
		}
	}
	var out [][2]Span
	for k := range reach {
		own, other := reach[k], reach[1-k]
		t := Span{w.Across.Lo, w.Rows[1].Lo}
		if k == 1 {
			t = Span{w.Rows[0].Hi, w.Across.Hi}
		}
		if d := w.Length - own.Hi; d > st.gap && d < most && other.Hi > own.Hi+st.gap {
			out = append(out, [2]Span{{own.Hi, w.Length}, t})
		}
		if d := own.Lo; d > st.gap && d < most && other.Lo < own.Lo-st.gap {
			out = append(out, [2]Span{{0, own.Lo}, t})
		}
	}
	return out
}

// extent is how far a body reaches along a wall, across it and up.
func (w *Wall) extent(m *geom.Mesh) (s, t, z Span) {
	s, t, z = Span{math.Inf(1), math.Inf(-1)}, Span{math.Inf(1), math.Inf(-1)}, Span{math.Inf(1), math.Inf(-1)}
	for _, v := range m.Verts {
		d := v.Plan().Sub(w.Origin)
		for _, x := range []struct {
			to *Span
			at float64
		}{{&s, d.Dot(w.Dir)}, {&t, w.Dir.Cross(d)}, {&z, v.Z}} {
			x.to.Lo, x.to.Hi = math.Min(x.to.Lo, x.at), math.Max(x.to.Hi, x.at)
		}
	}
	return s, t, z
}

// outdoors reports whether a place along and across a wall is one of those.
func outdoors(ends [][2]Span, s, t float64) bool {
	for _, e := range ends {
		if s > e[0].Lo && s < e[0].Hi && t > e[1].Lo && t < e[1].Hi {
			return true
		}
	}
	return false
}
