package letter

import (
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/paper"
	"voidcheck/cmd/internal/output/words"
)

// many is how many places of a comment are too many for a row each, where they say no more
// than where they are.
const many = 12

// gathered is the table of many places, those of one line or wall in one row: no place is
// left out.
func (l *letter) gathered(items []*finding.Item, measured bool) *paper.Table {
	t := &paper.Table{Head: []string{"", "Places"}, Widths: []float64{16, 162}}
	type group struct {
		name          string
		first, places int
		list          []string
	}
	var groups []*group
	for i, it := range items {
		name, place := apart(it)
		if lead := alike(items); lead != "" {
			place = words.Join(": ", place, strings.TrimSuffix(strings.TrimPrefix(it.Message, lead+": "), "."))
		} else if s := l.b.Measured(it); measured && s != "" {
			place = words.Join(" ", place, "("+s+")")
		}
		n := len(groups)
		if n == 0 || groups[n-1].name != name {
			groups = append(groups, &group{name: name, first: i})
			n++
		}
		groups[n-1].places++
		if place != "" {
			groups[n-1].list = append(groups[n-1].list, place)
		}
	}
	for _, g := range groups {
		number := letters(g.first)
		if g.places > 1 {
			number += " to " + letters(g.first+g.places-1)
		}
		t.Rows = append(t.Rows, paper.Row{Cells: []paper.Cell{{Text: number}, {Text: words.First(g.name) + map[bool]string{true: ", " + words.Count(g.places, "place"), false: ""}[g.places > 1], Small: strings.Join(g.list, "; ")}}})
	}
	return t
}

// alike is how the differing messages of items begin, up to the colon before their sizes; ""
// where they are the same, or differ before it.
func alike(items []*finding.Item) string {
	lead, _, ok := strings.Cut(items[0].Message, ": ")
	if !ok || same(items, func(it *finding.Item) string { return it.Message }) != "" {
		return ""
	}
	for _, it := range items {
		if !strings.HasPrefix(it.Message, lead+": ") {
			return ""
		}
	}
	return lead
}

// apart parts an item's place into the line or wall it is in, with its side, and the rest.
func apart(it *finding.Item) (name, rest string) {
	parts := strings.Split(it.Place, ", ")
	side := ""
	if n := len(parts); n > 1 && strings.HasSuffix(parts[n-1], " side") {
		side, parts = parts[n-1], parts[:n-1]
	}
	return words.Join(", ", finding.StoreyWord(it.Storey), parts[0], side), words.Join(", ", strings.Join(parts[1:], ", "), it.At)
}
