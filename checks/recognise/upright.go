package recognise

import (
	"math"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// floorDeep is the depth of the deepest floor framing, metres (24 in trusses and a deck).
const floorDeep = 0.75

// faceTouch is how far a wall board and the studs it is fixed to may be apart, metres.
const faceTouch = 0.03

// uprightSheets settles plumb boards: on stud faces they are wall boards; across a floor or
// attic void with framing on both sides they are stops; at its edge they sheathe it.
func (r *reader) uprightSheets() {
	var up []*piece
	for _, p := range r.ps {
		if p.known() || p.skip || p.truss >= 0 || p.round || r.hints[p.elem].out {
			continue
		}
		if p.lie == upright && (p.form == board || p.form == slab && p.size[2] < 0.06) && math.Abs(p.axes[2].Z) < 0.03 {
			up = append(up, p)
		}
	}
	webs := map[int]bool{}
	for _, p := range up {
		if r.inCavity(p) {
			continue
		}
		if f, ok := r.hint(p).says("joist"); ok && f.Strong() && p.form == board && math.Abs(p.axes[0].Z) < 0.03 && p.height() < floorDeep {
			p.is(Joist, void.RoleJoist, f.Signal, f.Value) // the web of an I-joist whose flanges are solids of their own
			webs[p.elem] = true
			continue
		}
		h, hinted := r.sheetHint(p, "draftstop", "fireblock", "insulation", "finish", "rim", "soffit-board", "seal", "separation", "wall", "deck", "ceiling", "roof")
		first := r.hint(p).first()
		if hinted && h.Concept != first && !h.Strong() {
			hinted = false
		}
		if hinted && (h.Concept == "seal" || h.Concept == "insulation" || h.Concept == "fireblock" && !r.isAcross(p)) {
			continue
		}
		r.uprightSheet(p, h, hinted)
	}
	for _, p := range r.ps {
		if webs[p.elem] && p.role == void.RoleJoist {
			p.framing = void.FramingI
		}
	}
}

// isAcross reports whether a board is longer than a bay and stands in a void with framing on
// both its sides: a draftstop, whatever it is called. A low strip is none, nor is fibre, which
// fills the space between two rows where a wall ends.
func (r *reader) isAcross(p *piece) bool {
	const low = 0.2 // floor voids are deeper, metres
	if _, soft := r.ofMaterial(r.element(p), "insulation"); soft || p.height() < low {
		return false
	}
	left, right := r.voidSides(p)
	return left && right && p.form == board && p.size[0] > memberGap && p.size[1] < p.size[0]
}

func (r *reader) uprightSheet(p *piece, h evidence, hinted bool) {
	if r.isCollar(p) {
		return // findStops settles it
	}
	face := r.onStudFace(p)
	if hinted && h.Concept == "draftstop" {
		p.is(Draftstop, void.RoleDraftstop, h.Signal, h.Value)
		return
	}
	if hinted && h.Concept == "soffit-board" {
		p.is(SoffitBd, void.RoleSoffitBoard, h.Signal, h.Value)
		return
	}
	if face {
		r.settle(p, Finish, void.RoleFinish, "finish", "upright board on the face of studs")
		return
	}
	left, right := r.voidSides(p)
	l := sheetStrip(p)
	switch {
	case r.isRiser(p):
		r.settle(p, Finish, void.RoleFinish, "finish", "upright board between ceilings of two heights")
	case p.size[2] <= boardMax && r.spansBay(p, &l): // beside a unit line the framing may stand on one side alone
		r.settle(p, Fireblock, void.RoleBlock, "fireblock", "panel between two members")
	case left && right && p.size[2] <= boardMax:
		r.settle(p, Draftstop, void.RoleDraftstop, "draftstop", "upright board across a void, framing on both its sides")
	case left || right:
		if hinted && h.Concept == "rim" {
			p.is(Rim, void.RoleRim, h.Signal, h.Value)
			return
		}
		r.settle(p, Finish, void.RoleFinish, "finish", "upright board at the edge of a void")
	case hinted && h.Concept == "rim":
		p.is(Rim, void.RoleRim, h.Signal, h.Value)
	case p.size[1] < 0.8 && r.underBoard(p):
		p.is(SoffitBd, void.RoleSoffitBoard, "geometry", "low upright board under a ceiling")
	default:
		r.settle(p, Finish, void.RoleFinish, "finish", "upright board")
	}
}

// sheetStrip returns a strip along an upright board that tells directions only.
func sheetStrip(p *piece) leaf { return newStrip(p.axes[2].Plan()) }

// onStudFace reports whether an upright board lies on a face of a stud row, of a layered wall
// or of another wall board, or between two rows.
func (r *reader) onStudFace(p *piece) bool {
	l := sheetStrip(p)
	const reach = faceTouch + 2*boardMax + doubleGap // of the rows that a board may lie on or between
	beside := r.grid().in(p.reach().Grow(reach))
	for _, w := range beside {
		if !w.parallel(&l) || !w.framed && !w.framing {
			continue
		}
		s0, s1, t0, t1 := w.span(p)
		if overlap(s0, s1, w.s0, w.s1) < math.Min(0.2, 0.5*(s1-s0)) || overlap(p.z0(), p.z1(), w.z0, w.z1) < math.Min(0.3, 0.4*(p.z1()-p.z0())) {
			continue
		}
		lo, hi := w.edges()
		// up to three boards on each other
		if t0 > hi-faceTouch && t0 < hi+faceTouch+2*boardMax || t1 < lo+faceTouch && t1 > lo-faceTouch-2*boardMax {
			if r.stackOf(p, &l, lo, hi) {
				return true
			}
		}
		for _, o := range beside {
			if o == w || !o.parallel(w) || overlap(o.s0, o.s1, s0, s1) < 0.2 || overlap(o.z0, o.z1, p.z0(), p.z1()) < 0.3 {
				continue
			}
			a, _ := o.edges()
			if a > hi-0.01 && a-hi < doubleGap && t0 > hi-0.02 && t1 < a+0.02 {
				return true
			}
		}
	}
	return false
}

// stackOf reports whether what lies between a board and the face of a row is other boards.
func (r *reader) stackOf(p *piece, l *leaf, lo, hi float64) bool {
	_, _, t0, t1 := l.span(p)
	gap := math.Max(t0-hi, lo-t1)
	if gap < faceTouch {
		return true
	}
	for _, i := range r.near.In(p.box.Grow(0.002)) {
		q := r.ps[i]
		if q == p || q.form != board || q.lie != upright || q.skip {
			continue
		}
		_, _, u0, u1 := l.span(q)
		if t0 > hi && math.Abs(u1-t0) < 0.005 || t1 < lo && math.Abs(u0-t1) < 0.005 {
			return true
		}
	}
	return false
}

// voidSides reports on which sides of an upright board floor or attic framing stands at its
// height within reach.
func (r *reader) voidSides(p *piece) (left, right bool) {
	l := sheetStrip(p)
	s0, s1, t0, t1 := l.span(p)
	for _, i := range r.near.In(p.box.Grow(memberGap)) {
		q := r.ps[i]
		if q == p || q.skip || q.role == void.RoleRoof || !(spans(q) || q.truss >= 0) {
			continue
		}
		q0, q1, u0, u1 := l.span(q)
		if overlap(s0, s1, q0, q1) < 0.03 || overlap(p.z0(), p.z1(), q.z0(), q.z1()) < 0.03 {
			continue
		}
		left = left || u0 < t0-0.02
		right = right || u1 > t1+0.02
	}
	return left, right
}

// spansBay reports whether a panel is as short as a bay and ends at members on both sides.
func (r *reader) spansBay(p *piece, l *leaf) bool {
	s0, s1, _, _ := l.span(p)
	if s1-s0 > memberGap {
		return false
	}
	lo, hi := false, false
	for _, i := range r.near.In(p.box.Grow(0.05)) {
		q := r.ps[i]
		if q == p || !spans(q) || math.Abs(q.axes[0].Plan().Unit().Dot(l.dir)) > 0.2 {
			continue
		}
		q0, q1, _, _ := l.span(q)
		lo = lo || math.Abs(q1-s0) < 0.06
		hi = hi || math.Abs(q0-s1) < 0.06
	}
	return lo && hi
}

// underBoard reports whether the top of an upright board meets a ceiling.
func (r *reader) underBoard(p *piece) bool {
	for _, i := range r.near.In(p.box.Grow(sheetTouch)) {
		q := r.ps[i]
		if q != p && q.role == void.RoleCeiling && q.lie == flat && math.Abs(q.z0()-p.z1()) < sheetTouch {
			return true
		}
	}
	return false
}

// inCavity reports whether a piece lies inside a wall: within the strip between its outer
// faces, in the depth of its studs or in the gap beside them.
func (r *reader) inCavity(p *piece) bool {
	w, _ := r.cavityOf(p)
	return w != nil
}

// leavesNear returns the leaves whose strip comes within d of a piece in plan, in order.
func (r *reader) leavesNear(p *piece, d float64) []*leaf {
	return r.grid().in(p.box.Grow(d))
}

// grid returns the leaves by place, as they are now.
func (r *reader) grid() *leafGrid {
	if r.leafGrid == nil || len(r.leafGrid.all) != len(r.leaves) {
		r.leafGrid = newLeafGrid(r.leaves)
	}
	return r.leafGrid
}

// rowsNear returns the strips of the stud rows that come within d of a piece in plan.
func (r *reader) rowsNear(p *piece, d float64) []*leaf {
	if r.rowLeaves == nil || len(r.rowLeaves.all) != len(r.rows) {
		r.rowLeaves = r.rowGrid()
	}
	return r.rowLeaves.in(p.reach().Grow(d))
}

// leafGrid finds leaves by place.
type leafGrid struct {
	all   []*leaf
	index *geom.BoxIndex
}

func newLeafGrid(ls []*leaf) *leafGrid {
	boxes := make([]geom.Box, len(ls))
	for i, l := range ls {
		boxes[i] = l.box()
	}
	return &leafGrid{all: ls, index: geom.NewBoxIndex(boxes)}
}

// box returns the bounds of a leaf, empty when it has no bands.
func (l *leaf) box() geom.Box {
	if len(l.bands) == 0 {
		return geom.EmptyBox()
	}
	lo, hi := l.edges()
	return l.stretch(l.s0, l.s1, lo, hi)
}

// stretch returns the bounds of a part of the strip of a leaf, over its height.
func (l *leaf) stretch(s0, s1, t0, t1 float64) geom.Box {
	b := geom.EmptyBox()
	for _, s := range []float64{s0, s1} {
		for _, t := range []float64{t0, t1} {
			q := l.dir.Mul(s).Add(l.norm.Mul(t))
			b = b.Extend(geom.Vec3{X: q.X, Y: q.Y, Z: l.z0}).Extend(geom.Vec3{X: q.X, Y: q.Y, Z: l.z1})
		}
	}
	return b
}

// ids returns the numbers of the leaves whose plan bounds meet those of b, ascending.
func (g *leafGrid) ids(b geom.Box) []int {
	b.Min.Z, b.Max.Z = math.Inf(-1), math.Inf(1)
	return g.index.In(b)
}

// in returns the leaves whose plan bounds meet those of b, in order.
func (g *leafGrid) in(b geom.Box) []*leaf {
	ids := g.ids(b)
	out := make([]*leaf, len(ids))
	for k, i := range ids {
		out[k] = g.all[i]
	}
	return out
}

// cavityOf returns the wall a piece lies inside and, when it lies in the gap of a double wall, how wide that is,
// metres; else 0.
func (r *reader) cavityOf(p *piece) (*leaf, float64) {
	const play = 0.055
	beside := r.leavesNear(p, doubleGap+2*play)
	for _, w := range beside {
		if w.bare || len(w.bands) == 0 {
			continue
		}
		s0, s1, t0, t1 := w.span(p)
		if overlap(s0, s1, w.s0, w.s1) < 0.6*(s1-s0) || p.z1() < w.z0-0.3 || p.z0() > w.z1+0.3 || t1-t0 > 0.6 {
			continue
		}
		lo, hi := w.edges()
		if t0 > lo-play && t1 < hi+play && overlap(t0, t1, lo, hi) > 0.6*(t1-t0) && overlap(p.z0(), p.z1(), w.z0, w.z1) > 0.5*(p.z1()-p.z0()) {
			return w, 0
		}
		for _, o := range beside {
			if o == w || o.bare || !o.parallel(w) || overlap(o.s0, o.s1, w.s0, w.s1) < 0.3 || overlap(o.z0, o.z1, w.z0, w.z1) < 0.3 {
				continue
			}
			a, b := o.edges()
			// A block in the floor between two storeys stands outside the height of both walls.
			if tall := p.z1() - p.z0(); tall > floorDeep && overlap(p.z0(), p.z1(), w.z0, w.z1) < 0.4*tall {
				continue
			}
			if overlap(s0, s1, o.s0, o.s1) < 0.3*(s1-s0) {
				continue // it stands beyond the end of the other row, where the first is an outer wall
			}
			if a > hi-0.01 && a-hi < doubleGap && t0 > lo-play && t1 < b+play && overlap(t0, t1, hi, a) > 0.002 {
				return w, math.Max(a-hi, minCavity)
			}
		}
	}
	return nil, 0
}
