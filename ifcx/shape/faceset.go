package shape

import (
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// triangulated reads IfcTriangulatedFaceSet. The optional PnIndex is a table between the
// indices of the faces and the points.
func (e *eval) triangulated(id graph.ID) (*part, error) {
	pts, pn, err := e.faceSetPoints(id)
	if err != nil {
		return nil, err
	}
	s := newSoup()
	for _, row := range e.g.List(id, "CoordIndex") {
		ix, err := e.faceIndices(id, row, pn, len(pts))
		if err != nil {
			return nil, err
		}
		if len(ix) != 3 {
			return nil, e.bad(id, "a triangle has %d corners", len(ix))
		}
		s.triangle(s.weld.Add(pts[ix[0]]), s.weld.Add(pts[ix[1]]), s.weld.Add(pts[ix[2]]))
	}
	return e.faceSet(id, s)
}

// polygonal reads IfcPolygonalFaceSet with faces with and without holes.
func (e *eval) polygonal(id graph.ID) (*part, error) {
	pts, pn, err := e.faceSetPoints(id)
	if err != nil {
		return nil, err
	}
	s := newSoup()
	for _, f := range e.g.Refs(id, "Faces") {
		rows := append([]graph.Value{e.g.Attr(f, "CoordIndex")}, e.g.List(f, "InnerCoordIndices")...)
		var loops [][]geom.Vec3
		for _, row := range rows {
			ix, err := e.faceIndices(f, row, pn, len(pts))
			if err != nil {
				return nil, err
			}
			l := make([]geom.Vec3, len(ix))
			for k, i := range ix {
				l[k] = pts[i]
			}
			if len(l) >= 3 {
				loops = append(loops, l)
			}
		}
		if len(loops) > 0 {
			s.add(loops)
		}
	}
	return e.faceSet(id, s)
}

func (e *eval) faceSetPoints(id graph.ID) (pts []geom.Vec3, pn []int, err error) {
	c, err := e.need(id, "Coordinates")
	if err != nil {
		return nil, nil, err
	}
	if pts, err = e.pointList(c); err != nil {
		return nil, nil, err
	}
	if v := e.g.Attr(id, "PnIndex"); !v.IsNull() {
		pn, err = e.indices(id, v, len(pts))
	}
	return pts, pn, err
}

func (e *eval) faceIndices(id graph.ID, row graph.Value, pn []int, points int) ([]int, error) {
	if len(pn) == 0 {
		return e.indices(id, row, points)
	}
	ix, err := e.indices(id, row, len(pn))
	for k, i := range ix {
		ix[k] = pn[i]
	}
	return ix, err
}

// faceSet makes the part. Whether it closes is found out and not taken from the attribute
// Closed; a file that says so wrongly is told of.
func (e *eval) faceSet(id graph.ID, s *soup) (*part, error) {
	m := s.mesh()
	if len(m.Tris) == 0 {
		return nil, e.bad(id, "no face has an area")
	}
	m, ok := closed(m)
	if says, known := e.g.Bool(id, "Closed"); !ok && known && says {
		e.faults = append(e.faults, e.bad(id, "the faces do not close although the file says so"))
	}
	return &part{item: id, kind: e.g.Type(id), mesh: m, open: !ok}, nil
}
