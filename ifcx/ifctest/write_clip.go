package ifctest

import (
	"math"

	"voidcheck/ifcx/geom"
)

// Clipped writes a prism with sloping edges as authoring tools write walls under a roof: an
// upright box less one half-space for each sloping edge. Anything but a convex outline without
// holes comes out as an extrusion.
func (s *Step) Clipped(p Prism) (item Ref, clipped bool) {
	out := p.Profile.Outline
	if p.Profile.Kind != Poly || len(p.Profile.Holes) > 0 || !convex(out) {
		return s.Extrusion(p), false
	}
	if ringArea(out) < 0 {
		out = reversed(out)
	}
	lo, hi := out[0], out[0]
	for _, c := range out {
		lo = geom.Vec2{X: min(lo.X, c.X), Y: min(lo.Y, c.Y)}
		hi = geom.Vec2{X: max(hi.X, c.X), Y: max(hi.Y, c.Y)}
	}
	f := p.Frame
	base := f.O.Add(f.X.Mul((lo.X + hi.X) / 2)).Add(f.Y.Mul(lo.Y)).Add(f.Z.Mul(p.Depth / 2))
	item = s.Extrusion(Prism{geom.Mat{X: f.Z, Y: f.X, Z: f.Y, O: base}, Profile{Kind: Rect, W: p.Depth, H: hi.X - lo.X}, hi.Y - lo.Y})
	for i, a := range out {
		d := out[(i+1)%len(out)].Sub(a)
		if math.Abs(d.X) < 1e-9 || math.Abs(d.Y) < 1e-9 {
			continue
		}
		n := geom.Vec2{X: d.Y, Y: -d.X}.Unit() // away from the solid
		z := f.X.Mul(n.X).Add(f.Y.Mul(n.Y))
		at := geom.Mat{X: f.Z, Y: z.Cross(f.Z), Z: z, O: f.O.Add(f.X.Mul(a.X)).Add(f.Y.Mul(a.Y))}
		// the normal points into what is taken away: the flag is false
		half := s.Once("IfcHalfSpaceSolid", s.Once("IfcPlane", s.Axes(at)), false)
		item = s.Once("IfcBooleanClippingResult", Enum("DIFFERENCE"), item, half)
		clipped = true
	}
	return item, clipped
}

// convex reports whether a ring turns one way only.
func convex(r []geom.Vec2) bool {
	sign := 0.0
	for i, a := range r {
		b, c := r[(i+1)%len(r)], r[(i+2)%len(r)]
		t := b.Sub(a).Cross(c.Sub(b))
		if math.Abs(t) < 1e-12 {
			continue
		}
		if t*sign < 0 {
			return false
		}
		sign = t
	}
	return sign != 0
}
