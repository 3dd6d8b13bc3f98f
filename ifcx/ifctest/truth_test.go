package ifctest

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.Abs(got-want) > tol {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}

// pair is the worked example of two units 6.0 m x 11.0 m with trusses 0.40 m deep at 0.61 m.
func pair() House {
	h := Row(2)
	h.Name = "Pair"
	for i := range h.Units {
		h.Units[i] = Unit{Width: 6}
	}
	h.Depth, h.Floor.Depth, h.Floor.Spacing = 11, 0.40, 0.61
	h.Separation.Stud, h.Separation.Gap = 0.089, 0.025
	return h
}

func (m *Model) voidsOf(kind string) []Void {
	var out []Void
	for _, v := range m.Truth.Voids {
		if v.Kind == kind {
			out = append(out, v)
		}
	}
	return out
}

// The figures stand in the worked example: 18 bays, 66 m2, clear width = spacing - member.
func TestWorkedExampleOfTwoUnits(t *testing.T) {
	h := pair()
	m := h.MustBuild()
	l := newLayout(&h)
	if n := len(bays(l.members(0))); n != 18 {
		t.Errorf("got %d bays, want 18", n)
	}
	if n := len(m.Find(Block)); n != 36 {
		t.Errorf("got %d blocks, want 18 on each side", n)
	}
	for _, v := range m.voidsOf("floor") {
		near(t, "floor void area", v.AreaM2, 66, 1e-9)
	}
	if len(m.Truth.Joined) != 0 || len(m.Truth.Defects) != 0 {
		t.Errorf("a sound pair has defects %v, joined %v", m.Truth.Defects, m.Truth.Joined)
	}
	one := Seed{Kind: "block-missing", Separation: 0, Side: "low", Level: 1, Bay: 6}
	two := one
	two.Side = "high"
	h.Defects = []Seed{one}
	m = h.MustBuild()
	if len(m.Find(Block)) != 35 || len(m.Truth.Joined) != 0 {
		t.Errorf("one block missing: %d blocks, joined %v", len(m.Find(Block)), m.Truth.Joined)
	}
	near(t, "clear width", m.Truth.Defects[0].WidthM, 0.61-FourWide, 1e-9)
	near(t, "clear height", m.Truth.Defects[0].HeightM, 0.40, 1e-9)
	h.Defects = []Seed{one, two}
	m = h.MustBuild()
	if len(m.Truth.Joined) != 1 || len(m.Truth.Joined[0]) != 2 {
		t.Errorf("both blocks of a bay missing: joined %v, want [[0 1]]", m.Truth.Joined)
	}
	joined := 0.0
	for _, v := range m.voidsOf("floor") {
		joined += v.AreaM2
	}
	near(t, "joined area", joined, 132, 1e-9)
}

// A cavity block between the two bays keeps the route closed.
func TestBlocksMissingInDistantBaysDoNotJoin(t *testing.T) {
	h := pair()
	h.Defects = []Seed{{Kind: "block-missing", Side: "low", Level: 1, Bay: 1}, {Kind: "block-missing", Side: "high", Level: 1, Bay: 15}}
	if m := h.MustBuild(); len(m.Truth.Joined) != 0 {
		t.Errorf("joined %v, want none: cavity blocks stand between", m.Truth.Joined)
	}
}

// Clear width between members: spacing minus one member width, exact inches times 25.4.
func TestClearWidths(t *testing.T) {
	for _, c := range []struct{ spacing, width, mm float64 }{
		{16, 1.5, 368.30}, {19.2, 1.5, 449.58}, {24, 1.5, 571.50},
		{16, 2.5, 342.90}, {24, 2.5, 546.10}, {16, 3.5, 317.50}, {19.2, 3.5, 398.78}, {24, 3.5, 520.70},
	} {
		b := bays(memberSpans(40*Foot, c.width*Inch, c.spacing*Inch))
		near(t, "clear width", b[0].Len()*1000, c.mm, 1e-9)
	}
}

// Attic of 36 ft span, 8:12, heel 12 in: 252 ft2 of section, 20,160 ft3 over 80 ft, peak 13 ft
// above the plate (Gable section area = heel x span + span x rise / 2).
func TestAtticOfWorkedExample(t *testing.T) {
	h := Row(1)
	h.Depth = 36 * Foot
	h.Roof.Pitch, h.Roof.Heel = 8.0/12, 12*Inch
	h.Units[0].Width = 80*Foot - 2*TwoBy
	v := h.MustBuild().voidsOf("attic")[0]
	near(t, "peak", v.HeightM, 3.9624, 1e-9)
	near(t, "volume", v.VolumeM3, 570.868, 0.001)
	near(t, "area", v.AreaM2, 80*36*Foot*Foot, 1e-9)
}

// The rule N = ceil(A/L) with N - 1 draftstops.
func TestNumberOfDraftstops(t *testing.T) {
	const ft2 = Foot * Foot
	for _, c := range []struct {
		area, limit float64
		want        int
	}{{50 * 48, 1000, 2}, {50 * 48, 500, 4}, {25 * 40, 1000, 0}, {25 * 40.01, 1000, 1}, {60 * 80, 3000, 1}, {20 * 40, 1000, 0}, {24 * 45, 1000, 1}} {
		if got := Stops(c.area*ft2, c.limit*ft2); got != c.want {
			t.Errorf("%g ft2 at %g: got %d draftstops, want %d", c.area, c.limit, got, c.want)
		}
	}
	for _, c := range []struct{ m2, limit float64 }{{92.95, 92.90304}, {92.90, 92.90304}} {
		if got, want := Stops(c.m2, c.limit), map[float64]int{92.95: 1, 92.90: 0}[c.m2]; got != want {
			t.Errorf("%g m2: got %d draftstops, want %d", c.m2, got, want)
		}
	}
}

// Floor 50 x 48 ft, trusses spaced along the 50 ft, two draftstops near the thirds: the parts
// are those of the worked example but for the thickness of the sheets and the chord they are
// fixed to.
func TestDraftstopsDivideTheFloor(t *testing.T) {
	h := Row(1)
	h.Depth = 50 * Foot
	h.Units[0] = Unit{Width: 48 * Foot, Draftstops: []float64{200 * Inch, 400 * Inch}}
	v := h.MustBuild().voidsOf("floor")[0]
	if len(v.Compartments) != 3 {
		t.Fatalf("got %d compartments, want 3", len(v.Compartments))
	}
	sum := 0.0
	for _, c := range v.Compartments {
		sum += c
		if c > 1000*Foot*Foot {
			t.Errorf("compartment of %.2f ft2 is over the limit", c/(Foot*Foot))
		}
	}
	near(t, "whole", sum, (2400*Foot*Foot)-2*HalfGypsum*48*Foot, 1e-6)
}

func TestSeedsThatFitNowhereAreErrors(t *testing.T) {
	h := Row(2)
	h.Defects = []Seed{{Kind: "block-missing", Side: "low", Level: 1, Bay: 99}}
	if _, err := h.Build(); err == nil {
		t.Error("bay 99 was accepted")
	}
}
