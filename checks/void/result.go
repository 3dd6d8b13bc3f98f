package void

import "voidcheck/ifcx/geom"

// Kind is the kind of a void, as written in findings.
type Kind string

// The kinds of void.
const (
	KindFloor  Kind = "floor"
	KindAttic  Kind = "attic"
	KindWall   Kind = "wall"
	KindSoffit Kind = "soffit"
	KindStair  Kind = "stair"
	KindChase  Kind = "chase"
	KindCrawl  Kind = "crawl"
)

// Void is one concealed space. Compartments are what its stops, walls and solid framing
// are meant to make of it: a defective stop still divides, and the defect is an Opening.
type Void struct {
	Index        int
	Kind         Kind
	Storey       int // floor: the storey of the deck above it; attic: the top storey below it; wall: its storey
	Framing      Framing
	SpacingM     float64 // on-centre spacing of the framing, 0 when unknown
	AreaM2       float64
	VolumeM3     float64
	HeightMaxM   float64
	ZLo, ZHi     float64
	Units        []int // units it touches, ascending
	Compartments []*Compartment
	Services     []int // caller's element indices of services inside it
	Wall         int   // index into Input.Walls, -1
	// CeilingAssumed is true when no ceiling is modelled and the underside of the framing
	// was taken as the plane.
	CeilingAssumed bool
	// Suspended is true when the ceiling hangs below the framing.
	Suspended bool
	// Layered is true when the void comes from layers and not from framing modelled one by one.
	Layered                  bool
	UsableAbove, UsableBelow bool // rooms stand above and below
	Combustible              bool
}

// Compartment is a part of a void.
type Compartment struct {
	Index      int // over all voids
	Void       *Void
	Number     int // 1.. within the void
	AreaM2     float64
	VolumeM3   float64
	HeightMaxM float64
	ZLo, ZHi   float64       // lowest and highest point
	Outline    [][]geom.Vec2 // rings in the building frame, outer ones counter-clockwise, holes clockwise
	Units      []int
	// Stacked are pairs of units, lower first, of which one lies under the compartment and the
	// other over it, nowhere else: it is inside the floor that separates them.
	Stacked [][2]int
	Point   geom.Vec3 // a point inside, well away from its edges
	// Joined is the number of the group of compartments that openings join (fire can pass
	// between them through concealed openings); equal numbers are one group.
	Joined int
}

// OpeningKind says what kind of place joins two compartments.
type OpeningKind string

// The kinds of opening.
const (
	OpenBay      OpeningKind = "bay"     // no block between two members over a separation
	OpenLine     OpeningKind = "line"    // nothing stops the void along a whole line
	OpenTop      OpeningKind = "top-gap" // stop ends below deck or sheathing
	OpenBottom   OpeningKind = "bottom-gap"
	OpenEdge     OpeningKind = "edge-gap" // at the end of a stop
	OpenHole     OpeningKind = "hole"     // through a stop
	OpenPlate    OpeningKind = "missing-plate"
	OpenLevel    OpeningKind = "open-level" // cavity runs through a floor or ceiling level
	OpenJunction OpeningKind = "junction"   // wall void open to a floor void, soffit or attic
	OpenRing     OpeningKind = "ring"       // round a service
)

// Opening joins two compartments (of one void or of two).
type Opening struct {
	Index   int
	A, B    *Compartment
	Kind    OpeningKind
	WidthM  float64 // clear, the narrowest section
	HeightM float64
	AreaM2  float64
	Point   geom.Vec3 // at the place itself
	Line    *Line     // the line it is a gap in, nil for others
	Members []int     // caller's element indices of the framing on either side, lowest coordinate first
	Service int       // caller's element index for OpenRing, -1
}

// LineKind says what should close a void along a line.
type LineKind string

// The kinds of line.
const (
	LineSeparation LineKind = "separation" // in line with a unit separation
	LineDraftstop  LineKind = "draftstop"  // a modelled draftstop
	LineWall       LineKind = "wall"       // another wall whose cavity meets the void
)

// Line is a place along which a void is, or should be, divided: one side of a unit
// separation at one level, or one draftstop. It is reported also when nothing is wrong.
type Line struct {
	Index      int
	Kind       LineKind
	Void       *Void // the horizontal void it divides or bounds
	Separation int   // index into Input.Separations, -1
	Wall       int   // index into Input.Walls, -1
	Side       int   // 0 for single lines; -1 and +1 for the t-low and t-high side of a double wall
	A, B       geom.Vec2
	Z0, Z1     float64
	Elements   []int // stops that stand in it: blocks, sheets
	Bays       int   // bays between members along it, 0 when unknown
	Openings   []*Opening
	// Bounds is true when the void ends at this line anyway, because the wall itself runs
	// through to the deck or sheathing: nothing more is needed there.
	Bounds bool
	// BoardsAssumed is true when the wall has framing and no boards anywhere: its boards are
	// taken for granted.
	BoardsAssumed bool
	// Short are the stretches where a wall that goes on into the attic ends below the roof
	// sheathing, whether or not something else closes what is left above it.
	Short []Short
	// Lost is true when an opening of the line leads to where no space was found: it is not among
	// the openings, and the line cannot be said to be closed.
	Lost bool
}

// Short is a stretch along which a wall ends below what it should meet.
type Short struct {
	Point   geom.Vec3
	LengthM float64
	GapM    float64 // greatest clear height above it
}

// WallCavity tells how the cavity of one wall is closed up and along.
type WallCavity struct {
	Wall   int
	Cavity int // index into Wall.Cavities
	Void   *Void
	// Levels tells for each floor and ceiling level that the cavity meets whether it is
	// closed there, in ascending height.
	Levels []WallLevel
	// Runs are the clear lengths between closures along the wall, in order; ends count as
	// closed when solid framing or a stop closes them.
	Runs []WallRun
	// Rises are the clear heights between closures up the wall.
	RiseMaxM float64
}

// WallLevel is one level of a cavity.
type WallLevel struct {
	Z       float64
	Storey  int
	Ceiling bool // a ceiling level rather than a floor level
	Closed  bool
	// Assumed is true when nothing is modelled there: with Closed, the usual practice of
	// platform framing closes it; without, nothing tells whether it is closed.
	Assumed  bool
	Openings []*Opening
	Elements []int // what closes it
}

// WallRun is a clear length between two closures.
type WallRun struct {
	S0, S1   float64 // along the wall
	Z0, Z1   float64
	LengthM  float64
	Elements []int // the closures at its ends
	OpenEnd  bool
}

// Result is what the solver found.
type Result struct {
	Voids        []*Void
	Compartments []*Compartment
	Openings     []*Opening
	Lines        []*Line
	Cavities     []*WallCavity
	// Warnings are remarks on odd input, for the reader of the findings.
	Warnings []string
	// Unsolved says what could not be worked out, so that nothing is judged there; each stands in
	// Warnings too.
	Unsolved []string
}
