package ifctest

import (
	"bytes"
	"encoding/json"
	"fmt"
)

// Sizes of US framing in metres: inches times 0.0254 exactly. 2x4 is 1-1/2 x 3-1/2 in (HUD
// Residential Structural Design Guide, NDS-S table 1B).
const (
	Inch       = 0.0254
	Foot       = 0.3048
	TwoBy      = 1.5 * Inch   // thickness of nominal 2 in lumber
	FourWide   = 3.5 * Inch   // width of nominal 4 in lumber
	SixWide    = 5.5 * Inch   // width of nominal 6 in lumber
	HalfGypsum = 0.5 * Inch   // 1/2 in board
	FiveEighth = 0.625 * Inch // 5/8 in board
	DeckPanel  = 23.0 / 32 * Inch
	SidePanel  = 7.0 / 16 * Inch // wall and roof sheathing
)

// House describes a row of dwelling units. Lengths are metres. The zero value of a field of
// Default is never meant: start from Default or Row and change what matters.
type House struct {
	Name       string         `json:"name"`
	Units      []Unit         `json:"units"`       // from left to right
	Depth      float64        `json:"depth"`       // clear depth of floor voids, front to back
	Storeys    int            `json:"storeys"`     // 1 to 4
	WallHeight float64        `json:"wall_height"` // bottom of bottom plate to top of top plate
	Floor      Floor          `json:"floor"`
	Separation SeparationPlan `json:"separation"`
	Roof       Roof           `json:"roof"`
	StudGap    float64        `json:"stud_spacing"` // on centre
	Layered    bool           `json:"layered"`      // walls, floors and roofs as layered solids
	LayerPlan  LayerPlan      `json:"layer_plan"`
	Zones      bool           `json:"zones"`       // one IfcZone a unit
	RoomNames  string         `json:"room_names"`  // "letter" A101, "number" 101, "plain" Living
	WallsAs    string         `json:"walls_as"`    // "wall" or "assembly"
	BoardsAs   string         `json:"boards_as"`   // floor decks: "slab" or "plate"
	StopsAs    string         `json:"stops_as"`    // draftstop sheets: "plate" or "covering"
	BlocksAs   string         `json:"blocks_as"`   // fireblocks: "member" or "proxy"
	LooseParts bool           `json:"loose_parts"` // trusses as loose members, not assemblies
	NoCeilings bool           `json:"no_ceilings"` // the model leaves ceilings out
	NoStops    bool           `json:"no_stops"`    // the model leaves all blocks and stops out
	Services   []Service      `json:"services,omitempty"`
	Soffits    []Soffit       `json:"soffits,omitempty"`
	Furred     bool           `json:"furred,omitempty"` // the right end wall is of masonry, with studs before it
	Vault      *Vault         `json:"vault,omitempty"`
	Foyer      *Foyer         `json:"foyer,omitempty"`
	Defects    []Seed         `json:"defects,omitempty"`
}

// Unit is one dwelling unit.
type Unit struct {
	Width float64 `json:"width"` // clear width of its floor voids, between the faces of rim and blocks
	// Draftstops are distances from the start of the floor void along which members are
	// spaced; each sheet goes to the face of the nearest member.
	Draftstops []float64  `json:"draftstops,omitempty"`
	Bearing    bool       `json:"bearing"` // a bearing partition at mid span
	Stair      *StairHole `json:"stair,omitempty"`
}

// StairHole is a rectangular well with trimmers in every floor of a unit, measured from the
// void's corner: the clear opening inside the trimmers.
type StairHole struct {
	X  float64 `json:"x"`
	Y  float64 `json:"y"`
	LX float64 `json:"lx"`
	LY float64 `json:"ly"`
}

// Floor is the floor framing between storeys.
type Floor struct {
	Framing string  `json:"framing"` // "truss", "joist", "i-joist"
	Depth   float64 `json:"depth"`
	Spacing float64 `json:"spacing"` // on centre
	Width   float64 `json:"width"`   // chord, joist or flange width
	Chord   float64 `json:"chord"`   // height of a chord or flange
	Along   string  `json:"along"`   // "x": spanning between unit lines; "y": parallel to them
	Deck    float64 `json:"deck"`
	Ceiling float64 `json:"ceiling"`
}

// SeparationPlan is the wall between units.
type SeparationPlan struct {
	Kind   string  `json:"kind"` // "double": two stud rows in one wall; "two-walls"; "single"
	Stud   float64 `json:"stud"` // stud depth
	Gap    float64 `json:"gap"`  // between the rows
	Gypsum float64 `json:"gypsum"`
	RunMax float64 `json:"run_max"` // greatest clear length between cavity blocks
	Attic  string  `json:"attic"`   // "wall" up to the sheathing, "sheet" on a truss, "none"
}

// Roof is the roof over the row; its ridge runs along x unless it is hipped or mono-pitched.
type Roof struct {
	Kind      string  `json:"kind"`  // "gable" or "mono"
	Pitch     float64 `json:"pitch"` // rise over run
	Heel      float64 `json:"heel"`  // plate to underside of sheathing at the inside of the eave board
	Spacing   float64 `json:"spacing"`
	Sheathing float64 `json:"sheathing"`
}

