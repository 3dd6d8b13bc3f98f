// Package checklist writes the inspection list: by storey and unit what to look at before
// it is covered, first what most hangs on, with a box to tick, room for a note and plans
// with the numbers.
package checklist

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/output/paper"
	"voidcheck/cmd/internal/output/plan"
	"voidcheck/cmd/internal/output/words"
)

// mostFirst is how many rows the opening list names.
const mostFirst = 14

// mostWeight is the weight from which a row may stand there.
const mostWeight = 33

// Make makes the inspection list.
func Make(r *finding.Report) *paper.Document {
	b := words.New(r)
	s := plan.New(b)
	rows := rowsOf(b, s)
	d := &paper.Document{Title: "Inspection list, before concealment", Subject: b.Project(), At: r.Run.At, Letter: b.Sys != measure.SI, Foot: r.Cautions}
	d.Blocks = append(d.Blocks, paper.Heading{Level: 1, Text: d.Title}, fields(b))
	if r.Unjudged != "" {
		d.Blocks = append(d.Blocks, paper.Para{Bold: true, Text: r.Unjudged})
	}
	d.Blocks = append(d.Blocks, paper.Para{Text: opening(rows)})
	if first, more := firstOf(b, rows); first != nil {
		d.Blocks = append(d.Blocks, paper.Heading{Level: 2, Text: "Look at these first"},
			paper.Para{Small: true, Text: "Much hangs on them: whether concealed spaces of one dwelling unit open into another's, or how large a void is. Stops get taken out for services and forgotten."}, first)
		if more != "" {
			d.Blocks = append(d.Blocks, paper.Para{Text: more})
		}
	}
	for _, storey := range storeys(b, rows) {
		d.Blocks = append(d.Blocks, level(b, s, rows, storey)...)
	}
	d.Blocks = append(d.Blocks, paper.Sign{"Inspector", "Date", "Weather, access, what could not be seen"})
	return d
}

func fields(b *words.Book) paper.Fields {
	var f paper.Fields
	put := func(name, value string) {
		if value != "" {
			f = append(f, [2]string{name, value})
		}
	}
	put("Project", b.Project())
	if s := b.R.Submittal; s != nil {
		put("Permit", s.Permit)
		put("Address", s.Address)
	}
	put("Plans as of", fmt.Sprintf("round %d, reviewed %s", max(b.R.Run.Round, 1), b.Date()))
	put("Reviewed with", words.First(b.Adoption()))
	return f
}

func opening(rows []*row) string {
	n := map[finding.Outcome]int{}
	for _, r := range rows {
		n[r.it.Outcome]++
	}
	if len(rows) == 0 {
		return "The findings name nothing that could be looked at on site."
	}
	parts := []string{}
	if k := n[finding.Deficient]; k > 0 {
		parts = append(parts, fmt.Sprintf("%d to be corrected (round field)", k))
	}
	if k := n[finding.NotShown]; k > 0 {
		parts = append(parts, fmt.Sprintf("%d not shown on the plans (broken round field)", k))
	}
	if k := n[finding.Meets]; k > 0 {
		parts = append(parts, fmt.Sprintf("%d shown as in order and to be seen in place (square field)", k))
	}
	return words.Count(len(rows), "place") + ": " + words.List(parts) + ". The numbers stand on the plans of each level."
}

// firstOf is the list of what most hangs on, nil when nothing stands out, and the numbers of
// what the list has no room for.
func firstOf(b *words.Book, rows []*row) (*paper.Table, string) {
	t := &paper.Table{Head: []string{"No.", "Place", "Why"}, Widths: []float64{12, 92, 74}}
	var early []*row
	for _, x := range rows {
		if x.weight >= mostWeight {
			early = append(early, x)
		}
	}
	slices.SortStableFunc(early, func(a, c *row) int { return cmp.Compare(c.weight, a.weight) })
	for _, x := range early[:min(len(early), mostFirst)] {
		t.Rows = append(t.Rows, paper.Row{Cells: []paper.Cell{{Text: fmt.Sprint(x.number), Bold: true}, {Text: words.First(b.Where(x.it))}, {Text: words.First(x.reason(b))}}})
	}
	more := len(early) - len(t.Rows)
	if len(t.Rows) == 0 {
		return nil, ""
	}
	rest := ""
	if more > 0 {
		var numbers []int
		for _, x := range early[len(t.Rows):] {
			numbers = append(numbers, x.number)
		}
		slices.Sort(numbers)
		rest = fmt.Sprintf("After these, what also keeps dwelling units apart or divides a large void, %s: numbers %s.", words.Count(more, "place"), words.Runs(numbers))
	}
	return t, rest
}

