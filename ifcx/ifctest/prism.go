package ifctest

import (
	"math"

	"voidcheck/ifcx/geom"
)

// ProfileKind is the shape of a prism's section.
type ProfileKind uint8

// The profile kinds.
const (
	Rect   ProfileKind = iota // W x H, centred
	Circle                    // radius R, centred
	Tube                      // outer radius R, wall T
	IShape                    // overall width W, depth H, web T, flange F, centred
	Poly                      // Outline and Holes
)

// Profile is the section of a prism, in metres.
type Profile struct {
	Kind    ProfileKind
	W, H    float64
	R, T, F float64
	Outline []geom.Vec2   // counter-clockwise, not closed
	Holes   [][]geom.Vec2 // clockwise or not, not closed
}

// Prism is a section in the XY plane of Frame, extruded along its Z over Depth metres.
type Prism struct {
	Frame   geom.Mat
	Profile Profile
	Depth   float64
}

// Axis names the direction of extrusion of a box.
type Axis uint8

// The axes.
const (
	X Axis = iota
	Y
	Z
)

// Span is an interval in metres.
type Span struct{ Lo, Hi float64 }

// Len returns Hi - Lo.
func (s Span) Len() float64 { return s.Hi - s.Lo }

// Mid returns the middle.
func (s Span) Mid() float64 { return (s.Lo + s.Hi) / 2 }

// grow returns the span moved outward by d at both ends.
func (s Span) grow(d float64) Span { return Span{s.Lo - d, s.Hi + d} }

// overlaps reports whether two spans share more than a point.
func (s Span) overlaps(o Span) bool { return s.Lo < o.Hi-1e-9 && o.Lo < s.Hi-1e-9 }

// axisFrame returns a right-handed frame whose Z points along the axis.
func axisFrame(a Axis, o geom.Vec3) geom.Mat {
	switch a {
	case X:
		return geom.Mat{X: geom.Vec3{Y: 1}, Y: geom.Vec3{Z: 1}, Z: geom.Vec3{X: 1}, O: o}
	case Y:
		return geom.Mat{X: geom.Vec3{Z: 1}, Y: geom.Vec3{X: 1}, Z: geom.Vec3{Y: 1}, O: o}
	}
	return geom.Mat{X: geom.Vec3{X: 1}, Y: geom.Vec3{Y: 1}, Z: geom.Vec3{Z: 1}, O: o}
}

// Box returns the box as a rectangle extruded along the axis.
func Box(x, y, z Span, along Axis) Prism {
	switch along {
	case X:
		return Prism{axisFrame(X, geom.Vec3{X: x.Lo, Y: y.Mid(), Z: z.Mid()}), Profile{Kind: Rect, W: y.Len(), H: z.Len()}, x.Len()}
	case Y:
		return Prism{axisFrame(Y, geom.Vec3{X: x.Mid(), Y: y.Lo, Z: z.Mid()}), Profile{Kind: Rect, W: z.Len(), H: x.Len()}, y.Len()}
	}
	return Prism{axisFrame(Z, geom.Vec3{X: x.Mid(), Y: y.Mid(), Z: z.Lo}), Profile{Kind: Rect, W: x.Len(), H: y.Len()}, z.Len()}
}

// SheetX returns a sheet across x: a polygon in (y, z) extruded over the span of x.
func SheetX(x Span, outline []geom.Vec2, holes ...[]geom.Vec2) Prism {
	return Prism{axisFrame(X, geom.Vec3{X: x.Lo}), Profile{Kind: Poly, Outline: outline, Holes: holes}, x.Len()}
}

// SheetY returns a sheet across y: a polygon in (x, z) extruded over the span of y.
func SheetY(y Span, outline []geom.Vec2, holes ...[]geom.Vec2) Prism {
	f := geom.Mat{X: geom.Vec3{X: 1}, Y: geom.Vec3{Z: 1}, Z: geom.Vec3{Y: -1}, O: geom.Vec3{Y: y.Hi}}
	return Prism{f, Profile{Kind: Poly, Outline: outline, Holes: holes}, y.Len()}
}

// SheetZ returns a level sheet: a polygon in (x, y) extruded over the span of z.
func SheetZ(z Span, outline []geom.Vec2, holes ...[]geom.Vec2) Prism {
	return Prism{axisFrame(Z, geom.Vec3{Z: z.Lo}), Profile{Kind: Poly, Outline: outline, Holes: holes}, z.Len()}
}

// Stick returns a rectangular member from a to b (ends cut square); side is the direction of
// its width, which must not be parallel to the member.
func Stick(a, b, side geom.Vec3, width, depth float64) Prism {
	z := b.Sub(a).Unit()
	x := side.Sub(z.Mul(side.Dot(z))).Unit()
	return Prism{geom.Mat{X: x, Y: z.Cross(x), Z: z, O: a}, Profile{Kind: Rect, W: width, H: depth}, b.Sub(a).Len()}
}

