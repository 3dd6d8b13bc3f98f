package separationboxes

import (
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
)

const (
	in = 0.0254
	ft = 0.3048
)

// house has a double-stud separation at x = 9.8 to 10 between two units. The worked
// example's wall is 12 ft long and 9 ft high.
func house() *checktest.Hand {
	h := checktest.NewHand(2)
	w := &h.B.Input.Walls[h.Separation(0)]
	w.Length, w.Z1 = 12*ft, 9*ft
	return h
}

// outlet adds a box of a size in inches with its centre at y inches along the wall, in the face
// of unit 1 or 2.
func outlet(h *checktest.Hand, unit int, y, wide, high float64) int {
	e := h.Element(recognise.Service, "IfcOutlet", "OB-"+string(rune('1'+len(h.B.Things))))
	h.B.Things[e].Element.Parents = []string{"IfcFlowTerminal"}
	x0, x1 := 9.8-0.004, 9.8+0.05
	if unit == 2 {
		x0, x1 = 10-0.05, 10+0.004
	}
	h.Part(void.RoleService, e, x0, (y-wide/2)*in, 0.4, x1, (y+wide/2)*in, 0.4+high*in)
	return e
}

// Six 4 x 4 in boxes in 108 ft2 open 96 in2, seven 112 in2 (worked example 2.8-11).
func TestDensity(t *testing.T) {
	six := house()
	for i := range 6 {
		outlet(six, 1, 10+16*float64(i), 4, 4)
	}
	checktest.Want(t, six.Run(t, Check), "meets modelled | unit line U1/U2, boxes")
	outlet(six, 1, 10+16*6, 4, 4)
	r := six.Run(t, Check)
	checktest.Want(t, r, "deficient modelled | unit line U1/U2, boxes of one face together | 0.07226 m2")
	if !strings.Contains(r[0].Message, "7 boxes in one face of the unit separation open 112 in2 within 100 ft2 of wall; not more than 100 in2") {
		t.Error(r[0].Message)
	}
	// The same seven with the last beyond 100 ft2 of wall from the first: 11.11 ft.
	far := house()
	for i := range 7 {
		outlet(far, 1, 3+22.9*float64(i), 4, 4)
	}
	far.B.Input.Walls[0].Length = 13 * ft
	checktest.Want(t, far.Run(t, Check), "meets modelled | unit line U1/U2, boxes")
}

// Boxes in two faces are two sums.
func TestDensityIsPerFace(t *testing.T) {
	h := house()
	for i := range 6 {
		outlet(h, 1, 8+8*float64(i), 4, 4)
		outlet(h, 2, 80+8*float64(i), 4, 4)
	}
	checktest.Want(t, h.Run(t, Check), "meets modelled | unit line U1/U2, boxes")
}

// A 4-11/16 in square box opens 21.973 in2, more than 16; 4 x 4 in is the limit itself.
func TestSize(t *testing.T) {
	h := house()
	outlet(h, 1, 40, 4.6875, 4.6875)
	r := h.Run(t, Check)
	checktest.Want(t, r, "deficient modelled | unit line U1/U2, OB-2 | 0.01418 m2")
	if !strings.Contains(r[0].Message, "22 in2; not more than 16 in2") {
		t.Error(r[0].Message)
	}
	checktest.Want(t, h.Run(t, Check, "max-box", "22 in2"), "meets modelled | unit line U1/U2, boxes")
	h = house()
	outlet(h, 1, 40, 4, 4)
	checktest.Want(t, h.Run(t, Check), "meets modelled | unit line U1/U2, boxes")
}

// Opposite boxes 16 in apart fail, 24 in clear and 32 in apart pass (worked example 2.8-11).
func TestSpacing(t *testing.T) {
	for _, tt := range []struct {
		apart float64
		want  string
	}{
		{0, "deficient modelled | unit line U1/U2, OB-2 and OB-3 | 0 m"},
		{16, "deficient modelled | unit line U1/U2, OB-2 and OB-3 | 0.4064 m"},
		{23.9, "deficient modelled | unit line U1/U2, OB-2 and OB-3 | 0.6071 m"},
		{24, "not-shown modelled | unit line U1/U2, OB-2 and OB-3 | 0.508 m"},
		{27.9, "not-shown modelled | unit line U1/U2, OB-2 and OB-3 | 0.6071 m"},
		{28, "meets modelled | unit line U1/U2, boxes"},
		{32, "meets modelled | unit line U1/U2, boxes"},
	} {
		h := house()
		outlet(h, 1, 40, 4, 4)
		outlet(h, 2, 40+tt.apart, 4, 4)
		checktest.Want(t, h.Run(t, Check), tt.want)
	}
	h := house()
	outlet(h, 1, 40, 4, 4)
	outlet(h, 1, 48, 4, 4) // in the same face
	checktest.Want(t, h.Run(t, Check), "meets modelled | unit line U1/U2, boxes")
}

