package ifctest

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// cavity is an air space of a party: the gap between two rows of studs, or the one behind a
// furred row.
type cavity struct {
	n      int
	across Span
	sides  []int // of the party that have a row beside it: 1 the low box, 0 the high one
}

// core is the thickness of the blocks of a masonry separation: 8 in, 7-5/8 in actual.
const core = 7.625 * Inch

// parapet is how far a masonry separation rises above the roof, metres.
const parapet = 0.3

// cavities returns the air spaces of a party.
func (b *planBuilder) cavities(i int) []cavity {
	p := b.p.Parties[i]
	switch b.p.Wall {
	case "staggered":
		return []cavity{{0, b.sharedRow(i), []int{1, 0}}}
	case "masonry":
		return nil
	case "furred":
		return []cavity{{0, Span{p.Gap.Lo, p.Gap.Lo + Inch}, []int{1}}, {1, Span{p.Gap.Hi - Inch, p.Gap.Hi}, []int{0}}}
	}
	return []cavity{{0, p.Gap, []int{1, 0}}}
}

// boxOn returns the box on a side of a party.
func (b *planBuilder) boxOn(i, side int) int {
	if side == 1 {
		return b.p.Parties[i].A
	}
	return b.p.Parties[i].B
}

// closure is a level at which a cavity is closed.
type closure struct {
	z       Span
	side, k int
	part    string // "floor" or "ceiling" of storey k of the box on that side
}

// closures returns the levels of a cavity in ascending order.
func (b *planBuilder) closures(i int, c cavity) []closure {
	var out []closure
	if b.p.shared() {
		return nil // plates close them
	}
	for _, side := range c.sides {
		d := b.boxOn(i, side)
		for k := range b.p.Boxes[d].Units {
			if k > 0 {
				z := b.floorAt(d, k)
				out = append(out, closure{Span{z - b.h.Floor.Deck, z + TwoBy}, side, k, "floor"})
			}
			z := b.plateAt(d, k)
			out = append(out, closure{Span{z - 2*TwoBy, z}, side, k, "ceiling"})
		}
	}
	low := b.cavityFoot(i, c)
	out = slices.DeleteFunc(out, func(x closure) bool { return x.z.Hi < low+0.05 })
	slices.SortStableFunc(out, func(x, y closure) int { return cmp.Compare(x.z.Lo, y.z.Lo) })
	kept := out[:0]
	for _, x := range out {
		if n := len(kept); n > 0 && math.Abs(kept[n-1].z.Lo-x.z.Lo) < 1e-6 {
			continue // both boxes have it
		}
		kept = append(kept, x)
	}
	return kept
}

func (b *planBuilder) cavityFoot(i int, c cavity) float64 {
	z := math.Inf(-1)
	for _, side := range c.sides {
		z = max(z, b.p.Boxes[b.boxOn(i, side)].Base)
	}
	return z
}

// Names of spaces in the truth graph of a plan.
func planAttic(d int) string    { return fmt.Sprintf("attic/%d", d) }
func planFloor(d, k int) string { return fmt.Sprintf("floor/%d/%d", d, k) }
func planCavity(i, n, zone, segment int) string {
	return fmt.Sprintf("cavity/%d/%d/%d/%d", i, n, zone, segment)
}

// zones returns the zones of a cavity between its closures that a height span touches.
func (b *planBuilder) zones(i int, c cavity, z Span) []int {
	at := func(h float64) int {
		n := 0
		for _, x := range b.closures(i, c) {
			if x.z.Mid() < h {
				n++
			}
		}
		return n
	}
	var out []int
	for n := at(z.Lo + 0.01); n <= at(z.Hi-0.01); n++ {
		out = append(out, n)
	}
	return out
}

// uprightsAt returns the low faces of the uprights that divide the cavities of a party along it.
func (b *planBuilder) uprightsAt(i int) []float64 {
	run := b.p.Parties[i].Run
	n := int(math.Ceil(run.Len() / (b.h.Separation.RunMax - TwoBy)))
	var out []float64
	for k := 1; k < n; k++ {
		out = append(out, run.Lo+run.Len()*float64(k)/float64(n)-TwoBy/2)
	}
	return out
}

// stretches returns the parts of a party between uprights that a span touches.
func (b *planBuilder) stretches(i int, run Span) []int {
	at := b.uprightsAt(i)
	var out []int
	for n := 0; n <= len(at); n++ {
		s := b.p.Parties[i].Run
		if n > 0 {
			s.Lo = at[n-1] + TwoBy
		}
		if n < len(at) {
			s.Hi = at[n]
		}
		if s.overlaps(run) {
			out = append(out, n)
		}
	}
	return out
}

