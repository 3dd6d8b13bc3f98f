package recognise

import (
	"math"

	"voidcheck/checks/void"
)

// Limits of spanning members, metres.
const (
	spanMin   = 0.90 // shorter level pieces are blocks or packing
	memberGap = 1.30 // farthest members of one floor or roof stand apart
)

// settleByType settles what types of the standard alone decide: services, sprinklers, chimneys,
// stairs.
func (r *reader) settleByType() {
	kinds := []struct {
		word    string
		concept Concept
		role    void.Role
	}{{"sprinkler", Sprinkler, void.RoleService}, {"service", Service, void.RoleService}, {"chimney", Chimney, void.RoleChimney}, {"stair", Stair, void.RoleStair}}
	parallel(len(r.ps), func(from, to int) {
		for _, p := range r.ps[from:to] {
			if p.known() || p.skip {
				continue
			}
			h := r.hint(p)
			for _, k := range kinds {
				e, ok := h.says(k.word)
				if k.concept == Stair && ok && !e.Strong() && p.form == stick && p.lie == flat {
					continue // "stair header": a member of the floor round the well
				}
				if ok && (e.Strong() || h.first() == k.word) {
					p.is(k.concept, k.role, e.Signal, e.Value)
					break
				}
			}
		}
	})
}

// findMembers settles joists, rafters, rims and beams.
func (r *reader) findMembers() {
	ms := r.which(r.isMember)
	for _, p := range ms {
		if e, ok := r.memberByHint(p); ok {
			r.memberIs(p, e.Concept, Reason{e.Signal, e.Value})
		}
	}
	for _, p := range ms {
		if !p.known() {
			c, why := r.memberByPlace(p)
			r.memberIs(p, c, Reason{"geometry", why})
		}
	}
}

// isMember reports whether a piece is a free stick that is not upright and long enough to
// span.
func (r *reader) isMember(p *piece) bool {
	if p.known() || p.skip || p.truss >= 0 || p.round || p.size[0] < spanMin || p.isSliver() || math.Abs(p.axes[0].Z) > 0.98 {
		return false
	}
	onEdge := p.form == chunk && p.size[2] <= plateMax && math.Abs(p.axes[2].Z) < 0.03
	if p.form != stick && !onEdge && !(p.form == board && p.size[2] > 0.026 && p.size[1] < 0.75) {
		return false
	}
	h := r.hint(p)
	if h.first() == "insulation" || h.first() == "seal" {
		return false
	}
	if _, soft := r.ofMaterial(r.element(p), "insulation", "seal"); soft && h.first() == "" {
		return false
	}
	return math.Min(p.size[1], p.height()) < 0.75
}

// inGapOf reports whether a piece lies in the gap of a double wall, beside its studs.
func (r *reader) inGapOf(p *piece) bool {
	w, wide := r.cavityOf(p)
	gap := wide > 0
	if w == nil {
		return false
	}
	_, _, t0, t1 := w.span(p)
	if !gap && !r.twoRows(w) {
		return false
	}
	for _, o := range r.grid().in(w.stretch(w.s0, w.s1, t0, t1).Grow(0.01)) {
		if o.bare || !o.parallel(w) || overlap(o.s0, o.s1, w.s0, w.s1) < 0.3 || overlap(o.z0, o.z1, p.z0(), p.z1()) < 0 {
			continue
		}
		for _, b := range o.bands {
			if b.kind == bandFrame && overlap(b.lo, b.hi, t0, t1) > 0.6*(t1-t0) {
				return false
			}
		}
	}
	return true
}

// twoRows reports whether a leaf holds two stud rows itself.
func (r *reader) twoRows(w *leaf) bool {
	n := 0
	for _, b := range w.bands {
		if b.kind == bandFrame {
			n++
		}
	}
	return n > 1
}

// memberByHint returns what types or words say where the piece can be that.
func (r *reader) memberByHint(p *piece) (e evidence, ok bool) {
	h := r.hint(p)
	level := math.Abs(p.axes[0].Z) < 0.03
	if c, ok := r.materialClass(r.element(p)); ok && c.Class == "steel" {
		if _, strong := h.says("beam"); !strong && h.first() == "" {
			return evidence{Concept: "beam", Signal: "material", Value: r.element(p).Materials[0]}, true
		}
	}
	for i := range h.found {
		f := h.at(i)
		if f.Concept == "stair" { // header or trimmer of a stair well
			f.Concept = "beam"
			return f, true
		}
		switch f.Concept {
		case "fireblock", "draftstop":
			return f, true
		case "joist", "rim":
			if level || math.Abs(p.axes[0].Z) < 0.2 {
				return f, true
			}
		case "rafter", "beam":
			return f, true
		case "plate":
			if level {
				return f, true
			}
			if f.Strong() || h.first() == "plate" { // sloping top plate of a gable wall
				return f, true
			}
		case "floor-truss", "truss":
			if level && p.form == stick && p.height() > 0.2 && p.full > 0.9 { // a truss shown as a bar
				return f, true
			}
		case "soffit-board", "finish", "chord", "web":
			if _, stop := h.says("draftstop", "fireblock"); stop && f.Concept == "finish" {
				continue // a covering that is called a stop: the more particular word
			}
			if h.first() == f.Concept {
				return f, true
			}
		}
	}
	return e, false
}

