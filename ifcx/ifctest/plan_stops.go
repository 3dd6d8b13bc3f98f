package ifctest

import (
	"fmt"
	"math"

	"voidcheck/ifcx/geom"
)

// partySpot is a place at the top of a party, open below the roof.
func (b *planBuilder) partySpot(i int, below float64) geom.Vec3 {
	p := b.p.Parties[i]
	along := p.Run.Lo + p.Run.Len()*0.4
	q := spot(p.Axis, p.Gap.Mid(), along, 0)
	return pt(q.X, q.Y, b.roofs[b.p.Boxes[p.A].Roof].z(q.X, q.Y)-below)
}

// beside reports whether roof framing runs along a party, so that its top chord stands against the wall.
func (b *planBuilder) beside(i int) bool {
	p := b.p.Parties[i]
	return b.p.Roofs[b.p.Boxes[p.A].Roof].ridgeAxis() == p.Axis
}

// chordPlumb is how deep the top chords or rafters of a box are, measured plumb.
func (b *planBuilder) chordPlumb(d int) float64 {
	r := &b.p.Roofs[b.p.Boxes[d].Roof]
	deep := FourWide
	switch r.Attic {
	case "rafter":
		deep = SixWide
	case "cathedral":
		deep = rafterDepth
	}
	return deep * math.Hypot(1, r.Pitch)
}

// planAtticShort: wall or sheet of a party end below the sheathing.
func (b *planBuilder) planAtticShort(q Seed, i int) {
	p := b.p.Parties[i]
	open := q.Size
	if b.p.Attic == "sheet" && b.beside(i) {
		open -= b.chordPlumb(p.A)
	}
	d := Defect{Seed: q, Level: b.topOf(p.A), Units: b.partyUnits(i, 99), Point: b.partySpot(i, q.Size-open/2),
		Checks: []string{"separation-continuity", "attic-draftstop-line", "draftstop-complete"}, Also: []string{"void-junction"}, WidthM: p.Run.Len(), HeightM: open}
	if !b.beside(i) || b.p.Attic == "sheet" || q.Size-b.chordPlumb(p.A) > 0.5*Inch {
		d.Joins = [][2]string{{planAttic(p.A), planAttic(p.B)}}
	}
	b.planDefect(d)
}

// planAtticOpen: nothing divides the attics over a party.
func (b *planBuilder) planAtticOpen(q Seed, i int) {
	p := b.p.Parties[i]
	at := b.partySpot(i, 0)
	h := at.Z - b.plateAt(p.A, b.topOf(p.A))
	at.Z -= h / 2
	b.planDefect(Defect{Seed: q, Level: b.topOf(p.A), Units: b.partyUnits(i, 99), Point: at, Checks: []string{"attic-draftstop-line", "separation-continuity", "separation-spread"},
		WidthM: p.Run.Len(), HeightM: h, Joins: [][2]string{{planAttic(p.A), planAttic(p.B)}}})
}

// rowShort: one of the two rows of a wall, with its board, ends below the sheathing; the other reaches it.
func (b *planBuilder) rowShort(q Seed, d, i, side int) {
	p := b.p.Parties[i]
	row := b.p.Boxes[d].row(p.Axis, side)
	at := b.partySpot(i, q.Size/2)
	if p.Axis == X {
		at.X = row.Mid()
	} else {
		at.Y = row.Mid()
	}
	own, next := b.roofs[b.p.Boxes[d].Roof], b.roofs[b.p.Boxes[b.boxOn(i, 1-side)].Roof]
	for n := range 20 { // what stands above the roof next door is an outer wall
		v := spot(p.Axis, p.Gap.Mid(), p.Run.Lo+p.Run.Len()*(float64(n)+0.5)/20, 0)
		if own.z(v.X, v.Y)-q.Size > next.z(v.X, v.Y)-0.02 {
			b.err = fmt.Errorf("plan %q: %+v lies above the roof next door", b.p.Style.Name, q)
		}
	}
	x := Defect{Seed: q, Level: b.topOf(d), Units: b.partyUnits(i, 99), Point: at, Checks: []string{"void-junction", "separation-continuity", "attic-draftstop-line"},
		WidthM: p.Run.Len(), HeightM: q.Size}
	if !b.beside(i) || q.Size-b.chordPlumb(d) > 0.5*Inch {
		top := b.plateAt(d, b.topOf(d))
		for _, c := range b.cavityCells(i, side, p.Run, Span{top + 0.02, top + 0.05}) {
			x.Joins = append(x.Joins, [2]string{planAttic(d), c})
		}
	}
	b.planDefect(x)
}

