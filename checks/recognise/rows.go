package recognise

import (
	"math"
	"slices"
	"sort"

	"voidcheck/checks/void"
	"voidcheck/ifcx/model"
)

// Limits of stud walls, metres.
const (
	plateMax = 0.10 // tallest plate (a 4x plate); what is taller on edge is a beam or header
	endLap   = 0.055
	endClear = 0.03
	studMax  = 0.40 // widest stud or post section
	studMin  = 0.11 // shortest cripple, under low eaves; taller than a plate
	flush    = 0.02 // farthest the faces of plates of one row lie apart
	studGap  = 1.30 // farthest two studs of a row stand apart without a plate
)

// row is a line of studs with their plates, in the turned frame.
type row struct {
	leaf   *leaf
	studs  []*piece
	plates []*piece
}

// isStudLike reports whether a piece can be a stud: a free upright stick.
func (r *reader) isStudLike(p *piece) bool {
	if p.known() || p.skip || p.truss >= 0 || p.round || p.lie != upright || p.form != stick && p.form != chunk && p.form != board {
		return false
	}
	if math.Abs(p.axes[0].Z) < 0.98 || p.size[0] < studMin || p.size[1] > studMax || p.size[0] < 1.5*p.size[1] && !r.fillsPlate(p) {
		return false
	}
	if p.form == board && p.size[2] < 0.025 {
		return false
	}
	h := r.hint(p)
	switch h.first() {
	case "stair", "service", "chimney", "seal", "draftstop", "fireblock", "insulation", "sprinkler":
		return false
	case "finish": // a narrow board: at the end of a wall, or beside an opening
		if p.size[2] < 0.033 {
			return false
		}
	case "joist", "rim", "beam", "plate", "rafter":
		if p.size[0] < 3*p.size[1] { // a short end of a level member on its side
			return false
		}
	}
	_, soft := r.ofMaterial(r.element(p), "insulation", "solid", "seal")
	return !soft || r.element(p).Is("IfcMember") || r.element(p).Is("IfcColumn")
}

// isPlateLike reports whether a piece can be a plate: a free level stick, not on edge.
func (r *reader) isPlateLike(p *piece) bool {
	if p.known() || p.skip || p.truss >= 0 || p.round || p.size[0] < 0.2 {
		return false
	}
	if math.Abs(p.axes[0].Z) > 0.03 || p.height() > plateMax || p.height() < 0.02 || p.size[1] > studMax || p.size[0] < p.size[1] {
		return false
	}
	switch r.hint(p).first() {
	case "fireblock", "draftstop", "seal", "service", "insulation", "deck", "ceiling", "roof", "finish":
		return false
	}
	_, soft := r.ofMaterial(r.element(p), "insulation", "seal")
	return !soft
}

// findRows finds studs by their lie, plates by the stud ends that meet them, and rows of both.
func (r *reader) findRows() {
	r.absorbSliced()
	studs := r.which(r.isStudLike)
	plates := r.findPlates(studs)
	studs = r.growRows(studs, plates)
	r.looseRows(studs)
	r.dropGapRows()
	r.stubs()
	parallel(len(r.rows), func(from, to int) {
		for i := from; i < to; i++ {
			r.finishRow(i, r.rows[i])
		}
	})
	for _, w := range r.rows {
		r.leaves = append(r.leaves, w.leaf)
	}
	for _, s := range studs {
		if s.row < 0 && !s.known() {
			r.loneStud(s)
		}
	}
}

// growRows joins plates through the studs between them and through stacking. It returns the
// studs without those that are blocks on a plate.
func (r *reader) growRows(studs, plates []*piece) []*piece {
	number := make([]int32, len(r.ps)) // of a plate, counted from 1
	for i, k := 0, 0; i < len(r.ps) && k < len(plates); i++ {
		if r.ps[i] == plates[k] {
			k++
			number[i] = int32(k)
		}
	}
	g := newGroups(len(plates))
	held := make([][2][]int, len(studs)) // plates below and above each stud
	blocks := make([]bool, len(studs))   // studs that are blocks on a plate
	parallel(len(studs), func(from, to int) {
		var near []int
		for i := from; i < to; i++ {
			s := studs[i]
			near = r.near.Append(near[:0], s.box.Grow(endLap+0.001))
			for _, k := range near {
				j := int(number[k]) - 1
				if j < 0 {
					continue
				}
				if isBlockOn(plates[j], s) {
					blocks[i] = blocks[i] || endsOn(s, plates[j]) != 0
					continue
				}
				switch endsOn(s, plates[j]) {
				case -1:
					held[i][0] = append(held[i][0], j)
				case 1:
					held[i][1] = append(held[i][1], j)
				}
			}
		}
	})
	for _, h := range held {
		for _, a := range h[0] {
			for _, b := range h[1] {
				if sameStrip(plates[a], plates[b]) {
					g.join(a, b)
				}
			}
		}
	}
	r.joinPlates(g, plates, studs, number, held)
	rowAt := map[int]*row{}
	for _, set := range g.sets() {
		w := &row{}
		for _, i := range set {
			w.plates = append(w.plates, plates[i])
		}
		rowAt[g.find(set[0])] = w
		r.rows = append(r.rows, w)
	}
	for i, s := range studs {
		if k := ownRow(s, plates, held[i], g); k >= 0 {
			rowAt[k].studs = append(rowAt[k].studs, s)
		}
	}
	kept := r.rows[:0]
	for _, w := range r.rows {
		if len(w.studs) > 0 {
			kept = append(kept, w)
		}
	}
	r.rows = kept
	r.numberRows()
	left := make([]*piece, 0, len(studs))
	rows := r.rowGrid()
	for i, s := range studs { // what is a block on the plates of one wall may be a stud of the wall that meets it there
		if s.row >= 0 || !blocks[i] || r.rowAround(s, rows) >= 0 {
			left = append(left, s)
		}
	}
	return left
}

