package shape

import (
	"math"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// directrix reads the path of a swept solid, trimmed to its start and end parameters.
func (e *eval) directrix(id graph.ID) ([]geom.Vec3, error) {
	d, err := e.need(id, "Directrix")
	if err != nil {
		return nil, err
	}
	c, err := e.curve(d)
	if err != nil {
		return nil, err
	}
	a, b := c.lo, c.hi
	for k, attr := range [2]string{"StartParam", "EndParam"} {
		v := e.g.Attr(id, attr)
		f, ok := v.AsFloat()
		if !ok || math.IsNaN(f) || math.IsInf(f, 0) {
			continue // since IFC4X3 it may also be a length along the curve; then all of it is taken
		}
		if v.Type == "IfcLengthMeasure" || v.Type == "IfcNonNegativeLengthMeasure" {
			f = e.paramAt(c, f*e.unit)
		} else if c.angular {
			f *= e.angle
		}
		if k == 0 {
			a = f
		} else {
			b = f
		}
	}
	if c.period == 0 && c.at != nil && e.g.Type(d) != "IfcLine" {
		a, b = max(a, c.lo), min(b, c.hi)
	}
	if !(b > a) {
		return nil, e.bad(id, "the directrix ends at %g before it starts at %g", b, a)
	}
	if c.period > 0 {
		b = min(b, a+c.period)
	}
	pts := distinct(c.points(a, b))
	if len(pts) < 2 {
		return nil, e.bad(id, "the directrix has no length")
	}
	for _, p := range pts {
		if !p.IsFinite() {
			return nil, e.bad(id, "a point of the directrix is not finite")
		}
	}
	return pts, nil
}

// paramAt returns the parameter at a length along the curve.
func (e *eval) paramAt(c *curve, length float64) float64 {
	ts := append(append([]float64{c.lo}, c.between(c.lo, c.hi)...), c.hi)
	for i := 1; i < len(ts); i++ {
		l := c.at(ts[i]).Sub(c.at(ts[i-1])).Len()
		if l >= length && l > 0 {
			return ts[i-1] + (ts[i]-ts[i-1])*length/l
		}
		length -= l
	}
	return c.hi
}

// along sweeps a section along a chain of points. first is the frame of the section at the
// start, Z along the path; at each corner the section is carried onto the plane that halves
// the bend, so that straight stretches keep their section and corners are mitred.
func along(path []geom.Vec3, area geom.Region, x geom.Vec3) *geom.Mesh {
	n := len(path)
	round := n > 3 && path[0].Sub(path[n-1]).Len() <= geom.Weld
	if round {
		path, n = path[:n-1], n-1
	}
	dir := func(i int) geom.Vec3 { // of the stretch that leaves point i
		if round {
			i = (i + n) % n
		} else {
			i = max(0, min(n-2, i))
		}
		return path[(i+1)%n].Sub(path[i]).Unit()
	}
	pts := ringPoints(area)
	place := axesFrom(path[0], dir(0), x)
	cur := make([]geom.Vec3, len(pts))
	for i, p := range pts {
		cur[i] = place.Point(p)
	}
	bend := func(i int) geom.Vec3 { // normal of the plane that halves the bend
		m := dir(i - 1).Add(dir(i))
		if m.Len() < 1e-3 { // a hairpin: end square
			return dir(i)
		}
		return m.Unit()
	}
	if round {
		cur = slide(cur, dir(0), path[0], bend(0))
	}
	sections := [][]geom.Vec3{cur}
	for i := 1; i < n; i++ {
		normal := dir(i)
		if round || i < n-1 {
			normal = bend(i)
		}
		cur = slide(cur, dir(i-1), path[i], normal)
		sections = append(sections, cur)
	}
	return outward(loft(area, sections, round))
}

// slide moves points along d onto the plane through o with the normal n.
func slide(pts []geom.Vec3, d, o, n geom.Vec3) []geom.Vec3 {
	out := make([]geom.Vec3, len(pts))
	den := d.Dot(n)
	for i, p := range pts {
		out[i] = p.Add(d.Mul(o.Sub(p).Dot(n) / den))
	}
	return out
}

// disk reads IfcSweptDiskSolid and its polygonal form with rounded corners.
func (e *eval) disk(id graph.ID) (*part, error) {
	r, err := e.size(id, "Radius")
	if err != nil {
		return nil, err
	}
	path, err := e.directrix(id)
	if err != nil {
		return nil, err
	}
	if f := e.optional(id, "FilletRadius"); f > 0 {
		path = filleted(path, f)
	}
	area := geom.Region{oval(r, r, 0)}
	if in := e.optional(id, "InnerRadius"); in > 0 && in < r {
		area = append(area, oval(in, in, 0).Reversed())
	}
	m := along(path, area, across(path))
	return &part{item: id, kind: e.g.Type(id), mesh: m}, nil
}

// across returns a direction that is not along the first stretch of a path.
func across(path []geom.Vec3) geom.Vec3 {
	d := path[1].Sub(path[0]).Unit()
	if math.Abs(d.Z) < 0.9 {
		return axisZ
	}
	return axisX
}

// filleted rounds the corners of a path with a radius, or as much of it as fits.
func filleted(path []geom.Vec3, r float64) []geom.Vec3 {
	out := []geom.Vec3{path[0]}
	for i := 1; i+1 < len(path); i++ {
		p := path[i]
		a, b := path[i-1].Sub(p), path[i+1].Sub(p)
		la, lb := a.Len(), b.Len()
		a, b = a.Unit(), b.Unit()
		half := math.Acos(max(-1, min(1, a.Dot(b)))) / 2
		if half < 1e-3 || half > math.Pi/2-1e-3 {
			out = append(out, p)
			continue
		}
		t := min(r/math.Tan(half), la/2, lb/2)
		mid := p.Add(a.Add(b).Unit().Mul(t / math.Cos(half) * (1 - math.Sin(half))))
		out = join(out, arc(p.Add(a.Mul(t)), mid, p.Add(b.Mul(t))))
	}
	return join(out, path[len(path)-1:])
}

// swept reads an area swept along a directrix with a fixed reference direction, or with the
// normal of a surface that the directrix lies on.
func (e *eval) swept(id graph.ID) (*part, error) {
	frame, err := e.axesAt(id, "Position")
	if err != nil {
		return nil, err
	}
	a, err := e.need(id, "SweptArea")
	if err != nil {
		return nil, err
	}
	area, err := e.profile(a, 0)
	if err != nil {
		return nil, err
	}
	path, err := e.directrix(id)
	if err != nil {
		return nil, err
	}
	normal, err := e.reference(id)
	if err != nil {
		return nil, err
	}
	m, ok := follow(path, area, normal)
	if !ok {
		return nil, e.bad(id, "the directrix runs along its reference direction")
	}
	return &part{item: id, kind: e.g.Type(id), mesh: m.Transform(frame)}, nil
}

// reference returns the direction of the section's X axis at a point of the directrix with
// its tangent there.
func (e *eval) reference(id graph.ID) (func(p, tangent geom.Vec3) geom.Vec3, error) {
	surface := e.g.Ref(id, "ReferenceSurface")
	if surface == 0 {
		if d, ok := e.direction(id, "FixedReference"); ok {
			return func(_, _ geom.Vec3) geom.Vec3 { return d }, nil
		}
		return nil, e.bad(id, "FixedReference is missing or has no length")
	}
	m, err := e.axesAt(surface, "Position")
	if err != nil {
		return nil, err
	}
	switch e.g.Type(surface) {
	case "IfcPlane":
		return func(_, _ geom.Vec3) geom.Vec3 { return m.Z }, nil
	case "IfcCylindricalSurface":
		return func(p, _ geom.Vec3) geom.Vec3 {
			d := p.Sub(m.O)
			return d.Sub(m.Z.Mul(d.Dot(m.Z))).Unit()
		}, nil
	case "IfcSphericalSurface":
		return func(p, _ geom.Vec3) geom.Vec3 { return p.Sub(m.O).Unit() }, nil
	case "IfcSurfaceOfLinearExtrusion":
		d, ok := e.direction(surface, "ExtrudedDirection")
		if !ok {
			return nil, e.bad(surface, "ExtrudedDirection is missing or has no length")
		}
		d = m.Dir(d)
		return func(_, tangent geom.Vec3) geom.Vec3 { return tangent.Cross(d).Unit() }, nil
	}
	return nil, e.bad(id, "a sweep along %s is not read", e.g.Type(surface))
}

// follow sweeps a section whose X axis keeps to the reference; false when the path runs
// along it somewhere.
func follow(path []geom.Vec3, area geom.Region, normal func(p, tangent geom.Vec3) geom.Vec3) (*geom.Mesh, bool) {
	n := len(path)
	round := n > 3 && path[0].Sub(path[n-1]).Len() <= geom.Weld
	if round {
		path, n = path[:n-1], n-1
	}
	pts := ringPoints(area)
	var sections [][]geom.Vec3
	for i, p := range path {
		in, out := path[max(i-1, 0)], path[min(i+1, n-1)]
		if round {
			in, out = path[(i+n-1)%n], path[(i+1)%n]
		}
		a, b := p.Sub(in).Unit(), out.Sub(p).Unit()
		if in == p {
			a = b
		}
		if out == p {
			b = a
		}
		t := a.Add(b)
		if t.Len() < 1e-3 {
			t = b
		}
		t = t.Unit()
		x := normal(p, t)
		if x = x.Sub(t.Mul(x.Dot(t))); x.Len() < 1e-6 {
			return nil, false
		}
		m := axesFrom(p, t, x)
		stretch := 1 / max(0.2, a.Dot(t)) // a mitre is longer than the section is wide
		bent := a.Cross(b)
		s := make([]geom.Vec3, len(pts))
		for k, q := range pts {
			v := m.Dir(q)
			if l := bent.Len(); l > 1e-9 {
				w := t.Cross(bent.Mul(1 / l)) // towards the inside of the bend
				v = v.Add(w.Mul(v.Dot(w) * (stretch - 1)))
			}
			s[k] = p.Add(v)
		}
		sections = append(sections, s)
	}
	return outward(loft(area, sections, round)), true
}