// cavityCells returns the cells of the cavities beside a side of a party at a place.
func (b *planBuilder) cavityCells(i, side int, run, z Span) []string {
	var out []string
	for _, c := range b.cavities(i) {
		if !slices.Contains(c.sides, side) {
			continue
		}
		for _, zone := range b.zones(i, c, z) {
			for _, s := range b.stretches(i, run) {
				out = append(out, planCavity(i, c.n, zone, s))
			}
		}
	}
	return out
}

// partyStrip fills the strip between two boxes: blocks at levels and uprights in its cavities,
// the masonry of a solid wall, what closes its crossings with others.
func (b *planBuilder) partyStrip(i int) {
	p := b.p.Parties[i]
	if b.p.Wall == "furred" || b.p.Wall == "masonry" {
		b.masonry(i)
	}
	b.crossings(i)
	if b.p.shared() {
		return
	}
	for _, c := range b.cavities(i) {
		lo := b.cavityFoot(i, c)
		b.joinBays(i, c)
		for n, x := range b.closures(i, c) {
			st := b.storey(b.boxOn(i, x.side), x.k)
			b.levelPieces(i, c, n, x, st)
			b.uprights(i, c.n, c.across, Span{lo, x.z.Lo}, n, st)
			lo = x.z.Hi
		}
		if b.dividesBy(i) == "wall" {
			a := b.p.Parties[i].Axis
			st := b.storey(p.A, b.topOf(p.A))
			for _, s := range b.uprightsAt(i) {
				run := Span{s, s + TwoBy}
				up := b.add(RunBlock, st, nil, MineralWool, b.lowerRoof(i, c.across, run).upTo(a, c.across, run, lo, b.shortBy(i))...)
				up.Mark = unitMark(p.A)
			}
		}
	}
}

// lowerRoof is the lower of the roofs on both sides of a party.
func (b *planBuilder) lowerRoof(i int, across, run Span) roofField {
	p := b.p.Parties[i]
	f, g := b.roofs[b.p.Boxes[p.A].Roof], b.roofs[b.p.Boxes[p.B].Roof]
	if highest(g.profile(p.Axis, across, run)) < highest(f.profile(p.Axis, across, run)) {
		return g
	}
	return f
}

// levelPieces closes a cavity at one level, but where a seed leaves it open.
func (b *planBuilder) levelPieces(i int, c cavity, n int, x closure, st int) {
	run := b.p.Parties[i].Run
	var gaps []Span
	if miss := b.take("level-block-missing", func(s Seed) bool {
		return s.Separation == i && s.Side == sideOf(x.side) && s.Level == x.k && s.Part == x.part
	}); miss != nil {
		g := Span{run.Lo + miss.At, min(run.Lo+miss.At+miss.Size, run.Hi)}
		gaps = append(gaps, g)
		d := Defect{Seed: *miss, Level: x.k, Units: b.partyUnits(i, x.k), Point: spot(b.p.Parties[i].Axis, c.across.Mid(), g.Mid(), x.z.Mid()),
			Checks: []string{"wall-fireblock-level"}, Also: []string{"void-junction"}, WidthM: c.across.Len(), HeightM: g.Len()}
		for _, s := range b.stretches(i, g) {
			d.Joins = append(d.Joins, [2]string{planCavity(i, c.n, n, s), planCavity(i, c.n, n+1, s)})
		}
		b.planDefect(d)
	}
	for _, s := range without(run, gaps) {
		p := b.add(LevelBlock, st, nil, MineralWool, cuboid(b.p.Parties[i].Axis, c.across, s, x.z, Y))
		p.Linear, p.Mark = true, unitMark(b.p.Parties[i].A)
	}
}

// joinBays joins what the stud bays of either row join: where the floors of two boxes differ in height, fire
// passes a block in the gap at the level of one through the bays of the other.
func (b *planBuilder) joinBays(i int, c cavity) {
	for _, side := range c.sides {
		d := b.boxOn(i, side)
		for k := range b.p.Boxes[d].Units {
			zs := b.zones(i, c, Span{b.floorAt(d, k) + 2*TwoBy, b.plateAt(d, k) - 3*TwoBy})
			for n := 1; n < len(zs); n++ {
				for _, s := range b.stretches(i, b.p.Parties[i].Run) {
					b.cells.join(planCavity(i, c.n, zs[n-1], s), planCavity(i, c.n, zs[n], s))
				}
			}
		}
	}
}

