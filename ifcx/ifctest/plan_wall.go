package ifctest

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

// box builds one box: walls, floors, ceilings and what stands under its roof.
func (b *planBuilder) box(d int) {
	q := &b.p.Boxes[d]
	low := q.Base
	for i := range b.p.Boxes {
		low = min(low, b.p.Boxes[i].Base)
	}
	if q.Base-low < 2 || !b.overAnother(d) {
		x, y := q.X.grow(SidePanel), q.Y.grow(SidePanel)
		for _, p := range b.p.Parties { // what a floor stands on reaches the studs of a lower unit beside it
			s := &x
			if p.Axis == Y {
				s = &y
			}
			if p.A == d && b.p.Boxes[p.B].Base < q.Base-0.01 {
				s.Hi = p.Gap.Hi
			}
			if p.B == d && b.p.Boxes[p.A].Base < q.Base-0.01 {
				s.Lo = p.Gap.Lo
			}
		}
		b.add(Slab, b.storey(d, 0), nil, Concrete, SheetZ(Span{low - 0.1, q.Base}, rectRing(x, y))).Thick = q.Base - low + 0.1
	}
	for k := range q.Units {
		for _, a := range []Axis{X, Y} {
			for side := range 2 {
				for _, f := range b.facing(d, a, side) {
					b.rowPiece(d, k, a, side, f)
				}
			}
		}
		b.boxBoards(d, k)
		if k > 0 {
			b.boxFloor(d, k)
		}
		b.boxCeiling(d, k)
	}
	b.boxAttic(d)
}

// overAnother reports whether a box stands on another.
func (b *planBuilder) overAnother(d int) bool {
	for i, q := range b.p.Boxes {
		if i != d && q.X.overlaps(b.p.Boxes[d].X) && q.Y.overlaps(b.p.Boxes[d].Y) && q.Base < b.p.Boxes[d].Base-1 {
			return true
		}
	}
	return false
}

// planWall returns the wall that a piece of a side belongs to.
func (b *planBuilder) planWall(d, k int, a Axis, side int, f facing) *Part {
	if f.party < 0 {
		return b.wall(WallExt, b.storey(d, k), fmt.Sprintf("%c%d %s", 'A'+d, 2*int(a)+side+1, unitMark(d)))
	}
	q := b.p.Parties[f.party]
	name := fmt.Sprintf("%c/%c", 'A'+q.A, 'A'+q.B)
	if math.Abs(b.p.Boxes[q.A].Base-b.p.Boxes[q.B].Base) > 0.01 || b.p.Wall == "furred" || b.p.Wall == "masonry" {
		name += fmt.Sprintf(" %d", 1-side)
	}
	return b.wall(WallSep, b.storey(d, k), name)
}

// rowPiece builds plates and studs of a piece of one side of a storey, and the sheathing
// outside where it faces no other box.
func (b *planBuilder) rowPiece(d, k int, a Axis, side int, f facing) {
	q := &b.p.Boxes[d]
	run := f.run
	if a == Y { // the rows across x run through at the corners
		run = Span{max(run.Lo, q.X.Lo+q.Stud), min(run.Hi, q.X.Hi-q.Stud)}
	}
	w := b.planWall(d, k, a, side, f)
	z := Span{b.floorAt(d, k), b.plateAt(d, k)}
	var gaps []Span
	if f.party >= 0 {
		gaps = b.missingPlates(f.party, side, d, k, run)
	}
	if f.party >= 0 && b.p.shared() {
		if side == 1 {
			b.staggeredRow(w, d, k, f, z, gaps)
		}
		return
	}
	studs := studPositions(run, b.h.StudGap)
	if f.party >= 0 {
		studs = b.partyStuds(f.party, d)
	}
	b.uprightRow(w, b.storey(d, k), a, q.row(a, side), run, z, gaps, studs)
	if f.party < 0 {
		b.outside(w, d, k, a, side, f.run)
	}
}