// memberIs settles a member.
func (r *reader) memberIs(p *piece, concept string, why Reason) {
	set := func(c Concept, role void.Role) { p.is(c, role, why.Signal, why.Value) }
	switch concept {
	case "fireblock":
		set(Fireblock, void.RoleBlock)
	case "draftstop":
		set(Draftstop, void.RoleDraftstop)
	case "rim":
		set(Rim, void.RoleRim)
	case "rafter":
		set(Rafter, void.RoleRafter)
		p.framing = void.FramingRafter
	case "plate":
		set(Plate, void.RolePlate)
	case "beam":
		set(Beam, void.RoleBeam)
	case "soffit-board":
		set(SoffitBd, void.RoleSoffitBoard)
	case "finish":
		set(Finish, void.RoleFinish)
	case "chord":
		set(Chord, void.RoleChord)
	case "web":
		set(Web, void.RoleWeb)
	case "floor-truss", "truss":
		set(FloorTruss, void.RoleJoist)
		p.framing = void.FramingTruss
	default:
		set(Joist, void.RoleJoist)
		p.framing = r.joistFraming(p)
	}
}

// joistFraming tells an I-joist from a solid one by its section, else by its words.
func (r *reader) joistFraming(p *piece) void.Framing {
	if p.full < 0.6 && p.seen > 0.85 {
		return void.FramingI
	}
	e := r.element(p)
	if k, ok := r.lex.Framing(e.Name, e.TypeName, e.ObjectType); ok && void.Framing(k) == void.FramingI {
		return void.FramingI
	}
	return void.FramingSolid
}

// memberByPlace reads a member without a name by where it stands.
func (r *reader) memberByPlace(p *piece) (concept, why string) {
	l := stripOf(p)
	slope := math.Abs(p.axes[0].Z)
	if slope > 0.026 {
		if r.inWall(p) {
			return "plate", "inclined member on the studs of a gable wall"
		}
		if n, _ := r.siblings(p, &l); n > 0 {
			return "rafter", "inclined member, one of several at a spacing"
		}
		return "beam", "inclined member, alone"
	}
	if r.inGapOf(p) {
		return "fireblock", "piece in the gap of a double wall"
	}
	if r.behindFurring(p) {
		return "fireblock", "piece in the air space behind furring"
	}
	if r.inWall(p) {
		return "beam", "level member within a stud wall"
	}
	left, right := r.endsMeeting(p, &l)
	sib, twin := r.siblings(p, &l)
	if left+right == 0 && p.size[0] <= memberGap && r.spansBay(p, &l) {
		return "fireblock", "piece between two members"
	}
	if left+right >= 2 && (left == 0 || right == 0) && sib <= left+right {
		return "rim", "level member that others end at, on one side"
	}
	if left >= 2 && right >= 2 && left+right > sib {
		return "beam", "level member that others end at, on both sides"
	}
	if r.onWallLine(p, &l) {
		both := r.framingBothSides(p, &l)
		if both && !twin {
			return "fireblock", "board standing on a wall between the framing on both its sides"
		}
		if !both {
			return "rim", "level member standing on a wall, framing on one side"
		}
	}
	if sib > 0 {
		return "joist", "level member, one of several at a spacing"
	}
	return "beam", "level member, alone"
}

