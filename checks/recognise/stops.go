package recognise

import (
	"math"

	"voidcheck/checks/void"
)

// findStops settles blocks, stops, seals and insulation among the pieces that are left.
func (r *reader) findStops() {
	left := func(do func(*piece)) {
		for _, p := range r.ps {
			if !p.known() && !p.skip && !r.hints[p.elem].out {
				do(p)
			}
		}
	}
	left(func(p *piece) {
		if _, ok := r.ofMaterial(r.element(p), "solid"); ok && r.isStack(p) {
			p.is(Chimney, void.RoleChimney, "geometry", "slender shaft of mineral or metal up through the roof")
		}
	})
	left(r.stop)
}

// isSliver reports whether a piece is what is left of a sheet cut along an edge: long, and thinner both ways
// than any board that closes something.
func (p *piece) isSliver() bool { return p.size[0] > 1 && p.size[1] < 0.013 }

func (r *reader) stop(p *piece) {
	e := r.element(p)
	h := r.hint(p)
	word := h.first()
	if word == "finish" { // a covering may be a stop by its name: the more particular word
		if f, ok := h.says("draftstop", "fireblock"); ok {
			word = f.Concept
		}
	}
	_, soft := r.ofMaterial(e, "insulation")
	_, paste := r.ofMaterial(e, "seal")
	service, round := r.serviceIn(p)
	switch {
	case word == "seal" || paste && word == "":
		r.settle(p, Seal, void.RoleSeal, "seal", "sealing material")
		return
	case service && p.size[0] < collarMax && (word == "" || word == "fireblock" || word == "finish") && round:
		r.settle(p, Seal, void.RoleSeal, "seal", "small solid round a service")
		return
	}
	if f, ok := h.says("stud"); ok && f.Strong() && math.Abs(p.axes[0].Z) > 0.9 || word == "stud" && p.form != board {
		r.settle(p, Stud, void.RoleStud, "stud", "")
		p.framing = void.FramingStud
		return
	}
	if w, wide := r.cavityOf(p); w != nil {
		gap := wide > 0
		if word == "draftstop" && p.size[0] > 1.2 && !gap {
			r.settle(p, Draftstop, void.RoleDraftstop, "draftstop", "")
			return
		}
		if (soft || word == "insulation") && r.fillsBay(p, w) {
			r.settle(p, Insulation, void.RoleInsulation, "insulation", "fills a stud bay")
			return
		}
		along := p.form == board && p.lie == upright && math.Abs(p.axes[2].Plan().Dot(w.dir)) < 0.1 && p.size[0] > 1
		thin := p.size[2] < 0.6*wide && p.size[1] > 0.2 // a sheet on one of the rows, over the roof next door for example
		if along && (word == "" && (p.size[1] > 1 || thin) || word == "finish" && p.size[1] > 0.05) || !soft && p.isSliver() && word != "fireblock" {
			r.settle(p, Finish, void.RoleFinish, "finish", "board between the rows of a wall")
			return
		}
		where := "piece in a wall cavity between studs"
		if gap {
			where = "piece in the gap of a double wall"
		}
		r.settle(p, Fireblock, void.RoleBlock, "fireblock", where)
		return
	}
	switch word {
	case "draftstop":
		r.settle(p, Draftstop, void.RoleDraftstop, word, "")
		return
	case "fireblock":
		r.settle(p, Fireblock, void.RoleBlock, word, "")
		return
	}
	if soft || word == "insulation" {
		if left, right := r.voidSides(p); left && right && math.Abs(p.axes[0].Z) < 0.1 && p.size[0] > memberGap && r.plugs(p) {
			r.settle(p, Draftstop, void.RoleDraftstop, "draftstop", "fibre or foam across a void, framing on both its sides")
			return
		}
		if r.plugs(p) {
			r.settle(p, Fireblock, void.RoleBlock, "fireblock", "fibre batt that fills the height between members")
			return
		}
		r.settle(p, Insulation, void.RoleInsulation, "insulation", "insulating material")
		return
	}
	if p.round && p.size[0] > 0.1 {
		p.is(Service, void.RoleService, "geometry", "round section")
		return
	}
	if word == "" && r.betweenStringers(p) {
		p.is(Fireblock, void.RoleBlock, "geometry", "piece on edge between the stringers of a stair")
		return
	}
	if word == "" && r.besideChimney(p) {
		p.is(Fireblock, void.RoleBlock, "geometry", "small piece between a chimney and the edge of a floor or ceiling")
		return
	}
	if word == "" || word == "beam" || word == "wall" {
		if _, hard := r.ofMaterial(e, "solid"); !hard && r.betweenFraming(p) {
			p.is(Fireblock, void.RoleBlock, "geometry", "short piece between members")
		}
	}
}

