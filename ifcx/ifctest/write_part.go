package ifctest

import (
	"fmt"
	"math"
	"sort"
	"strconv"

	"voidcheck/ifcx/geom"
)

// relative returns a solid in the frame of a placement.
func relative(p Prism, at geom.Mat) Prism {
	p.Frame = inverse(at).Then(p.Frame)
	return p
}

// shapeKey tells equal bodies apart from different ones, to a tenth of a micrometre.
func shapeKey(solids []Prism) string {
	var b []byte
	num := func(vs ...float64) {
		for _, v := range vs {
			b = strconv.AppendInt(append(b, ' '), int64(math.Round(v*1e7)), 10)
		}
	}
	vec := func(v geom.Vec3) { num(v.X, v.Y, v.Z) }
	for _, s := range solids {
		p := s.Profile
		num(float64(p.Kind), p.W, p.H, p.R, p.T, p.F, s.Depth)
		for _, v := range []geom.Vec3{s.Frame.X, s.Frame.Z, s.Frame.O} {
			vec(v)
		}
		for _, r := range append([][]geom.Vec2{p.Outline}, p.Holes...) {
			b = append(b, '/')
			for _, c := range r {
				num(c.X, c.Y)
			}
		}
	}
	return string(b)
}

// representation writes the body of solids given in the frame of the product.
func (w *modelWriter) representation(solids []Prism) Ref {
	kind := w.d.Geometry
	if kind == "mesh" && w.s.Schema == "IFC2X3" {
		kind = "brep"
	}
	key := shapeKey(solids)
	if r, ok := w.shapes[key]; ok {
		return r
	}
	var items []Ref
	rep := "SweptSolid"
	for _, p := range solids {
		switch kind {
		case "brep":
			rep, items = "Brep", append(items, w.s.Brep(p))
		case "mesh":
			rep, items = "Tessellation", append(items, w.s.FaceSet(p))
		case "clipping":
			item, clipped := w.s.Clipped(p)
			if clipped {
				rep = "Clipping"
			}
			items = append(items, item)
		default:
			items = append(items, w.s.Extrusion(p))
		}
	}
	shape := w.s.Add("IfcShapeRepresentation", w.body, "Body", rep, items)
	if kind == "mapped" {
		m := w.s.Add("IfcRepresentationMap", w.s.Axes(geom.Identity()), shape)
		op := w.s.Once("IfcCartesianTransformationOperator3D", nil, nil, w.s.Point3(geom.Vec3{}), nil, nil)
		shape = w.s.Add("IfcShapeRepresentation", w.body, "Body", "MappedRepresentation", []Ref{w.s.Add("IfcMappedItem", m, op)})
	}
	if w.s.Schema != "IFC2X3" { // there a representation belongs to one product
		w.shapes[key] = shape
	}
	return shape
}

// parentPlace returns the placement that a part stands in.
func (w *modelWriter) parentPlace(p *Part) place {
	if p.Parent != nil {
		return w.placed[p.Parent]
	}
	return w.stPlace[p.Storey]
}

// part writes a part, its opening elements and the copies that the disguise asks for.
func (w *modelWriter) part(p *Part) {
	in := w.parentPlace(p)
	solids := w.d.dress(p)
	own := make([]Prism, len(solids))
	for i, s := range solids {
		own[i] = w.toModel(s)
	}
	at := place{mat: in.mat}
	switch {
	case p.Frame != nil:
		at.mat = w.toModel(Prism{Frame: *p.Frame}).Frame
	case len(own) > 0:
		at.mat = own[0].Frame
	default:
		at.mat.O = w.assemblyOrigin(p, in.mat.O)
	}
	at.ref = w.s.Placement(in.ref, inverse(in.mat).Then(at.mat))
	w.placed[p] = at
	var rep any
	if len(own) > 0 {
		for i := range own {
			own[i] = relative(own[i], at.mat)
		}
		reps := []Ref{w.representation(own)}
		if len(p.LayerSet.Line) > 0 {
			reps = append([]Ref{w.axisLine(p)}, reps...)
		}
		rep = w.s.Add("IfcProductDefinitionShape", nil, nil, reps)
	}
	copies := 1
	if n := w.d.Duplicate; n > 0 && p.Linear && p.N%n == 0 {
		copies = 2
	}
	for c := range copies {
		w.product(p, at, rep, c)
	}
}