// uprightRow builds plates and studs of one row.
func (b *planBuilder) uprightRow(w *Part, st int, a Axis, row, run, z Span, gaps []Span, studs []float64) {
	b.stick(BottomPlate, st, w, cuboid(a, row, run, Span{z.Lo, z.Lo + TwoBy}, Y))
	for n := range 2 {
		zp := Span{z.Hi - TwoBy*float64(n+1), z.Hi - TwoBy*float64(n)}
		for _, s := range without(run, gaps) {
			b.stick(TopPlate, st, w, cuboid(a, row, s, zp, Y))
		}
	}
	for _, s := range studs {
		b.stick(Stud, st, w, cuboid(a, row, Span{s, s + TwoBy}, Span{z.Lo + TwoBy, z.Hi - 2*TwoBy}, Z))
	}
}

// staggeredRow builds the one row of plates that two boxes share, with 2x4 studs on either
// face in turn and solid blocks across at intervals.
func (b *planBuilder) staggeredRow(w *Part, d, k int, f facing, z Span, gaps []Span) {
	p := b.p.Parties[f.party]
	row := b.sharedRow(f.party)
	st := b.storey(d, k)
	run := f.run
	b.stick(BottomPlate, st, w, cuboid(p.Axis, row, run, Span{z.Lo, z.Lo + TwoBy}, Y))
	for n := range 2 {
		for _, s := range without(run, gaps) {
			b.stick(TopPlate, st, w, cuboid(p.Axis, row, s, Span{z.Hi - TwoBy*float64(n+1), z.Hi - TwoBy*float64(n)}, Y))
		}
	}
	at := b.uprightsAt(f.party)
	for j, face := range []Span{{row.Lo, row.Lo + FourWide}, {row.Hi - FourWide, row.Hi}} {
		for n, s := range studPositions(run, b.h.StudGap) {
			if s += float64(j) * b.h.StudGap / 2; j == 1 && n > 0 || j == 0 {
				if s+TwoBy > run.Hi || slices.ContainsFunc(at, func(t float64) bool { return math.Abs(t-s) < 2*TwoBy }) {
					continue
				}
				b.stick(Stud, st, w, cuboid(p.Axis, face, Span{s, s + TwoBy}, Span{z.Lo + TwoBy, z.Hi - 2*TwoBy}, Z))
			}
		}
	}
	b.uprights(f.party, 0, row, Span{z.Lo + TwoBy, z.Hi - 2*TwoBy}, k, st)
}

// sharedRow is the strip of the plates of a shared wall.
func (b *planBuilder) sharedRow(i int) Span {
	p := b.p.Parties[i]
	return Span{b.p.Boxes[p.A].row(p.Axis, 1).Lo, b.p.Boxes[p.B].row(p.Axis, 0).Hi}
}

// outside sheathes a piece of a side of a storey that faces no other box, over the ends of strips beside it.
func (b *planBuilder) outside(w *Part, d, k int, a Axis, side int, run Span) {
	q := &b.p.Boxes[d]
	s, full := q.across(a)
	if run.Lo < full.Lo+1e-6 {
		run.Lo -= b.cornerReach(d, 1-a, 0, s, side)
	}
	if run.Hi > full.Hi-1e-6 {
		run.Hi += b.cornerReach(d, 1-a, 1, s, side)
	}
	across := Span{s.Lo - SidePanel, s.Lo}
	if side == 1 {
		across = Span{s.Hi, s.Hi + SidePanel}
	}
	z := Span{b.floorAt(d, k), b.floorAt(d, k+1)}
	solids := []Prism{cuboid(a, across, run, z, Z)}
	if k == b.topOf(d) {
		solids = b.roofs[q.Roof].upTo(a, across, run, z.Lo, 0)
	}
	b.add(Sheathing, b.storey(d, k), w, OSB, solids...).Thick = SidePanel
}

// cornerReach is how far the sheathing of one side goes on past a corner: round it, or over
// the end of the strip to a neighbour there.
func (b *planBuilder) cornerReach(d int, a Axis, end int, s Span, side int) float64 {
	at := []float64{s.Lo, s.Hi}[side]
	for _, p := range b.p.Parties {
		if p.Axis != a || end == 1 && p.A != d || end == 0 && p.B != d || at < p.Run.Lo-1e-6 || at > p.Run.Hi+1e-6 {
			continue
		}
		return math.Abs(p.Gap.Len())
	}
	return SidePanel
}

