package voidsummary

import (
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/void"
	"voidcheck/ifcx/ifctest"
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

// A model of layers tells the framing of its floors and walls, and none of its roof: the studs
// of the walls that rise into the attic are not the attic's framing.
func TestLayeredAttic(t *testing.T) {
	h := ifctest.Row(2)
	h.Depth, h.Layered = 24*ifctest.Foot, true
	for _, d := range []ifctest.Disguise{{}, {RotateDeg: 33}} {
		r := checktest.Review(t, h, d, Check)
		attics := 0
		for _, v := range r.Voids.Voids {
			if v.Kind != void.KindAttic {
				continue
			}
			attics++
			if v.Framing != void.FramingUnknown || !v.Layered {
				t.Errorf("attic of %s, layered %v; the model shows no roof framing, and layers", v.Framing, v.Layered)
			}
		}
		if attics == 0 {
			t.Error("no attic")
		}
		for _, it := range r.Items {
			if strings.Contains(it.Place, "attic") && !strings.Contains(it.Message, ": framing not shown, ") {
				t.Errorf("%s: %s", it.Place, it.Message)
			}
		}
	}
}
