package void

import (
	"math"
	"slices"
	"sort"

	"voidcheck/ifcx/geom"
)

// bandLine is a Line with the strip of plan in which it divides its void: s along it, t
// across, in the building frame.
type bandLine struct {
	Line
	origin, dir geom.Vec2
	s0, s1      float64
	t0, t1      float64
	stops       []int // parts that stand in it
	layered     bool  // nothing is modelled member by member at its wall
	open        bool  // a single line without any stop: it does not divide its void
}

func (b *bandLine) local(p geom.Vec2) (float64, float64) {
	d := p.Sub(b.origin)
	return d.Dot(b.dir), b.dir.Cross(d)
}

func (b *bandLine) at(s, t float64) geom.Vec2 {
	return geom.Vec2{X: b.origin.X + s*b.dir.X - t*b.dir.Y, Y: b.origin.Y + s*b.dir.Y + t*b.dir.X}
}

func (b *bandLine) has(p geom.Vec2) bool {
	s, t := b.local(p)
	return s > b.s0 && s < b.s1 && t > b.t0 && t < b.t1
}

func (b *bandLine) rect() [4]geom.Vec2 {
	return [4]geom.Vec2{b.at(b.s0, b.t0), b.at(b.s1, b.t0), b.at(b.s1, b.t1), b.at(b.s0, b.t1)}
}

// How far a stop may stand from the wall it continues, how far a line reaches beyond the end
// of its wall, and how far apart sheets of one draftstop line may be, metres.
const (
	stopReach  = 0.30
	lineExtend = 0.60
	sheetStep  = 3.0
)

// sheet is a stop seen as a rectangle in plan.
type sheet struct {
	part        int
	mid, dir    geom.Vec2 // dir along its length
	half, thick float64   // half length, thickness
	z0, z1      float64
}

// sheetOf returns the smallest plan rectangle of a solid along one of its own edges.
func (s *solver) sheetOf(sd *solid) sheet {
	best := sheet{thick: math.Inf(1)}
	dirs := []geom.Vec2{{X: 1}}
	for k := range sd.edges {
		e := sd.edge(k)
		if d := e[1].Sub(e[0]); d.Len() > 0.02 && !sd.isBox {
			dirs = append(dirs, d.Unit())
		}
	}
	for _, d := range dirs {
		lo, hi := geom.Vec2{X: math.Inf(1), Y: math.Inf(1)}, geom.Vec2{X: math.Inf(-1), Y: math.Inf(-1)}
		verts := sd.verts
		if sd.isBox {
			verts = []geom.Vec3{sd.box.Min, sd.box.Max} // looked at along the frame
		}
		for _, v := range verts {
			q := geom.Vec2{X: v.Plan().Dot(d), Y: d.Cross(v.Plan())}
			lo = geom.Vec2{X: math.Min(lo.X, q.X), Y: math.Min(lo.Y, q.Y)}
			hi = geom.Vec2{X: math.Max(hi.X, q.X), Y: math.Max(hi.Y, q.Y)}
		}
		w, h := hi.X-lo.X, hi.Y-lo.Y
		m := geom.Vec2{X: (lo.X + hi.X) / 2, Y: (lo.Y + hi.Y) / 2}
		mid := geom.Vec2{X: m.X*d.X - m.Y*d.Y, Y: m.X*d.Y + m.Y*d.X}
		n := geom.Vec2{X: -d.Y, Y: d.X}
		r := sheet{mid: mid, dir: d, half: w / 2, thick: h}
		if h > w {
			r = sheet{mid: mid, dir: n, half: h / 2, thick: w}
		}
		if r.thick < best.thick-1e-6 {
			best = r
		}
	}
	// Into the building frame.
	best.part = sd.part
	mid := s.f.out(best.mid)
	tip := s.f.out(best.mid.Add(best.dir))
	best.mid, best.dir = mid, tip.Sub(mid)
	if best.dir.X < -1e-9 || math.Abs(best.dir.X) <= 1e-9 && best.dir.Y < 0 {
		best.dir = best.dir.Mul(-1)
	}
	best.z0, best.z1 = sd.box.Min.Z, sd.box.Max.Z
	return best
}

