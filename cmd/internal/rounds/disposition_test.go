package rounds_test

import (
	"strings"
	"testing"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/rounds"
	"voidcheck/schema"
)

// report is a round with one item of each key, put together by hand.
func report(round int, items ...finding.Item) *finding.Report {
	r := &finding.Report{Format: finding.Format, Run: finding.Run{Round: round, Units: "us"}, Cautions: finding.Cautions, Items: items}
	r.Building.Storeys = []finding.Storey{{Name: "Level 1"}}
	r.Checks = []finding.Ran{{Name: "wall-fireblock-run", On: true}}
	return r
}

func item(key string, o finding.Outcome, metres float64) finding.Item {
	return finding.Item{Key: key, Check: "wall-fireblock-run", Outcome: o, Storey: "Level 1", Place: "cavity " + key, Measured: &finding.Measure{Value: metres, Unit: "m"},
		Limit: &finding.Measure{Value: 3.048, Unit: "m"}}
}

const reviewText = `{
  "format": "voidcheck-review-1",
  "dispositions": [
    {"key": "aaaaaaaaaaaa", "decision": "accepted", "reason": "mineral wool seen on site", "by": "K. Moss", "round": 1},
    {"key": "bbbbbbbbbbbb", "decision": "waived", "by": "K. Moss", "section": "104.11", "round": 1},
    {"key": "cccccccccccc", "decision": "verify-in-field", "note": "with the framing inspection", "round": 1},
    {"key": "dddddddddddd", "decision": "accepted", "reason": "as built", "round": 1},
    {"key": "eeeeeeeeeeee", "decision": "accepted", "reason": "of another file", "round": 1}
  ]
}`

// Decisions are carried: one holds, one item got longer since, one is verified in the field
// whatever its size, one is mended, one names nothing.
func TestDispositionsAreCarried(t *testing.T) {
	r, err := rounds.ReadReview("review.json", []byte(reviewText))
	if err != nil {
		t.Fatal(err)
	}
	last := report(1, item("aaaaaaaaaaaa", finding.Deficient, 4), item("bbbbbbbbbbbb", finding.Deficient, 4), item("cccccccccccc", finding.Deficient, 4), item("dddddddddddd", finding.Deficient, 4))
	this := report(2, item("aaaaaaaaaaaa", finding.Deficient, 4), item("bbbbbbbbbbbb", finding.Deficient, 6), item("cccccccccccc", finding.Deficient, 5), item("dddddddddddd", finding.Meets, 3))
	c := rounds.Compare(last, this)
	next, unknown := c.Apply(r, last, this)
	if len(unknown) != 1 || unknown[0].Key != "eeeeeeeeeeee" {
		t.Errorf("unknown %+v, want the decision of another file", unknown)
	}
	look := map[string]bool{}
	for _, x := range c.Changes {
		if x.Disposition == nil {
			t.Errorf("%s has lost its decision", x.LastKey)
		}
		look[x.LastKey] = x.LookAgain
	}
	if look["aaaaaaaaaaaa"] || !look["bbbbbbbbbbbb"] || look["cccccccccccc"] || look["dddddddddddd"] {
		t.Errorf("to be looked at again: %v, want only the run that got longer", look)
	}
	held := map[string]bool{}
	for i := range this.Items {
		held[this.Items[i].Key] = this.Items[i].Disposition.Settles()
	}
	if !held["aaaaaaaaaaaa"] || held["bbbbbbbbbbbb"] || held["cccccccccccc"] {
		t.Errorf("settled: %v, want only the accepted item that did not change", held)
	}
	text, err := next.Write()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range schema.Validate("review", text) {
		t.Errorf("review.json: %s\n%s", p, text)
	}
	again, err := rounds.ReadReview("review.json", text)
	if err != nil || len(again.Dispositions) != 5 || again.Round != 2 {
		t.Fatalf("%v: %+v", err, again)
	}
	for _, d := range again.Dispositions {
		if closed := d.ClosedIn == 2; closed != (d.Key == "dddddddddddd") {
			t.Errorf("%s closed in round %d", d.Key, d.ClosedIn)
		}
	}
}

