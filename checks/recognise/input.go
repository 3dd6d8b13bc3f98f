package recognise

import (
	"math"

	"voidcheck/checks/void"
)

// defaultGap is the width from which a gap counts as open: 1/2 in, metres.
const defaultGap = 0.0127

// settleThings gives every element its concept: that of its own pieces, the greatest first,
// or of what it is the whole of.
func (r *reader) settleThings() {
	r.b.Things = make([]Thing, len(r.m.Elements))
	volume := make([]float64, len(r.m.Elements))
	for i, e := range r.m.Elements {
		r.b.Things[i] = Thing{Element: e, Concept: Other}
		if r.hints[i].out {
			r.b.Things[i].Reason = Reason{"entity", e.Entity}
		} else if e.Is("IfcWall") {
			r.b.Things[i].Concept, r.b.Things[i].Reason = Wall, Reason{"entity", e.Entity}
		} else if h := &r.hints[i]; knownConcept[h.first()] {
			f := h.at(0)
			r.b.Things[i].Concept, r.b.Things[i].Reason = Concept(f.Concept), Reason{f.Signal, f.Value}
		}
	}
	for _, p := range r.ps {
		if p.layered || !p.known() {
			continue
		}
		v := p.size[0] * p.size[1] * p.size[2] * p.full
		if t := &r.b.Things[p.elem]; v > volume[p.elem]*(1+1e-9) {
			volume[p.elem] = v
			t.Concept, t.Reason = p.concept, p.reason
		}
	}
	for _, t := range r.b.Trusses {
		r.b.Things[t.Element.Index].Concept = t.Concept
		r.b.Things[t.Element.Index].Reason = t.Reason
		if len(t.Members) > 0 && t.Members[0] != t.Element.Index {
			continue
		}
		if len(r.of[t.Element.Index]) > 0 && t.Reason.Signal == "geometry" && len(t.Members) > 1 {
			// a loose member stands for its truss only in Trusses
			p := r.of[t.Element.Index][0]
			r.b.Things[t.Element.Index].Concept, r.b.Things[t.Element.Index].Reason = p.concept, p.reason
		}
	}
	for _, s := range r.b.Separations {
		for _, k := range s.Walls {
			for _, e := range r.walls[k].elems {
				if r.m.Elements[e].Is("IfcWall") {
					r.b.Things[e].Concept, r.b.Things[e].Reason = Separation, s.Reason
				}
			}
		}
	}
}

// knownConcept holds the concepts that an element without geometry may still bear.
var knownConcept = map[string]bool{
	"service": true, "sprinkler": true, "chimney": true, "stair": true, "roof": true, "ceiling": true, "deck": true,
	"draftstop": true, "fireblock": true, "seal": true, "stud": true, "plate": true, "joist": true, "rafter": true, "rim": true, "beam": true,
}

// isBareFloor reports whether a piece is a floor that the model shows in one piece, without
// layers and without framing of its own: deeper than boards are, and of no mineral.
func (r *reader) isBareFloor(p *piece) bool {
	if p.role != void.RoleDeck || p.layered || p.lie != flat || p.size[2] <= 2*boardMax {
		return false
	}
	_, mineral := r.ofMaterial(r.element(p), "solid")
	return !mineral
}

// fillInput hands over what the solver needs, in the order of place.
func (r *reader) fillInput() {
	in := &r.b.Input
	in.MaxGap = defaultGap
	in.Units = len(r.b.Units)
	in.Levels = append([]float64(nil), r.levels...)
	for _, p := range r.ps {
		if p.skip || r.hints[p.elem].out || p.role == void.RoleUnknown && p.concept == "" {
			continue
		}
		if p.solid {
			in.Parts = append(in.Parts, opened(p)...)
			continue
		}
		in.Parts = append(in.Parts, void.Part{Mesh: p.mesh, Role: p.role, Element: p.elem, Assembly: p.truss, Layered: p.layered, Framing: p.framing, Bare: r.isBareFloor(p)})
	}
	in.Parts = append(in.Parts, r.stopDoors()...)
	for _, m := range r.rooms {
		e := -1
		if m.space != nil {
			e = m.space.Index
		}
		for _, mesh := range m.meshes {
			in.Rooms = append(in.Rooms, void.Room{Mesh: mesh, Unit: m.unit, Element: e, Outside: m.outside})
		}
	}
	for _, w := range r.walls {
		in.Walls = append(in.Walls, r.wallInput(w))
	}
	for _, s := range r.b.Separations {
		in.Separations = append(in.Separations, s.Separation)
	}
	r.b.Notes = append(r.b.Notes, r.notes...)
}

