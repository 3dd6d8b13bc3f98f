package ifctest

import (
	"math"

	"voidcheck/ifcx/geom"
)

func (b *planBuilder) atticLeftOpen(i int) bool {
	for _, s := range b.seeds {
		if s.Kind == "attic-open" && s.Separation == i {
			return true
		}
	}
	return false
}

// shortBy is how far wall or sheet end below the sheathing at a party.
func (b *planBuilder) shortBy(i int) float64 {
	for _, s := range b.seeds {
		if s.Kind == "attic-short" && s.Separation == i {
			return s.Size
		}
	}
	return 0
}

// dividesBy tells how the attics on both sides of a party are divided: "wall", "sheet", "core" or "none".
func (b *planBuilder) dividesBy(i int) string {
	p := b.p.Parties[i]
	switch {
	case b.p.Wall == "furred" || b.p.Wall == "masonry":
		return "core"
	case b.p.Boxes[p.A].Roof != b.p.Boxes[p.B].Roof:
		return "wall"
	case b.atticLeftOpen(i):
		return "none"
	case b.p.sloped(p.A): // rooms reach up beside it: a sheet would leave them open over the plates
		return "wall"
	}
	return b.p.Attic
}

// sloped reports whether the ceiling of the top storey of a box slopes.
func (p *Plan) sloped(d int) bool {
	a := p.Roofs[p.Boxes[d].Roof].Attic
	return a == "scissor" || a == "cathedral"
}

// atticRoom is the plan of the attic of a box, between the inside faces of what bounds it.
func (b *planBuilder) atticRoom(d int) (x, y Span) {
	q := &b.p.Boxes[d]
	edge := func(a Axis, side int) float64 {
		s, _ := q.across(a)
		at, sign := []float64{s.Lo, s.Hi}[side], []float64{1, -1}[side]
		gable := highest(b.roofs[q.Roof].profile(a, Span{at, at}, b.along(d, a))) > b.eaves(d)+0.15
		in := TwoBy
		for _, f := range b.facing(d, a, side) {
			if f.party < 0 {
				if gable {
					in = 0
				}
				continue
			}
			gable = false
			switch b.dividesBy(f.party) {
			case "wall":
				in = q.Stud + FiveEighth
			case "core":
				in = b.toCore()
			default:
				in = sign * (b.p.Parties[f.party].Gap.Mid() - at + sign*HalfGypsum/2)
			}
		}
		return at + sign*in
	}
	return Span{edge(X, 0), edge(X, 1)}, Span{edge(Y, 0), edge(Y, 1)}
}

// toCore is how far the masonry of a separation stands from the studs beside it, against the room.
func (b *planBuilder) toCore() float64 {
	if b.p.Wall == "furred" {
		return -Inch
	}
	return 0
}

func (b *planBuilder) along(d int, a Axis) Span {
	_, s := b.p.Boxes[d].across(a)
	return s
}

// eaves is the height of the roof over the inside of the eave board.
func (b *planBuilder) eaves(d int) float64 {
	r := &b.p.Roofs[b.p.Boxes[d].Roof]
	return r.Plate + r.Heel
}

// boxAttic closes the edges of the attic of a box and frames its roof.
func (b *planBuilder) boxAttic(d int) {
	for _, a := range []Axis{X, Y} {
		for side := range 2 {
			for _, f := range b.facing(d, a, side) {
				if f.party < 0 {
					b.atticEdge(d, a, side, f)
				} else {
					b.atticParty(d, a, side, f)
				}
			}
		}
	}
	b.roofFraming(d)
	b.atticStops(d)
}

// atticEdge closes the attic along a piece of an outer side: a gable frame where the roof
// rises there, an eave board elsewhere.
func (b *planBuilder) atticEdge(d int, a Axis, side int, f facing) {
	q := &b.p.Boxes[d]
	top := b.topOf(d)
	st, pz := b.storey(d, top), b.plateAt(d, top)
	field := b.roofs[q.Roof]
	row := q.row(a, side)
	run := b.atticRun(d, a, side, f)
	if run.Len() < TwoBy {
		return // beside a unit set back a little: the corner takes it up
	}
	if profile := field.profile(a, row, run); highest(profile) > b.eaves(d)+0.15 {
		w := b.planWall(d, top, a, side, f)
		b.atticFrame(w, st, a, row, run, field, pz, 0, nil)
		if b.ceilingLine(d) != nil {
			g := b.add(Gypsum, st, w, GypsumBd, field.upTo(a, b.attachedBoard(d, a, side, HalfGypsum), run, pz, 0)...)
			g.Thick = HalfGypsum
		}
		return
	}
	strip := q.rimStrip(a, side)
	b.add(EaveBoard, st, nil, Lumber, field.upTo(a, strip, run, pz, 0)...)
}

