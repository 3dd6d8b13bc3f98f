package catalogue

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/shown"
	"voidcheck/checks/spread"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/schema"
)

const ft2 = 0.09290304

// example reads one of the invented jurisdictions, starter a starter adoption.
func example(t *testing.T, name string) *adoption.Adoption {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "adoptions", name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	return read(t, name, data)
}

func starter(t *testing.T, name string) *adoption.Adoption {
	t.Helper()
	data, err := schema.Starter(name)
	if err != nil {
		t.Fatal(err)
	}
	return read(t, name, data)
}

func read(t *testing.T, name string, data []byte) *adoption.Adoption {
	t.Helper()
	if p := schema.Validate("adoption", data); len(p) > 0 {
		t.Fatalf("%s: %s", name, p[0])
	}
	a, err := adoption.Read(name, data, checks.Declared(Checks()))
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// judge runs one check over a building put together by hand under an adoption.
func judge(t *testing.T, h *checktest.Hand, a *adoption.Adoption, check string) []finding.Item {
	t.Helper()
	groups := spread.New(&h.R, 0).Groups()
	for i, c := range h.R.Compartments {
		c.Joined = groups[i]
	}
	out, err := checks.Run(context.Background(), checks.Input{
		Catalogue: Checks(), Building: &h.B, Voids: &h.R, Adoption: a, Facts: h.F, Only: []string{check}, Shows: shown.In(&h.B, &h.R),
	})
	if err != nil || len(out.Missing) > 0 {
		t.Fatal(err, out.Missing)
	}
	return out.Items
}

// want compares the outcomes of items, in order.
func want(t *testing.T, what string, items []finding.Item, outcomes ...finding.Outcome) {
	t.Helper()
	var got []string
	for i := range items {
		got = append(got, string(items[i].Outcome))
	}
	var wanted []string
	for _, o := range outcomes {
		wanted = append(wanted, string(o))
	}
	if strings.Join(got, " ") != strings.Join(wanted, " ") {
		t.Errorf("%s: %v, want %v:\n%s", what, got, wanted, checktest.Lines(items))
	}
}

// Ostrel: 500 ft2 where the floor is of I-joists, 1,000 ft2 elsewhere, nothing with NFPA 13.
func TestOstrel(t *testing.T) {
	a := example(t, "ostrel")
	floor := func(f void.Framing, area float64) *checktest.Hand {
		h := checktest.NewHand(1)
		h.F.Sprinklers = "none"
		h.Void(void.KindFloor, 1, []int{0}, area*ft2).Framing = f
		return h
	}
	const check = "floor-draftstop-area"
	want(t, "trusses 999", judge(t, floor(void.FramingTruss, 999), a, check), finding.Meets)
	want(t, "trusses 1,001", judge(t, floor(void.FramingTruss, 1001), a, check), finding.Deficient)
	want(t, "I-joists 499", judge(t, floor(void.FramingI, 499), a, check), finding.Meets)
	items := judge(t, floor(void.FramingI, 501), a, check)
	want(t, "I-joists 501", items, finding.Deficient)
	if it := items[0]; it.Section != "OBR 7-31.2" || it.Limit.Value < 500*ft2-1e-9 || it.Limit.Value > 500*ft2+1e-9 || !strings.Contains(it.Message, "OBR 7-31.2") {
		t.Errorf("%+v", it)
	}
	both := floor(void.FramingI, 501)
	both.Void(void.KindFloor, 1, []int{0}, 600*ft2)
	want(t, "each void by its framing", judge(t, both, a, check), finding.Deficient, finding.Meets)
	sprinklered := floor(void.FramingI, 501)
	sprinklered.F.Sprinklers = "NFPA 13"
	want(t, "NFPA 13", judge(t, sprinklered, a, check), finding.Exempt)
}

// Marrowby: 3,000 ft2 of attic, 9,000 ft2 with NFPA 13, however many units lie below.
func TestMarrowby(t *testing.T) {
	a := example(t, "marrowby")
	attic := func(sprinklers string, area float64) *checktest.Hand {
		h := checktest.NewHand(8)
		h.F.Sprinklers = sprinklers
		h.Void(void.KindAttic, 1, []int{0, 1, 2, 3, 4, 5, 6, 7}, area*ft2)
		return h
	}
	const check = "attic-draftstop-area"
	want(t, "3,000 without", judge(t, attic("none", 3000), a, check), finding.Meets)
	want(t, "3,001 without", judge(t, attic("none", 3001), a, check), finding.Deficient)
	want(t, "9,000 with", judge(t, attic("NFPA 13", 9000), a, check), finding.Meets)
	want(t, "9,001 with", judge(t, attic("NFPA 13", 9001), a, check), finding.Deficient)
	want(t, "3,001 with 13R", judge(t, attic("NFPA 13R", 3001), a, check), finding.Deficient)
	unknown := judge(t, attic("", 3001), a, check)
	want(t, "unknown", unknown, finding.Deficient)
	if u := unknown[0].Undecided; !strings.Contains(u, "what would decide: sprinklers") {
		t.Errorf("undecided %q", u)
	}
	want(t, "turned off", judge(t, attic("none", 3001), a, "floor-membrane"))
}

// Tessenholm: 8 ft up the wall. A 19 ft tall wall wants two rows of blocks (worked example
// 2.8-6), a wall of 8 ft none.
func TestTessenholm(t *testing.T) {
	a := example(t, "tessenholm")
	wall := func(feet float64) *checktest.Hand {
		h := checktest.NewHand(2)
		w := h.Separation(0)
		v := h.Void(void.KindWall, 0, []int{0, 1}, 2)
		v.Wall = w
		h.R.Cavities = append(h.R.Cavities, &void.WallCavity{Wall: w, Void: v, RiseMaxM: feet * 0.3048, Runs: []void.WallRun{{S1: 3, LengthM: 3}}})
		return h
	}
	const check = "wall-fireblock-run"
	want(t, "8 ft", judge(t, wall(8), a, check), finding.Meets, finding.Meets)
	items := judge(t, wall(19), a, check)
	want(t, "19 ft", items, finding.Deficient, finding.Meets)
	if !strings.Contains(items[0].Remedy, "2 rows of blocks, about 6'-4\" apart") {
		t.Error(items[0].Remedy)
	}
	want(t, "without the amendment", judge(t, wall(19), starter(t, "irc-based"), check), finding.Meets)
}

// Each starter expresses its code's ways: the R-2 attic by area or units, whichever is
// smaller, up to four storeys; by unit line above and for R-1 (780 CMR 717.4.2).
func TestAtticWays(t *testing.T) {
	a := starter(t, "ibc-based")
	attic := func(occupancy string, storeys, units int, area float64) *checktest.Hand {
		h := checktest.NewHand(4)
		h.F = adoption.Facts{Occupancy: occupancy, Storeys: storeys, Sprinklers: "none"}
		h.Void(void.KindAttic, 1, []int{0, 1, 2, 3}[:units], area*ft2)
		return h
	}
	const check = "attic-draftstop-area"
	want(t, "R-2 of 3 storeys, two units, 3,000", judge(t, attic("R-2", 3, 2, 3000), a, check), finding.Meets)
	want(t, "R-2 of 3 storeys, two units, 3,001", judge(t, attic("R-2", 3, 2, 3001), a, check), finding.Deficient)
	want(t, "R-2 of 3 storeys, three units, 1,800", judge(t, attic("R-2", 3, 3, 1800), a, check), finding.Deficient)
	want(t, "R-2 of 5 storeys", judge(t, attic("R-2", 5, 3, 9000), a, check), finding.Exempt, finding.Exempt)
	want(t, "R-1", judge(t, attic("R-1", 2, 3, 9000), a, check), finding.Exempt, finding.Exempt)
	want(t, "R-3, units not counted", judge(t, attic("R-3", 2, 3, 2900), a, check), finding.Meets)
	want(t, "R-3, area", judge(t, attic("R-3", 2, 3, 3001), a, check), finding.Deficient)
	open := func(occupancy string, storeys int) *checktest.Hand {
		h := attic(occupancy, storeys, 2, 2000)
		w := h.Separation(0)
		v := h.Void(void.KindAttic, 1, []int{0, 1}, 110, 110)
		h.Open(void.OpenLine, v.Compartments[0], v.Compartments[1], h.Line(void.LineSeparation, v, 0, w, 0, 0), 11, 3)
		return h
	}
	const line = "attic-draftstop-line"
	want(t, "R-2 of 3 storeys", judge(t, open("R-2", 3), a, line), finding.Exempt)
	want(t, "R-2 of 5 storeys", judge(t, open("R-2", 5), a, line), finding.Deficient)
	want(t, "R-1", judge(t, open("R-1", 2), a, line), finding.Deficient)
	want(t, "R-3", judge(t, open("R-3", 2), a, line), finding.Exempt)
}

// Sprinklers: NFPA 13 takes the rule away, 13R only with sprinklers in the concealed spaces
// (780 CMR 717.4.2); the IRC's floor area has no such exception, its floor membrane has.
func TestSprinklers(t *testing.T) {
	yes, no := true, false
	for _, tt := range []struct {
		standard string
		voids    *bool
		ibc      finding.Outcome
		open     bool
	}{
		{"NFPA 13", nil, finding.Exempt, false}, {"NFPA 13R", &yes, finding.Exempt, false}, {"NFPA 13R", &no, finding.Deficient, false},
		{"NFPA 13R", nil, finding.Deficient, true}, {"NFPA 13D", nil, finding.Deficient, false}, {"none", nil, finding.Deficient, false}, {"", nil, finding.Deficient, true},
	} {
		h := checktest.NewHand(1)
		h.F = adoption.Facts{Occupancy: "R-2", Storeys: 3, Sprinklers: tt.standard, SprinklersInVoids: tt.voids}
		h.Void(void.KindAttic, 1, []int{0}, 3001*ft2)
		items := judge(t, h, starter(t, "ibc-based"), "attic-draftstop-area")
		want(t, "IBC attic, "+tt.standard, items, tt.ibc)
		if open := strings.Contains(items[0].Undecided, "sprinklers"); open != tt.open {
			t.Errorf("%q: undecided %q", tt.standard, items[0].Undecided)
		}
		h.Void(void.KindFloor, 1, []int{0}, 1001*ft2)
		want(t, "IRC floor, "+tt.standard, judge(t, h, starter(t, "irc-based"), "floor-draftstop-area"), finding.Deficient)
	}
	for standard, outcome := range map[string]finding.Outcome{"P2904": finding.Exempt, "NFPA 13D": finding.Exempt, "none": finding.Deficient} {
		h := checktest.NewHand(1)
		h.F.Sprinklers = standard
		v := h.Void(void.KindFloor, 1, []int{0}, 60)
		v.Compartments[0].Outline = [][]geom.Vec2{{{}, {X: 6}, {X: 6, Y: 10}, {Y: 10}}}
		h.Part(void.RoleCeiling, -1, 20, 20, 2.4, 21, 21, 2.41)
		want(t, "IRC membrane, "+standard, judge(t, h, starter(t, "irc-based"), "floor-membrane"), outcome)
	}
}

// The two starters hold a lumber draftstop to different lists.
func TestMaterialLists(t *testing.T) {
	h := checktest.NewHand(1)
	e := h.Element("draftstop", "IfcPlate", "DS-1")
	h.B.Things[e].Element.Materials = []string{"SPF lumber"}
	h.Part(void.RoleDraftstop, e, 1, 4, 2.5, 7, 4.01905, 2.9)
	want(t, "IRC", judge(t, h, starter(t, "irc-based"), "draftstop-material"), finding.NotShown)
	want(t, "IBC", judge(t, h, starter(t, "ibc-based"), "draftstop-material"), finding.Meets)
	want(t, "Ostrel", judge(t, h, example(t, "ostrel"), "draftstop-material"), finding.Deficient)
}
