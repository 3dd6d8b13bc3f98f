// Package letter writes the letter of comments to the applicant: what needs an answer, each
// with its places, what the model shows, what is required and what to provide; what became
// of earlier comments; what was not judged.
package letter

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/output/paper"
	"voidcheck/cmd/internal/output/words"
)

// Options are what a letter knows besides the findings.
type Options struct {
	Requires func(check string) string // what a check requires, in a sentence; may be nil
	Last     *finding.Report           // findings of the round before; nil for none
	// Became says what became of an item of the round before, by its key then; nil when only
	// the keys can tell.
	Became func(key string) Became
}

// Became is what became of an item.
type Became struct {
	Open bool
	Key  string // in this round, empty when it is not found
	Why  string // what that rests on
}

// Make makes the letter.
func Make(r *finding.Report, o Options) *paper.Document {
	l := &letter{b: words.New(r), r: r, requires: o.Requires, last: o.Last, became: o.Became}
	d := &paper.Document{Title: fmt.Sprintf("Letter of comments, round %d", l.round()), Subject: l.b.Project(), At: r.Run.At, Letter: l.b.Sys != measure.SI, Foot: r.Cautions}
	l.head(d.Title)
	l.opening()
	l.comments()
	l.earlier()
	l.decided()
	l.information()
	l.unjudged()
	l.files()
	l.close()
	d.Blocks = l.blocks
	return d
}

type letter struct {
	b        *words.Book
	r        *finding.Report
	requires func(string) string
	last     *finding.Report
	became   func(string) Became
	blocks   []paper.Block
}

func (l *letter) add(b ...paper.Block) { l.blocks = append(l.blocks, b...) }

func (l *letter) round() int { return max(l.r.Run.Round, 1) }

// comments writes what asks for an answer, in three parts.
func (l *letter) comments() {
	said := ""
	for i := range l.r.Comments {
		c := &l.r.Comments[i]
		if !l.asks(c) {
			continue
		}
		part := "To be corrected"
		switch {
		case len(l.causeNumbers(c, l.unsettled(c))) > 0:
			part = "Follows from comments above"
		case c.Outcome == finding.NotShown:
			part = "To be shown"
		}
		var lead paper.Group
		if part != said {
			lead = paper.Group{paper.Heading{Level: 2, Text: part}}
			if part == "Follows from comments above" {
				lead = append(lead, paper.Para{Text: "What is told here comes about by the defects of earlier comments, and goes when these are corrected. It is listed for its consequence and its section."})
			}
			said = part
		}
		l.comment(c, lead)
	}
}

// comment writes one comment, with the heading over it if it is the first of its part. What all its places have in common stands above; what
// differs stands with each place.
func (l *letter) comment(c *finding.Comment, lead paper.Group) {
	items := l.unsettled(c)
	if len(items) == 0 {
		l.add(append(lead, paper.Heading{Level: 3, Text: l.title(c)}, paper.Para{Text: c.Text}))
		return
	}
	shown, provide := same(items, func(it *finding.Item) string { return it.Message }), same(items, func(it *finding.Item) string { return it.Remedy })
	var f paper.Fields
	put := func(name, value string) {
		if value != "" {
			f = append(f, [2]string{name, value})
		}
	}
	if len(items) == 1 && c.Check != "model-content" {
		put("Place", words.First(l.b.Where(items[0])))
	}
	if lead := alike(items); shown == "" && len(items) > many && lead != "" {
		put("What is shown", lead+" (sizes with each place below).")
	}
	put("What is shown", shown)
	measured := same(items, l.b.Measured)
	if slices.ContainsFunc(items, func(it *finding.Item) bool { return it.Measured != nil }) {
		put(map[bool]string{true: "Measured", false: "Measured at each"}[len(items) == 1], measured)
	}
	put("Known from", words.First(basis(items)))
	put("What is required", l.required(c, items))
	put("Section", cmp.Or(c.Section, items[0].Section))
	put("What to provide", provide)
	put("Proposed", l.proposed(items))
	if j := joins(l.b, items); j != "" {
		put("Consequence", words.First(j))
	}
	put("Follows from", words.First(l.causes(c, items)))
	put("Exception", exception(items))
	if len(items) == 1 {
		l.add(append(lead, paper.Heading{Level: 3, Text: l.title(c)}, f))
		return
	}
	head, places := append(lead, paper.Heading{Level: 3, Text: l.title(c)}, f), l.places(items, shown == "", provide == "", measured == "")
	l.add(head, places)
}

func (l *letter) title(c *finding.Comment) string {
	title := fmt.Sprintf("%d. %s", c.Number, l.b.Title(c.Check))
	if items := l.b.Of(c); c.Check == "model-content" && words.Open(c.Outcome) && len(items) == 1 {
		title += ": " + l.b.Where(items[0]) // comments of this check have a heading in common and nothing else
	}
	return title
}

