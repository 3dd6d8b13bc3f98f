// Package shape turns IFC representation items into closed triangle meshes in metres, one
// file an item kind. What it cannot read it names, with the entity, and replaces by the
// item's box.
package shape

import (
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// Solid is one representation item as a closed mesh.
type Solid struct {
	Mesh *geom.Mesh
	Item graph.ID // the representation item
	Kind string   // "IfcExtrudedAreaSolid", ...
	// Boxed is true when the item could not be computed and Mesh is a bounding box.
	Boxed bool
	// Open is true when the surfaces do not close (surface models); volume is then unreliable.
	Open bool
}

// Body is the geometry of one element, openings subtracted.
type Body struct {
	Solids []Solid
	Box    geom.Box
	// AxisLine is the 'Axis' representation as a polyline in the same frame, or nil.
	AxisLine []geom.Vec3
}
