package shape

import (
	"errors"
	"slices"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

// Body returns the geometry of a product, with its openings taken away, in metres in the
// frame of place, which is the product's placement as the caller wants it. It is nil when
// the product has no representation with a solid and no axis.
func (b *Builder) Body(product graph.ID, place geom.Mat) *Body {
	return b.body(product, place, true)
}

// RawBody is Body without the openings taken away: for openings themselves, and for the
// element as it was before its openings.
func (b *Builder) RawBody(product graph.ID, place geom.Mat) *Body {
	return b.body(product, place, false)
}

func (b *Builder) body(product graph.ID, place geom.Mat, cut bool) *Body {
	e := b.eval()
	parts := e.product(product)
	axis := e.axisLine(product, place)
	var body *Body
	var tools []*part
	if cut && len(parts) > 0 {
		tools = e.openings(product)
		parts = append(parts, e.projections(product)...)
	}
	for _, p := range parts {
		if t := e.touching(p, tools); len(t) > 0 && (p.open || p.boxed) {
			e.faults = append(e.faults, e.bad(p.item, "is no closed solid, so its openings are not taken from it"))
		} else {
			p = p.without(t)
		}
		m, trouble := p.solid()
		for _, t := range trouble {
			e.faults = append(e.faults, e.bad(p.item, "%s", t))
		}
		if len(m.Tris) == 0 {
			e.faults = append(e.faults, e.bad(p.item, "nothing of the solid is left after its cuts and openings"))
			continue
		}
		if p.open {
			b.problem(product, source.Warning, "open-surface", label(e.g, p.item)+": its faces do not close, so it bounds no volume", "")
		}
		mesh := &geom.Mesh{}
		switch {
		case body != nil:
		case len(parts) == 1:
			body, mesh = roomForOne(len(m.Verts))
		default:
			body = &Body{}
		}
		m.TransformInto(mesh, place)
		if box := mesh.Box(); len(body.Solids) == 0 {
			body.Box = box
		} else {
			body.Box = body.Box.Join(box)
		}
		body.Solids = append(body.Solids, Solid{Mesh: mesh, Item: p.item, Kind: p.kind, Boxed: p.boxed, Open: p.open})
	}
	b.report(product, e.faults)
	switch {
	case body != nil:
		body.AxisLine = axis
	case axis != nil:
		body = &Body{Box: geom.EmptyBox(), AxisLine: axis}
	}
	return body
}

// roomForOne returns a body that is to hold one solid, and its mesh, in one piece of memory:
// nearly all bodies are such, and most of those have eight corners.
func roomForOne(corners int) (*Body, *geom.Mesh) {
	type one struct {
		body  Body
		solid [1]Solid
		mesh  geom.Mesh
	}
	type box struct {
		one
		corners [8]geom.Vec3
	}
	if corners == 8 {
		x := &box{}
		x.body.Solids, x.mesh.Verts = x.solid[:0], x.corners[:0]
		return &x.body, &x.mesh
	}
	x := &one{}
	x.body.Solids, x.mesh.Verts = x.solid[:0], make([]geom.Vec3, 0, corners)
	return &x.body, &x.mesh
}

// report logs what was replaced or left out under the name of the product.
func (b *Builder) report(product graph.ID, faults []error) {
	for _, err := range faults {
		text := err.Error()
		var f *fault
		if errors.As(err, &f) {
			text = f.what + " " + f.text
		}
		b.problem(product, source.Skipped, "geometry", text, "look at the element in the authoring tool and export it again")
	}
}

func (b *Builder) problem(product graph.ID, sev source.Severity, code, text, fix string) {
	b.log.Add(source.Problem{Severity: sev, File: b.g.File.Name, Entity: b.g.Label(product), EntityType: b.g.Type(product),
		Name: b.g.Str(product, "Name"), GlobalID: b.g.Str(product, "GlobalId"), Code: code, Text: text, Fix: fix})
}

// touching returns the tools whose boxes meet that of the part.
func (e *eval) touching(p *part, tools []*part) []*part {
	if len(tools) == 0 {
		return nil
	}
	box := p.bounds()
	var out []*part
	for _, t := range tools {
		if t.bounds().Overlaps(box) {
			out = append(out, t)
		}
	}
	return out
}

// bounds returns a box that holds the part, cuts not regarded.
func (p *part) bounds() geom.Box {
	if p.prism == nil {
		return p.mesh.Box()
	}
	b := geom.EmptyBox()
	for _, q := range ringPoints(p.prism.area) {
		b = b.Extend(p.prism.frame.Point(q)).Extend(p.prism.frame.Point(geom.Vec3{X: q.X, Y: q.Y, Z: p.prism.depth}))
	}
	return b
}

// openings returns what IfcRelVoidsElement takes from an element, in the element's frame.
func (e *eval) openings(product graph.ID) []*part {
	return e.features(product, "IfcRelVoidsElement", "RelatingBuildingElement", "RelatedOpeningElement")
}

// projections returns what IfcRelProjectsElement adds to an element, in the element's frame.
func (e *eval) projections(product graph.ID) []*part {
	return e.features(product, "IfcRelProjectsElement", "RelatingElement", "RelatedFeatureElement")
}

func (e *eval) features(product graph.ID, relation, relating, related string) []*part {
	var out []*part
	for _, rel := range e.g.Inverse(product, relation, relating) {
		f := e.g.Ref(rel, related)
		if f == 0 { // which is told as a missing reference
			continue
		}
		if f == product || !e.g.Is(f, "IfcFeatureElement") {
			e.faults = append(e.faults, e.bad(rel, "names %s, which is no opening or projection, so the element is as it is without it", label(e.g, f)))
			continue
		}
		m := e.between(product, f)
		parts := e.product(f)
		if len(parts) == 0 {
			e.faults = append(e.faults, e.bad(f, "has no solid that can be read, so the element is as it is without it"))
		}
		for _, p := range parts {
			if p.open {
				e.faults = append(e.faults, e.bad(f, "the faces of its solid do not close, so it is not taken from the element"))
				continue
			}
			q := *p.placed(m)
			q.opening = relation == "IfcRelVoidsElement"
			out = append(out, &q)
		}
	}
	return out
}

// between returns the frame of one product as seen from another. When one placement is
// relative to the other, what lies above is left out, which keeps digits far from the origin.
func (e *eval) between(host, other graph.ID) geom.Mat {
	h, o := e.g.Ref(host, "ObjectPlacement"), e.g.Ref(other, "ObjectPlacement")
	common := graph.ID(0)
	above := map[graph.ID]bool{}
	for id, n := h, 0; id != 0 && n < maxDepth; id, n = e.g.Ref(id, "PlacementRelTo"), n+1 {
		above[id] = true
	}
	for id, n := o, 0; id != 0 && n < maxDepth; id, n = e.g.Ref(id, "PlacementRelTo"), n+1 {
		if above[id] {
			common = id
			break
		}
	}
	to, _ := relative(e.g, o, common, e.unit, e.angle)
	from, _ := relative(e.g, h, common, e.unit, e.angle)
	if inv, ok := from.Inverse(); ok {
		return inv.Then(to)
	}
	return to
}

// Which representation stands for the body, best first; others are taken last when they are
// no kind of drawing. 'Box' is no more than a box.
var bodyNames = []string{"Body", "Body-FallBack", "Facetation", "Tessellation", "Model", "Surface"}

var drawings = []string{"Axis", "FootPrint", "Footprint", "Annotation", "Profile", "Plan", "CoG", "Clearance", "Lighting", "Reference", "Box", "Survey", "Sketch"}

// product reads the best representation of a product as parts in the product's frame.
func (e *eval) product(id graph.ID) []*part {
	shape := e.g.Ref(id, "Representation")
	if shape == 0 {
		return nil
	}
	reps := e.g.Refs(shape, "Representations")
	for _, name := range bodyNames {
		if parts := e.named(reps, name); len(parts) > 0 {
			return parts
		}
	}
	for _, r := range reps {
		name := e.g.Str(r, "RepresentationIdentifier")
		if slices.Contains(bodyNames, name) || slices.Contains(drawings, name) {
			continue
		}
		if parts := e.representation(r); len(parts) > 0 {
			return parts
		}
	}
	parts := e.named(reps, "Box")
	for i, p := range parts {
		q := *p
		q.boxed = true
		parts[i] = &q
		e.faults = append(e.faults, e.bad(p.item, "is all that stands for the element's body, so the element is taken as a box"))
	}
	return parts
}

// named reads the representations of one name. Where several views have one, that for the
// model view is taken alone; several of the same view are taken together.
func (e *eval) named(reps []graph.ID, name string) []*part {
	var pick []graph.ID
	for _, r := range reps {
		if e.g.Str(r, "RepresentationIdentifier") == name {
			pick = append(pick, r)
		}
	}
	if len(pick) > 1 {
		pick = e.bestView(pick)
	}
	var out []*part
	for _, r := range pick {
		out = append(out, e.representation(r)...)
	}
	return out
}

// bestView returns those of representations of one name that are for the model view, or all
// when none is.
func (e *eval) bestView(reps []graph.ID) []graph.ID {
	var pick []graph.ID
	best := -1
	for _, r := range reps {
		rank := 0
		if e.g.Enum(e.g.Ref(r, "ContextOfItems"), "TargetView") == "MODEL_VIEW" {
			rank = 1
		}
		if rank > best {
			pick, best = nil, rank
		}
		if rank == best {
			pick = append(pick, r)
		}
	}
	return pick
}

// axisLine reads the 'Axis' representation as points in the frame of place.
func (e *eval) axisLine(product graph.ID, place geom.Mat) []geom.Vec3 {
	shape := e.g.Ref(product, "Representation")
	for _, r := range e.g.Refs(shape, "Representations") {
		if e.g.Str(r, "RepresentationIdentifier") != "Axis" {
			continue
		}
		for _, it := range e.g.Refs(r, "Items") {
			if set := e.g.Refs(it, "Elements"); len(set) > 0 { // IfcGeometricSet
				it = set[0]
			}
			if !e.g.Is(it, "IfcCurve") {
				continue
			}
			pts, err := e.polyline(it)
			if err != nil {
				e.faults = append(e.faults, &fault{it, label(e.g, it), "the axis is not read: " + err.Error()})
				continue
			}
			for i, p := range pts {
				pts[i] = place.Point(p)
			}
			return pts
		}
	}
	return nil
}
