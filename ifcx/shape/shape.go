// Package shape turns IFC representation items into closed triangle meshes in metres, one
// file an item kind. What it cannot read it names, with the entity, and replaces by the
// item's box.
//
// Curves become chords within geom.ChordError, with their points on the curve, so round
// solids are inscribed. An item is first a part: a prism stays one until openings have been
// taken from it, because that is exact and gives clean faces.
package shape

import (
	"sync"
	"sync/atomic"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
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

// Builder makes bodies of the products of one file. It may be used by several goroutines.
type Builder struct {
	g     *graph.Graph
	log   *source.Log
	unit  float64
	angle float64

	mu   sync.Mutex
	maps map[graph.ID]mapEntry // sources of mapped items, in the frame of their users
	// reps are representations that were read lately, by number: many products share one.
	reps [1 << 12]atomic.Pointer[repEntry]
}

// repEntry is what a representation came to.
type repEntry struct {
	id     graph.ID
	parts  []*part
	faults []error
}

// New returns a builder for a file. Problems go to log, with the entity and the element.
func New(g *graph.Graph, log *source.Log) *Builder {
	b := &Builder{g: g, log: log, maps: map[graph.ID]mapEntry{}}
	b.unit, _ = LengthUnit(g)
	b.angle, _ = AngleUnit(g)
	return b
}

// Unit returns the metres per length unit of the file.
func (b *Builder) Unit() float64 { return b.unit }
