package floordraftstoparea

import (
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/void"
)

const ft2 = 0.09290304 // 16 CFR 500.19

// The boundary of 1,000 ft2 (24 CFR 3280.216: not more than): the worked examples of the
// code facts, 2.8 no. 1, 2, 3, 8 and 9, by our arithmetic.
func TestLimit(t *testing.T) {
	for _, tt := range []struct {
		name   string
		area   float64
		limit  string
		want   finding.Outcome
		remedy string
	}{
		{"25 x 40 ft", 25 * 40 * ft2, "1000 ft2", finding.Meets, ""},
		{"25 x 40.01 ft", 25 * 40.01 * ft2, "1000 ft2", finding.Deficient, "2 about equal parts: one draftstop of"},
		{"92.90 m2", 92.90, "1000 ft2", finding.Meets, ""},
		{"92.95 m2", 92.95, "1000 ft2", finding.Deficient, "one draftstop"},
		{"92.95 m2 under a rounded limit", 92.95, "93 m2", finding.Meets, ""},
		{"50 x 48 ft", 2400 * ft2, "1000 ft2", finding.Deficient, "3 about equal parts: 2 draftstops"},
		{"50 x 48 ft at 500 ft2", 2400 * ft2, "500 ft2", finding.Deficient, "5 about equal parts: 4 draftstops"},
		{"townhouse 20 x 40 ft", 800 * ft2, "1000 ft2", finding.Meets, ""},
		{"townhouse 24 x 45 ft", 1080 * ft2, "1000 ft2", finding.Deficient, "one draftstop"},
		{"L-shape of 1,500 ft2", 1500 * ft2, "1000 ft2", finding.Deficient, "one draftstop"},
	} {
		h := checktest.NewHand(1)
		h.Void(void.KindFloor, 1, []int{0}, tt.area)
		r := h.Run(t, Check, "max-area", tt.limit)
		if len(r) != 1 || r[0].Outcome != tt.want || !strings.Contains(r[0].Remedy, tt.remedy) || r[0].Consequence {
			t.Errorf("%s: %+v, want %s with %q", tt.name, r, tt.want, tt.remedy)
		}
	}
}

// Which voids the limit is for: DS-1 and DS-4 of the code facts (24 CFR 3280.216: usable
// space above and below; open-web or perforated members, or a suspended ceiling).
func TestFraming(t *testing.T) {
	for _, tt := range []struct {
		name   string
		change func(*void.Void)
		want   string
	}{
		{"open-web trusses", func(v *void.Void) {}, "deficient modelled"},
		{"no ceiling modelled", func(v *void.Void) { v.CeilingAssumed = true }, "deficient assumed"},
		{"trusses by layer", func(v *void.Void) { v.Layered = true }, "deficient declared"},
		{"solid joists", func(v *void.Void) { v.Framing = void.FramingSolid }, "note modelled"},
		{"solid joists above a suspended ceiling", func(v *void.Void) { v.Framing, v.Suspended = void.FramingSolid, true }, "deficient modelled"},
		{"I-joists modelled one by one", func(v *void.Void) { v.Framing = void.FramingI }, "deficient modelled"},
		{"I-joists by layer", func(v *void.Void) { v.Framing, v.Layered = void.FramingI, true }, "not-shown declared"},
		{"framing unknown", func(v *void.Void) { v.Framing = void.FramingUnknown }, "not-shown modelled"},
		{"over a crawl space", func(v *void.Void) { v.UsableBelow = false }, "note modelled"},
		{"under a roof terrace", func(v *void.Void) { v.UsableAbove = false }, "note modelled"},
	} {
		h := checktest.NewHand(1)
		tt.change(h.Void(void.KindFloor, 1, []int{0}, 120))
		r := h.Run(t, Check)
		if len(r) != 1 || string(r[0].Outcome)+" "+string(r[0].Evidence) != tt.want {
			t.Errorf("%s: got\n%swant %s", tt.name, checktest.Summary(r), tt.want)
		}
	}
	// The channels between I-joists are told together, draftstopped parts one by one.
	for n, want := range map[int][]string{
		20: {"meets modelled | floor void of U1 | 5.2 m2"},
		2:  {"meets modelled | floor void of U1, part 1 of 2 | 5.2 m2", "meets modelled | floor void of U1, part 2 of 2 | 5.1 m2"},
	} {
		h := checktest.NewHand(1)
		areas := []float64{5.2, 5.1}
		for len(areas) < n {
			areas = append(areas, 4)
		}
		h.Void(void.KindFloor, 1, []int{0}, areas...).Framing = void.FramingI
		checktest.Want(t, h.Run(t, Check), want...)
	}
	// Small enough whatever the framing: nothing to ask for.
	h := checktest.NewHand(1)
	h.Void(void.KindFloor, 1, []int{0}, 60).Framing = void.FramingUnknown
	checktest.Want(t, h.Run(t, Check), "meets modelled | floor void of U1 | 60 m2")
}

// The worked example of the design page on concealed spaces: two voids of 66 m2 (710 ft2),
// one bay open on each side of the unit line: joined 132 m2 (1,421 ft2), a consequence.
func TestJoined(t *testing.T) {
	h := checktest.NewHand(2)
	a, b := h.Void(void.KindFloor, 1, []int{0}, 66), h.Void(void.KindFloor, 1, []int{1}, 66)
	cavity := h.Void(void.KindWall, 0, []int{0, 1}, 2)
	h.Open(void.OpenBay, a.Compartments[0], cavity.Compartments[0], nil, 0.52, 0.36)
	checktest.Want(t, h.Run(t, Check), "meets modelled | floor void of U1 | 66 m2", "meets modelled | floor void of U2 | 66 m2")
	h.Open(void.OpenBay, b.Compartments[0], cavity.Compartments[0], nil, 0.52, 0.36)
	r := h.Run(t, Check)
	checktest.Want(t, r, "deficient modelled | floor void of U1 and U2 joined | 132 m2 | consequence of 2")
	if !strings.Contains(r[0].Message, "1,421 ft2") || !strings.Contains(r[0].Message, "2 openings join the floor void of U1 (710 ft2) and the floor void of U2 (710 ft2)") {
		t.Errorf("message %q", r[0].Message)
	}
}

// A compartment too large by itself stays a defect of its own beside what openings add.
func TestAloneAndJoined(t *testing.T) {
	h := checktest.NewHand(1)
	v := h.Void(void.KindFloor, 1, []int{0}, 120, 40)
	l := h.Line(void.LineDraftstop, v, -1, -1, 0, 0)
	h.Open(void.OpenTop, v.Compartments[0], v.Compartments[1], l, 3, 0.05)
	checktest.Want(t, h.Run(t, Check),
		"deficient modelled | floor void of U1, part 1 of 2 | 120 m2",
		"deficient modelled | floor void of U1 joined | 160 m2 | consequence of 1")
}

func TestStoreysAreNotAddedUp(t *testing.T) {
	h := checktest.NewHand(1)
	a, b := h.Void(void.KindFloor, 1, []int{0}, 66), h.Void(void.KindFloor, 2, []int{0}, 66)
	h.Open(void.OpenJunction, a.Compartments[0], b.Compartments[0], nil, 0.5, 0.5)
	for _, r := range h.Run(t, Check) {
		if r.Outcome != finding.Meets {
			t.Errorf("%s: %s", r.Outcome, r.Message)
		}
	}
}
