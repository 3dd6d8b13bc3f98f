package void

import (
	"math"
	"sort"

	"voidcheck/ifcx/geom"
)

// reportLines adds the lines of a level to the result: those that bound or divide a void.
func (h *horizontal) reportLines() {
	for _, b := range h.lines {
		v := h.voidBeside(b)
		if v == nil {
			continue
		}
		b.Void = v
		for _, p := range b.stops {
			if e := h.s.in.Parts[p].Element; e >= 0 && !containsInt(b.Elements, e) {
				b.Elements = append(b.Elements, e)
			}
		}
		sort.Ints(b.Elements)
		b.Bays = h.baysOf(b)
		h.s.res.Lines = append(h.s.res.Lines, &b.Line)
	}
}

// voidBeside returns the void on the open side of a line, or on either side of a single one.
func (h *horizontal) voidBeside(b *bandLine) *Void {
	a, _ := b.local(b.A)
	e, _ := b.local(b.B)
	try := func(t float64) *Void {
		for k := 1; k < 16; k++ {
			p := b.at(a+(e-a)*float64(k)/16.13, t)
			q := h.f.in(p)
			ci := h.at(q.X, q.Y)
			if ci < 0 {
				continue
			}
			for i := h.first[ci]; i < h.first[ci+1]; i++ {
				if n := &h.nodes[i]; n.class == classVoid && n.comp >= 0 {
					return h.list[n.comp].out.Void
				}
			}
		}
		return nil
	}
	for _, d := range []float64{0.02, 0.06, 0.15, 0.3} {
		if b.Side <= 0 {
			if v := try(b.t0 - d); v != nil {
				return v
			}
		}
		if b.Side >= 0 {
			if v := try(b.t1 + d); v != nil {
				return v
			}
		}
	}
	return nil
}

// baysOf counts the bays between members that cross a line.
func (h *horizontal) baysOf(b *bandLine) int {
	a, _ := b.local(b.A)
	e, _ := b.local(b.B)
	var spans []Span
	area := geom.EmptyBox()
	for _, p := range [4]geom.Vec2{b.at(a, b.t0), b.at(e, b.t0), b.at(e, b.t1), b.at(a, b.t1)} {
		q := h.f.in(p)
		area = area.Extend(geom.Vec3{X: q.X, Y: q.Y, Z: h.level.zlo}).Extend(geom.Vec3{X: q.X, Y: q.Y, Z: h.level.zhi})
	}
	for _, i := range h.s.index.overlapping(area) {
		switch h.s.in.Parts[i].Role {
		case RoleChord, RoleJoist, RoleRafter, RoleWeb:
		default:
			continue
		}
		sd := h.s.placed[i]
		if sd == nil {
			continue
		}
		x := Span{math.Inf(1), math.Inf(-1)}
		t := x
		for _, p := range []geom.Vec2{{X: sd.box.Min.X, Y: sd.box.Min.Y}, {X: sd.box.Max.X, Y: sd.box.Min.Y}, {X: sd.box.Max.X, Y: sd.box.Max.Y}, {X: sd.box.Min.X, Y: sd.box.Max.Y}} {
			s, tt := b.local(h.f.out(p))
			x = Span{math.Min(x.Lo, s), math.Max(x.Hi, s)}
			t = Span{math.Min(t.Lo, tt), math.Max(t.Hi, tt)}
		}
		if t.Hi > b.t0 && t.Lo < b.t1 && x.Hi > a && x.Lo < e && x.Hi-x.Lo < 0.3 {
			spans = append(spans, x)
		}
	}
	sort.Slice(spans, func(i, j int) bool { return spans[i].Lo < spans[j].Lo })
	n, end := 0, a
	for _, x := range spans {
		if x.Lo-end > 0.05 {
			n++
		}
		end = math.Max(end, x.Hi)
	}
	if len(spans) > 0 && e-end > 0.05 {
		n++
	}
	return n
}

// noteLevel files an opening through a level or a missing plate under its wall.
func (s *solver) noteLevel(o *found, x *Opening) {
	wall := o.fromWall
	if x.Kind == OpenPlate {
		wall = o.a.wall
	}
	if wall < 0 {
		s.atFloor[o.floorOf] = append(s.atFloor[o.floorOf], x)
		return
	}
	s.atLevel[wall] = append(s.atLevel[wall], x)
}

// closeLevels writes, for each cavity, whether it is closed at the top of its wall: at the
// ceiling below the next floor or the attic.
func (s *solver) closeLevels() {
	for _, wc := range s.res.Cavities {
		w := &s.in.Walls[wc.Wall]
		if z, ok := s.floorPlane(wc.Wall); ok {
			f := WallLevel{Z: z, Storey: w.Storey, Openings: s.atFloor[wc.Wall]}
			f.Closed = len(f.Openings) == 0
			wc.Levels = append(wc.Levels, f)
		}
		l := WallLevel{Z: w.Z1, Storey: w.Storey, Ceiling: true, Openings: s.atLevel[wc.Wall]}
		l.Closed = len(l.Openings) == 0 && !s.unknown[wc.Wall]
		l.Assumed = len(l.Openings) == 0 && !w.Framed
		wc.Levels = append(wc.Levels, l)
	}
}

// floorPlane returns the height of a floor level that is closed, or should be, apart from the
// ceiling level below it.
func (s *solver) floorPlane(wall int) (float64, bool) {
	st := s.stackOf[wall]
	if st == nil {
		return 0, false
	}
	for _, lower := range st.walls {
		if c := st.cuts[[2]int{lower, wall}]; len(c) > 1 && s.in.Walls[wall].Z0-s.in.Walls[lower].Z1 < 1.2 {
			return c[len(c)-1], true
		}
	}
	return 0, false
}
