package ifctest

import (
	"voidcheck/ifcx/geom"
)

// This file records the truth of each seeded mistake; the geometry is left out or changed
// where the part would have been built.

func pt(x, y, z float64) geom.Vec3 { return geom.Vec3{X: x, Y: y, Z: z} }

// blockMissing: one block over row j of separation i at level k.
func (b *builder) blockMissing(q Seed, i, k, j int, x, y Span) {
	u := i + j
	clear := b.clearBay(i, y)
	z := b.depthSpan(k)
	d := Defect{Seed: q, Level: k, Units: []int{i, i + 1}, Point: pt(x.Mid(), clear.Mid(), z.Mid()),
		Checks: []string{"floor-draftstop-line", "void-junction"}, WidthM: clear.Len(), HeightM: z.Len()}
	if b.h.Separation.Kind == "single" {
		d.Joins = [][2]string{{floorCell(i, k), floorCell(i+1, k)}}
	} else {
		for _, s := range b.segments(clear) {
			d.Joins = append(d.Joins, [2]string{floorCell(u, k), cavityCell(i, zoneF(k), s)})
		}
	}
	b.defect(d)
}

func zoneF(k int) string { return "f" + string(rune('0'+k)) }
func zoneS(k int) string { return "s" + string(rune('0'+k)) }

// lineOpen: no blocks at all over separation i at level k.
func (b *builder) lineOpen(q Seed, i, k int) {
	b.follow("floor-draftstop-area", i, i+1)
	z := b.depthSpan(k)
	d := Defect{Seed: q, Level: k, Units: []int{i, i + 1}, Point: pt(b.seps[i].mid(), b.h.Depth/2, z.Mid()),
		Checks: []string{"floor-draftstop-line", "separation-continuity", "separation-spread"}, WidthM: b.h.Depth, HeightM: z.Len(),
		Joins: [][2]string{{floorCell(i, k), floorCell(i+1, k)}}}
	if b.h.Layered {
		d.Also = []string{"draftstop-complete"} // sheets end where the blocks would stand
	}
	b.defect(d)
}

// plateGaps takes the missing top plates of a row: whole stud bays that no floor member or
// block crosses from above, so that the clear opening is told by the bay alone.
func (b *builder) plateGaps(i, j, k int) []Span {
	var out []Span
	for {
		miss := b.takeNext("plate-missing", func(q Seed) bool {
			return q.Separation == i && q.Level == k && (q.Side == side(j) || b.h.Separation.Kind == "single")
		})
		if miss == nil {
			return out
		}
		bay, ok := b.openBay(miss.Bay, i+j)
		if !ok || k < b.h.Storeys-1 && b.h.layersFloors() && !b.h.LayerPlan.CeilingApart { // the ceiling runs over the wall
			miss.used = false
			return out
		}
		out = append(out, bay)
		b.plateMissing(miss.Seed, i, j, k, bay)
	}
}

// openBay returns the n-th stud bay with no floor member over it.
func (b *builder) openBay(n, u int) (Span, bool) {
	studs := studPositions(b.outerY(), b.h.StudGap)
	for s := 1; s+1 < len(studs)-1; s++ {
		bay := Span{studs[s] + TwoBy, studs[s+1]}
		free := true
		if b.h.Floor.Along == "x" && u < len(b.h.Units) && !b.h.layersFloors() {
			for _, m := range b.members(u) {
				free = free && !m.overlaps(bay)
			}
		}
		if !free {
			continue
		}
		if n == 0 {
			return bay, true
		}
		n--
	}
	return Span{}, false
}

