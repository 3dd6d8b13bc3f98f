package finding

// Decision is what an examiner decided on an item.
type Decision string

// The decisions.
const (
	Accepted      Decision = "accepted" // with a reason
	Waived        Decision = "waived"   // by somebody, under a section
	VerifyInField Decision = "verify-in-field"
)

// Disposition is an examiner's decision on an item. Persons make them; the program carries
// them from round to round and changes no outcome by them.
type Disposition struct {
	Key      string   `json:"key"` // of the item in the round of the file
	Decision Decision `json:"decision"`
	Reason   string   `json:"reason,omitempty"`
	By       string   `json:"by,omitempty"`
	Section  string   `json:"section,omitempty"` // under which it is waived
	Note     string   `json:"note,omitempty"`
	Date     string   `json:"date,omitempty"`
	Round    int      `json:"round,omitzero"` // in which it was made
	// For people, and to notice that the item changed since.
	Check    string   `json:"check,omitempty"`
	Storey   string   `json:"storey,omitempty"`
	Place    string   `json:"place,omitempty"`
	Measured *Measure `json:"measured,omitempty"`
	// ClosedIn is the round in which the item was resolved.
	ClosedIn int `json:"closed_in,omitzero"`
}

// Settles reports whether the item needs no answer of the applicant any more.
func (d *Disposition) Settles() bool {
	return d != nil && (d.Decision == Accepted || d.Decision == Waived)
}
