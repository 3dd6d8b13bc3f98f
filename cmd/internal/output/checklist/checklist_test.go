package checklist

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/fixture"
	"voidcheck/cmd/internal/output/paper"
	"voidcheck/cmd/internal/output/plan"
	"voidcheck/cmd/internal/output/words"
)

// Every defect that is no consequence of another, and every stop that is in order, has a row
// with a box, a number and room for a note; rows are in the order of storeys and units, and
// in each group what most hangs on comes first.
func TestRows(t *testing.T) {
	r := fixture.Demo(t)
	b := words.New(r)
	rows := rowsOf(b, plan.New(b))
	listed := map[string]bool{}
	for i, x := range rows {
		listed[x.it.Key] = true
		if x.number != i+1 {
			t.Errorf("row %d has the number %d", i+1, x.number)
		}
		if i == 0 {
			continue
		}
		last := rows[i-1]
		if b.Level(last.it.Storey) > b.Level(x.it.Storey) {
			t.Errorf("row %d of %q comes after %q", i+1, x.it.Storey, last.it.Storey)
		}
		if last.it.Storey == x.it.Storey && slices.Equal(last.it.Units, x.it.Units) && last.weight < x.weight {
			t.Errorf("row %d weighs more than the one before in its group: %s after %s", i+1, x.it.Place, last.it.Place)
		}
	}
	for i := range r.Items {
		it := &r.Items[i]
		if it.Outcome == finding.Deficient && len(it.ConsequenceOf) == 0 && it.Check != "separation-continuity" && !listed[it.Key] {
			t.Errorf("not listed: %s at %s", it.Check, it.Place)
		}
		if listed[it.Key] && (it.Check == "separation-spread" || it.Outcome == finding.Note) {
			t.Errorf("listed, and there is nothing to look at: %s", it.Place)
		}
	}
	boxes, notes := 0, 0
	for _, k := range Make(r).Blocks {
		if tab, ok := k.(*paper.Table); ok {
			for _, row := range tab.Rows {
				for _, c := range row.Cells {
					if c.Tick {
						boxes++
					}
					if c.Lines > 0 {
						notes++
					}
				}
			}
		}
	}
	if boxes != len(rows) || notes != 2*len(rows) || len(rows) < 40 {
		t.Errorf("%d boxes and %d notes for %d rows", boxes, notes, len(rows))
	}
}

// The opening list has the two ways from unit to unit of the demo (its README names the
// seeded mistakes) before anything that is in order.
func TestFirst(t *testing.T) {
	b := words.New(fixture.Demo(t))
	first, more := firstOf(b, rowsOf(b, plan.New(b)))
	var places []string
	for _, r := range first.Rows {
		places = append(places, r.Cells[1].Text)
	}
	for i, want := range []string{"unit line U1/U2, bay between", "unit line U1/U2, bay between", "unit line U2/U3, gap above the wall"} {
		if !strings.Contains(places[i], want) {
			t.Errorf("row %d is %q, want %q", i+1, places[i], want)
		}
	}
	// In the findings' own reckoning one line of blocks alone keeps two units apart: U4's side
	// of U3/U4, where a bay of the other side is open.
	if !strings.Contains(places[3], "unit line U3/U4, U4 side") || !strings.HasPrefix(first.Rows[3].Cells[2].Text, "Alone keeps U3 and U4 apart: without it ") {
		t.Errorf("row 4 is %q: %q", places[3], first.Rows[3].Cells[2].Text)
	}
	if len(places) != mostFirst || !strings.Contains(more, "6 places: numbers ") {
		t.Errorf("%d rows: %q; %q", len(places), places, more)
	}
}

