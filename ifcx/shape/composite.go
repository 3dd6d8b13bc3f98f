package shape

import (
	"math"
	"slices"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// indexedPolyCurve reads straight segments and arcs through three points each.
func (e *eval) indexedPolyCurve(id graph.ID) (*curve, error) {
	list, err := e.need(id, "Points")
	if err != nil {
		return nil, err
	}
	pts, err := e.pointList(list)
	if err != nil {
		return nil, err
	}
	segments := e.g.List(id, "Segments")
	if len(segments) == 0 {
		if len(pts) < 2 {
			return nil, e.bad(id, "a curve needs two points or more")
		}
		return numbered(pts), nil
	}
	var out []geom.Vec3
	for _, s := range segments {
		ix, err := e.indices(id, s, len(pts))
		if err != nil {
			return nil, err
		}
		var part []geom.Vec3
		if s.Type == "IfcArcIndex" {
			if len(ix) != 3 {
				return nil, e.bad(id, "an arc needs three indices, this one has %d", len(ix))
			}
			part = arc(pts[ix[0]], pts[ix[1]], pts[ix[2]])
		} else {
			for _, i := range ix {
				part = append(part, pts[i])
			}
		}
		out = join(out, part)
	}
	if len(out) < 2 {
		return nil, e.bad(id, "a curve needs two points or more")
	}
	return numbered(out), nil
}

// join appends part to a chain, without the point that both share.
func join(out, part []geom.Vec3) []geom.Vec3 {
	if len(out) > 0 && len(part) > 0 && out[len(out)-1].Sub(part[0]).Len() <= geom.Weld {
		part = part[1:]
	}
	return append(out, part...)
}

// arc returns chords of the arc from a over b to c; three points on a line give the line.
func arc(a, b, c geom.Vec3) []geom.Vec3 {
	ab, ac := b.Sub(a), c.Sub(a)
	n := ab.Cross(ac)
	n2 := n.Dot(n)
	if n2 <= 1e-18*ab.Dot(ab)*ac.Dot(ac) || n2 == 0 {
		return []geom.Vec3{a, b, c}
	}
	// centre of the circle through three points, relative to a
	o := n.Cross(ab).Mul(ac.Dot(ac)).Add(ac.Cross(n).Mul(ab.Dot(ab))).Mul(1 / (2 * n2))
	r := o.Len()
	m := axesFrom(a.Add(o), n, o.Mul(-1))
	circle := ellipse(m, r, r)
	end := circle.find(c)
	if end <= 0 {
		end += 2 * math.Pi
	}
	pts := circle.points(0, end)
	pts[0], pts[len(pts)-1] = a, c
	return pts
}

func (e *eval) compositeCurve(id graph.ID) (*curve, error) {
	segments := e.g.Refs(id, "Segments")
	if len(segments) == 0 {
		return nil, e.bad(id, "a composite curve without segments")
	}
	var out []geom.Vec3
	var ts []float64
	for i, s := range segments {
		parent := e.g.Ref(s, "ParentCurve")
		if parent == 0 {
			return nil, e.bad(s, "this kind of segment is not read")
		}
		pts, err := e.polyline(parent)
		if err != nil {
			return nil, err
		}
		if same, known := e.g.Bool(s, "SameSense"); known && !same {
			slices.Reverse(pts)
		}
		before := len(out)
		out = join(out, pts)
		for k := before; k < len(out); k++ { // parameter i to i+1 along segment i
			ts = append(ts, float64(i)+float64(k-before+min(before, 1))/float64(len(out)-before-1+min(before, 1)))
		}
	}
	if len(out) < 2 {
		return nil, e.bad(id, "a curve needs two points or more")
	}
	for k := 1; k < len(ts); k++ { // a gap between segments must not turn the order
		if ts[k] <= ts[k-1] || math.IsNaN(ts[k]) {
			return numbered(out), nil
		}
	}
	return chain(out, ts), nil
}

func (e *eval) trimmedCurve(id graph.ID) (*curve, error) {
	basis, err := e.need(id, "BasisCurve")
	if err != nil {
		return nil, err
	}
	c, err := e.curve(basis)
	if err != nil {
		return nil, err
	}
	a, err := e.trim(id, "Trim1", c)
	if err != nil {
		return nil, err
	}
	b, err := e.trim(id, "Trim2", c)
	if err != nil {
		return nil, err
	}
	forward := true
	if same, known := e.g.Bool(id, "SenseAgreement"); known {
		forward = same
	}
	if c.period > 0 {
		b = unroll(a, b, c.period, forward)
	}
	if a == b {
		return nil, e.bad(id, "both ends of the trimmed curve are the same point")
	}
	if a > b {
		return numbered(c.points(a, b)), nil
	}
	t := *c // keeps the parameters of its basis, by which a sweep along it may be trimmed
	t.lo, t.hi, t.period, t.endless = a, b, 0, false
	t.find = func(p geom.Vec3) float64 {
		x := c.find(p)
		if c.period > 0 {
			x += c.period * math.Ceil((a-1e-9-x)/c.period)
		}
		return x
	}
	return &t, nil
}

// unroll moves b by whole periods so that the way from a to b runs in the wanted sense and
// is no longer than one period; equal ends are the whole period.
func unroll(a, b, period float64, forward bool) float64 {
	const same = 1e-9
	d := math.Mod(b-a, period)
	if forward {
		if d <= same {
			d += period
		}
		return a + min(d, period)
	}
	if d >= -same {
		d -= period
	}
	return a + max(d, -period)
}

// trim reads one end as a parameter of the basis curve, by the preferred of the two ways in
// which it may be given.
func (e *eval) trim(id graph.ID, attr string, c *curve) (float64, error) {
	var param, atPoint *float64
	for _, v := range e.g.List(id, attr) {
		if r := v.AsRef(); r != 0 {
			p, err := e.point(r)
			if err != nil {
				return 0, err
			}
			t := c.find(p)
			atPoint = &t
		} else if f, ok := v.AsFloat(); ok && !math.IsNaN(f) && !math.IsInf(f, 0) {
			if c.angular {
				f *= e.angle
			}
			param = &f
		}
	}
	switch {
	case atPoint != nil && (param == nil || e.g.Enum(id, "MasterRepresentation") == "CARTESIAN"):
		return *atPoint, nil
	case param != nil:
		return *param, nil
	}
	return 0, e.bad(id, "%s has neither a point nor a parameter", attr)
}

// offsetCurve moves a curve sideways: in its plane to the left for positive distances, or
// towards tangent x RefDirection in space.
func (e *eval) offsetCurve(id graph.ID) (*curve, error) {
	basis, err := e.need(id, "BasisCurve")
	if err != nil {
		return nil, err
	}
	pts, err := e.polyline(basis)
	if err != nil {
		return nil, err
	}
	dist, err := e.length(id, "Distance")
	if err != nil {
		return nil, err
	}
	up := axisZ
	if e.g.Type(id) == "IfcOffsetCurve3D" {
		var ok bool
		if up, ok = e.direction(id, "RefDirection"); !ok {
			return nil, e.bad(id, "RefDirection is missing or has no length")
		}
	}
	out := offset(pts, dist, up)
	if out == nil {
		return nil, e.bad(id, "the basis curve has no direction to offset from")
	}
	return numbered(out), nil
}

// offset moves a chain of points by dist towards up x tangent, with mitred corners; nil when
// all segments run along up or have no length.
func offset(pts []geom.Vec3, dist float64, up geom.Vec3) []geom.Vec3 {
	pts = distinct(pts)
	n := len(pts)
	if n < 2 {
		return nil
	}
	side := make([]geom.Vec3, n-1)
	for i := range side {
		side[i] = up.Cross(pts[i+1].Sub(pts[i])).Unit()
		if side[i] == (geom.Vec3{}) {
			return nil
		}
	}
	closed := n > 3 && pts[0].Sub(pts[n-1]).Len() <= geom.Weld
	out := make([]geom.Vec3, n)
	for i, p := range pts {
		a, b := side[max(i-1, 0)], side[min(i, n-2)]
		if closed && (i == 0 || i == n-1) {
			a, b = side[n-2], side[0]
		}
		m := a.Add(b)
		k := m.Dot(m) / 2 // 2 at a straight joint, towards 0 at a hairpin
		if k < 0.05 {
			m, k = b, 1
		}
		out[i] = p.Add(m.Mul(dist / k))
	}
	return out
}

// distinct drops points that repeat the one before.
func distinct(pts []geom.Vec3) []geom.Vec3 {
	out := make([]geom.Vec3, 0, len(pts))
	for _, p := range pts {
		if len(out) == 0 || out[len(out)-1].Sub(p).Len() > geom.Weld {
			out = append(out, p)
		}
	}
	return out
}