// boxBoards hangs the wall boards of a storey.
func (b *planBuilder) boxBoards(d, k int) {
	q := &b.p.Boxes[d]
	x, y := q.frame()
	z := Span{b.floorAt(d, k), b.plateAt(d, k) - b.h.Floor.Ceiling}
	for side := range 2 {
		for _, a := range []Axis{X, Y} {
			over, along := x, y
			if a == Y {
				over, along = y, x
			}
			for _, f := range b.facing(d, a, side) {
				t, mat := b.boardOf(f)
				face := Span{over.Lo, over.Lo + t}
				if side == 1 {
					face = Span{over.Hi - t, over.Hi}
				}
				run := Span{max(f.run.Lo, along.Lo), min(f.run.Hi, along.Hi)}
				g := b.add(Gypsum, b.storey(d, k), b.planWall(d, k, a, side, f), mat, cuboid(a, face, run, z, Z))
				g.Thick = t
			}
		}
	}
}

// boardOf is the board on a piece of a side.
func (b *planBuilder) boardOf(f facing) (float64, Material) {
	if f.party >= 0 {
		return FiveEighth, GypsumX
	}
	return HalfGypsum, GypsumBd
}

// clear returns the room of a box between its boards.
func (b *planBuilder) clear(d int) (x, y Span) {
	x, y = b.p.Boxes[d].frame()
	thick := func(a Axis, side int) float64 {
		t := HalfGypsum
		for _, f := range b.facing(d, a, side) {
			u, _ := b.boardOf(f)
			t = max(t, u)
		}
		return t
	}
	return Span{x.Lo + thick(X, 0), x.Hi - thick(X, 1)}, Span{y.Lo + thick(Y, 0), y.Hi - thick(Y, 1)}
}

// planRooms makes the spaces, one a box and storey, and the zones of the units.
func (b *planBuilder) planRooms() {
	zones := map[int]*Zone{}
	areas := make([]float64, b.p.unitCount())
	for d := range b.p.Boxes {
		q := &b.p.Boxes[d]
		x, y := b.clear(d)
		for k, u := range q.Units {
			z := Span{b.floorAt(d, k), b.plateAt(d, k) - b.h.Floor.Ceiling}
			use := []string{"Living", "Bedroom", "Study", "Loft"}[k%4]
			r := &Room{Unit: u, Storey: b.storey(d, k), N: d + 1, Use: use, Solids: []Prism{Box(x, y, z, Z)}}
			if u < 0 {
				r.Use, r.Unit = "Corridor", 'Z'-'A' // no unit's letter
			}
			if line := b.ceilingLine(d); k == b.topOf(d) && line != nil {
				a, run := X, y
				if b.p.Roofs[q.Roof].Ridge == "y" {
					a, run = Y, x
				}
				across, _ := (&Dwelling{X: x, Y: y}).across(a)
				r.Solids = []Prism{standing(a, across, under(lowered(line(run), b.h.Floor.Ceiling), z.Lo, 0))}
			}
			b.m.Rooms = append(b.m.Rooms, r)
			if u < 0 {
				continue
			}
			areas[u] += x.Len() * y.Len()
			if zones[u] == nil {
				zones[u] = &Zone{Unit: u}
			}
			zones[u].Rooms = append(zones[u].Rooms, r)
		}
	}
	for _, z := range zones {
		b.m.Zones = append(b.m.Zones, *z)
	}
	slices.SortFunc(b.m.Zones, func(p, q Zone) int { return cmp.Compare(p.Unit, q.Unit) })
	b.m.Truth.UnitAreasM2 = areas
}

// lowered returns a profile moved down.
func lowered(p []geom.Vec2, by float64) []geom.Vec2 {
	out := slices.Clone(p)
	for i := range out {
		out[i].Y -= by
	}
	return out
}
