package ifctest

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// planDefect records a mistake and joins what it opens.
func (b *planBuilder) planDefect(d Defect) { b.defect(d) }

// planLineOpen: no blocks at all over a party at level k: both floor voids are open to the gap, and to each other.
func (b *planBuilder) planLineOpen(i, k int) {
	p := b.p.Parties[i]
	z := b.depthAt(p.A, k)
	d := Defect{Seed: Seed{Kind: "line-open", Separation: i, Level: k}, Level: k, Units: b.partyUnits(i, k), Point: spot(p.Axis, p.Gap.Mid(), p.Run.Mid(), z.Mid()),
		Checks: []string{"floor-draftstop-line", "void-junction", "separation-continuity", "separation-spread"}, WidthM: p.Run.Len(), HeightM: z.Len()}
	if b.p.Wall == "double" || b.p.shared() {
		d.Joins = [][2]string{{planFloor(p.A, k), planFloor(p.B, k)}}
	}
	for side, box := range map[int]int{1: p.A, 0: p.B} {
		if b.p.shared() {
			break
		}
		for _, c := range b.cavityCells(i, side, p.Run, z) {
			d.Joins = append(d.Joins, [2]string{planFloor(box, k), c})
		}
	}
	slices.SortFunc(d.Joins, func(x, y [2]string) int { return cmp.Compare(x[0]+x[1], y[0]+y[1]) })
	b.planDefect(d)
}

// planBlockMissing: one block over the row of a box at level k.
func (b *planBuilder) planBlockMissing(q Seed, d, k, i, side int, run Span) {
	p := b.p.Parties[i]
	z := b.depthAt(d, k)
	strip := b.p.Boxes[d].rimStrip(p.Axis, side)
	if along, across, ok := b.planWell(d); ok { // a trimmer or header right beside the blocks closes the void there
		if b.p.Boxes[d].memberAxis() != p.Axis {
			along, across = across, along
		}
		if along.grow(0.1).overlaps(strip) && across.overlaps(run) {
			b.err = fmt.Errorf("plan %q: the framing of a well closes the bay of %+v", b.p.Style.Name, q)
		}
	}
	x := Defect{Seed: q, Level: k, Units: b.partyUnits(i, k), Point: spot(p.Axis, strip.Mid(), run.Mid(), z.Mid()),
		Checks: []string{"floor-draftstop-line", "void-junction"}, WidthM: run.Len(), HeightM: z.Len()}
	if b.p.shared() {
		x.Joins = [][2]string{{planFloor(p.A, k), planFloor(p.B, k)}}
	} else {
		for _, c := range b.cavityCells(i, side, run, z) {
			x.Joins = append(x.Joins, [2]string{planFloor(d, k), c})
		}
	}
	b.planDefect(x)
}

// missingPlates takes the stud bays of a row over which a seed leaves out the top plates:
// bays that no floor member crosses from above.
func (b *planBuilder) missingPlates(i, side, d, k int, run Span) []Span {
	miss := b.take("plate-missing", func(s Seed) bool { return s.Separation == i && s.Side == sideOf(side) && s.Level == k })
	if miss == nil {
		return nil
	}
	p := b.p.Parties[i]
	q := &b.p.Boxes[d]
	var free []Span
	studs := b.partyStuds(i, d)
	for n := 2; n+1 < len(studs); n++ {
		bay := Span{studs[n-1] + TwoBy, studs[n]}
		clear := q.memberAxis() == p.Axis
		for _, m := range b.planMembers(d) {
			clear = clear && !m.overlaps(bay)
		}
		for _, s := range b.uprightsAt(i) {
			clear = clear && !(Span{s - 2*TwoBy, s + 3*TwoBy}).overlaps(bay)
		}
		if clear {
			free = append(free, bay)
		}
	}
	if k >= b.topOf(d) || miss.Bay >= len(free) {
		b.err = fmt.Errorf("plan %q: no bay for %+v", b.p.Style.Name, *miss)
		return nil
	}
	bay := free[miss.Bay]
	row := q.row(p.Axis, side)
	x := Defect{Seed: *miss, Level: k, Units: b.partyUnits(i, k), Point: spot(p.Axis, row.Mid(), bay.Mid(), b.plateAt(d, k)-TwoBy),
		Checks: []string{"wall-fireblock-level", "void-junction"}, WidthM: bay.Len(), HeightM: row.Len() - TwoBy}
	storey := Span{b.floorAt(d, k) + 0.1, b.plateAt(d, k) - 0.15}
	if b.p.shared() {
		x.Joins = [][2]string{{planFloor(p.A, k+1), planFloor(p.B, k+1)}}
	} else if len(b.cavities(i)) > 0 {
		for _, c := range b.cavityCells(i, side, bay, storey) {
			x.Joins = append(x.Joins, [2]string{planFloor(d, k+1), c})
		}
	}
	b.planDefect(x)
	return []Span{bay}
}

// planJoined lists the groups of units with a concealed way between them: each by two spaces at least,
// since the void in a floor between two flats joins nothing by itself.
func (b *planBuilder) planJoined() [][]int {
	units := map[string][]int{} // of each space
	for d := range b.p.Boxes {
		for k := 1; k <= b.topOf(d); k++ {
			units[planFloor(d, k)] = b.touching(d, k)
		}
		if u := b.p.Boxes[d].Units[b.topOf(d)]; u >= 0 {
			units[planAttic(d)] = []int{u}
		}
	}
	groups := map[string][]string{}
	for cell := range units {
		r := b.cells.find(cell)
		groups[r] = append(groups[r], cell)
	}
	var out [][]int
	for _, cells := range groups {
		var us []int
		stacked := false
		for _, c := range cells {
			for _, u := range units[c] {
				if !slices.Contains(us, u) {
					us = append(us, u)
				}
			}
		}
		slices.Sort(us)
		for _, c := range cells { // one space touches them all: a way from one to the other is none
			stacked = stacked || len(units[c]) == len(us)
		}
		if len(us) > 1 && !stacked {
			out = append(out, us)
		}
	}
	slices.SortFunc(out, func(x, y []int) int { return strings.Compare(fmt.Sprint(x), fmt.Sprint(y)) })
	return out
}
