package ifctest

import (
	"math"

	"voidcheck/ifcx/geom"
)

// across maps a position along the members (a) and across them (c) to plan.
func (b *builder) across(a, c float64) geom.Vec2 {
	if b.h.Floor.Along == "x" {
		return geom.Vec2{X: a, Y: c}
	}
	return geom.Vec2{X: c, Y: a}
}

// bar returns a box given by its spans along and across the floor members.
func (b *builder) bar(along, acrossSpan, z Span, axis Axis) Prism {
	if b.h.Floor.Along == "x" {
		return Box(along, acrossSpan, z, axis)
	}
	if axis != Z {
		axis = 1 - axis
	}
	return Box(acrossSpan, along, z, axis)
}

// memberRun returns how far the floor members of a unit reach along their own direction: to
// the outer face of the blocks over a double separation, to the rim elsewhere.
func (b *builder) memberRun(u int) Span {
	if b.h.Floor.Along == "y" {
		return b.depthY()
	}
	s := b.voids[u]
	if b.h.Separation.Kind != "single" {
		if u > 0 {
			s.Lo = b.seps[u-1].gap.Hi
		}
		if u < len(b.seps) {
			s.Hi = b.seps[u].gap.Lo
		}
	}
	return s
}

// well returns the spans of the stair well of a unit including its trimmers, along and across
// the members; ok is false when there is none.
func (b *builder) well(u int) (x, y Span, ok bool) {
	s := b.h.Units[u].Stair
	if b.h.Foyer != nil && u == 0 {
		s = b.h.Foyer.well()
	}
	if s == nil {
		return Span{}, Span{}, false
	}
	x0 := b.voids[u].Lo + s.X
	return Span{x0, x0 + s.LX}.grow(TwoBy), Span{s.Y, s.Y + s.LY}.grow(TwoBy), true
}

// wellAlong returns the well in member directions.
func (b *builder) wellAlong(u int) (along, across Span, ok bool) {
	x, y, ok := b.well(u)
	if b.h.Floor.Along == "x" {
		return x, y, ok
	}
	return y, x, ok
}

// floorFraming builds trusses or joists, rims, trimmers and deck of the floor of level k.
func (b *builder) floorFraming(u, k int) {
	run := b.memberRun(u)
	wa, wc, hasWell := b.wellAlong(u)
	z := b.depthSpan(k)
	for _, m := range b.members(u) {
		pieces := []Span{run}
		if hasWell && m.overlaps(wc) {
			pieces = []Span{{run.Lo, wa.Lo}, {wa.Hi, run.Hi}}
		}
		for _, p := range pieces {
			if p.Len() > 0.15 {
				b.floorMember(u, k, p, m, z)
			}
		}
	}
	if hasWell {
		trimmers, headers := []Span{{wc.Lo, wc.Lo + TwoBy}, {wc.Hi - TwoBy, wc.Hi}}, []Span{{wa.Lo, wa.Lo + TwoBy}, {wa.Hi - TwoBy, wa.Hi}}
		if b.h.Foyer != nil && u == 0 { // nothing stands between the foyer and the wall
			if b.h.Floor.Along == "x" {
				headers = headers[1:]
			} else {
				trimmers = trimmers[1:]
			}
		}
		for _, c := range trimmers {
			b.stick(Trimmer, k, nil, b.bar(wa, c, z, X))
		}
		for _, a := range headers {
			b.stick(Header, k, nil, b.bar(a, Span{wc.Lo + TwoBy, wc.Hi - TwoBy}, z, Y))
		}
	}
	b.rims(u, k, z)
	b.deck(u, k)
}

// floorMember builds one truss, joist or I-joist.
func (b *builder) floorMember(u, k int, run, at, z Span) {
	f := b.h.Floor
	switch f.Framing {
	case "joist":
		b.stick(Joist, k, nil, b.bar(run, at, z, X)).Free = true
		return
	case "i-joist":
		p := b.bar(run, at, z, X)
		// the section's height lies along z, whichever axis the box took for it
		p.Profile = Profile{Kind: IShape, W: at.Len(), H: z.Len(), T: 0.375 * Inch, F: f.Chord}
		if math.Abs(p.Frame.Y.Z) < 0.5 {
			p.Frame.X, p.Frame.Y = p.Frame.Y, p.Frame.X.Mul(-1)
		}
		j := b.add(IJoist, k, nil, Lumber, p)
		j.Linear, j.Free = true, true
		return
	}
	t := b.assembly(FloorTruss, k)
	top, bottom := Span{z.Hi - f.Chord, z.Hi}, Span{z.Lo, z.Lo + f.Chord}
	b.stick(TopChord, k, t, b.bar(run, at, top, X)).Free = true
	b.stick(BottomChord, k, t, b.bar(run, at, bottom, X)).Free = true
	inner := Span{bottom.Hi, top.Lo}
	for _, e := range []Span{{run.Lo, run.Lo + TwoBy}, {run.Hi - TwoBy, run.Hi}} {
		b.stick(EndPost, k, t, b.bar(e, at, inner, Z))
	}
	b.webs(k, t, Span{run.Lo + TwoBy, run.Hi - TwoBy}, at, inner)
}

