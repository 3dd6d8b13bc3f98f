package finding

import (
	"math"

	"voidcheck/ifcx/geom"
)

// Drawing is the geometry that plans, sections and views are drawn from. Plan coordinates
// and heights are metres in the first model's coordinates, rounded to millimetres. Storeys go
// by name, as everywhere in findings.
type Drawing struct {
	// Axis is the direction in plan, of length 1, of the building's main walls.
	Axis [2]float64 `json:"axis"`
	// North is true north in plan, of length 1; absent when no model tells it.
	North    *[2]float64   `json:"north,omitempty"`
	Grid     []GridLine    `json:"grid,omitempty"`
	Rooms    []DrawnRoom   `json:"rooms,omitempty"`
	Walls    []DrawnWall   `json:"walls,omitempty"`
	Doors    []DrawnPart   `json:"doors,omitempty"` // openings cut into walls for doors and windows
	Framing  []DrawnMember `json:"framing,omitempty"`
	Stops    []DrawnPart   `json:"stops,omitempty"`
	Services []DrawnPart   `json:"services,omitempty"`
	Voids    []DrawnVoid   `json:"voids,omitempty"`
	Openings []DrawnOpen   `json:"openings,omitempty"`
	Lines    []DrawnLine   `json:"lines,omitempty"`
	Sections []Section     `json:"sections,omitempty"`
	// Elements are the bounds of the elements that commented items name.
	Elements []DrawnElement `json:"elements,omitempty"`
}

// DrawnElement is where an element lies: its lowest and highest corner.
type DrawnElement struct {
	ID  string        `json:"id"`
	Box [2][3]float64 `json:"box"`
}

// GridLine is one axis of a grid with its name.
type GridLine struct {
	Name string        `json:"name"`
	Line [2][2]float64 `json:"line"`
}

// DrawnRoom is a room's outline in plan at mid-height.
type DrawnRoom struct {
	Name    string         `json:"name,omitempty"`
	Unit    string         `json:"unit,omitempty"`
	Storey  string         `json:"storey"`
	Outline [][][2]float64 `json:"outline"`
	Z       [2]float64     `json:"z"`
}

// DrawnWall is a wall as a strip: from Origin along Dir over Length, and from Across[0] to
// Across[1] to the left of that line. Rows are the stud rows across it.
type DrawnWall struct {
	Storey     string       `json:"storey"`
	Origin     [2]float64   `json:"origin"`
	Dir        [2]float64   `json:"dir"`
	LengthM    float64      `json:"length_m"`
	Across     [2]float64   `json:"across"`
	Rows       [][2]float64 `json:"rows,omitempty"`
	Z          [2]float64   `json:"z"`
	Kind       string       `json:"kind"`
	Separation string       `json:"separation,omitempty"`
}

// DrawnPart is something small or slanting, by its oriented outline in plan.
type DrawnPart struct {
	Kind    string       `json:"kind"` // stops: draftstop, block, seal; services: pipe, duct, cable, equipment; doors: door, window, hole
	ID      string       `json:"id,omitempty"`
	Name    string       `json:"name,omitempty"`
	Outline [][2]float64 `json:"outline"`
	Z       [2]float64   `json:"z"`
}

// FarM is how far in plan a point lies from the outline of a part, metres; infinite without one.
func (p *DrawnPart) FarM(point [3]float64) float64 {
	far := math.Inf(1)
	for i, a := range p.Outline {
		b := p.Outline[(i+1)%len(p.Outline)]
		far = math.Min(far, geom.DistToSegment(geom.Vec2{X: point[0], Y: point[1]}, geom.Vec2{X: a[0], Y: a[1]}, geom.Vec2{X: b[0], Y: b[1]}))
	}
	return far
}

// DrawnMember is a truss, joist or rafter as a line in plan.
type DrawnMember struct {
	Kind string        `json:"kind"` // floor-truss, roof-truss, joist, rafter
	Mark string        `json:"mark,omitempty"`
	Line [2][2]float64 `json:"line"`
	Z    [2]float64    `json:"z"`
}

// DrawnVoid gives heights to a void. Ribs are lines along the underside of the roof over it.
type DrawnVoid struct {
	ID           string             `json:"id"`
	Z            [2]float64         `json:"z"`
	Compartments []DrawnCompartment `json:"compartments,omitempty"`
	Ribs         [][][3]float64     `json:"ribs,omitempty"`
}

// DrawnCompartment gives a compartment a point inside it and its heights.
type DrawnCompartment struct {
	ID    string     `json:"id"`
	Point [3]float64 `json:"point"`
	Z     [2]float64 `json:"z"`
}

// DrawnOpen tells along which direction in plan an opening is as wide as it is.
type DrawnOpen struct {
	ID    string     `json:"id"`
	Along [2]float64 `json:"along"`
}

// DrawnLine is a line along which a void is, or should be, divided.
type DrawnLine struct {
	Kind       string        `json:"kind"` // separation, draftstop, wall
	Space      string        `json:"space,omitempty"`
	Separation string        `json:"separation,omitempty"`
	Line       [2][2]float64 `json:"line"`
	Z          [2]float64    `json:"z"`
	Openings   []string      `json:"openings,omitempty"`
	// Bounds is true when the void ends at this line anyway.
	Bounds bool `json:"bounds,omitzero"`
}

// Section is a cut through the building by an upright plane: s runs along Line in metres from
// its first point, z is the height.
type Section struct {
	ID         string        `json:"id"`
	Kind       string        `json:"kind"` // long: along the building; cross: across it; along, across: a unit line
	Separation string        `json:"separation,omitempty"`
	Side       string        `json:"side,omitempty"` // unit on whose side of the line the cut lies
	Line       [2][2]float64 `json:"line"`
	Cuts       []Cut         `json:"cuts"`
}

// Cut is what a section cuts of one role. Boxes are s0, z0, s1, z1; Rings are what is no
// upright rectangle. Beyond is true when it stands behind the plane and is seen, not cut.
type Cut struct {
	Role   string         `json:"role"`
	Beyond bool           `json:"beyond,omitzero"`
	Boxes  [][4]float64   `json:"boxes,omitempty"`
	Rings  [][][2]float64 `json:"rings,omitempty"`
}
