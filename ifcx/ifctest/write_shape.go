package ifctest

import "voidcheck/ifcx/geom"

// Point3 writes a shared point given in metres.
func (s *Step) Point3(p geom.Vec3) Ref { return s.Once("IfcCartesianPoint", s.Lens(p.X, p.Y, p.Z)) }

// Point2 writes a shared plan point given in metres.
func (s *Step) Point2(p geom.Vec2) Ref { return s.Once("IfcCartesianPoint", s.Lens(p.X, p.Y)) }

// Direction writes a shared direction.
func (s *Step) Direction(d geom.Vec3) Ref { return s.Once("IfcDirection", Dir{d.X, d.Y, d.Z}) }

// Axes writes a shared placement in space for a rigid transform.
func (s *Step) Axes(m geom.Mat) Ref {
	near := func(a, b geom.Vec3) bool { return a.Sub(b).Len() < 1e-12 }
	if near(m.Z, geom.Vec3{Z: 1}) && near(m.X, geom.Vec3{X: 1}) {
		return s.Once("IfcAxis2Placement3D", s.Point3(m.O), nil, nil)
	}
	return s.Once("IfcAxis2Placement3D", s.Point3(m.O), s.Direction(m.Z), s.Direction(m.X))
}

// Placement writes an IfcLocalPlacement of m relative to parent (0 for none).
func (s *Step) Placement(parent Ref, m geom.Mat) Ref {
	return s.Add("IfcLocalPlacement", parent, s.Axes(m))
}

// polyline writes a closed curve in plan.
func (s *Step) polyline(ring []geom.Vec2) Ref {
	var refs []Ref
	for _, c := range ring {
		refs = append(refs, s.Point2(c))
	}
	return s.Once("IfcPolyline", append(refs, refs[0]))
}

// Section writes the profile definition.
func (s *Step) Section(p Profile) Ref {
	at := s.Once("IfcAxis2Placement2D", s.Point2(geom.Vec2{}), nil)
	area := Enum("AREA")
	switch p.Kind {
	case Circle:
		return s.Once("IfcCircleProfileDef", area, nil, at, s.Len(p.R))
	case Tube:
		return s.Once("IfcCircleHollowProfileDef", area, nil, at, s.Len(p.R), s.Len(p.T))
	case IShape:
		args := []any{area, nil, at, s.Len(p.W), s.Len(p.H), s.Len(p.T), s.Len(p.F), nil}
		if s.Schema != "IFC2X3" {
			args = append(args, nil, nil)
		}
		return s.Once("IfcIShapeProfileDef", args...)
	case Poly:
		if len(p.Holes) == 0 {
			return s.Once("IfcArbitraryClosedProfileDef", area, nil, s.polyline(p.Outline))
		}
		var holes []Ref
		for _, h := range p.Holes {
			holes = append(holes, s.polyline(h))
		}
		return s.Once("IfcArbitraryProfileDefWithVoids", area, nil, s.polyline(p.Outline), holes)
	}
	return s.Once("IfcRectangleProfileDef", area, nil, at, s.Len(p.W), s.Len(p.H))
}

// Extrusion writes a prism whose frame is given in the frame of the product.
func (s *Step) Extrusion(p Prism) Ref {
	return s.Once("IfcExtrudedAreaSolid", s.Section(p.Profile), s.Axes(p.Frame), s.Direction(geom.Vec3{Z: 1}), s.Len(p.Depth))
}

// faces returns the corner points of a prism and its faces as rings of indices: the first ring
// of a face is its outline, outward-facing, the others are holes.
func (p Prism) faces() (pts []geom.Vec3, faces [][][]int) {
	outer, holes := p.Profile.rings(24)
	if ringArea(outer) < 0 {
		outer = reversed(outer)
	}
	rings := [][]geom.Vec2{outer}
	for _, h := range holes {
		if ringArea(h) > 0 {
			h = reversed(h)
		}
		rings = append(rings, h)
	}
	var top, bottom [][]int
	for _, r := range rings {
		base, n := len(pts), len(r)
		for _, z := range []float64{0, p.Depth} {
			for _, c := range r {
				pts = append(pts, p.Frame.Point(geom.Vec3{X: c.X, Y: c.Y, Z: z}))
			}
		}
		up, down := make([]int, n), make([]int, n)
		for i := range n {
			up[i], down[n-1-i] = base+n+i, base+i
			j := (i + 1) % n
			faces = append(faces, [][]int{{base + i, base + j, base + n + j, base + n + i}})
		}
		top, bottom = append(top, up), append(bottom, down)
	}
	return pts, append(faces, top, bottom)
}

func reversed(r []geom.Vec2) []geom.Vec2 {
	o := make([]geom.Vec2, len(r))
	for i, c := range r {
		o[len(r)-1-i] = c
	}
	return o
}

// Brep writes a prism as a faceted boundary representation.
func (s *Step) Brep(p Prism) Ref {
	pts, faces := p.faces()
	refs := make([]Ref, len(pts))
	for i, c := range pts {
		refs[i] = s.Point3(c)
	}
	var shell []Ref
	for _, f := range faces {
		var bounds []Ref
		for i, ring := range f {
			loop := make([]Ref, len(ring))
			for j, k := range ring {
				loop[j] = refs[k]
			}
			kind := "IfcFaceOuterBound"
			if i > 0 {
				kind = "IfcFaceBound"
			}
			bounds = append(bounds, s.Add(kind, s.Add("IfcPolyLoop", loop), true))
		}
		shell = append(shell, s.Add("IfcFace", bounds))
	}
	return s.Add("IfcFacetedBrep", s.Add("IfcClosedShell", shell))
}

// FaceSet writes a prism as an IfcPolygonalFaceSet (IFC4 and later).
func (s *Step) FaceSet(p Prism) Ref {
	pts, faces := p.faces()
	coords := make([][]float64, len(pts))
	for i, c := range pts {
		coords[i] = s.Lens(c.X, c.Y, c.Z)
	}
	one := func(r []int) []int {
		o := make([]int, len(r))
		for i, k := range r {
			o[i] = k + 1
		}
		return o
	}
	var refs []Ref
	for _, f := range faces {
		if len(f) == 1 {
			refs = append(refs, s.Add("IfcIndexedPolygonalFace", one(f[0])))
			continue
		}
		var inner [][]int
		for _, h := range f[1:] {
			inner = append(inner, one(h))
		}
		refs = append(refs, s.Add("IfcIndexedPolygonalFaceWithVoids", one(f[0]), inner))
	}
	return s.Add("IfcPolygonalFaceSet", s.Add("IfcCartesianPointList3D", coords, nil), true, refs, nil)
}
