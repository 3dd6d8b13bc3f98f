package letter

import (
	"fmt"
	"slices"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/paper"
	"voidcheck/cmd/internal/output/words"
)

// information lists comments that need no answer.
func (l *letter) information() {
	var list paper.List
	for i := range l.r.Comments {
		c := &l.r.Comments[i]
		if words.Open(c.Outcome) {
			continue
		}
		text := fmt.Sprintf("%s %s", l.title(c)+".", c.Text)
		items := l.b.Of(c)
		if len(items) > 0 && items[0].Exemption != "" {
			text += " Exempt by: " + words.Sentence(items[0].Exemption)
		}
		if len(c.Places) > 0 && len(c.Places) <= 4 {
			text += " Place: " + words.Sentence(strings.Join(c.Places, "; "))
		} else if len(c.Places) > 4 {
			text += fmt.Sprintf(" %s.", words.Count(len(c.Places), "place"))
		}
		list = append(list, text)
	}
	if len(list) > 0 {
		l.add(paper.Heading{Level: 2, Text: "For information"}, list)
	}
}

// unjudged says what the review does not speak of.
func (l *letter) unjudged() {
	var list paper.List
	for _, m := range l.r.MissingChecks {
		list = append(list, fmt.Sprintf("The check %s did not run to its end, and nothing here speaks of it: %s.", m.Check, m.Why))
	}
	if only := l.r.Run.Only; len(only) > 0 {
		list = append(list, "Only these checks were asked for: "+strings.Join(only, ", ")+".")
	}
	var off, silent []string
	for i := range l.r.Checks {
		c := &l.r.Checks[i]
		switch {
		case !c.On:
			off = append(off, c.Title)
		case len(c.Items) == 0 && !l.missing(c.Name):
			silent = append(silent, c.Title)
		}
	}
	if len(off) > 0 && len(l.r.Run.Only) == 0 {
		list = append(list, "Not adopted: "+strings.Join(off, "; ")+".")
	}
	if len(silent) > 0 {
		list = append(list, "Nothing was found in the models to which these apply: "+strings.Join(silent, "; ")+".")
	}
	if len(list) > 0 {
		l.add(paper.Heading{Level: 2, Text: "What was not judged"}, list)
	}
}

func (l *letter) missing(check string) bool {
	for _, m := range l.r.MissingChecks {
		if m.Check == check {
			return true
		}
	}
	return false
}

// files names the models, so that nobody answers about another file.
func (l *letter) files() {
	if len(l.r.Models) == 0 {
		return
	}
	t := &paper.Table{Head: []string{"Model file", "Discipline", "Schema", "SHA-256, first 16 digits"}, Widths: []float64{80, 32, 24, 42}}
	for _, m := range l.r.Models {
		t.Rows = append(t.Rows, paper.Row{Cells: []paper.Cell{paper.Text(m.File), paper.Text(m.Discipline), paper.Text(m.Schema), paper.Text(m.SHA256[:min(16, len(m.SHA256))])}})
	}
	l.add(paper.Heading{Level: 2, Text: "Models reviewed"}, t)
}

// earlier tells what became of the comments of the round before. Items go by their keys,
// which stay when a model is exported again.
func (l *letter) earlier() {
	if l.last == nil {
		return
	}
	last := words.New(l.last)
	t := &paper.Table{Head: []string{"No.", "Comment of the round before", "Now"}, Widths: []float64{12, 112, 54}}
	for i := range l.last.Comments {
		c := &l.last.Comments[i]
		if !words.Open(c.Outcome) {
			continue
		}
		t.Rows = append(t.Rows, paper.Row{Cells: []paper.Cell{
			{Text: fmt.Sprint(c.Number)}, {Text: last.Title(c.Check) + ": " + strings.ToLower(words.Outcome(c.Outcome)), Small: placesOf(c)}, {Text: l.now(c)},
		}})
	}
	if len(t.Rows) > 0 {
		l.add(paper.Heading{Level: 2, Text: fmt.Sprintf("Comments of round %d", max(l.last.Run.Round, 1))}, t)
	}
}

func placesOf(c *finding.Comment) string {
	if len(c.Places) > 3 {
		return strings.Join(c.Places[:3], "; ") + fmt.Sprintf("; and %d more", len(c.Places)-3)
	}
	return strings.Join(c.Places, "; ")
}

// now says what became of a comment's places.
func (l *letter) now(c *finding.Comment) string {
	open, gone, number := 0, 0, 0
	why := map[string]bool{}
	reason := ""
	for _, key := range c.Items {
		b := l.of(key)
		switch {
		case b.Open:
			open++
			if it := l.b.Items[b.Key]; it != nil && it.Comment > 0 {
				number = it.Comment
			}
		case b.Key == "":
			gone++
		}
		if b.Why != "" && !b.Open {
			why[b.Why], reason = true, b.Why
		}
	}
	n := len(c.Items)
	here := ""
	if number > 0 {
		here = fmt.Sprintf(", now comment %d", number)
	}
	switch {
	case open == n:
		return "still open" + here
	case open > 0:
		return fmt.Sprintf("open at %d of %s%s", open, words.Count(n, "place"), here)
	case len(why) == 1:
		return "resolved: " + reason
	case gone == n:
		return "not found any more"
	case gone > 0:
		return fmt.Sprintf("resolved; %d of %s not found any more", gone, words.Count(n, "place"))
	}
	return "resolved"
}

// of is what became of an item: as the rounds were compared, else by its key.
func (l *letter) of(key string) Became {
	if l.became != nil {
		return l.became(key)
	}
	it := l.b.Items[key]
	if it == nil {
		return Became{}
	}
	return Became{Open: words.Open(it.Outcome), Key: key}
}

// unsettled are a comment's items that nobody has accepted or waived.
func (l *letter) unsettled(c *finding.Comment) []*finding.Item {
	return slices.DeleteFunc(l.b.Of(c), func(it *finding.Item) bool { return it.Disposition.Settles() })
}

// asks reports whether a comment needs an answer.
func (l *letter) asks(c *finding.Comment) bool {
	return words.Open(c.Outcome) && (len(l.b.Of(c)) == 0 || len(l.unsettled(c)) > 0)
}

// decided lists what the examiner decided on items.
func (l *letter) decided() {
	t := &paper.Table{Head: []string{"No.", "Place", "Decision"}, Widths: []float64{12, 92, 74}}
	for i := range l.r.Items {
		it := &l.r.Items[i]
		if it.Disposition == nil || !words.Open(it.Outcome) {
			continue
		}
		t.Rows = append(t.Rows, paper.Row{Cells: []paper.Cell{
			{Text: fmt.Sprint(it.Comment)}, {Text: l.b.Where(it), Small: l.b.Title(it.Check)}, {Text: words.Decision(it.Disposition)},
		}})
	}
	if len(t.Rows) > 0 {
		l.add(paper.Heading{Level: 2, Text: "Decided by the examiner"}, t)
	}
}
