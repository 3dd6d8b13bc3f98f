package finding

// Format is the name of the findings format, first field of every file.
const Format = "voidcheck-findings-1"

// Report is the whole of findings.json: what was read, recognised, solved and judged. Every
// output is made from it alone.
type Report struct {
	Format   string   `json:"format"`
	Tool     Tool     `json:"tool"`
	Run      Run      `json:"run"`
	Cautions []string `json:"cautions"`
	// Unjudged says in a sentence or two that next to nothing of the model could be judged; ""
	// when that is not so. It is the first of the cautions too, so that every output carries it.
	Unjudged  string     `json:"unjudged,omitempty"`
	Models    []Model    `json:"models"`
	Adoption  Adoption   `json:"adoption"`
	Submittal *Submittal `json:"submittal,omitempty"`
	Building  Building   `json:"building"`
	Trusses   Trusses    `json:"trusses"`
	Spaces    []Space    `json:"spaces"`
	Openings  []Opening  `json:"openings"`
	Checks    []Ran      `json:"checks"`
	Items     []Item     `json:"items"`
	Comments  []Comment  `json:"comments"`
	Proposals []Proposal `json:"proposals"`
	// Spread is what fire in concealed spaces can reach and which stops matter most.
	Spread *Spread `json:"spread,omitempty"`
	// MissingChecks are checks that broke: their requirements were not judged.
	MissingChecks []MissingCheck `json:"missing_checks,omitempty"`
	// Problems are what the readers and the solver found odd or unreadable, folded.
	Problems []Problem `json:"problems,omitempty"`
	// Drawing is what plans, sections and views are drawn from.
	Drawing *Drawing `json:"drawing,omitempty"`
}

// Tool is the program that made the report.
type Tool struct {
	Version string `json:"version"`
}

// Run is when the report was made, and for which round of review. At is the only field
// that differs between two runs over the same input.
type Run struct {
	At    string `json:"at"` // RFC 3339, UTC
	Round int    `json:"round"`
	// Units is the unit system of the texts, "us" or "si"; quantities are SI always.
	Units string `json:"units"`
	// Only are the checks the run was narrowed to with --check; empty for all.
	Only []string `json:"only,omitempty"`
}

// Model is one model file.
type Model struct {
	File        string  `json:"file"`
	SHA256      string  `json:"sha256"`
	Schema      string  `json:"schema"`
	Discipline  string  `json:"discipline"`
	Entities    int     `json:"entities"`
	Tool        string  `json:"tool,omitempty"` // authoring tool
	LengthUnit  string  `json:"length_unit,omitempty"`
	LengthUnitM float64 `json:"length_unit_m,omitzero"`
}

// Adoption is the adoption file in force; the name is empty for the defaults.
type Adoption struct {
	Name         string `json:"name"`
	SHA256       string `json:"sha256"`
	Jurisdiction string `json:"jurisdiction,omitempty"`
	Edition      string `json:"edition,omitempty"`
}

// Submittal is what the submittal file says.
type Submittal struct {
	Project           string `json:"project,omitempty"`
	Permit            string `json:"permit,omitempty"`
	Applicant         string `json:"applicant,omitempty"`
	Address           string `json:"address,omitempty"`
	Department        string `json:"department,omitempty"`
	Examiner          string `json:"examiner,omitempty"`
	Contact           string `json:"contact,omitempty"`
	Occupancy         string `json:"occupancy,omitempty"`
	Construction      string `json:"construction,omitempty"`
	Sprinklers        string `json:"sprinklers,omitempty"`
	SprinklersInVoids *bool  `json:"sprinklers_in_voids,omitempty"`
	Storeys           int    `json:"storeys,omitzero"`
}

// Building is what was recognised of storeys, units and separations.
type Building struct {
	Project     string       `json:"project,omitempty"`
	Storeys     []Storey     `json:"storeys"`
	Units       []Unit       `json:"units"`
	Separations []Separation `json:"separations"`
}

// Storey is a level; its elevation is in the first model's coordinates.
type Storey struct {
	ID         string  `json:"id"` // GlobalId
	Name       string  `json:"name"`
	ElevationM float64 `json:"elevation_m"`
}

// Unit is a dwelling unit.
type Unit struct {
	ID      string  `json:"id"`
	Name    string  `json:"name"`
	AreaM2  float64 `json:"area_m2"`
	Assumed bool    `json:"assumed,omitzero"`
	Reason  string  `json:"reason,omitempty"`
}

// Separation is the boundary between two units.
type Separation struct {
	ID       string   `json:"id"`
	Units    []string `json:"units"`
	Elements []string `json:"elements"` // GlobalIds
	Kind     string   `json:"kind"`
	Reason   string   `json:"reason,omitempty"`
}

