package ifctest

import (
	"math"

	"voidcheck/ifcx/geom"
)

// plumb returns the plumb depth of a roof member of the given depth.
func (b *builder) plumb(depth float64) float64 {
	return depth * math.Hypot(1, b.h.Roof.Pitch)
}

// atticClosed tells how the attic is divided at separation i: "wall", "sheet" or "none".
func (b *builder) atticClosed(i int) string {
	for _, s := range b.seeds {
		if s.Kind == "attic-open" && s.Separation == i {
			return "none"
		}
	}
	if b.h.NoStops && b.h.Separation.Attic == "sheet" {
		return "none"
	}
	return b.h.Separation.Attic
}

// atticX returns the attic of a unit along the row, between inside faces; where nothing
// divides it, to the middle of the separation below.
func (b *builder) atticX(u int) Span {
	s := Span{b.endRows[0].Lo, b.endRows[1].Hi}
	if gap, _ := b.furredGap(); b.h.Furred { // the frame of the gable stands in the attic
		s.Hi = gap.Hi
	}
	if b.h.layersWalls() {
		s = Span{b.endRows[0].Hi + HalfGypsum, b.endRows[1].Lo - HalfGypsum}
	}
	edge := func(i, j int) float64 {
		sign := float64(1 - 2*j) // +1 on the low side of the unit
		switch b.atticClosed(i) {
		case "wall":
			row := b.rowSide[j][u]
			return [2]float64{row.Hi, row.Lo}[j] + sign*b.h.Separation.Gypsum
		case "sheet":
			return b.seps[i].mid() + sign*HalfGypsum/2
		}
		return b.seps[i].mid()
	}
	if u > 0 {
		s.Lo = edge(u-1, 0)
	}
	if u < len(b.seps) {
		s.Hi = edge(u, 1)
	}
	return s
}

// attic builds roof trusses, gable and separation walls, eave boards and roof sheathing.
func (b *builder) attic() {
	top := b.h.Storeys - 1
	for u := range b.h.Units {
		b.roofTrusses(u)
		x := b.platform(u)
		for i := u - 1; i <= u; i++ {
			if i < 0 || i >= len(b.seps) || b.atticClosed(i) == "wall" {
				continue
			}
			if i < u {
				x.Lo = b.seps[i].mid()
			} else {
				x.Hi = b.seps[i].mid()
			}
		}
		yo := b.outerY()
		for _, y := range []Span{{yo.Lo, 0}, {b.h.Depth, yo.Hi}} {
			b.add(EaveBoard, top, nil, Lumber, SheetX(x, b.roofOutline(y, b.plateZ(top), 0)))
		}
	}
	for j, row := range b.endRows {
		if b.h.layersWalls() {
			break // the end walls themselves go on to the roof
		}
		b.gableFrame(b.sideWall(j*len(b.seps), j, top), row, 0)
	}
	for i := range b.seps {
		b.atticLine(i)
	}
	b.roofPanels()
}

// roofTrusses sets out the trusses over a unit.
func (b *builder) roofTrusses(u int) {
	x := b.trussRun(u)
	for _, m := range memberSpans(x.Len(), TwoBy, b.h.Roof.Spacing) {
		if at := (Span{m.Lo + x.Lo, m.Hi + x.Lo}); b.vaulted(u, at.Mid()) {
			b.scissorTruss(at)
		} else {
			b.roofTruss(at)
		}
	}
}

// trussRun is the part of the attic of a unit in which trusses stand, clear of gable and separation frames.
func (b *builder) trussRun(u int) Span {
	x := b.atticX(u)
	ends := Span{max(x.Lo, b.endRows[0].Hi), min(x.Hi, b.endRows[1].Lo)}
	if u == 0 {
		x.Lo = ends.Lo
	} else if b.atticClosed(u-1) == "none" {
		x.Lo += 0.1
	}
	if u == len(b.seps) {
		x.Hi = ends.Hi
	} else if b.atticClosed(u) == "none" {
		x.Hi -= 0.1
	}
	return x
}

// roofTruss builds one truss over the depth of the house.
func (b *builder) roofTruss(x Span) {
	top := b.h.Storeys - 1
	d, pz, cv := b.h.Depth, b.plateZ(top), b.plumb(FourWide)
	t := b.assembly(RoofTruss, top)
	chordAt := func(y Span) {
		b.stick(TopChord, top, t, SheetX(x, []geom.Vec2{{X: y.Lo, Y: b.roofZ(y.Lo) - cv}, {X: y.Hi, Y: b.roofZ(y.Hi) - cv},
			{X: y.Hi, Y: b.roofZ(y.Hi)}, {X: y.Lo, Y: b.roofZ(y.Lo)}}))
	}
	web := func(y0, y1 float64) {
		if b.roofZ(y1)-cv-pz-FourWide < 0.15 {
			return
		}
		b.stick(Web, top, t, Stick(geom.Vec3{X: x.Mid(), Y: y0, Z: pz + FourWide}, geom.Vec3{X: x.Mid(), Y: y1, Z: b.roofZ(y1) - cv},
			geom.Vec3{X: 1}, TwoBy, FourWide))
	}
	b.stick(BottomChord, top, t, Box(x, b.depthY(), Span{pz, pz + FourWide}, Y))
	if b.h.Roof.Kind == "gable" {
		chordAt(Span{0, d / 2})
		chordAt(Span{d / 2, d})
		for _, w := range [][2]float64{{d / 3, d / 4}, {d / 3, d / 2}, {2 * d / 3, d / 2}, {2 * d / 3, 3 * d / 4}} {
			web(w[0], w[1])
		}
	} else {
		chordAt(Span{0, d})
		for _, w := range [][2]float64{{d / 3, d / 3}, {d / 3, 2 * d / 3}, {2 * d / 3, 2 * d / 3}, {2 * d / 3, d - FourWide/2}} {
			web(w[0], w[1])
		}
	}
	for _, y := range []Span{{0, TwoBy}, {d - TwoBy, d}} {
		zt := min(b.roofZ(y.Lo), b.roofZ(y.Hi)) - cv
		if zt > pz+FourWide+0.02 {
			b.stick(EndPost, top, t, Box(x, y, Span{pz + FourWide, zt}, Z))
		}
	}
}

