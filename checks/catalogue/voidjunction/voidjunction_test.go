package voidjunction

import (
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

func TestJunctions(t *testing.T) {
	h := checktest.NewHand(2)
	sep := h.Separation(0)
	w := void.Wall{Dir: geom.Vec2{X: 1}, Length: 4, Separation: -1, Kind: void.WallSingle, Elements: []int{h.Element(recognise.Wall, "IfcWall", "W-7")}}
	h.B.Input.Walls = append(h.B.Input.Walls, w)
	wall, cavity := h.Void(void.KindWall, 0, []int{0}, 0.4), h.Void(void.KindWall, 0, []int{0, 1}, 2)
	wall.Wall, cavity.Wall = len(h.B.Input.Walls)-1, sep
	floor, soffit, attic := h.Void(void.KindFloor, 1, []int{0}, 60), h.Void(void.KindSoffit, 0, []int{0}, 1), h.Void(void.KindAttic, 1, []int{0}, 60)
	line := h.Line(void.LineSeparation, floor, 0, sep, 1, 18)
	at := func(v *void.Void) *void.Compartment { return v.Compartments[0] }

	h.Open(void.OpenBay, at(floor), at(cavity), line, 0.5, 0.3)           // the unit line's
	h.Open(void.OpenJunction, at(floor), at(floor), nil, 0.5, 0.3)        // not of two kinds
	h.Open(void.OpenRing, at(wall), at(floor), nil, 0.05, 0.05)           // a service's
	h.Open(void.OpenJunction, at(soffit), at(wall), nil, 0.0126, 2)       // below 1/2 in
	h.Open(void.OpenJunction, at(attic), at(soffit), nil, 0.4, 0.2)       // a soffit to anything
	plate := h.Open(void.OpenPlate, at(wall), at(floor), nil, 0.37, 0.09) // told by the wall
	h.Open(void.OpenJunction, at(wall), at(floor), nil, 1.2, 0.09)        // primary here
	h.Open(void.OpenLevel, at(wall), at(cavity), nil, 0.1, 0.1)           // both vertical
	h.R.Cavities = append(h.R.Cavities, &void.WallCavity{Wall: wall.Wall, Void: wall, Levels: []void.WallLevel{
		{Storey: 0, Closed: true}, {Storey: 0, Ceiling: true, Z: 2.5, Openings: []*void.Opening{plate}}, {Storey: 1, Ceiling: true, Closed: true, Assumed: true}}})
	checktest.Want(t, h.Run(t, Check),
		"deficient modelled | junction of attic over U1 and soffit of U1 | 0.2 m",
		"deficient modelled | junction of cavity of wall W-7 and floor void of U1 | 0.09 m | consequence of 1",
		"deficient modelled | junction of cavity of wall W-7 and floor void of U1 | 0.09 m",
		"meets assumed | tops of walls")
}

func TestClosedSoffit(t *testing.T) {
	h := checktest.NewHand(1)
	h.Void(void.KindSoffit, 0, []int{0}, 1)
	checktest.Want(t, h.Run(t, Check), "meets modelled | soffit of U1")
}

func TestLayeredIsNotShown(t *testing.T) {
	h := checktest.NewHand(1)
	wall, floor := h.Void(void.KindWall, 0, []int{0}, 1), h.Void(void.KindFloor, 1, []int{0}, 60)
	wall.Layered, floor.Layered = true, true
	for range 3 { // what is not shown is one item for the two voids
		h.Open(void.OpenJunction, wall.Compartments[0], floor.Compartments[0], nil, 0.4, 0.1)
	}
	checktest.Want(t, h.Run(t, Check), "not-shown declared | junction of wall cavity and floor void of U1 | 0.1 m")
	h.Part(void.RoleDraftstop, -1, 0, 0, 0, 1, 1, 1) // says nothing about plates
	if r := h.Run(t, Check); len(r) != 1 || r[0].Outcome != "not-shown" {
		t.Errorf("with a draftstop elsewhere:\n%s", checktest.Summary(r))
	}
	wall.Layered, floor.Layered = false, false
	if r := h.Run(t, Check); len(r) != 3 || r[0].Outcome != "deficient" {
		t.Errorf("got\n%s", checktest.Summary(r))
	}
}
