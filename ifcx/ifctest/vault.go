package ifctest

import (
	"math"

	"voidcheck/ifcx/geom"
)

// Vault lets the ceiling of part of a unit's top storey rise with scissor trusses; a board stands between the vaulted room and
// the attic over the flat ceiling. A draftstop divides the attic of the unit, over the flat or the vaulted part.
type Vault struct {
	Unit int     `json:"unit"`
	From float64 `json:"from"` // from the low side of the unit's attic to where the vault begins, at the nearest truss
	Stop float64 `json:"stop"` // likewise to the draftstop
}

// vaultAt returns the far face of the truss nearest to a place in the attic of the vaulted unit.
func (b *builder) vaultAt(want float64) float64 {
	u := b.h.Vault.Unit
	x := b.trussRun(u)
	best := x.Lo + TwoBy
	for _, m := range memberSpans(x.Len(), TwoBy, b.h.Roof.Spacing) {
		if at := x.Lo + m.Hi; math.Abs(at-b.atticX(u).Lo-want) < math.Abs(best-b.atticX(u).Lo-want) {
			best = at
		}
	}
	return best
}

// vaulted reports whether a place along the row is under the vault of a unit.
func (b *builder) vaulted(u int, x float64) bool {
	return b.h.Vault != nil && b.h.Vault.Unit == u && x > b.vaultAt(b.h.Vault.From)
}

// vaultLine is the top of the vaulted ceiling over a stretch across the row, as points (y, z).
func (b *builder) vaultLine(y Span) []geom.Vec2 {
	at := func(t float64) geom.Vec2 {
		return geom.Vec2{X: t, Y: b.plateZ(b.h.Storeys-1) + b.h.Roof.Pitch/2*math.Min(t, b.h.Depth-t)}
	}
	return []geom.Vec2{at(y.Lo), at(b.h.Depth / 2), at(y.Hi)}
}

// scissorTruss builds one truss with sloping bottom chords.
func (b *builder) scissorTruss(x Span) {
	top, d := b.h.Storeys-1, b.h.Depth
	t := b.assembly(RoofTruss, top)
	cv, cb := b.plumb(FourWide), FourWide*math.Hypot(1, b.h.Roof.Pitch/2)
	line := b.vaultLine(Span{0, d})
	for i := range 2 {
		l, r := line[i], line[i+1]
		zl, zr := b.roofZ(l.X), b.roofZ(r.X)
		b.stick(TopChord, top, t, SheetX(x, []geom.Vec2{{X: l.X, Y: zl - cv}, {X: r.X, Y: zr - cv}, {X: r.X, Y: zr}, {X: l.X, Y: zl}}))
		b.stick(BottomChord, top, t, SheetX(x, []geom.Vec2{l, r, {X: r.X, Y: r.Y + cb}, {X: l.X, Y: l.Y + cb}}))
	}
	b.stick(Web, top, t, Box(x, Span{d/2 - FourWide/2, d/2 + FourWide/2}, Span{line[1].Y + cb, b.roofZ(d/2) - cv - 0.03}, Z))
}

// vaultCeiling builds the ceilings of the vaulted unit's top storey and the board between its two parts.
func (b *builder) vaultCeiling(u int) {
	top, t := b.h.Storeys-1, b.h.Floor.Ceiling
	z := b.plateZ(top)
	f := b.roomFrames(u)[0]
	xm := b.vaultAt(b.h.Vault.From)
	b.add(Ceiling, top, nil, GypsumBd, SheetZ(Span{z - t, z}, rectRing(Span{f.x.Lo, xm + HalfGypsum}, f.y))).Thick = t
	line := b.vaultLine(f.y)
	for i := range 2 {
		l, r := line[i], line[i+1]
		c := b.add(Ceiling, top, nil, GypsumBd, SheetX(Span{xm + HalfGypsum, f.x.Hi}, []geom.Vec2{{X: l.X, Y: l.Y - t}, {X: r.X, Y: r.Y - t}, r, l}))
		c.Thick = t
	}
	g := b.add(Gypsum, top, nil, GypsumBd, SheetX(Span{xm, xm + HalfGypsum}, []geom.Vec2{{X: f.y.Lo, Y: z}, {X: f.y.Hi, Y: z}, line[2], line[1], line[0]}))
	g.Thick = HalfGypsum
}

// vaultRoom is the solid of the vaulted room.
func (b *builder) vaultRoom(x, y, z Span) []Prism {
	t := b.h.Floor.Ceiling
	line := b.vaultLine(y)
	ring := []geom.Vec2{{X: y.Lo, Y: z.Hi}, {X: y.Hi, Y: z.Hi}}
	for i := range 3 {
		p := line[2-i]
		ring = append(ring, geom.Vec2{X: p.X, Y: p.Y - t + 1e-4})
	}
	return []Prism{Box(x, y, z, Z), SheetX(Span{b.vaultAt(b.h.Vault.From) + HalfGypsum, x.Hi}, ring)}
}

// vaultStop divides the attic of the vaulted unit.
func (b *builder) vaultStop() {
	if b.h.Vault == nil {
		return
	}
	u, top, d := b.h.Vault.Unit, b.h.Storeys-1, b.h.Depth
	pz, xs := b.plateZ(top), b.vaultAt(b.h.Vault.Stop)
	sheet := Span{xs, xs + HalfGypsum}
	area := b.atticX(u).Len() * d
	if miss := b.take("attic-stop-missing", func(Seed) bool { return true }); miss != nil {
		b.defect(Defect{Seed: *miss, Level: top, Units: []int{u}, Point: pt(xs, d/2, pz+1), Checks: []string{"attic-draftstop-area"}, AreaM2: area})
		return
	}
	drop := 0.0
	if short := b.take("attic-stop-short", func(Seed) bool { return true }); short != nil {
		drop = short.Size
		open := drop - b.plumb(FourWide)
		b.defect(Defect{Seed: *short, Level: top, Units: []int{u}, Point: pt(xs, d/2, b.roofZ(d/2)-drop+open/2), Checks: []string{"draftstop-complete"}, WidthM: d, HeightM: open})
	}
	outline := b.roofOutline(b.depthY(), pz, drop)
	if b.vaulted(u, sheet.Mid()) {
		in := b.roomFrames(u)[0].y
		line := b.vaultLine(in)
		bottom := []geom.Vec2{{X: 0, Y: pz}, {X: in.Lo, Y: pz}, line[0], line[1], line[2], {X: in.Hi, Y: pz}, {X: d, Y: pz}}
		outline = append(bottom, outline[2:]...)
	}
	p := b.add(AtticStop, top, nil, GypsumBd, SheetX(sheet, outline))
	p.Thick, p.Mark = HalfGypsum, unitMark(u)
	for i := range b.m.Truth.Voids {
		if v := &b.m.Truth.Voids[i]; v.Kind == "attic" && len(v.Units) == 1 && v.Units[0] == u {
			x := b.atticX(u)
			v.Compartments = []float64{(sheet.Lo - x.Lo) * d, (x.Hi - sheet.Hi) * d}
		}
	}
}