// siblings counts parallel members beside p at a spacing, at the same height and slope; twin
// is true when one of them has the same length.
func (r *reader) siblings(p *piece, l *leaf) (n int, twin bool) {
	s0, s1, t0, t1 := l.span(p)
	for _, i := range r.near.In(p.box.Grow(memberGap)) {
		q := r.ps[i]
		if q == p || q.skip || q.form == slab || q.truss >= 0 && q.role != void.RoleChord || math.Abs(q.axes[0].Z-p.axes[0].Z) > 0.02 && math.Abs(q.axes[0].Z+p.axes[0].Z) > 0.02 {
			continue
		}
		if q.truss < 0 && (q.row >= 0 || q.known() && q.role != void.RoleJoist && q.role != void.RoleRafter) {
			continue
		}
		if math.Abs(q.axes[0].Plan().Unit().Dot(l.dir)) < 0.999 {
			continue
		}
		q0, q1, u0, u1 := l.span(q)
		gap := math.Max(u0-t1, t0-u1)
		if gap > 0.05 && gap < memberGap && overlap(s0, s1, q0, q1) > 0.5*math.Min(s1-s0, q1-q0) &&
			overlap(p.z0(), p.z1(), q.z0(), q.z1()) > 0.6*math.Min(p.box.Size().Z, q.box.Size().Z) {
			n++
			twin = twin || math.Abs(p.size[0]-q.size[0]) < 0.02*p.size[0]
		}
	}
	return n, twin
}

// endsMeeting counts the members and chords that end at the faces of p, on either side.
func (r *reader) endsMeeting(p *piece, l *leaf) (left, right int) {
	s0, s1, t0, t1 := l.span(p)
	for _, i := range r.near.In(p.box.Grow(0.06)) {
		q := r.ps[i]
		if q == p || q.skip || q.form == slab || q.size[0] < spanMin || q.row >= 0 || math.Abs(q.axes[0].Z) > 0.03 || q.role == void.RoleWeb {
			continue
		}
		if math.Abs(q.axes[0].Plan().Dot(l.dir)) > 0.2 {
			continue
		}
		q0, q1, u0, u1 := l.span(q)
		if q0 < s0-0.05 || q1 > s1+0.05 || overlap(p.z0(), p.z1(), q.z0(), q.z1()) < 0.5*math.Min(p.height(), q.height()) {
			continue
		}
		switch {
		case math.Abs(u0-t1) < 0.06 && u1 > t1+0.3:
			right++
		case math.Abs(t0-u1) < 0.06 && u0 < t0-0.3:
			left++
		}
	}
	return left, right
}

// inWall reports whether a piece lies inside the strip and height of a stud row.
func (r *reader) inWall(p *piece) bool {
	top := 0.02
	if math.Abs(p.axes[0].Z) > 0.026 {
		top = 0.15 // a sloping plate tops the highest stud by its own plumb depth
	}
	for _, l := range r.rowsNear(p, 0.04) {
		s0, s1, t0, t1 := l.span(p)
		lo, hi := l.edges()
		if overlap(s0, s1, l.s0, l.s1) > 0.9*(s1-s0) && t0 > lo-0.03 && t1 < hi+0.03 && p.z0() > l.z0-0.02 && p.z1() < l.z1+top {
			return true
		}
	}
	return false
}

// onWallLine reports whether p stands on a stud row or layered wall that runs along it.
func (r *reader) onWallLine(p *piece, l *leaf) bool {
	for _, w := range r.grid().in(p.reach().Grow(0.1)) {
		if !w.parallel(l) || math.Abs(p.z0()-w.z1) > 0.06 {
			continue
		}
		s0, s1, t0, t1 := w.span(p)
		lo, hi := w.edges()
		if overlap(s0, s1, w.s0, w.s1) > 0.5*(s1-s0) && t0 > lo-0.06 && t1 < hi+0.06 {
			return true
		}
	}
	return false
}

// framingBothSides reports whether floor framing stands at the height of p on both its sides.
func (r *reader) framingBothSides(p *piece, l *leaf) bool {
	s0, s1, t0, t1 := l.span(p)
	left, right := false, false
	for _, i := range r.near.In(p.box.Grow(memberGap)) {
		q := r.ps[i]
		if q == p || q.skip || q.form == slab || !(q.truss >= 0 || q.role == void.RoleJoist || !q.known() && q.form == stick && q.size[0] > spanMin) {
			continue
		}
		q0, q1, u0, u1 := l.span(q)
		if overlap(s0, s1, q0, q1) < 0.02 || overlap(p.z0(), p.z1(), q.z0(), q.z1()) < 0.02 {
			continue
		}
		left = left || u0 < t0-0.15
		right = right || u1 > t1+0.15
	}
	return left && right
}

// spans reports whether a piece is floor or roof framing that a board may lie on or under.
func spans(q *piece) bool {
	switch q.role {
	case void.RoleJoist, void.RoleRafter, void.RoleChord:
		return true
	case void.RoleFraming:
		return q.layered && math.Abs(q.axes[2].Z) > 0.1
	}
	return false
}
