package critical

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"voidcheck/checks/catalogue"
	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/ifcx/ifctest"
)

func spreadOf(t testing.TB, h ifctest.House, d ifctest.Disguise) *finding.Spread {
	t.Helper()
	r := checktest.Review(t, h, d, catalogue.Checks()...)
	return Make(Input{Building: r.Building, Voids: r.Voids, Items: r.Items, Reports: r.Reports})
}

func small(units int) ifctest.House {
	h := ifctest.Row(units)
	h.Depth = 24 * ifctest.Foot
	for i := range h.Units {
		h.Units[i].Width = 16 * ifctest.Foot
	}
	return h
}

func summary(s *finding.Spread) string {
	var b strings.Builder
	for _, c := range s.Stops {
		fmt.Fprintf(&b, "%s %s, %s: %d/%d of %d\n", c.Kind, c.Storey, c.Place, c.Alone, c.Repaired, len(c.Elements))
	}
	return b.String()
}

// A sound row with double walls: every block of a unit line stands in for the one across the
// cavity, and no stop keeps units apart by itself.
func TestSoundDoubleWall(t *testing.T) {
	s := spreadOf(t, small(2), ifctest.Disguise{})
	if len(s.Groups) != 0 || len(s.Routes) != 0 || len(s.Bridges) != 0 {
		t.Errorf("groups %v, routes %v, bridges %v in a sound row", s.Groups, s.Routes, s.Bridges)
	}
	for _, c := range s.Stops {
		if c.Alone == 1 || c.Repaired == 1 {
			t.Errorf("%s %s keeps units apart alone", c.Storey, c.Place)
		}
	}
	lines := 0
	for _, c := range s.Stops {
		if c.Kind == "block" && strings.HasPrefix(c.Place, "unit line U1/U2, U") {
			lines++
			if c.Alone != 2 || len(c.With) == 0 || !slices.Equal(c.Units, []string{"U1", "U2"}) {
				t.Errorf("%+v, want a pair with the other side", c)
			}
		}
	}
	if lines != 2 {
		t.Errorf("%d lines of blocks in:\n%s", lines, summary(s))
	}
}

// One bay open on the side of U1: the blocks of U2 across the same stretch of cavity lead the
// list, and only they.
func TestOneSideOpen(t *testing.T) {
	h := small(3)
	h.Defects = []ifctest.Seed{{Kind: "block-missing", Separation: 0, Side: "low", Level: 1, Bay: 2}}
	for name, d := range map[string]ifctest.Disguise{"plain": {}, "turned, moved, shuffled": {RotateDeg: 31, Shift: [3]float64{5e4, -2e4, 9}, Seed: 5}} {
		s := spreadOf(t, h, d)
		if len(s.Stops) == 0 || s.Stops[0].Alone != 1 || s.Stops[0].Repaired != 2 || s.Stops[0].Place != "unit line U1/U2, U2 side" {
			t.Fatalf("%s: want the blocks of U2 first:\n%s", name, summary(s))
		}
		// The cavity is blocked every 10 ft: at 2 ft spacing no more than six bays lie along one stretch.
		if n := len(s.Stops[0].Elements); n < 2 || n > 6 {
			t.Errorf("%s: %d blocks keep the units apart alone, want those along one stretch of cavity", name, n)
		}
		if len(s.Stops) > 1 && s.Stops[1].Alone == 1 {
			t.Errorf("%s: a second line alone:\n%s", name, summary(s))
		}
		if len(s.Groups) != 1 || len(s.Groups[0].Spaces) != 2 || !slices.Equal(s.Groups[0].Units, []string{"U1"}) {
			t.Errorf("%s: groups %+v, want the floor void of U1 with a stretch of cavity", name, s.Groups)
		}
	}
}

// A row with single stud walls and sheets in the attic: each alone keeps two units apart.
func TestSingleWall(t *testing.T) {
	h := small(2)
	h.Separation.Kind, h.Separation.Stud, h.Separation.Attic = "single", ifctest.SixWide, "sheet"
	s := spreadOf(t, h, ifctest.Disguise{})
	var block, sheet bool
	for _, c := range s.Stops {
		block = block || c.Kind == "block" && c.Alone == 1 && c.Repaired == 1
		sheet = sheet || c.Kind == "draftstop" && c.Alone == 1 && c.Repaired == 1
	}
	if !block || !sheet {
		t.Errorf("want the blocks and the attic sheet alone:\n%s", summary(s))
	}
}

// A way from unit to unit: its route, the group it makes, and the openings that are bridges.
func TestRoute(t *testing.T) {
	h := small(2)
	h.Defects = []ifctest.Seed{{Kind: "block-missing", Side: "low", Level: 1, Bay: 4}, {Kind: "block-missing", Side: "high", Level: 1, Bay: 4}}
	s := spreadOf(t, h, ifctest.Disguise{})
	if len(s.Routes) != 1 || len(s.Routes[0].Spaces) != 3 || len(s.Routes[0].Openings) != 2 || len(s.Bridges) != 2 {
		t.Fatalf("routes %+v, bridges %v", s.Routes, s.Bridges)
	}
	// 24 in trusses with 3-1/2 in chords leave 20-1/2 in; the void is 20 in high.
	if c := s.Routes[0].ClearM; c < 20*ifctest.Inch-1e-3 || c > 20*ifctest.Inch+1e-3 {
		t.Errorf("narrowest clear size %.4f m, want 0.508", c)
	}
	if len(s.Groups) != 1 || len(s.Groups[0].Units) != 2 {
		t.Errorf("groups %+v", s.Groups)
	}
}

func BenchmarkMake(b *testing.B) {
	for _, n := range []int{2, 8} {
		r := checktest.Review(b, small(n), ifctest.Disguise{}, catalogue.Checks()...)
		b.Run(fmt.Sprintf("units=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Make(Input{Building: r.Building, Voids: r.Voids, Items: r.Items, Reports: r.Reports})
			}
		})
	}
}
