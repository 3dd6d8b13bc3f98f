package whatif_test

import (
	"slices"
	"testing"

	"voidcheck/checks/catalogue"
	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/whatif"
)

// An amended limit is told, and past findings are judged by it where its condition holds.
func TestAmendedLimits(t *testing.T) {
	_, plain := adopt(t, `{"floor-draftstop-area": {"max-area": "1000 ft2"}}`)
	_, amended := adopt(t, `{"floor-draftstop-area": {"max-area": "1000 ft2", "instead": [
		{"when": {"framing": ["i-joist"]}, "max-area": "500 ft2", "because": "laminated I-joists"}]}}`)
	const ft2 = 0.09290304
	item := func(key, space string) finding.Item {
		return finding.Item{Key: key, Check: "floor-draftstop-area", Outcome: finding.Meets, Spaces: []string{space},
			Measured: &finding.Measure{Value: 600 * ft2, Unit: "m2"}, Limit: &finding.Measure{Value: 1000 * ft2, Unit: "m2"}}
	}
	r := &finding.Report{
		Items:  []finding.Item{item("a", "V1.1"), item("b", "V2.1")},
		Checks: []finding.Ran{{Name: "floor-draftstop-area", On: true, Limits: map[string]string{"max-area": "1000 ft2"}}},
		Spaces: []finding.Space{
			{ID: "V1", Framing: "i-joist", Compartments: []finding.Compartment{{ID: "V1.1"}}},
			{ID: "V2", Framing: "open-web-truss", Compartments: []finding.Compartment{{ID: "V2.1"}}},
		},
	}
	c := whatif.New(plain, amended, catalogue.Checks())
	if len(c.Differences) != 1 || c.Differences[0].Text != "max-area 500 ft2 where framing i-joist" {
		t.Errorf("differences %+v", c.Differences)
	}
	m := c.Past("past.json", r, plain, amended, catalogue.Checks())
	if len(m.Changes) != 1 || m.Changes[0].Key != "a" || m.Changes[0].B != finding.Deficient {
		t.Errorf("changes %+v", m.Changes)
	}
	back := c.Past("past.json", r, amended, plain, catalogue.Checks())
	if len(back.Changes) != 1 || back.Changes[0].A != finding.Deficient {
		t.Errorf("changes back %+v", back.Changes)
	}
}

// Past findings know the kinds of the spaces that an item is about; a switch needs the models.
func TestSpacesAndSwitches(t *testing.T) {
	_, plain := adopt(t, `{"separation-spread": {"min-opening": "1/2 in"}}`)
	_, attics := adopt(t, `{"separation-spread": {"exempt": [{"when": {"spaces": ["attic"]}, "because": "attics may run on"}]}, "separation-continuity": {"wall-in-attic": true}}`)
	item := func(key string, spaces ...string) finding.Item {
		return finding.Item{Key: key, Check: "separation-spread", Outcome: finding.Deficient, Spaces: spaces}
	}
	r := &finding.Report{
		Items:  []finding.Item{item("a", "V1.1", "V1.2"), item("b", "V1.1", "V2.1")},
		Checks: []finding.Ran{{Name: "separation-spread", On: true, Limits: map[string]string{"min-opening": "1/2 in"}}, {Name: "separation-continuity", On: true, Limits: map[string]string{"max-gap": "1/2 in"}}},
		Spaces: []finding.Space{
			{ID: "V1", Kind: "attic", Compartments: []finding.Compartment{{ID: "V1.1"}, {ID: "V1.2"}}},
			{ID: "V2", Kind: "wall", Compartments: []finding.Compartment{{ID: "V2.1"}}},
		},
	}
	c := whatif.New(plain, attics, catalogue.Checks())
	m := c.Past("past.json", r, plain, attics, catalogue.Checks())
	if len(m.Changes) != 1 || m.Changes[0].Key != "a" || m.Changes[0].B != finding.Exempt {
		t.Errorf("changes %+v", m.Changes)
	}
	if want := "separation-continuity wall-in-attic differ: what that changes needs the models"; !slices.Contains(m.Untold, want) {
		t.Errorf("untold %q", m.Untold)
	}
}
