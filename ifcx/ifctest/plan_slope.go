package ifctest

import (
	"math"

	"voidcheck/ifcx/geom"
)

// straight cuts a run into pieces over which both edges of a strip lie under straight lines of the roof.
func (f roofField) straight(a Axis, across, run Span) []Span {
	var at []float64
	for _, e := range []float64{across.Lo, across.Hi} {
		for _, p := range f.profile(a, Span{e, e}, run) {
			at = append(at, p.X)
		}
	}
	return spansOf(at)
}

// edges returns the height of the roof over the edges of a strip where it is level along them;
// ok is false where it is not.
func (f roofField) edges(a Axis, across, run Span) (lo, hi float64, ok bool) {
	l, h := f.profile(a, Span{across.Lo, across.Lo}, run), f.profile(a, Span{across.Hi, across.Hi}, run)
	level := func(p []geom.Vec2) bool { return len(p) == 2 && math.Abs(p[0].Y-p[1].Y) < 1e-6 }
	return l[0].Y, h[0].Y, level(l) && level(h)
}

// upTo returns the solids of a sheet or wall over a strip from base up to drop below the roof, whose
// top follows the slope along it or across it.
func (f roofField) upTo(a Axis, across, run Span, base, drop float64) []Prism {
	var out []Prism
	slopes := false
	thin := across.Len() < 0.017 // what a board leaves open over its low edge is less than 1/2 in
	for _, s := range f.straight(a, across, run) {
		lo, hi, ok := f.edges(a, across, s)
		if ok && !thin && math.Abs(lo-hi) > 1e-6 {
			slopes = true
			out = append(out, standing(1-a, s, []geom.Vec2{{X: across.Lo, Y: base}, {X: across.Hi, Y: base}, {X: across.Hi, Y: max(base, hi-drop)}, {X: across.Lo, Y: max(base, lo-drop)}}))
		} else {
			out = append(out, standing(a, across, under(f.profile(a, across, s), base, drop)))
		}
	}
	if !slopes { // one body for all
		return []Prism{standing(a, across, under(f.profile(a, across, run), base, drop))}
	}
	return out
}

// lath is a plate along a straight piece of the roof over a strip, cv deep measured plumb.
func (f roofField) lath(a Axis, across, run Span, drop, cv float64) Prism {
	if lo, hi, ok := f.edges(a, across, run); ok {
		z := min(lo, hi) - drop - cv
		return standing(1-a, run, []geom.Vec2{{X: across.Lo, Y: z}, {X: across.Hi, Y: z}, {X: across.Hi, Y: hi - drop}, {X: across.Lo, Y: lo - drop}})
	}
	p := f.profile(a, across, run)
	l, h := p[0], p[len(p)-1]
	return standing(a, across, []geom.Vec2{{X: l.X, Y: l.Y - drop - cv}, {X: h.X, Y: h.Y - drop - cv}, {X: h.X, Y: h.Y - drop}, {X: l.X, Y: l.Y - drop}})
}
