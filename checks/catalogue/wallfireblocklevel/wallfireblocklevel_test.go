package wallfireblocklevel

import (
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// wall adds a single-stud wall of a unit with its cavity.
func wall(h *checktest.Hand, name string, levels ...void.WallLevel) *void.WallCavity {
	w := void.Wall{Dir: geom.Vec2{X: 1}, Length: 4, Across: void.Span{Lo: 0, Hi: 0.12}, Cavities: []void.Span{{Lo: 0.0127, Hi: 0.1}},
		Z1: 2.5, Kind: void.WallSingle, Combustible: true, Separation: -1, Elements: []int{h.Element(recognise.Wall, "IfcWall", name)}}
	i := len(h.B.Input.Walls)
	h.B.Input.Walls = append(h.B.Input.Walls, w)
	v := h.Void(void.KindWall, 0, []int{0}, 0.4)
	v.Wall = i
	c := &void.WallCavity{Wall: i, Void: v, Levels: levels}
	h.R.Cavities = append(h.R.Cavities, c)
	return c
}

// Ordinary walls give one item a storey and grade, never one a wall.
func TestOrdinaryWallsAreOneItem(t *testing.T) {
	h := checktest.NewHand(1)
	for range 5 {
		wall(h, "W", void.WallLevel{Closed: true, Assumed: true}, void.WallLevel{Closed: true, Assumed: true, Ceiling: true})
	}
	wall(h, "W", void.WallLevel{Closed: true}, void.WallLevel{Closed: true, Ceiling: true})
	r := h.Run(t, Check)
	checktest.Want(t, r, "meets assumed | stud walls", "meets modelled | stud walls")
	if want := "Cavities of 5 walls, 10 in all, are taken as closed at floor and ceiling levels by the plates of platform framing; the plates are not modelled."; r[0].Message != want {
		t.Errorf("message %q", r[0].Message)
	}
}

func TestOpenLevels(t *testing.T) {
	h := checktest.NewHand(2)
	i := h.Separation(0)
	below, above := h.Void(void.KindWall, 0, []int{0, 1}, 2), h.Void(void.KindWall, 1, []int{0, 1}, 2)
	below.Wall = i
	o := h.Open(void.OpenLevel, below.Compartments[0], above.Compartments[0], nil, 0.025, 10.9)
	small := h.Open(void.OpenLevel, below.Compartments[0], above.Compartments[0], nil, 0.012, 10.9)
	h.R.Cavities = append(h.R.Cavities, &void.WallCavity{Wall: i, Void: below, Levels: []void.WallLevel{
		{Storey: 0, Closed: true},
		{Storey: 0, Ceiling: true, Z: 2.5, Openings: []*void.Opening{o}},
		{Storey: 1, Z: 2.9, Openings: []*void.Opening{small}}, // below 1/2 in
		{Storey: 1, Z: 5.5, Ceiling: true},
	}})
	checktest.Want(t, h.Run(t, Check),
		"deficient modelled | cavity of unit line U1/U2 at the ceiling level | 0.025 m",
		"deficient modelled | cavity of unit line U1/U2 at the ceiling level",
		"meets modelled | cavity of unit line U1/U2")
	// The same in a model of layers without any blocking.
	below.Layered = true
	checktest.Want(t, h.Run(t, Check),
		"not-shown declared | cavity of unit line U1/U2 at the ceiling level",
		"not-shown declared | cavity of unit line U1/U2 at the ceiling level",
		"meets modelled | cavity of unit line U1/U2")
	// A block above some unit line says nothing about cavities; one in a cavity does.
	block := h.Element(recognise.Fireblock, "IfcMember", "B-1")
	h.Part(void.RoleBlock, block, 0, 0, 0, 1, 1, 1)
	if r := h.Run(t, Check); r[0].Outcome != "not-shown" {
		t.Errorf("with a block elsewhere: %s", checktest.Summary(r))
	}
	h.R.Cavities[0].Levels[0].Elements = []int{block}
	checktest.Want(t, h.Run(t, Check),
		"deficient declared | cavity of unit line U1/U2 at the ceiling level | 0.025 m",
		"deficient declared | cavity of unit line U1/U2 at the ceiling level",
		"meets modelled | cavity of unit line U1/U2")
}

// Where nothing tells whether a level is closed it is not shown, even in a framed wall.
func TestUntoldLevel(t *testing.T) {
	h := checktest.NewHand(1)
	wall(h, "W-1", void.WallLevel{Ceiling: true, Assumed: true})
	checktest.Want(t, h.Run(t, Check), "not-shown modelled | cavity of wall W-1 at the ceiling level")
}

// Metal studs and masonry are noted, once a storey.
func TestNotCombustible(t *testing.T) {
	h := checktest.NewHand(1)
	wall(h, "W-1", void.WallLevel{Ceiling: true})
	wall(h, "W-2", void.WallLevel{Ceiling: true})
	for i := range h.B.Input.Walls {
		h.B.Input.Walls[i].Combustible = false
	}
	checktest.Want(t, h.Run(t, Check), "note declared | walls without combustible framing")
}
