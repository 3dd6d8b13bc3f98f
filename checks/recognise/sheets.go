package recognise

import (
	"math"
	"sort"

	"voidcheck/checks/lexicon"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

type evidence = lexicon.Evidence

// sheetTouch is how far a board and the framing it is fixed to may be apart or overlap,
// metres: furring channels are up to 38 mm deep, modelled parts overlap up to 50 mm.
const sheetTouch = 0.06

// suspendMax is the greatest drop of a suspended ceiling below its framing, metres.
const suspendMax = 1.3

// soffitMax is the greatest width of a boxed-out soffit, metres.
const soffitMax = 1.2

// findSheets settles boards and slabs: level ones by the framing above or below them, inclined
// ones likewise, upright ones by the studs or the void they stand at.
func (r *reader) findSheets() {
	var level, steep []*piece
	for _, p := range r.ps {
		if p.known() || p.skip || p.truss >= 0 || p.round || r.hints[p.elem].out {
			continue
		}
		if p.form != board && p.form != slab {
			continue
		}
		switch p.lie {
		case flat:
			level = append(level, p)
		case inclined:
			steep = append(steep, p)
		}
	}
	// From the top down, so that a ceiling is known before the soffit below it.
	sort.SliceStable(level, func(i, j int) bool { return level[i].z0() > level[j].z0()+geomTol })
	for _, p := range level {
		r.levelSheet(p)
	}
	for _, p := range steep {
		r.steepSheet(p)
	}
	r.roofOrDeck()
	r.uprightSheets()
}

// sheetHint returns what types and words say of a board.
func (r *reader) sheetHint(p *piece, allowed ...string) (evidence, bool) {
	return r.hint(p).says(allowed...)
}

// touching counts the framing members right above and right below a level board.
func (r *reader) touching(p *piece) (above, below int) {
	b := p.box
	b.Min.Z -= sheetTouch
	b.Max.Z += sheetTouch
	for _, i := range r.near.In(b) {
		q := r.ps[i]
		if q == p || !spans(q) || math.Abs(q.axes[0].Z) > 0.03 && !q.layered {
			continue
		}
		if dx, dy := planOverlap(p.box, q.box); dx < 0.02 || dy < 0.02 {
			continue
		}
		switch mid := (q.z0() + q.z1()) / 2; {
		case mid > p.mid.Z && math.Abs(q.z0()-p.z1()) < sheetTouch:
			above++
		case mid < p.mid.Z && math.Abs(q.z1()-p.z0()) < sheetTouch:
			below++
		}
	}
	return above, below
}

// hanging looks up and down from the middle of a level board for framing, past nothing else.
func (r *reader) hanging(p *piece) (above, below float64) {
	above, below = math.Inf(1), math.Inf(1)
	b := p.box
	b.Min.Z -= suspendMax
	b.Max.Z += suspendMax
	for _, i := range r.near.In(b) {
		q := r.ps[i]
		if q == p || !spans(q) {
			continue
		}
		if dx, dy := planOverlap(p.box, q.box); dx < 0.02 || dy < 0.02 {
			continue
		}
		if d := q.z0() - p.z1(); d > -sheetTouch {
			above = math.Min(above, d)
		}
		if d := p.z0() - q.z1(); d > -sheetTouch {
			below = math.Min(below, d)
		}
	}
	return above, below
}

// levelSheet settles a level board or slab.
func (r *reader) levelSheet(p *piece) {
	e := r.element(p)
	if r.inCavity(p) || r.isCollar(p) {
		return // a flat stop in a wall, a seal; findStops settles it
	}
	h, hinted := r.sheetHint(p, "ceiling", "deck", "roof", "soffit-board", "insulation", "fireblock", "draftstop", "solid")
	if _, soft := r.ofMaterial(e, "insulation"); soft && (!hinted || !h.Strong()) || hinted && h.Concept == "insulation" {
		r.settle(p, Insulation, void.RoleInsulation, "insulation", "an insulating layer")
		return
	}
	if hinted && (h.Concept == "fireblock" || h.Concept == "draftstop") {
		return
	}
	above, below := r.touching(p)
	if hinted && h.Concept == "soffit-board" {
		p.is(SoffitBd, void.RoleSoffitBoard, h.Signal, h.Value)
		return
	}
	if !hinted && !r.bounds(p) {
		return // findStops and settleRest say what it is
	}
	switch {
	case above > 0 && below == 0:
		if p.form == slab && p.size[2] > boardMax && !hinted && r.betweenMembers(p) {
			r.settle(p, Insulation, void.RoleInsulation, "insulation", "thick and soft-sized, between members")
			return
		}
		if hinted && h.Strong() && h.Concept != "ceiling" {
			break
		}
		r.settle(p, Ceiling, void.RoleCeiling, "ceiling", "level board right below framing")
		return
	case below > 0 && above == 0:
		if hinted && h.Concept == "roof" {
			p.is(Roof, void.RoleRoof, h.Signal, h.Value)
			return
		}
		if hinted && h.Strong() && h.Concept == "ceiling" {
			break
		}
		r.settle(p, Deck, void.RoleDeck, "deck", "level board right on framing")
		return
	}
	if hinted {
		r.sheetIs(p, h)
		return
	}
	up, down := r.hanging(p)
	switch {
	case p.size[2] <= 0.06 && up < down && up < suspendMax && p.size[1] < soffitMax && r.underBoardWithin(p, suspendMax):
		p.is(SoffitBd, void.RoleSoffitBoard, "geometry", "narrow level board hung below a ceiling")
	case p.size[2] <= 0.06 && up < down && up < suspendMax:
		p.is(Ceiling, void.RoleCeiling, "geometry", "level board hung below framing")
	case e.Is("IfcCovering"):
		p.is(Ceiling, void.RoleCeiling, "entity", e.Entity)
	case p.size[2] <= 0.06 && r.roomAt(p, -0.05) && !r.roomAt(p, 0.05):
		p.is(Ceiling, void.RoleCeiling, "geometry", "level board right above a room")
	case p.size[2] <= boardMax && p.size[0] < 0.5:
		// too small to bound a void: left to findStops
	default:
		p.is(Deck, void.RoleDeck, "geometry", "level slab or board")
	}
}

// Of a level board that nothing but its place tells: the thinnest that is a ceiling or a deck
// (hardboard of 1/8 in is hung as one; metal ones are drawn as coverings), and the least length
// of one that lies by itself, metres.
const (
	membraneThin = 0.003
	membraneLong = 0.5
)

// bounds reports whether a level board has the thickness and extent of a membrane: a plate of
// steel under a truss has not, nor a pad by itself; a small board beside others goes on with them.
func (r *reader) bounds(p *piece) bool {
	if e := r.element(p); e.Is("IfcCovering") || e.Is("IfcSlab") {
		return true
	}
	if p.size[2] < membraneThin {
		return false
	}
	if p.form == slab || p.size[0] >= membraneLong {
		return true
	}
	for _, i := range r.near.In(p.box.Grow(0.03)) {
		q := r.ps[i]
		if q != p && q.lie == flat && (q.form == board || q.form == slab) && q.size[0] >= membraneLong && q.size[2] >= membraneThin &&
			overlap(p.z0(), p.z1(), q.z0(), q.z1()) > 0.5*p.size[2] {
			return true
		}
	}
	return false
}

// roomAt reports whether a space of the model lies right above (d > 0) or below a board.
func (r *reader) roomAt(p *piece, d float64) bool {
	z := p.z1() + d
	if d < 0 {
		z = p.z0() + d
	}
	n, hit := 0, 0
	for _, f := range [][2]float64{{0.5, 0.5}, {0.2, 0.3}, {0.8, 0.7}, {0.3, 0.8}, {0.7, 0.2}} {
		s := p.box.Size()
		q := geom.Vec3{X: p.box.Min.X + f[0]*s.X, Y: p.box.Min.Y + f[1]*s.Y, Z: z}
		n++
		for _, b := range r.spaceBoxes {
			if q.X > b.Min.X && q.X < b.Max.X && q.Y > b.Min.Y && q.Y < b.Max.Y && q.Z > b.Min.Z && q.Z < b.Max.Z {
				hit++
				break
			}
		}
	}
	return 2*hit > n
}

// underBoardWithin reports whether another level board covers p within a height above it.
func (r *reader) underBoardWithin(p *piece, h float64) bool {
	b := p.box
	b.Min.Z, b.Max.Z = p.z1()+0.02, p.z1()+h
	for _, i := range r.near.In(b) {
		q := r.ps[i]
		if q == p || q.role != void.RoleCeiling {
			continue
		}
		if dx, dy := planOverlap(p.box, q.box); dx > 0.02 && dy > 0.02 {
			return true
		}
	}
	return false
}

// sheetIs settles a board by its hint.
func (r *reader) sheetIs(p *piece, h evidence) {
	switch h.Concept {
	case "ceiling":
		p.is(Ceiling, void.RoleCeiling, h.Signal, h.Value)
	case "roof":
		p.is(Roof, void.RoleRoof, h.Signal, h.Value)
	case "soffit-board":
		p.is(SoffitBd, void.RoleSoffitBoard, h.Signal, h.Value)
	case "solid":
		if p.lie == flat && r.element(p).Is("IfcSlab") {
			p.is(Deck, void.RoleDeck, h.Signal, h.Value)
		} else {
			p.is(Solid, void.RoleSolid, h.Signal, h.Value)
		}
	default:
		p.is(Deck, void.RoleDeck, h.Signal, h.Value)
	}
}

// betweenMembers reports whether a level slab lies within the height of framing members.
func (r *reader) betweenMembers(p *piece) bool {
	for _, i := range r.near.In(p.box.Grow(0.05)) {
		q := r.ps[i]
		if spans(q) && !q.layered && overlap(p.z0(), p.z1(), q.z0(), q.z1()) > 0.6*math.Min(p.box.Size().Z, q.box.Size().Z) {
			return true
		}
	}
	return false
}

// steepSheet settles an inclined board or slab.
func (r *reader) steepSheet(p *piece) {
	h, hinted := r.sheetHint(p, "roof", "ceiling", "soffit-board", "insulation", "deck", "draftstop", "fireblock", "finish", "stair")
	if _, soft := r.ofMaterial(r.element(p), "insulation"); soft || hinted && h.Concept == "insulation" {
		r.settle(p, Insulation, void.RoleInsulation, "insulation", "an insulating layer")
		return
	}
	above, below := r.touchingSteep(p)
	switch {
	case below > above:
		r.settle(p, Roof, void.RoleRoof, "roof", "inclined board on framing")
	case above > 0:
		r.settle(p, Ceiling, void.RoleCeiling, "ceiling", "inclined board below framing")
	case hinted && h.Concept == "ceiling" || hinted && h.Concept == "soffit-board":
		r.sheetIs(p, h)
	case hinted && h.Concept == "finish":
		p.is(Finish, void.RoleFinish, h.Signal, h.Value)
	case math.Abs(p.axes[2].Z) < 0.17: // steeper than 80 degrees: a leaning wall
		p.is(Finish, void.RoleFinish, "geometry", "nearly upright board")
	case hinted && h.Concept == "roof":
		r.sheetIs(p, h)
	default:
		p.is(Roof, void.RoleRoof, "geometry", "inclined slab")
	}
}

// touchingSteep counts the framing right above and right below an inclined board. One level
// member is nothing to lie on: the foot of a stair's board comes near a joist of the floor.
func (r *reader) touchingSteep(p *piece) (above, below int) {
	levelAbove, levelBelow := 0, 0
	n := p.axes[2]
	if n.Z < 0 {
		n = n.Mul(-1)
	}
	for _, i := range r.near.In(p.box.Grow(sheetTouch)) {
		q := r.ps[i]
		if q == p || q.layered || !(spans(q) || q.role == void.RoleBeam) || math.Abs(q.axes[0].Dot(n)) > 0.1 {
			continue
		}
		// half the depth of the member across the board
		half := 0.0
		for k := range q.axes {
			half += math.Abs(q.axes[k].Dot(n)) * q.size[k] / 2
		}
		d := q.mid.Sub(p.mid).Dot(n)
		if math.Abs(math.Abs(d)-half-p.size[2]/2) >= sheetTouch {
			continue
		}
		switch level := math.Abs(q.axes[0].Z) < 0.03; {
		case level && d > 0:
			levelAbove++
		case level:
			levelBelow++
		case d > 0:
			above++
		default:
			below++
		}
	}
	if levelAbove > 1 {
		above += levelAbove
	}
	if levelBelow > 1 {
		below += levelBelow
	}
	return above, below
}

// roofOrDeck turns level decks that nothing stands on and nothing covers into roofs, where
// neither types nor words call them floors.
func (r *reader) roofOrDeck() {
	for _, p := range r.ps {
		if p.role != void.RoleDeck || p.skip || p.lie != flat {
			continue
		}
		if _, ok := r.hint(p).says("deck", "solid"); ok {
			continue
		}
		if _, below := r.touching(p); below == 0 && !p.layered {
			continue
		}
		if !r.isFloorLevel(p.z1()) && !r.covered(p) {
			p.is(Roof, void.RoleRoof, "geometry", "level board on framing with nothing above it")
		}
	}
}

// isFloorLevel reports whether a storey that is not called a roof begins at a height.
func (r *reader) isFloorLevel(z float64) bool {
	for _, s := range r.m.Storeys {
		if math.Abs(s.ElevationM-z) < 0.1 {
			if _, roof := r.lex.Storey("roof", lexicon.Subject{Names: []string{s.Name}}); !roof {
				return true
			}
		}
	}
	return false
}

// covered reports whether anything of the building stands on or above a level board: studs,
// walls, roof or other boards.
func (r *reader) covered(p *piece) bool {
	b := geom.Box{Min: p.box.Min, Max: p.box.Max}
	b.Min.Z, b.Max.Z = p.z1()-0.02, p.z1()+30
	area := (p.box.Max.X - p.box.Min.X) * (p.box.Max.Y - p.box.Min.Y)
	for _, i := range r.near.In(b) {
		q := r.ps[i]
		if q == p || r.hints[q.elem].out || q.role == void.RoleService || q.role == void.RoleChimney || q.z1() < p.z1()+0.3 {
			continue
		}
		dx, dy := planOverlap(p.box, q.box)
		if dx < 0.02 || dy < 0.02 {
			continue
		}
		if q.row >= 0 || dx*dy > 0.3*area || q.lie == upright && q.size[0] > 1.5 && q.z0() < p.z1()+0.1 && q.z1() > p.z1()+1.5 {
			return true
		}
	}
	for _, s := range r.m.Spaces {
		if body := s.Body(); body != nil && body.Box.Min.Z > p.z1()-0.1 {
			c := r.turn.in(body.Box.Center())
			if c.X > p.box.Min.X && c.X < p.box.Max.X && c.Y > p.box.Min.Y && c.Y < p.box.Max.Y {
				if _, out := r.spaceOutside(s); !out {
					return true
				}
			}
		}
	}
	return false
}