// partyStuds returns the low faces of the studs of a box's row along a party.
func (b *planBuilder) partyStuds(i, d int) []float64 {
	p := b.p.Parties[i]
	q := &b.p.Boxes[d]
	run := p.Run
	if p.Axis == Y {
		run = Span{max(run.Lo, q.X.Lo+q.Stud), min(run.Hi, q.X.Hi-q.Stud)}
	}
	at := b.uprightsAt(i)
	out := slices.Clone(at)
	for _, s := range studPositions(run, b.h.StudGap) {
		if !slices.ContainsFunc(at, func(t float64) bool { return math.Abs(t-s) < 2*TwoBy }) {
			out = append(out, s)
		}
	}
	slices.Sort(out)
	return out
}

// uprights stands blocks across a cavity over one of its zones.
func (b *planBuilder) uprights(i, n int, across, z Span, zone, st int) {
	p := b.p.Parties[i]
	for m, s := range b.uprightsAt(i) {
		if miss := b.take("run-block-missing", func(q Seed) bool {
			return q.Separation == i && q.Index == m && q.Level == zone && q.Bay == n
		}); miss != nil {
			at := b.uprightsAt(i)
			lo, hi := p.Run.Lo, p.Run.Hi
			if m > 0 {
				lo = at[m-1] + TwoBy
			}
			if m+1 < len(at) {
				hi = at[m+1]
			}
			b.planDefect(Defect{Seed: *miss, Level: zone, Units: b.partyUnits(i, 0), Point: spot(p.Axis, across.Mid(), s+TwoBy/2, z.Mid()),
				Checks: []string{"wall-fireblock-run"}, WidthM: hi - lo, HeightM: z.Len(), Joins: [][2]string{{planCavity(i, n, zone, m), planCavity(i, n, zone, m+1)}}})
			continue
		}
		u := b.add(RunBlock, st, nil, MineralWool, cuboid(p.Axis, across, Span{s, s + TwoBy}, z, Z))
		u.Linear, u.Mark = true, unitMark(p.A)
	}
}

// masonry builds the block wall of a separation from the ground to the roof.
func (b *planBuilder) masonry(i int) {
	p := b.p.Parties[i]
	across := p.Gap
	if b.p.Wall == "furred" {
		across = across.grow(-Inch)
	}
	lo := min(b.p.Boxes[p.A].Base, b.p.Boxes[p.B].Base)
	field := b.roofs[b.p.Boxes[p.A].Roof]
	if g := b.roofs[b.p.Boxes[p.B].Roof]; highest(g.profile(p.Axis, across, p.Run)) > highest(field.profile(p.Axis, across, p.Run)) {
		field = g
	}
	st := b.storey(p.A, 0)
	w := b.add(WallCore, st, nil, Masonry, standing(p.Axis, across, under(field.profile(p.Axis, across, p.Run), lo-0.1, -parapet)))
	w.Mark = fmt.Sprintf("%c/%c core", 'A'+p.A, 'A'+p.B)
	w.Thick = across.Len()
}

// crossings fills the squares in which the gaps of three or four parties meet.
func (b *planBuilder) crossings(i int) {
	p := b.p.Parties[i]
	if p.Axis != X || b.p.shared() {
		return
	}
	for _, q := range b.p.Parties {
		if q.Axis != Y || math.Abs(p.Run.Hi-q.Gap.Lo) > 1e-6 && math.Abs(p.Run.Lo-q.Gap.Hi) > 1e-6 {
			continue
		}
		ends := 0
		first := true
		for j, o := range b.p.Parties {
			switch {
			case o.Axis == X && o.Gap == p.Gap && (math.Abs(o.Run.Hi-q.Gap.Lo) < 1e-6 || math.Abs(o.Run.Lo-q.Gap.Hi) < 1e-6):
				ends++
				first = first && j >= i
			case o.Axis == Y && o.Gap == q.Gap && (math.Abs(o.Run.Hi-p.Gap.Lo) < 1e-6 || math.Abs(o.Run.Lo-p.Gap.Hi) < 1e-6):
				ends++
			}
		}
		if ends < 3 || !first {
			continue
		}
		lo := min(b.p.Boxes[p.A].Base, b.p.Boxes[p.B].Base)
		u := b.add(RunBlock, b.storey(p.A, 0), nil, MineralWool, b.lowerRoof(i, p.Gap, q.Gap).upTo(X, p.Gap, q.Gap, lo, 0)...)
		u.Mark = unitMark(p.A)
	}
}

// partyUnits returns the units on both sides of a party at a storey.
func (b *planBuilder) partyUnits(i, k int) []int {
	var out []int
	for side := range 2 {
		us := b.p.Boxes[b.boxOn(i, side)].Units
		if u := us[min(k, len(us)-1)]; u >= 0 && !slices.Contains(out, u) {
			out = append(out, u)
		}
	}
	slices.Sort(out)
	return out
}
