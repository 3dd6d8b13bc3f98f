// Package whatif tells what another adoption would change: which items of past submittals
// change their outcome, and why, model by model and in total. It compares outputs of the
// checks; findings files, whose models are not at hand, it judges anew by what was measured.
package whatif

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
)

// Format is the name of the format of a comparison of adoptions.
const Format = "voidcheck-whatif-1"

// Comparison is two adoptions over a number of submittals.
type Comparison struct {
	Format      string       `json:"format"`
	Tool        finding.Tool `json:"tool"`
	Units       string       `json:"units"` // of the texts
	A           Side         `json:"a"`
	B           Side         `json:"b"`
	Differences []Difference `json:"differences"` // of the two adoptions
	Models      []Model      `json:"models"`
	Totals      []Total      `json:"totals"`
	Cautions    []string     `json:"cautions"`
}

// Side is one of the adoptions.
type Side struct {
	File         string `json:"file"`
	Name         string `json:"name"`
	SHA256       string `json:"sha256"`
	Jurisdiction string `json:"jurisdiction,omitempty"`
}

// Difference is one way in which the adoptions differ that can change an outcome.
type Difference struct {
	Check string `json:"check"`
	Text  string `json:"text"`
}

// Model is what changes for one submittal.
type Model struct {
	Name    string   `json:"name"`
	Source  string   `json:"source"` // models or findings
	Items   int      `json:"items"`  // judged under either adoption
	Changes []Change `json:"changes"`
	// Untold is what findings alone cannot tell, one sentence each.
	Untold []string `json:"untold,omitempty"`
	// Error is why nothing could be judged.
	Error string `json:"error,omitempty"`
}

// Change is one item whose outcome differs. An outcome is absent where the check says nothing
// of the place under that adoption.
type Change struct {
	Key      string           `json:"key"`
	Check    string           `json:"check"`
	A        finding.Outcome  `json:"a,omitempty"`
	B        finding.Outcome  `json:"b,omitempty"`
	Storey   string           `json:"storey"`
	Units    []string         `json:"units"`
	Place    string           `json:"place"`
	Measured *finding.Measure `json:"measured,omitempty"`
	Why      string           `json:"why"`
}

// Total counts the changes of one kind over all submittals.
type Total struct {
	Check  string          `json:"check"`
	A      finding.Outcome `json:"a,omitempty"`
	B      finding.Outcome `json:"b,omitempty"`
	Items  int             `json:"items"`
	Models int             `json:"models"`
}

// New begins a comparison.
func New(a, b *adoption.Adoption, catalogue []*checks.Check) *Comparison {
	return &Comparison{Format: Format, A: side(a), B: side(b), Differences: differences(a, b, catalogue), Cautions: finding.Cautions}
}

func side(a *adoption.Adoption) Side {
	s := Side{File: a.File, Name: a.Name, SHA256: a.SHA256, Jurisdiction: a.Jurisdiction}
	if s.Name == "" {
		s.Name = "defaults"
	}
	return s
}

// differences lists what differs of limits, switches and exemptions; sections change no
// outcome.
func differences(a, b *adoption.Adoption, catalogue []*checks.Check) []Difference {
	var out []Difference
	add := func(c *checks.Check, format string, args ...any) {
		out = append(out, Difference{c.Name, fmt.Sprintf(format, args...)})
	}
	for _, c := range catalogue {
		x, y := a.Rule(c.Name), b.Rule(c.Name)
		if x.On != y.On {
			add(c, "%s -> %s", onOff(x.On), onOff(y.On))
			continue
		}
		if !x.On {
			continue
		}
		for _, p := range c.Params {
			if s, t := x.Limits.Text[p.Name], y.Limits.Text[p.Name]; s != t && !same(x.Limits, y.Limits, p.Name) {
				add(c, "%s %s -> %s", p.Name, s, t)
			}
		}
		gone, added := apart(amended(x, c.Params), amended(y, c.Params))
		for _, s := range gone {
			add(c, "no longer %s", s)
		}
		for _, s := range added {
			add(c, "%s", s)
		}
		gone, added = apart(exempted(x), exempted(y))
		for _, s := range gone {
			add(c, "no longer exempt where %s", s)
		}
		for _, s := range added {
			add(c, "exempt where %s", s)
		}
	}
	return out
}

// apart lists what is in one list only.
func apart(x, y []string) (gone, added []string) {
	for _, s := range x {
		if !slices.Contains(y, s) {
			gone = append(gone, s)
		}
	}
	for _, s := range y {
		if !slices.Contains(x, s) {
			added = append(added, s)
		}
	}
	return gone, added
}

