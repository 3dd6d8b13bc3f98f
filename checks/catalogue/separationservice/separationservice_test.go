package separationservice

import (
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
)

// house has a separation at x = 9.8 to 10.0 and services at the given spans of x and height.
func house(spans ...[3]float64) *checktest.Hand {
	h := checktest.NewHand(2)
	w := h.Separation(0)
	v := h.Void(void.KindFloor, 1, []int{0}, 60)
	h.Line(void.LineSeparation, v, 0, w, 1, 18)
	for i, s := range spans {
		e := h.Element(recognise.Service, "IfcPipeSegment", "P-"+string(rune('1'+i)))
		y := 2 + float64(i)
		h.Part(void.RoleService, e, s[0], y, s[2], s[1], y+0.05, s[2]+0.05)
	}
	return h
}

func TestThrough(t *testing.T) {
	h := house([3]float64{9, 11, 1}, [3]float64{9, 9.9, 1}, [3]float64{9, 11, 2.7}, [3]float64{9, 9.79, 1})
	checktest.Want(t, h.Run(t, Check),
		"not-shown modelled | unit line U1/U2, P-2, one face",
		"not-shown modelled | unit line U1/U2, P-1",
		"not-shown modelled | unit line U1/U2, P-3, above the wall | consequence of 0")
	h.Part(void.RoleSeal, h.Element(recognise.Seal, "IfcDiscreteAccessory", "S"), 9.79, 1.99, 0.98, 9.81, 2.06, 1.06)
	checktest.Want(t, h.Run(t, Check),
		"deficient modelled | unit line U1/U2, P-2, one face",
		"meets modelled | unit line U1/U2, P-1",
		"deficient modelled | unit line U1/U2, P-3, above the wall | consequence of 0")
}

func TestBoxesAreNotRuns(t *testing.T) {
	h := house([3]float64{9.7, 9.85, 0.4})
	e := h.B.Things[len(h.B.Things)-1].Element
	e.Entity, e.Parents = "IfcOutlet", []string{"IfcFlowTerminal"}
	checktest.Want(t, h.Run(t, Check))
}
