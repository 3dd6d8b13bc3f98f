package atticdraftstoparea

import (
	"slices"
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/void"
)

const ft2 = 0.09290304 // 16 CFR 500.19

// 3,000 ft2 and two units (780 CMR 717.4.2); 60 x 80 ft is 4,800 ft2 and needs one
// draftstop (code facts 2.8, no. 4).
func TestLimits(t *testing.T) {
	for _, tt := range []struct {
		name  string
		area  float64
		units []int
		with  []string
		want  []finding.Outcome
		says  string
	}{
		{"3,000 ft2 over two units", 3000, []int{0, 1}, nil, []finding.Outcome{finding.Meets}, "3,000 ft2"},
		{"3,000.3 ft2", 3000.3, []int{0, 1}, nil, []finding.Outcome{finding.Deficient}, "3,000.3 ft2"},
		{"60 x 80 ft", 4800, []int{0, 1}, nil, []finding.Outcome{finding.Deficient}, "one draftstop"},
		{"three units", 1800, []int{0, 1, 2}, nil, []finding.Outcome{finding.Deficient}, "over 3 dwelling units (U1, U2 and U3)"},
		{"three units, units off", 1800, []int{0, 1, 2}, []string{"max-units", "off"}, []finding.Outcome{finding.Meets}, "over 3 dwelling units."},
		{"both", 4800, []int{0, 1, 2, 3}, nil, []finding.Outcome{finding.Deficient, finding.Deficient}, "up to 1'-3 3/4\" high"},
		{"both, in one division", 4800, []int{0, 1, 2, 3}, nil, []finding.Outcome{finding.Deficient, finding.Deficient}, "no part is larger than that, nor lies over more than 2 dwelling units"},
		{"a larger limit", 4800, []int{0, 1}, []string{"max-area", "9000 ft2"}, []finding.Outcome{finding.Meets}, "9,000 ft2"},
	} {
		h := checktest.NewHand(4)
		h.Void(void.KindAttic, 1, tt.units, tt.area*ft2)
		r := h.Run(t, Check, tt.with...)
		var got []finding.Outcome
		for _, x := range r {
			got = append(got, x.Outcome)
		}
		if len(got) != len(tt.want) || got[0] != tt.want[0] {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
			continue
		}
		if s := r[0].Message + r[0].Remedy; !strings.Contains(s, tt.says) {
			t.Errorf("%s: %q does not say %q", tt.name, s, tt.says)
		}
	}
}

func TestJoined(t *testing.T) {
	h := checktest.NewHand(3)
	a := h.Void(void.KindAttic, 1, []int{0, 1}, 150)
	b := h.Void(void.KindAttic, 1, []int{2}, 140)
	h.Open(void.OpenTop, a.Compartments[0], b.Compartments[0], nil, 5, 0.1)
	checktest.Want(t, h.Run(t, Check),
		"deficient modelled | attic over U1, U2 and U3 joined | 290 m2 | consequence of 1",
		"deficient modelled | attic over U1, U2 and U3 joined | 3 count | consequence of 1")
}

// In a model of layers that shows no stops anywhere, an attic over too many units is as little
// shown as its open unit lines are; what stops there could not bring within the limit is told.
func TestUnitLinesNotShown(t *testing.T) {
	for _, tt := range []struct {
		area float64
		want []finding.Outcome
	}{
		{2500, []finding.Outcome{finding.NotShown}},
		{4800, []finding.Outcome{finding.NotShown, finding.NotShown}},
		{12000, []finding.Outcome{finding.Deficient, finding.NotShown}},
	} {
		h := checktest.NewHand(3)
		v := h.Void(void.KindAttic, 1, []int{0, 1, 2}, tt.area*ft2)
		v.Layered = true
		for u := range 2 {
			l := h.Line(void.LineSeparation, v, h.Separation(u), -1, 0, 0)
			h.Open(void.OpenLine, v.Compartments[0], v.Compartments[0], l, 10, 1)
		}
		r := h.Run(t, Check)
		var got []finding.Outcome
		for _, x := range r {
			got = append(got, x.Outcome)
		}
		if !slices.Equal(got, tt.want) {
			t.Errorf("%g ft2: %v, want %v", tt.area, got, tt.want)
		}
	}
}
