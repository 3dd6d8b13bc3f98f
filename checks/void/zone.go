package void

import (
	"math"
	"sync"

	"voidcheck/ifcx/geom"
)

// horizontal is the field of one level.
type horizontal struct {
	field
	s     *solver
	level *level
	lines []*bandLine
	// assumed marks cells whose void has no ceiling below.
	assumed []bool
	wallOf  []int32              // wall strip over the cell, -1
	zoneUF  union                // cells of one void
	list    []*compCells         // compartments, by node.comp
	beside  map[wallSide]float64 // undersides of decks beside stepped walls, +Inf where there is none

	ceilings *geom.BoxIndex           // of the level, by their number in it
	single   map[int]bool             // walls over which one line closes both sides
	framed   func() map[[2]int32]bool // squares of the plan near framing, made on first use
	services []*solid                 // solids that are services
	faceted  []int32                  // services of many facets, by number of the solid
	joists   *geom.BoxIndex           // solids that are joists, by number; made on first use
	cellsOf  map[int32][]int32        // cells over each wall, made on first use

	inside, over numbers // solids that stand in a void and cells of it
}

// newHorizontal lays out the field of a level.
func newHorizontal(s *solver, l *level, buf *scratch) *horizontal {
	h := &horizontal{s: s, level: l}
	h.f, h.gap, h.zlo, h.zhi, h.cores = s.f, s.gap, l.zlo, l.zhi, s.cores
	h.solids = s.placeAll(l.parts, s.part)
	for k, sd := range h.solids {
		if sd.role == RoleService {
			h.services = append(h.services, sd)
			if sd.bare && !sd.isBox {
				h.faceted = append(h.faceted, int32(k))
			}
		}
	}
	strips := h.strips()
	h.lines = h.findLines(strips)
	h.single = h.singleLines()
	h.framed = sync.OnceValue(h.framedSquares)
	var edges [][2]geom.Vec2
	edges = append(edges, h.roofCreases()...)
	for _, st := range strips {
		edges = append(edges, rectEdges(h.f, st.w.corners(0, st.w.Length, st.w.Across.Lo, st.w.Across.Hi))...)
		for _, g := range append(append([]Span(nil), st.w.Gaps...), st.w.Cavities...) {
			edges = append(edges, rectEdges(h.f, st.w.corners(0, st.w.Length, g.Lo, g.Hi))...)
		}
	}
	for _, b := range h.lines {
		edges = append(edges, rectEdges(h.f, b.rect())...)
	}
	h.plan = newPlan(s.cores, h.solids, edges, h.gap, buf)
	buf.linework = linework{} // a level may be large
	if h.plan.tooFine {
		s.noteTooFine("level", l.zlo, l.zhi)
	}
	rooms := s.placeAll(l.rooms, s.room)
	h.fill(s.cores, h.solids, rooms)
	buf.fillers, buf.lows, buf.order = nil, nil, nil
	for _, sd := range h.solids {
		sd.faces = noFaces // columns tell all from here on
	}
	h.solids = append(h.solids, rooms...)
	h.assign(strips)
	h.build()
	buf.makers = nil
	return h
}

// roofCreases returns the plan lines where a sloped roof meets the level of the ceilings:
// beyond them there is no attic.
func (h *horizontal) roofCreases() [][2]geom.Vec2 {
	if h.level.kind != KindAttic {
		return nil
	}
	var heights []float64
	seen := map[int]bool{}
	for _, sd := range h.solids {
		z := sd.box.Max.Z
		if sd.role == RoleCeiling && sd.isBox && !seen[int(math.Round(z*1000))] && len(heights) < 6 {
			seen[int(math.Round(z*1000))] = true
			heights = append(heights, z)
		}
	}
	var out [][2]geom.Vec2
	for _, sd := range h.solids {
		if sd.role != RoleRoof {
			continue
		}
		for _, t := range sd.tris {
			for _, z := range heights {
				var p []geom.Vec2
				for k := 0; k < 3; k++ {
					a, b := sd.verts[t[k]], sd.verts[t[(k+1)%3]]
					if (a.Z <= z) != (b.Z <= z) {
						x := (z - a.Z) / (b.Z - a.Z)
						p = append(p, a.Plan().Add(b.Plan().Sub(a.Plan()).Mul(x)))
					}
				}
				if len(p) == 2 && p[0].Sub(p[1]).Len() > 0.01 {
					out = append(out, [2]geom.Vec2{p[0], p[1]})
				}
			}
		}
	}
	return out
}

