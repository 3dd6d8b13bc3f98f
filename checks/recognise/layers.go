package recognise

import (
	"fmt"
	"math"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// expandLayers cuts every layered wall, floor and roof into thin solids, one for each run of
// layers that are the same to fire, and sets the whole aside. Walls without layers and
// without framing of their own are kept as bare solids.
func (r *reader) expandLayers() {
	for i, e := range r.m.Elements {
		ps := r.of[i]
		if len(ps) == 0 || r.hints[i].out || e.Is("IfcDistributionElement") {
			continue
		}
		if r.framedBelow(e) {
			for _, p := range ps {
				p.skip = true
				p.is(Wall, void.RoleUnknown, "assembly", "its framing is modelled")
			}
			continue
		}
		isWall := e.Is("IfcWall")
		if e.Layers != nil && (isWall || e.Is("IfcSlab") || e.Is("IfcRoof") || e.Is("IfcCovering") || e.Is("IfcPlate") || e.Is("IfcBuildingElementProxy")) {
			if r.expand(e, ps, isWall) {
				continue
			}
		}
		if isWall {
			r.bareWall(e, ps)
		}
	}
}

// framedBelow reports whether the parts of an element hold solids of their own, so that its
// own body only repeats them.
func (r *reader) framedBelow(e *model.Element) bool {
	for _, p := range e.Parts {
		if len(r.of[p.Index]) > 0 || r.framedBelow(p) {
			return true
		}
	}
	return false
}

// expand cuts one element by its layers; false when there is nothing to cut.
func (r *reader) expand(e *model.Element, ps []*piece, isWall bool) bool {
	ls := r.readLayers(e)
	if len(ls) == 0 {
		return false
	}
	total := ls[len(ls)-1].hi
	axis, base := e.Layers.Axis, e.Layers.Base
	if len(ls) == 1 && total <= boardMax {
		return false // a board: its place says what it is
	}
	if !e.Layers.Placed {
		if axis.Len() == 0 {
			var ok bool
			if axis, base, ok = thinAxis(r.turn, ps, total); !ok {
				if len(ls) > 1 {
					r.note(fmt.Sprintf("%s: its layers add up to %.3f m but the solid has no such thickness; the layers are not used", label(e), total))
				}
				return false
			}
		}
		if len(ls) > 1 && !isWall {
			axis, base = r.upward(ls, axis, base, total)
		}
	}
	if isWall && math.Abs(axis.Z) > 0.1 {
		return false
	}
	if !isWall && math.Abs(axis.Z) < 0.1 && !holdsVoid(ls) {
		return false // an upright sheet: a board by its place
	}
	if math.Abs(axis.Z) < 0.1 {
		r.layeredWall(e, ps, ls, axis, base)
		return true
	}
	return r.layeredFloor(e, ps, ls, axis, base)
}

// thinAxis finds the axis along which the solid is as thick as its layers together.
func thinAxis(t turn, ps []*piece, total float64) (axis, base geom.Vec3, ok bool) {
	for _, p := range ps {
		if math.Abs(p.size[2]-total) <= 0.005 {
			a := p.axes[2]
			if a.Z < -1e-9 || math.Abs(a.Z) < 1e-9 && (a.Y < -1e-9 || math.Abs(a.Y) < 1e-9 && a.X < 0) {
				a = a.Mul(-1)
			}
			return t.out(a), t.out(p.mid.Sub(a.Mul(p.size[2] / 2))), true
		}
	}
	return axis, base, false
}

// upward turns unplaced layers of a floor so that gypsum is below and the deck above; when
// the layers do not tell, the first is the top one, as the authoring tools list them.
func (r *reader) upward(ls []sheetLayer, axis, base geom.Vec3, total float64) (geom.Vec3, geom.Vec3) {
	first, _ := r.lex.Material(ls[0].material)
	last, _ := r.lex.Material(ls[len(ls)-1].material)
	firstDown := first.Class == "gypsum_board" && last.Class != "gypsum_board"
	if (axis.Z > 0) == firstDown {
		return axis, base
	}
	return axis.Mul(-1), base.Add(axis.Mul(total))
}

// cut returns the part of a mesh between two distances along an axis.
func cut(m *geom.Mesh, axis, base geom.Vec3, lo, hi float64) *geom.Mesh {
	m = geom.Clip(m, geom.PlaneAt(base.Add(axis.Mul(hi)), axis))
	if len(m.Tris) == 0 {
		return m
	}
	return geom.Clip(m, geom.PlaneAt(base.Add(axis.Mul(lo)), axis.Mul(-1)))
}

// slice makes a layered piece.
func (r *reader) slice(e *model.Element, m *geom.Mesh, c Concept, role void.Role, f void.Framing, what string) {
	if len(m.Tris) < 4 {
		return
	}
	p := newPiece(e.Index, m, &r.turn)
	p.layered, p.framing = true, f
	p.is(c, role, "layers", what)
	r.sliced = append(r.sliced, p)
}

// layeredWall cuts a wall across and keeps it as a strip.
func (r *reader) layeredWall(e *model.Element, ps []*piece, ls []sheetLayer, axis, base geom.Vec3) {
	for i := 0; i < len(ls); {
		j := i + 1
		for j < len(ls) && ls[j].kind == ls[i].kind && ls[i].kind != bandFrame {
			j++
		}
		c, role := Finish, void.RoleFinish
		f := void.Framing("")
		switch ls[i].kind {
		case bandFrame:
			c, role, f = Stud, void.RoleFraming, void.FramingStud
		case bandAir:
			c, role, f = Wall, void.RoleFraming, void.FramingNone
		case bandSolid, bandUnknown:
			c, role = Solid, void.RoleSolid
		case bandInsulation:
			c, role = Insulation, void.RoleInsulation
		}
		for _, p := range ps {
			p.skip = true
			r.slice(e, cut(p.mesh, axis, base, ls[i].lo, ls[j-1].hi), c, role, f, ls[i].material)
		}
		i = j
	}
	for _, p := range ps {
		p.is(Wall, void.RoleUnknown, "layers", e.Layers.Name)
		r.leaves = append(r.leaves, r.leafOf(e, p, ls, axis, base))
	}
}

// leafOf makes the strip of a layered wall.
func (r *reader) leafOf(e *model.Element, p *piece, ls []sheetLayer, axis, base geom.Vec3) *leaf {
	n := geom.Vec3{X: r.turn.c*axis.X + r.turn.s*axis.Y, Y: -r.turn.s*axis.X + r.turn.c*axis.Y}
	l := newLeaf(p.mesh, r.turn, n.Plan())
	b := r.turn.in(base).Plan().Dot(l.norm)
	sign := 1.0
	if n.Plan().Dot(l.norm) < 0 {
		sign = -1
	}
	for _, s := range ls {
		lo, hi := b+sign*s.lo, b+sign*s.hi
		l.bands = append(l.bands, band{math.Min(lo, hi), math.Max(lo, hi), s.kind})
		if s.kind == bandFrame {
			l.framing = true
			l.combustible = l.combustible || !s.metal && s.combustible
		}
	}
	l.elems = []int{e.Index}
	l.sortBands()
	l.joinFrames()
	return l
}

// layeredFloor cuts a floor or roof: boards above the framing are deck or roof sheathing,
// boards below it ceiling.
func (r *reader) layeredFloor(e *model.Element, ps []*piece, ls []sheetLayer, axis, base geom.Vec3) bool {
	if !holdsVoid(ls) {
		return false // solid through, or boards only: one membrane
	}
	if axis.Z < 0 { // from the bottom up
		total := ls[len(ls)-1].hi
		axis, base = axis.Mul(-1), base.Add(axis.Mul(total))
		rev := make([]sheetLayer, len(ls))
		for i, l := range ls {
			l.lo, l.hi = total-l.hi, total-l.lo
			rev[len(ls)-1-i] = l
		}
		ls = rev
	}
	top := -1
	for i, l := range ls {
		if l.kind == bandFrame || l.kind == bandAir {
			top = i
		}
	}
	above, aboveRole := Deck, void.RoleDeck
	if e.Is("IfcCovering") && e.Predefined == "CEILING" || r.hints[e.Index].first() == string(Ceiling) {
		above, aboveRole = Ceiling, void.RoleCeiling
	}
	if above == Deck && r.isRoof(e, axis) {
		above, aboveRole = Roof, void.RoleRoof
	}
	for i := 0; i < len(ls); {
		j := i + 1
		same := func(a, b sheetLayer) bool {
			return a.kind == b.kind && a.framing == b.framing || a.kind != bandFrame && a.kind != bandAir && b.kind != bandFrame && b.kind != bandAir
		}
		for j < len(ls) && same(ls[i], ls[j]) {
			j++
		}
		c, role, f := above, aboveRole, void.Framing("")
		switch {
		case ls[i].kind == bandFrame:
			f = ls[i].framing
			c, role = framingConcept(f, above == Roof), void.RoleFraming
			if f == void.FramingStud || f == void.FramingUnknown && ls[i].known {
				f = void.FramingSolid
			}
			if above == Roof && f == void.FramingSolid && axis.Z < 0.9994 {
				f = void.FramingRafter
			}
		case ls[i].kind == bandAir:
			c, role, f = Other, void.RoleFraming, void.FramingNone
		case i < top:
			c, role = Ceiling, void.RoleCeiling
		}
		for _, p := range ps {
			p.skip = true
			p.is(above, void.RoleUnknown, "layers", e.Layers.Name)
			r.slice(e, cut(p.mesh, axis, base, ls[i].lo, ls[j-1].hi), c, role, f, ls[i].material)
		}
		i = j
	}
	return true
}

func framingConcept(f void.Framing, roof bool) Concept {
	switch {
	case f == void.FramingTruss && roof:
		return RoofTruss
	case f == void.FramingTruss:
		return FloorTruss
	case roof || f == void.FramingRafter:
		return Rafter
	}
	return Joist
}

// isRoof reports whether a slab is a roof: by its type, its whole, its slope or its words.
func (r *reader) isRoof(e *model.Element, axis geom.Vec3) bool {
	for w := e; w != nil; w = w.Whole {
		if w.Is("IfcRoof") || w.Is("IfcSlab") && w.Predefined == "ROOF" {
			return true
		}
	}
	if e.Is("IfcSlab") && (e.Predefined == "FLOOR" || e.Predefined == "BASESLAB") || e.Is("IfcCovering") && e.Predefined != "ROOFING" {
		return false
	}
	if axis.Z < 0.996 { // 5 degrees: steeper than any floor
		return true
	}
	w, ok := r.hints[e.Index].word()
	return ok && w.Concept == string(Roof)
}

// bareWall keeps a wall without layers: a board when it is thin, else a solid through.
func (r *reader) bareWall(e *model.Element, ps []*piece) {
	for _, p := range ps {
		if p.size[2] <= boardMax || p.form == stick || p.form == chunk && p.size[0] < 1 {
			continue
		}
		if math.Abs(p.axes[2].Z) > 0.1 {
			continue
		}
		l := newLeaf(p.mesh, r.turn, p.axes[2].Plan())
		lo, hi := l.across(p.mesh, r.turn)
		kind := bandUnknown
		if _, ok := r.ofMaterial(e, "solid"); ok {
			kind = bandSolid
		}
		l.bands = []band{{lo, hi, kind}}
		l.elems = []int{e.Index}
		l.bare = true
		r.leaves = append(r.leaves, l)
		if kind == bandSolid {
			p.is(Wall, void.RoleSolid, "material", e.Materials[0])
		} else {
			p.is(Wall, void.RoleSolid, "entity", e.Entity)
		}
	}
}