// fillsBay reports whether a soft piece fills a wall bay rather than closing it somewhere: it
// is long both ways.
func (r *reader) fillsBay(p *piece, w *leaf) bool {
	s0, s1, _, _ := w.span(p)
	tall := p.z1() - p.z0()
	return tall > 1.0 && s1-s0 > 0.25
}

// plugs reports whether a batt is narrow one way in plan and as tall as the members beside it.
func (r *reader) plugs(p *piece) bool {
	d := p.box.Size()
	if math.Min(d.X, d.Y) > 0.3 || d.Z < 0.1 {
		return false
	}
	for _, i := range r.near.In(p.box.Grow(0.06)) {
		q := r.ps[i]
		if q.truss >= 0 {
			t := r.b.Trusses[q.truss]
			if d.Z > 0.8*t.DepthM {
				return true
			}
		}
		if q.role == void.RoleJoist && d.Z > 0.8*q.height() {
			return true
		}
	}
	return false
}

// serviceIn reports whether a service passes through the box of a piece, and whether the
// piece is of the size of a collar round it.
func (r *reader) serviceIn(p *piece) (service, collar bool) {
	for _, i := range r.near.In(p.box.Grow(0.005)) {
		q := r.ps[i]
		if q.role != void.RoleService || q.elem == p.elem {
			continue
		}
		service = true
		// across the service's own direction the piece is larger on both sides
		in := 0
		for _, k := range [][4]float64{{p.box.Min.X, p.box.Max.X, q.box.Min.X, q.box.Max.X}, {p.box.Min.Y, p.box.Max.Y, q.box.Min.Y, q.box.Max.Y}, {p.box.Min.Z, p.box.Max.Z, q.box.Min.Z, q.box.Max.Z}} {
			if k[0] < k[2]+0.002 && k[1] > k[3]-0.002 {
				in++
			}
		}
		if in >= 2 && p.size[0] < 4*q.size[1]+0.1 {
			collar = true
		}
	}
	return service, collar
}

// collarMax is the largest seal or collar round a service, metres.
const collarMax = 0.7

// isCollar reports whether a small board closes the ring round a service.
func (r *reader) isCollar(p *piece) bool {
	if p.size[0] >= collarMax {
		return false
	}
	switch r.hint(p).first() {
	case "", "seal":
	default:
		return false
	}
	_, round := r.serviceIn(p)
	return round
}

// betweenFraming reports whether a short piece touches floor or roof framing at its height.
func (r *reader) betweenFraming(p *piece) bool {
	if p.size[0] > 2.6 {
		return false
	}
	n := 0
	for _, i := range r.near.In(p.box.Grow(0.06)) {
		q := r.ps[i]
		if q != p && (spans(q) || q.truss >= 0 || q.role == void.RoleRim || q.role == void.RoleBeam) && overlap(p.z0(), p.z1(), q.z0(), q.z1()) > 0.01 {
			n++
		}
	}
	return n > 0
}