// findLines lays out the lines of a level: one for each side of each unit separation whose
// wall ends below the top membrane, then the draftstops that belong to no separation.
func (h *horizontal) findLines(strips []*strip) []*bandLine {
	var sheets []sheet
	used := map[int]bool{}
	below := h.level.zhi - 0.03
	if h.level.kind == KindFloor { // what stands on the deck is no stop under it
		below = h.level.zmax - 0.02
	}
	for _, sd := range h.solids {
		switch sd.role {
		case RoleBlock, RoleDraftstop, RoleRim, RoleBeam, RoleJoist, RoleFinish, RoleSolid:
			if b := &sd.box; b.Min.Z < below && b.Max.Z > h.level.zlo+0.05 {
				sheets = append(sheets, h.s.sheetOf(sd))
			}
		}
	}
	index := sheetIndex(sheets)
	var out []*bandLine
	for _, st := range strips {
		switch {
		case h.s.sep[st.wall] < 0:
		case st.reaches:
			out = append(out, h.wallLine(st))
		case h.level.kind == KindFloor || !st.above:
			var near []sheet
			for _, k := range index.In(planBox(st.w.corners(0, st.w.Length, st.w.Across.Lo, st.w.Across.Hi)).Grow(stopReach + 0.01)) {
				near = append(near, sheets[k])
			}
			out = append(out, h.separationLines(st, near, used)...)
		}
	}
	h.alignBare(out)
	walls := separating(h, strips)
	for _, b := range out {
		b.endAt(walls, h.s.sep)
	}
	return append(out, h.draftstopLines(sheets, index, used, walls)...)
}

// alignBare puts the band of a double wall's side that has no stop at all where the stops of
// the other unit lines of the level stand, so that areas are measured alike.
func (h *horizontal) alignBare(lines []*bandLine) {
	inset := func(b *bandLine) float64 {
		w := &h.s.in.Walls[b.Wall]
		if b.Side < 0 {
			return b.t0 - w.Across.Lo
		}
		return w.Across.Hi - b.t1
	}
	var in, thick []float64
	for _, b := range lines {
		if b.Side != 0 && len(b.stops) > 0 {
			in, thick = append(in, inset(b)), append(thick, b.t1-b.t0)
		}
	}
	if len(in) == 0 {
		return
	}
	sort.Float64s(in)
	sort.Float64s(thick)
	d, th := in[len(in)/2], thick[len(thick)/2]
	for _, b := range lines {
		w := &h.s.in.Walls[b.Wall]
		switch {
		case b.Side == 0 || len(b.stops) > 0:
		case b.Side < 0:
			b.t0 = w.Across.Lo + d
			b.t1 = math.Min(b.t0+th, w.Gaps[0].Lo)
		default:
			b.t1 = w.Across.Hi - d
			b.t0 = math.Max(b.t1-th, w.Gaps[0].Hi)
		}
	}
}

// wallLine is the line of a separation whose wall goes on through the attic: the wall itself
// closes it, over its whole thickness.
func (h *horizontal) wallLine(st *strip) *bandLine {
	w := st.w
	b := &bandLine{origin: w.Origin, dir: w.Dir, s0: -lineExtend, s1: w.Length + lineExtend, t0: w.Across.Lo, t1: w.Across.Hi}
	b.Kind, b.Separation, b.Wall = LineSeparation, h.s.sep[st.wall], st.wall
	b.layered = !w.Framed
	b.A, b.B = b.at(0, (b.t0+b.t1)/2), b.at(w.Length, (b.t0+b.t1)/2)
	b.Z0, b.Z1 = w.Z0, w.Z1
	b.Bounds = true
	b.BoardsAssumed = w.Framed && h.s.unboarded(st.wall)
	return b
}

