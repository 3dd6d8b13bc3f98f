package model

import (
	"math"
	"strconv"

	"voidcheck/ifcx/graph"
)

// ThickestLayer is the thickness in metres above which a material layer is not believed
// (project tolerance: no wall, floor or roof layer of a dwelling is 3 m thick).
const ThickestLayer = 3.0

// layerUsage is what an IfcMaterialLayerSetUsage says; axis 0 means that there is none.
type layerUsage struct {
	axis   int     // 1, 2, 3
	sense  float64 // +1 or -1
	offset float64 // metres
}

// readMaterials fills Materials and Layers from the occurrence's associations, else from the
// type's. A usage of the occurrence and a set of its type belong together.
func (c *content) readMaterials(e *Element, id, typ graph.ID) layerUsage {
	var u layerUsage
	for _, from := range []graph.ID{id, typ} {
		for _, m := range c.rel.material().of(from) {
			u = c.addMaterial(e, c.v.row(m), u, 0)
		}
		if len(e.Materials) > 0 || e.Layers != nil {
			break
		}
	}
	return u
}

// addMaterial reads one IfcMaterialSelect.
func (c *content) addMaterial(e *Element, r row, u layerUsage, depth int) layerUsage {
	if r.ent == nil || depth > 6 {
		return u
	}
	down := func(ids []graph.ID) {
		for _, id := range ids {
			u = c.addMaterial(e, c.v.row(id), u, depth+1)
		}
	}
	switch {
	case r.ent.Is("IfcMaterial"):
		e.addMaterialName(r.str("Name"))
	case r.ent.Is("IfcMaterialList"):
		down(r.refs("Materials"))
	case r.ent.Is("IfcMaterialLayerSetUsage"):
		u = c.readUsage(r)
		down(r.refs("ForLayerSet"))
	case r.ent.Is("IfcMaterialLayerSet"):
		if e.Layers == nil {
			e.Layers = c.layerSet(r)
		}
		for _, l := range e.Layers.Layers {
			e.addMaterialName(l.Material)
		}
	case r.ent.Is("IfcMaterialLayer"): // associated alone: a set of one
		if e.Layers == nil {
			e.Layers = &LayerSet{Layers: []Layer{c.layer(r)}}
		}
		e.addMaterialName(c.v.row(r.ref("Material")).str("Name"))
	case r.ent.Is("IfcMaterialConstituentSet"):
		down(r.refs("MaterialConstituents"))
	case r.ent.Is("IfcMaterialProfileSetUsage"):
		down(r.refs("ForProfileSet"))
		down(r.refs("ForProfileEndSet"))
	case r.ent.Is("IfcMaterialProfileSet"):
		down(r.refs("MaterialProfiles"))
	case r.ent.Is("IfcMaterialConstituent"), r.ent.Is("IfcMaterialProfile"):
		down(r.refs("Material"))
	}
	return u
}

func (e *Element) addMaterialName(n string) {
	if n == "" {
		return
	}
	for _, m := range e.Materials {
		if m == n {
			return
		}
	}
	e.Materials = append(e.Materials, n)
}

func (c *content) readUsage(r row) layerUsage {
	u := layerUsage{sense: 1}
	switch r.enum("LayerSetDirection") {
	case "AXIS1":
		u.axis = 1
	case "AXIS2":
		u.axis = 2
	case "AXIS3":
		u.axis = 3
	default:
		c.v.warn(r, "layer-direction", "its layer set direction is missing; the layers are not placed", "export the direction of the layer set (AXIS2 for walls, AXIS3 for slabs)")
	}
	if r.enum("DirectionSense") == "NEGATIVE" {
		u.sense = -1
	}
	if x, ok := r.num("OffsetFromReferenceLine"); ok {
		u.offset = c.v.units.length().si(x)
	}
	return u
}

// layerSet reads an IfcMaterialLayerSet and names layers whose thickness cannot be.
func (c *content) layerSet(r row) *LayerSet {
	s := &LayerSet{Name: r.str("LayerSetName")}
	for i, id := range r.refs("MaterialLayers") {
		lr := c.v.row(id)
		if lr.ent == nil {
			continue
		}
		l := c.layer(lr)
		if !(l.ThicknessM > 0) || l.ThicknessM > ThickestLayer {
			c.v.warn(lr, "layer-thickness", "layer "+strconv.Itoa(i+1)+" of layer set "+quote(s.Name)+" ("+quote(l.Material)+") is "+metres(l.ThicknessM)+" thick",
				"correct the layer's thickness in the authoring model")
		}
		s.Layers = append(s.Layers, l)
	}
	return s
}

func (c *content) layer(r row) Layer {
	m := c.v.row(r.ref("Material"))
	l := Layer{Material: m.str("Name"), Category: r.str("Category"), Name: r.str("Name")}
	if l.Category == "" {
		l.Category = m.str("Category")
	}
	if x, ok := r.num("LayerThickness"); ok && !math.IsNaN(x) {
		l.ThicknessM = c.v.units.length().si(x)
	}
	// IsVentilated: TRUE and UNKNOWN both mean an air layer, FALSE a solid one (IFC4 ADD2,
	// IfcMaterialLayer).
	v := r.enum("IsVentilated")
	l.Ventilated = v == "T" || v == "U"
	return l
}

// Total returns the summed thickness in metres.
func (s *LayerSet) Total() float64 {
	t := 0.0
	for _, l := range s.Layers {
		t += l.ThicknessM
	}
	return t
}