// wallInput turns a wall into the building frame.
func (r *reader) wallInput(w *wall) void.Wall {
	lo, hi := w.edges()
	o := w.dir.Mul(w.s0)
	v := void.Wall{
		Origin: r.turn.out2(o), Dir: r.turn.out2(w.dir), Length: w.s1 - w.s0, Across: void.Span{Lo: lo, Hi: hi},
		Z0: w.z0, Z1: w.z1, Kind: w.kind, Elements: w.elems, Separation: w.sep, Storey: w.storey,
		Combustible: w.combustible, Framed: w.framed,
	}
	v.Cavities, v.Rows, v.Gaps = w.spans()
	if w.kind == void.WallDouble && w.framed {
		v.RowZ = w.rowHeights(v.Rows)
	}
	return v
}

// stepped is from how much the rows of a double wall differ in height for its units to stand
// on floors of different height, metres: more than a plate.
const stepped = 0.06

// rowHeights returns from where to where each row stands, nil when all do alike.
func (w *wall) rowHeights(rows []void.Span) []void.Span {
	out := make([]void.Span, len(rows))
	differ := false
	for i, r := range rows {
		z := void.Span{Lo: math.Inf(1), Hi: math.Inf(-1)}
		for _, h := range w.rowZ {
			if overlap(r.Lo, r.Hi, h.lo, h.hi) > 0.5*(h.hi-h.lo) {
				z.Lo, z.Hi = math.Min(z.Lo, h.z0), math.Max(z.Hi, h.z1)
			}
		}
		if z.Hi < z.Lo {
			return nil
		}
		out[i] = void.Span{Lo: math.Max(z.Lo, w.z0), Hi: math.Min(z.Hi, w.z1)}
		differ = differ || out[i].Lo > w.z0+stepped || out[i].Hi < w.z1-stepped
	}
	if !differ {
		return nil
	}
	return out
}

// minCavity is the least width of a cavity across a wall, metres.
const minCavity = 0.003

// spans returns the cavities, stud rows and gaps across a wall.
func (l *leaf) spans() (cavities, rows, gaps []void.Span) {
	lo, hi := l.edges()
	open := func(a, b float64) bool { // holds framing, air, or nothing between leaves
		if b-a < minCavity {
			return false
		}
		return true
	}
	pos := lo
	for i, b := range l.bands {
		if !l.divides(i) {
			continue
		}
		if open(pos, b.lo) {
			cavities = append(cavities, void.Span{Lo: pos, Hi: b.lo})
		}
		pos = math.Max(pos, b.hi)
	}
	if open(pos, hi) {
		cavities = append(cavities, void.Span{Lo: pos, Hi: hi})
	}
	end := math.NaN()
	solid := false
	last := -1 // the highest row
	for i, b := range l.bands {
		if b.kind == bandFrame {
			last = i
		}
	}
	for i, b := range l.bands {
		switch b.kind {
		case bandFrame:
			rows = append(rows, void.Span{Lo: b.lo, Hi: b.hi})
			if b.lo-end > minCavity {
				gaps = append(gaps, void.Span{Lo: end, Hi: b.lo})
			}
			end = math.Max(b.hi, nanLow(end))
		case bandAir:
			if len(rows) == 0 || end != end || i > last { // air outside the rows
				gaps = append(gaps, void.Span{Lo: b.lo, Hi: b.hi})
			}
		case bandSolid, bandUnknown:
			solid = true
			end = math.NaN()
		}
	}
	if solid && len(rows) > 0 { // furring on a solid wall is itself the gap
		gaps = append(gaps, rows...)
	}
	return cavities, rows, gaps
}

func nanLow(v float64) float64 {
	if v != v {
		return math.Inf(-1)
	}
	return v
}

// divides reports whether a band closes the wall across. Insulation between two rows does
// not.
func (l *leaf) divides(i int) bool {
	switch l.bands[i].kind {
	case bandBoard, bandSolid, bandUnknown:
		return true
	case bandInsulation:
		frame := func(k int) bool { return k >= 0 && k < len(l.bands) && l.bands[k].kind == bandFrame }
		return !(frame(i-1) && frame(i+1))
	}
	return false
}
