package shape

import (
	"math"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// profile reads any area profile as a region in the profile's plane, metres. chords is the
// number of chords of a circle, 0 for as many as its radius asks for; tapered solids give
// both their ends the same.
func (e *eval) profile(id graph.ID, chords int) (geom.Region, error) {
	if err := e.enter(id); err != nil {
		return nil, err
	}
	defer e.leave()
	rings, err := e.profileRings(id, chords)
	if err != nil {
		return nil, err
	}
	var place geom.Mat
	if e.g.Is(id, "IfcParameterizedProfileDef") {
		if place, err = e.axesAt(id, "Position"); err != nil {
			return nil, err
		}
		for i, r := range rings {
			rings[i] = moved(r, place)
		}
		rings = e.upright(rings)
	}
	for _, r := range rings {
		for _, p := range r {
			if !p.IsFinite() {
				return nil, e.bad(id, "a point of the outline is not finite")
			}
		}
	}
	if a := rings.Area(); !(a > 1e-12) {
		return nil, e.bad(id, "the outline bounds no area")
	}
	return rings, nil
}

func moved(r geom.Ring, m geom.Mat) geom.Ring {
	out := make(geom.Ring, len(r))
	for i, p := range r {
		out[i] = m.Point(geom.Vec3{X: p.X, Y: p.Y}).Plan()
	}
	return out
}

// upright turns rings so that the first (outer) one runs counter-clockwise again after a mirror.
func (e *eval) upright(g geom.Region) geom.Region {
	if g.Area() < 0 {
		for i, r := range g {
			g[i] = r.Reversed()
		}
	}
	return g
}

func (e *eval) profileRings(id graph.ID, chords int) (geom.Region, error) {
	switch t := e.g.Type(id); t {
	case "IfcArbitraryClosedProfileDef", "IfcArbitraryProfileDefWithVoids":
		return e.arbitraryProfile(id)
	case "IfcCenterLineProfileDef":
		return e.centreLine(id)
	case "IfcCompositeProfileDef":
		var sum geom.Region
		for _, p := range e.g.Refs(id, "Profiles") {
			g, err := e.profile(p, chords)
			if err != nil {
				return nil, err
			}
			sum = geom.Combine(sum, g, geom.Union)
		}
		return sum, nil
	case "IfcDerivedProfileDef", "IfcMirroredProfileDef":
		return e.derivedProfile(id, chords)
	case "IfcCircleProfileDef":
		r, err := e.size(id, "Radius")
		return geom.Region{oval(r, r, chords)}, err
	case "IfcCircleHollowProfileDef":
		s, err := e.sizes(id, "Radius", "WallThickness")
		if err != nil {
			return nil, err
		}
		if s[1] >= s[0] {
			return geom.Region{oval(s[0], s[0], chords)}, nil
		}
		in := s[0] - s[1]
		return geom.Region{oval(s[0], s[0], chords), oval(in, in, chords).Reversed()}, nil
	case "IfcEllipseProfileDef":
		s, err := e.sizes(id, "SemiAxis1", "SemiAxis2")
		if err != nil {
			return nil, err
		}
		return geom.Region{oval(s[0], s[1], chords)}, nil
	case "IfcRectangleProfileDef", "IfcRoundedRectangleProfileDef", "IfcRectangleHollowProfileDef":
		return e.rectangleProfile(id)
	default:
		if f := sections[t]; f != nil {
			r, err := f(e, id)
			if err != nil {
				return nil, err
			}
			return geom.Region{r}, nil
		}
	}
	return nil, e.bad(id, "this kind of profile is not read")
}

func (e *eval) rectangleProfile(id graph.ID) (geom.Region, error) {
	s, err := e.sizes(id, "XDim", "YDim")
	if err != nil {
		return nil, err
	}
	if e.g.Type(id) != "IfcRectangleHollowProfileDef" {
		return geom.Region{rectangle(s[0], s[1], e.optional(id, "RoundingRadius"))}, nil
	}
	t, err := e.size(id, "WallThickness")
	if err != nil {
		return nil, err
	}
	out := geom.Region{rectangle(s[0], s[1], e.optional(id, "OuterFilletRadius"))}
	if 2*t < min(s[0], s[1]) {
		out = append(out, rectangle(s[0]-2*t, s[1]-2*t, e.optional(id, "InnerFilletRadius")).Reversed())
	}
	return out, nil
}

// ring reads a closed curve of a profile.
func (e *eval) ring(id graph.ID) (geom.Ring, error) {
	pts, err := e.polyline(id)
	if err != nil {
		return nil, err
	}
	r := make(geom.Ring, 0, len(pts))
	for _, p := range pts {
		r = append(r, p.Plan())
	}
	if n := len(r); n > 1 && r[0].Sub(r[n-1]).Len() <= geom.Weld {
		r = r[:n-1]
	}
	if len(r) < 3 {
		return nil, e.bad(id, "a closed outline needs three points or more")
	}
	if len(r) > maxOutline {
		return nil, e.bad(id, "the outline has %d points, up to %d are read", len(r), maxOutline)
	}
	return r, nil
}

func (e *eval) arbitraryProfile(id graph.ID) (geom.Region, error) {
	c, err := e.need(id, "OuterCurve")
	if err != nil {
		return nil, err
	}
	outer, err := e.ring(c)
	if err != nil {
		return nil, err
	}
	var voids []geom.Ring
	for _, v := range e.g.Refs(id, "InnerCurves") {
		r, err := e.ring(v)
		if err != nil {
			return nil, err
		}
		voids = append(voids, r)
	}
	if len(voids) > 1 { // voids that overlap are one void
		voids = geom.UnionOf(voids...)
	}
	return geom.Combine([]geom.Ring{outer}, voids, geom.Difference), nil
}

// centreLine thickens an open or closed curve to both sides, with mitred corners and flat ends.
func (e *eval) centreLine(id graph.ID) (geom.Region, error) {
	c, err := e.need(id, "Curve")
	if err != nil {
		return nil, err
	}
	pts, err := e.polyline(c)
	if err != nil {
		return nil, err
	}
	t, err := e.size(id, "Thickness")
	if err != nil {
		return nil, err
	}
	pts = distinct(pts)
	left, right := offset(pts, t/2, axisZ), offset(pts, -t/2, axisZ)
	if left == nil || right == nil {
		return nil, e.bad(id, "the centre line has no length")
	}
	// Quadrilaterals per segment, so that sharp bends and crossings come out right.
	var quads []geom.Ring
	for i := 1; i < len(pts); i++ {
		quads = append(quads, geom.Ring{right[i-1].Plan(), right[i].Plan(), left[i].Plan(), left[i-1].Plan()})
	}
	return geom.UnionOf(quads...), nil
}

func (e *eval) derivedProfile(id graph.ID, chords int) (geom.Region, error) {
	parent, err := e.need(id, "ParentProfile")
	if err != nil {
		return nil, err
	}
	g, err := e.profile(parent, chords)
	if err != nil {
		return nil, err
	}
	m := geom.Identity()
	m.X.X = -1 // IfcMirroredProfileDef: about its Y axis
	if e.g.Type(id) == "IfcDerivedProfileDef" {
		op, err := e.need(id, "Operator")
		if err != nil {
			return nil, err
		}
		if m, err = e.operator(op); err != nil {
			return nil, err
		}
	}
	for i, r := range g {
		g[i] = moved(r, m)
	}
	return e.upright(g), nil
}

// sections reads the profiles that rolled and bent sections have.
var sections = map[string]func(*eval, graph.ID) (geom.Ring, error){
	"IfcIShapeProfileDef": func(e *eval, id graph.ID) (geom.Ring, error) {
		s, err := e.sizes(id, "OverallWidth", "OverallDepth", "WebThickness", "FlangeThickness")
		if err != nil {
			return nil, err
		}
		f := flange{s[0], s[3], e.optional(id, "FilletRadius"), e.optional(id, "FlangeEdgeRadius"), e.slope(id, "FlangeSlope")}
		return iShape(s[1], s[2], f, f), nil
	},
	"IfcAsymmetricIShapeProfileDef": asymmetricI,
	"IfcLShapeProfileDef": func(e *eval, id graph.ID) (geom.Ring, error) {
		s, err := e.sizes(id, "Depth", "Thickness")
		if err != nil {
			return nil, err
		}
		w := e.optional(id, "Width")
		if w <= 0 {
			w = s[0]
		}
		return lShape(s[0], w, s[1], e.optional(id, "FilletRadius"), e.optional(id, "EdgeRadius"), e.slope(id, "LegSlope")), nil
	},
	"IfcTShapeProfileDef": func(e *eval, id graph.ID) (geom.Ring, error) {
		s, err := e.sizes(id, "Depth", "FlangeWidth", "WebThickness", "FlangeThickness")
		if err != nil {
			return nil, err
		}
		return tShape(s[0], s[1], s[2], s[3], e.optional(id, "FilletRadius"), e.optional(id, "FlangeEdgeRadius"),
			e.optional(id, "WebEdgeRadius"), e.slope(id, "FlangeSlope"), e.slope(id, "WebSlope")), nil
	},
	"IfcUShapeProfileDef": func(e *eval, id graph.ID) (geom.Ring, error) {
		s, err := e.sizes(id, "Depth", "FlangeWidth", "WebThickness", "FlangeThickness")
		if err != nil {
			return nil, err
		}
		return uShape(s[0], s[1], s[2], s[3], e.optional(id, "FilletRadius"), e.optional(id, "EdgeRadius"), e.slope(id, "FlangeSlope")), nil
	},
	"IfcCShapeProfileDef": func(e *eval, id graph.ID) (geom.Ring, error) {
		s, err := e.sizes(id, "Depth", "Width", "WallThickness", "Girth")
		if err != nil {
			return nil, err
		}
		return cShape(s[0], s[1], s[2], s[3], e.optional(id, "InternalFilletRadius")), nil
	},
	"IfcZShapeProfileDef": func(e *eval, id graph.ID) (geom.Ring, error) {
		s, err := e.sizes(id, "Depth", "FlangeWidth", "WebThickness", "FlangeThickness")
		if err != nil {
			return nil, err
		}
		return zShape(s[0], s[1], s[2], s[3], e.optional(id, "FilletRadius"), e.optional(id, "EdgeRadius")), nil
	},
	"IfcTrapeziumProfileDef": func(e *eval, id graph.ID) (geom.Ring, error) {
		s, err := e.sizes(id, "BottomXDim", "TopXDim", "YDim")
		if err != nil {
			return nil, err
		}
		x, y, o := s[0]/2, s[2]/2, e.optional(id, "TopXOffset")
		return rounded(corner{-x, -y, 0}, corner{x, -y, 0}, corner{-x + o + s[1], y, 0}, corner{-x + o, y, 0}), nil
	},
}

// slope returns an angle in radians, 0 when it is not given or steeper than 45 degrees.
func (e *eval) slope(id graph.ID, attr string) float64 {
	f, ok := e.g.Float(id, attr)
	if f *= e.angle; !ok || !(math.Abs(f) < math.Pi/4) {
		return 0
	}
	return f
}

// asymmetricI reads the attributes under their names in IFC4, or those in IFC2X3, where the
// profile is a kind of symmetric one.
func asymmetricI(e *eval, id graph.ID) (geom.Ring, error) {
	width, thick, fillet := "BottomFlangeWidth", "BottomFlangeThickness", "BottomFlangeFilletRadius"
	if e.g.Is(id, "IfcIShapeProfileDef") {
		width, thick, fillet = "OverallWidth", "FlangeThickness", "FilletRadius"
	}
	s, err := e.sizes(id, width, "OverallDepth", "WebThickness", thick, "TopFlangeWidth")
	if err != nil {
		return nil, err
	}
	lo := flange{s[0], s[3], e.optional(id, fillet), e.optional(id, "BottomFlangeEdgeRadius"), e.slope(id, "BottomFlangeSlope")}
	hi := flange{s[4], e.optional(id, "TopFlangeThickness"), e.optional(id, "TopFlangeFilletRadius"), e.optional(id, "TopFlangeEdgeRadius"), e.slope(id, "TopFlangeSlope")}
	if hi.t <= 0 {
		hi.t = lo.t
	}
	return iShape(s[1], s[2], lo, hi), nil
}
