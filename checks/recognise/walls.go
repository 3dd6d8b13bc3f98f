package recognise

import (
	"math"
	"slices"
	"sort"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// wall is one wall assembly: leaves side by side, seen as bands across, in the turned frame.
type wall struct {
	leaf
	kind void.WallKind
	sep  int
	pair pair // the units it separates, {-1, -1} when none
	// lining is true for furring on a wall that separates two units.
	lining bool
}

// buildWalls makes wall assemblies of the leaves: boards are put on their rows, parallel
// leaves closer than doubleGap become one, and what passes several storeys is cut at them.
func (r *reader) buildWalls() {
	r.findLevels()
	r.leaves = distinct(r.leaves)
	r.boardRows()
	r.leafGrid = newLeafGrid(r.leaves) // with their boards
	g := newGroups(len(r.leaves))
	for i, a := range r.leaves {
		for _, j := range r.leafGrid.ids(a.box().Grow(doubleGap + 0.01)) {
			if j > i && beside(a, r.leaves[j]) {
				g.join(i, j)
			}
		}
	}
	for _, set := range g.sets() {
		var ls []*leaf
		for _, i := range set {
			ls = append(ls, r.leaves[i])
		}
		for _, s := range sections(ls) {
			r.walls = append(r.walls, r.storeyParts(s)...)
		}
	}
	r.furr()
	sort.SliceStable(r.walls, func(i, j int) bool { return leafBefore(&r.walls[i].leaf, &r.walls[j].leaf) })
}

// leafBefore orders strips by storey, direction and place.
func leafBefore(a, b *leaf) bool {
	q := func(v float64) float64 { return math.Floor(v*1000 + 0.37) }
	al, _ := a.edges()
	bl, _ := b.edges()
	ka := [...]float64{float64(a.storey), q(a.z0), q(math.Atan2(a.dir.Y, a.dir.X)), q(al), q(a.s0), q(a.s1), q(a.z1)}
	kb := [...]float64{float64(b.storey), q(b.z0), q(math.Atan2(b.dir.Y, b.dir.X)), q(bl), q(b.s0), q(b.s1), q(b.z1)}
	for i := range ka {
		if ka[i] != kb[i] {
			return ka[i] < kb[i]
		}
	}
	return false
}

// distinct sorts leaves and drops those that repeat another.
func distinct(ls []*leaf) []*leaf {
	sort.SliceStable(ls, func(i, j int) bool { return leafBefore(ls[i], ls[j]) })
	grid := newLeafGrid(ls)
	kept := make([]bool, len(ls))
	var out []*leaf
	for i, l := range ls {
		if len(l.bands) == 0 {
			continue
		}
		twin := false
		for _, j := range grid.ids(l.box().Grow(0.02)) {
			if j >= i {
				break
			}
			o := ls[j]
			if kept[j] && o.parallel(l) && math.Abs(o.s0-l.s0) < 0.01 && math.Abs(o.s1-l.s1) < 0.01 && math.Abs(o.z0-l.z0) < 0.01 && math.Abs(o.z1-l.z1) < 0.01 && sameBands(o.bands, l.bands) {
				o.elems = mergeInts(o.elems, l.elems)
				twin = true
				break
			}
		}
		if !twin {
			out, kept[i] = append(out, l), true
		}
	}
	return out
}

func mergeInts(a, b []int) []int {
	seen := map[int]bool{}
	var r []int
	for _, s := range [][]int{a, b} {
		for _, v := range s {
			if !seen[v] {
				seen[v] = true
				r = append(r, v)
			}
		}
	}
	sort.Ints(r)
	return r
}

// sameBands reports whether two walls have the same build-up in the same place.
func sameBands(a, b []band) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].kind != b[i].kind || math.Abs(a[i].lo-b[i].lo) > 0.006 || math.Abs(a[i].hi-b[i].hi) > 0.006 {
			return false
		}
	}
	return true
}

// boardReach is how far from the studs the third of the boards on them may lie, metres: a
// board or slab called a finish may be as thick as a wall.
const boardReach = 3 * (0.9 + faceTouch)

