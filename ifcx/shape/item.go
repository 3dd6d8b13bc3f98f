package shape

import (
	"fmt"
	"slices"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// curveKinds are items that bound no solid: axes, outlines, symbols and texts. They are no
// fault of a representation.
var curveKinds = []string{"IfcCurve", "IfcPoint", "IfcGeometricSet", "IfcAnnotationFillArea", "IfcTextLiteral", "IfcPlacement", "IfcVector", "IfcDirection", "IfcLightSource", "IfcStyledItem", "IfcTopologicalRepresentationItem"}

// item reads one representation item as parts in the frame of its representation. Items
// without a solid give none.
func (e *eval) item(id graph.ID) ([]*part, error) {
	if e.g.Is(id, "IfcBooleanResult") { // enters each member of its chain itself
		return one(e.boolean(id))
	}
	if err := e.enter(id); err != nil {
		return nil, err
	}
	defer e.leave()
	switch e.g.Type(id) {
	case "IfcMappedItem":
		return e.mapped(id)
	case "IfcFaceBasedSurfaceModel", "IfcShellBasedSurfaceModel":
		return e.surfaceModel(id)
	case "IfcCsgSolid":
		root, err := e.need(id, "TreeRootExpression")
		if err != nil {
			return nil, err
		}
		return e.item(root)
	}
	if f := e.solidReader(id); f != nil {
		return one(f(e, id))
	}
	for _, k := range curveKinds {
		if e.g.Is(id, k) {
			return nil, nil
		}
	}
	return nil, e.bad(id, "this kind of item is not read")
}

func one(p *part, err error) ([]*part, error) {
	if err != nil {
		return nil, err
	}
	if p.mesh != nil && !p.mesh.IsFinite() {
		return nil, &fault{p.item, p.kind, "a coordinate is not finite"}
	}
	return []*part{p}, nil
}

func (e *eval) solidReader(id graph.ID) func(*eval, graph.ID) (*part, error) {
	switch e.g.Type(id) {
	case "IfcExtrudedAreaSolid", "IfcExtrudedAreaSolidTapered":
		return (*eval).extrusion
	case "IfcFacetedBrep", "IfcFacetedBrepWithVoids", "IfcAdvancedBrep", "IfcAdvancedBrepWithVoids", "IfcManifoldSolidBrep":
		return (*eval).manifold
	case "IfcTriangulatedFaceSet", "IfcTriangulatedIrregularNetwork":
		return (*eval).triangulated
	case "IfcPolygonalFaceSet":
		return (*eval).polygonal
	case "IfcBlock", "IfcRectangularPyramid", "IfcRightCircularCone", "IfcRightCircularCylinder", "IfcSphere", "IfcBoundingBox":
		return (*eval).primitive
	case "IfcRevolvedAreaSolid", "IfcRevolvedAreaSolidTapered":
		return (*eval).revolution
	case "IfcSweptDiskSolid", "IfcSweptDiskSolidPolygonal":
		return (*eval).disk
	case "IfcSurfaceCurveSweptAreaSolid", "IfcFixedReferenceSweptAreaSolid", "IfcDirectrixDerivedReferenceSweptAreaSolid":
		return (*eval).swept
	}
	return nil
}

// representation reads all items of a representation; those that cannot be computed are
// replaced by their box and noted. A representation that several products name is computed
// once, as long as they do not stand too far from each other in the file.
func (e *eval) representation(id graph.ID) []*part {
	slot := &e.b.reps[uint(id)%uint(len(e.b.reps))]
	if r := slot.Load(); r != nil && r.id == id {
		e.faults = append(e.faults, r.faults...)
		return r.parts
	}
	before, cycle := len(e.faults), e.cycle
	e.cycle = false
	parts := slices.Clip(e.readRepresentation(id))
	for i, p := range parts {
		if p.prism != nil && len(p.cuts) == 0 && len(p.minus) == 0 {
			parts[i] = e.settled(p)
		}
	}
	if !e.cycle && len(e.active) == 0 { // what a cycle or a limit came to depends on where it was entered
		slot.Store(&repEntry{id, parts, slices.Clone(e.faults[before:])})
	}
	e.cycle = e.cycle || cycle
	return parts
}

func (e *eval) readRepresentation(id graph.ID) []*part {
	var out []*part
	for _, it := range e.g.Refs(id, "Items") {
		before := len(e.active)
		parts, err := e.item(it)
		e.active = e.active[:before]
		if err == nil && len(out)+len(parts) > maxParts {
			e.faults = append(e.faults, e.bad(id, "it comes to more than %d solids; all are left out", maxParts))
			return nil
		}
		if err == nil {
			out = append(out, parts...)
			continue
		}
		what := label(e.g, it)
		box := e.extent(it)
		if box.IsEmpty() {
			e.faults = append(e.faults, &fault{it, what, fmt.Sprintf("cannot be computed and has no box either, it is left out: %v", err)})
			continue
		}
		e.faults = append(e.faults, &fault{it, what, fmt.Sprintf("cannot be computed, its bounding box is used: %v", err)})
		out = append(out, &part{item: it, kind: e.g.Type(it), mesh: geom.BoxMesh(box), boxed: true})
	}
	return out
}

// extent returns the box of all points that an item names, as far as they can be read:
// points below an attribute Position lie in that frame, and a depth extends them.
func (e *eval) extent(id graph.ID) geom.Box {
	w := &extents{e: e, left: 100_000}
	box := geom.EmptyBox()
	for _, p := range w.points(id, 0) {
		if p.IsFinite() {
			box = box.Extend(p)
		}
	}
	return box
}

type extents struct {
	e    *eval
	left int // instances that may still be visited
}

func (w *extents) points(id graph.ID, depth int) []geom.Vec3 {
	if w.left--; w.left < 0 || depth > 30 {
		return nil
	}
	e := w.e
	switch {
	case e.g.Is(id, "IfcCartesianPoint"):
		if p, err := e.point(id); err == nil {
			return []geom.Vec3{p}
		}
		return nil
	case e.g.Is(id, "IfcCartesianPointList"):
		p, _ := e.pointList(id)
		return p
	case e.g.Is(id, "IfcRepresentationMap"):
		return w.points(e.g.Ref(id, "MappedRepresentation"), depth+1)
	case e.g.Is(id, "IfcPlacement"), e.g.Is(id, "IfcDirection"), e.g.Is(id, "IfcRepresentationContext"), e.g.Is(id, "IfcHalfSpaceSolid"):
		return nil
	case e.g.Is(id, "IfcParameterizedProfileDef"):
		if g, err := e.profile(id, 0); err == nil {
			return ringPoints(g)
		}
	}
	if f := e.solidReader(id); f != nil && depth > 0 { // a part of the item that can be computed
		if p, err := f(e, id); err == nil {
			b := p.bounds()
			return []geom.Vec3{b.Min, b.Max}
		}
	}
	if e.g.Is(id, "IfcBooleanResult") && e.g.Enum(id, "Operator") != "UNION" {
		return w.points(e.g.Ref(id, "FirstOperand"), depth+1)
	}
	var pts []geom.Vec3
	for _, v := range e.g.Attrs(id) {
		for _, r := range v.Refs() {
			pts = append(pts, w.points(r, depth+1)...)
		}
	}
	return w.framed(id, pts)
}

// framed moves the points of an item by the frame that the item names.
func (w *extents) framed(id graph.ID, pts []geom.Vec3) []geom.Vec3 {
	e := w.e
	if d := e.optional(id, "Depth"); d != 0 && e.g.Is(id, "IfcSweptAreaSolid") {
		dir, ok := e.direction(id, "ExtrudedDirection")
		if !ok {
			dir = axisZ
		}
		for _, p := range pts {
			pts = append(pts, p.Add(dir.Mul(d)))
		}
	}
	m := geom.Identity()
	if t := e.g.Ref(id, "MappingTarget"); t != 0 {
		if op, err := e.operator(t); err == nil {
			m = op
		}
	} else if f, err := e.axesAt(id, "Position"); err == nil {
		m = f
	}
	for i, p := range pts {
		pts[i] = m.Point(p)
	}
	return pts
}

func ringPoints(g geom.Region) []geom.Vec3 {
	var out []geom.Vec3
	for _, r := range g {
		for _, q := range r {
			out = append(out, geom.Vec3{X: q.X, Y: q.Y})
		}
	}
	return out
}
