package ifctest

import (
	"math"

	"voidcheck/ifcx/geom"
)

// stopLine is one draftstop across a floor void: its thickness across the members.
type stopLine struct {
	sheet  Span // across the members
	member int
}

// draftstopLines returns the lines asked for in a unit, each on the far face of the member
// nearest to the wanted place.
func (b *builder) draftstopLines(u int) []stopLine {
	var out []stopLine
	m := b.members(u)
	from := 0.0
	if b.h.Floor.Along == "y" {
		from = b.voids[u].Lo
	}
	for _, d := range b.h.Units[u].Draftstops {
		best := 0
		for i := range m {
			if math.Abs(m[i].Hi-from-d) < math.Abs(m[best].Hi-from-d) {
				best = i
			}
		}
		out = append(out, stopLine{Span{m[best].Hi, m[best].Hi + HalfGypsum}, best})
	}
	return out
}

// voidAlong returns the extent of a unit's floor void along and across its members.
func (b *builder) voidAlong(u int) (along, across Span) {
	if b.h.Floor.Along == "x" {
		return b.voids[u], b.depthY()
	}
	return b.depthY(), b.voids[u]
}

// draftstops builds the sheets of the floor void of level k in unit u.
func (b *builder) draftstops(u, k int) {
	along, _ := b.voidAlong(u)
	z := b.depthSpan(k)
	for n, line := range b.draftstopLines(u) {
		here := func(q Seed) bool { return q.Unit == u && q.Level == k && q.Index == n }
		if miss := b.take("draftstop-missing", here); miss != nil {
			b.stopMissing(*miss, u, k, line)
			continue
		}
		if b.h.NoStops {
			continue
		}
		runs := []Span{along}
		if wa, wc, ok := b.wellAlong(u); ok && line.sheet.overlaps(wc) {
			runs = without(along, []Span{wa})
		}
		zz := z
		if short := b.take("draftstop-short", here); short != nil {
			zz.Hi -= short.Size
			b.stopShort(*short, u, k, line)
		}
		if gap := b.take("draftstop-gap", here); gap != nil {
			g := Span{along.Lo + gap.At, along.Lo + gap.At + gap.Size}
			b.stopGap(*gap, u, k, line, g)
			var left []Span
			for _, r := range runs {
				left = append(left, without(r, []Span{g})...)
			}
			runs = left
		}
		hole := b.take("draftstop-hole", here)
		for _, r := range runs {
			for _, piece := range sheets(r) {
				b.stopSheet(u, k, line, piece, zz, hole)
			}
		}
		if hole != nil {
			b.stopHole(*hole, u, k, line)
		}
	}
}

// sheets cuts a run into boards of at most 8 ft.
func sheets(r Span) []Span {
	n := max(1, int(math.Ceil(r.Len()/(8*Foot)-1e-9)))
	var out []Span
	for i := range n {
		out = append(out, Span{r.Lo + r.Len()*float64(i)/float64(n), r.Lo + r.Len()*float64(i+1)/float64(n)})
	}
	return out
}

// holeSpans returns the square hole of a seed: in the chase opening, at mid height.
func (b *builder) holeSpans(u, k int, s Seed) (along, z Span) {
	run := b.memberRun(u)
	c := chase(Span{run.Lo + TwoBy, run.Hi - TwoBy})
	zm := b.depthSpan(k).Mid()
	return Span{c.Mid() - s.Size/2, c.Mid() + s.Size/2}, Span{zm - s.Size/2, zm + s.Size/2}
}

// stopSheet builds one board of a draftstop with the part of a hole that falls into it.
func (b *builder) stopSheet(u, k int, line stopLine, run, z Span, hole *Seed) {
	pieces := []Prism{b.bar(run, line.sheet, z, Z)}
	if hole != nil {
		ha, hz := b.holeSpans(u, k, *hole)
		if ha.overlaps(run) {
			cut := Span{max(ha.Lo, run.Lo), min(ha.Hi, run.Hi)}
			pieces = b.boardWithHole(line, run, z, cut, hz)
		}
	}
	p := b.add(Draftstop, k, nil, GypsumBd, pieces...)
	p.Thick, p.Mark = HalfGypsum, unitMark(u)
}

// boardWithHole cuts a rectangle out of a board; a hole inside becomes an inner ring, one at
// an edge a notch.
func (b *builder) boardWithHole(line stopLine, run, z, cut, hz Span) []Prism {
	sheet := func(outline []geom.Vec2, holes ...[]geom.Vec2) Prism {
		if b.h.Floor.Along == "x" {
			return SheetY(line.sheet, outline, holes...)
		}
		return SheetX(line.sheet, outline, holes...)
	}
	if cut.Lo > run.Lo+1e-9 && cut.Hi < run.Hi-1e-9 {
		return []Prism{sheet(rectRing(run, z), rectRing(cut, hz))}
	}
	var out []Prism
	for _, r := range without(run, []Span{cut}) {
		out = append(out, sheet(rectRing(r, z)))
	}
	return append(out, sheet(rectRing(cut, Span{z.Lo, hz.Lo})), sheet(rectRing(cut, Span{hz.Hi, z.Hi})))
}

// floorVoid records the truth of one floor void and its compartments.
func (b *builder) floorVoid(u, k int) {
	along, across := b.voidAlong(u)
	lines := b.draftstopLines(u)
	wa, wc, hasWell := b.wellAlong(u)
	missing := func(n int) bool {
		for _, s := range b.seeds {
			if s.Kind == "draftstop-missing" && s.Unit == u && s.Level == k && s.Index == n {
				return true
			}
		}
		return b.h.NoStops
	}
	var parts []Span
	if b.h.Floor.Framing != "truss" {
		parts = bays(b.members(u))
	} else {
		rest := across
		for n, l := range lines {
			if !missing(n) {
				parts = append(parts, Span{rest.Lo, l.sheet.Lo})
				rest.Lo = l.sheet.Hi
			}
		}
		parts = append(parts, rest)
	}
	area := func(c Span) float64 {
		a := along.Len() * c.Len()
		if hasWell {
			cut := Span{max(c.Lo, wc.Lo), min(c.Hi, wc.Hi)}
			if cut.Hi > cut.Lo {
				a -= cut.Len() * wa.Len()
			}
		}
		return a
	}
	v := Void{Kind: "floor", Level: k, Units: []int{u}, HeightM: b.h.Floor.Depth, Framing: map[string]string{"truss": "open-web-truss", "joist": "solid-joist", "i-joist": "i-joist"}[b.h.Floor.Framing]}
	for _, p := range parts {
		v.Compartments = append(v.Compartments, area(p))
		v.AreaM2 += area(p)
	}
	v.VolumeM3 = v.AreaM2 * v.HeightM
	in := b.across(along.Lo+0.3, across.Lo+b.h.Floor.Width+0.1)
	v.Point = geom.Vec3{X: in.X, Y: in.Y, Z: b.depthSpan(k).Mid()}
	b.m.Truth.Voids = append(b.m.Truth.Voids, v)
}