// boardRows puts wall boards on the rows they lie on, innermost first.
func (r *reader) boardRows() {
	var boards []*piece
	var boxes []geom.Box
	for _, p := range r.ps {
		if p.role == void.RoleFinish && !p.layered && !p.skip && p.lie == upright && (p.form == board || p.form == slab) {
			boards, boxes = append(boards, p), append(boxes, p.reach())
		}
	}
	index := geom.NewBoxIndex(boxes)
	parallel(len(r.leaves), func(from, to int) {
		for _, w := range r.leaves[from:to] {
			if w.framed {
				w.putOn(boards, index)
			}
		}
	})
}

// putOn puts those boards on a row that lie on it.
func (w *leaf) putOn(boards []*piece, index *geom.BoxIndex) {
	var on []band
	var runs []boardOn
	var tops []float64
	_, _, upper := w.upper()
	var elems []int
	near := index.In(w.box().Grow(boardReach))
	for _, k := range near {
		p := boards[k]
		if math.Abs(p.axes[2].Plan().Dot(w.norm)) < 0.999 {
			continue
		}
		s0, s1, t0, t1 := w.span(p)
		if overlap(s0, s1, w.s0, w.s1) < 0.3*math.Min(s1-s0, w.s1-w.s0) || overlap(p.z0(), p.z1(), w.z0, w.z1) < 0.4*math.Min(p.z1()-p.z0(), w.z1-w.z0) {
			continue
		}
		if upper && p.z0() > w.z0+underPlates && lining(boards, near, w, p, t0, t1) {
			continue
		}
		on = append(on, band{t0, t1, bandBoard})
		runs, tops = append(runs, boardOn{band{t0, t1, bandBoard}, extent{s0, s1, p.z0(), p.z1()}}), append(tops, p.z1())
		elems = append(elems, p.elem)
	}
	for round := 0; round < 3; round++ {
		lo, hi := w.edges()
		grew := false
		for i, b := range on {
			if b.kind == bandUnknown {
				continue
			}
			mid := (b.lo + b.hi) / 2
			if mid > hi-0.005 && b.lo < hi+faceTouch || mid < lo+0.005 && b.hi > lo-faceTouch {
				w.addBoard(b)
				w.boards = append(w.boards, runs[i])
				if top := tops[i]; upper && top > w.z1 && top-w.z1 < 0.35 { // plates along a slope are no members
					w.raise(top)
				}
				w.elems = mergeInts(w.elems, []int{elems[i]})
				on[i].kind = bandUnknown
				grew = true
			}
		}
		if !grew {
			break
		}
	}
	w.sortBands()
}

// addBoard adds a board unless it lies where one is already.
func (l *leaf) addBoard(b band) {
	for i, o := range l.bands {
		if o.kind == bandBoard && overlap(o.lo, o.hi, b.lo, b.hi) > 0.5*math.Min(o.hi-o.lo, b.hi-b.lo) {
			l.bands[i].lo, l.bands[i].hi = math.Min(o.lo, b.lo), math.Max(o.hi, b.hi)
			return
		}
	}
	l.bands = append(l.bands, b)
}

// beside reports whether two leaves make one wall: parallel, facing each other over most of
// the shorter one's length and height, and no farther apart than a double wall's gap.
func beside(a, b *leaf) bool {
	if !a.parallel(b) {
		return false
	}
	if overlap(a.s0, a.s1, b.s0, b.s1) < 0.5*math.Min(a.s1-a.s0, b.s1-b.s0) || overlap(a.z0, a.z1, b.z0, b.z1) < 0.5*math.Min(a.z1-a.z0, b.z1-b.z0) {
		return false
	}
	if complete(a) != complete(b) {
		return false // a lining beside a wall that is whole without it
	}
	alo, ahi := a.edges()
	blo, bhi := b.edges()
	gap := math.Max(blo-ahi, alo-bhi)
	// Layers of one wall drawn into another lie deep in it; that is no pair.
	return gap > -0.06 && gap <= doubleGap
}

// complete reports whether a wall separates by itself: solid, or of two rows.
func complete(l *leaf) bool {
	switch kindOf(l) {
	case void.WallSingle, void.WallStaggered, void.WallUnknown:
		return false
	}
	return true
}

// wallGrid returns the strips of the walls by place.
func (r *reader) wallGrid() *leafGrid {
	ls := make([]*leaf, len(r.walls))
	for i, w := range r.walls {
		ls[i] = &w.leaf
	}
	return newLeafGrid(ls)
}

