package ifctest

import (
	"fmt"

	"voidcheck/ifcx/geom"
)

func unitLine(i int) string { return fmt.Sprintf("U%d/U%d", i+1, i+2) }
func unitMark(u int) string { return fmt.Sprintf("U%d", u+1) }

// frame is the area of a room between stud faces.
type frame struct {
	x, y Span
	// part tells which sides face the unit's own bearing partition.
	partLoX, partHiX, partLoY, partHiY bool
}

// partition returns the bearing partition of a unit: its strip in plan.
func (b *builder) partition(u int) (x, y Span, ok bool) {
	if !b.h.Units[u].Bearing {
		return Span{}, Span{}, false
	}
	fx, fy := b.frameX(u), b.frameY()
	if b.h.Floor.Along == "x" {
		c := b.voids[u].Mid()
		return Span{c - FourWide/2, c + FourWide/2}, fy, true
	}
	c := b.h.Depth / 2
	return fx, Span{c - FourWide/2, c + FourWide/2}, true
}

// roomFrames returns the rooms of a unit (the same on each storey), low side first.
func (b *builder) roomFrames(u int) []frame {
	fx, fy := b.frameX(u), b.frameY()
	px, py, ok := b.partition(u)
	switch {
	case !ok:
		return []frame{{x: fx, y: fy}}
	case b.h.Floor.Along == "x":
		return []frame{{x: Span{fx.Lo, px.Lo}, y: fy, partHiX: true}, {x: Span{px.Hi, fx.Hi}, y: fy, partLoX: true}}
	}
	return []frame{{x: fx, y: Span{fy.Lo, py.Lo}, partHiY: true}, {x: fx, y: Span{py.Hi, fy.Hi}, partLoY: true}}
}

// wall returns the wall of that name, made when first asked for.
func (b *builder) wall(role Role, k int, name string) *Part {
	key := fmt.Sprint(role, "/", k, "/", name)
	if w, ok := b.walls[key]; ok {
		return w
	}
	w := b.add(role, k, nil, Lumber)
	w.Mark = name
	w.Props = append(w.Props, Prop{Set: "Pset_WallCommon", Name: "LoadBearing", Value: true, Type: "IfcBoolean"},
		Prop{Set: "Pset_WallCommon", Name: "IsExternal", Value: role == WallExt, Type: "IfcBoolean"})
	if role == WallSep {
		w.Props = append(w.Props, Prop{Set: "Pset_WallCommon", Name: "FireRating", Value: "1 HR", Type: "IfcLabel"})
	}
	b.walls[key] = w
	return w
}

// sepWall returns the wall that row j of separation i belongs to.
func (b *builder) sepWall(i, j, k int) *Part {
	name := unitLine(i)
	if b.h.Separation.Kind == "two-walls" {
		name += " " + string(rune('A'+j))
	}
	return b.wall(WallSep, k, name)
}

// sideWall returns the wall on the low (0) or high (1) x side of a unit.
func (b *builder) sideWall(u, j, k int) *Part {
	switch i := u - 1 + j; {
	case i < 0:
		return b.wall(WallExt, k, "left")
	case i >= len(b.seps):
		return b.wall(WallExt, k, "right")
	default:
		return b.sepWall(i, 1-j, k)
	}
}

// frontWall returns the front (0) or back (1) wall of a unit.
func (b *builder) frontWall(u, j, k int) *Part {
	return b.wall(WallExt, k, [2]string{"front ", "back "}[j]+unitMark(u))
}

// studRow builds plates and studs of one row in a strip; along is Y or X.
func (b *builder) studRow(w *Part, k int, x, y Span, along Axis, topGaps ...Span) {
	z0, z1 := b.floorZ(k), b.plateZ(k)
	run := y
	if along == X {
		run = x
	}
	strip := func(s, z Span, axis Axis) Prism {
		if along == X {
			return Box(s, y, z, axis)
		}
		return Box(x, s, z, axis)
	}
	b.stick(BottomPlate, k, w, strip(run, Span{z0, z0 + TwoBy}, along))
	for n := range 2 {
		z := Span{z1 - TwoBy*float64(n+1), z1 - TwoBy*float64(n)}
		for _, s := range without(run, topGaps) {
			b.stick(TopPlate, k, w, strip(s, z, along))
		}
	}
	for _, s := range studPositions(run, b.h.StudGap) {
		b.stick(Stud, k, w, strip(Span{s, s + TwoBy}, Span{z0 + TwoBy, z1 - 2*TwoBy}, Z))
	}
}