// assembly starts an assembly, or returns nil when the model shows loose members.
func (b *builder) assembly(role Role, k int) *Part {
	if b.h.LooseParts {
		return nil
	}
	return b.add(role, k, nil, Lumber)
}

// chase returns the clear opening left without diagonals near the middle of a truss run, as
// common in floor trusses (common practice, no source).
func chase(run Span) Span {
	n := panels(run)
	w := run.Len() / float64(n)
	i := float64(n / 3)
	return Span{run.Lo + i*w + TwoBy/2, run.Lo + (i+1)*w - TwoBy/2}
}

func panels(run Span) int { return max(3, int(math.Round(run.Len()/0.75))) }

// webs builds the diagonals of one truss, with verticals on both sides of the chase opening.
func (b *builder) webs(k int, t *Part, run, at, z Span) {
	n := panels(run)
	w := run.Len() / float64(n)
	c := chase(run)
	side := b.across(0, 1)
	point := func(a, h float64) geom.Vec3 {
		p := b.across(a, at.Mid())
		return geom.Vec3{X: p.X, Y: p.Y, Z: h}
	}
	for i := range n {
		a0, a1 := run.Lo+float64(i)*w, run.Lo+float64(i+1)*w
		if a0 < c.Mid() && c.Mid() < a1 {
			for _, e := range []Span{{c.Lo - TwoBy, c.Lo}, {c.Hi, c.Hi + TwoBy}} {
				b.stick(Web, k, t, b.bar(e, at, z, Z))
			}
			continue
		}
		p, q := point(a0+TwoBy, z.Lo), point(a1-TwoBy, z.Hi)
		if i%2 == 1 {
			p, q = point(a0+TwoBy, z.Hi), point(a1-TwoBy, z.Lo)
		}
		b.stick(Web, k, t, Stick(p, q, geom.Vec3{X: side.X, Y: side.Y}, at.Len(), TwoBy))
	}
}

// rims builds the rim boards of the outer edges of a unit's floor.
func (b *builder) rims(u, k int, z Span) {
	p := b.platform(u)
	y := b.outerY()
	b.stick(Rim, k, nil, Box(p, Span{y.Lo, 0}, z, X)).Free = true
	b.stick(Rim, k, nil, Box(p, Span{b.h.Depth, y.Hi}, z, X)).Free = true
	if u == 0 {
		for _, s := range b.rimRuns() {
			b.stick(Rim, k, nil, Box(Span{p.Lo, b.voids[u].Lo}, s, z, Y))
		}
	}
	if u == len(b.seps) {
		b.stick(Rim, k, nil, Box(Span{b.voids[u].Hi, p.Hi}, b.depthY(), z, Y))
	}
}

// deck builds the subfloor of level k with the stair well cut out.
func (b *builder) deck(u, k int) {
	z := b.floorZ(k)
	p := b.add(Deck, k, nil, OSB, SheetZ(Span{z - b.h.Floor.Deck, z}, rectRing(b.platform(u), b.outerY())))
	p.Thick = b.h.Floor.Deck
	if x, y, ok := b.well(u); ok {
		x, y = x.grow(-TwoBy), y.grow(-TwoBy)
		if b.h.Foyer != nil && u == 0 {
			x.Lo = b.endRows[0].Lo - 0.01
		}
		hole := Box(x, y, Span{z - 2*b.h.Floor.Deck, z + b.h.Floor.Deck}, Z)
		p.Openings = append(p.Openings, Opening{Solid: hole, Name: "Stair"})
	}
}