// atticStops builds the draftstops in the attic of a box, across its ridge, and records the void.
func (b *planBuilder) atticStops(d int) {
	q := &b.p.Boxes[d]
	r := &b.p.Roofs[q.Roof]
	u := q.Units[b.topOf(d)]
	if u < 0 || r.Attic == "cathedral" {
		return
	}
	a, top := r.ridgeAxis(), b.topOf(d)
	st, pz := b.storey(d, top), b.plateAt(d, top)
	x, y := b.atticRoom(d)
	at, run := (&Dwelling{X: x, Y: y}).across(a)
	fx, fy := b.framingRoom(d)
	fat, frun := (&Dwelling{X: fx, Y: fy}).across(a)
	members := memberSpans(fat.Len(), TwoBy, b.h.Roof.Spacing)
	v := Void{Kind: "attic", Level: top, Units: []int{u}, AreaM2: x.Len() * y.Len(), Point: pt(x.Lo+0.3, y.Mid(), pz+0.15)}
	from := at.Lo
	for n, want := range q.AtticStops {
		face := fat.Lo + members[0].Hi
		for _, m := range members {
			if math.Abs(fat.Lo+m.Hi-at.Lo-want) < math.Abs(face-at.Lo-want) {
				face = fat.Lo + m.Hi
			}
		}
		sheet := Span{face, face + HalfGypsum}
		here := func(s Seed) bool { return s.Unit == d && s.Index == n }
		if miss := b.take("attic-stop-missing", here); miss != nil {
			b.planDefect(Defect{Seed: *miss, Level: top, Units: v.Units, Point: spot(a, sheet.Mid(), run.Mid(), pz+0.3), Checks: []string{"attic-draftstop-area"}, AreaM2: v.AreaM2})
			continue
		}
		profile := b.roofs[q.Roof].profile(a, sheet, run)
		outline, drop := []geom.Vec2(nil), 0.0
		if short := b.take("attic-stop-short", here); short != nil {
			drop = short.Size
			open := drop - b.chordPlumb(d)
			mid := cut(profile, Span{run.Mid() - 0.01, run.Mid() + 0.01})[0].Y
			b.planDefect(Defect{Seed: *short, Level: top, Units: v.Units, Point: spot(a, sheet.Mid(), run.Mid(), mid-drop+open/2), Checks: []string{"draftstop-complete"}, WidthM: run.Len(), HeightM: open})
		}
		outline = under(profile, pz, drop)
		if line := b.ceilingLine(d); line != nil {
			rx, ry := q.frame()
			_, in := (&Dwelling{X: rx, Y: ry}).across(a)
			in = Span{max(run.Lo, in.Lo), min(run.Hi, in.Hi)}
			outline = append(outline[2:], geom.Vec2{X: run.Lo, Y: pz}, geom.Vec2{X: in.Lo, Y: pz})
			outline = append(append(outline, line(in)...), geom.Vec2{X: in.Hi, Y: pz}, geom.Vec2{X: run.Hi, Y: pz})
		}
		p := b.add(AtticStop, st, nil, GypsumBd, standing(a, sheet, outline))
		p.Thick, p.Mark = HalfGypsum, unitMark(d)
		if hole := b.take("attic-stop-hole", here); hole != nil {
			panel := frun.Len() / max(3, math.Round(frun.Len()/1.8))
			s := Span{frun.Lo + 0.6*panel - hole.Size/2, frun.Lo + 0.6*panel + hole.Size/2}
			z := Span{pz + 0.11, pz + 0.11 + hole.Size}
			p.Openings = append(p.Openings, Opening{Solid: cuboid(a, sheet.grow(0.02), s, z, Z), Name: "Access"})
			b.planDefect(Defect{Seed: *hole, Level: top, Units: v.Units, Point: spot(a, sheet.Mid(), s.Mid(), z.Mid()), Checks: []string{"draftstop-complete", "draftstop-door"}, WidthM: s.Len(), HeightM: z.Len()})
		}
		v.Compartments = append(v.Compartments, (sheet.Lo-from)*run.Len())
		from = sheet.Hi
	}
	v.Compartments = append(v.Compartments, (at.Hi-from)*run.Len())
	b.m.Truth.Voids = append(b.m.Truth.Voids, v)
}

// bareFloor records floor framing without a board below: one is wanted but under joists of 2x10
// and deeper, or over not more than 80 ft2 (IRC R302.13).
func (b *planBuilder) bareFloor(d, k int) {
	q := &b.p.Boxes[d]
	x, y := q.frame()
	if area := x.Len() * y.Len(); k < b.topOf(d) && q.Framing != "joist" && area > 80*Foot*Foot {
		b.planDefect(Defect{Seed: Seed{Kind: "no-ceiling", Unit: d, Level: k}, Level: k + 1, Units: b.touching(d, k+1), Point: pt(x.Mid(), y.Mid(), b.plateAt(d, k)),
			Checks: []string{"floor-membrane"}, AreaM2: area})
	}
}