// assign gives every cell its zones.
func (h *horizontal) assign(strips []*strip) {
	h.zones = sized(h.buf.zonesOf, len(h.cells))
	h.buf.zonesOf = h.zones
	h.assumed = make([]bool, len(h.cells))
	h.wallOf = make([]int32, len(h.cells))
	walls, bands := make([]Span, len(strips)), make([]Span, len(h.lines))
	for k, x := range strips {
		walls[k] = Span{x.box.Min.X, x.box.Max.X}
		if h.s.sep[x.wall] >= 0 { // looked up before several cores ask for it
			h.deckBeside(x.w, false)
			h.deckBeside(x.w, true)
		}
	}
	for k, b := range h.lines {
		x := h.along(b)
		bands[k] = Span{x.Lo - 0.5, x.Hi + 0.5} // the cells behind a line are looked at too
	}
	kept := make([]lists[zone], h.cores)
	inPieces(h.cores, h.slabs(), func(k, from, to int) {
		h.assignSlabs(&kept[k], from, to, strips, sweep{spans: walls}, sweep{spans: bands})
	})
	for k := range kept {
		up := h.buf.zones.join(&kept[k])
		for ci := h.first[k*h.slabs()/h.cores]; ci < h.first[(k+1)*h.slabs()/h.cores]; ci++ {
			if h.zones[ci] > 0 {
				h.zones[ci] += up
			}
		}
	}
	h.bridgeJoints()
	h.bridgeJoints() // again for the crossings of joints
	h.bridgeBoards()
	h.bridgeHoles()
	h.trimBands()
}

// assignSlabs gives the cells of the slabs from one up to another their zones, by numbers of
// lists that it keeps.
func (h *horizontal) assignSlabs(kept *lists[zone], from, to int, strips []*strip, walls, bands sweep) {
	var near []*strip
	var own []zone
	for i := from; i < to; i++ {
		near = near[:0]
		for _, k := range walls.to(h.us[i], h.us[i+1]) {
			near = append(near, strips[k])
		}
		lines := bands.to(h.us[i], h.us[i+1])
		for ci, to := h.row(i); ci < to; ci++ {
			c := &h.cells[ci]
			st, t := h.stripOver(near, c)
			h.wallOf[ci] = -1
			if st != nil {
				h.wallOf[ci] = int32(st.wall)
			}
			own = h.zonesOf(own[:0], ci, st, t, lines)
			h.zones[ci] = kept.keep(own)
		}
	}
}

// zonesOf decides what the heights over a cell are, and appends the zones to out, which is
// empty. st is the wall under the cell, if any, and t the distance across it.
func (h *horizontal) zonesOf(out []zone, i int32, st *strip, t float64, lines []int) []zone {
	c := &h.cells[i]
	wallTop := math.Inf(-1)
	if st != nil && st.reaches {
		zs := h.zonesInAtticWall(c, st, lines)
		if z, ok := st.roomHigh(h.f, c, h.zlo); ok {
			zs = append([]zone{z}, zs...)
		}
		return zs
	}
	if st != nil {
		wallTop = st.w.Heights(t).Hi
		inGap := within(t, st.w.Gaps) && st.above && !h.gapIsVoid(st)
		if inGap {
			return append(out, zone{free{z0: h.zlo, z1: h.zhi}, classWall, false, int32(st.wall)})
		}
		if len(st.w.Cavities) > 0 { // up to its outer faces: a face without a board is open
			out = append(out, zone{free{z0: h.zlo, z1: math.Min(wallTop, h.zhi)}, classWall, false, int32(st.wall)})
		}
	}
	top, ok := h.topOver(c, st)
	if !ok {
		if st != nil && h.level.kind == KindAttic { // roofs of stepped or set back units end at the gap
			if w := h.behindLine(st, h.f.out(geom.Vec2{X: c.cu, Y: c.cv}), lines); w >= 0 && h.zhi-wallTop >= h.gap {
				out = append(out, zone{free{z0: wallTop, z1: h.zhi}, classSlot, false, int32(w)})
			}
		}
		return out
	}
	z := zone{free{z1: top.z0, g1: top.g0}, classVoid, false, -1}
	ceil, drop := h.ceilingsUnder(c, top.z0)
	switch {
	case ceil != nil && (st == nil || ceil.z1 > wallTop-0.05):
		z.z0, z.g0 = ceil.z1, ceil.g1
	case st != nil && wallTop < top.z0+0.02:
		z.z0, z.plated = wallTop, !st.w.Framed && !within(t, st.w.Gaps)
	case st != nil:
		return out // the wall runs on to the deck or sheathing
	default:
		b, ok := h.assumedBottom(c, top.z0)
		if !ok {
			return out
		}
		z.z0 = b
		h.assumed[i] = true
	}
	if drop != nil && ceil != nil && ceil.z0-drop.z1 >= h.gap && st == nil {
		out = append(out, zone{free{z0: drop.z1, g0: drop.g1, z1: ceil.z0, g1: ceil.g0}, classSoffit, false, -1})
	}
	if z.z1-z.z0 < h.gap {
		return out
	}
	p := h.f.out(geom.Vec2{X: c.cu, Y: c.cv})
	if w := h.behindLine(st, p, lines); w >= 0 {
		z.class, z.ref = classWall, int32(w)
		if h.level.kind == KindAttic {
			z.class = classSlot
		}
		return append(out, z)
	}
	for _, k := range lines {
		if h.lines[k].has(p) {
			if !h.lines[k].open { // a draftstop's line ends at a unit line, open or not
				z.class, z.ref = classBand, int32(k)
			}
			break
		}
	}
	return append(out, z)
}

