package shape

import (
	"math"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// soup collects plane faces to a mesh whose faces share corners.
type soup struct {
	weld *geom.Welder
	tris [][3]int32
	lost int // faces that have no area
}

func newSoup() *soup { return &soup{weld: geom.NewWelder(geom.Weld)} }

// add adds a plane face with holes; the first loop is the outer one. Which way it looks is
// told by the outer loop, counter-clockwise seen from outside.
func (s *soup) add(loops [][]geom.Vec3) {
	n := newell(loops[0])
	if n.Len() < 1e-14 {
		s.lost++
		return
	}
	inv, _ := geom.PlaneAt(loops[0][0], n).Frame(loops[0][0]).Inverse()
	var g geom.Region
	var ids []int32
	for k, l := range loops {
		var r geom.Ring
		var at []int32
		for _, p := range l {
			i := s.weld.Add(p)
			if len(at) > 0 && (at[len(at)-1] == i || len(at) == len(l)-1 && at[0] == i) {
				continue
			}
			at = append(at, i)
			r = append(r, inv.Point(p).Plan())
		}
		if len(r) < 3 {
			continue
		}
		if (k == 0) != (r.Area() > 0) { // holes run the other way round, whatever the file says
			r = r.Reversed()
			for a, b := 1, len(at)-1; a < b; a, b = a+1, b-1 {
				at[a], at[b] = at[b], at[a]
			}
		}
		g = append(g, r)
		ids = append(ids, at...)
	}
	if len(g) == 0 {
		s.lost++
		return
	}
	if len(g) == 1 && len(g[0]) == 3 {
		s.triangle(ids[0], ids[1], ids[2])
		return
	}
	for _, t := range geom.Triangulate(g) {
		s.triangle(ids[t[0]], ids[t[1]], ids[t[2]])
	}
}

func (s *soup) triangle(a, b, c int32) {
	if a != b && b != c && a != c {
		s.tris = append(s.tris, [3]int32{a, b, c})
	}
}

func (s *soup) mesh() *geom.Mesh { return &geom.Mesh{Verts: s.weld.Points(), Tris: s.tris} }

// newell returns a normal of length twice the area of a polygon that need not be quite plane.
func newell(l []geom.Vec3) geom.Vec3 {
	var n geom.Vec3
	for i := range l {
		n = n.Add(l[i].Sub(l[0]).Cross(l[(i+1)%len(l)].Sub(l[0])))
	}
	return n
}

// shell reads the faces of an IfcConnectedFaceSet (or a closed or open shell) into s.
func (e *eval) shell(id graph.ID, s *soup) error {
	faces := e.g.Refs(id, "CfsFaces")
	if len(faces) == 0 {
		return e.bad(id, "the shell has no faces")
	}
	var curved *tessellator
	for _, f := range faces {
		if surface := e.g.Ref(f, "FaceSurface"); surface != 0 && !e.g.Is(surface, "IfcPlane") {
			if curved == nil {
				curved = newTessellator(e, s)
			}
			if err := curved.face(f, surface); err != nil {
				return err
			}
			continue
		}
		loops, err := e.faceLoops(f)
		if err != nil {
			return err
		}
		if len(loops) > 0 {
			s.add(loops)
		}
	}
	return nil
}

// faceLoops reads the bounds of a face, the outer one first. They run counter-clockwise about
// the face's own normal; SameSense only relates that to the surface, whose plane is not needed.
func (e *eval) faceLoops(id graph.ID) ([][]geom.Vec3, error) {
	bounds := e.g.Refs(id, "Bounds")
	var loops [][]geom.Vec3
	outer, widest := -1, -1.0
	for _, b := range bounds {
		loop, err := e.need(b, "Bound")
		if err != nil {
			return nil, err
		}
		pts, err := e.loop(loop)
		if err != nil {
			return nil, err
		}
		if len(pts) < 3 {
			continue
		}
		if same, known := e.g.Bool(b, "Orientation"); known && !same {
			for i, j := 0, len(pts)-1; i < j; i, j = i+1, j-1 {
				pts[i], pts[j] = pts[j], pts[i]
			}
		}
		area := newell(pts).Len()
		if e.g.Is(b, "IfcFaceOuterBound") { // some files name none, some name all
			area += 1e12
		}
		if area > widest {
			outer, widest = len(loops), area
		}
		loops = append(loops, pts)
	}
	if outer > 0 {
		loops[0], loops[outer] = loops[outer], loops[0]
	}
	return loops, nil
}

// loop reads an IfcPolyLoop, or an IfcEdgeLoop as chords.
func (e *eval) loop(id graph.ID) ([]geom.Vec3, error) {
	switch {
	case e.g.Is(id, "IfcPolyLoop"):
		refs := e.g.Refs(id, "Polygon")
		pts := make([]geom.Vec3, len(refs))
		for i, r := range refs {
			var err error
			if pts[i], err = e.point(r); err != nil {
				return nil, err
			}
		}
		if n := len(pts); n > 1 && pts[0] == pts[n-1] {
			pts = pts[:n-1]
		}
		return pts, nil
	case e.g.Is(id, "IfcEdgeLoop"):
		var out []geom.Vec3
		for _, o := range e.g.Refs(id, "EdgeList") {
			pts, err := e.edge(o)
			if err != nil {
				return nil, err
			}
			out = join(out, pts)
		}
		if n := len(out); n > 1 && out[0].Sub(out[n-1]).Len() <= geom.Weld {
			out = out[:n-1]
		}
		return out, nil
	case e.g.Is(id, "IfcVertexLoop"):
		return nil, nil
	}
	return nil, e.bad(id, "this kind of loop is not read")
}

// manifold reads IfcFacetedBrep and IfcAdvancedBrep, with or without voids.
func (e *eval) manifold(id graph.ID) (*part, error) {
	shell, err := e.need(id, "Outer")
	if err != nil {
		return nil, err
	}
	s := newSoup()
	if err := e.shell(shell, s); err != nil {
		return nil, err
	}
	m := s.mesh()
	if len(m.Tris) == 0 {
		return nil, e.bad(id, "no face of the shell has an area")
	}
	m, ok := closed(m)
	p := &part{item: id, kind: e.g.Type(id), open: !ok}
	for _, v := range e.g.Refs(id, "Voids") {
		s := newSoup()
		if err := e.shell(v, s); err != nil {
			return nil, err
		}
		hollow, ok := closed(s.mesh())
		if !ok {
			e.faults = append(e.faults, e.bad(v, "the shell of the void does not close, it is left out"))
			continue
		}
		m.Append(hollow.Flipped())
	}
	p.mesh = m
	return p, nil
}

// surfaceModel reads IfcFaceBasedSurfaceModel and IfcShellBasedSurfaceModel: each connected
// set that closes becomes a solid of its own, the rest one part, which may close together.
func (e *eval) surfaceModel(id graph.ID) ([]*part, error) {
	sets := append(e.g.Refs(id, "FbsmFaces"), e.g.Refs(id, "SbsmBoundary")...)
	if len(sets) == 0 {
		return nil, e.bad(id, "the surface model has no faces")
	}
	var out []*part
	rest := newSoup()
	for _, set := range sets {
		s := newSoup()
		if err := e.shell(set, s); err != nil {
			return nil, err
		}
		if m, ok := closed(s.mesh()); ok {
			out = append(out, &part{item: id, kind: e.g.Type(id), mesh: m})
			continue
		}
		for _, t := range s.tris {
			p := s.weld.Points()
			rest.triangle(rest.weld.Add(p[t[0]]), rest.weld.Add(p[t[1]]), rest.weld.Add(p[t[2]]))
		}
	}
	if len(rest.tris) > 0 {
		m, ok := closed(rest.mesh())
		out = append(out, &part{item: id, kind: e.g.Type(id), mesh: m, open: !ok})
	}
	if len(out) == 0 {
		return nil, e.bad(id, "no face has an area")
	}
	return out, nil
}

// maxSewn is the number of faces up to which a mesh that does not close is mended; larger
// ones are terrain.
const maxSewn = 20_000

// closed turns the faces of a mesh outward if that makes it bound a volume: with corners on
// a neighbour's edge put into that edge if need be, and with corners that rounding drew
// apart made one. Otherwise the mesh comes back as it is.
func closed(m *geom.Mesh) (*geom.Mesh, bool) {
	for k, try := range []func() *geom.Mesh{
		func() *geom.Mesh { return m },
		m.Oriented,
		func() *geom.Mesh { return m.Oriented().Sewn() },
		func() *geom.Mesh { return m.Sewn().Oriented() },
		func() *geom.Mesh { return m.Welded(geom.LooseWeld).Oriented() },
	} {
		if k > 1 && len(m.Tris) > maxSewn {
			break
		}
		if n := try(); n.IsClosed() && math.Abs(n.Volume()) > 1e-12 {
			return outward(n), true
		}
	}
	return m, false
}
