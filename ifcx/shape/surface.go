package shape

import (
	"math"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// surface is a curved surface that can be evaluated and inverted, in metres.
type surface struct {
	at func(u, v float64) geom.Vec3
	// find returns the parameters of the point nearest to p; u and v are a first guess when
	// near is true.
	find   func(p geom.Vec3, u, v float64, near bool) (float64, float64)
	pu, pv float64 // periods, 0 for none
	// su and sv are metres per unit of u and v, roughly: they make the parameter plane
	// look like the surface.
	su, sv float64
	// poles are values of v at which all u are one point.
	poles []float64
}

// surface reads the curved surfaces that faces of advanced breps lie on.
func (e *eval) surface(id graph.ID) (*surface, error) {
	if err := e.enter(id); err != nil {
		return nil, err
	}
	defer e.leave()
	switch e.g.Type(id) {
	case "IfcCylindricalSurface", "IfcSphericalSurface", "IfcToroidalSurface", "IfcConicalSurface":
		return e.elementary(id)
	case "IfcSurfaceOfLinearExtrusion":
		return e.extrudedSurface(id)
	case "IfcSurfaceOfRevolution":
		return e.revolvedSurface(id)
	case "IfcBSplineSurfaceWithKnots", "IfcRationalBSplineSurfaceWithKnots", "IfcBezierSurface", "IfcRationalBezierSurface", "IfcBSplineSurface":
		return e.bsplineSurface(id)
	}
	return nil, e.bad(id, "a face on this kind of surface is not read")
}

func (e *eval) elementary(id graph.ID) (*surface, error) {
	m, err := e.axesAt(id, "Position")
	if err != nil {
		return nil, err
	}
	local := func(p geom.Vec3) (x, y, z float64) {
		d := p.Sub(m.O)
		return d.Dot(m.X), d.Dot(m.Y), d.Dot(m.Z)
	}
	polar := func(u float64) geom.Vec3 {
		s, c := math.Sincos(u)
		return m.X.Mul(c).Add(m.Y.Mul(s))
	}
	s := &surface{pu: 2 * math.Pi}
	if e.g.Type(id) == "IfcToroidalSurface" {
		r, err := e.sizes(id, "MajorRadius", "MinorRadius")
		if err != nil {
			return nil, err
		}
		s.pv, s.su, s.sv = 2*math.Pi, r[0], r[1]
		s.at = func(u, v float64) geom.Vec3 {
			sv, cv := math.Sincos(v)
			return m.O.Add(polar(u).Mul(r[0] + r[1]*cv)).Add(m.Z.Mul(r[1] * sv))
		}
		s.find = func(p geom.Vec3, _, _ float64, _ bool) (float64, float64) {
			x, y, z := local(p)
			return math.Atan2(y, x), math.Atan2(z, math.Hypot(x, y)-r[0])
		}
		return s, nil
	}
	r, err := e.size(id, "Radius")
	if err != nil {
		return nil, err
	}
	s.su = r
	switch e.g.Type(id) {
	case "IfcSphericalSurface":
		s.sv, s.poles = r, []float64{-math.Pi / 2, math.Pi / 2}
		s.at = func(u, v float64) geom.Vec3 {
			sv, cv := math.Sincos(v)
			return m.O.Add(polar(u).Mul(r * cv)).Add(m.Z.Mul(r * sv))
		}
		s.find = func(p geom.Vec3, _, _ float64, _ bool) (float64, float64) {
			x, y, z := local(p)
			return math.Atan2(y, x), math.Atan2(z, math.Hypot(x, y))
		}
	default:
		slope := 0.0
		if e.g.Type(id) == "IfcConicalSurface" {
			slope = math.Tan(e.slope(id, "SemiAngle"))
		}
		s.sv = 1
		s.at = func(u, v float64) geom.Vec3 { return m.O.Add(polar(u).Mul(r + v*slope)).Add(m.Z.Mul(v)) }
		s.find = func(p geom.Vec3, _, _ float64, _ bool) (float64, float64) {
			x, y, z := local(p)
			return math.Atan2(y, x), z
		}
	}
	return s, nil
}

// sweptCurve reads the curve of a swept surface, which is wrapped in a profile.
func (e *eval) sweptCurve(id graph.ID) (*curve, error) {
	p, err := e.need(id, "SweptCurve")
	if err != nil {
		return nil, err
	}
	for _, attr := range []string{"Curve", "OuterCurve"} {
		if c := e.g.Ref(p, attr); c != 0 {
			return e.curve(c)
		}
	}
	if e.g.Is(p, "IfcCurve") {
		return e.curve(p)
	}
	g, err := e.profile(p, 0)
	if err != nil {
		return nil, err
	}
	pts := ringPoints(g[:1])
	return numbered(append(pts, pts[0])), nil
}

// samples returns parameters along the whole of a curve, ends included; of a line, two ten
// kilometres off.
func (c *curve) samples() []float64 {
	if c.endless {
		far := 1e4 / c.at(1).Sub(c.at(0)).Len()
		return []float64{-far, far}
	}
	return append(append([]float64{c.lo}, c.between(c.lo, c.hi)...), c.hi)
}

// speed is the mean number of metres per unit of the curve's parameter.
func (c *curve) speed() float64 {
	ts, l := c.samples(), 0.0
	for i := 1; i < len(ts); i++ {
		l += c.at(ts[i]).Sub(c.at(ts[i-1])).Len()
	}
	return max(l/(ts[len(ts)-1]-ts[0]), 1e-9)
}

// wrapped is at for parameters that have run round a closed curve.
func (c *curve) wrapped(t float64) geom.Vec3 {
	if p := c.closes(); p > 0 && !c.endless {
		t = wrap(t, c.lo, c.hi, p)
	}
	return c.at(t)
}

// closes reports whether the curve ends where it began, and returns its range as a period.
func (c *curve) closes() float64 {
	if c.at(c.lo).Sub(c.at(c.hi)).Len() <= geom.Weld {
		return c.hi - c.lo
	}
	return 0
}

func (e *eval) extrudedSurface(id graph.ID) (*surface, error) {
	c, err := e.sweptCurve(id)
	if err != nil {
		return nil, err
	}
	m, err := e.axesAt(id, "Position")
	if err != nil {
		return nil, err
	}
	d, ok := e.direction(id, "ExtrudedDirection")
	if !ok {
		return nil, e.bad(id, "ExtrudedDirection is missing or has no length")
	}
	d = m.Dir(d)
	flat := func(p geom.Vec3) geom.Vec3 { return p.Sub(d.Mul(p.Dot(d))) }
	ts := c.samples()
	return &surface{
		pu: c.closes(), su: c.speed(), sv: 1,
		at: func(u, v float64) geom.Vec3 { return m.Point(c.wrapped(u)).Add(d.Mul(v)) },
		find: func(p geom.Vec3, _, _ float64, _ bool) (float64, float64) {
			u := nearest(func(t float64) geom.Vec3 { return flat(m.Point(c.at(t))) }, flat(p), ts)
			return u, p.Sub(m.Point(c.at(u))).Dot(d)
		},
	}, nil
}

func (e *eval) revolvedSurface(id graph.ID) (*surface, error) {
	c, err := e.sweptCurve(id)
	if err != nil {
		return nil, err
	}
	m, err := e.axesAt(id, "Position")
	if err != nil {
		return nil, err
	}
	ax, err := e.axesAt(id, "AxisPosition")
	if err != nil {
		return nil, err
	}
	o, d := m.Point(ax.O), m.Dir(ax.Z)
	// meridian is a point of the curve as radius, height and angle about the axis
	meridian := func(p geom.Vec3) (r, h, a float64) {
		q := p.Sub(o)
		x := m.Dir(ax.X)
		return q.Sub(d.Mul(q.Dot(d))).Len(), q.Dot(d), math.Atan2(q.Dot(d.Cross(x)), q.Dot(x))
	}
	flat := func(p geom.Vec3) geom.Vec3 { r, h, _ := meridian(p); return geom.Vec3{X: r, Y: h} }
	ts, radius := c.samples(), 0.0
	for _, t := range ts {
		radius = max(radius, flat(m.Point(c.at(t))).X)
	}
	return &surface{
		pu: 2 * math.Pi, pv: c.closes(), su: max(radius, 1e-6), sv: c.speed(),
		at: func(u, v float64) geom.Vec3 {
			q := m.Point(c.wrapped(v)).Sub(o)
			s, co := math.Sincos(u)
			up := d.Mul(q.Dot(d))
			return o.Add(up).Add(q.Sub(up).Mul(co)).Add(d.Cross(q).Mul(s))
		},
		find: func(p geom.Vec3, _, _ float64, _ bool) (float64, float64) {
			v := nearest(func(t float64) geom.Vec3 { return flat(m.Point(c.at(t))) }, flat(p), ts)
			_, _, a := meridian(p)
			_, _, b := meridian(m.Point(c.at(v)))
			return math.Mod(a-b+4*math.Pi, 2*math.Pi), v
		},
	}, nil
}
