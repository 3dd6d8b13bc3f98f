package grade

import (
	"testing"

	"voidcheck/checks/finding"
	"voidcheck/checks/void"
)

const ft2 = 0.09290304 // 16 CFR 500.19

// The boundary of the floor limit: 25 x 40 ft is 1,000 ft2 and needs no draftstop, 25 x
// 40.01 ft does; 92.95 m2 is 1,000.506 ft2, 92.90 m2 is 999.967 ft2. "Not more than" is the
// wording of 24 CFR 3280.216 (1,000 ft2); the arithmetic is that of the code facts.
func TestOver(t *testing.T) {
	const limit = 1000 * ft2
	for _, tt := range []struct {
		v    float64
		want bool
	}{{25 * 40 * ft2, false}, {25 * 40.01 * ft2, true}, {92.95, true}, {92.90, false}, {limit * (1 + 1e-9), false}} {
		if got := Over(tt.v, limit); got != tt.want {
			t.Errorf("Over(%v) = %v, want %v", tt.v, got, tt.want)
		}
	}
}

func TestParts(t *testing.T) {
	for _, tt := range []struct {
		v, limit float64
		want     int
	}{
		{50 * 48, 1000, 3}, {50 * 48, 500, 5}, {25 * 40, 1000, 1}, {25 * 40.01, 1000, 2},
		{60 * 80, 3000, 2}, {60 * 80, 1200, 4}, {20 * 40, 1000, 1}, {24 * 45, 1000, 2}, {40*30 + 20*15, 1000, 2},
		{36, 10, 4}, {30, 10, 3}, {30.01, 10, 4}, {19, 10, 2}, {19, 8, 3}, {50, 20, 3}, {7, 3, 3},
	} {
		if got := Parts(tt.v, tt.limit); got != tt.want {
			t.Errorf("Parts(%v, %v) = %d, want %d", tt.v, tt.limit, got, tt.want)
		}
	}
}

func TestAbsence(t *testing.T) {
	layered, framed, boards := &void.Void{Layered: true}, &void.Void{Framing: void.FramingTruss}, &void.Void{Framing: void.FramingUnknown}
	none, blocked := &void.Input{}, &void.Input{Parts: []void.Part{{Role: void.RoleBlock}}}
	for _, tt := range []struct {
		in   *void.Input
		v    *void.Void
		want finding.Outcome
	}{
		{none, layered, finding.NotShown}, {none, framed, finding.Deficient},
		{blocked, layered, finding.Deficient}, {blocked, framed, finding.Deficient},
		{none, boards, finding.NotShown}, {blocked, boards, finding.Deficient},
	} {
		if got := DetailOf(tt.in, &void.Result{}).Absence(tt.v, void.RoleBlock, void.RoleDraftstop); got != tt.want {
			t.Errorf("Absence = %s, want %s", got, tt.want)
		}
	}
	if got := DetailOf(blocked, &void.Result{}).Absence(layered, void.RoleSeal); got != finding.NotShown {
		t.Errorf("a block is no seal: %s", got)
	}
}
