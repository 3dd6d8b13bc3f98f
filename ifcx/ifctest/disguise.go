package ifctest

import (
	"fmt"
	"math"

	"voidcheck/ifcx/geom"
)

// Disguise says how a model is written. The same building under every disguise must give the
// same review. The zero value is IFC4 in millimetres with English names.
type Disguise struct {
	Schema    string     // "IFC2X3", "IFC4", "IFC4X3"; "" is IFC4
	Unit      string     // "mm", "m", "ft", "in"; "" is mm
	RotateDeg float64    // turned in plan about the origin
	Shift     [3]float64 // metres
	Mirror    bool       // x becomes -x before turning
	// Baked moves the coordinates of every part; otherwise the site's placement does it (a
	// mirror is always in the parts).
	Baked     bool
	Naming    string  // see the naming styles; "" is English
	Overlap   float64 // linear members reach this far into what they abut at their ends
	Clearance float64 // linear members stay clear of their neighbours: this much between two
	Duplicate int     // every n-th part is written twice
	// Geometry: "extrusion", "brep", "mesh" (IFC4 face sets; breps in IFC2X3), "mapped",
	// "clipping" (sloping edges by half-spaces); "" is extrusion.
	Geometry string
	// Seed other than 0 shuffles the instances, renumbers them and gives new GlobalIds.
	Seed    int64
	NoZones bool
}

// unitMetres returns metres per length unit.
func (d Disguise) unitMetres() (float64, error) {
	switch d.Geometry {
	case "", "extrusion", "brep", "mesh", "mapped", "clipping":
	default:
		return 0, fmt.Errorf("disguise: geometry is %q, expected extrusion, brep, mesh, mapped or clipping", d.Geometry)
	}
	switch d.Unit {
	case "", "mm":
		return 0.001, nil
	case "m":
		return 1, nil
	case "ft":
		return Foot, nil
	case "in":
		return Inch, nil
	}
	return 0, fmt.Errorf("disguise: unit is %q, expected mm, m, ft or in", d.Unit)
}

// mirror is the part of the disguise that is always in the coordinates of the parts.
func (d Disguise) mirror() geom.Mat {
	m := geom.Identity()
	if d.Mirror {
		m.X.X = -1
	}
	return m
}

// move turns and shifts.
func (d Disguise) move() geom.Mat {
	m := geom.Identity()
	s, c := math.Sincos(d.RotateDeg * math.Pi / 180)
	m.X, m.Y = geom.Vec3{X: c, Y: s}, geom.Vec3{X: -s, Y: c}
	m.O = geom.Vec3{X: d.Shift[0], Y: d.Shift[1], Z: d.Shift[2]}
	return m
}

// Point maps a point of the house (as in Truth) to the written model's coordinates in metres.
func (d Disguise) Point(p geom.Vec3) geom.Vec3 {
	return d.move().Then(d.mirror()).Point(p)
}

// dress applies overlap and clearance to the solids of a part.
func (d Disguise) dress(p *Part) []Prism {
	if !p.Linear || (d.Overlap == 0 && d.Clearance == 0) {
		return p.Solids
	}
	out := make([]Prism, len(p.Solids))
	for i, s := range p.Solids {
		if s.Profile.Kind == Poly { // sloping members: their ends are in the outline
			out[i] = s
			continue
		}
		grow := d.Overlap
		if p.Free {
			grow = 0
		}
		out[i] = s.stretch(grow - d.Clearance/2).thin(d.Clearance / 2)
	}
	return out
}

// inverse of a rigid transform.
func inverse(m geom.Mat) geom.Mat {
	r := geom.Mat{
		X: geom.Vec3{X: m.X.X, Y: m.Y.X, Z: m.Z.X},
		Y: geom.Vec3{X: m.X.Y, Y: m.Y.Y, Z: m.Z.Y},
		Z: geom.Vec3{X: m.X.Z, Y: m.Y.Z, Z: m.Z.Z},
	}
	r.O = r.Dir(m.O).Mul(-1)
	return r
}
