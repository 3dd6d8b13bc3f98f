// Package model is the building as the files describe it: storeys, spaces, zones, elements
// with their types, properties, materials, layers, openings and geometry, federated from
// several files into one frame in metres. It judges nothing.
//
// Frame: every coordinate is in metres in the first model's coordinates minus
// Building.Origin, so that float work stays near zero even for georeferenced models.
package model

import (
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
	Log      *source.Log
}

// File is one model file.
type File struct {
	Name        string
	SHA256      string
	Schema      string // "IFC4"
	Discipline  string // "architecture", "structure", "services", "mixed"
	Tool        string // authoring tool
	Entities    int
	LengthUnitM float64 // metres per length unit
	LengthUnit  string  // "millimetre", "foot", ...
	Graph       *graph.Graph
}

// Storey is a level of the building.
type Storey struct {
	Index      int
	GlobalID   string
	Name       string
	ElevationM float64 // in the building frame
}

// Zone groups spaces, for example one dwelling unit.
type Zone struct {
	GlobalID, Name, LongName, ObjectType string
	Entity                               string // "IfcZone", "IfcSpatialZone", "IfcGroup"
	Classes                              []Classification
	Spaces                               []*Space
	Body                                 func() *shape.Body // nil without geometry (spatial zones have some)
}

// Classification is a reference into a classification system.
type Classification struct{ System, Code, Name string }

// Space is a room.
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
	Filling                    *Element // door, window or nil
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

// LayerSet is the layered build-up of an element.
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
	Index       int
	GlobalID    string
	Entity      string   // "IfcWall", canonical case, as in the file
	Parents     []string // supertypes of Entity, nearest first
	Predefined  string   // upper case, from occurrence or type; USERDEFINED resolves to ObjectType words
	Name        string
	LongName    string
	Description string
	ObjectType  string
	Tag         string
	TypeEntity  string
	TypeName    string
	File        *File
	ID          graph.ID
	Storey      *Storey // nil when not contained; filled from the whole when aggregated
	Whole       *Element
	Parts       []*Element
	Openings    []*Opening
	Materials   []string  // every material name, of occurrence or type
	Layers      *LayerSet // nil when none
	Classes     []Classification
	Groups      []string // names of groups and systems
	Placement   geom.Mat // object placement in the building frame

	props func() PropSets
	body  func() *shape.Body
}

// PropSets maps property set name -> property name -> value; occurrence over type.
type PropSets map[string]map[string]PropValue

// PropValue is one property or quantity. Numbers are SI when the unit is known.
type PropValue struct {
	Text  string  // printable form of the (first) value
	Num   float64 // valid when IsNum
	IsNum bool
	Bool  *bool
	List  []string // enumerated, list and table values
}

// Is reports whether the element is of the named entity or a subtype of it.
func (e *Element) Is(entity string) bool {
	if e.Entity == entity {
		return true
	}
	for _, p := range e.Parents {
		if p == entity {
			return true
		}
	}
	return false
}

// Props returns all property sets and quantities, read on first use.
func (e *Element) Props() PropSets {
	if e.props == nil {
		return nil
	}
	return e.props()
}

// Prop returns one property value; set "" looks in every set in name order.
func (e *Element) Prop(set, name string) (PropValue, bool) {
	ps := e.Props()
	if set != "" {
		v, ok := ps[set][name]
		return v, ok
	}
	best := ""
	for s, m := range ps {
		if _, ok := m[name]; ok && (best == "" || s < best) {
			best = s
		}
	}
	if best == "" {
		return PropValue{}, false
	}
	return ps[best][name], true
}

// Body returns the geometry in the building frame, computed on first use and kept; nil
// when the element has none. Safe for several goroutines.
func (e *Element) Body() *shape.Body {
	if e.body == nil {
		return nil
	}
	return e.body()
}
