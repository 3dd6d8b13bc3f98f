package ifctest

import (
	"math"

	"voidcheck/ifcx/geom"
)

// layout holds the lines and levels that follow from a House.
type layout struct {
	h     *House
	voids []Span // x of each unit's floor void
	seps  []separation
	// endRows are the stud rows of the outer side walls.
	endRows [2]Span
	rowSide [2][]Span // [0][u]: the stud row on the low side of unit u, [1][u] on its high side
}

// separation is one unit line.
type separation struct {
	lo, hi float64 // inside faces of the blocks of the unit on either side
	rows   []Span  // x of the stud rows; one for a single wall
	gap    Span    // between rows (empty for a single wall)
}

func (s separation) mid() float64 { return (s.lo + s.hi) / 2 }

// inset is the distance from the inside face of block or rim to the room-side stud face: a
// 2x4 row carries 1-1/2 in of block and 2 in of open plate.
func (h *House) inset() float64 {
	if h.Separation.Kind == "single" {
		return (h.Separation.Stud - TwoBy) / 2
	}
	return h.Separation.Stud - TwoBy
}

func newLayout(h *House) *layout {
	l := &layout{h: h}
	x := 0.0
	s := h.Separation
	for i, u := range h.Units {
		v := Span{x, x + u.Width}
		l.voids = append(l.voids, v)
		x = v.Hi
		if i == len(h.Units)-1 {
			break
		}
		sep := separation{lo: v.Hi}
		if s.Kind == "single" {
			sep.hi = v.Hi + TwoBy
			c := sep.mid()
			sep.rows = []Span{{c - s.Stud/2, c + s.Stud/2}}
			sep.gap = Span{c, c}
		} else {
			sep.gap = Span{v.Hi + TwoBy, v.Hi + TwoBy + s.Gap}
			sep.hi = sep.gap.Hi + TwoBy
			sep.rows = []Span{{sep.gap.Lo - s.Stud, sep.gap.Lo}, {sep.gap.Hi, sep.gap.Hi + s.Stud}}
		}
		l.seps = append(l.seps, sep)
		x = sep.hi
	}
	l.endRows[0] = Span{-TwoBy, -TwoBy + FourWide}
	l.endRows[1] = Span{x + TwoBy - FourWide, x + TwoBy}
	for u := range h.Units {
		lo, hi := l.endRows[0], l.endRows[1]
		if u > 0 {
			r := l.seps[u-1].rows
			lo = r[len(r)-1]
		}
		if u < len(l.seps) {
			hi = l.seps[u].rows[0]
		}
		l.rowSide[0] = append(l.rowSide[0], lo)
		l.rowSide[1] = append(l.rowSide[1], hi)
	}
	return l
}

// floorZ returns the top of the deck (or slab) of storey k.
func (l *layout) floorZ(k int) float64 {
	return float64(k) * (l.h.WallHeight + l.h.Floor.Depth + l.h.Floor.Deck)
}

// plateZ returns the top of the top plate of storey k, which is also the top of its ceiling.
func (l *layout) plateZ(k int) float64 { return l.floorZ(k) + l.h.WallHeight }

// depthSpan returns the height of the floor void under level k.
func (l *layout) depthSpan(k int) Span {
	return Span{l.plateZ(k - 1), l.plateZ(k-1) + l.h.Floor.Depth}
}

// frameX returns the x between the room-side stud faces of a unit's side walls.
func (l *layout) frameX(u int) Span { return Span{l.rowSide[0][u].Hi, l.rowSide[1][u].Lo} }

// frameY returns the y between the room-side stud faces of front and back walls.
func (l *layout) frameY() Span { return Span{-TwoBy + FourWide, l.h.Depth + TwoBy - FourWide} }

// outerY returns the y of the outer stud faces.
func (l *layout) outerY() Span { return Span{-TwoBy, l.h.Depth + TwoBy} }

// depthY returns the y of the floor voids.
func (l *layout) depthY() Span { return Span{0, l.h.Depth} }

// platform returns the x over which the deck of a unit lies: to the outer face of the rim, or
// to the face of the gap of its separation.
func (l *layout) platform(u int) Span {
	s := Span{l.endRows[0].Lo, l.endRows[1].Hi}
	if u > 0 {
		s.Lo = l.seps[u-1].gap.Hi
	}
	if u < len(l.seps) {
		s.Hi = l.seps[u].gap.Lo
	}
	return s
}