// storeys are the levels that have rows, from below.
func storeys(b *words.Book, rows []*row) []string {
	var out []string
	for _, r := range rows {
		if len(out) == 0 || out[len(out)-1] != r.it.Storey {
			out = append(out, r.it.Storey)
		}
	}
	return out
}

// level sets a level: its plans with the numbers, then the rows by unit.
func level(b *words.Book, s *plan.Site, rows []*row, storey string) []paper.Block {
	title := words.First(finding.StoreyWord(storey))
	if title == "" {
		title = "Not on one level"
	}
	out := []paper.Block{paper.Heading{Level: 2, Text: title}}
	if s != nil && storey != "" {
		if figures := plans(s, rows, storey); len(figures) > 0 {
			out = append(append([]paper.Block{paper.Break{}}, out...), figures...)
		}
	}
	t := &paper.Table{Head: []string{"No.", "Seen", "Place and what is to be seen there", "Initials, date", "Note"}, Widths: []float64{11, 10, 99, 24, 34}}
	last := ""
	for _, r := range rows {
		if r.it.Storey != storey {
			continue
		}
		if g := group(b, r.it.Units); g != last {
			t.Rows = append(t.Rows, paper.Row{Span: g})
			last = g
		}
		t.Rows = append(t.Rows, paper.Row{Cells: []paper.Cell{
			{Text: fmt.Sprint(r.number), Bold: true}, {Tick: true}, {Text: placeOf(b, r), Small: small(b, r)}, {Lines: 2}, {Lines: 2},
		}})
	}
	return append(out, t)
}

// placeOf is a row's place with what stands out about it.
func placeOf(b *words.Book, r *row) string {
	place := r.it.Place
	if place == "" {
		place = b.Title(r.it.Check)
	}
	place = words.First(place)
	if r.layer == plan.Attic && !strings.Contains(strings.ToLower(place), "attic") {
		place += ", in the attic"
	}
	if r.it.At != "" {
		place += ", " + r.it.At
	}
	switch r.it.Outcome {
	case finding.Deficient:
		return place + ": to be corrected"
	case finding.NotShown:
		return place + ": not shown on the plans"
	}
	return place
}

func small(b *words.Book, r *row) string {
	s := see(r.it)
	if m := b.Measured(r.it); m != "" && words.Open(r.it.Outcome) {
		s += " On the plans: " + words.Sentence(m)
	}
	if loss := r.loss(b); loss != "" {
		s += " " + words.Sentence(words.First(loss))
	}
	if d := r.it.Disposition; d != nil && words.Open(r.it.Outcome) {
		s += " " + words.First(words.Sentence(words.Decision(d)))
	}
	if r.it.Comment > 0 && words.Open(r.it.Outcome) {
		s += fmt.Sprintf(" Comment %d.", r.it.Comment)
	}
	if r.it.Evidence == finding.Assumed {
		s += " Assumed from usual practice; the model does not show it."
	}
	return strings.TrimSpace(s)
}

// plans draws the layers of a level that have rows.
func plans(s *plan.Site, rows []*row, storey string) []paper.Block {
	var out []paper.Block
	for _, l := range []plan.Layer{plan.Floor, plan.Walls, plan.Attic} {
		var marks []plan.Mark
		for _, r := range rows {
			if r.it.Storey == storey && r.layer == l && hasPlace(r.it) {
				marks = append(marks, plan.Mark{Point: r.it.Point, Text: fmt.Sprint(r.number), Look: look(r.it.Outcome)})
			}
		}
		if len(marks) == 0 {
			continue
		}
		pictures := s.Level(storey, l, plan.Options{Width: paper.Width, Tall: 190, Coarsest: 250, Marks: marks, Proposed: true, Framing: true})
		for i, p := range pictures {
			caption := p.Title
			if len(pictures) > 1 {
				caption += fmt.Sprintf(", part %d of %d", i+1, len(pictures))
			}
			out = append(out, paper.Figure{Picture: p, Caption: caption + ". Black: stops that the model shows. Blue, broken: stops that are proposed. Fields as above."})
		}
	}
	return out
}
