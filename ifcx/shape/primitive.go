package shape

import (
	"math"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// primitive reads the solids of constructive geometry and IfcBoundingBox.
func (e *eval) primitive(id graph.ID) (*part, error) {
	kind := e.g.Type(id)
	p := &part{item: id, kind: kind}
	if kind == "IfcBoundingBox" {
		o, err := e.pointAt(id, "Corner")
		if err != nil {
			return nil, err
		}
		s, err := e.sizes(id, "XDim", "YDim", "ZDim")
		if err != nil {
			return nil, err
		}
		p.mesh = geom.BoxMesh(geom.Box{Min: o, Max: o.Add(geom.Vec3{X: s[0], Y: s[1], Z: s[2]})})
		return p, nil
	}
	frame, err := e.axesAt(id, "Position")
	if err != nil {
		return nil, err
	}
	attrs := map[string][]string{
		"IfcBlock":                 {"XLength", "YLength", "ZLength"},
		"IfcRectangularPyramid":    {"XLength", "YLength", "Height"},
		"IfcRightCircularCone":     {"Height", "BottomRadius"},
		"IfcRightCircularCylinder": {"Height", "Radius"},
		"IfcSphere":                {"Radius"},
	}[kind]
	if attrs == nil {
		return nil, e.bad(id, "this kind of solid is not read")
	}
	s, err := e.sizes(id, attrs...)
	if err != nil {
		return nil, err
	}
	switch kind {
	case "IfcBlock":
		p.prism = &prism{geom.Region{{{}, {X: s[0]}, {X: s[0], Y: s[1]}, {Y: s[1]}}}, frame, s[2]}
		return p, nil
	case "IfcRightCircularCylinder":
		p.prism = &prism{geom.Region{oval(s[1], s[1], 0)}, frame, s[0]}
		return p, nil
	case "IfcRectangularPyramid":
		p.mesh = cone(geom.Ring{{}, {X: s[0]}, {X: s[0], Y: s[1]}, {Y: s[1]}}, geom.Vec3{X: s[0] / 2, Y: s[1] / 2, Z: s[2]})
	case "IfcRightCircularCone":
		p.mesh = cone(oval(s[1], s[1], 0), geom.Vec3{Z: s[0]})
	case "IfcSphere":
		p.mesh = sphere(s[0])
	}
	p.mesh = p.mesh.Transform(frame)
	return p, nil
}

// cone joins a ring in the plane Z = 0 to an apex above it.
func cone(base geom.Ring, apex geom.Vec3) *geom.Mesh {
	m := &geom.Mesh{}
	for _, q := range base {
		m.Verts = append(m.Verts, geom.Vec3{X: q.X, Y: q.Y})
	}
	n := int32(len(base))
	m.Verts = append(m.Verts, apex)
	for i := range n {
		m.Tris = append(m.Tris, [3]int32{i, (i + 1) % n, n})
	}
	for _, t := range geom.Triangulate(geom.Region{base}) {
		m.Tris = append(m.Tris, [3]int32{t[0], t[2], t[1]})
	}
	return m
}

// maxSphereSegments keeps large spheres under 10,000 faces; their chord error is then 0.05 %
// of the radius.
const maxSphereSegments = 96

// sphere is inscribed: its points lie on the sphere, along meridians and parallels.
func sphere(r float64) *geom.Mesh {
	n := int32(min(geom.CircleSegments(r), maxSphereSegments))
	rows := n / 2
	m := &geom.Mesh{Verts: []geom.Vec3{{Z: -r}, {Z: r}}}
	for k := int32(1); k < rows; k++ {
		sz, cz := math.Sincos(-math.Pi/2 + math.Pi*float64(k)/float64(rows))
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			m.Verts = append(m.Verts, geom.Vec3{X: r * cz * c, Y: r * cz * s, Z: r * sz})
		}
	}
	at := func(k, i int32) int32 { return 2 + (k-1)*n + i%n }
	for i := range n {
		m.Tris = append(m.Tris, [3]int32{0, at(1, i+1), at(1, i)}, [3]int32{1, at(rows-1, i), at(rows-1, i+1)})
		for k := int32(1); k < rows-1; k++ {
			m.Tris = append(m.Tris, [3]int32{at(k, i), at(k, i+1), at(k+1, i+1)}, [3]int32{at(k, i), at(k+1, i+1), at(k+1, i)})
		}
	}
	return m
}
