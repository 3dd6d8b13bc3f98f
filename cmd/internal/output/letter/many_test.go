package letter

import (
	"fmt"
	"strings"
	"testing"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/words"
)

// Many places of one unit line stand in one row, and none is left out.
func TestGathered(t *testing.T) {
	r := &finding.Report{}
	for i := range 30 {
		side := "U1 side"
		if i >= 20 {
			side = "U2 side"
		}
		r.Items = append(r.Items, finding.Item{
			Key: fmt.Sprint(i), Storey: "Level 2", Place: fmt.Sprintf("unit line U1/U2, bay between trusses %d and %d, %s", i, i+1, side), At: fmt.Sprintf("%d'-0\" from the north end", i+1),
		})
	}
	l := &letter{b: words.New(r), r: r}
	var items []*finding.Item
	for i := range r.Items {
		items = append(items, &r.Items[i])
	}
	table := l.places(items, false, false, false)
	if len(table.Rows) != 2 {
		t.Fatalf("%d rows, want one for each side", len(table.Rows))
	}
	for i, want := range []string{"a to t|Level 2, unit line U1/U2, U1 side, 20 places", "u to ad|Level 2, unit line U1/U2, U2 side, 10 places"} {
		if c := table.Rows[i].Cells; c[0].Text+"|"+c[1].Text != want {
			t.Errorf("row %d: %q, %q; want %s", i, c[0].Text, c[1].Text, want)
		}
	}
	all := table.Rows[0].Cells[1].Small + "; " + table.Rows[1].Cells[1].Small
	for i := range 30 {
		if want := fmt.Sprintf("bay between trusses %d and %d, %d'-0\" from the north end", i, i+1, i+1); !strings.Contains(all, want) {
			t.Errorf("%q is missing", want)
		}
	}
}