// A decision about an item that was gone for a round is told with the item when it is back, to
// be taken again.
func TestItemsThatComeBack(t *testing.T) {
	r, err := rounds.ReadReview("review.json", []byte(`{"format": "voidcheck-review-1", "dispositions": [
		{"key": "aaaaaaaaaaaa", "decision": "accepted", "reason": "mineral wool seen on site", "by": "K. Moss", "round": 1},
		{"key": "bbbbbbbbbbbb", "decision": "accepted", "reason": "as built", "round": 1}]}`))
	if err != nil {
		t.Fatal(err)
	}
	open := func(round int, keys ...string) *finding.Report {
		var items []finding.Item
		for _, k := range keys {
			items = append(items, item(k, finding.Deficient, 4))
		}
		return report(round, items...)
	}
	one, two, three, four := open(1, "aaaaaaaaaaaa", "bbbbbbbbbbbb"), open(2, "bbbbbbbbbbbb"), open(3, "aaaaaaaaaaaa", "bbbbbbbbbbbb"), open(4, "aaaaaaaaaaaa", "bbbbbbbbbbbb")
	r, _ = rounds.Compare(one, two).Apply(r, one, two)
	c := rounds.Compare(two, three)
	r, _ = c.Apply(r, two, three)
	for _, x := range c.Changes {
		if back := x.Key == "aaaaaaaaaaaa"; x.Disposition == nil || x.LookAgain != back || back != (x.State == rounds.New) {
			t.Errorf("round 3: %+v", x)
		}
	}
	var b strings.Builder
	if err := rounds.WriteTable(&b, c); err != nil {
		t.Fatal(err)
	}
	if want := "LOOK AGAIN, the item was gone in round 2 and is back"; !strings.Contains(strings.Join(strings.Fields(b.String()), " "), want) {
		t.Errorf("table lacks %q:\n%s", want, b.String())
	}
	if three.Items[0].Disposition.Settles() {
		t.Error("a decision of before settles an item that is back")
	}
	c = rounds.Compare(three, four)
	c.Apply(r, three, four)
	for _, x := range c.Changes {
		if back := x.Key == "aaaaaaaaaaaa"; back != (x.Disposition == nil) {
			t.Errorf("round 4: %+v", x)
		}
	}
}

func TestReviewFileIsChecked(t *testing.T) {
	for name, c := range map[string]struct{ change, to, want string }{
		"no reason":  {`"reason": "mineral wool seen on site", `, "", "review.json:4:5: dispositions[0]: an item is accepted with a reason; give reason"},
		"no section": {`, "section": "104.11"`, "", "review.json:5:5: dispositions[1]: an item is waived by somebody and under a section; give by and section"},
		"decision":   {`"verify-in-field"`, `"forgotten"`, "review.json:6:"},
		"twice":      {"bbbbbbbbbbbb", "aaaaaaaaaaaa", "stands twice"},
		"syntax":     {"]", "", "review.json:"},
		"format":     {"review-1", "review-7", "review.json:2:"},
	} {
		_, err := rounds.ReadReview("review.json", []byte(strings.Replace(reviewText, c.change, c.to, 1)))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}

func TestReadFindings(t *testing.T) {
	good := `{"format": "voidcheck-findings-1", "added_later": 1, "run": {"round": 3}, "items": [{"key": "aaaaaaaaaaaa", "check": "x", "outcome": "meets", "also_new": true}]}`
	if r, err := rounds.Read("last.json", []byte(good)); err != nil || r.Run.Round != 3 || len(r.Items) != 1 {
		t.Errorf("%v %+v", err, r)
	}
	for name, c := range map[string]struct{ change, to, want string }{
		"newer":     {"findings-1", "findings-2", "is newer than this program"},
		"older":     {"findings-1", "findings-0", "is older than what this program reads"},
		"other":     {"voidcheck-findings-1", "something", `its format is "something"`},
		"no format": {`"format": "voidcheck-findings-1", `, "", "has no format"},
		"cut off":   {"}]}", "}", "last.json:1:"},
		"no items":  {`"items"`, `"things"`, "have no items"},
		"no key":    {`"key": "aaaaaaaaaaaa", `, "", "item 1 has no key"},
		"outcome":   {"meets", "perhaps", `no outcome that is known ("perhaps")`},
		"twice":     {"}]", `}, {"key": "aaaaaaaaaaaa", "check": "x", "outcome": "meets"}]`, "stands twice"},
		"type":      {`"round": 3`, `"round": "three"`, "cannot be read"},
	} {
		_, err := rounds.Read("last.json", []byte(strings.Replace(good, c.change, c.to, 1)))
		if err == nil || !strings.HasPrefix(err.Error(), "last.json:") || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
	if _, err := rounds.Read("last.json", nil); err == nil {
		t.Error("an empty file is read")
	}
}

// FuzzRead looks for findings and review files that break the readers.
func FuzzRead(f *testing.F) {
	f.Add([]byte(reviewText))
	f.Add([]byte(`{"format": "voidcheck-findings-1", "run": {"round": 3}, "items": [{"key": "aaaaaaaaaaaa", "check": "x", "outcome": "meets"}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		if r, err := rounds.Read("f", data); err == nil {
			rounds.Compare(r, r)
		}
		_, _ = rounds.ReadReview("f", data)
	})
}
