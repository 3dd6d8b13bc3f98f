// Package finding is the findings contract: items, comments, outcomes and evidence as they
// stand in findings.json (schema/findings.schema.json). Quantities are SI; points are metres
// in the first model's coordinates.
package finding

// Outcome of a review item.
type Outcome string

// The outcomes.
const (
	Deficient Outcome = "deficient"
	NotShown  Outcome = "not-shown"
	Meets     Outcome = "meets"
	Exempt    Outcome = "exempt"
	Note      Outcome = "note"
)

// Evidence grades what an item rests on.
type Evidence string

// The grades of evidence.
const (
	Modelled Evidence = "modelled" // from geometry
	Declared Evidence = "declared" // a property or layer says so
	Assumed  Evidence = "assumed"  // from usual practice
)

// Measure is a value with its SI unit: "m", "m2", "m3", "ratio", "count".
type Measure struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

// Joins is the consequence of a defect: what it joins together.
type Joins struct {
	Units  int     `json:"units"`
	AreaM2 float64 `json:"area_m2"`
}

// Item is one requirement at one place.
type Item struct {
	Key      string   `json:"key"`
	Check    string   `json:"check"`
	Outcome  Outcome  `json:"outcome"`
	Evidence Evidence `json:"evidence"`
	Storey   string   `json:"storey"`
	Units    []string `json:"units"`
	Place    string   `json:"place"`
	// At is where one finds the place with a tape; empty for what has no one spot.
	At                   string     `json:"spot,omitempty"`
	Point                [3]float64 `json:"point"`
	Elements             []string   `json:"elements"`
	Spaces               []string   `json:"spaces"`
	Measured             *Measure   `json:"measured,omitempty"`
	Limit                *Measure   `json:"limit,omitempty"`
	Section              string     `json:"section"`
	SectionIsPlaceholder bool       `json:"section_is_placeholder"`
	Message              string     `json:"message"`
	Remedy               string     `json:"remedy"`
	Joins                *Joins     `json:"joins,omitempty"`
	Exemption            string     `json:"exemption,omitempty"`
	// Undecided names an exception that a fact nobody gave would decide.
	Undecided string `json:"undecided,omitempty"`
	// ConsequenceOf lists keys of the items whose defects cause this one.
	ConsequenceOf []string `json:"consequence_of,omitempty"`
	// Cause groups items into one comment: same check, outcome and cause.
	Cause   string `json:"cause,omitempty"`
	Comment int    `json:"comment,omitzero"`
	// Disposition is the examiner's decision, carried from an earlier round.
	Disposition *Disposition `json:"disposition,omitempty"`
}

// Comment is one reviewer comment: items of one cause with their places.
type Comment struct {
	Number  int      `json:"number"`
	Check   string   `json:"check"`
	Outcome Outcome  `json:"outcome"`
	Items   []string `json:"items"`
	Text    string   `json:"text"`
	Places  []string `json:"places,omitempty"`
	Section string   `json:"section,omitempty"`
}
