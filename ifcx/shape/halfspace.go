package shape

import (
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// cut is a half-space to take away: everything in front of the plane, or what of it lies
// within a plane outline swept endlessly to both sides.
type cut struct {
	item  graph.ID
	plane geom.Plane
	area  geom.Region // empty: no outline
	frame geom.Mat    // outline coordinates -> the part's frame, swept along Z
}

func (c cut) placed(m geom.Mat) cut {
	// Three points of the plane follow any affine transform; its normal does not.
	f := c.plane.Frame(geom.Vec3{})
	o, x, y := m.Point(f.O), m.Point(f.O.Add(f.X)), m.Point(f.O.Add(f.Y))
	n := x.Sub(o).Cross(y.Sub(o))
	if m.Det() < 0 {
		n = n.Mul(-1)
	}
	c.plane = geom.PlaneAt(o, n)
	c.frame = m.Then(c.frame)
	return c
}

// from takes the half-space away from a mesh.
func (c cut) from(m *geom.Mesh) (*geom.Mesh, error) {
	if len(c.area) == 0 || len(m.Tris) == 0 {
		return geom.Clip(m, c.plane), nil
	}
	inv, ok := c.frame.Inverse()
	if !ok {
		return m, nil
	}
	gone := geom.Clip(m, c.plane.Flipped()) // what an endless half-space would take
	if len(gone.Tris) == 0 {
		return m, nil
	}
	box := geom.EmptyBox()
	for _, v := range gone.Verts {
		box = box.Extend(inv.Point(v))
	}
	lo, hi := c.area.Bounds()
	if box.Max.X <= lo.X+geom.Weld || box.Min.X >= hi.X-geom.Weld || box.Max.Y <= lo.Y+geom.Weld || box.Min.Y >= hi.Y-geom.Weld {
		return m, nil
	}
	if c.covers(box) {
		return geom.Clip(m, c.plane), nil
	}
	tool := (&prism{c.area, geom.Mat{X: c.frame.X, Y: c.frame.Y, Z: c.frame.Z, O: c.frame.Point(geom.Vec3{Z: box.Min.Z - 1})}, box.Size().Z + 2}).mesh()
	tool = geom.Clip(tool, c.plane.Flipped())
	return combine(m, tool, geom.Difference)
}

// covers reports whether the outline covers the box in plan.
func (c cut) covers(b geom.Box) bool {
	if len(c.area) != 1 {
		return false
	}
	b = b.Grow(-geom.Weld) // export rounding
	rest := geom.Combine([]geom.Ring{{{X: b.Min.X, Y: b.Min.Y}, {X: b.Max.X, Y: b.Min.Y}, {X: b.Max.X, Y: b.Max.Y}, {X: b.Min.X, Y: b.Max.Y}}}, c.area, geom.Difference)
	return len(rest) == 0
}

// halfSpace reads IfcHalfSpaceSolid and its subtypes. The enclosure of a boxed one only
// tells where it is needed and is not read.
func (e *eval) halfSpace(id graph.ID) (cut, error) {
	s, err := e.need(id, "BaseSurface")
	if err != nil {
		return cut{}, err
	}
	if !e.g.Is(s, "IfcPlane") {
		return cut{}, e.bad(id, "a half-space bounded by %s is not read, a plane is expected", e.g.Type(s))
	}
	m, err := e.axesAt(s, "Position")
	if err != nil {
		return cut{}, err
	}
	agree, known := e.g.Bool(id, "AgreementFlag")
	if !known {
		return cut{}, e.bad(id, "AgreementFlag is missing")
	}
	c := cut{item: id, plane: geom.PlaneAt(m.O, m.Z), frame: geom.Identity()}
	if agree { // the normal points away from the material of the half-space
		c.plane = c.plane.Flipped()
	}
	if !e.g.Is(id, "IfcPolygonalBoundedHalfSpace") {
		return c, nil
	}
	if c.frame, err = e.axesAt(id, "Position"); err != nil {
		return cut{}, err
	}
	b, err := e.need(id, "PolygonalBoundary")
	if err != nil {
		return cut{}, err
	}
	r, err := e.ring(b)
	if err != nil {
		return cut{}, err
	}
	if c.area = geom.Combine([]geom.Ring{r}, nil, geom.Union); len(c.area) == 0 {
		return cut{}, e.bad(id, "PolygonalBoundary bounds no area")
	}
	return c, nil
}