func exempted(r *adoption.Rule) []string {
	var out []string
	for _, e := range r.Exempt {
		out = append(out, e.When.String()+doubt(e.Confirmed))
	}
	return out
}

// doubt marks an entry that its file does not confirm.
func doubt(confirmed *bool) string {
	if confirmed != nil && !*confirmed {
		return " (not confirmed: changes nothing)"
	}
	return ""
}

// amended words the limits that hold where a condition does.
func amended(r *adoption.Rule, params []adoption.Param) []string {
	var out []string
	for _, a := range r.Instead {
		for _, p := range params {
			if slices.Contains(a.Given, p.Name) {
				out = append(out, fmt.Sprintf("%s %s where %s%s", p.Name, a.Limits.Text[p.Name], a.When, doubt(a.Confirmed)))
			}
		}
	}
	return out
}

// same reports whether two spellings are one value: "1 ft" and "12 in".
func same(x, y adoption.Limits, name string) bool {
	v, okV := x.Get(name)
	w, okW := y.Get(name)
	return okV && okW && v == w
}

func onOff(on bool) string {
	if on {
		return "on"
	}
	return "off"
}

// Judged compares the outputs of the checks under the two adoptions.
func (c *Comparison) Judged(name string, a, b *checks.Output) Model {
	m := Model{Name: name, Source: "models"}
	in := map[string]*finding.Item{}
	for i := range b.Items {
		in[b.Items[i].Key] = &b.Items[i]
	}
	seen := map[string]bool{}
	for i := range a.Items {
		x := &a.Items[i]
		seen[x.Key] = true
		m.Items++
		c.note(&m, x, in[x.Key])
	}
	for i := range b.Items {
		if y := &b.Items[i]; !seen[y.Key] {
			m.Items++
			c.note(&m, nil, y)
		}
	}
	for _, o := range []*checks.Output{a, b} {
		for _, x := range o.Missing {
			m.Untold = append(m.Untold, fmt.Sprintf("check %s did not run to its end: %s", x.Check, x.Why))
		}
	}
	return m
}

// note adds a change if the outcome differs; x or y may be nil.
func (c *Comparison) note(m *Model, x, y *finding.Item) {
	it := y
	ch := Change{}
	if x != nil {
		ch.A = x.Outcome
		it = x
	}
	if y != nil {
		ch.B = y.Outcome
	}
	if ch.A == ch.B || quiet(ch.A) && quiet(ch.B) {
		return
	}
	ch.Key, ch.Check, ch.Storey, ch.Units, ch.Place, ch.Measured = it.Key, it.Check, it.Storey, it.Units, it.Place, it.Measured
	if y != nil && y.Measured != nil {
		ch.Measured = y.Measured
	}
	ch.Why = c.why(x, y, it)
	m.Changes = append(m.Changes, ch)
}

// quiet reports whether an outcome asks for nothing and is no exception: an item that is met
// may simply be told otherwise under another limit.
func quiet(o finding.Outcome) bool { return o == "" || o == finding.Meets || o == finding.Note }

// why tells the reason of a change.
func (c *Comparison) why(x, y, it *finding.Item) string {
	switch {
	case y != nil && y.Outcome == finding.Exempt:
		return "exempt under B: " + y.Exemption
	case x != nil && x.Outcome == finding.Exempt:
		return "exempt under A only: " + x.Exemption
	}
	var texts []string
	for _, d := range c.Differences {
		if d.Check == it.Check {
			texts = append(texts, d.Text)
		}
	}
	if len(texts) == 0 {
		return "follows from other changes"
	}
	return strings.Join(texts, "; ")
}

// Add adds a submittal.
func (c *Comparison) Add(m Model) { c.Models = append(c.Models, m) }

// Finish adds up.
func (c *Comparison) Finish(catalogue []*checks.Check) {
	place := map[string]int{}
	for i, x := range catalogue {
		place[x.Name] = i
	}
	type kind struct {
		check string
		a, b  finding.Outcome
	}
	at := map[kind]int{}
	c.Totals = nil
	for i := range c.Models {
		here := map[kind]bool{}
		for _, ch := range c.Models[i].Changes {
			k := kind{ch.Check, ch.A, ch.B}
			n, ok := at[k]
			if !ok {
				n = len(c.Totals)
				at[k] = n
				c.Totals = append(c.Totals, Total{Check: ch.Check, A: ch.A, B: ch.B})
			}
			c.Totals[n].Items++
			if !here[k] {
				here[k] = true
				c.Totals[n].Models++
			}
		}
	}
	slices.SortStableFunc(c.Totals, func(x, y Total) int {
		return cmp.Or(cmp.Compare(place[x.Check], place[y.Check]), cmp.Compare(x.A, y.A), cmp.Compare(x.B, y.B))
	})
}
