package finding

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Rank orders outcomes: what needs an answer first.
func (o Outcome) Rank() int {
	return slices.Index([]Outcome{Deficient, NotShown, Exempt, Note, Meets}, o)
}

// Commented reports whether items of the outcome are written up as comments; "meets" is
// only counted.
func (o Outcome) Commented() bool { return o != Meets }

// Entry is what grouping needs to know of a check.
type Entry struct {
	Title string
	Place int // in the catalogue
	// Inventory: the check's notes are a list for the reader and not comments.
	Inventory bool
}

// Group writes the comments over the items: one for each check, outcome and cause, numbered
// from 1. They are ranked by outcome; what follows from other comments comes after the
// causes; then by consequence: dwelling units joined, area joined. Group sets Item.Comment
// and puts the items into the order of their comments; items without a comment come last.
func Group(items []Item, catalogue map[string]Entry) []Comment {
	type key struct {
		check   string
		outcome Outcome
		cause   string
		section string
		follows bool // from defects reported elsewhere
	}
	groups := map[key][]int{}
	var order []key
	for i := range items {
		it := &items[i]
		if !it.Outcome.Commented() || it.Outcome == Note && catalogue[it.Check].Inventory {
			continue
		}
		k := key{it.Check, it.Outcome, it.Cause, it.Section, len(it.ConsequenceOf) > 0}
		if it.Outcome == Exempt {
			k.cause = it.Exemption
		}
		if groups[k] == nil {
			order = append(order, k)
		}
		groups[k] = append(groups[k], i)
	}
	slices.SortStableFunc(order, func(a, b key) int {
		ja, jb := worst(items, groups[a]), worst(items, groups[b])
		return cmp.Or(
			cmp.Compare(a.outcome.Rank(), b.outcome.Rank()),
			compareBool(a.follows, b.follows),
			cmp.Compare(jb.Units, ja.Units),
			compareArea(jb.AreaM2, ja.AreaM2),
			cmp.Compare(catalogue[a.check].Place, catalogue[b.check].Place),
			cmp.Compare(len(groups[b]), len(groups[a])),
			cmp.Compare(a.cause, b.cause),
			cmp.Compare(a.section, b.section),
		)
	})
	comments := make([]Comment, 0, len(order))
	for n, k := range order {
		members := groups[k]
		c := Comment{Number: n + 1, Check: k.check, Outcome: k.outcome, Section: k.section}
		for _, i := range members {
			items[i].Comment = n + 1
			c.Items = append(c.Items, items[i].Key)
			c.Places = append(c.Places, items[i].Where())
		}
		c.Text = text(items, members, catalogue[k.check].Title)
		comments = append(comments, c)
	}
	slices.SortStableFunc(items, func(a, b Item) int {
		return cmp.Or(cmp.Compare(after(a.Comment), after(b.Comment)),
			cmp.Compare(catalogue[a.Check].Place, catalogue[b.Check].Place))
	})
	return comments
}

func after(comment int) int {
	if comment == 0 {
		return 1 << 30
	}
	return comment
}

// compareArea takes areas within a square centimetre for equal, so that the order does not
// hang on the last digits.
func compareArea(a, b float64) int {
	if d := a - b; d < 1e-4 && d > -1e-4 {
		return 0
	}
	return cmp.Compare(a, b)
}

// worst is the gravest consequence among items.
func worst(items []Item, at []int) Joins {
	var w Joins
	for _, i := range at {
		if j := items[i].Joins; j != nil {
			if j.Units > w.Units || j.Units == w.Units && j.AreaM2 > w.AreaM2 {
				w = *j
			}
		}
	}
	return w
}

// compareBool puts false before true.
func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

// Where is the place with its storey, and where one finds it.
func (it *Item) Where() string {
	var parts []string
	for _, s := range []string{StoreyWord(it.Storey), it.Place, it.At} {
		if s != "" {
			parts = append(parts, s)
		}
	}
	return strings.Join(parts, ", ")
}

// StoreyWord is a storey's name as a text has it: one that is a number alone gets the word
// before it.
func StoreyWord(name string) string {
	if name != "" && strings.Trim(name, "+-.0123456789") == "" {
		return "storey " + name
	}
	return name
}

// text words a comment. When all items say the same, that is the comment; otherwise the
// first one's message stands for all and the places tell the rest.
func text(items []Item, at []int, title string) string {
	first := &items[at[0]]
	same := true
	for _, i := range at {
		same = same && items[i].Message == first.Message && items[i].Remedy == first.Remedy
	}
	var b strings.Builder
	if !same && len(at) > 1 {
		fmt.Fprintf(&b, "The first of %d places: ", len(at))
	}
	b.WriteString(first.Message)
	if first.Message == "" {
		b.WriteString(title)
	}
	if first.Remedy != "" {
		b.WriteString(" " + first.Remedy)
	}
	return b.String()
}
