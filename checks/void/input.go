package void

import "voidcheck/ifcx/geom"

// Role says what a solid does to fire in a void.
type Role uint8

// Membranes bound voids; the rest stand in them.
const (
	RoleUnknown Role = iota

	// Membranes.
	RoleDeck        // subfloor, floor sheathing, slab
	RoleCeiling     // board under framing or hung below it
	RoleFinish      // wall board or other face of a wall
	RoleRoof        // roof sheathing or roof slab
	RoleSoffitBoard // board under an eave or round a boxed-out soffit

	// Obstacles that are framing.
	RoleChord
	RoleWeb // web, end post
	RoleJoist
	RoleRafter
	RoleStud
	RolePlate
	RoleRim
	RoleBeam // beam, header, girder, trimmer, purlin

	// Obstacles that are stops.
	RoleBlock     // fireblock, blocking between members, block in a wall cavity
	RoleDraftstop // sheet across a void
	RoleSeal      // seal or collar round a service

	// Others.
	RoleService
	RoleChimney
	RoleSolid      // masonry, concrete, liner: solid through
	RoleStair      // stair flight, stringer
	RoleInsulation // does not close anything by itself
	RoleFraming    // transparent: a framing or air layer of a layered element; marks void, not matter
)

// Part is one solid of the building.
type Part struct {
	Mesh     *geom.Mesh // metres, building frame
	Role     Role
	Element  int  // caller's index of the element, -1 when none
	Assembly int  // caller's index of the truss this belongs to, -1 when none
	Layered  bool // came from expanding a layered element
	// Bare is true for a floor in one piece, deeper than boards are and of no mineral: what is
	// inside it is not shown.
	Bare    bool
	Framing Framing // what a RoleFraming part or a joist is made of, when known
}

// Framing says how fire moves through a framed void.
type Framing string

// The framings, as written in findings.
const (
	FramingTruss   Framing = "open-web-truss"
	FramingSolid   Framing = "solid-joist"
	FramingI       Framing = "i-joist"
	FramingRafter  Framing = "rafter"
	FramingStud    Framing = "stud"
	FramingNone    Framing = "none"
	FramingUnknown Framing = "unknown"
)

// Room is a space people use; voids do not extend into it.
type Room struct {
	Mesh    *geom.Mesh // metres, building frame
	Unit    int        // index of the dwelling unit, -1 when common or unknown
	Element int        // caller's index, -1 when the room was inferred
	Outside bool       // open terrace, garage left open, roof terrace: not enclosed
}

// WallKind says how a wall is built.
type WallKind string

// The wall kinds.
const (
	WallSingle    WallKind = "single-stud"
	WallDouble    WallKind = "double-stud"
	WallStaggered WallKind = "staggered-stud"
	WallFurred    WallKind = "furred"
	WallLiner     WallKind = "liner" // gypsum liner panels between two stud rows
	WallSolid     WallKind = "solid" // no cavity: masonry, concrete
	WallUnknown   WallKind = "unknown"
)

// Span is an interval in metres, Lo <= Hi.
type Span struct{ Lo, Hi float64 }

// Wall is one wall assembly of one storey, as a strip in plan: s runs along it, t across.
// A point is Origin + s*Dir + t*Norm, Norm being Dir turned left. A separation of two
// parallel walls or of two stud rows is ONE Wall here.
type Wall struct {
	Origin geom.Vec2
	Dir    geom.Vec2 // unit
	Length float64   // s from 0 to Length
	Across Span      // t of the outer faces, finishes included
	Z0, Z1 float64   // bottom of the bottom plate (or solid), top of the top plate (or solid)
	Kind   WallKind
	// Cavities are the t-intervals that are void: from inner face of finish to inner face of
	// finish, or for each of them when a solid layer (block, liner, sheathing) divides the wall.
	Cavities []Span
	Rows     []Span // t-intervals of the stud rows
	Gaps     []Span // t-intervals of air between rows, or of furring
	// RowZ are the heights of the rows of a stepped wall, whose rows stand on floors of
	// different height; nil when all stand and end as Z0 and Z1 say.
	RowZ     []Span
	Elements []int // caller's indices of the elements that make it
	// Separation is the index into Input.Separations, -1 when none.
	Separation  int
	Storey      int // index of the storey it stands on
	Combustible bool
	Framed      bool // studs and plates are modelled one by one
}

// Norm returns the direction across the wall (Dir turned left).
func (w *Wall) Norm() geom.Vec2 { return geom.Vec2{X: -w.Dir.Y, Y: w.Dir.X} }

// At returns the plan point at (s, t).
func (w *Wall) At(s, t float64) geom.Vec2 { return w.Origin.Add(w.Dir.Mul(s)).Add(w.Norm().Mul(t)) }

// Separation is the boundary between two dwelling units: one or several walls.
type Separation struct {
	Units [2]int // indices of units; -1 for unknown
	Walls []int  // indices into Input.Walls
	Kind  WallKind
}

// Input is everything the solver needs.
type Input struct {
	Parts       []Part
	Rooms       []Room
	Shafts      []Room // spaces for services alone: chases, shafts
	Walls       []Wall
	Separations []Separation
	Levels      []float64 // storey elevations, ascending, metres
	Units       int       // number of dwelling units
	// MaxGap is the width from which a gap counts as open, metres (1/2 in by default).
	MaxGap float64
}