// assemblyOrigin is the low corner of the first child with a solid, so that assemblies have a
// place of their own.
func (w *modelWriter) assemblyOrigin(p *Part, otherwise geom.Vec3) geom.Vec3 {
	if q := w.first[p]; q != nil {
		return w.toModel(q.Solids[0]).Frame.O
	}
	return otherwise
}

// product writes the occurrence and notes what it is related to.
func (w *modelWriter) product(p *Part, at place, rep any, copyNo int) {
	key := p.key
	if copyNo > 0 {
		key += "/copy"
	}
	e := w.kindOf(p)
	ref := w.root(e.entity, key, partName(w.d.Naming, p), append([]any{w.objectType(e, p), at.ref, rep, w.tag(p)}, w.own(e)...)...)
	if copyNo == 0 {
		w.refs[p] = ref
	}
	if p.Parent != nil {
		w.children[p.Parent] = append(w.children[p.Parent], ref)
	} else {
		w.inStorey[p.Storey] = append(w.inStorey[p.Storey], ref)
	}
	if len(p.Solids) > 0 {
		w.noteMaterial(p, ref)
	}
	if e.typeEntity != "" {
		w.noteType(p, e, ref)
	}
	for i, o := range p.Openings {
		w.opening(p, o, at, ref, fmt.Sprintf("%s/opening/%d", key, i))
	}
	w.properties(p, key, ref)
}

// objectType says what a part with a predefined type of the user's own is; nil for others.
func (w *modelWriter) objectType(e entityOf, p *Part) any {
	if e.predefined != "USERDEFINED" {
		return nil
	}
	if n := partName(w.d.Naming, p); n != nil {
		return n
	}
	return "Wall"
}

func (w *modelWriter) tag(p *Part) any {
	if w.d.Naming == NamesNone {
		return nil
	}
	return fmt.Sprintf("%s%d", roleNames[p.Role][1], p.N)
}

// opening writes a void cut into a part.
func (w *modelWriter) opening(p *Part, o Opening, host place, ref Ref, key string) {
	solid := w.toModel(o.Solid)
	at := w.s.Placement(host.ref, inverse(host.mat).Then(solid.Frame))
	shape := w.representation([]Prism{relative(solid, solid.Frame)})
	var name any
	if w.d.Naming != NamesNone {
		name = o.Name
	}
	args := []any{nil, at, w.s.Add("IfcProductDefinitionShape", nil, nil, []Ref{shape}), nil}
	if w.s.Schema != "IFC2X3" {
		args = append(args, Enum("OPENING"))
	}
	op := w.root("IfcOpeningElement", key, name, args...)
	w.root("IfcRelVoidsElement", key+"/voids", nil, ref, op)
	if o.Door != nil {
		w.door(p, o, op, key+"/door")
	}
}

// properties writes the property sets of a part.
func (w *modelWriter) properties(p *Part, key string, ref Ref) {
	sets := map[string][]Ref{}
	for _, q := range p.Props {
		v := q.Value
		if f, ok := v.(float64); ok && q.Type == "IfcPositiveLengthMeasure" {
			v = w.s.Len(f)
		}
		sets[q.Set] = append(sets[q.Set], w.s.Once("IfcPropertySingleValue", q.Name, nil, Typed{q.Type, v}, nil))
	}
	names := make([]string, 0, len(sets))
	for n := range sets {
		names = append(names, n)
	}
	sort.Strings(names)
	for _, n := range names {
		set := w.root("IfcPropertySet", key+"/"+n, n, sets[n])
		w.root("IfcRelDefinesByProperties", key+"/rel/"+n, nil, []Ref{ref}, set)
	}
}

// axisLine writes the Axis representation of a layered wall.
func (w *modelWriter) axisLine(p *Part) Ref {
	var pts []Ref
	for _, c := range p.LayerSet.Line {
		if w.d.Mirror { // the local x axis was turned round
			c.X = -c.X
		}
		pts = append(pts, w.s.Point2(c))
	}
	return w.s.Add("IfcShapeRepresentation", w.axis, "Axis", "Curve2D", []Ref{w.s.Add("IfcPolyline", pts)})
}
