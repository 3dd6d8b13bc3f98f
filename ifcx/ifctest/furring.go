package ifctest

// A furred end wall: the right end of the row is of masonry from the ground to the roof, and the stud row before it stands
// off by an air space, which blocks close at every floor and ceiling level and at intervals along it.

// furredGap is the air space behind the studs, and the masonry beyond it.
func (b *builder) furredGap() (gap, masonry Span) {
	x := b.endRows[1].Hi
	return Span{x, x + Inch}, Span{x + Inch, x + Inch + core}
}

// furredAt returns the low faces of the upright blocks in the air space: at studs, as in a separation.
func (b *builder) furredAt() []float64 { return b.runBlocks() }

// furredEnd builds the masonry and the blocks in the air space before it.
func (b *builder) furredEnd() {
	if !b.h.Furred {
		return
	}
	gap, masonry := b.furredGap()
	y := b.outerY()
	outer := y.grow(SidePanel)
	top := b.h.Storeys - 1
	w := b.add(WallCore, 0, nil, Masonry, SheetX(masonry, b.roofOutline(outer, -0.1, 0)))
	w.Thick, w.Mark = masonry.Len(), "right"
	for _, s := range []Span{{outer.Lo, y.Lo}, {y.Hi, outer.Hi}} { // the ends of the air space
		b.add(Sheathing, 0, nil, OSB, SheetX(gap, b.roofOutline(s, 0, 0))).Thick = SidePanel
	}
	b.add(Slab, 0, nil, Concrete, SheetZ(Span{-0.1, 0}, rectRing(Span{b.endRows[1].Hi + SidePanel, masonry.Hi}, outer))).Thick = 0.1
	unit := []int{len(b.seps)}
	level := func(k int, part string, z Span) {
		var gaps []Span
		if miss := b.take("furring-level-missing", func(q Seed) bool { return q.Level == k && q.Part == part }); miss != nil {
			g := Span{miss.At, min(miss.At+miss.Size, y.Hi)}
			gaps = append(gaps, g)
			b.defect(Defect{Seed: *miss, Level: k, Units: unit, Point: pt(gap.Mid(), g.Mid(), z.Mid()), Checks: []string{"wall-fireblock-level", "void-junction"}, WidthM: gap.Len(), HeightM: g.Len()})
			for _, s := range b.furredAt() {
				if g.Lo < s && s+TwoBy < g.Hi {
					b.follow("wall-fireblock-run") // the item of an end wall names no unit
				}
			}
		}
		for _, s := range without(y, gaps) {
			p := b.add(LevelBlock, k, nil, MineralWool, Box(gap, s, z, Y))
			p.Linear, p.Mark = true, unitMark(unit[0])
		}
	}
	for k := 0; k <= top; k++ {
		lo, zc := b.floorZ(k), Span{b.plateZ(k) - 2*TwoBy, b.plateZ(k)}
		level(k, "ceiling", zc)
		if k > 0 {
			zf := Span{b.floorZ(k) - b.h.Floor.Deck, b.floorZ(k) + TwoBy}
			level(k, "floor", zf)
			lo = zf.Hi
		}
		at := b.furredAt()
		for n, s := range at {
			if miss := b.take("furring-run-missing", func(q Seed) bool { return q.Level == k && q.Index == n }); miss != nil {
				run := y
				if n > 0 {
					run.Lo = at[n-1] + TwoBy
				}
				if n+1 < len(at) {
					run.Hi = at[n+1]
				}
				b.defect(Defect{Seed: *miss, Level: k, Units: unit, Point: pt(gap.Mid(), s+TwoBy/2, (lo+zc.Lo)/2), Checks: []string{"wall-fireblock-run"}, WidthM: run.Len(), HeightM: zc.Lo - lo})
				continue
			}
			p := b.add(RunBlock, k, nil, MineralWool, Box(gap, Span{s, s + TwoBy}, Span{lo, zc.Lo}, Z))
			p.Linear, p.Mark = true, unitMark(unit[0])
			if k > 0 { // beside the floor
				p := b.add(RunBlock, k, nil, MineralWool, Box(gap, Span{s, s + TwoBy}, Span{b.plateZ(k - 1), b.floorZ(k) - b.h.Floor.Deck}, Z))
				p.Linear, p.Mark = true, unitMark(unit[0])
			}
		}
	}
}