// separationLines returns the line (or the two lines of a double wall) over one wall.
func (h *horizontal) separationLines(st *strip, sheets []sheet, used map[int]bool) []*bandLine {
	w := st.w
	decks, beside := map[bool]float64{}, map[bool]bool{}
	for _, high := range []bool{false, true} {
		decks[high], beside[high] = h.deckBeside(w, high)
	}
	stops := h.stopsOver(w, sheets, decks)
	type side struct {
		n      int
		lo, hi float64 // usual band when it has no stop
	}
	sides := []side{{0, w.Across.Lo, w.Across.Hi}}
	gap := Span{}
	double := w.Kind == WallDouble && w.Framed && len(w.Gaps) > 0 && len(w.Rows) > 1
	if w.Kind == WallDouble && !w.Framed && len(w.Gaps) > 0 && h.level.kind == KindFloor {
		// Layers show no rows, but blocks that stand in two rows over them do.
		double = bothSides(len(stops), func(i int) Span { return Span{stops[i].t0, stops[i].t1} }, w.Gaps[0])
	}
	if double {
		gap = w.Gaps[0]
		double = false
		// Blocks upright in the gap cut its length and close neither side; a sheet that
		// fills it along the wall is a line of its own.
		var filled []Span
		for _, p := range stops {
			if p.t0 >= gap.Lo-0.005 && p.t1 <= gap.Hi+0.005 {
				filled = append(filled, Span{p.s0, p.s1})
			}
		}
		if covered(filled) < w.Length/2 {
			stops = slices.DeleteFunc(stops, func(p wallStop) bool { return p.t0 >= gap.Lo-0.005 && p.t1 <= gap.Hi+0.005 })
		}
		for _, p := range stops {
			if p.t1 <= gap.Lo+0.01 || p.t0 >= gap.Hi-0.01 {
				double = true
			}
		}
		if len(stops) == 0 {
			double = true
		}
		if h.level.kind == KindAttic && len(stops) > 0 && !st.above {
			double = bothSides(len(stops), func(i int) Span { return Span{stops[i].t0, stops[i].t1} }, gap)
		} else if h.level.kind == KindAttic && !st.above {
			double = false
		}
	}
	if double {
		sides = []side{{-1, w.Across.Lo, gap.Lo}, {1, gap.Hi, w.Across.Hi}}
	}
	var out []*bandLine
	for _, sd := range sides {
		if sd.n != 0 && (!beside[sd.n > 0] || h.above(w, (sd.lo+sd.hi)/2)) {
			continue // its unit has no floor at this level
		}
		b := &bandLine{origin: w.Origin, dir: w.Dir, s0: -lineExtend, s1: w.Length + lineExtend, t0: math.Inf(1), t1: math.Inf(-1)}
		b.Kind, b.Separation, b.Wall, b.Side = LineSeparation, h.s.sep[st.wall], st.wall, sd.n
		b.layered = !w.Framed
		for _, p := range stops {
			t := (p.t0 + p.t1) / 2
			if sd.n < 0 && t > (gap.Lo+gap.Hi)/2 || sd.n > 0 && t < (gap.Lo+gap.Hi)/2 {
				continue
			}
			if sd.n != 0 && p.t0 >= gap.Lo-0.005 && p.t1 <= gap.Hi+0.005 {
				continue // closes the gap, not this side
			}
			used[p.part] = true
			b.stops = append(b.stops, p.part)
			b.t0, b.t1 = math.Min(b.t0, p.t0), math.Max(b.t1, p.t1)
		}
		if len(b.stops) == 0 {
			b.t0, b.t1 = sd.lo, sd.hi
		}
		if sd.n != 0 { // the gap itself is the wall's cavity, not the line's
			if sd.n < 0 {
				b.t1 = math.Min(b.t1, gap.Lo)
			} else {
				b.t0 = math.Max(b.t0, gap.Hi)
			}
		}
		b.A, b.B = b.at(0, (b.t0+b.t1)/2), b.at(w.Length, (b.t0+b.t1)/2)
		b.Z0, b.Z1 = w.Heights((sd.lo+sd.hi)/2).Hi, decks[sd.n > 0]
		b.Bounds = b.Z0 > b.Z1-h.gap && h.level.kind == KindFloor
		b.open = sd.n == 0 && len(b.stops) == 0 && !b.Bounds
		out = append(out, b)
	}
	return out
}

// bothSides reports whether stops stand on both sides of a gap; one in the gap is on neither.
func bothSides(n int, at func(int) Span, gap Span) bool {
	lo, hi := false, false
	for i := 0; i < n; i++ {
		x, mid := at(i), (gap.Lo+gap.Hi)/2
		switch {
		case x.Lo >= gap.Lo-0.005 && x.Hi <= gap.Hi+0.005:
		case x.Hi < mid+0.002:
			lo = true
		case x.Lo > mid-0.002:
			hi = true
		}
	}
	return lo && hi
}