func (b *builder) plateMissing(q Seed, i, j, k int, bay Span) {
	row := b.seps[i].rows[j]
	x := row.Mid()
	u := i + j
	open := b.h.inset() // between the ceiling's edge and the face of the block
	d := Defect{Seed: q, Level: k, Units: []int{i, i + 1}, Point: pt(x, bay.Mid(), b.plateZ(k)-TwoBy),
		Checks: []string{"wall-fireblock-level", "void-junction"}, WidthM: bay.Len(), HeightM: open}
	above := floorCell(u, k+1)
	if k == b.h.Storeys-1 {
		above = atticCell(u)
		d.HeightM = row.Len()
		if b.atticClosed(i) == "wall" {
			above = cavityCell(i, "a", b.segments(bay)[0])
		}
	}
	both := []string{above}
	if b.h.Separation.Kind == "single" { // the plate of a single row is open on both sides of the blocks
		switch {
		case k < b.h.Storeys-1:
			both = []string{floorCell(i, k+1), floorCell(i+1, k+1)}
		case b.atticClosed(i) != "wall":
			both = []string{atticCell(i), atticCell(i + 1)}
		}
	}
	for _, s := range b.segments(bay) {
		for _, above := range both {
			d.Joins = append(d.Joins, [2]string{cavityCell(i, zoneS(k), s), above})
		}
	}
	b.defect(d)
}

// levelMissing: the gap of separation i is open at a floor or ceiling level of storey k.
func (b *builder) levelMissing(q Seed, i, k int, part string, run, gap, z Span) {
	d := Defect{Seed: q, Level: k, Units: []int{i, i + 1}, Point: pt(gap.Mid(), run.Mid(), z.Mid()),
		Checks: []string{"wall-fireblock-level"}, WidthM: gap.Len(), HeightM: run.Len()}
	below, above := zoneF(k), zoneS(k)
	if part == "ceiling" {
		below, above = zoneS(k), zoneF(k+1)
		if k == b.h.Storeys-1 {
			above = "a"
		}
	}
	b.around(i, below, run) // the blocks below end under the level, those above it begin over it
	if above != "a" || b.atticClosed(i) == "wall" {
		b.around(i, above, run)
	}
	if part == "ceiling" && k == b.h.Storeys-1 && b.atticClosed(i) == "sheet" && gap.Len() <= HalfGypsum+2*TwoBy {
		return // the bottom chords of the trusses on either side of the sheet lie over the gap
	}
	for _, s := range b.segments(run) {
		up := cavityCell(i, above, s)
		if above == "a" && b.atticClosed(i) != "wall" {
			up = atticCell(i)
			d.Joins = append(d.Joins, [2]string{cavityCell(i, below, s), atticCell(i + 1)})
		}
		d.Joins = append(d.Joins, [2]string{cavityCell(i, below, s), up})
	}
	b.defect(d)
}

// runMissing: cavity block n of storey k; the run beside it is too long.
func (b *builder) runMissing(q Seed, i, k, n int, gap, z Span) {
	at := b.runBlocks()
	lo, hi := b.outerY().Lo, b.outerY().Hi
	if n > 0 {
		lo = at[n-1] + TwoBy
	}
	if n < len(at)-1 {
		hi = at[n+1]
	}
	b.defect(Defect{Seed: q, Level: k, Units: []int{i, i + 1}, Point: pt(gap.Mid(), at[n]+TwoBy/2, z.Mid()),
		Checks: []string{"wall-fireblock-run"}, WidthM: hi - lo, HeightM: z.Len(),
		Joins: [][2]string{{cavityCell(i, zoneS(k), n), cavityCell(i, zoneS(k), n+1)}}})
}

// atticOpen: nothing divides the attic at separation i.
func (b *builder) atticOpen(q Seed, i int) {
	b.follow("attic-draftstop-area", i, i+1)
	top := b.h.Storeys - 1
	b.defect(Defect{Seed: q, Level: top, Units: []int{i, i + 1}, Point: pt(b.seps[i].mid(), b.h.Depth/2, b.plateZ(top)+b.ridgeHeight()/2),
		Checks: []string{"attic-draftstop-line", "separation-continuity", "separation-spread"}, WidthM: b.h.Depth, HeightM: b.ridgeHeight(),
		Joins: [][2]string{{atticCell(i), atticCell(i + 1)}}})
}

