package shape

import (
	"math"
	"slices"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// curve is a curve that can be evaluated: at maps the parameter of the standard to a point
// in metres. Plane curves have Z 0.
type curve struct {
	lo, hi float64 // the natural range; for a line the stretch of its vector
	period float64 // 0 when the curve does not run round
	at     func(t float64) geom.Vec3
	// between returns parameters strictly between a and b (a < b), ascending, that keep the
	// chords within geom.ChordError.
	between func(a, b float64) []float64
	// find returns the parameter of the point of the curve nearest to p.
	find    func(p geom.Vec3) float64
	endless bool // a line
	// angular is true when the parameter is an angle, which files give in their own unit.
	angular bool
}

// points walks the curve from parameter a to b, which may run backwards.
func (c *curve) points(a, b float64) []geom.Vec3 {
	lo, hi := min(a, b), max(a, b)
	ts := c.between(lo, hi)
	out := make([]geom.Vec3, 0, len(ts)+2)
	out = append(out, c.at(lo))
	for _, t := range ts {
		out = append(out, c.at(t))
	}
	out = append(out, c.at(hi))
	if a > b {
		slices.Reverse(out)
	}
	return out
}

// polyline reads any curve as a chain of points in metres. A closed curve ends where it began.
func (e *eval) polyline(id graph.ID) ([]geom.Vec3, error) {
	c, err := e.curve(id)
	if err != nil {
		return nil, err
	}
	pts := c.points(c.lo, c.hi)
	for _, p := range pts {
		if !p.IsFinite() {
			return nil, e.bad(id, "a point of the curve is not finite")
		}
	}
	return pts, nil
}

// curve reads any curve.
func (e *eval) curve(id graph.ID) (*curve, error) {
	if err := e.enter(id); err != nil {
		return nil, err
	}
	defer e.leave()
	switch e.g.Type(id) {
	case "IfcPolyline":
		return e.polylineCurve(id)
	case "IfcIndexedPolyCurve":
		return e.indexedPolyCurve(id)
	case "IfcLine":
		return e.line(id)
	case "IfcCircle", "IfcEllipse":
		return e.conic(id)
	case "IfcTrimmedCurve":
		return e.trimmedCurve(id)
	case "IfcCompositeCurve", "Ifc2DCompositeCurve", "IfcCompositeCurveOnSurface", "IfcBoundaryCurve", "IfcOuterBoundaryCurve":
		return e.compositeCurve(id)
	case "IfcBezierCurve", "IfcRationalBezierCurve", "IfcBSplineCurve", "IfcBSplineCurveWithKnots", "IfcRationalBSplineCurveWithKnots":
		return e.bsplineCurve(id)
	case "IfcOffsetCurve2D", "IfcOffsetCurve3D":
		return e.offsetCurve(id)
	case "IfcSurfaceCurve", "IfcSeamCurve", "IfcIntersectionCurve":
		c, err := e.need(id, "Curve3D")
		if err != nil {
			return nil, err
		}
		return e.curve(c)
	}
	return nil, e.bad(id, "this kind of curve is not read")
}

func (e *eval) line(id graph.ID) (*curve, error) {
	p, err := e.pointAt(id, "Pnt")
	if err != nil {
		return nil, err
	}
	v, err := e.need(id, "Dir")
	if err != nil {
		return nil, err
	}
	d, ok := e.direction(v, "Orientation")
	if !ok {
		return nil, e.bad(v, "Orientation is missing or has no length")
	}
	m, err := e.length(v, "Magnitude")
	if err != nil {
		return nil, err
	}
	if m == 0 {
		return nil, e.bad(v, "Magnitude is 0")
	}
	d = d.Mul(m)
	return &curve{
		hi:      1,
		endless: true,
		at:      func(t float64) geom.Vec3 { return p.Add(d.Mul(t)) },
		between: func(a, b float64) []float64 { return nil },
		find:    func(q geom.Vec3) float64 { return q.Sub(p).Dot(d) / d.Dot(d) },
	}, nil
}

func (e *eval) conic(id graph.ID) (*curve, error) {
	m, err := e.axesAt(id, "Position")
	if err != nil {
		return nil, err
	}
	var a, b float64
	if e.g.Type(id) == "IfcCircle" {
		a, err = e.size(id, "Radius")
		b = a
	} else {
		var s []float64
		if s, err = e.sizes(id, "SemiAxis1", "SemiAxis2"); err == nil {
			a, b = s[0], s[1]
		}
	}
	if err != nil {
		return nil, err
	}
	return ellipse(m, a, b), nil
}

// ellipse is a circle or ellipse in the XY plane of a frame, by angle in radians.
func ellipse(m geom.Mat, a, b float64) *curve {
	n := geom.CircleSegments(max(a, b))
	return &curve{
		hi: 2 * math.Pi, period: 2 * math.Pi, angular: true,
		at: func(t float64) geom.Vec3 {
			s, c := math.Sincos(t)
			return m.Point(geom.Vec3{X: a * c, Y: b * s})
		},
		between: func(lo, hi float64) []float64 {
			return even(lo, hi, int(math.Ceil((hi-lo)/(2*math.Pi)*float64(n)-1e-9)))
		},
		find: func(p geom.Vec3) float64 {
			d := p.Sub(m.O)
			return math.Atan2(d.Dot(m.Y)/b, d.Dot(m.X)/a)
		},
	}
}

// even cuts lo..hi into n equal steps and returns the inner parameters.
func even(lo, hi float64, n int) []float64 {
	var out []float64
	for i := 1; i < n; i++ {
		out = append(out, lo+(hi-lo)*float64(i)/float64(n))
	}
	return out
}

// chain is a curve through points with the parameters ts, straight between them.
func chain(pts []geom.Vec3, ts []float64) *curve {
	n := len(pts)
	return &curve{
		lo: ts[0], hi: ts[n-1],
		at: func(t float64) geom.Vec3 {
			i, found := slices.BinarySearch(ts, t)
			switch {
			case found:
				return pts[i]
			case i == 0:
				return pts[0]
			case i == n:
				return pts[n-1]
			}
			f := (t - ts[i-1]) / (ts[i] - ts[i-1])
			return pts[i-1].Add(pts[i].Sub(pts[i-1]).Mul(f))
		},
		between: func(a, b float64) []float64 {
			i, found := slices.BinarySearch(ts, a)
			if found {
				i++
			}
			j, _ := slices.BinarySearch(ts, b)
			if j <= i {
				return nil
			}
			return ts[i:j]
		},
		find: func(p geom.Vec3) float64 {
			best, bestD := ts[0], math.Inf(1)
			for i := 1; i < n; i++ {
				d := pts[i].Sub(pts[i-1])
				f := 0.0
				if l := d.Dot(d); l > 0 {
					f = max(0, min(1, p.Sub(pts[i-1]).Dot(d)/l))
				}
				if l := pts[i-1].Add(d.Mul(f)).Sub(p).Len(); l < bestD {
					best, bestD = ts[i-1]+(ts[i]-ts[i-1])*f, l
				}
			}
			return best
		},
	}
}

// numbered is a chain with parameters 0, 1, 2 ...
func numbered(pts []geom.Vec3) *curve {
	ts := make([]float64, len(pts))
	for i := range ts {
		ts[i] = float64(i)
	}
	return chain(pts, ts)
}

func (e *eval) polylineCurve(id graph.ID) (*curve, error) {
	refs := e.g.Refs(id, "Points")
	if len(refs) < 2 {
		return nil, e.bad(id, "a polyline needs two points or more, this one has %d", len(refs))
	}
	pts := make([]geom.Vec3, len(refs))
	for i, r := range refs {
		var err error
		if pts[i], err = e.point(r); err != nil {
			return nil, err
		}
	}
	return numbered(pts), nil
}