// without returns what is left of a span when gaps are cut out.
func without(s Span, gaps []Span) []Span {
	out := []Span{s}
	for _, g := range gaps {
		var next []Span
		for _, p := range out {
			if !p.overlaps(g) {
				next = append(next, p)
				continue
			}
			if g.Lo > p.Lo+1e-9 {
				next = append(next, Span{p.Lo, g.Lo})
			}
			if g.Hi < p.Hi-1e-9 {
				next = append(next, Span{g.Hi, p.Hi})
			}
		}
		out = next
	}
	return out
}

// storeyWalls builds all walls of storey k without their boards.
func (b *builder) storeyWalls(k int) {
	yo := b.outerY()
	for j, row := range b.endRows {
		u := j * len(b.seps)
		if b.atFoyer(row, k) {
			for _, s := range without(yo, []Span{b.foyerRun()}) {
				b.studRow(b.sideWall(u, j, k), k, row, s, Y)
			}
			continue
		}
		b.studRow(b.sideWall(u, j, k), k, row, yo, Y)
	}
	for i, s := range b.seps {
		for j, row := range s.rows {
			b.studRow(b.sepWall(i, j, k), k, row, yo, Y, b.plateGaps(i, j, k)...)
		}
	}
	for u := range b.h.Units {
		fx, fy := b.frameX(u), b.frameY()
		b.studRow(b.frontWall(u, 0, k), k, fx, Span{yo.Lo, fy.Lo}, X)
		b.studRow(b.frontWall(u, 1, k), k, fx, Span{fy.Hi, yo.Hi}, X)
		if px, py, ok := b.partition(u); ok {
			along := Y
			if b.h.Floor.Along == "y" {
				along = X
			}
			b.studRow(b.wall(WallPart, k, "bearing "+unitMark(u)), k, px, py, along)
		}
		for r, f := range b.roomFrames(u) {
			b.roomBoards(u, k, r, f)
		}
		b.outerSheathing(u, k)
	}
}

// boardThickness returns the thickness of the room-side board on a side wall.
func (b *builder) boardThickness(u, j int) float64 {
	if i := u - 1 + j; i >= 0 && i < len(b.seps) {
		return b.h.Separation.Gypsum
	}
	return HalfGypsum
}

// clearRoom returns the space of a room between its boards.
func (b *builder) clearRoom(u int, f frame) (x, y Span) {
	t := func(part bool, other float64) float64 {
		if part {
			return HalfGypsum
		}
		return other
	}
	return Span{f.x.Lo + t(f.partLoX, b.boardThickness(u, 0)), f.x.Hi - t(f.partHiX, b.boardThickness(u, 1))},
		Span{f.y.Lo + HalfGypsum, f.y.Hi - HalfGypsum}
}

// roomBoards hangs the wall boards of one room: full height up to the ceiling board.
func (b *builder) roomBoards(u, k, r int, f frame) {
	x, y := b.clearRoom(u, f)
	z := Span{b.floorZ(k), b.plateZ(k) - b.h.Floor.Ceiling}
	part := func() *Part { return b.wall(WallPart, k, "bearing "+unitMark(u)) }
	board := func(w *Part, mat Material, t float64, p ...Prism) {
		g := b.add(Gypsum, k, w, mat, p...)
		g.Thick = t
		g.Mark = unitMark(u)
	}
	pick := func(isPart bool, other *Part) *Part {
		if isPart {
			return part()
		}
		return other
	}
	sideMat := func(t float64) Material {
		if t > HalfGypsum {
			return GypsumX
		}
		return GypsumBd
	}
	lo := Span{f.x.Lo, x.Lo}
	lw := pick(f.partLoX, b.sideWall(u, 0, k))
	for _, piece := range b.behindSoffit(u, k, r, f.y, z) {
		board(lw, sideMat(lo.Len()), lo.Len(), SheetX(lo, piece))
	}
	hi := Span{x.Hi, f.x.Hi}
	board(pick(f.partHiX, b.sideWall(u, 1, k)), sideMat(hi.Len()), hi.Len(), Box(hi, f.y, z, Z))
	board(pick(f.partLoY, b.frontWall(u, 0, k)), GypsumBd, HalfGypsum, Box(x, Span{f.y.Lo, y.Lo}, z, Z))
	board(pick(f.partHiY, b.frontWall(u, 1, k)), GypsumBd, HalfGypsum, Box(x, Span{y.Hi, f.y.Hi}, z, Z))
}