// places is the table of a comment's places.
func (l *letter) places(items []*finding.Item, shown, provide, measured bool) *paper.Table {
	if len(items) > many && (!shown || alike(items) != "") && !provide {
		return l.gathered(items, measured && !shown)
	}
	t := &paper.Table{Head: []string{"", "Place", "Measured"}, Widths: []float64{8, 128, 42}}
	measured = measured && slices.ContainsFunc(items, func(it *finding.Item) bool { return it.Measured != nil })
	if !measured {
		t.Head, t.Widths = t.Head[:2], []float64{8, 170}
	}
	for i, it := range items {
		var small []string
		if shown {
			small = append(small, it.Message)
		}
		if provide {
			small = append(small, it.Remedy)
		}
		cells := []paper.Cell{{Text: letters(i)}, {Text: l.b.Where(it), Small: strings.Join(small, " ")}, {Text: l.b.Measured(it)}}
		t.Rows = append(t.Rows, paper.Row{Cells: cells[:len(t.Head)]})
	}
	return t
}

// letters numbers places within a comment: a, b, ... z, aa, ab, ...
func letters(i int) string {
	s := ""
	for i++; i > 0; i = (i - 1) / 26 {
		s = string(rune('a'+(i-1)%26)) + s
	}
	return s
}

// same is a text when all items have it, and empty otherwise.
func same(items []*finding.Item, of func(*finding.Item) string) string {
	for _, it := range items {
		if of(it) != of(items[0]) {
			return ""
		}
	}
	return of(items[0])
}

// basis says what the items rest on when it is not geometry.
func basis(items []*finding.Item) string {
	switch finding.Evidence(same(items, func(it *finding.Item) string { return string(it.Evidence) })) {
	case finding.Declared:
		return "a layer or a property that says so"
	case finding.Assumed:
		return "usual practice; the model does not show it"
	}
	return ""
}

func (l *letter) required(c *finding.Comment, items []*finding.Item) string {
	text := ""
	if l.requires != nil {
		text = l.requires(c.Check)
	}
	if c.Check == "model-content" {
		text = "Models and a submittal file that show what the other requirements need to be decided"
	}
	text = cmp.Or(text, l.b.Title(c.Check))
	limit := same(items, func(it *finding.Item) string { _, s := l.b.Sizes(it); return s })
	if limit != "" {
		return words.Sentence(text) + " Limit: " + limit + "."
	}
	return words.Sentence(text)
}

// proposed is what the findings propose for the items.
func (l *letter) proposed(items []*finding.Item) string {
	var ps []*finding.Proposal
	for _, it := range items {
		for i := range l.r.Proposals {
			if p := &l.r.Proposals[i]; p.For == it.Key && p.Text != "" {
				ps = append(ps, p)
			}
		}
	}
	if len(ps) == 1 {
		return ps[0].Text
	}
	return finding.Together(ps, l.b.Sys)
}

// causeNumbers are the comments whose defects bring this one about.
func (l *letter) causeNumbers(c *finding.Comment, items []*finding.Item) []int {
	var numbers []int
	for _, it := range items {
		for _, key := range it.ConsequenceOf {
			if x := l.b.Items[key]; x != nil && x.Comment > 0 && x.Comment != c.Number && !slices.Contains(numbers, x.Comment) {
				numbers = append(numbers, x.Comment)
			}
		}
	}
	slices.Sort(numbers)
	return numbers
}

func (l *letter) causes(c *finding.Comment, items []*finding.Item) string {
	numbers := l.causeNumbers(c, items)
	if len(numbers) == 0 {
		return ""
	}
	var list []string
	for _, n := range numbers {
		list = append(list, fmt.Sprint(n))
	}
	if len(list) == 1 {
		return "comment " + list[0]
	}
	return "comments " + words.List(list)
}

// joins says what the gravest of the items joins.
func joins(b *words.Book, items []*finding.Item) string {
	var w finding.Joins
	for _, it := range items {
		if j := it.Joins; j != nil && (j.Units > w.Units || j.Units == w.Units && j.AreaM2 > w.AreaM2) {
			w = *j
		}
	}
	if w.Units < 2 && w.AreaM2 == 0 {
		return ""
	}
	area := measure.FormatArea(w.AreaM2, b.Sys)
	if w.Units > 1 {
		return fmt.Sprintf("joins the concealed spaces of %s, %s in all", words.Count(w.Units, "dwelling unit"), area)
	}
	return "opens into " + area + " of concealed space"
}

func exception(items []*finding.Item) string {
	return words.Sentence(words.First(same(items, func(it *finding.Item) string { return it.Undecided })))
}
