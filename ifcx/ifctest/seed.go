package ifctest

import "fmt"

// Seed asks for one mistake. Which fields matter depends on the kind:
//
//	block-missing       Separation, Side, Level, Bay     no block between two members over a row
//	line-open           Separation, Level                no blocks at all: the wall stops at the ceiling
//	draftstop-missing   Unit, Level, Index               the sheet is left out
//	draftstop-short     Unit, Level, Index, Size         its top is Size below the deck
//	draftstop-hole      Unit, Level, Index, Size         a square hole of Size in the chase opening
//	draftstop-gap       Unit, Level, Index, At, Size     no sheet from At over Size along the line
//	attic-open          Separation                       nothing divides the attic at the unit line
//	attic-short         Separation, Size                 wall or sheet ends Size below the sheathing
//	level-block-missing Separation, Level, Part, At, Size  "floor" or "ceiling" of storey Level; Size 0 is the full length
//	plate-missing       Separation, Side, Level, Bay     no top plates over a stud bay of storey Level
//	run-block-missing   Separation, Level, Index         one cavity block of storey Level
//	attic-stop-missing                                   no draftstop in the attic over a vaulted unit; in plans, of Unit and Index
//	attic-stop-short    Size                             it ends Size below the sheathing; likewise
//	furring-level-missing Level, Part, At, Size          as level-block-missing, in the air space of a furred end wall
//	furring-run-missing Level, Index                     as run-block-missing, there
//	rise-blocks-missing                                  no blocks up the tall wall beside the foyer
//	rise-block-missing  Index, Bay                       one block of row Index there
//	soffit-open         Index                            no board between the soffit and the wall behind it
//
// Unsealed services need no seed: see Service.Sealed.
type Seed struct {
	Kind       string  `json:"kind"`
	Separation int     `json:"separation,omitempty"`
	Side       string  `json:"side,omitempty"` // "low" or "high" unit of the separation
	Unit       int     `json:"unit,omitempty"`
	Level      int     `json:"level,omitempty"`
	Bay        int     `json:"bay,omitempty"`
	Index      int     `json:"index,omitempty"`
	Part       string  `json:"part,omitempty"`
	At         float64 `json:"at,omitempty"`
	Size       float64 `json:"size,omitempty"`
}

// seedState is a seed while the model is built.
type seedState struct {
	Seed
	used bool
}

// take returns the seeds that ask for this mistake at this place and marks them used.
func (b *builder) take(kind string, match func(s Seed) bool) *Seed {
	for _, s := range b.seeds {
		if s.Kind == kind && match(s.Seed) {
			s.used = true
			return &s.Seed
		}
	}
	return nil
}

// unused returns an error that names the seeds which fit no place of the house.
func (b *builder) unused() error {
	for i, s := range b.seeds {
		if !s.used {
			return fmt.Errorf("house %q: defect %d %+v fits no place of this house", b.h.Name, i, s.Seed)
		}
	}
	return nil
}

// side names the two sides of a separation.
func side(i int) string { return [2]string{"low", "high"}[i] }