// outerSheathing sheathes the outside of a unit at storey k. The sheets of the lowest storey
// start at the slab, those of the top storey end under the roof.
func (b *builder) outerSheathing(u, k int) {
	y := b.outerY()
	z := Span{b.floorZ(k), b.floorZ(k + 1)}
	top := k == b.h.Storeys-1
	x := b.sheathX(u)
	for j, s := range []Span{{y.Lo - SidePanel, y.Lo}, {y.Hi, y.Hi + SidePanel}} {
		solid := Box(x, s, z, Z)
		if top {
			solid = SheetX(x, b.roofOutline(s, z.Lo, 0))
		}
		p := b.add(Sheathing, k, b.frontWall(u, j, k), OSB, solid)
		p.Thick = SidePanel
	}
	for j, s := range []Span{{x.Lo, x.Lo + SidePanel}, {x.Hi - SidePanel, x.Hi}} {
		if (j == 0 && u != 0) || (j == 1 && (u != len(b.seps) || b.h.Furred)) {
			continue
		}
		solid := Box(s, y, z, Z)
		if top {
			solid = SheetX(s, b.roofOutline(y, z.Lo, 0))
		}
		p := b.add(Sheathing, k, b.sideWall(u, j, k), OSB, solid)
		p.Thick = SidePanel
	}
}

// sheathX returns the x that the front and back sheathing of a unit covers: from the middle of
// one separation to the middle of the next, round the corner at the ends of the row.
func (b *builder) sheathX(u int) Span {
	s := Span{b.endRows[0].Lo - SidePanel, b.endRows[1].Hi + SidePanel}
	if u > 0 {
		s.Lo = b.seps[u-1].mid()
	}
	if u < len(b.seps) {
		s.Hi = b.seps[u].mid()
	}
	return s
}

// cavityStops builds the level and upright blocks in the gaps of the double separations.
func (b *builder) cavityStops() {
	if b.h.Separation.Kind == "single" || b.h.NoStops || b.h.LayerPlan.NoCavityStops {
		return
	}
	top := b.h.Storeys - 1
	for i, s := range b.seps {
		for k := 0; k <= top; k++ {
			zc := Span{b.plateZ(k) - 2*TwoBy, b.plateZ(k)}
			b.levelBlocks(i, k, "ceiling", s.gap, zc)
			lo := b.floorZ(k)
			if k > 0 {
				zf := Span{b.floorZ(k) - b.h.Floor.Deck, b.floorZ(k) + TwoBy}
				b.levelBlocks(i, k, "floor", s.gap, zf)
				lo = zf.Hi
			}
			b.uprights(i, k, "s", s.gap, Span{lo, zc.Lo})
			if k > 0 {
				b.uprights(i, k, "f", s.gap, Span{b.plateZ(k - 1), b.floorZ(k) - b.h.Floor.Deck})
			}
		}
		if b.h.Separation.Attic == "wall" {
			b.atticUprights(i, s.gap)
		}
	}
}

// levelBlocks closes the gap of separation i at a floor or ceiling level of storey k.
func (b *builder) levelBlocks(i, k int, part string, gap, z Span) {
	run := b.outerY()
	miss := b.take("level-block-missing", func(q Seed) bool { return q.Separation == i && q.Level == k && q.Part == part })
	var gaps []Span
	if miss != nil {
		g := run
		if miss.Size > 0 {
			g = Span{miss.At, miss.At + miss.Size}
		}
		gaps = append(gaps, g)
		b.levelMissing(*miss, i, k, part, g, gap, z)
	}
	for _, s := range without(run, gaps) {
		p := b.add(LevelBlock, k, nil, MineralWool, Box(gap, s, z, Y))
		p.Linear, p.Mark = true, unitLine(i)
	}
}

// uprights stands cavity blocks between the stud pairs of separation i.
func (b *builder) uprights(i, k int, zone string, gap, z Span) {
	for n, s := range b.runBlocks() {
		miss := b.take("run-block-missing", func(q Seed) bool {
			return q.Separation == i && q.Level == k && q.Index == n && zone == "s"
		})
		if miss != nil {
			b.runMissing(*miss, i, k, n, gap, z)
			continue
		}
		p := b.add(RunBlock, k, nil, MineralWool, Box(gap, Span{s, s + TwoBy}, z, Z))
		p.Linear, p.Mark = true, unitLine(i)
	}
}

// behindSoffit returns the outlines in (y, z) of the board on the low side of a room, with
// the part behind an open soffit left out.
func (b *builder) behindSoffit(u, k, r int, y, z Span) [][]geom.Vec2 {
	for i, s := range b.h.Soffits {
		if s.Unit != u || s.Level != k || r != 0 {
			continue
		}
		open := b.take("soffit-open", func(q Seed) bool { return q.Index == i })
		if open == nil {
			continue
		}
		sy, sz := b.soffitSpans(i)
		b.soffitOpen(*open, i, sy, sz)
		ring := rectRing(y, z)
		return [][]geom.Vec2{{ring[0], ring[1], ring[2], {X: sy.Hi, Y: z.Hi}, {X: sy.Hi, Y: sz.Lo}, {X: sy.Lo, Y: sz.Lo}, {X: sy.Lo, Y: z.Hi}, ring[3]}}
	}
	return [][]geom.Vec2{rectRing(y, z)}
}
