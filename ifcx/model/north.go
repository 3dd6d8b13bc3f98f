package model

import "voidcheck/ifcx/geom"

// TrueNorth is the direction of true north in plan, of length 1, read from the first file
// that gives it; false when none does.
func (b *Building) TrueNorth() (geom.Vec2, bool) {
	for _, f := range b.Files {
		if f.Graph == nil {
			continue
		}
		for _, id := range f.Graph.ByType("IfcGeometricRepresentationContext", false) {
			north := f.Graph.Ref(id, "TrueNorth")
			if !f.Graph.Has(north) {
				continue
			}
			if x, ok := f.Graph.Floats(north, "DirectionRatios"); ok && len(x) >= 2 {
				if d := (geom.Vec2{X: x[0], Y: x[1]}).Unit(); d.Len() > 0.5 {
					return d, true
				}
			}
		}
	}
	return geom.Vec2{}, false
}
