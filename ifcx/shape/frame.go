package shape

import (
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// Frame reads an IfcAxis2Placement3D, such as the Position of a swept solid, in metres; unit
// is the metres per length unit. 0 is the identity; ok is false when it cannot be read.
func Frame(g *graph.Graph, id graph.ID, unit float64) (m geom.Mat, ok bool) {
	m, err := (&eval{g: g, unit: unit}).axes(id)
	return m, err == nil
}