// Rod returns a round member from a to b; wall > 0 makes it a tube.
func Rod(a, b geom.Vec3, radius, wall float64) Prism {
	side := geom.Vec3{X: 1}
	if math.Abs(b.Sub(a).Unit().X) > 0.9 {
		side = geom.Vec3{Y: 1}
	}
	p := Stick(a, b, side, 0, 0)
	p.Profile = Profile{Kind: Circle, R: radius}
	if wall > 0 {
		p.Profile = Profile{Kind: Tube, R: radius, T: wall}
	}
	return p
}

// rectRing returns the corners of a rectangle, counter-clockwise.
func rectRing(x, y Span) []geom.Vec2 {
	return []geom.Vec2{{X: x.Lo, Y: y.Lo}, {X: x.Hi, Y: y.Lo}, {X: x.Hi, Y: y.Hi}, {X: x.Lo, Y: y.Hi}}
}

// ringArea returns the signed area of a ring.
func ringArea(r []geom.Vec2) float64 {
	a := 0.0
	for i, p := range r {
		a += p.Cross(r[(i+1)%len(r)])
	}
	return a / 2
}

// Area returns the area of the section in square metres.
func (p Profile) Area() float64 {
	switch p.Kind {
	case Circle:
		return math.Pi * p.R * p.R
	case Tube:
		in := p.R - p.T
		return math.Pi * (p.R*p.R - in*in)
	case IShape:
		return 2*p.W*p.F + (p.H-2*p.F)*p.T
	case Poly:
		a := math.Abs(ringArea(p.Outline))
		for _, h := range p.Holes {
			a -= math.Abs(ringArea(h))
		}
		return a
	}
	return p.W * p.H
}

// Volume returns the volume in cubic metres.
func (p Prism) Volume() float64 { return p.Profile.Area() * p.Depth }

// rings returns outline and holes as polygons; round sections get the given number of corners.
func (p Profile) rings(corners int) (outer []geom.Vec2, holes [][]geom.Vec2) {
	circle := func(r float64) []geom.Vec2 {
		c := make([]geom.Vec2, corners)
		for i := range c {
			a := 2 * math.Pi * float64(i) / float64(corners)
			c[i] = geom.Vec2{X: r * math.Cos(a), Y: r * math.Sin(a)}
		}
		return c
	}
	switch p.Kind {
	case Circle:
		return circle(p.R), nil
	case Tube:
		return circle(p.R), [][]geom.Vec2{circle(p.R - p.T)}
	case IShape:
		w, h, t, f := p.W/2, p.H/2, p.T/2, p.F
		return []geom.Vec2{{X: -w, Y: -h}, {X: w, Y: -h}, {X: w, Y: -h + f}, {X: t, Y: -h + f}, {X: t, Y: h - f}, {X: w, Y: h - f},
			{X: w, Y: h}, {X: -w, Y: h}, {X: -w, Y: h - f}, {X: -t, Y: h - f}, {X: -t, Y: -h + f}, {X: -w, Y: -h + f}}, nil
	case Poly:
		return p.Outline, p.Holes
	}
	return rectRing(Span{-p.W / 2, p.W / 2}, Span{-p.H / 2, p.H / 2}), nil
}

// Bounds returns the box of the prism in its parent frame.
func (p Prism) Bounds() geom.Box {
	b := geom.EmptyBox()
	outer, _ := p.Profile.rings(64)
	for _, c := range outer {
		b = b.Extend(p.Frame.Point(geom.Vec3{X: c.X, Y: c.Y})).Extend(p.Frame.Point(geom.Vec3{X: c.X, Y: c.Y, Z: p.Depth}))
	}
	return b
}

// stretch moves both ends of the prism outward by d (inward when negative).
func (p Prism) stretch(d float64) Prism {
	if p.Depth+2*d <= 0 {
		return p
	}
	p.Frame.O = p.Frame.O.Sub(p.Frame.Z.Mul(d))
	p.Depth += 2 * d
	return p
}

// thin makes a rectangular section smaller by d on every side and leaves others alone.
func (p Prism) thin(d float64) Prism {
	if p.Profile.Kind == Rect && p.Profile.W > 4*d && p.Profile.H > 4*d {
		p.Profile.W -= 2 * d
		p.Profile.H -= 2 * d
	}
	return p
}

// place applies a rigid transform; a mirror keeps the frame right-handed by turning the
// section round, so that the solid itself is mirrored.
func (p Prism) place(m geom.Mat) Prism {
	mirror := m.Det() < 0
	p.Frame = m.Then(p.Frame)
	if mirror {
		p.Frame.X = p.Frame.X.Mul(-1)
		p.Profile = p.Profile.flip()
	}
	return p
}

// flip mirrors the section across its Y axis.
func (p Profile) flip() Profile {
	turn := func(r []geom.Vec2) []geom.Vec2 {
		o := make([]geom.Vec2, len(r))
		for i, c := range r {
			o[len(r)-1-i] = geom.Vec2{X: -c.X, Y: c.Y}
		}
		return o
	}
	if p.Kind == Poly {
		p.Outline = turn(p.Outline)
		holes := make([][]geom.Vec2, len(p.Holes))
		for i, h := range p.Holes {
			holes[i] = turn(h)
		}
		p.Holes = holes
	}
	return p
}