// lowStud is the least height of a stud that does not fill its plate: what is lower closes a floor.
const lowStud = 0.7

// isBlockOn reports whether an upright piece lies in the plane of a wall rather than across it:
// a block that closes a narrow bay between truss ends is taller than long, but no stud. A
// stud fills its plate, also a short one below a sill.
func isBlockOn(plate, p *piece) bool {
	l := stripOf(plate)
	s0, s1, t0, t1 := l.span(p)
	_, _, w0, w1 := l.span(plate)
	return t1-t0 < 0.7*(w1-w0) && (s1-s0 > 0.11 && s1-s0 > 1.5*(t1-t0) || p.z1()-p.z0() < lowStud)
}

// ownRow returns the group of plates a stud belongs to, -1 for none: the one that holds it at
// both ends, then the one whose plates it fills. held are the plates below and above it.
func ownRow(s *piece, plates []*piece, held [2][]int, g groups) int {
	best, score := -1, 0.0
	for _, ends := range held {
		for _, j := range ends {
			root := g.find(j)
			n := 1.0
			for _, other := range held {
				for _, k := range other {
					if k != j && g.find(k) == root {
						n++
					}
				}
			}
			l := stripOf(plates[j])
			_, _, t0, t1 := l.span(plates[j])
			_, _, u0, u1 := l.span(s)
			n += overlap(t0, t1, u0, u1) / math.Max(t1-t0, u1-u0)
			if n > score+1e-9 {
				best, score = root, n
			}
		}
	}
	return best
}

func (r *reader) numberRows() {
	for i, w := range r.rows {
		for _, p := range append(append([]*piece(nil), w.plates...), w.studs...) {
			p.row = i
		}
	}
	r.measureRows()
}

func (r *reader) measureRows() {
	parallel(len(r.rows), func(from, to int) {
		for _, w := range r.rows[from:to] {
			w.measure()
		}
	})
}

// measure finds the strip of a row: along its plates, or by its studs.
func (w *row) measure() {
	var l *leaf
	if len(w.plates) > 0 {
		strip := stripOf(longest(w.plates))
		l = &strip
	} else if w.leaf != nil {
		l = &leaf{dir: w.leaf.dir, norm: w.leaf.norm, storey: -1}
	} else {
		return
	}
	l.s0, l.s1, l.z0, l.z1 = math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, p := range append(append([]*piece(nil), w.plates...), w.studs...) {
		s0, s1, _, _ := l.span(p)
		l.s0, l.s1 = math.Min(l.s0, s0), math.Max(l.s1, s1)
		l.z0, l.z1 = math.Min(l.z0, p.z0()), math.Max(l.z1, p.z1())
		l.members = append(l.members, extent{s0, s1, p.z0(), p.z1()})
	}
	for _, p := range w.studs {
		s0, s1, _, _ := l.span(p)
		l.uprights = append(l.uprights, extent{s0, s1, p.z0(), p.z1()})
	}
	l.dropCorners()
	l.framing, l.framed, l.combustible = true, true, true
	l.bands, l.staggered = w.studBands(l)
	for _, b := range l.bands {
		l.rowZ = append(l.rowZ, rowHeight{b.lo, b.hi, l.z0, l.z1, l.plateTop()})
	}
	w.leaf = l
}