// What the examiner sends the inspector to comes early, what was accepted is left out.
func TestDecisions(t *testing.T) {
	r := fixture.Demo(t)
	var field, accepted *finding.Item
	for i := range r.Items {
		switch it := &r.Items[i]; {
		case it.Check == "separation-continuity" && it.Outcome == finding.Deficient:
			field = it
		case it.Check == "wall-fireblock-run" && it.Outcome == finding.Deficient:
			accepted = it
		}
	}
	field.Disposition = &finding.Disposition{Key: field.Key, Decision: finding.VerifyInField, Reason: "said to be closed"}
	accepted.Disposition = &finding.Disposition{Key: accepted.Key, Decision: finding.Accepted, Reason: "small"}
	b := words.New(r)
	seen := 0
	rows := rowsOf(b, plan.New(b))
	for _, x := range rows {
		if x.it == accepted {
			t.Error("an accepted item is listed")
		}
		if x.it == field {
			seen++
			if !strings.Contains(small(b, x), "To be verified in the field: said to be closed.") {
				t.Errorf("the decision is missing: %s", small(b, x))
			}
		}
	}
	first, _ := firstOf(b, rows)
	if seen != 1 || !strings.Contains(first.Rows[3].Cells[2].Text, "verified in the field") {
		t.Errorf("%d rows; the fourth to look at first is %q", seen, first.Rows[3].Cells[2].Text)
	}
}

// Every stop that the findings call critical is in one row, and no stop is in two.
func TestCriticalStops(t *testing.T) {
	r := fixture.Demo(t)
	b := words.New(r)
	in := map[string]int{}
	for _, x := range rowsOf(b, plan.New(b)) {
		for _, c := range x.stops {
			in[c.ID]++
			if !slices.Equal(c.Units, x.it.Units) || c.Storey != x.it.Storey {
				t.Errorf("%s (%s) stands in the row of %s", c.ID, c.Place, x.it.Place)
			}
		}
	}
	if len(r.Spread.Stops) < 5 {
		t.Fatalf("only %d critical stops", len(r.Spread.Stops))
	}
	for _, c := range r.Spread.Stops {
		if in[c.ID] != 1 {
			t.Errorf("%s (%s) stands in %d rows", c.ID, c.Place, in[c.ID])
		}
	}
	// Without rows to stand in, each gets its own.
	var none []*row
	if rows := attach(b, none); len(rows) != len(r.Spread.Stops) {
		t.Errorf("%d rows for %d stops", len(rows), len(r.Spread.Stops))
	}
}

// Every number with a place stands on a plan of its level.
func TestPlans(t *testing.T) {
	r := fixture.Demo(t)
	b := words.New(r)
	rows := rowsOf(b, plan.New(b))
	drawn := map[string]int{}
	figures := 0
	for _, k := range Make(r).Blocks {
		f, ok := k.(paper.Figure)
		if !ok {
			continue
		}
		figures++
		for i, s := range f.Picture.Shapes {
			if s.Bold && i > 0 && s.Text != "" {
				drawn[s.Text]++
			}
		}
	}
	for _, x := range rows {
		if n := drawn[fmt.Sprint(x.number)]; x.it.Storey != "" && hasPlace(x.it) && n != 1 {
			t.Errorf("number %d (%s) is drawn %d times", x.number, x.it.Place, n)
		}
	}
	if figures != 4 {
		t.Errorf("%d plans, want walls of level 1; floor, walls and attic of level 2", figures)
	}
}

func TestHostile(t *testing.T) {
	for name, r := range map[string]*finding.Report{"sample": fixture.Hostile(t), "layered": fixture.Layered(t), "renamed": fixture.Renamed(t, "<script>x</script>\x1b\u202e 屋"), "empty": {}} {
		d := Make(r)
		for _, f := range []paper.Format{paper.HTML, paper.PDF, paper.DOCX} {
			var b bytes.Buffer
			if err := paper.Write(&b, d, f); err != nil {
				t.Errorf("%s, %s: %v", name, f, err)
			}
			if f != paper.HTML {
				continue
			}
			if strings.Contains(b.String(), "<script") || strings.ContainsAny(b.String(), "\x1b\u202e") {
				t.Errorf("%s: a name became markup", name)
			}
			for _, c := range r.Cautions {
				if !strings.Contains(b.String(), strings.ReplaceAll(c, `"`, "&#34;")) {
					t.Errorf("%s: a caution is missing", name)
				}
			}
		}
	}
}