// atticRun is the part of a piece of a side that belongs to it in the attic: separations run
// through at the corners, those across x before those across y, and boards of the eaves across y before those across x.
func (b *planBuilder) atticRun(d int, a Axis, side int, f facing) Span {
	_, full := b.p.Boxes[d].across(a)
	run := f.run
	end := func(e int) float64 {
		var in float64
		for _, g := range b.facing(d, 1-a, e) {
			at, _ := b.p.Boxes[d].across(a)
			near := side == 0 && g.run.Lo < at.Lo+1e-6 || side == 1 && g.run.Hi > at.Hi-1e-6 // the corner
			switch {
			case g.party >= 0 && near && b.dividesBy(g.party) == "wall" && (a == Y || f.party < 0):
				in = max(in, b.p.Boxes[d].Stud+FiveEighth)
			case g.party >= 0 && near && b.dividesBy(g.party) == "core":
				return b.toCore()
			case a == X && f.party < 0:
				in = max(in, TwoBy)
			}
		}
		return in
	}
	if run.Lo < full.Lo+1e-6 {
		run.Lo += end(0)
	}
	if run.Hi > full.Hi-1e-6 {
		run.Hi -= end(1)
	}
	return run
}

// attachedBoard is the strip of a board on the inner face of a row.
func (b *planBuilder) attachedBoard(d int, a Axis, side int, t float64) Span {
	row := b.p.Boxes[d].row(a, side)
	if side == 0 {
		return Span{row.Hi, row.Hi + t}
	}
	return Span{row.Lo - t, row.Lo}
}

// atticFrame stands studs with plates along the slopes on a row, drop below the roof.
func (b *planBuilder) atticFrame(w *Part, st int, a Axis, row, run Span, field roofField, pz, drop float64, extra []float64) {
	for _, s := range field.straight(a, row, run) {
		p := field.profile(a, row, s)
		cv := TwoBy * math.Hypot(1, (p[len(p)-1].Y-p[0].Y)/s.Len())
		if min(p[0].Y, p[len(p)-1].Y)-drop-cv < pz {
			continue
		}
		b.stick(TopPlate, st, w, field.lath(a, row, s, drop, cv))
	}
	at := append([]float64(nil), extra...)
	for _, s := range studPositions(run, 24*Inch) {
		clear := true
		for _, e := range extra {
			clear = clear && math.Abs(e-s) > 0.1
		}
		if clear {
			at = append(at, s)
		}
	}
	for _, s := range at {
		part := field.profile(a, row, Span{s, s + TwoBy})
		cv := TwoBy * math.Hypot(1, (part[len(part)-1].Y-part[0].Y)/TwoBy)
		if out := under(part, pz, drop+cv); out[2].Y > pz+0.02 && out[len(out)-1].Y > pz+0.02 {
			b.stick(GableStud, st, w, standing(a, row, out))
		}
	}
}

// cut returns the part of a profile over a span.
func cut(p []geom.Vec2, s Span) []geom.Vec2 {
	at := func(t float64) float64 {
		for i := 1; i < len(p); i++ {
			if t <= p[i].X+1e-9 {
				return p[i-1].Y + (p[i].Y-p[i-1].Y)*(t-p[i-1].X)/(p[i].X-p[i-1].X)
			}
		}
		return p[len(p)-1].Y
	}
	out := []geom.Vec2{{X: s.Lo, Y: at(s.Lo)}}
	for _, v := range p {
		if v.X > s.Lo+1e-6 && v.X < s.Hi-1e-6 {
			out = append(out, v)
		}
	}
	return append(out, geom.Vec2{X: s.Hi, Y: at(s.Hi)})
}