// draftstopLines groups sheets in one plane into lines.
func (h *horizontal) draftstopLines(sheets []sheet, index *geom.BoxIndex, used map[int]bool, walls []*strip) []*bandLine {
	var list []sheet
	for _, sh := range sheets {
		if h.s.in.Parts[sh.part].Role == RoleDraftstop && !used[sh.part] && sh.thick < 0.2 {
			list = append(list, sh)
		}
	}
	// Order by place, so that the grouping does not depend on the order of elements.
	sort.SliceStable(list, func(i, j int) bool {
		a, b := h.s.f.in(list[i].mid), h.s.f.in(list[j].mid)
		if math.Abs(a.X-b.X) > 1e-6 {
			return a.X < b.X
		}
		return a.Y < b.Y
	})
	near := sheetIndex(list)
	var out []*bandLine
	taken := make([]bool, len(list))
	for i := range list {
		if taken[i] {
			continue
		}
		b := &bandLine{origin: list[i].mid, dir: list[i].dir, s0: -list[i].half, s1: list[i].half, t0: -list[i].thick / 2, t1: list[i].thick / 2}
		b.Kind, b.Separation, b.Wall = LineDraftstop, -1, -1
		b.Z0, b.Z1 = list[i].z0, list[i].z1
		add := func(k int) {
			taken[k] = true
			sh := list[k]
			b.stops = append(b.stops, sh.part)
			s, t := b.local(sh.mid)
			b.s0, b.s1 = math.Min(b.s0, s-sh.half), math.Max(b.s1, s+sh.half)
			b.t0, b.t1 = math.Min(b.t0, t-sh.thick/2), math.Max(b.t1, t+sh.thick/2)
			b.Z0, b.Z1 = math.Min(b.Z0, sh.z0), math.Max(b.Z1, sh.z1)
		}
		add(i)
		for grown := true; grown; {
			grown = false
			for _, k := range near.In(planBox(b.rect()).Grow(sheetStep + 0.1)) {
				sh := list[k]
				if taken[k] || math.Abs(sh.dir.Cross(b.dir)) > 0.02 {
					continue
				}
				s, t := b.local(sh.mid)
				if t+sh.thick/2 > b.t0-0.06 && t-sh.thick/2 < b.t1+0.06 && s-sh.half < b.s1+sheetStep && s+sh.half > b.s0-sheetStep && !apart(b, s-sh.half, s+sh.half, walls) {
					add(k)
					grown = true
				}
			}
		}
		b.A, b.B = b.at(b.s0, (b.t0+b.t1)/2), b.at(b.s1, (b.t0+b.t1)/2)
		h.extend(b, sheets, index, walls)
		out = append(out, b)
	}
	return out
}

// extend lengthens a draftstop line at an end that meets nothing, so that a missing last
// sheet shows as a gap in the line. An end that meets another stop or a wall is left.
func (h *horizontal) extend(b *bandLine, sheets []sheet, index *geom.BoxIndex, walls []*strip) {
	const far = 30.0
	reach := func(s float64, d float64) float64 {
		end := s + d*far
		for _, w := range walls {
			if lo, hi, ok := w.across(b); ok {
				// The sheet may end within the strip, at a block over the middle of the wall.
				if m := (lo + hi) / 2; d > 0 && m > s-0.01 && m < end || d < 0 && m < s+0.01 && m > end {
					end = m
				}
			}
		}
		tip := b.at(s+d*0.10, (b.t0+b.t1)/2)
		for _, k := range index.In(upright(tip, tip).Grow(0.25)) {
			sh := sheets[k]
			if math.Abs(sh.dir.Cross(b.dir)) < 0.7 || h.s.in.Parts[sh.part].Role == RoleJoist {
				continue
			}
			q := tip.Sub(sh.mid)
			if math.Abs(q.Dot(sh.dir)) < sh.half+0.15 && math.Abs(sh.dir.Cross(q)) < sh.thick/2+0.15 {
				return s + d*math.Min(0.10, d*(end-s))
			}
		}
		return end
	}
	s0, s1 := b.s0, b.s1
	b.s0, b.s1 = reach(s0, -1), reach(s1, 1)
}