// zonesInAtticWall gives the space over the foot of a wall that goes on into the attic: the
// wall's own matter closes it up to wherever it ends. Over a unit separation it is the band
// of the wall's line; the frame of a gable stands inside the attic.
func (h *horizontal) zonesInAtticWall(c *cell, st *strip, lines []int) []zone {
	top, ok := h.topOver(c, st)
	if !ok {
		return nil
	}
	z := zone{free{z0: math.Max(st.w.Z0, st.base), z1: top.z0, g1: top.g0}, classVoid, false, -1}
	if st.w.highFoot() > st.w.Z0+plateHeight { // each side has a ceiling of its own
		_, t := st.local(h.f, c.cu, c.cv)
		z.z0 = st.w.Heights(t).Lo
	}
	if z.z1-z.z0 < h.gap {
		return nil
	}
	if h.s.sep[st.wall] < 0 && !st.w.Framed { // its layers show its inside and no end studs
		z.class, z.ref = classWall, int32(st.wall)
		return []zone{z}
	}
	if h.s.sep[st.wall] >= 0 && st.w.Framed && h.s.unboarded(st.wall) {
		// A framer's model without any wall board: the frame stands for the wall.
		for e := range h.column(c) {
			if e.role.closes() && e.z1 > z.z0 && e.z0 < z.z1 {
				z.z0, z.g0 = math.Min(e.z1, z.z1), e.g1
			}
		}
		if z.z1-z.z0 < h.gap {
			return nil
		}
	}
	p := h.f.out(geom.Vec2{X: c.cu, Y: c.cv})
	for _, k := range lines {
		if h.lines[k].has(p) {
			z.class, z.ref = classBand, int32(k)
			break
		}
	}
	return []zone{z}
}

// topOver returns the lowest top membrane over a cell. Over a unit separation the deck may
// stop at either row: there the usual underside stands in for it.
func (h *horizontal) topOver(c *cell, st *strip) (entry, bool) {
	for e := range h.column(c) {
		if e.role == h.level.top && e.z1 > h.level.zlo+0.05 && (h.level.kind == KindAttic || h.level.owns(e.z0)) {
			return *e, true
		}
	}
	if st != nil && h.s.sep[st.wall] >= 0 && h.level.kind == KindFloor && st.above {
		_, t := st.local(h.f, c.cu, c.cv)
		z, ok := h.deckBeside(st.w, t > (st.w.Across.Lo+st.w.Across.Hi)/2)
		return entry{z0: z}, ok
	}
	return entry{}, false
}

// ceilingsUnder returns the highest ceiling below z and the next one below it.
func (h *horizontal) ceilingsUnder(c *cell, z float64) (ceil, drop *entry) {
	for k := c.column + c.solids - 1; k >= c.column; k-- {
		e := &h.entries[h.columns[k]]
		if e.z1 > z+0.02 || e.z0 > z-0.002 {
			continue
		}
		switch {
		case e.role == RoleDeck && ceil == nil && h.level.kind == KindAttic && h.s.atticFloor[h.partOf(e)]:
			return e, nil
		case e.role == RoleDeck || e.role == RoleRoof:
			return ceil, drop
		case e.role == RoleCeiling && ceil == nil:
			ceil = e
		case e.role == RoleCeiling && ceil.z0-e.z1 < h.gap: // a second board under the first
			merged := *ceil
			merged.z0, merged.g0 = math.Min(ceil.z0, e.z0), e.g0
			ceil = &merged
		case e.role == RoleCeiling && drop == nil, e.role == RoleSoffitBoard && ceil != nil && drop == nil:
			drop = e
		}
	}
	return ceil, drop
}

// footOver returns the underside of the framing right above a room, or the top of the room where there is none: a
// room is drawn up to its ceiling, and the ceiling may not be modelled.
func (h *horizontal) footOver(top float64) float64 {
	const ceiling = 0.04 // thickest boards, metres
	for _, z := range h.level.feet {
		if z > top && z < top+ceiling {
			return z
		}
	}
	return top
}

// assumedBottom returns the plane that stands in for a ceiling that is not modelled: the
// underside of the framing, or the top of a room that reaches higher.
func (h *horizontal) assumedBottom(c *cell, zt float64) (float64, bool) {
	framed, inside := false, false
	z := h.level.plane
	for e := range h.column(c) {
		switch {
		case e.role == RoleFraming && e.z1 <= zt+0.05 && e.z1 > zt-1 && e.z1-e.z0 < maxFloorVoid/2:
			framed = true
			z = e.z0
		case e.role == roleRoom:
			inside = true
			if e.z0 < h.level.zt-0.1 && e.z1 > z && e.z1 < zt {
				z = h.footOver(e.z1)
			}
			if e.z1 >= zt-h.gap && e.z0 < zt-1 {
				return 0, false // the room reaches the deck or sheathing
			}
		}
	}
	if framed {
		return z, true
	}
	if !h.level.hasPlane {
		return 0, false
	}
	if h.level.kind == KindAttic {
		return z, inside || h.s.overDeck(c.cu, c.cv, h.level.plane)
	}
	return z, h.inFraming(c.cu, c.cv)
}