// memberSpans returns the spans occupied by members of the given width set out over the length
// of a void: one against each end, the others on centre from the first.
func memberSpans(length, width, spacing float64) []Span {
	var out []Span
	for k := 0; ; k++ {
		lo := float64(k) * spacing
		if lo+width > length+1e-9 {
			break
		}
		out = append(out, Span{lo, lo + width})
	}
	last := Span{length - width, length}
	prev := out[len(out)-1]
	switch {
	case last.Lo-prev.Hi > 0.02:
		out = append(out, last)
	case len(out) > 1:
		out[len(out)-1] = last
	}
	return out
}

// bays returns the clear spans between consecutive members.
func bays(members []Span) []Span {
	var out []Span
	for i := 1; i < len(members); i++ {
		out = append(out, Span{members[i-1].Hi, members[i].Lo})
	}
	return out
}

// members returns the floor members of a unit, as spans along y (Along "x") or along x.
func (l *layout) members(u int) []Span {
	f := l.h.Floor
	if f.Along == "x" {
		return memberSpans(l.h.Depth, f.Width, f.Spacing)
	}
	m := memberSpans(l.voids[u].Len(), f.Width, f.Spacing)
	for i := range m {
		m[i] = Span{m[i].Lo + l.voids[u].Lo, m[i].Hi + l.voids[u].Lo}
	}
	return m
}

// roofZ returns the underside of the roof sheathing at y.
func (l *layout) roofZ(y float64) float64 {
	r := l.h.Roof
	run := y
	if r.Kind == "gable" {
		run = math.Min(y, l.h.Depth-y)
	}
	return l.plateZ(l.h.Storeys-1) + r.Heel + r.Pitch*run
}

// roofOutline returns the polygon in (y, z) below the roof line lowered by drop (measured
// plumb), over a span of y, standing on z = base.
func (l *layout) roofOutline(y Span, base, drop float64) []geom.Vec2 {
	p := []geom.Vec2{{X: y.Lo, Y: base}, {X: y.Hi, Y: base}, {X: y.Hi, Y: l.roofZ(y.Hi) - drop}}
	if m := l.h.Depth / 2; l.h.Roof.Kind == "gable" && y.Lo < m-1e-9 && m < y.Hi-1e-9 {
		p = append(p, geom.Vec2{X: m, Y: l.roofZ(m) - drop})
	}
	return append(p, geom.Vec2{X: y.Lo, Y: l.roofZ(y.Lo) - drop})
}

// ridgeHeight returns the greatest height of the attic.
func (l *layout) ridgeHeight() float64 {
	if l.h.Roof.Kind == "gable" {
		return l.roofZ(l.h.Depth/2) - l.plateZ(l.h.Storeys-1)
	}
	return l.roofZ(l.h.Depth) - l.plateZ(l.h.Storeys-1)
}

// atticSection returns the area of the section of the attic across the row.
func (l *layout) atticSection() float64 {
	r := l.h.Roof
	rise := l.ridgeHeight() - r.Heel
	return r.Heel*l.h.Depth + rise*l.h.Depth/2
}

// studPositions returns the low faces of the studs of a plate from lo to hi: one at each end,
// the others on centre from the first.
func studPositions(s Span, spacing float64) []float64 {
	var out []float64
	for _, m := range memberSpans(s.Len(), TwoBy, spacing) {
		out = append(out, m.Lo+s.Lo)
	}
	return out
}

// runBlocks returns the low faces of the cavity blocks along a separation: the farthest studs
// that keep each clear run within the limit.
func (l *layout) runBlocks() []float64 {
	if l.h.LayerPlan.NoCavityStops {
		return nil
	}
	studs := studPositions(l.outerY(), l.h.StudGap)
	var out []float64
	from := l.outerY().Lo
	for i := 0; i < len(studs); i++ {
		if studs[i]-from > l.h.Separation.RunMax+1e-9 && i > 0 && studs[i-1] > from {
			out = append(out, studs[i-1])
			from = studs[i-1] + TwoBy
		}
	}
	if l.outerY().Hi-from > l.h.Separation.RunMax+1e-9 {
		out = append(out, studs[len(studs)-2])
	}
	return out
}
