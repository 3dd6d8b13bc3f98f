// Package recognise turns a building model into the trade's own things: storeys, dwelling
// units, separations, trusses, joists, studs, plates, decks, ceilings, stops, seals and
// services. Each recognised thing remembers why. It judges nothing.
package recognise

import (
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// Concept names what a thing is, in the trade's words ("truss-floor", "stud", "deck").
// The names are the keys of the lexicon.
type Concept string

// The concepts.
const (
	FloorTruss Concept = "floor-truss"
	RoofTruss  Concept = "roof-truss"
	Chord      Concept = "chord"
	Web        Concept = "web"
	Joist      Concept = "joist"
	Rafter     Concept = "rafter"
	Stud       Concept = "stud"
	Plate      Concept = "plate"
	Rim        Concept = "rim"
	Beam       Concept = "beam"
	Deck       Concept = "deck"
	Ceiling    Concept = "ceiling"
	Roof       Concept = "roof"
	Finish     Concept = "finish"
	SoffitBd   Concept = "soffit-board"
	Wall       Concept = "wall"
	Separation Concept = "separation"
	Unit       Concept = "unit"
	Draftstop  Concept = "draftstop"
	Fireblock  Concept = "fireblock"
	Seal       Concept = "seal"
	Service    Concept = "service"
	Chimney    Concept = "chimney"
	Stair      Concept = "stair"
	Insulation Concept = "insulation"
	Sprinkler  Concept = "sprinkler"
	Solid      Concept = "solid"
	Other      Concept = "other"
)

// Thing is one recognised element.
type Thing struct {
	Element *model.Element
	Concept Concept
	Reason  Reason
}

// Reason is the evidence for a recognition, as survey prints it.
type Reason struct {
	Signal string // "entity", "predefined", "geometry", "name", "material", "zone", "layers", "space name", "property", "assembly"
	Value  string // what was seen
}

// Unit is a dwelling unit.
type DwellingUnit struct {
	Index   int
	ID      string // "U1"
	Name    string
	AreaM2  float64 // floor area of its rooms, all storeys: as declared where the bodies bear it out
	PlanM2  float64 // floor area of the bodies of its rooms in plan
	Spaces  []*model.Space
	Reason  Reason
	Assumed bool // inferred from regions between separations, no spaces in the model
}

// UnitSeparation is a boundary between two units with its walls.
type UnitSeparation struct {
	ID     string // "S1"
	Reason Reason
	void.Separation
}

// Truss is one truss.
type Truss struct {
	Index   int
	Concept Concept        // FloorTruss or RoofTruss
	Mark    string         // name or tag, for example "FT-14"
	Element *model.Element // the assembly, or the first member of a loose truss
	Members []int          // model element indices
	Line    [2]geom.Vec2   // ends in plan
	DepthM  float64
	Reason  Reason

	z float64 // height of its underside
}

// Building is what was recognised.
type Building struct {
	Model       *model.Building
	Things      []Thing // by element index; Things[i].Element.Index == i
	Units       []*DwellingUnit
	Separations []*UnitSeparation
	Trusses     []*Truss
	// Input is what the solver gets; Part.Element and Wall.Elements are indices into
	// Model.Elements, Room.Element into Model.Spaces.
	Input void.Input
	// Turn is the direction of the dominant walls in plan: the building turned back by it is
	// parallel to the axes. Unit vector, within 45 degrees of +x.
	Turn geom.Vec2
	// Content counts what the model shows and lacks.
	Content Content
	// Notes are remarks for survey and model-content: what was inferred or is missing.
	Notes []string
}

// Of returns the indices of the elements of a concept, in order.
func (b *Building) Of(c Concept) []int {
	var r []int
	for i := range b.Things {
		if b.Things[i].Concept == c {
			r = append(r, i)
		}
	}
	return r
}