// gableFrame stands studs and sloping plates on a stud row up to the roof, drop below it.
func (b *builder) gableFrame(w *Part, row Span, drop float64, extra ...float64) {
	top := b.h.Storeys - 1
	pz, cv := b.plateZ(top), b.plumb(TwoBy)
	halves := []Span{{0, b.h.Depth}}
	if b.h.Roof.Kind == "gable" {
		halves = []Span{{0, b.h.Depth / 2}, {b.h.Depth / 2, b.h.Depth}}
	}
	for _, y := range halves {
		z0, z1 := b.roofZ(y.Lo)-drop, b.roofZ(y.Hi)-drop
		b.stick(TopPlate, top, w, SheetX(row, []geom.Vec2{{X: y.Lo, Y: z0 - cv}, {X: y.Hi, Y: z1 - cv}, {X: y.Hi, Y: z1}, {X: y.Lo, Y: z0}}))
	}
	at := append([]float64(nil), extra...)
	for _, s := range studPositions(b.depthY(), 24*Inch) {
		clear := true
		for _, e := range extra {
			clear = clear && math.Abs(e-s) > 0.1
		}
		if clear {
			at = append(at, s)
		}
	}
	for _, s := range at {
		if out := b.roofOutline(Span{s, s + TwoBy}, pz, drop+cv); out[len(out)-1].Y > pz+0.02 && out[2].Y > pz+0.02 {
			b.stick(GableStud, top, w, SheetX(row, out))
		}
	}
}

// atticLine closes the attic at a unit line, as the house says, unless a seed leaves it open.
func (b *builder) atticLine(i int) {
	top := b.h.Storeys - 1
	s := b.seps[i]
	if b.h.layersWalls() && b.atticClosed(i) == "wall" {
		return // it stands there in one piece with the storey below
	}
	if open := b.take("attic-open", func(q Seed) bool { return q.Separation == i }); open != nil {
		b.atticOpen(*open, i)
		return
	}
	drop := 0.0
	if short := b.take("attic-short", func(q Seed) bool { return q.Separation == i }); short != nil {
		drop = short.Size
		b.atticShort(*short, i)
	}
	outline := b.roofOutline(b.depthY(), b.plateZ(top), drop)
	switch b.atticClosed(i) {
	case "wall":
		g := b.h.Separation.Gypsum
		for j, row := range s.rows {
			w := b.sepWall(i, j, top)
			b.gableFrame(w, row, drop, b.runBlocks()...)
			if len(s.rows) == 1 || j == 0 {
				b.atticBoard(w, i, Span{row.Lo - g, row.Lo}, outline)
			}
			if len(s.rows) == 1 || j == 1 {
				b.atticBoard(w, i, Span{row.Hi, row.Hi + g}, outline)
			}
		}
	case "sheet":
		p := b.add(AtticStop, top, nil, GypsumBd, SheetX(Span{s.mid() - HalfGypsum/2, s.mid() + HalfGypsum/2}, outline))
		p.Thick, p.Mark = HalfGypsum, unitLine(i)
	}
}

func (b *builder) atticBoard(w *Part, i int, x Span, outline []geom.Vec2) {
	p := b.add(Gypsum, b.h.Storeys-1, w, GypsumX, SheetX(x, outline))
	p.Thick, p.Mark = x.Len(), unitLine(i)
}

// atticUprights carries the cavity blocks up to the roof between the rows of a separation.
func (b *builder) atticUprights(i int, gap Span) {
	if b.atticClosed(i) != "wall" {
		return
	}
	drop := 0.0
	for _, s := range b.seeds {
		if s.Kind == "attic-short" && s.Separation == i {
			drop = s.Size
		}
	}
	top := b.h.Storeys - 1
	for _, s := range b.runBlocks() {
		p := b.add(RunBlock, top, nil, MineralWool, SheetX(gap, b.roofOutline(Span{s, s + TwoBy}, b.plateZ(top), drop)))
		p.Mark = unitLine(i)
	}
}

// roofPanels lays the sheathing over the whole row, one panel a slope.
func (b *builder) roofPanels() {
	top := b.h.Storeys - 1
	roof := b.add(RoofWhole, top, nil, OSB)
	x := Span{b.endRows[0].Lo - SidePanel, b.endRows[1].Hi + SidePanel}
	if _, masonry := b.furredGap(); b.h.Furred {
		x.Hi = masonry.Hi
	}
	y := b.outerY().grow(SidePanel)
	slopes := []Span{y}
	if b.h.Roof.Kind == "gable" {
		slopes = []Span{{y.Lo, b.h.Depth / 2}, {b.h.Depth / 2, y.Hi}}
	}
	t := b.plumb(b.h.Roof.Sheathing)
	for _, s := range slopes {
		z0, z1 := b.roofZ(s.Lo), b.roofZ(s.Hi)
		p := b.add(RoofPanel, top, roof, OSB, SheetX(x, []geom.Vec2{{X: s.Lo, Y: z0}, {X: s.Hi, Y: z1}, {X: s.Hi, Y: z1 + t}, {X: s.Lo, Y: z0 + t}}))
		p.Thick = b.h.Roof.Sheathing
	}
}
