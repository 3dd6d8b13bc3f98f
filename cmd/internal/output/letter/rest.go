package letter

import (
	"fmt"
	"slices"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/paper"
	"voidcheck/cmd/internal/output/words"
)

// information lists comments that need no answer, with all that they say.
func (l *letter) information() {
	var out []paper.Block
	var list paper.List
	flush := func() {
		if len(list) > 0 {
			out = append(out, list)
			list = nil
		}
	}
	for i := range l.r.Comments {
		c := &l.r.Comments[i]
		if words.Open(c.Outcome) {
			continue
		}
		items := l.b.Of(c)
		if lead, points := listed(items); lead != "" {
			flush()
			out = append(out, paper.Para{Text: l.title(c) + ". " + lead}, points)
			continue
		}
		text := l.title(c) + ". "
		if len(items) == 0 {
			text += c.Text
		}
		if c.Outcome == finding.Exempt {
			text += "Exempt. "
		}
		var said []string
		for _, it := range items {
			if !slices.Contains(said, it.Message) {
				said = append(said, it.Message)
			}
		}
		for k, m := range said {
			if k > 0 {
				text += " "
			}
			text += words.Sentence(m) + placesOfItems(l.b, items, m)
		}
		if len(items) > 0 && items[0].Exemption != "" {
			text += " Exempt by: " + words.Sentence(items[0].Exemption)
		}
		list = append(list, text)
	}
	flush()
	if len(out) > 0 {
		l.add(paper.Heading{Level: 2, Text: "For information"})
		l.add(out...)
	}
}

// placesOfItems are the places of the items that say a thing, all of them; "" where the only
// place is the name of the thing itself.
func placesOfItems(b *words.Book, items []*finding.Item, message string) string {
	var places []string
	storey := false
	for _, it := range items {
		if it.Message == message && !slices.Contains(places, b.Where(it)) {
			places = append(places, b.Where(it))
			storey = storey || it.Storey != ""
		}
	}
	if !storey {
		return ""
	}
	return " Place: " + words.Sentence(strings.Join(places, "; "))
}

// listed takes apart messages that begin alike: the beginning, and what each goes on with.
func listed(items []*finding.Item) (lead string, points paper.List) {
	if len(items) < 3 {
		return "", nil
	}
	lead, _, ok := strings.Cut(items[0].Message, ": ")
	if !ok {
		return "", nil
	}
	for _, it := range items {
		rest, ok := strings.CutPrefix(it.Message, lead+": ")
		if !ok {
			return "", nil
		}
		points = append(points, words.First(it.Place)+": "+rest)
	}
	return lead + ":", points
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
			{Text: fmt.Sprint(c.Number)}, {Text: last.Title(c.Check), Small: placesOf(c)}, {Text: l.now(c)},
		}})
	}
	if len(t.Rows) > 0 {
		l.add(paper.Heading{Level: 2, Text: fmt.Sprintf("Comments of round %d", max(l.last.Run.Round, 1))}, t)
	}
}

// placesOf are all places of a comment.
func placesOf(c *finding.Comment) string { return strings.Join(c.Places, "; ") }

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