func TestInstead(t *testing.T) {
	back := func() *checktest.Hand {
		h := house()
		outlet(h, 1, 40, 4, 4)
		outlet(h, 2, 56, 4, 4)
		return h
	}
	h := back()
	h.Part(void.RoleBlock, h.Element(recognise.Fireblock, "IfcMember", "B"), 9.81, 47*in, 0, 9.99, 48.5*in, 2.7)
	checktest.Want(t, h.Run(t, Check), "meets modelled | unit line U1/U2, OB-2 and OB-3 | 0.4064 m", "meets modelled | unit line U1/U2, boxes")
	h = back() // a block beside both closes nothing between them
	h.Part(void.RoleBlock, h.Element(recognise.Fireblock, "IfcMember", "B"), 9.81, 70*in, 0, 9.99, 71.5*in, 2.7)
	checktest.Want(t, h.Run(t, Check), "deficient modelled | unit line U1/U2, OB-2 and OB-3 | 0.4064 m")
	h = back()
	h.Part(void.RoleSeal, h.Element(recognise.Seal, "IfcDiscreteAccessory", "Putty pad"), 9.805, 38*in, 0.39, 9.86, 42*in, 0.51)
	checktest.Want(t, h.Run(t, Check), "meets modelled | unit line U1/U2, OB-2 and OB-3 | 0.4064 m", "meets modelled | unit line U1/U2, boxes")
	h = back() // the seal of a pipe that passes an inch beside the box
	h.Part(void.RoleSeal, h.Element(recognise.Seal, "IfcDiscreteAccessory", "Fire sealant"), 9.8, 33*in, 0.39, 10, 37*in, 0.51)
	checktest.Want(t, h.Run(t, Check), "deficient modelled | unit line U1/U2, OB-2 and OB-3 | 0.4064 m")
	h = back() // a pad of two pieces
	e2 := h.Element(recognise.Seal, "IfcDiscreteAccessory", "Putty pad")
	h.Part(void.RoleSeal, e2, 9.805, 37.9*in, 0.39, 9.86, 40*in, 0.51)
	h.Part(void.RoleSeal, e2, 9.805, 40*in, 0.39, 9.86, 42.1*in, 0.51)
	checktest.Want(t, h.Run(t, Check), "meets modelled | unit line U1/U2, OB-2 and OB-3 | 0.4064 m", "meets modelled | unit line U1/U2, boxes")
	h = back() // mineral wool: 12 in clear are more than the cavity's 7
	e := h.Element(recognise.Insulation, "IfcCovering", "I")
	h.B.Things[e].Element.Materials = []string{"Mineral wool"}
	h.Part(void.RoleInsulation, e, 9.81, 0, 0, 9.99, 3.6, 2.7)
	checktest.Want(t, h.Run(t, Check), "meets modelled | unit line U1/U2, OB-2 and OB-3 | 0.4064 m", "meets modelled | unit line U1/U2, boxes")
	h.B.Things[e].Element.Materials = []string{"Insulation"}
	checktest.Want(t, h.Run(t, Check), "deficient modelled | unit line U1/U2, OB-2 and OB-3 | 0.4064 m")
}

// What lies on the face, hangs in front of it or runs through the wall is no box in it.
func TestNotInTheWall(t *testing.T) {
	h := house()
	for i, x := range [][2]float64{{9.7, 9.803}, {9.5, 9.7}, {9.5, 10.5}} {
		e := h.Element(recognise.Service, "IfcLightFixture", "L")
		h.B.Things[e].Element.Parents = []string{"IfcFlowTerminal"}
		h.Part(void.RoleService, e, x[0], float64(i), 1, x[1], float64(i)+0.1, 1.1)
	}
	checktest.Want(t, h.Run(t, Check), "meets modelled | boxes in unit separations")
	pipe := house()
	e := pipe.Element(recognise.Service, "IfcPipeSegment", "P")
	pipe.Part(void.RoleService, e, 9.7, 1, 1, 9.9, 1.05, 1.05)
	checktest.Want(t, pipe.Run(t, Check), "not-shown modelled | boxes in unit separations")
}

func TestWallKinds(t *testing.T) {
	h := house()
	outlet(h, 1, 40, 4, 4)
	outlet(h, 2, 80, 4, 4)
	h.B.Input.Walls[0].Kind = void.WallStaggered
	checktest.Want(t, h.Run(t, Check), "not-shown modelled | unit line U1/U2, boxes in a staggered-stud wall")
	h = house()
	outlet(h, 1, 40, 4, 4)
	outlet(h, 2, 40, 4, 4)
	h.B.Input.Walls[0].Kind = void.WallLiner
	checktest.Want(t, h.Run(t, Check), "note modelled | unit line U1/U2, OB-2 and OB-3 | 0 m", "meets modelled | unit line U1/U2, boxes")
	checktest.Want(t, checktest.NewHand(2).Run(t, Check)) // no separation, nothing to say
}
