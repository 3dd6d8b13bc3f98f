package checks

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"

	"golang.org/x/sync/errgroup"

	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/measure"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
)

// Input is what the driver works on.
type Input struct {
	Catalogue []*Check // in product order
	Building  *recognise.Building
	Voids     *void.Result
	Adoption  *adoption.Adoption
	Facts     adoption.Facts
	Units     measure.System
	Only      []string // names of the checks to run; empty for all
	// Shows tells whether the model shows a thing at the place of a report, for conditions of
	// the adoption; nil knows nothing.
	Shows func(thing string, r *Report) adoption.Answer
}

// Output is what the checks found, ready for findings.json.
type Output struct {
	Items    []finding.Item // in the order of their comments
	Comments []finding.Comment
	Ran      []finding.Ran
	Missing  []finding.MissingCheck
	// Reports are what the items were made from, by key.
	Reports map[string]*Report
}

// Declared tells the adoption reader the names and parameters of a catalogue.
func Declared(catalogue []*Check) []adoption.Declared {
	var d []adoption.Declared
	for _, c := range catalogue {
		d = append(d, adoption.Declared{Name: c.Name, Params: c.Params})
	}
	return d
}

// Run runs the checks that are on, each on its own goroutine, and turns their reports into
// items and comments. The result does not depend on the order in which they end. A check
// that fails or panics is named in Missing and the others still report. The error is that
// of the context.
func Run(ctx context.Context, in Input) (*Output, error) {
	out := &Output{}
	reports := make([][]Report, len(in.Catalogue))
	failed := make([]error, len(in.Catalogue))
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	detail := grade.DetailOf(&in.Building.Input, in.Voids)
	for i, c := range in.Catalogue {
		if in.wants(c) {
			g.Go(func() error {
				reports[i], failed[i] = in.runOne(ctx, c, detail)
				return nil
			})
		}
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var drafts []draft
	groups := joinedGroups(in.Voids)
	for i, c := range in.Catalogue {
		if failed[i] != nil {
			out.Missing = append(out.Missing, finding.MissingCheck{Check: c.Name, Why: failed[i].Error()})
			continue // half of a check's items would look like all of them
		}
		for k := range reports[i] {
			drafts = append(drafts, in.draft(c, &reports[i][k], groups))
		}
	}
	in.finish(drafts)
	out.Items = make([]finding.Item, len(drafts))
	out.Reports = make(map[string]*Report, len(drafts))
	for i := range drafts {
		out.Items[i] = drafts[i].item
		out.Reports[drafts[i].item.Key] = drafts[i].report
	}
	entries := map[string]finding.Entry{}
	for i, c := range in.Catalogue {
		entries[c.Name] = finding.Entry{Title: c.Title, Place: i, Inventory: c.Inventory}
	}
	out.Comments = finding.Group(out.Items, entries)
	out.Ran = in.ran(out.Items)
	return out, nil
}

// wants reports whether a check runs.
func (in *Input) wants(c *Check) bool {
	return in.Adoption.Rule(c.Name).On && (len(in.Only) == 0 || slices.Contains(in.Only, c.Name))
}

// runOne runs one check and catches what breaks it.
func (in *Input) runOne(ctx context.Context, c *Check, detail *grade.Detail) (reports []Report, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("it broke off: %v (%s)", r, panicPlace(debug.Stack()))
		}
	}()
	rule := in.Adoption.Rule(c.Name)
	reports, err = in.under(ctx, c, rule, nil, detail)
	for i := range rule.Instead {
		// What the facts of the project refuse, no item can fall under.
		if answer, _ := rule.Instead[i].When.Decide(in.subject(nil)); err != nil || answer == adoption.No {
			continue
		}
		var more []Report
		more, err = in.under(ctx, c, rule, &rule.Instead[i], detail)
		reports = append(reports, more...)
	}
	return reports, err
}

// under runs a check with the limits of an amendment, or with the rule's own, and keeps the
// reports that they are for: of a void for which an amendment holds, the check is heard with
// its limits and no others.
func (in *Input) under(ctx context.Context, c *Check, rule *adoption.Rule, a *adoption.Amendment, detail *grade.Detail) (reports []Report, err error) {
	limits := rule.Limits
	if a != nil {
		limits = a.Limits
	}
	p := &Pass{
		Check: c, Building: in.Building, Voids: in.Voids, Limits: limits, Facts: in.Facts, Units: in.Units, detail: detail,
		OddOccupancy: in.Facts.Occupancy != "" && !in.Adoption.Knows(in.Facts.Occupancy),
		Report: func(r Report) {
			holds, open, unknown := rule.Amended(in.subject(&r))
			if holds != a {
				return
			}
			r.amended = a
			if open != nil && r.Outcome != finding.Note {
				r.undecided = fmt.Sprintf("other limits may apply (%s: %s); what would decide: %s", open.When, open.Because, strings.Join(unknown, ", "))
			}
			reports = append(reports, r)
		},
	}
	err = c.Run(ctx, p)
	return reports, err
}

// subject is what conditions of the adoption are asked about; without a report the project
// alone.
func (in *Input) subject(r *Report) adoption.Subject {
	s := in.Adoption.Subject(in.Facts, in.unitCount())
	if r == nil {
		return s
	}
	s.Framing, s.Spaces = framings(r), kinds(r)
	if in.Shows != nil {
		s.Shows = func(thing string) adoption.Answer { return in.Shows(thing, r) }
	}
	return s
}

// panicPlace is the function and line in which a panic began, without the path before the
// module so that two machines say the same.
func panicPlace(stack []byte) string {
	lines := strings.Split(string(stack), "\n")
	for i, l := range lines {
		if !strings.HasPrefix(l, "panic(") {
			continue
		}
		for k := i + 2; k+1 < len(lines); k += 2 {
			if strings.HasPrefix(lines[k], "voidcheck/") {
				at := strings.TrimSpace(lines[k+1])
				at, _, _ = strings.Cut(at, " +0x")
				for _, top := range []string{"/checks/", "/ifcx/", "/cmd/"} {
					if j := strings.LastIndex(at, top); j >= 0 {
						return at[j+1:]
					}
				}
			}
		}
	}
	return "place unknown"
}

// ran counts the items of each check of the catalogue.
func (in *Input) ran(items []finding.Item) []finding.Ran {
	var out []finding.Ran
	at := map[string]int{}
	for i, c := range in.Catalogue {
		rule := in.Adoption.Rule(c.Name)
		r := finding.Ran{Name: c.Name, Title: c.Title, On: in.wants(c), Limits: map[string]string{}, Items: map[finding.Outcome]int{}}
		for _, p := range c.Params {
			r.Limits[p.Name] = rule.Limits.Text[p.Name]
			for k := range rule.Instead {
				if a := &rule.Instead[k]; slices.Contains(a.Given, p.Name) {
					r.Limits[p.Name] += fmt.Sprintf("; %s where %s", a.Limits.Text[p.Name], a.When)
				}
			}
		}
		at[c.Name] = i
		out = append(out, r)
	}
	for i := range items {
		out[at[items[i].Check]].Items[items[i].Outcome]++
	}
	return out
}