// LayerPlan tells how a layered model is put together.
type LayerPlan struct {
	FullHeight bool `json:"full_height"` // separations run from slab to roof in one piece
	FloorsOver bool `json:"floors_over"` // floors run over the separations, which stop below them
	FloorsEnd  bool `json:"floors_end"`  // those that run over end on either side of the gap and do not meet
	NegSense   bool `json:"negative"`    // layers listed from the top down or the far side
	// CeilingApart makes ceilings coverings of their own, not the lowest layer of the floor.
	CeilingApart bool `json:"ceiling_apart"`
	// Framed is what is framed member by member beside the layers, with the roof: "walls" or
	// "floors"; "" for nothing.
	Framed string `json:"framed"`
	// NoEnds leaves out what closes the ends of layered floors over framed walls: rims and blocks.
	NoEnds bool `json:"no_ends"`
	// NoCavityStops leaves out what closes the gaps of layered walls.
	NoCavityStops bool `json:"no_cavity_stops"`
}

// Soffit is a boxed-out space below the ceiling along the low-x wall of a room.
type Soffit struct {
	Unit   int     `json:"unit"`
	Level  int     `json:"level"`
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
	Start  float64 `json:"start"` // from the front
	Length float64 `json:"length"`
}

// Row returns a two-storey row of n equal framed units in US sizes: 24 x 40 ft, 20 in open-web
// trusses at 24 in spanning between double-stud separations, a 6:12 gable roof. Everything that
// has to be closed is closed.
func Row(n int) House {
	h := House{
		Name: "Row", Depth: 40 * Foot, Storeys: 2, WallHeight: 97.125 * Inch, StudGap: 16 * Inch,
		Floor: Floor{Framing: "truss", Depth: 20 * Inch, Spacing: 24 * Inch, Width: FourWide, Chord: TwoBy, Along: "x",
			Deck: DeckPanel, Ceiling: HalfGypsum},
		Separation: SeparationPlan{Kind: "double", Stud: FourWide, Gap: Inch, Gypsum: FiveEighth, RunMax: 10 * Foot, Attic: "wall"},
		Roof:       Roof{Kind: "gable", Pitch: 0.5, Heel: 12 * Inch, Spacing: 24 * Inch, Sheathing: SidePanel},
		Zones:      true, RoomNames: "letter", WallsAs: "wall", BoardsAs: "slab", StopsAs: "plate", BlocksAs: "member",
	}
	for range n {
		h.Units = append(h.Units, Unit{Width: 24 * Foot, Bearing: true})
	}
	return h
}

// Default returns Row(2).
func Default() House { return Row(2) }

// ReadHouse reads a house from JSON over the fields of Default; unknown keys are errors.
func ReadHouse(data []byte) (House, error) {
	h := Default()
	h.Units = nil
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&h); err != nil {
		return House{}, fmt.Errorf("house: %w", err)
	}
	return h, h.Check()
}

// Check returns an error when the house cannot be built.
func (h *House) Check() error {
	one := func(what, got string, allowed ...string) error {
		for _, a := range allowed {
			if got == a {
				return nil
			}
		}
		return fmt.Errorf("house %q: %s is %q, expected one of %q", h.Name, what, got, allowed)
	}
	for _, err := range []error{
		one("floor.framing", h.Floor.Framing, "truss", "joist", "i-joist"),
		one("floor.along", h.Floor.Along, "x", "y"),
		one("separation.kind", h.Separation.Kind, "double", "two-walls", "single"),
		one("separation.attic", h.Separation.Attic, "wall", "sheet", "none"),
		one("roof.kind", h.Roof.Kind, "gable", "mono"),
		one("room_names", h.RoomNames, "letter", "number", "plain"),
		one("walls_as", h.WallsAs, "wall", "assembly"),
		one("boards_as", h.BoardsAs, "slab", "plate"),
		one("stops_as", h.StopsAs, "plate", "covering"),
		one("blocks_as", h.BlocksAs, "member", "proxy"),
	} {
		if err != nil {
			return err
		}
	}
	switch {
	case len(h.Units) == 0:
		return fmt.Errorf("house %q has no units", h.Name)
	case h.Storeys < 1 || h.Storeys > 4:
		return fmt.Errorf("house %q has %d storeys, expected 1 to 4", h.Name, h.Storeys)
	case h.Floor.Spacing < h.Floor.Width+0.05 || h.StudGap < 0.1 || h.Roof.Spacing < 0.2:
		return fmt.Errorf("house %q: members are closer than their width", h.Name)
	case h.Depth < 2 || h.WallHeight < 1:
		return fmt.Errorf("house %q: depth %g and wall height %g must be at least 2 and 1 m", h.Name, h.Depth, h.WallHeight)
	}
	for i, u := range h.Units {
		if u.Width < 2 {
			return fmt.Errorf("house %q: unit %d is %g m wide, expected at least 2", h.Name, i, u.Width)
		}
	}
	return nil
}
