package words

import (
	"testing"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/fixture"
)

func TestPhrases(t *testing.T) {
	for _, tt := range []struct{ got, want string }{
		{Count(1, "place"), "1 place"}, {Count(2, "place"), "2 places"}, {Count(2, "cavity"), "2 cavities"}, {Count(0, "bay"), "0 bays"}, {Count(3, "roof truss"), "3 roof trusses"},
		{First("über"), "Über"}, {First(""), ""}, {First("\xff"), "\xff"}, {List(nil), ""}, {List([]string{"a"}), "a"}, {List([]string{"a", "b", "c"}), "a, b and c"},
		{Join(", ", "", "a", "", "b"), "a, b"}, {Sentence("a"), "a."}, {Sentence("a."), "a."}, {Sentence(""), ""}, {Kind("floor"), "floor void"}, {Kind("attic"), "attic"},
		{Framing("i-joist"), "I-joists"}, {Framing("unknown"), "framing not known"}, {Outcome(finding.NotShown), "Not shown"},
	} {
		if tt.got != tt.want {
			t.Errorf("%q, want %q", tt.got, tt.want)
		}
	}
}

func TestBook(t *testing.T) {
	b := New(fixture.Hostile(t))
	it := b.Items["000000000001"]
	if got := b.Measured(it); got != `1'-8 1/2", limit 1/2"` {
		t.Errorf("measured %q", got)
	}
	for _, tt := range []struct{ got, want string }{
		{b.Title("floor-draftstop-line"), "Floor void stopped at the unit line"}, {b.Title("no-such-check"), "No such check"}, {b.Project(), "Invented Row"},
		{b.UnitName("U1"), "Unit 1 (U1)"}, {b.Unit("U1"), "U1"}, {b.Unit("U9"), "U9"}, {b.Date(), "2026-01-31"}, {b.Void("V2.1").ID, "V2"},
		{b.Where(&finding.Item{}), "the submittal as a whole"}, {b.Measured(&finding.Item{Limit: &finding.Measure{Value: 0.0254, Unit: "m"}}), `limit 1"`},
	} {
		if tt.got != tt.want {
			t.Errorf("%q, want %q", tt.got, tt.want)
		}
	}
	if b.Level("Level 2") != 1 || b.Level("nowhere") != 2 || b.Void("V99") != nil {
		t.Error("a storey or a void is found at the wrong place")
	}
}
