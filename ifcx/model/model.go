// Package model is the building as the files describe it: storeys, spaces, zones, elements
// with their types, properties, materials, layers, openings and geometry, federated from
// several files into one frame in metres. It judges nothing.
//
// Frame: every coordinate is in metres in the first model's coordinates minus
// Building.Origin, so that float work stays near zero even for georeferenced models.
package model

import (
	"fmt"
	"sync/atomic"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/shape"
	"voidcheck/ifcx/source"
)

// Building is the federation of all files.
type Building struct {
	Files    []*File
	Origin   geom.Vec3 // metres; add it to get the first model's coordinates
	Project  string
	Storeys  []*Storey // by elevation, then name; one per level over all files
	Spaces   []*Space  // deterministic order
	Zones    []*Zone
	Elements []*Element // every product that is not a storey, space, opening, grid or annotation
	Openings []*Opening
	Grids    []*Grid
	// Provisions are the elements among Elements that only reserve a void
	// (PredefinedType PROVISIONFORVOID): their bodies are not matter.
	Provisions []*Element
	Log        *source.Log

	groups []Group // of outlines
	guids  []*guids
}

// File is one model file.
type File struct {
	Name        string
	SHA256      string
	Schema      string // "IFC4"
	Discipline  string // "architecture", "structure", "services", "mixed"
	Tool        string // authoring tool
	Entities    int
	LengthUnitM float64      // metres per length unit
	LengthUnit  string       // "millimetre", "foot", ...
	Graph       *graph.Graph // nil for a syntax without instances (IFC5)
	Map         *MapConversion

	matProps func() map[string]PropSets
}

// MapConversion is the IfcMapConversion of a file. The building is not moved by it; it is
// kept to explain files whose coordinates disagree.
type MapConversion struct {
	CRS                         string
	Eastings, Northings         float64 // map units as written
	Height                      float64
	AbscissaX, OrdinateX, Scale float64
}

// Storey is a level of the building.
type Storey struct {
	Index      int
	GlobalID   string
	Name       string
	ElevationM float64 // in the building frame

	held int // elements in it that are only counted
}

// StoreyName is what a storey is called in texts and findings: one without a name goes by its
// number from below, and an index that is none has no name.
func (b *Building) StoreyName(i int) string {
	switch {
	case i < 0 || i >= len(b.Storeys):
		return ""
	case b.Storeys[i].Name == "":
		return fmt.Sprintf("storey %d", i+1)
	}
	return b.Storeys[i].Name
}

// Zone groups spaces, for example one dwelling unit.
type Zone struct {
	GlobalID, Name, LongName, ObjectType string
	Entity                               string // "IfcZone", "IfcSpatialZone", "IfcGroup"
	Predefined                           string // of a spatial zone: FIRESAFETY, OCCUPANCY, ...
	File                                 *File
	Classes                              []Classification
	Spaces                               []*Space
	Elements                             []*Element         // members that are not spaces
	Body                                 func() *shape.Body // nil without geometry (spatial zones have some)
}

// Classification is a reference into a classification system.
type Classification struct{ System, Code, Name string }

// Space is a room. Its Name is usually the number and its LongName the words.
type Space struct {
	*Element
	Zones []*Zone
	// Bounds are the elements this space names as its boundaries (IfcRelSpaceBoundary).
	Bounds []*Element
}

// Opening is a void cut into an element, with what fills it.
type Opening struct {
	GlobalID, Name, Predefined string
	Host                       *Element
	Filling                    *Element // door, window or nil; the first of Fillings
	Fillings                   []*Element
	File                       *File
	ID                         graph.ID
	Placement                  geom.Mat
	Body                       func() *shape.Body
}

// Grid is a named axis system.
type Grid struct {
	Name string
	Axes []GridAxis
}

// GridAxis is one line of a grid.
type GridAxis struct {
	Tag  string
	A, B geom.Vec2
}

// Layer is one material layer.
type Layer struct {
	Material   string
	Category   string
	Name       string
	ThicknessM float64
	Ventilated bool // an air layer
}

// LayerSet is the layered build-up of an element. Where it lies is what the file declares
// until the element's body is first computed; Element.Body then checks it against the solid
// and corrects it, with a problem in the log.
type LayerSet struct {
	Name   string
	Layers []Layer
	// Placed is true when a usage says where the layers lie. Then layer i fills the part of
	// the solid whose coordinate along Axis, measured from Base, lies between the summed
	// thicknesses, going in the direction of Axis.
	Placed bool
	Axis   geom.Vec3 // unit vector in the building frame, in the direction of stacking
	Base   geom.Vec3 // a point on the outer face of the first layer
}

// Element is one product occurrence.
type Element struct {
	*Kind
	Index    int
	GlobalID string
	Name     string
	Tag      string
	ID       graph.ID
	HasShape bool     // the file gives a representation, readable or not
	Storey   *Storey  // nil when not contained; filled from the whole when aggregated
	Whole    *Element // nil when it is part of nothing
	Parts    []*Element
	Openings []*Opening
	// Coverings are what covers this element or space (IfcRelCovers...).
	Coverings []*Element
	Layers    *LayerSet // nil when none

	axes  *[3]geom.Vec3 // of the placement, shared; nil for those of the building
	at    geom.Vec3     // its origin
	props atomic.Pointer[PropSets]
	body  atomic.Pointer[shape.Body] // noBody when it has been computed and there is none
}

// Kind is what elements of one kind have in common: a building has hundreds of thousands of
// studs and webs, of a few kinds. Elements share it, so it is not to be changed.
type Kind struct {
	Entity      string   // "IfcWall", canonical case, as in the file
	Parents     []string // supertypes of Entity, nearest first
	Predefined  string   // upper case, from occurrence or type; USERDEFINED resolves to ObjectType words
	LongName    string
	Description string
	ObjectType  string
	TypeEntity  string
	TypeName    string
	File        *File
	Materials   []string // every material name, of occurrence or type
	Classes     []Classification
	Groups      []string // names of groups and systems

	from maker // nil when there are neither properties nor geometry
}

// maker reads the properties of elements and computes their bodies; those of one file share
// one. It may be used by several goroutines.
type maker interface {
	elementProps(*Element) PropSets
	elementBody(*Element) *shape.Body
}

// noBody stands for the body of an element that has none.
var noBody = &shape.Body{}

// PropSets maps property set name -> property name -> value; occurrence over type.
type PropSets map[string]map[string]PropValue

// PropValue is one property or quantity. Numbers are SI when the unit is known.
type PropValue struct {
	Text         string  // printable form as in the file, numbers in the file's units
	Num          float64 // valid when IsNum
	IsNum        bool
	Bool         *bool
	List         []string // enumerated, list and table values
	Lower, Upper *float64 // bounded values
	Measure      string   // "IfcLengthMeasure", "" when not given
}