// studBands returns the intervals across the wall in which the studs stand: one for a plain
// row; two for studs in two rows or staggered on one plate. Studs turned flat and odd posts
// do not make a row of their own.
func (w *row) studBands(l *leaf) (bands []band, staggered bool) {
	type group struct {
		lo, hi float64
		n      int
	}
	var gs []group
	for _, p := range w.studs {
		_, _, t0, t1 := l.span(p)
		found := false
		for i := range gs {
			if math.Abs(gs[i].lo-t0) < 0.012 && math.Abs(gs[i].hi-t1) < 0.012 {
				gs[i].n++
				found = true
				break
			}
		}
		if !found {
			gs = append(gs, group{t0, t1, 1})
		}
	}
	sort.SliceStable(gs, func(i, j int) bool { return gs[i].n > gs[j].n })
	if len(gs) == 0 {
		return nil, false
	}
	// Studs as deep as two staggered rows together, as those of the attic above them, stand in both and are no row.
	beside := func(low bool) bool {
		return slices.ContainsFunc(gs[1:], func(q group) bool {
			a, b := q.lo-gs[0].lo, gs[0].hi-q.hi
			if !low {
				a, b = b, a
			}
			return q.n >= 3 && 4*q.n >= gs[0].n && math.Abs(a) < 0.012 && b > 0.015 && q.hi-q.lo > 0.5*(gs[0].hi-gs[0].lo)
		})
	}
	if beside(true) && beside(false) {
		gs = gs[1:]
	}
	main := gs[0]
	bands = []band{{main.lo, main.hi, bandFrame}}
	for _, q := range gs[1:] {
		// A second row holds a fair share of the studs, beside the first or staggered with it.
		if q.n >= 3 && 4*q.n >= main.n && (q.lo > main.lo+0.015 && q.hi > main.hi+0.015 || q.lo < main.lo-0.015 && q.hi < main.hi-0.015) {
			bands = append(bands, band{q.lo, q.hi, bandFrame})
			staggered = staggered || overlap(q.lo, q.hi, main.lo, main.hi) > 0.005
			break
		}
	}
	sort.Slice(bands, func(i, j int) bool { return bands[i].lo < bands[j].lo })
	return bands, staggered
}

// finishRow settles the roles of a row's members and makes it a leaf.
func (r *reader) finishRow(i int, w *row) {
	for _, p := range w.plates {
		p.row = i
		r.settle(p, Plate, void.RolePlate, "plate", "studs end on it")
	}
	for _, p := range w.studs {
		p.row = i
		why := "upright between plates"
		if len(w.plates) == 0 {
			why = "upright in a row of others"
		}
		r.settle(p, Stud, void.RoleStud, "stud", why)
		p.framing = void.FramingStud
	}
	seen := map[int]bool{}
	for _, p := range append(append([]*piece(nil), w.plates...), w.studs...) {
		e := p.elem
		for el := r.m.Elements[e].Whole; el != nil && r.isWall(el); el = el.Whole {
			if !seen[el.Index] {
				seen[el.Index] = true
				w.leaf.elems = append(w.leaf.elems, el.Index)
			}
		}
		if !seen[e] {
			seen[e] = true
			w.leaf.elems = append(w.leaf.elems, e)
		}
	}
	sort.Ints(w.leaf.elems)
	// One stick of steel or masonry among wood studs leaves the wall combustible.
	w.leaf.combustible = len(w.studs) == 0
	for _, p := range w.studs {
		if c, ok := r.materialClass(r.element(p)); !ok || c.Combustible {
			w.leaf.combustible = true
		}
	}
}

// isWall reports whether a whole is a wall: by its entity, or an assembly that is called one or
// has the properties that the standard gives to walls.
func (r *reader) isWall(e *model.Element) bool {
	if e.Is("IfcElementAssembly") {
		_, ok := r.hints[e.Index].says("separation", "wall")
		for _, name := range []string{"FireRating", "IsExternal", "LoadBearing"} {
			if ok {
				break
			}
			_, ok = e.Prop("Pset_WallCommon", name)
		}
		return ok
	}
	return e.Is("IfcWall")
}

// settle gives a role found by geometry; where types or words say the same, they are the
// better evidence and stand as the reason.
func (r *reader) settle(p *piece, c Concept, role void.Role, concept, why string) {
	if e, ok := r.hint(p).says(concept); ok {
		p.is(c, role, e.Signal, e.Value)
		return
	}
	p.is(c, role, "geometry", why)
}

// loneStud settles an upright stick that stands in no row: a post.
func (r *reader) loneStud(p *piece) {
	if _, ok := r.hint(p).says("stud"); ok {
		r.settle(p, Stud, void.RoleStud, "stud", "")
		return
	}
	if p.size[0] > 1.5 && !r.inGapOf(p) {
		p.is(Beam, void.RoleBeam, "geometry", "a post: upright and alone")
	}
}
