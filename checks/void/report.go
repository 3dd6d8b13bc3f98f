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
		if b.Bounds && h.level.kind == KindAttic {
			b.Short = h.shortOf(b)
		}
		h.s.res.Lines = append(h.s.res.Lines, &b.Line)
	}
}

// voidBeside returns the void on the open side of a line, or on either side of a single one.
func (h *horizontal) voidBeside(b *bandLine) *Void {
	a, _ := b.local(b.A)
	e, _ := b.local(b.B)
	// Places at one spacing may all lie in members at the same spacing.
	spacings := []float64{16.13, 37.29}
	try := func(t float64) *Void {
		for _, n := range spacings {
			for k := 1.0; k < n-1; k++ {
				q := h.f.in(b.at(a+(e-a)*k/n, t))
				ci := h.at(q.X, q.Y)
				if ci < 0 {
					continue
				}
				for i := h.nodesOf[ci]; i < h.nodesOf[ci+1]; i++ {
					if n := &h.nodes[i]; n.class == classVoid && n.comp >= 0 {
						return h.list[n.comp].out.Void
					}
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

// shortOf returns the stretches of a wall's line where no matter of the wall, anywhere across
// its thickness, comes within the gap of the sheathing.
func (h *horizontal) shortOf(b *bandLine) []Short {
	type piece struct {
		s0, s1, gap float64
		c           *cell
		open        free // between the wall and the sheathing
	}
	a0, _ := b.local(b.A)
	a1, _ := b.local(b.B)
	var ps []piece
	var cuts []float64
	for _, i := range h.overWall(b.Wall) {
		c := &h.cells[i]
		x := piece{s0: math.Inf(1), s1: math.Inf(-1)}
		// A cell without a zone of the line is closed up to the roof.
		if z := h.bandZone(i); z != nil && h.lines[z.ref] == b {
			x.c, x.open = c, z.free
			for e := range h.column(c) {
				if top := math.Min(e.z1, z.z1); e.role.closes() && e.role != RoleRoof && e.z0 < z.z1 && top > x.open.z0 {
					x.open.z0, x.open.g0 = top, e.g1
				}
			}
			x.gap = x.open.z1 - x.open.z0
		}
		for _, q := range h.corners(c) {
			s, _ := b.local(h.f.out(q))
			x.s0, x.s1 = math.Min(x.s0, s), math.Max(x.s1, s)
		}
		x.s0, x.s1 = math.Max(x.s0, a0+0.05), math.Min(x.s1, a1-0.05)
		if x.s1-x.s0 < 1e-4 {
			continue
		}
		ps = append(ps, x)
		cuts = append(cuts, x.s0, x.s1)
	}
	sort.Float64s(cuts)
	sort.SliceStable(ps, func(i, j int) bool { return ps[i].s0 < ps[j].s0 })
	var out []Short
	var along [][]piece  // the pieces of each stretch
	last := math.Inf(-1) // end of the stretch being built
	next := 0
	var live []piece
	for i := 0; i+1 < len(cuts); i++ {
		lo, hi := cuts[i], cuts[i+1]
		if hi-lo < 1e-4 {
			continue
		}
		for next < len(ps) && ps[next].s0 <= lo+1e-6 {
			live = append(live, ps[next])
			next++
		}
		keep := live[:0]
		var least *piece
		for _, x := range live {
			if x.s1 >= hi-1e-6 {
				keep = append(keep, x)
			}
		}
		live = keep
		for k := range live {
			if least == nil || live[k].gap < least.gap {
				least = &live[k]
			}
		}
		if least == nil || least.gap < h.gap {
			continue
		}
		n := len(out) - 1
		if n < 0 || lo >= last+0.05 {
			out, along = append(out, Short{}), append(along, nil)
			n++
		}
		out[n].LengthM += hi - lo
		out[n].GapM = math.Max(out[n].GapM, least.gap)
		along[n] = append(along[n], piece{lo, hi, least.gap, least.c, least.open})
		last = hi
	}
	kept := out[:0]
	for i, x := range out {
		if x.LengthM < h.gap {
			continue
		}
		l := along[i]
		mid := (l[0].s0 + l[len(l)-1].s1) / 2
		at := l[0]
		for _, p := range l {
			if p.s0 <= mid {
				at = p
			}
		}
		m := b.at(math.Max(at.s0, math.Min(mid, at.s1)), (b.t0+b.t1)/2) // neither side rather than the other
		z0, z1 := at.open.at(at.c, h.f.in(m))
		x.Point = geom.Vec3{X: m.X, Y: m.Y, Z: (z0 + z1) / 2}
		kept = append(kept, x)
	}
	return kept
}

// baysOf counts the bays between the members that cross a line or end at it. The posts and
// webs of a truss that runs beside the line make no bays of it.
func (h *horizontal) baysOf(b *bandLine) int {
	a, _ := b.local(b.A)
	e, _ := b.local(b.B)
	var spans []Span
	area := geom.EmptyBox()
	for _, p := range [4]geom.Vec2{b.at(a, b.t0), b.at(e, b.t0), b.at(e, b.t1), b.at(a, b.t1)} {
		q := h.f.in(p)
		area = area.Extend(geom.Vec3{X: q.X, Y: q.Y, Z: h.level.zlo}).Extend(geom.Vec3{X: q.X, Y: q.Y, Z: h.level.zhi})
	}
	for _, i := range h.s.index.In(area.Grow(0.01)) {
		switch h.s.in.Parts[i].Role {
		case RoleChord, RoleJoist, RoleRafter:
		default:
			continue
		}
		box := h.s.boxes[i]
		x := Span{math.Inf(1), math.Inf(-1)}
		t := x
		for _, p := range []geom.Vec2{{X: box.Min.X, Y: box.Min.Y}, {X: box.Max.X, Y: box.Min.Y}, {X: box.Max.X, Y: box.Max.Y}, {X: box.Min.X, Y: box.Max.Y}} {
			s, tt := b.local(h.f.out(p))
			x = Span{math.Min(x.Lo, s), math.Max(x.Hi, s)}
			t = Span{math.Min(t.Lo, tt), math.Max(t.Hi, tt)}
		}
		const near = 0.01 // members are cut to the faces of blocks, or lap them
		if t.Hi > b.t0-near && t.Lo < b.t1+near && x.Hi > a && x.Lo < e && x.Hi-x.Lo < 0.3 && t.Hi-t.Lo > x.Hi-x.Lo {
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
		bare := s.bare[wc.Wall] && len(l.Openings) == 0
		l.Closed = len(l.Openings) == 0 && !s.unknown[wc.Wall] && !bare
		l.Assumed = len(l.Openings) == 0 && !w.Framed || bare
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
