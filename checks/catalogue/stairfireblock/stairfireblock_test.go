package stairfireblock

import (
	"math"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// stairs is a run of n stringers from (0,0,0) to (4,0,3), 0.45 m apart along y, with what else
// is asked for.
func stairs(n int, board, top, bottom bool) *checktest.Hand {
	h := checktest.NewHand(1)
	angle := math.Atan2(3, 4)
	for i := range n {
		e := h.Element(recognise.Stair, "IfcMember", "STR 1")
		m := inclined(angle, 5, 0.0381, 0.286, geom.Vec3{Y: 0.45 * float64(i)})
		h.B.Input.Parts = append(h.B.Input.Parts, void.Part{Mesh: m, Role: void.RoleStair, Element: e, Assembly: -1})
	}
	if board {
		m := inclined(angle, 5, 0.45*float64(n-1)+0.04, 0.0127, geom.Vec3{Y: 0.225 * float64(n-1), Z: -0.19})
		h.B.Input.Parts = append(h.B.Input.Parts, void.Part{Mesh: m, Role: void.RoleSoffitBoard, Element: h.Element(recognise.SoffitBd, "IfcCovering", "SB"), Assembly: -1})
	}
	for i := range n - 1 {
		y0, y1 := 0.45*float64(i)+0.02, 0.45*float64(i+1)-0.02
		if bottom {
			h.Part(void.RoleBlock, h.Element(recognise.Fireblock, "IfcMember", "B"), 0.1, y0, 0, 0.138, y1, 0.2)
		}
		if top && i == 0 || top && n == 2 {
			h.Part(void.RoleBlock, h.Element(recognise.Fireblock, "IfcMember", "B"), 3.8, y0, 2.7, 3.838, y1, 3)
		}
	}
	return h
}

// inclined is a box long, wide along y and deep across, going up along x from a point.
func inclined(angle, long, wide, deep float64, from geom.Vec3) *geom.Mesh {
	b := geom.BoxMesh(geom.Box{Min: geom.Vec3{Y: -wide / 2, Z: -deep / 2}, Max: geom.Vec3{X: long, Y: wide / 2, Z: deep / 2}})
	s, c := math.Sincos(angle)
	return b.Transform(geom.Mat{X: geom.Vec3{X: c, Z: s}, Y: geom.Vec3{Y: 1}, Z: geom.Vec3{X: -s, Z: c}, O: from})
}

func TestBlocks(t *testing.T) {
	const at = "stair STR 1, "
	for _, tt := range []struct {
		name  string
		house *checktest.Hand
		want  []string
	}{
		{"both ends closed", stairs(2, true, true, true), []string{"meets modelled | " + at + "bottom of the run", "meets modelled | " + at + "top of the run"}},
		{"open at the top", stairs(2, true, false, true), []string{"meets modelled | " + at + "bottom of the run", "deficient modelled | " + at + "top of the run"}},
		{"open at the bottom", stairs(2, true, true, false), []string{"deficient modelled | " + at + "bottom of the run", "meets modelled | " + at + "top of the run"}},
		{"one bay of two open at the top", stairs(3, true, true, true), []string{"meets modelled | " + at + "bottom of the run", "deficient modelled | " + at + "top of the run"}},
		{"nothing conceals it, nothing is told", stairs(2, false, false, false), []string{"not-shown modelled | stair STR 1"}},
	} {
		t.Run(tt.name, func(t *testing.T) { checktest.Want(t, tt.house.Run(t, Check), tt.want...) })
	}
	h := stairs(2, false, false, false)
	h.Part(void.RoleCeiling, -1, 0, 0, 2.4, 9, 11, 2.41)
	checktest.Want(t, h.Run(t, Check), "note modelled | stair STR 1")
}

// Flights as one solid are one item however many there are.
func TestFlights(t *testing.T) {
	h := checktest.NewHand(1)
	for i := range 3 {
		y := 3 * float64(i)
		h.Part(void.RoleStair, h.Element(recognise.Stair, "IfcStairFlight", "ST"), 0, y, 0, 4, y+1, 3)
	}
	checktest.Want(t, h.Run(t, Check), "not-shown modelled | stairs")
	for i := range 3 {
		h.B.Things[i].Element.Materials = []string{"Concrete, cast in place"}
	}
	checktest.Want(t, h.Run(t, Check), "note modelled | stairs of concrete or metal")
	checktest.Want(t, checktest.NewHand(1).Run(t, Check))
}
