package catalogue

import (
	"strings"
	"testing"

	"voidcheck/checks/adoption"
	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/ifcx/ifctest"
)

// What becomes of a unit wall that stops at the ceiling: in a two-family dwelling the IRC lets
// it where three things hold at once (R302.3: seen in Florida BI-112 extract), in a townhouse
// not; the IBC asks for a draftstop along its line, which R-2 up to four storeys and sprinklers
// to NFPA 13 take away again (780 CMR 717.4.2).
func TestWallThatStopsAtTheCeiling(t *testing.T) {
	house := func(units int, ceiling ifctest.Material, inches float64, defects ...ifctest.Seed) *ifctest.Model {
		h := ifctest.Row(units)
		h.Separation.Attic, h.Floor.Ceiling, h.Defects = "sheet", inches*ifctest.Inch, defects
		m, err := h.Build()
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range m.Find(ifctest.Ceiling) {
			p.Material = ceiling
		}
		return m
	}
	irc, ibc := starter(t, "irc-based"), starter(t, "ibc-based")
	yes := true
	sheet, sixth := house(2, ifctest.GypsumX, 0.625), ifctest.Seed{Kind: "attic-open", Separation: 1}
	for _, tt := range []struct {
		name        string
		m           *ifctest.Model
		a           *adoption.Adoption
		f           adoption.Facts
		top, spread finding.Outcome // of separation-continuity over the top storey, of the way between units
		says        string          // in the exemption or in what is undecided
	}{
		{"two-family, all three", sheet, irc, adoption.Facts{Occupancy: "two-family"}, finding.Exempt, finding.Meets, "two-family attic exception"},
		{"occupancy unknown", sheet, irc, adoption.Facts{}, finding.NotShown, finding.Meets, "what would decide: occupancy"},
		{"townhouse", sheet, irc, adoption.Facts{Occupancy: "townhouse"}, finding.NotShown, finding.Meets, ""},
		{"two-family, 1/2 in ceiling", house(2, ifctest.GypsumX, 0.5), irc, adoption.Facts{Occupancy: "two-family"}, finding.NotShown, finding.Meets, ""},
		{"two-family, not called Type X", house(2, ifctest.GypsumBd, 0.625), irc, adoption.Facts{Occupancy: "two-family"}, finding.NotShown, finding.Meets, "Type X board below the attic shown"},
		{"IBC, draftstop", sheet, ibc, adoption.Facts{Occupancy: "R-1"}, finding.Meets, finding.Meets, ""},
		{"IBC, attic over two of three units", house(3, ifctest.GypsumBd, 0.5, sixth), ibc, adoption.Facts{Occupancy: "R-2", Storeys: 4}, finding.Exempt, finding.Exempt, "718.4.2 exception 3"},
		{"IBC, five storeys", house(3, ifctest.GypsumBd, 0.5, sixth), ibc, adoption.Facts{Occupancy: "R-2", Storeys: 5, Sprinklers: "none"}, finding.Deficient, finding.Deficient, ""},
		{"IBC, NFPA 13", house(3, ifctest.GypsumBd, 0.5, sixth), ibc, adoption.Facts{Occupancy: "R-1", Sprinklers: "NFPA 13"}, finding.Exempt, finding.Exempt, "NFPA 13"},
		{"IBC, NFPA 13R in the voids", house(3, ifctest.GypsumBd, 0.5, sixth), ibc, adoption.Facts{Occupancy: "R-1", Sprinklers: "NFPA 13R", SprinklersInVoids: &yes}, finding.Exempt, finding.Exempt, "NFPA 13R"},
		// A way through the wall cavity stays one, whatever the sprinklers: fireblocks have no such exception.
		{"IBC, NFPA 13, bays open", house(3, ifctest.GypsumBd, 0.5, ifctest.Seed{Kind: "block-missing", Separation: 1, Side: "low", Level: 1, Bay: 4}, ifctest.Seed{Kind: "block-missing", Separation: 1, Side: "high", Level: 1, Bay: 4}),
			ibc, adoption.Facts{Occupancy: "R-1", Sprinklers: "NFPA 13"}, finding.Meets, finding.Deficient, ""},
	} {
		r := checktest.ReviewModel(t, tt.m, ifctest.Disguise{RotateDeg: 20}, checktest.With{Facts: tt.f, Adoption: tt.a}, Checks()...)
		top, ways := finding.Item{}, finding.Outcome("")
		for _, it := range r.Of("separation-continuity") {
			if it.Storey == "Level 2" && (top.Outcome == "" || it.Outcome != finding.Meets) {
				top = it
			}
		}
		for _, it := range r.Of("separation-spread") {
			if ways == "" || it.Outcome != finding.Meets {
				ways = it.Outcome
			}
		}
		if top.Outcome != tt.top || ways != tt.spread || !strings.Contains(top.Exemption+top.Undecided, tt.says) || tt.says == "" && tt.top != finding.Deficient && top.Undecided != "" {
			t.Errorf("%s: top %s, ways %s, want %s and %s; %q %q", tt.name, top.Outcome, ways, tt.top, tt.spread, top.Exemption, top.Undecided)
		}
	}
}
