// Package adoption reads a jurisdiction's adoption file (limits, sections, exemptions) and
// the submittal file (facts about the project). Figures of the law live in these files and
// in the parameters' defaults, never in the checks' logic.
package adoption

// ParamKind is the kind of a parameter's value.
type ParamKind string

// The kinds of parameter.
const (
	Length  ParamKind = "length"  // metres
	Area    ParamKind = "area"    // square metres
	Ratio   ParamKind = "ratio"   // plain number
	Count   ParamKind = "count"   // whole number
	Density ParamKind = "density" // area per area
	Words   ParamKind = "list"    // list of words
	Switch  ParamKind = "switch"  // true or false
)

// Param is one parameter of a check.
type Param struct {
	Name    string // "max-area"
	Kind    ParamKind
	Default string // as a person writes it: "1000 ft2"; "" means off
	Doc     string // meaning
	Source  string // where the default comes from, with its evidence mark
	// Check says what is wrong with the entries of a list, whose grammar only the check
	// knows; nil where every word is allowed.
	Check func(entries []string) error
}

// Limits are the typed parameter values of one check.
type Limits struct {
	Num  map[string]float64 // SI; absent when the parameter is off
	Text map[string]string  // as written
	List map[string][]string
}

// Get returns a numeric limit and whether it is on.
func (l Limits) Get(name string) (float64, bool) { v, ok := l.Num[name]; return v, ok }

// Facts is what the submittal file says; the zero value says nothing.
type Facts struct {
	Project, Permit, Applicant, Address string
	Department, Examiner, Contact       string // who reviews, for letters
	Occupancy                           string // "R-2", "townhouse", "two-family"
	Construction                        string // "VB"
	Sprinklers                          string // "none", "NFPA 13", "NFPA 13R", "NFPA 13D", "P2904"; "" unknown
	SprinklersInVoids                   *bool
	Storeys                             int
	Round                               int
	Units                               []UnitFact
}

// UnitFact names a unit where the model has none.
type UnitFact struct {
	Name   string   // "Unit 1"
	Spaces []string // space names, numbers or GlobalIds
}