// atticShort: wall or sheet ends below the sheathing. A sheet on a truss laps its top chord,
// so what is open begins below the chord.
func (b *builder) atticShort(q Seed, i int) {
	top := b.h.Storeys - 1
	open := q.Size
	if b.h.Separation.Attic == "sheet" {
		open -= b.plumb(FourWide)
	}
	if open <= 0.5*Inch {
		return
	}
	if b.h.Separation.Attic == "wall" {
		b.around(i, "a", b.outerY()) // its blocks end with it
	}
	y := b.h.Depth / 2
	if b.h.Roof.Kind == "mono" {
		y = b.h.Depth * 0.75
	}
	z := b.roofZ(y) - q.Size + open/2
	d := Defect{Seed: q, Level: top, Units: []int{i, i + 1}, Point: pt(b.seps[i].mid(), y, z),
		Checks: []string{"separation-continuity", "attic-draftstop-line", "draftstop-complete"}, WidthM: b.h.Depth, HeightM: open}
	if b.h.layersWalls() { // whose gap is open there too
		d.Also = []string{"wall-fireblock-level"}
	}
	// The trusses against a wall close with their top chords what is open above it, down to
	// the chords' underside; above a sheet that much is taken off already.
	if b.h.Layered && b.h.LayerPlan.Framed == "" || b.h.Separation.Attic == "sheet" || q.Size-b.plumb(FourWide) > 0.5*Inch {
		d.Joins = [][2]string{{atticCell(i), atticCell(i + 1)}}
	}
	b.defect(d)
}

// stopPoint returns a point on a draftstop line.
func (b *builder) stopPoint(line stopLine, along, z float64) geom.Vec3 {
	p := b.across(along, line.sheet.Mid())
	return pt(p.X, p.Y, z)
}

// stopMissing: the sheet is left out and the void is too large.
func (b *builder) stopMissing(q Seed, u, k int, line stopLine) {
	along, across := b.voidAlong(u)
	b.defect(Defect{Seed: q, Level: k, Units: []int{u}, Point: b.stopPoint(line, along.Mid(), b.depthSpan(k).Mid()),
		Checks: []string{"floor-draftstop-area"}, AreaM2: along.Len() * across.Len()})
}

// stopShort: the sheet ends below the deck; it laps the top chord, which closes that much.
func (b *builder) stopShort(q Seed, u, k int, line stopLine) {
	along, _ := b.voidAlong(u)
	z := b.depthSpan(k)
	open := q.Size - b.h.Floor.Chord
	if open <= 0.5*Inch {
		return
	}
	b.defect(Defect{Seed: q, Level: k, Units: []int{u}, Point: b.stopPoint(line, along.Mid(), z.Hi-b.h.Floor.Chord-open/2),
		Checks: []string{"draftstop-complete"}, WidthM: along.Len(), HeightM: open})
}

// stopGap: part of the line has no sheet.
func (b *builder) stopGap(q Seed, u, k int, line stopLine, g Span) {
	z := b.depthSpan(k)
	b.defect(Defect{Seed: q, Level: k, Units: []int{u}, Point: b.stopPoint(line, g.Mid(), z.Mid()),
		Checks: []string{"draftstop-complete"}, WidthM: g.Len(), HeightM: z.Len() - 2*b.h.Floor.Chord})
}

// stopHole: a square hole in the chase opening of the truss that carries the sheet.
func (b *builder) stopHole(q Seed, u, k int, line stopLine) {
	a, z := b.holeSpans(u, k, q)
	b.defect(Defect{Seed: q, Level: k, Units: []int{u}, Point: b.stopPoint(line, a.Mid(), z.Mid()),
		Checks: []string{"draftstop-complete"}, WidthM: a.Len(), HeightM: z.Len()})
}

// takeNext is take for seeds of which several may fit; it skips those already used.
func (b *builder) takeNext(kind string, match func(s Seed) bool) *seedState {
	for _, s := range b.seeds {
		if !s.used && s.Kind == kind && match(s.Seed) {
			s.used = true
			return s
		}
	}
	return nil
}