// atticParty divides the attic at a party: rows with boards up to the roof of their own box, or a sheet.
func (b *planBuilder) atticParty(d int, a Axis, side int, f facing) {
	q := &b.p.Boxes[d]
	i := f.party
	p := b.p.Parties[i]
	top := b.topOf(d)
	st, pz := b.storey(d, top), b.plateAt(d, top)
	field := b.roofs[q.Roof]
	run := b.atticRun(d, a, side, f)
	drop := 0.0
	if q := b.take("attic-short", func(s Seed) bool { return s.Separation == i }); q != nil {
		drop = q.Size
		if side == 1 {
			b.planAtticShort(*q, i)
		}
	}
	if q := b.take("row-short", func(s Seed) bool { return s.Separation == i && s.Side == sideOf(side) }); q != nil {
		drop = q.Size
		b.rowShort(*q, d, i, side)
	}
	if q := b.take("attic-open", func(s Seed) bool { return s.Separation == i }); q != nil && side == 1 {
		b.planAtticOpen(*q, i)
	}
	switch b.dividesBy(i) {
	case "sheet":
		if side == 1 {
			across := Span{p.Gap.Mid() - HalfGypsum/2, p.Gap.Mid() + HalfGypsum/2}
			s := b.add(AtticStop, st, nil, GypsumBd, field.upTo(a, across, run, pz, drop)...)
			s.Thick, s.Mark = HalfGypsum, unitMark(d)
		}
	case "wall":
		w := b.planWall(d, top, a, side, f)
		row := q.row(a, side)
		if b.p.shared() {
			row = b.sharedRow(i)
		}
		if !b.p.shared() || side == 1 {
			b.atticFrame(w, st, a, row, run, field, pz, drop, b.uprightsAt(i))
		}
		board := b.attachedBoard(d, a, side, FiveEighth)
		g := b.add(Gypsum, st, w, GypsumX, field.upTo(a, board, run, pz, drop)...)
		g.Thick = FiveEighth
		b.exposed(w, d, a, side, f)
	}
}

// exposed sheathes the outer face of a row where it rises above the roof next door.
func (b *planBuilder) exposed(w *Part, d int, a Axis, side int, f facing) {
	q := &b.p.Boxes[d]
	p := b.p.Parties[f.party]
	other := b.boxOn(f.party, 1-side)
	if b.p.Boxes[other].Roof == q.Roof || b.p.shared() {
		return
	}
	s, _ := q.across(a)
	across := Span{s.Lo - SidePanel, s.Lo}
	if side == 1 {
		across = Span{s.Hi, s.Hi + SidePanel}
	}
	own := b.roofs[q.Roof].profile(a, across, p.Run)
	next := b.roofs[b.p.Boxes[other].Roof].profile(a, across, p.Run)
	at := []float64{}
	for _, v := range append(append([]geom.Vec2(nil), own...), next...) {
		at = append(at, v.X)
	}
	st := b.storey(d, b.topOf(d))
	for _, r := range spansOf(at) {
		o, n := cut(own, r), cut(next, r)
		if o[0].Y+o[1].Y < n[0].Y+n[1].Y+0.01 {
			continue
		}
		ring := []geom.Vec2{{X: r.Lo, Y: min(n[0].Y, o[0].Y)}, {X: r.Hi, Y: min(n[1].Y, o[1].Y)}, {X: r.Hi, Y: o[1].Y + 1e-6}, {X: r.Lo, Y: o[0].Y + 1e-6}}
		g := b.add(Sheathing, st, w, OSB, standing(a, across, ring))
		g.Thick = SidePanel
	}
}

// boxCeiling builds the ceiling of a storey, level or along the underside of the roof framing.
func (b *planBuilder) boxCeiling(d, k int) {
	for _, s := range b.p.Bare {
		if s == [2]int{d, k} {
			b.bareFloor(d, k)
			return
		}
	}
	q := &b.p.Boxes[d]
	x, y := q.frame()
	z := b.plateAt(d, k)
	t := b.h.Floor.Ceiling
	if line := b.ceilingLine(d); k == b.topOf(d) && line != nil {
		a, run := X, y
		if b.p.Roofs[q.Roof].Ridge == "y" {
			a, run = Y, x
		}
		across, _ := (&Dwelling{X: x, Y: y}).across(a)
		p := line(run)
		for n := 1; n < len(p); n++ {
			l, r := p[n-1], p[n]
			c := b.add(Ceiling, b.storey(d, k), nil, GypsumBd, standing(a, across, []geom.Vec2{{X: l.X, Y: l.Y - t}, {X: r.X, Y: r.Y - t}, r, l}))
			c.Thick = t
		}
		return
	}
	var holes [][]geom.Vec2
	if wa, wc, ok := b.planWell(d); ok && k < b.topOf(d) {
		in := &Dwelling{X: wa.grow(-TwoBy), Y: wc.grow(-TwoBy)}
		hx, hy := in.across(q.memberAxis())
		holes = append(holes, rectRing(hx, hy))
	}
	c := b.add(Ceiling, b.storey(d, k), nil, GypsumBd, SheetZ(Span{z - t, z}, rectRing(x, y), holes...))
	c.Thick = t
}
