package propose

import (
	"math"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// grown returns the plan of a compartment as it will be once the unit lines beside it are
// blocked: at a double wall without any block the void ends where the wall begins, with
// blocks at their faces.
func (m *maker) grown(c *void.Compartment, g geom.Region) geom.Region {
	for _, l := range m.Voids.Lines {
		length := l.B.Sub(l.A).Len()
		if l.Kind != void.LineSeparation || l.Side == 0 || l.Bounds || len(l.Elements) > 0 || length < 1e-6 || !leadsFrom(l, c) {
			continue
		}
		a := axes{o: l.A, dir: l.B.Sub(l.A).Unit()}
		edge, s := math.Inf(1), void.Span{Lo: math.Inf(1), Hi: math.Inf(-1)}
		for _, r := range g {
			for _, p := range r {
				if along, t := a.in(p); along > -beyond && along < length+beyond && math.Abs(t) < math.Abs(edge) {
					edge = t
				}
			}
		}
		for _, r := range g {
			for _, p := range r {
				if along, t := a.in(p); math.Abs(t-edge) < 0.002 {
					s = void.Span{Lo: math.Min(s.Lo, along), Hi: math.Max(s.Hi, along)}
				}
			}
		}
		face := math.Copysign(blockM/2, edge)
		if math.Abs(edge) <= math.Abs(face) || math.Abs(edge) > 0.2 || s.Hi-s.Lo < 1e-3 {
			continue
		}
		in := edge + math.Copysign(1e-4, edge) // lapping, so that the two become one
		strip := geom.Ring{a.out(s.Lo, in), a.out(s.Hi, in), a.out(s.Hi, face), a.out(s.Lo, face)}
		if strip.Area() < 0 {
			strip[1], strip[3] = strip[3], strip[1]
		}
		g = geom.Combine(g, geom.Region{strip}, geom.Union)
	}
	return g
}

// leadsFrom reports whether a line has an opening from a compartment.
func leadsFrom(l *void.Line, c *void.Compartment) bool {
	for _, o := range l.Openings {
		if o.A == c || o.B == c {
			return true
		}
	}
	return false
}
