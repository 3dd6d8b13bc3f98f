package shape

import (
	"slices"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// edge reads an oriented edge (or a plain one) as points from its start to its end. Both
// faces at an edge get the same points.
func (e *eval) edge(id graph.ID) ([]geom.Vec3, error) {
	if err := e.enter(id); err != nil {
		return nil, err
	}
	defer e.leave()
	if !e.g.Is(id, "IfcOrientedEdge") {
		return e.edgePoints(id)
	}
	of, err := e.need(id, "EdgeElement")
	if err != nil {
		return nil, err
	}
	pts, err := e.edgePoints(of)
	if err != nil {
		return nil, err
	}
	if same, known := e.g.Bool(id, "Orientation"); known && !same {
		slices.Reverse(pts)
	}
	return pts, nil
}

func (e *eval) edgePoints(id graph.ID) ([]geom.Vec3, error) {
	a, err := e.vertex(id, "EdgeStart")
	if err != nil {
		return nil, err
	}
	b, err := e.vertex(id, "EdgeEnd")
	if err != nil {
		return nil, err
	}
	g := e.g.Ref(id, "EdgeGeometry")
	if g == 0 {
		return []geom.Vec3{a, b}, nil
	}
	c, err := e.curve(g)
	if err != nil {
		return nil, err
	}
	forward := true
	if same, known := e.g.Bool(id, "SameSense"); known {
		forward = same
	}
	s, t := c.stretch(a, b, forward)
	pts := c.points(s, t)
	pts[0], pts[len(pts)-1] = a, b
	return pts, nil
}

func (e *eval) vertex(id graph.ID, attr string) (geom.Vec3, error) {
	v, err := e.need(id, attr)
	if err != nil {
		return geom.Vec3{}, err
	}
	return e.pointAt(v, "VertexGeometry")
}

// stretch returns the parameters of the way along the curve from a to b in a sense. Equal
// ends are the whole of a closed curve.
func (c *curve) stretch(a, b geom.Vec3, forward bool) (s, t float64) {
	s, t = c.find(a), c.find(b)
	if c.period > 0 {
		if a.Sub(b).Len() <= geom.Weld {
			t = s
		}
		return s, unroll(s, t, c.period, forward)
	}
	seam := c.at(c.lo)
	if seam.Sub(c.at(c.hi)).Len() > geom.Weld {
		return s, t
	}
	first, last := c.lo, c.hi
	if !forward {
		first, last = last, first
	}
	if a.Sub(seam).Len() <= geom.Weld {
		s = first
	}
	if b.Sub(seam).Len() <= geom.Weld {
		t = last
	}
	return s, t
}
