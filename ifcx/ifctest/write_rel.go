package ifctest

import (
	"fmt"
)

// spaces writes rooms and zones.
func (w *modelWriter) spaces() {
	scheme := "letter"
	zones := false
	if w.m.House != nil {
		scheme, zones = w.m.House.RoomNames, w.m.House.Zones && !w.d.NoZones
	}
	refs := map[*Room]Ref{}
	inStorey := make([][]Ref, len(w.storeys))
	for i, r := range w.m.Rooms {
		st := w.stPlace[r.Storey]
		var solids []Prism
		for _, s := range r.Solids {
			solids = append(solids, w.toModel(s))
		}
		at := solids[0].Frame
		for j := range solids {
			solids[j] = relative(solids[j], at)
		}
		pl := w.s.Placement(st.ref, inverse(st.mat).Then(at))
		rep := w.s.Add("IfcProductDefinitionShape", nil, nil, []Ref{w.representation(solids)})
		number, use := roomName(w.d.Naming, scheme, r, i+1)
		refs[r] = w.root("IfcSpace", fmt.Sprintf("space/%d/%d/%d", r.Unit, r.Storey, r.N), number, nil, pl, rep, use, Enum("ELEMENT"), Enum("INTERNAL"), nil)
		inStorey[r.Storey] = append(inStorey[r.Storey], refs[r])
	}
	for k, list := range inStorey {
		if len(list) > 0 {
			w.aggregate(fmt.Sprint("spaces/", k), w.storeys[k], list)
		}
	}
	if !zones {
		return
	}
	for _, z := range w.m.Zones {
		args := []any{"Dwelling unit"}
		if w.d.Naming == NamesNone {
			args[0] = nil
		}
		if w.s.Schema != "IFC2X3" {
			args = append(args, nil)
		}
		zr := w.root("IfcZone", fmt.Sprint("zone/", z.Unit), zoneName(w.d.Naming, z.Unit), args...)
		var list []Ref
		for _, r := range z.Rooms {
			list = append(list, refs[r])
		}
		w.root("IfcRelAssignsToGroup", fmt.Sprint("zone/rel/", z.Unit), nil, list, nil, zr)
	}
}

// noteMaterial remembers what a part is made of.
func (w *modelWriter) noteMaterial(p *Part, ref Ref) {
	var key string
	switch {
	case len(p.Layers) > 0:
		key = fmt.Sprintf("layers %v %d %v %.6f", p.Layers, p.LayerSet.Axis, p.LayerSet.Neg, p.LayerSet.Offset)
	default:
		key = "material " + string(p.Material)
	}
	if _, ok := w.ofMat[key]; !ok {
		w.matOrder = append(w.matOrder, key)
		if len(p.Layers) > 0 {
			w.matRef[key] = w.layerUse(p)
		} else {
			w.matRef[key] = w.material(p.Material)
		}
	}
	w.ofMat[key] = append(w.ofMat[key], ref)
}

func (w *modelWriter) material(m Material) Ref {
	name := materialName(w.d.Naming, m)
	if w.s.Schema == "IFC2X3" {
		return w.s.Once("IfcMaterial", name)
	}
	return w.s.Once("IfcMaterial", name, nil, nil)
}

// layerUse writes the layer set and how it lies in the solid.
func (w *modelWriter) layerUse(p *Part) Ref {
	var layers []Ref
	for _, l := range p.Layers {
		args := []any{w.material(l.Material), w.s.Len(l.Thickness), l.Air}
		if w.s.Schema != "IFC2X3" {
			args = append(args, nil, nil, nil, nil)
		}
		layers = append(layers, w.s.Once("IfcMaterialLayer", args...))
	}
	name := partSetName(w.d.Naming, p)
	args := []any{layers, name}
	if w.s.Schema != "IFC2X3" {
		args = append(args, nil)
	}
	set := w.s.Once("IfcMaterialLayerSet", args...)
	sense := Enum("POSITIVE")
	if p.LayerSet.Neg {
		sense = Enum("NEGATIVE")
	}
	use := []any{set, Enum(fmt.Sprintf("AXIS%d", p.LayerSet.Axis)), sense, w.s.Len(p.LayerSet.Offset)}
	if w.s.Schema != "IFC2X3" {
		use = append(use, nil)
	}
	return w.s.Once("IfcMaterialLayerSetUsage", use...)
}

func partSetName(style string, p *Part) any {
	if style == NamesNone {
		return nil
	}
	return roleNames[p.Role][styleIndex(style)]
}

// noteType remembers the type of a part: one type a role and section.
func (w *modelWriter) noteType(p *Part, e entityOf, ref Ref) {
	size := sizeOf(p)
	key := fmt.Sprint(e.typeEntity, "/", p.Role, "/", size)
	if _, ok := w.ofType[key]; !ok {
		w.typOrder = append(w.typOrder, key)
		pre := e.typePredefined
		if pre == "" {
			pre = e.predefined
		}
		w.typRef[key] = w.root(e.typeEntity, "type/"+key, typeName(w.d.Naming, p, size), nil, nil, nil, nil, nil, Enum(pre))
	}
	w.ofType[key] = append(w.ofType[key], ref)
}

// sizeOf is the size that names of types carry, in millimetres; "" for none.
func sizeOf(p *Part) string {
	size := ""
	if p.Thick > 0 {
		size = fmt.Sprintf("%.1f", p.Thick*1000)
	} else if len(p.Layers) > 0 {
		t := 0.0
		for _, l := range p.Layers {
			t += l.Thickness
		}
		size = fmt.Sprintf("%.0f", t*1000)
	} else if len(p.Solids) > 0 {
		switch q := p.Solids[0].Profile; q.Kind {
		case Rect:
			size = fmt.Sprintf("%.0fx%.0f", min(q.W, q.H)*1000, max(q.W, q.H)*1000)
		case Circle, Tube:
			size = fmt.Sprintf("%.0f", 2000*q.R)
		}
	}
	return size
}

// relations writes what was noted: aggregation, containment, materials and types.
func (w *modelWriter) relations() {
	for _, p := range w.m.Parts {
		if c := w.children[p]; len(c) > 0 {
			w.aggregate(p.key, w.refs[p], c)
		}
	}
	for k, list := range w.inStorey {
		if len(list) > 0 {
			w.root("IfcRelContainedInSpatialStructure", fmt.Sprint("contains/", k), nil, list, w.storeys[k])
		}
	}
	for _, k := range w.matOrder {
		w.root("IfcRelAssociatesMaterial", "material/rel/"+k, nil, w.ofMat[k], w.matRef[k])
	}
	for _, k := range w.typOrder {
		w.root("IfcRelDefinesByType", "type/rel/"+k, nil, w.ofType[k], w.typRef[k])
	}
}