// blocking closes the floor void of level k over every separation: blocks between the member
// ends, or boards along the line when the members run beside it.
func (b *builder) blocking(k int) {
	z := b.depthSpan(k)
	for i, s := range b.seps {
		if open := b.take("line-open", func(q Seed) bool { return q.Separation == i && q.Level == k }); open != nil {
			b.lineOpen(*open, i, k)
			continue
		}
		if b.h.NoStops || b.h.LayerPlan.NoEnds {
			b.cells.join(floorCell(i, k), floorCell(i+1, k))
			continue
		}
		sides := []Span{{s.lo, s.lo + TwoBy}, {s.hi - TwoBy, s.hi}}
		units := []int{i, i + 1}
		if b.h.Separation.Kind == "single" {
			sides, units = sides[:1], units[:1]
		}
		for j, x := range sides {
			for bay, y := range b.closures(units[j]) {
				miss := b.take("block-missing", func(q Seed) bool {
					return q.Separation == i && q.Level == k && q.Bay == bay && (q.Side == side(j) || b.h.Separation.Kind == "single")
				})
				if miss != nil {
					b.blockMissing(*miss, i, k, j, x, y)
					continue
				}
				axis := Y
				p := b.stick(Block, k, nil, Box(x, y, z, axis))
				p.Mark = unitLine(i)
			}
		}
	}
}

// closures returns the spans of y that blocks over a unit's side wall fill: the bays between
// members that bear on it; pieces from member to member over a single stud row; boards of at
// most 8 ft when the members run parallel to it.
func (b *builder) closures(u int) []Span {
	if b.h.Floor.Along == "y" || b.h.layersFloors() {
		n := int(math.Ceil(b.h.Depth / (8 * Foot)))
		var out []Span
		for i := range n {
			out = append(out, Span{b.h.Depth * float64(i) / float64(n), b.h.Depth * float64(i+1) / float64(n)})
		}
		return out
	}
	m := b.members(u)
	if b.h.Separation.Kind != "single" {
		return bays(m)
	}
	var out []Span
	for i := 1; i < len(m); i++ {
		lo, hi := m[i-1].Mid(), m[i].Mid()
		if i == 1 {
			lo = 0
		}
		if i == len(m)-1 {
			hi = b.h.Depth
		}
		out = append(out, Span{lo, hi})
	}
	return out
}

// clearBay returns the clear part of a closure between the members at its ends.
func (b *builder) clearBay(u int, y Span) Span {
	if b.h.Floor.Along == "x" && !b.h.layersFloors() {
		for _, c := range bays(b.members(u)) {
			if c.overlaps(y) {
				return c
			}
		}
	}
	return y
}

// ceilings builds the boards under the floor of level k, or under the attic, one for each
// room: they stop at bearing partitions.
func (b *builder) ceilings(u, storey int) {
	if b.h.NoCeilings {
		return
	}
	z := b.plateZ(storey)
	if v := b.h.Vault; v != nil && v.Unit == u && storey == b.h.Storeys-1 {
		b.vaultCeiling(u)
		return
	}
	for _, r := range b.roomFrames(u) {
		var holes [][]geom.Vec2
		outline := rectRing(r.x, r.y)
		if x, y, ok := b.well(u); ok && storey < b.h.Storeys-1 && x.overlaps(r.x) && y.overlaps(r.y) {
			x, y = x.grow(-TwoBy), y.grow(-TwoBy)
			if b.h.Foyer != nil && u == 0 { // the ceiling ends at the foyer
				outline = besideWell(r, x, y)
			} else {
				holes = append(holes, rectRing(x, y))
			}
		}
		p := b.add(Ceiling, storey, nil, GypsumBd, SheetZ(Span{z - b.h.Floor.Ceiling, z}, outline, holes...))
		p.Thick = b.h.Floor.Ceiling
	}
}

// rimRuns are the stretches of the left end wall with a rim board over it.
func (b *builder) rimRuns() []Span {
	if b.h.Foyer == nil {
		return []Span{b.depthY()}
	}
	return without(b.depthY(), []Span{b.foyerRun()})
}

// besideWell is the plan of a room from which a well at its low-x side is cut.
func besideWell(r frame, x, y Span) []geom.Vec2 {
	return append(rectRing(r.x, r.y), geom.Vec2{X: r.x.Lo, Y: y.Hi}, geom.Vec2{X: x.Hi, Y: y.Hi}, geom.Vec2{X: x.Hi, Y: y.Lo}, geom.Vec2{X: r.x.Lo, Y: y.Lo})
}
