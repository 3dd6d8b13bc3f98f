package ifctest

import (
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

// spansOf returns the spans between places in ascending order.
func spansOf(at []float64) []Span {
	slices.Sort(at)
	var out []Span
	for i := 1; i < len(at); i++ {
		if at[i]-at[i-1] > 1e-4 {
			out = append(out, Span{at[i-1], at[i]})
		}
	}
	return out
}

// Sizes of rafters, metres: 2x10 is 1-1/2 x 9-1/4 in, 2x6 5-1/2 in.
const rafterDepth = 9.25 * Inch

// ridgeAxis is the axis across which trusses and rafters are spaced.
func (r *PlanRoof) ridgeAxis() Axis {
	if r.Ridge == "y" {
		return Y
	}
	return X
}

// ceilingLine returns the top of a sloping ceiling over a run across the ridge; nil where ceilings are level.
func (b *planBuilder) ceilingLine(d int) func(run Span) []geom.Vec2 {
	q := &b.p.Boxes[d]
	r := &b.p.Roofs[q.Roof]
	a := r.ridgeAxis()
	across, _ := q.across(a)
	switch r.Attic {
	case "scissor":
		_, along := (&Dwelling{X: r.X, Y: r.Y}).across(a)
		along = along.grow(-TwoBy)
		return func(run Span) []geom.Vec2 {
			rise := r.Pitch / 2
			at := func(t float64) float64 { return r.Plate + rise*min(t-along.Lo, along.Hi-t) }
			out := []geom.Vec2{{X: run.Lo, Y: at(run.Lo)}}
			if m := along.Mid(); m > run.Lo && m < run.Hi {
				out = append(out, geom.Vec2{X: m, Y: at(m)})
			}
			return append(out, geom.Vec2{X: run.Hi, Y: at(run.Hi)})
		}
	case "cathedral":
		return func(run Span) []geom.Vec2 {
			p := b.roofs[q.Roof].profile(a, Span{across.Mid(), across.Mid()}, run)
			return lowered(p, rafterDepth*math.Hypot(1, r.Pitch))
		}
	}
	return nil
}

// roofFraming sets out the trusses or rafters of a box.
func (b *planBuilder) roofFraming(d int) {
	q := &b.p.Boxes[d]
	r := &b.p.Roofs[q.Roof]
	a := r.ridgeAxis()
	x, y := b.framingRoom(d)
	at, run := (&Dwelling{X: x, Y: y}).across(a)
	for _, m := range memberSpans(at.Len(), TwoBy, b.h.Roof.Spacing) {
		b.roofMember(d, a, Span{m.Lo + at.Lo, m.Hi + at.Lo}, run)
	}
	if r.Attic == "rafter" || r.Attic == "cathedral" { // a ridge board where the roof has its ridge
		p := b.roofs[q.Roof].profile(a, Span{at.Mid(), at.Mid()}, run)
		for _, v := range p[1 : len(p)-1] {
			z := Span{v.Y - rafterDepth*math.Hypot(1, r.Pitch) - 0.02, v.Y - r.Pitch*TwoBy/2}
			b.stick(RidgeBoard, b.storey(d, b.topOf(d)), nil, cuboid(1-a, Span{v.X - TwoBy/2, v.X + TwoBy/2}, at, z, Y))
		}
	}
}

// framingRoom is the plan in which roof framing stands: clear of rows that go up to the roof.
func (b *planBuilder) framingRoom(d int) (x, y Span) {
	q := &b.p.Boxes[d]
	r := &b.p.Roofs[q.Roof]
	x, y = b.atticRoom(d)
	rx, ry := q.frame()
	hx, hy := q.hollow()
	clip := func(s *Span, across bool, row, hollow Span) {
		in := hollow
		if across { // the outermost member stands beside a gable frame
			in = row
		}
		s.Lo, s.Hi = max(s.Lo, in.Lo), min(s.Hi, in.Hi)
	}
	clip(&x, r.ridgeAxis() == X, rx, hx)
	clip(&y, r.ridgeAxis() == Y, ry, hy)
	return x, y
}

// roofMember builds one truss or pair of rafters over a run, between two spans of its own.
func (b *planBuilder) roofMember(d int, a Axis, at, run Span) {
	q := &b.p.Boxes[d]
	r := &b.p.Roofs[q.Roof]
	top := b.topOf(d)
	st, pz := b.storey(d, top), b.plateAt(d, top)
	p := b.roofs[q.Roof].profile(a, at, run)
	if highest(p) < pz+0.2 {
		return
	}
	quad := func(role Role, t *Part, l, h geom.Vec2, depth float64) {
		cv := depth * math.Hypot(1, (h.Y-l.Y)/(h.X-l.X))
		b.stick(role, st, t, standing(a, at, []geom.Vec2{{X: l.X, Y: max(pz, l.Y-cv)}, {X: h.X, Y: max(pz, h.Y-cv)}, h, l}))
	}
	if r.Attic == "rafter" || r.Attic == "cathedral" {
		for n := 1; n < len(p); n++ {
			l, h := p[n-1], p[n]
			for _, e := range []*geom.Vec2{&l, &h} { // against the ridge board
				if e.X > run.Lo+0.01 && e.X < run.Hi-0.01 {
					off := TwoBy / 2
					if e == &h {
						off = -off
					}
					e.Y += off * (p[n].Y - p[n-1].Y) / (p[n].X - p[n-1].X)
					e.X += off
				}
			}
			quad(Rafter, nil, l, h, map[string]float64{"rafter": SixWide, "cathedral": rafterDepth}[r.Attic])
		}
		if r.Attic == "rafter" {
			next := Span{at.Hi, at.Hi + TwoBy} // nailed to the side of the rafters
			b.stick(Joist, st, nil, cuboid(a, next, run, Span{pz, pz + min(SixWide, r.Heel)}, Y))
		}
		return
	}
	t := b.assembly(RoofTruss, st)
	low := []geom.Vec2{{X: run.Lo, Y: pz}, {X: run.Hi, Y: pz}}
	if line := b.ceilingLine(d); line != nil {
		low = line(run)
	}
	for n := 1; n < len(low); n++ {
		cv := FourWide * math.Hypot(1, (low[n].Y-low[n-1].Y)/(low[n].X-low[n-1].X))
		b.stick(BottomChord, st, t, standing(a, at, []geom.Vec2{low[n-1], low[n], {X: low[n].X, Y: low[n].Y + cv}, {X: low[n-1].X, Y: low[n-1].Y + cv}}))
	}
	for n := 1; n < len(p); n++ {
		quad(TopChord, t, p[n-1], p[n], FourWide)
	}
	b.roofWebs(st, t, a, at, run, low, p)
}

// roofWebs stands posts at the ends and webs between the chords of a roof truss.
func (b *planBuilder) roofWebs(st int, t *Part, a Axis, at, run Span, low, high []geom.Vec2) {
	chord := FourWide * 1.25
	height := func(x float64) (lo, hi float64) {
		s := Span{x - 0.005, x + 0.005}
		return cut(low, s)[0].Y + chord, cut(high, s)[0].Y - chord
	}
	for _, e := range []Span{{run.Lo, run.Lo + TwoBy}, {run.Hi - TwoBy, run.Hi}} {
		lo, hi := cut(low, e), cut(high, e)
		z := Span{max(lo[0].Y, lo[1].Y) + FourWide, min(hi[0].Y, hi[len(hi)-1].Y) - chord}
		if z.Len() > 0.02 {
			b.stick(EndPost, st, t, cuboid(a, at, e, z, Z))
		}
	}
	n := max(3, int(math.Round(run.Len()/1.8)))
	prev := geom.Vec2{}
	for i := 1; i < n; i++ {
		x := run.Lo + run.Len()*float64(i)/float64(n)
		lo, hi := height(x)
		v, w := geom.Vec2{X: x, Y: lo}, geom.Vec2{X: x, Y: hi}
		if i%2 == 0 {
			v, w = w, v
		}
		if hi-lo > 0.15 {
			b.stick(Web, st, t, cuboid(a, at, Span{x - FourWide/2, x + FourWide/2}, Span{lo, hi}, Z))
			if i > 1 && prev.X > 0 && math.Abs(prev.Y-v.Y) > 0.15 {
				b.stick(Web, st, t, Stick(spot(a, at.Mid(), prev.X+0.06, prev.Y), spot(a, at.Mid(), v.X-0.06, v.Y), spot(a, 1, 0, 0), TwoBy, FourWide))
			}
			prev = w
		}
	}
}
