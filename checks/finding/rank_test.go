package finding

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestGroup(t *testing.T) {
	catalogue := map[string]Entry{
		"line": {Title: "lines", Place: 0}, "area": {Title: "areas", Place: 1}, "hole": {Title: "holes", Place: 2}, "list": {Title: "voids", Place: 3, Inventory: true},
	}
	items := []Item{
		{Key: "n", Check: "list", Outcome: Note, Message: "V1"},
		{Key: "m", Check: "area", Outcome: Meets},
		{Key: "s", Check: "line", Outcome: NotShown, Message: "S.", Joins: &Joins{Units: 5, AreaM2: 900}},
		{Key: "f", Check: "area", Outcome: Deficient, Message: "F.", Joins: &Joins{Units: 3, AreaM2: 300}, ConsequenceOf: []string{"b"}},
		{Key: "a", Check: "hole", Outcome: Deficient, Message: "A.", Remedy: "Close it.", Joins: &Joins{Units: 1, AreaM2: 500}},
		{Key: "b", Check: "line", Outcome: Deficient, Cause: "bay", Message: "B 1.", Storey: "Level 2", Place: "bay 1", Joins: &Joins{Units: 2, AreaM2: 100}},
		{Key: "c", Check: "line", Outcome: Deficient, Cause: "bay", Message: "B 2.", Storey: "Level 2", Place: "bay 2"},
		{Key: "x", Check: "line", Outcome: Exempt, Message: "X.", Exemption: "E 1"},
		{Key: "y", Check: "line", Outcome: Exempt, Message: "Y.", Exemption: "E 2"},
	}
	want := []Comment{
		{Number: 1, Check: "line", Outcome: Deficient, Items: []string{"b", "c"}, Text: "The first of 2 places: B 1.", Places: []string{"Level 2, bay 1", "Level 2, bay 2"}},
		{Number: 2, Check: "hole", Outcome: Deficient, Items: []string{"a"}, Text: "A. Close it.", Places: []string{""}},
		{Number: 3, Check: "area", Outcome: Deficient, Items: []string{"f"}, Text: "F.", Places: []string{""}},
		{Number: 4, Check: "line", Outcome: NotShown, Items: []string{"s"}, Text: "S.", Places: []string{""}},
		{Number: 5, Check: "line", Outcome: Exempt, Items: []string{"x"}, Text: "X.", Places: []string{""}},
		{Number: 6, Check: "line", Outcome: Exempt, Items: []string{"y"}, Text: "Y.", Places: []string{""}},
	}
	if d := cmp.Diff(want, Group(items, catalogue)); d != "" {
		t.Errorf("comments (-want +got):\n%s", d)
	}
	var order []string
	for i := range items {
		order = append(order, items[i].Key)
	}
	if want := []string{"b", "c", "a", "f", "s", "x", "y", "m", "n"}; !slices.Equal(order, want) {
		t.Errorf("items in the order %v, want %v", order, want)
	}
}

func TestNatural(t *testing.T) {
	list := []string{"FT-14", "FT-9", "FT-09", "A", "", "FT", "9", "10"}
	slices.SortFunc(list, Natural)
	if want := []string{"", "9", "10", "A", "FT", "FT-9", "FT-09", "FT-14"}; !slices.Equal(list, want) {
		t.Errorf("%q, want %q", list, want)
	}
}

func TestClean(t *testing.T) {
	for in, want := range map[string]string{
		"plain": "plain", "a\x1b[31mb": "a[31mb", "a\nb\tc": "a b c", "a\u202eb\u2066c\ufeff": "abc", "屋é🏠": "屋é🏠", "\x00\x7f\u0085": "",
	} {
		if got := Clean(in); got != want {
			t.Errorf("Clean(%q) = %q, want %q", in, got, want)
		}
	}
}