// betweenStringers reports whether a piece stands on edge from one member of a stair to the
// next, thick enough for a block: risers are thinner, treads lie flat.
func (r *reader) betweenStringers(p *piece) bool {
	const thick, tall = 0.036, 0.12
	if p.form == board || p.form == slab || math.Abs(p.axes[0].Z) > 0.05 || p.size[0] > 1.7 || p.size[2] < thick || p.height() < tall || p.height() < 1.5*p.size[2] {
		return false
	}
	n := 0
	for _, i := range r.near.In(p.box.Grow(0.04)) {
		q := r.ps[i]
		if q.role == void.RoleStair && q.lie == inclined && q.size[2] < 0.1 && math.Abs(q.axes[0].Dot(p.axes[0])) < 0.1 {
			n++
		}
	}
	return n >= 2
}

// besideChimney reports whether a small level piece fills the space between a chimney and the
// edge of the floor or ceiling that it passes.
func (r *reader) besideChimney(p *piece) bool {
	if d := p.box.Size(); p.size[0] > 2 || d.Z > 0.35 {
		return false
	}
	stack, edge := false, false
	for _, i := range r.near.In(p.box.Grow(0.005)) {
		switch r.ps[i].role {
		case void.RoleChimney:
			stack = true
		case void.RoleDeck, void.RoleCeiling:
			edge = true
		}
	}
	return stack && edge
}

// settleRest gives what is still unknown a plain reading: by hint, by material, else other.
func (r *reader) settleRest() {
	for _, p := range r.ps {
		if p.known() || p.skip {
			continue
		}
		h := r.hint(p)
		if _, ok := r.ofMaterial(r.element(p), "solid"); ok {
			r.settle(p, Solid, void.RoleSolid, "solid", "mineral or metal")
			continue
		}
		if len(h.found) > 0 {
			f := h.at(0)
			if role, ok := roleOf[f.Concept]; ok {
				if (role == void.RoleDeck || role == void.RoleCeiling) && p.lie == upright && (p.form == stick || p.form == chunk) {
					p.is(Beam, void.RoleBeam, "geometry", "a short end of framing: what stands upright is no membrane")
					continue
				}
				p.is(Concept(f.Concept), role, f.Signal, f.Value)
				continue
			}
		}
		p.is(Other, void.RoleUnknown, "", "")
	}
	// A truss with level chords right under a roof is a roof truss.
	for _, p := range r.ps {
		if p.role != void.RoleRoof || p.lie != flat {
			continue
		}
		b := p.box
		b.Min.Z -= sheetTouch
		for _, i := range r.near.In(b) {
			if q := r.ps[i]; q.truss >= 0 && math.Abs(q.z1()-p.z0()) < sheetTouch {
				r.b.Trusses[q.truss].Concept = RoofTruss
			}
		}
	}
}

// isStack reports whether a piece is a chimney, whatever it is called: upright, no wider in plan
// than one, and through the roof and what lies below it.
func (r *reader) isStack(p *piece) bool {
	const wide = 1.5
	d := p.box.Size()
	if p.lie != upright || math.Max(d.X, d.Y) > wide || d.Z < 2*math.Max(d.X, d.Y) {
		return false
	}
	roof, below := false, false
	for _, i := range r.near.In(p.box) {
		q := r.ps[i]
		switch {
		case q == p || p.z0() > q.z0() || p.z1() < q.z0()+0.05:
		case q.role == void.RoleRoof:
			roof = true
		case q.role == void.RoleCeiling || q.role == void.RoleDeck:
			below = true
		}
	}
	return roof && below
}

// roleOf is the role of a concept where nothing better is known.
var roleOf = map[string]void.Role{
	"chord": void.RoleChord, "web": void.RoleWeb, "joist": void.RoleJoist, "rafter": void.RoleRafter, "stud": void.RoleStud,
	"plate": void.RolePlate, "rim": void.RoleRim, "beam": void.RoleBeam, "deck": void.RoleDeck, "ceiling": void.RoleCeiling,
	"roof": void.RoleRoof, "finish": void.RoleFinish, "soffit-board": void.RoleSoffitBoard, "draftstop": void.RoleDraftstop,
	"fireblock": void.RoleBlock, "seal": void.RoleSeal, "service": void.RoleService, "chimney": void.RoleChimney,
	"stair": void.RoleStair, "insulation": void.RoleInsulation, "solid": void.RoleSolid,
}