// Trusses counts the trusses.
type Trusses struct {
	Floor int `json:"floor"`
	Roof  int `json:"roof"`
}

// Space is one concealed space (void).
type Space struct {
	ID           string        `json:"id"`
	Kind         string        `json:"kind"`
	Storey       string        `json:"storey"`
	Units        []string      `json:"units"`
	Framing      string        `json:"framing"`
	SpacingM     float64       `json:"spacing_m"`
	AreaM2       float64       `json:"area_m2"`
	VolumeM3     float64       `json:"volume_m3"`
	HeightMaxM   float64       `json:"height_max_m"`
	Compartments []Compartment `json:"compartments"`
	Services     []string      `json:"services"` // GlobalIds
	Combustible  bool          `json:"combustible"`
	// CeilingAssumed tells that no ceiling is modelled and the underside of the framing was
	// taken for it.
	CeilingAssumed bool `json:"ceiling_assumed,omitzero"`
	Layered        bool `json:"layered,omitzero"`
}

// Compartment is a part of a void between its stops. The outline is rings in plan, outer
// ones counter-clockwise, metres in the first model's coordinates.
type Compartment struct {
	ID         string         `json:"id"`
	AreaM2     float64        `json:"area_m2"`
	VolumeM3   float64        `json:"volume_m3"`
	HeightMaxM float64        `json:"height_max_m"`
	Units      []string       `json:"units"`
	Outline    [][][2]float64 `json:"outline"`
}

// Opening joins two compartments.
type Opening struct {
	ID      string     `json:"id"`
	Between []string   `json:"between"`
	Kind    string     `json:"kind"`
	WidthM  float64    `json:"width_m"`
	HeightM float64    `json:"height_m"`
	Point   [3]float64 `json:"point"`
}

// Ran is one check of the catalogue as it ran.
type Ran struct {
	Name   string            `json:"name"`
	Title  string            `json:"title"`
	On     bool              `json:"on"`
	Limits map[string]string `json:"limits"` // as written in the adoption file
	Items  map[Outcome]int   `json:"items"`  // counts by outcome
}

// MissingCheck is a check that broke while it ran.
type MissingCheck struct {
	Check string `json:"check"`
	Why   string `json:"why"`
}

// Problem is something unreadable or odd in the input, folded: Count places have it.
type Problem struct {
	Code  string `json:"code"`
	Text  string `json:"text"` // the first of them, with its place
	Count int    `json:"count"`
}

// Proposal is where stops would go for one item.
type Proposal struct {
	For  string `json:"for"`            // key of the item
	Kind string `json:"kind,omitempty"` // draftstops, bays, blocks, seals
	Text string `json:"text,omitempty"` // in one sentence
	// PartsM2 are the areas that draftstops leave, the largest first.
	PartsM2 []float64      `json:"parts_m2,omitempty"`
	Stops   []ProposedStop `json:"stops"`
}

// ProposedStop is one stop of a proposal: a sheet along Line from side to side of a void, a
// block across a bay between two members, a block across a wall cavity, or a seal round a
// service, whose Line is then the width of the hole.
type ProposedStop struct {
	Kind    string        `json:"kind,omitempty"` // draftstop, block, seal
	Line    [2][2]float64 `json:"line"`           // the middle of the sheet or block, in plan
	LengthM float64       `json:"length_m"`
	Z       *[2]float64   `json:"z,omitempty"`       // lowest and highest edge
	HeightM float64       `json:"height_m,omitzero"` // clear height to fill; that of a bay is its depth
	Attach  string        `json:"attach,omitempty"`  // GlobalId of what it is fixed to
	// AttachName is its name or mark.
	AttachName string    `json:"attach_name,omitempty"`
	AreasM2    []float64 `json:"areas_m2,omitempty"` // of the parts on its two sides
	// Across tells that it stands across the framing and has to be cut round every member.
	Across     bool   `json:"across,omitzero"`
	Separation string `json:"separation,omitempty"` // id of the unit separation it stands in line with
	// Services are the GlobalIds of services that pass through it.
	Services []string `json:"services,omitempty"`
	WidthM   float64  `json:"width_m,omitzero"` // of the service in a seal
	RingM    float64  `json:"ring_m,omitzero"`  // clear space round that service
}

// Cautions are what every output carries.
var Cautions = []string{
	"Decision support for those who hold the responsibility: this report approves and rejects nothing.",
	"The authority having jurisdiction and the adopted, amended code decide; sections and limits are as entered in the adoption file.",
	"Licensed professionals remain responsible for the design.",
	"The model may differ from the drawings and from what gets built; \"meets\" speaks only of what the model shows.",
	"No listing and no fire-resistance rating is evaluated.",
}
