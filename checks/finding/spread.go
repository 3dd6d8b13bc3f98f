package finding

// Spread is what fire in concealed spaces can reach, the ways between dwelling units, and the
// stops that matter most.
type Spread struct {
	// Groups are compartments that openings join: fire in one reaches all. Those in no group
	// reach nothing.
	Groups []Reach `json:"groups"`
	// Routes are the concealed ways from one dwelling unit into another.
	Routes []Route `json:"routes"`
	// Bridges are the openings that alone join two sides of a group over several units: closing
	// one of them parts the group.
	Bridges []string `json:"bridges"`
	// Stops are those whose loss joins units, the gravest first.
	Stops []CriticalStop `json:"stops"`
}

// Reach is a group of compartments that openings join.
type Reach struct {
	ID     string   `json:"id"` // G1
	Spaces []string `json:"spaces"`
	Units  []string `json:"units"`
	AreaM2 float64  `json:"area_m2"`
}

// Route is a way from one unit into another: Spaces[0], through Openings[0], into Spaces[1] ...
type Route struct {
	Item     string   `json:"item"` // key of the item that reports it
	Storey   string   `json:"storey"`
	Units    []string `json:"units"`
	Spaces   []string `json:"spaces"`
	Openings []string `json:"openings"`
	ClearM   float64  `json:"clear_m,omitzero"` // narrowest clear size on the way
}

// CriticalStop is a stop, or the stops of one line, whose loss joins dwelling units.
type CriticalStop struct {
	ID       string     `json:"id"`   // C1 is the gravest
	Kind     string     `json:"kind"` // block, draftstop, plate
	Storey   string     `json:"storey"`
	Place    string     `json:"place"`
	Point    [3]float64 `json:"point"`
	Elements []string   `json:"elements"` // GlobalIds
	// Alone is how many stops, this one among them, have to be missing to join units in the
	// building as modelled: 1, 2, or 0 for more.
	Alone int `json:"as_modelled,omitzero"`
	// Repaired is the same once everything that is open is closed.
	Repaired int      `json:"as_repaired,omitzero"`
	Units    []string `json:"units"` // that it keeps apart
	Joins    *Joins   `json:"joins,omitempty"`
	With     []string `json:"with,omitempty"` // places of stops of which one has to be missing as well
}