// storeyParts cuts a wall at the storey levels that it passes and gives each part its storey.
func (r *reader) storeyParts(l *leaf) []*wall {
	const least = 1.0 // metres on both sides of a level for a wall to count as passing it
	var out []*wall
	z := l.z0
	last := math.Inf(-1)
	split := r.splitLevels()
	for _, v := range r.levels {
		if v > z+least && v < l.z1-least && v-last > least && (!split && !r.besideWell(l, v) || split && r.floorBeside(l, v)) {
			out = append(out, r.wallOf(l, z, v))
			z, last = v, v
		}
	}
	if v, ok := r.topCut(l, z); ok {
		lo, hi := l.plateSpan(v)
		below, above := r.wallOf(l, z, hi), r.wallOf(l, lo, l.z1)
		if hi > lo { // each row of a stepped wall passes into the attic at its own plates
			below.rowZ, above.rowZ = slices.Clone(l.rowZ), slices.Clone(l.rowZ)
			for i, h := range l.rowZ {
				below.rowZ[i].z1, above.rowZ[i].z0 = h.top(), h.top()
			}
		}
		return append(out, below, above)
	}
	return append(out, r.wallOf(l, z, l.z1))
}

func (r *reader) wallOf(l *leaf, z0, z1 float64) *wall {
	w := &wall{leaf: *l, sep: -1, pair: pair{-1, -1}}
	w.z0, w.z1 = z0, z1
	w.bands = l.between(z0, z1)
	w.storey = r.storeyFrom(z0, z1-z0)
	w.kind = kindOf(&w.leaf)
	return w
}

// storeyFrom returns the storey of what stands up from z: that of the nearest level within
// reach (levels of one floor often lie centimetres apart), else the highest below it.
func (r *reader) storeyFrom(z, height float64) int {
	best := -1
	for i, v := range r.levels {
		if v > z-0.9 && v < z+math.Min(0.45, height/2) && (best < 0 || math.Abs(v-z) < math.Abs(r.levels[best]-z)-1e-6) {
			best = i
		}
	}
	if best >= 0 {
		return best
	}
	return r.storeyAt(z + math.Min(0.5, height/2))
}

// storeyAt returns the index of the highest storey whose level is not above z, 0 below all,
// -1 when there are none.
func (r *reader) storeyAt(z float64) int {
	s := -1
	for i, v := range r.levels {
		if v <= z+1e-6 || s < 0 {
			s = i
		}
	}
	return s
}

// kindOf reads the kind of a wall from its bands.
func kindOf(l *leaf) void.WallKind {
	rows, solid := 0, 0
	var lo, hi float64
	for _, b := range l.bands {
		switch b.kind {
		case bandFrame:
			if rows == 0 {
				lo = b.hi
			}
			hi = b.lo
			rows++
		case bandSolid:
			solid++
		}
	}
	liner := 0.0
	for _, b := range l.bands {
		if b.kind == bandBoard && b.lo > lo-0.01 && b.hi < hi+0.01 {
			liner += b.hi - b.lo
		}
	}
	switch {
	case l.staggered:
		return void.WallStaggered
	case rows > 0 && solid > 0:
		return void.WallFurred
	case rows >= 2 && liner > 0.02:
		return void.WallLiner
	case rows >= 2:
		return void.WallDouble
	case rows == 1:
		return void.WallSingle
	case solid > 0:
		return void.WallSolid
	}
	return void.WallUnknown
}

// findLevels takes the storey elevations.
func (r *reader) findLevels() {
	r.levels = r.levels[:0]
	for _, s := range r.m.Storeys {
		r.levels = append(r.levels, s.ElevationM)
	}
	if len(r.levels) > 0 {
		return
	}
	var tops []float64
	for _, p := range r.ps {
		if p.role == void.RoleDeck && !p.skip && p.size[0] > 1 {
			tops = append(tops, p.z1())
		}
	}
	sort.Float64s(tops)
	for _, z := range tops {
		if n := len(r.levels); n == 0 || z-r.levels[n-1] > 1.5 {
			r.levels = append(r.levels, z)
		}
	}
	if len(r.levels) > 0 {
		r.note("the model has no storeys; levels are taken from the decks")
	}
}
