package recognise

import (
	"fmt"
	"math"
	"sort"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// Limits that tell a truss from a wall frame or a stair, metres.
const (
	trussThick    = 0.20 // thickness of the plane of a truss; girders of several plies are apart
	trussThin     = 0.06 // a frame with uprights only is a truss when it is one ply thick
	trussShort    = 0.8  // shortest truss
	parallelDepth = 1.25 // deepest truss with level chords: deeper frames with braces are walls
	touchGap      = 0.03 // members that meet are no farther apart
)

// findTrusses finds trusses: assemblies, single elements of many solids or of one solid with
// openings, and loose members in one plumb plane.
func (r *reader) findTrusses() {
	plates := r.roofPlates()
	// Each element is looked at as if no truss had been found yet, all at once; what a truss
	// found before has taken members from is looked at again.
	looks := make([]*trussLook, len(r.m.Elements))
	parallel(len(looks), func(from, to int) {
		for i, e := range r.m.Elements[from:to] {
			looks[from+i] = r.lookForTruss(e, plates)
		}
	})
	taken, touched := make([]bool, len(looks)), make([]bool, len(looks))
	solids := 0
	for i, e := range r.m.Elements {
		if e.Whole != nil && taken[e.Whole.Index] {
			continue
		}
		look := looks[i]
		if touched[i] {
			look = r.lookForTruss(e, plates)
		}
		if look == nil {
			continue
		}
		if look.solid {
			look.ps[0].solid = true
			solids++
		}
		taken[i] = true
		r.addTruss(e, look)
		for w := e.Whole; w != nil && !touched[w.Index]; w = w.Whole {
			touched[w.Index] = true
		}
		touchParts(e, touched)
	}
	if solids > 0 {
		r.note(fmt.Sprintf("%d trusses are shown as solids; they are taken as open between chords and end posts", solids))
	}
	r.looseTrusses()
	r.orderTrusses()
}

func touchParts(e *model.Element, touched []bool) {
	for _, p := range e.Parts {
		if !touched[p.Index] {
			touched[p.Index] = true
			touchParts(p, touched)
		}
	}
}

// trussLook is a truss that an element or a set of loose members is.
type trussLook struct {
	ps    []*piece
	frame frame
	chord []bool // by piece
	solid bool   // shown as a solid
	why   Reason
}

// look measures the members of a truss.
func (t *trussLook) look() {
	t.frame, _ = lookAt(t.ps)
	t.chord = make([]bool, len(t.ps))
	for i, p := range t.ps {
		t.chord[i] = t.frame.leaf != nil && (len(t.ps) == 1 || isChord(p, t.ps, t.frame.leaf))
	}
}

// lookForTruss returns the truss that an element is, nil when it is none.
func (r *reader) lookForTruss(e *model.Element, plates map[int]bool) *trussLook {
	h := &r.hints[e.Index]
	if h.out || e.Is("IfcDistributionElement") {
		return nil
	}
	if len(e.Parts) == 0 {
		if own := r.of[e.Index]; len(own) == 0 || len(own) == 1 && !trussPlate(own[0]) {
			return nil
		}
	}
	ps := r.membersOf(e)
	if len(ps) == 0 {
		return nil
	}
	ev, named := h.says("truss", "floor-truss", "roof-truss")
	first := h.first()
	named = named && (ev.Strong() || first == "truss" || first == "floor-truss" || first == "roof-truss")
	look := &trussLook{ps: ps, why: Reason{"assembly", e.Entity}}
	switch {
	case len(ps) == 1 && perforated(ps[0]):
		look.why = Reason{"geometry", "one solid with openings between chords and webs"}
	case len(ps) == 1 && (plates[e.Index] || named && solidTruss(ps[0])):
		look.why = Reason{"geometry", "plates with the outline of a roof, at a spacing"}
		if named {
			look.why = Reason{ev.Signal, ev.Value}
		}
		look.solid = true
	case len(ps) >= 3 && isTruss(ps):
		if len(e.Parts) == 0 {
			look.why = Reason{"geometry", "chords and webs in one plane"}
		}
	case named && len(ps) >= 3 && inPlane(ps):
		look.why = Reason{ev.Signal, ev.Value}
	default:
		return nil
	}
	if named && ev.Strong() {
		look.why = Reason{ev.Signal, ev.Value}
	}
	look.look()
	return look
}

// membersOf returns the pieces of an element and its parts that are not set aside or taken.
func (r *reader) membersOf(e *model.Element) []*piece {
	var ps []*piece
	var walk func(*model.Element, int)
	walk = func(e *model.Element, depth int) {
		if depth > 8 {
			return
		}
		for _, p := range r.of[e.Index] {
			if !p.skip && p.truss < 0 && !p.known() {
				ps = append(ps, p)
			}
		}
		for _, q := range e.Parts {
			walk(q, depth+1)
		}
	}
	walk(e, 0)
	if len(ps) > 1 {
		sortStable(ps, func(a, b **piece) bool { return before(*a, *b) })
	}
	return ps
}

// trussPlate reports whether a piece is thin, plumb and long, as a truss in one solid is.
func trussPlate(p *piece) bool {
	return p.size[0] > trussShort && p.size[1] > 0.15 && p.size[2] > boardMax && p.size[2] < 0.13 && math.Abs(p.axes[2].Z) < 0.02 && math.Abs(p.axes[0].Z) < 0.5
}

// perforated reports whether a piece is a whole truss in one solid: thin, plumb, long, and
// open through its broad side, as neither a board with a gable's outline nor an I-joist is.
func perforated(p *piece) bool {
	return trussPlate(p) && p.seen < 0.75 && p.full < 0.75 && p.seen < 0.75*hullShare(p)
}

// hullShare returns the share of the oriented rectangle of a piece's broad side that its
// convex outline fills.
func hullShare(p *piece) float64 {
	return geom.Ring(outlineOf(p)).Area() / (p.size[0] * p.size[1])
}

// frame is a set of pieces seen in a plumb plane.
type frame struct {
	leaf         *leaf
	t0, t1       float64
	longs, diags int
	verticals    int
	sloped       bool
}

// lookAt measures pieces in the plumb plane of their longest member that is not upright.
func lookAt(ps []*piece) (frame, bool) {
	var f frame
	var main *piece
	for _, p := range ps {
		if d := p.axes[0].Plan().Len(); d > 0.2 && (main == nil || p.size[0]*d > main.size[0]*main.axes[0].Plan().Len()+geomTol) {
			main = p
		}
	}
	if main == nil {
		return f, false
	}
	d := main.axes[0].Plan().Unit()
	f.leaf = emptyLeaf(geom.Vec2{X: -d.Y, Y: d.X})
	l := f.leaf
	f.t0, f.t1 = math.Inf(1), math.Inf(-1)
	for _, p := range ps {
		s0, s1, t0, t1 := l.span(p)
		l.s0, l.s1 = math.Min(l.s0, s0), math.Max(l.s1, s1)
		l.z0, l.z1 = math.Min(l.z0, p.z0()), math.Max(l.z1, p.z1())
		f.t0, f.t1 = math.Min(f.t0, t0), math.Max(f.t1, t1)
	}
	run := l.s1 - l.s0
	for _, p := range ps {
		s0, s1, _, _ := l.span(p)
		z := math.Abs(p.axes[0].Z)
		switch {
		case p.size[0] < 2*p.size[2]:
		case z > 0.98:
			f.verticals++
		case s1-s0 >= 0.35*run:
			f.longs++
			f.sloped = f.sloped || z > 0.026
		case z > 0.1:
			f.diags++
		}
	}
	return f, true
}

// inPlane reports whether pieces stand in one thin plumb plane.
func inPlane(ps []*piece) bool {
	f, ok := lookAt(ps)
	return ok && f.t1-f.t0 <= trussThick && f.leaf.s1-f.leaf.s0 >= trussShort
}

// isTruss reports whether pieces are chords and webs in one plane.
func isTruss(ps []*piece) bool {
	f, ok := lookAt(ps)
	if !ok || f.t1-f.t0 > trussThick || f.leaf.s1-f.leaf.s0 < trussShort || f.longs < 2 {
		return false
	}
	thin := f.t1-f.t0 <= trussThin
	if !f.sloped && f.leaf.z1-f.leaf.z0 > parallelDepth {
		return false
	}
	if f.sloped { // a gable wall frame is as thick as its studs
		return (f.diags >= 2 || f.verticals >= 2 && f.longs >= 3) && (thin || f.diags >= 2 && f.diags*2 >= f.verticals)
	}
	return f.diags >= 2 && f.diags*3 >= f.verticals
}

// addTruss records a truss; its kind is by the slope of its chords.
func (r *reader) addTruss(e *model.Element, look *trussLook) {
	f, ps, why := look.frame, look.ps, look.why
	if f.leaf == nil {
		return
	}
	l := f.leaf
	t := &Truss{Index: len(r.b.Trusses), Concept: FloorTruss, Element: e, DepthM: l.z1 - l.z0, Reason: why}
	if e.Tag != "" {
		t.Mark = e.Tag
	}
	if e.Name != "" {
		t.Mark = e.Name
	}
	if len(ps) == 1 {
		t.DepthM = ps[0].size[1]
	}
	for i, p := range ps {
		p.truss = t.Index
		c, role := Web, void.RoleWeb
		if look.chord[i] {
			c, role = Chord, void.RoleChord
			z := math.Abs(p.axes[0].Z)
			if s0, s1, _, _ := l.span(p); len(ps) > 1 && z > 0.026 && z < 0.98 && s1-s0 > 0.2*(l.s1-l.s0) {
				t.Concept = RoofTruss
			}
		}
		p.is(c, role, why.Signal, why.Value)
		if len(t.Members) == 0 || t.Members[len(t.Members)-1] != p.elem {
			t.Members = append(t.Members, p.elem)
		}
	}
	if len(ps) == 1 && (ps[0].size[1] > parallelDepth || math.Abs(ps[0].axes[0].Z) > 0.026) {
		t.Concept = RoofTruss
	}
	mid := (f.t0 + f.t1) / 2
	t.Line = [2]geom.Vec2{
		l.dir.Mul(l.s0).Add(l.norm.Mul(mid)),
		l.dir.Mul(l.s1).Add(l.norm.Mul(mid)),
	}
	t.z = l.z0
	r.b.Trusses = append(r.b.Trusses, t)
}

// isChord reports whether a member lies on the top or bottom outline of its truss: at the
// middle of its run no other member lies above it, or none below. Uprights are webs.
func isChord(p *piece, ps []*piece, l *leaf) bool {
	if math.Abs(p.axes[0].Z) > 0.98 {
		return false
	}
	s := p.mid.Plan().Dot(l.dir)
	above, below := false, false
	for _, q := range ps {
		if q == p || math.Abs(q.axes[0].Z) > 0.98 {
			continue
		}
		s0, s1, _, _ := l.span(q)
		if s < s0+0.01 || s > s1-0.01 {
			continue
		}
		// height of q's axis at s
		d := q.axes[0].Plan().Dot(l.dir)
		z := q.mid.Z
		if math.Abs(d) > 1e-6 {
			z += (s - q.mid.Plan().Dot(l.dir)) / d * q.axes[0].Z
		}
		above = above || z > p.mid.Z+0.01
		below = below || z < p.mid.Z-0.01
	}
	return !above || !below
}

// orderTrusses sorts trusses by place and renumbers them.
func (r *reader) orderTrusses() {
	ts := r.b.Trusses
	key := func(t *Truss) [3]float64 {
		m := t.Line[0].Add(t.Line[1]).Mul(0.5)
		return [3]float64{math.Round(t.z * 100), math.Round(m.Y * 1000), math.Round(m.X * 1000)}
	}
	order := make([]int, len(ts))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool {
		a, b := key(ts[order[i]]), key(ts[order[j]])
		for k := range a {
			if a[k] != b[k] {
				return a[k] < b[k]
			}
		}
		return false
	})
	at := make([]int, len(ts))
	sorted := make([]*Truss, len(ts))
	for k, i := range order {
		at[i], sorted[k] = k, ts[i]
		sorted[k].Index = k
	}
	r.b.Trusses = sorted
	for _, p := range r.ps {
		if p.truss >= 0 {
			p.truss = at[p.truss]
		}
	}
	for _, t := range sorted {
		sort.Ints(t.Members)
		for i := range t.Line {
			t.Line[i] = r.turn.out2(t.Line[i])
		}
	}
}
