package shape

import (
	"math"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// revolution reads IfcRevolvedAreaSolid and, with a second profile, its tapered form: an
// area swept about an axis in its plane.
func (e *eval) revolution(id graph.ID) (*part, error) {
	frame, err := e.axesAt(id, "Position")
	if err != nil {
		return nil, err
	}
	axisID, err := e.need(id, "Axis")
	if err != nil {
		return nil, err
	}
	axis, err := e.axes(axisID)
	if err != nil {
		return nil, err
	}
	if !e.g.Is(axisID, "IfcAxis1Placement") || math.Abs(axis.Z.Z) > 1e-6 || math.Abs(axis.O.Z) > geom.Weld {
		return nil, e.bad(id, "the axis does not lie in the plane of the profile")
	}
	angle, err := e.number(id, "Angle")
	if err != nil {
		return nil, err
	}
	if angle *= e.angle; math.Abs(angle) < 1e-9 {
		return nil, e.bad(id, "Angle is 0")
	}
	angle = max(-2*math.Pi, min(2*math.Pi, angle))
	area, err := e.need(id, "SweptArea")
	if err != nil {
		return nil, err
	}
	end := e.g.Ref(id, "EndSweptArea")
	chords := 0
	if end != 0 {
		chords = max(e.chords(area), e.chords(end))
	}
	a, err := e.profile(area, chords)
	if err != nil {
		return nil, err
	}
	b := a
	if end != 0 {
		if b, err = e.profile(end, chords); err != nil {
			return nil, err
		}
		if a, b = alike(a, b); a == nil {
			return nil, e.bad(id, "the two profiles do not have the same number of outlines")
		}
	}
	return e.turnRound(id, frame, axis, angle, a, b)
}

// turnRound makes the mesh of section a turned about an axis while it becomes section b.
func (e *eval) turnRound(id graph.ID, frame, axis geom.Mat, angle float64, a, b geom.Region) (*part, error) {
	from, to := ringPoints(a), ringPoints(b)
	o, d := axis.O, axis.Z
	radius, left, right := 0.0, false, false
	for _, pts := range [2][]geom.Vec3{from, to} {
		for _, p := range pts {
			s := d.Cross(p.Sub(o)).Z // distance from the axis, with its side
			left, right = left || s > geom.Weld, right || s < -geom.Weld
			radius = max(radius, math.Abs(s))
		}
	}
	if left && right {
		return nil, e.bad(id, "the profile lies on both sides of its axis")
	}
	n := max(1, int(math.Ceil(math.Abs(angle)/(2*math.Pi)*float64(geom.CircleSegments(radius))-1e-9)))
	round := math.Abs(angle) > 2*math.Pi-1e-6 && len(e.g.Refs(id, "EndSweptArea")) == 0
	steps := n
	if round {
		steps = n - 1
	}
	var sections [][]geom.Vec3
	for k := 0; k <= steps; k++ {
		t := float64(k) / float64(n)
		s, c := math.Sincos(angle * t)
		pts := make([]geom.Vec3, len(from))
		for i := range pts {
			p := from[i].Add(to[i].Sub(from[i]).Mul(t)).Sub(o)
			along := d.Mul(p.Dot(d)) // Rodrigues: turn about d
			q := along.Add(p.Sub(along).Mul(c)).Add(d.Cross(p).Mul(s))
			pts[i] = frame.Point(q.Add(o))
		}
		sections = append(sections, pts)
	}
	return &part{item: id, kind: e.g.Type(id), mesh: outward(loft(a, sections, round))}, nil
}
