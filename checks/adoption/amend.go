package adoption

import (
	"maps"
	"slices"
	"strconv"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"voidcheck/schema"
)

// Amendment gives a check other limits where its condition holds: 500 ft2 where the floor is
// of I-joists, a tripled area with sprinklers.
type Amendment struct {
	When    When
	Because string
	// Confirmed is false for an amendment that the file only remembers; nil means true.
	Confirmed *bool
	Section   string   // "" where that of the rule stands
	Limits    Limits   // of all parameters: those of the rule where the amendment gives none
	Given     []string // parameters that the amendment sets, in catalogue order
}

// readInstead reads the amendments of a check's entry. What the schema cannot see, or says
// less well, comes back as problems.
func (r *Rule) readInstead(d Declared, raw jsontext.Value, places *schema.Places, found *[]schema.Problem) []schema.Problem {
	var list []map[string]jsontext.Value
	if len(raw) == 0 || json.Unmarshal(raw, &list) != nil {
		return nil // the schema has refused it
	}
	var out []schema.Problem
	for i, entry := range list {
		a := Amendment{Limits: r.Limits.clone()}
		_ = json.Unmarshal(entry["when"], &a.When)
		out = append(out, a.When.empty(places, "checks", d.Name, "instead", strconv.Itoa(i), "when")...)
		_ = json.Unmarshal(entry["because"], &a.Because)
		_ = json.Unmarshal(entry["section"], &a.Section)
		if raw, ok := entry["confirmed"]; ok {
			_ = json.Unmarshal(raw, &a.Confirmed)
		}
		for _, p := range d.Params {
			raw, ok := entry[p.Name]
			if !ok {
				continue
			}
			a.Given = append(a.Given, p.Name)
			if err := a.Limits.setJSON(p, raw); err != nil {
				worded := places.Problem(err.Error(), "checks", d.Name, "instead", strconv.Itoa(i), p.Name)
				*found = slices.DeleteFunc(*found, func(q schema.Problem) bool { return q.Path == worded.Path })
				out = append(out, worded)
			}
		}
		if len(a.Given) == 0 {
			out = append(out, places.Problem("gives no limit of this check; write one, or exempt instead", "checks", d.Name, "instead", strconv.Itoa(i)))
		}
		r.Instead = append(r.Instead, a)
	}
	return out
}

func (l Limits) clone() Limits {
	return Limits{Num: maps.Clone(l.Num), Text: maps.Clone(l.Text), List: maps.Clone(l.List)}
}

// Every returns the limits of the rule and of each of its amendments, those of the rule first.
func (r *Rule) Every() []Limits {
	all := []Limits{r.Limits}
	for i := range r.Instead {
		all = append(all, r.Instead[i].Limits)
	}
	return all
}

// Amended returns the first amendment whose condition holds for a subject, nil when there is
// none, and the first one before it that unknown facts leave open, with those facts.
func (r *Rule) Amended(s Subject) (holds, open *Amendment, unknown []string) {
	for i := range r.Instead {
		a := &r.Instead[i]
		switch answer, facts := confirmed(a.Confirmed, a.When, s); {
		case answer == Yes:
			return a, open, unknown
		case answer == Unknown && open == nil:
			open, unknown = a, facts
		}
	}
	return nil, open, unknown
}
