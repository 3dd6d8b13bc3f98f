package catalogue

import (
	"math"
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

// A unit wall that goes on into the attic and ends below the sheathing there is about the attic: of
// R-2 up to four storeys neither it nor the way over it is asked for (780 CMR 717.4.2).
func TestWallShortInAnAtticThatMayRunOn(t *testing.T) {
	h := ifctest.Row(3)
	h.Separation.Attic, h.Defects = "wall", []ifctest.Seed{{Kind: "attic-short", Separation: 1, Size: 0.127}}
	m, err := h.Build()
	if err != nil {
		t.Fatal(err)
	}
	for storeys, want := range map[int]finding.Outcome{4: finding.Exempt, 5: finding.Deficient} {
		r := checktest.ReviewModel(t, m, ifctest.Disguise{}, checktest.With{Facts: adoption.Facts{Occupancy: "R-2", Storeys: storeys, Sprinklers: "none"}, Adoption: starter(t, "ibc-based")}, Checks()...)
		n := 0
		for _, check := range []string{"attic-draftstop-line", "separation-continuity", "separation-spread"} {
			for _, it := range r.Of(check) {
				if it.Outcome == finding.Meets || it.Storey != "Level 2" {
					continue
				}
				if n++; it.Outcome != want {
					t.Errorf("%d storeys: %s, %s: %s, want %s", storeys, check, it.Place, it.Outcome, want)
				}
			}
		}
		if n < 3 {
			t.Errorf("%d storeys: %d items", storeys, n)
		}
	}
}

// A unit wall tight to the exterior wall at both ends (R302.2.2, R302.3: seen in Florida BI-112
// extract and in an officials' discussion): one that ends short leaves rooms of two units open to
// each other, by so much; a doorway is no such gap.
func TestWallThatEndsShortOfTheOuterWall(t *testing.T) {
	for _, tt := range []struct{ short, door float64 }{{0, 0}, {0.05, 0}, {0.5, 0}, {0, 0.9}} {
		h := ifctest.Row(3)
		h.Layered = true
		m, err := h.Build()
		if err != nil {
			t.Fatal(err)
		}
		x := h.Layout().Separation(1)
		_, void := h.Layout().Void(0)
		end := 0.0
		for _, r := range m.Rooms {
			for _, s := range r.Solids {
				end = max(end, s.Bounds().Max.Y)
			}
		}
		if end > void.Hi {
			t.Fatalf("rooms up to %.3f, void to %.3f", end, void.Hi)
		}
		for _, p := range m.Find(ifctest.WallSep) {
			b := p.Bounds()
			if c := b.Center().X; len(p.Solids) == 0 || c < x.Lo || c > x.Hi || p.Storey != 0 {
				continue
			}
			if tt.short > 0 {
				y := ifctest.Span{Lo: b.Min.Y, Hi: end - tt.short}
				p.Solids = []ifctest.Prism{ifctest.Box(ifctest.Span{Lo: b.Min.X, Hi: b.Max.X}, y, ifctest.Span{Lo: b.Min.Z, Hi: b.Max.Z}, ifctest.Z)}
				for i := range p.LayerSet.Line {
					p.LayerSet.Line[i].X = min(p.LayerSet.Line[i].X, y.Len())
				}
			}
			if tt.door > 0 {
				p.Openings = append(p.Openings, ifctest.Opening{Name: "door", Solid: ifctest.Box(ifctest.Span{Lo: b.Min.X - 0.1, Hi: b.Max.X + 0.1}, ifctest.Span{Lo: 3, Hi: 3 + tt.door}, ifctest.Span{Lo: b.Min.Z, Hi: b.Min.Z + 2}, ifctest.X)})
			}
		}
		for _, d := range []ifctest.Disguise{{}, {RotateDeg: 31, Mirror: true, Unit: "ft"}} {
			r := checktest.ReviewModel(t, m, d, checktest.With{Facts: checktest.Facts}, Checks()...)
			var got []finding.Item
			for _, it := range r.Of("separation-continuity") {
				if it.Outcome == finding.Deficient {
					got = append(got, it)
				}
			}
			switch {
			case tt.short == 0 && len(got) > 0:
				t.Errorf("door %g: %s", tt.door, checktest.Lines(got))
			case tt.short > 0 && (len(got) != 1 || got[0].Storey != "Level 1" || math.Abs(got[0].Measured.Value-tt.short) > 0.002 || got[0].Units[0] != "U2" && got[0].Units[1] != "U2"):
				t.Errorf("%g m short: %s", tt.short, checktest.Lines(got))
			}
		}
	}
}
