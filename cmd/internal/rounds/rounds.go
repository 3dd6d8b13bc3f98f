// Package rounds compares the findings of a resubmittal with those of the round before: what
// is resolved, still open, changed, new, and what cannot be decided any more. It works on
// findings alone and carries the examiner's dispositions from round to round.
package rounds

import (
	"cmp"
	"math"
	"slices"

	"voidcheck/checks/finding"
)

// Format is the name of the format of a comparison.
const Format = "voidcheck-rounds-1"

// State is what became of an item between two rounds.
type State string

// The states.
const (
	New         State = "new"
	Changed     State = "changed"
	StillOpen   State = "still-open"
	Undecidable State = "no-longer-decidable"
	Resolved    State = "resolved"
)

// States lists the states in the order in which they are told.
var States = []State{New, Changed, StillOpen, Undecidable, Resolved}

// Comparison is one round against the last.
type Comparison struct {
	Format   string        `json:"format"`
	Tool     finding.Tool  `json:"tool"`
	Units    string        `json:"units"` // of the texts
	Last     Side          `json:"last"`
	This     Side          `json:"this"`
	Notes    []string      `json:"notes,omitempty"` // what makes the rounds hard to compare
	Counts   map[State]int `json:"counts"`
	Changes  []Change      `json:"changes"`
	Cautions []string      `json:"cautions"`
}

// Side is one of the two rounds.
type Side struct {
	Round    int              `json:"round"`
	At       string           `json:"at"`
	Models   []finding.Model  `json:"models"`
	Adoption finding.Adoption `json:"adoption"`
}

// Change is one item over the two rounds. What the last round said stands in the fields that
// begin with last; they are absent for new items, the others for items that are gone.
type Change struct {
	State        State                `json:"state"`
	Check        string               `json:"check"`
	Key          string               `json:"key,omitempty"`
	LastKey      string               `json:"last_key,omitempty"`
	Matched      string               `json:"matched,omitempty"` // key or place
	Outcome      finding.Outcome      `json:"outcome,omitempty"`
	LastOutcome  finding.Outcome      `json:"last_outcome,omitempty"`
	Storey       string               `json:"storey"`
	Units        []string             `json:"units"`
	Place        string               `json:"place"`
	Point        [3]float64           `json:"point"` // in this round's first model, of gone items too
	Measured     *finding.Measure     `json:"measured,omitempty"`
	LastMeasured *finding.Measure     `json:"last_measured,omitempty"`
	Limit        *finding.Measure     `json:"limit,omitempty"`
	Section      string               `json:"section,omitempty"`
	Message      string               `json:"message"`
	Why          string               `json:"why,omitempty"` // what the state rests on
	Follows      bool                 `json:"follows,omitzero"`
	Disposition  *finding.Disposition `json:"disposition,omitempty"`
	// LookAgain tells that a disposition no longer fits: the item changed since.
	LookAgain bool `json:"look_again,omitzero"`
}

// open reports whether an item asks for something.
func open(o finding.Outcome) bool { return o == finding.Deficient || o == finding.NotShown }

// Compare compares this round with the last. Only items that ask for something in either
// round are told.
func Compare(last, this *finding.Report) *Comparison {
	c := &Comparison{
		Format: Format, Tool: this.Tool, Units: this.Run.Units, Last: side(last), This: side(this), Counts: map[State]int{}, Cautions: this.Cautions,
	}
	m := newMatcher(last, this)
	c.Notes = m.notes()
	pairs := m.match()
	used := map[int]bool{}
	for i := range last.Items {
		if !m.compared(last.Items[i].Check) {
			continue
		}
		p, ok := pairs[i]
		if ok {
			used[p.this] = true
		}
		if !open(last.Items[i].Outcome) {
			if ok && open(this.Items[p.this].Outcome) {
				c.Changes = append(c.Changes, m.turned(i, p))
			}
			continue
		}
		if ok {
			c.Changes = append(c.Changes, m.both(i, p))
		} else {
			c.Changes = append(c.Changes, m.gone(i))
		}
	}
	for i := range this.Items {
		if !used[i] && open(this.Items[i].Outcome) {
			c.Changes = append(c.Changes, m.fresh(i))
		}
	}
	order := map[string]int{}
	for i := range this.Items {
		order[this.Items[i].Key] = i
	}
	slices.SortStableFunc(c.Changes, func(a, b Change) int {
		at := func(x *Change) int {
			if x.Key == "" {
				return len(this.Items)
			}
			return order[x.Key]
		}
		return cmp.Or(
			cmp.Compare(slices.Index(States, a.State), slices.Index(States, b.State)),
			cmp.Compare(at(&a), at(&b)),
		)
	})
	for i := range c.Changes {
		c.Counts[c.Changes[i].State]++
	}
	return c
}

func side(r *finding.Report) Side {
	return Side{Round: r.Run.Round, At: r.Run.At, Models: r.Models, Adoption: r.Adoption}
}

// about fills what a change says of an item of this round.
func about(it *finding.Item) Change {
	return Change{
		Check: it.Check, Key: it.Key, Outcome: it.Outcome, Storey: it.Storey, Units: it.Units, Place: it.Place, Point: it.Point,
		Measured: it.Measured, Limit: it.Limit, Section: it.Section, Message: it.Message, Follows: len(it.ConsequenceOf) > 0,
	}
}

// fresh is an item that the last round did not have.
func (m *matcher) fresh(i int) Change {
	c := about(&m.this.Items[i])
	c.State = New
	return c
}

// turned is an item that asked for nothing in the last round and does now.
func (m *matcher) turned(i int, p pair) Change {
	c := about(&m.this.Items[p.this])
	l := &m.last.Items[i]
	c.State, c.LastKey, c.LastOutcome, c.LastMeasured, c.Matched = New, l.Key, l.Outcome, l.Measured, p.by
	c.Why = "in the last round: " + string(l.Outcome)
	return c
}

// both is an item of both rounds.
func (m *matcher) both(i int, p pair) Change {
	l, t := &m.last.Items[i], &m.this.Items[p.this]
	c := about(t)
	c.LastKey, c.LastOutcome, c.LastMeasured, c.Matched = l.Key, l.Outcome, l.Measured, p.by
	switch {
	case m.this.Unjudged != "" && !open(t.Outcome):
		c.State, c.Why = Undecidable, "the model of this round could not be judged"
	case t.Outcome == finding.Exempt:
		c.State, c.Why = Resolved, "an exception applies now: "+t.Exemption
	case !open(t.Outcome):
		c.State, c.Why = Resolved, "shown to be met"
	case l.Outcome == finding.Deficient && t.Outcome == finding.NotShown:
		c.State, c.Why = Undecidable, "the model no longer shows it"
	case l.Outcome != t.Outcome:
		c.State, c.Why = Changed, "decided now"
	case !alike(l.Measured, t.Measured):
		c.State = Changed
	case !alike(l.Limit, t.Limit):
		c.State, c.Why = Changed, "another limit is in force"
	default:
		c.State = StillOpen
	}
	return c
}

// Tolerances within which a measured value is the same: what another export of an unchanged
// model may differ by.
const (
	sameM     = 0.002 // metres
	sameShare = 0.005
)

func alike(a, b *finding.Measure) bool {
	if a == nil || b == nil {
		return a == b
	}
	if a.Unit != b.Unit {
		return false
	}
	tol := sameShare * math.Max(math.Abs(a.Value), math.Abs(b.Value))
	if a.Unit == "m" {
		tol = math.Max(tol, sameM)
	}
	return math.Abs(a.Value-b.Value) <= tol+1e-9
}
