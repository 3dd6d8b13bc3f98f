package voidsummary

import (
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/void"
)

func TestNotes(t *testing.T) {
	h := checktest.NewHand(2)
	v := h.Void(void.KindFloor, 1, []int{0}, 66)
	v.SpacingM, v.VolumeM3, v.HeightMaxM, v.Services = 0.6096, 26.4, 0.4064, []int{0, 1}
	cavity := h.Void(void.KindWall, 0, []int{0, 1}, 2)
	cavity.Wall, cavity.Framing = h.Separation(0), void.FramingStud
	for range 3 {
		h.Void(void.KindWall, 0, []int{1}, 0.4).VolumeM3 = 1
	}
	r := h.Run(t, Check)
	checktest.Want(t, r,
		"note modelled | floor void of U1 | 66 m2",
		"note modelled | cavity of unit line U1/U2 | 2 m2",
		"note modelled | stud walls | 1.2 m2")
	if want := `V1: open-web trusses at 2'-0" on centre, 710 ft2 in plan, 932 ft3, up to 1'-4" high, one compartment; touches U1; 2 services inside.`; r[0].Message != want {
		t.Errorf("message %q", r[0].Message)
	}
	if want := `3 cavities of ordinary stud walls: 12.9 ft2 in plan, 106 ft3, up to 1'-3 3/4" high.`; r[2].Message != want {
		t.Errorf("message %q", r[2].Message)
	}
}
