package ifctest

import (
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

// along is the axis along which the floor members of a box run.
func (d *Dwelling) memberAxis() Axis {
	if d.Along == "x" {
		return X
	}
	return Y
}

// planMembers returns the floor members of a box, as spans across them.
func (b *planBuilder) planMembers(d int) []Span {
	q := &b.p.Boxes[d]
	_, at := q.across(q.memberAxis())
	at = at.grow(-TwoBy)
	m := memberSpans(at.Len(), b.memberWidth(d), b.h.Floor.Spacing)
	for i := range m {
		m[i] = Span{m[i].Lo + at.Lo, m[i].Hi + at.Lo}
	}
	return m
}

func (b *planBuilder) memberWidth(d int) float64 {
	if f := b.p.Boxes[d].Framing; f == "joist" {
		return TwoBy
	}
	return b.h.Floor.Width
}

// planWell returns the stair well of a box with its trimmers, along and across its members.
func (b *planBuilder) planWell(d int) (along, across Span, ok bool) {
	q := &b.p.Boxes[d]
	if q.Well == nil {
		return Span{}, Span{}, false
	}
	x, y := q.hollow()
	x = Span{x.Lo + q.Well.X, x.Lo + q.Well.X + q.Well.LX}.grow(TwoBy)
	y = Span{y.Lo + q.Well.Y, y.Lo + q.Well.Y + q.Well.LY}.grow(TwoBy)
	along, across = (&Dwelling{X: x, Y: y}).across(q.memberAxis())
	return along, across, true
}

// boxFloor builds the floor under storey k of a box: members, trimmers, rims and blocks, deck, draftstops.
func (b *planBuilder) boxFloor(d, k int) {
	q := &b.p.Boxes[d]
	a, st := q.memberAxis(), b.storey(d, k)
	z := b.depthAt(d, k)
	wa, wc, hasWell := b.planWell(d)
	for _, m := range b.planMembers(d) {
		for _, s := range b.memberPieces(d, m) {
			b.member(d, st, a, s, m, z)
		}
	}
	if hasWell {
		for _, c := range []Span{{wc.Lo, wc.Lo + TwoBy}, {wc.Hi - TwoBy, wc.Hi}} {
			b.stick(Trimmer, st, nil, cuboid(a, wa, c, z, X))
		}
		for _, e := range []Span{{wa.Lo, wa.Lo + TwoBy}, {wa.Hi - TwoBy, wa.Hi}} {
			b.stick(Header, st, nil, cuboid(a, e, Span{wc.Lo + TwoBy, wc.Hi - TwoBy}, z, Y))
		}
	}
	for _, side := range []int{0, 1} {
		for _, axis := range []Axis{X, Y} {
			for _, f := range b.facing(d, axis, side) {
				b.edge(d, k, axis, side, f)
			}
		}
	}
	b.planDeck(d, k)
	b.floorStops(d, k)
}

// memberPieces returns the pieces of a member, cut at the stair well; stubs of 0.15 m and less are left out.
func (b *planBuilder) memberPieces(d int, m Span) []Span {
	run := b.memberReach(d, m)
	pieces := []Span{run}
	if wa, wc, ok := b.planWell(d); ok && m.overlaps(wc) {
		pieces = []Span{{run.Lo, wa.Lo}, {wa.Hi, run.Hi}}
	}
	return slices.DeleteFunc(pieces, func(s Span) bool { return s.Len() <= 0.15 })
}

// memberReach is how far a member runs: on the row of a separation to its far face, elsewhere
// to the rim board.
func (b *planBuilder) memberReach(d int, m Span) Span {
	q := &b.p.Boxes[d]
	a := q.memberAxis()
	s, _ := q.across(a)
	for side := range 2 {
		bears := false
		for _, f := range b.facing(d, a, side) {
			bears = bears || f.party >= 0 && !b.p.shared() && f.run.Lo < m.Mid() && m.Mid() < f.run.Hi
		}
		switch {
		case bears:
		case side == 0:
			s.Lo += TwoBy
		default:
			s.Hi -= TwoBy
		}
	}
	return s
}

// member builds one floor member: run along the axis, at across it.
func (b *planBuilder) member(d, st int, a Axis, run, at, z Span) {
	f := b.h.Floor
	bar := func(run, z Span, dir Axis) Prism { return cuboid(a, run, at, z, dir) }
	switch b.p.Boxes[d].Framing {
	case "joist":
		b.stick(Joist, st, nil, bar(run, z, X)).Free = true
		return
	case "i-joist":
		p := bar(run, z, X)
		p.Profile = Profile{Kind: IShape, W: at.Len(), H: z.Len(), T: 0.375 * Inch, F: f.Chord}
		if math.Abs(p.Frame.Y.Z) < 0.5 {
			p.Frame.X, p.Frame.Y = p.Frame.Y, p.Frame.X.Mul(-1)
		}
		j := b.add(IJoist, st, nil, Lumber, p)
		j.Linear, j.Free = true, true
		return
	case "solid-truss":
		b.bodyTruss(st, a, run, at, z)
		return
	}
	t := b.assembly(FloorTruss, st)
	top, bottom := Span{z.Hi - f.Chord, z.Hi}, Span{z.Lo, z.Lo + f.Chord}
	b.stick(TopChord, st, t, bar(run, top, X)).Free = true
	b.stick(BottomChord, st, t, bar(run, bottom, X)).Free = true
	inner := Span{bottom.Hi, top.Lo}
	for _, e := range []Span{{run.Lo, run.Lo + TwoBy}, {run.Hi - TwoBy, run.Hi}} {
		b.stick(EndPost, st, t, bar(e, inner, Z))
	}
	for _, w := range zigzag(Span{run.Lo + TwoBy, run.Hi - TwoBy}, inner) {
		b.stick(Web, st, t, Stick(spot(a, w[0].X, at.Mid(), w[0].Y), spot(a, w[1].X, at.Mid(), w[1].Y), spot(a, 0, 1, 0), at.Len(), TwoBy))
	}
}

// zigzag returns the axes of the diagonals of a truss with parallel chords, as points (along, z).
func zigzag(run, z Span) [][2]geom.Vec2 {
	n := panels(run)
	w := run.Len() / float64(n)
	var out [][2]geom.Vec2
	for i := range n {
		lo, hi := run.Lo+float64(i)*w+TwoBy, run.Lo+float64(i+1)*w-TwoBy
		p, q := geom.Vec2{X: lo, Y: z.Lo}, geom.Vec2{X: hi, Y: z.Hi}
		if i%2 == 1 {
			p.Y, q.Y = q.Y, p.Y
		}
		out = append(out, [2]geom.Vec2{p, q})
	}
	return out
}

// bodyTruss is a floor truss as one body: chords, posts and verticals cut out of one outline.
func (b *planBuilder) bodyTruss(st int, a Axis, run, at, z Span) {
	n := panels(run)
	c := b.h.Floor.Chord
	var holes [][]geom.Vec2
	w := (run.Len() - TwoBy) / float64(n)
	for i := range n {
		lo := run.Lo + TwoBy + float64(i)*w
		h := rectRing(Span{lo, lo + w - TwoBy}, Span{z.Lo + c, z.Hi - c})
		slices.Reverse(h)
		holes = append(holes, h)
	}
	b.add(BodyTruss, st, nil, Lumber, standing(1-a, at, rectRing(run, z), holes...))
}

// edge closes the floor void of level k along a piece of one side: rim board, or blocks over
// a separation.
func (b *planBuilder) edge(d, k int, a Axis, side int, f facing) {
	q := &b.p.Boxes[d]
	st, z, strip := b.storey(d, k), b.depthAt(d, k), q.rimStrip(a, side)
	run := b.edgeRun(d, a, f.run)
	if f.party < 0 {
		b.stick(Rim, st, nil, cuboid(a, strip, run, z, Y)).Free = true
		return
	}
	if b.p.shared() && side == 0 {
		return // the other box has closed it
	}
	if b.take("line-open", func(s Seed) bool { return s.Separation == f.party && s.Level == k }) != nil {
		if side == 1 {
			b.planLineOpen(f.party, k)
		}
		return
	}
	for n, s := range b.closing(d, a, side, run) {
		if miss := b.take("block-missing", func(s Seed) bool {
			return s.Separation == f.party && s.Level == k && s.Side == sideOf(side) && s.Bay == n
		}); miss != nil {
			b.planBlockMissing(*miss, d, k, f.party, side, s)
			continue
		}
		p := b.stick(Block, st, nil, cuboid(a, strip, s, z, Y))
		p.Mark = unitMark(d)
	}
}

// sideOf names the box of a party by the side that it turns to the strip.
func sideOf(side int) string { return [2]string{"high", "low"}[side] }

// edgeRun is a piece of a side without the corners that the rims across the other axis fill.
func (b *planBuilder) edgeRun(d int, a Axis, run Span) Span {
	if a == Y {
		return run
	}
	q := &b.p.Boxes[d]
	return Span{max(run.Lo, q.Y.Lo+TwoBy), min(run.Hi, q.Y.Hi-TwoBy)}
}

// closing returns the blocks along a piece of a side: between the members that bear there,
// with what is left at the ends of the piece; boards of at most 8 ft beside members. Where a stair
// well leaves no member at the line, a block goes on past it.
func (b *planBuilder) closing(d int, a Axis, side int, run Span) []Span {
	if b.p.Boxes[d].memberAxis() != a || b.p.shared() {
		return sheets(run)
	}
	strip := b.p.Boxes[d].rimStrip(a, side)
	bear := slices.DeleteFunc(b.planMembers(d), func(m Span) bool {
		return !slices.ContainsFunc(b.memberPieces(d, m), strip.overlaps)
	})
	return without(run, bear)
}

// planDeck builds the deck of level k.
func (b *planBuilder) planDeck(d, k int) {
	q := &b.p.Boxes[d]
	z := b.floorAt(d, k)
	x, y := q.X, q.Y
	if b.p.shared() {
		for _, p := range b.p.Parties {
			s := &x
			if p.Axis == Y {
				s = &y
			}
			if p.A == d {
				s.Hi = p.Gap.Mid()
			}
			if p.B == d {
				s.Lo = p.Gap.Mid()
			}
		}
	}
	p := b.add(Deck, b.storey(d, k), nil, OSB, SheetZ(Span{z - b.h.Floor.Deck, z}, rectRing(x, y)))
	p.Thick = b.h.Floor.Deck
	if wa, wc, ok := b.planWell(d); ok {
		hole := cuboid(q.memberAxis(), wa.grow(-TwoBy), wc.grow(-TwoBy), Span{z - 2*b.h.Floor.Deck, z + b.h.Floor.Deck}, Z)
		p.Openings = append(p.Openings, Opening{Solid: hole, Name: "Stair"})
	}
}

// floorStops builds the draftstops in the floor void of level k and records the void.
func (b *planBuilder) floorStops(d, k int) {
	q := &b.p.Boxes[d]
	a, z := q.memberAxis(), b.depthAt(d, k)
	along, across := q.across(a)
	along, across = along.grow(-TwoBy), across.grow(-TwoBy)
	m := b.planMembers(d)
	v := Void{Kind: "floor", Level: k, Units: b.touching(d, k), HeightM: z.Len(), Point: spot(a, along.Lo+0.3, across.Lo+b.memberWidth(d)+0.1, z.Mid())}
	v.Framing = map[string]string{"truss": "open-web-truss", "solid-truss": "open-web-truss", "joist": "solid-joist", "i-joist": "i-joist"}[q.Framing]
	from := across.Lo
	part := func(hi float64) {
		v.Compartments = append(v.Compartments, along.Len()*(hi-from))
		v.AreaM2 += along.Len() * (hi - from)
	}
	for n, at := range q.Stops {
		line := m[0]
		for _, s := range m {
			if math.Abs(s.Hi-across.Lo-at) < math.Abs(line.Hi-across.Lo-at) {
				line = s
			}
		}
		sheet := Span{line.Hi, line.Hi + HalfGypsum}
		here := func(s Seed) bool { return s.Unit == d && s.Level == k && s.Index == n }
		if miss := b.take("draftstop-missing", here); miss != nil {
			b.planDefect(Defect{Seed: *miss, Level: k, Units: v.Units, Point: spot(a, along.Mid(), sheet.Mid(), z.Mid()), Checks: []string{"floor-draftstop-area"}, AreaM2: along.Len() * across.Len()})
			continue
		}
		runs, zz := []Span{along}, z
		if gap := b.take("draftstop-gap", here); gap != nil {
			g := Span{along.Lo + gap.At, along.Lo + gap.At + gap.Size}
			runs = without(along, []Span{g})
			b.planDefect(Defect{Seed: *gap, Level: k, Units: v.Units, Point: spot(a, g.Mid(), sheet.Mid(), z.Mid()), Checks: []string{"draftstop-complete"}, WidthM: g.Len(), HeightM: z.Len() - 2*b.h.Floor.Chord})
		}
		if short := b.take("draftstop-short", here); short != nil {
			zz.Hi -= short.Size
			open := short.Size - b.h.Floor.Chord
			b.planDefect(Defect{Seed: *short, Level: k, Units: v.Units, Point: spot(a, along.Mid(), sheet.Mid(), zz.Hi+open/2), Checks: []string{"draftstop-complete"}, WidthM: along.Len(), HeightM: open})
		}
		for _, r := range runs {
			for _, s := range sheets(r) {
				p := b.add(Draftstop, b.storey(d, k), nil, GypsumBd, cuboid(a, s, sheet, zz, Z))
				p.Thick, p.Mark = HalfGypsum, unitMark(d)
			}
		}
		part(sheet.Lo)
		from = sheet.Hi
	}
	part(across.Hi)
	v.VolumeM3 = v.AreaM2 * v.HeightM
	b.m.Truth.Voids = append(b.m.Truth.Voids, v)
}

// touching returns the units below and above the floor void of level k of a box.
func (b *planBuilder) touching(d, k int) []int {
	var out []int
	for _, u := range b.p.Boxes[d].Units[k-1 : k+1] {
		if u >= 0 && !slices.Contains(out, u) {
			out = append(out, u)
		}
	}
	return out
}
