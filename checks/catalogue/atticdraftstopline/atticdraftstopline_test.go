package atticdraftstopline

import (
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
)

func TestOpenLine(t *testing.T) {
	h := checktest.NewHand(2)
	w := h.Separation(0)
	v := h.Void(void.KindAttic, 1, []int{0, 1}, 110, 110)
	v.Compartments[0].Units, v.Compartments[1].Units = []int{0}, []int{1}
	l := h.Line(void.LineSeparation, v, 0, w, 0, 0)
	floor := h.Void(void.KindFloor, 1, []int{0}, 66)
	h.Line(void.LineSeparation, floor, 0, w, 0, 18) // another check's
	h.Open(void.OpenLine, v.Compartments[0], v.Compartments[1], l, 11, 2.1)
	r := h.Run(t, Check)
	checktest.Want(t, r, `deficient modelled | unit line U1/U2, open stretch | 2.1 m`)
	if !strings.Contains(r[0].Remedy, "roof sheathing") {
		t.Errorf("remedy %q", r[0].Remedy)
	}
	l.Openings = nil
	checktest.Want(t, h.Run(t, Check), "meets modelled | unit line U1/U2")
}

func TestSheetShortOfSheathing(t *testing.T) {
	h := checktest.NewHand(2)
	w := h.Separation(0)
	v := h.Void(void.KindAttic, 1, []int{0, 1}, 110, 110)
	l := h.Line(void.LineSeparation, v, 0, w, 0, 0)
	l.Elements = []int{h.Element(recognise.Draftstop, "IfcPlate", "DS-A")}
	h.Open(void.OpenTop, v.Compartments[0], v.Compartments[1], l, 5.2, 0.08)
	r := h.Run(t, Check)
	checktest.Want(t, r, `deficient modelled | unit line U1/U2, gap above the stop | 0.08 m`)
	if want := `The stop ends 3 1/8" below the roof sheathing, measured plumb, over a width of 17'-0 3/4".`; r[0].Message != want {
		t.Errorf("message %q, want %q", r[0].Message, want)
	}
}

// What is left above a wall that rises into the attic is no open line.
func TestWallShortOfSheathing(t *testing.T) {
	h := checktest.NewHand(2)
	w := h.Separation(0)
	v := h.Void(void.KindAttic, 1, []int{0, 1}, 110, 110)
	v.HeightMaxM = 3.35
	l := h.Line(void.LineSeparation, v, 0, w, 0, 0)
	l.Bounds = true
	h.Open(void.OpenLine, v.Compartments[0], v.Compartments[1], l, 10.9, 0.127)
	r := h.Run(t, Check)
	checktest.Want(t, r, "deficient modelled | unit line U1/U2, gap above the wall | 0.127 m")
	if want := `The wall ends short of the underside of the roof sheathing and leaves 5" open above it, measured plumb, over a width of 35'-9 1/8".`; r[0].Message != want {
		t.Errorf("message %q", r[0].Message)
	}
}
