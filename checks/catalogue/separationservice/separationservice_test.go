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

// Nothing but wiring and sprinkler pipe runs in the cavity of a townhouse's common wall (IRC
// R302.2.2: seen in an officials' discussion of the 2021 text); of two rows of studs the model
// does not tell whether they are a common wall.
func TestCavityKeptClear(t *testing.T) {
	wall := func(kind void.WallKind, entity string, x0, x1, z1 float64) *checktest.Hand {
		h := checktest.NewHand(2)
		w := h.Separation(0)
		h.B.Input.Walls[w].Kind = kind
		e := h.Element(recognise.Service, entity, "P-1")
		h.B.Things[e].Element.Parents = []string{"IfcFlowSegment"}
		h.Part(void.RoleService, e, x0, 4, 0, x1, 4.05, z1)
		return h
	}
	const in = "unit line U1/U2, services in it"
	for _, tt := range []struct {
		name string
		h    *checktest.Hand
		want []string
	}{
		{"pipe in a common wall", wall(void.WallSingle, "IfcPipeSegment", 9.85, 9.9, 2.5), []string{"deficient modelled | cavity of " + in}},
		{"duct between two rows", wall(void.WallDouble, "IfcDuctSegment", 9.85, 9.9, 2.5), []string{"not-shown modelled | cavity of " + in}},
		{"cable in a common wall", wall(void.WallSingle, "IfcCableSegment", 9.85, 9.9, 2.5), nil},
		{"pipe beside the wall", wall(void.WallSingle, "IfcPipeSegment", 9.7, 9.75, 2.5), nil},
		{"short piece in it", wall(void.WallSingle, "IfcPipeSegment", 9.85, 9.9, 0.2), nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			checktest.Want(t, tt.h.RunList(t, Check, "clear-cavity", "pipe", "duct"), tt.want...)
			checktest.Want(t, tt.h.Run(t, Check)) // off unless the adopted text says so
		})
	}
	if err := kinds([]string{"pipe", "hose"}); err == nil {
		t.Error("a kind of service that there is none of")
	}
}
