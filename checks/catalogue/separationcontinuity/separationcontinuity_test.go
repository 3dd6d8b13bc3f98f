package separationcontinuity

import (
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
)

// house is two units on two storeys with a separation wall on each, floor void and attic.
func house() (h *checktest.Hand, lines [3]*void.Line, voids [4]*void.Void) {
	h = checktest.NewHand(2)
	low, up := h.Separation(0), h.Separation(0)
	w := &h.B.Input.Walls[up]
	w.Z0, w.Z1, w.Storey = 2.9, 5.4, 1
	a, b := h.Void(void.KindFloor, 1, []int{0}, 66), h.Void(void.KindFloor, 1, []int{1}, 66)
	cavity, attic := h.Void(void.KindWall, 0, []int{0, 1}, 2), h.Void(void.KindAttic, 1, []int{0, 1}, 66, 66)
	lines[0], lines[1] = h.Line(void.LineSeparation, a, 0, low, 1, 18), h.Line(void.LineSeparation, b, 0, low, -1, 18)
	lines[2] = h.Line(void.LineSeparation, attic, 0, up, 0, 0)
	lines[2].Z0, lines[2].Z1 = 5.4, 8
	return h, lines, [4]*void.Void{a, b, cavity, attic}
}

func TestUnbroken(t *testing.T) {
	h, lines, _ := house()
	lines[2].Bounds = true
	r := h.Run(t, Check)
	checktest.Want(t, r, "meets modelled | unit line U1/U2, top of its walls", "meets modelled | unit line U1/U2, top of its walls")
	if want := "The separation goes on above its walls here: stops close the floor void in line with it."; r[0].Message != want {
		t.Errorf("message %q", r[0].Message)
	}
	if want := "The separation goes on above its walls here: the wall runs through the attic."; r[1].Message != want {
		t.Errorf("message %q", r[1].Message)
	}
}

// An opening that leads to where no space was found is not taken for closed.
func TestLostOpening(t *testing.T) {
	h, lines, _ := house()
	lines[2].Lost = true
	r := h.Run(t, Check)
	checktest.Want(t, r, "meets modelled | unit line U1/U2, top of its walls", "not-shown modelled | unit line U1/U2, top of its walls")
	if r[1].Cause != "opening not followed" {
		t.Errorf("cause %q", r[1].Cause)
	}
}

// A draftstop in the attic is no wall: it does where the text lets it, and is asked about where
// the wall itself has to go on (R302.3: foundation to underside of the roof sheathing, seen in
// Florida BI-112 extract; 708.4.2 lets fire partitions stop below, seen in an officials'
// discussion of the 2021 text).
func TestDraftstopForTheWall(t *testing.T) {
	h, _, _ := house()
	low := "meets modelled | unit line U1/U2, top of its walls"
	r := h.Run(t, Check)
	checktest.Want(t, r, low, low)
	if want := "The separation goes on above its walls here: stops close the attic in line with it. That is no wall up to the roof sheathing, where the adopted text wants one."; r[1].Message != want {
		t.Errorf("message %q", r[1].Message)
	}
	r = h.Run(t, Check, "wall-in-attic", "true")
	checktest.Want(t, r, low, "not-shown modelled | unit line U1/U2, top of its walls")
	if want := "draftstops in the place of the wall"; r[1].Cause != want || r[0].Storey != 0 || r[1].Storey != 1 {
		t.Errorf("cause %q on storey %d", r[1].Cause, r[1].Storey)
	}
	h, lines, _ := house()
	lines[2].Bounds = true
	checktest.Want(t, h.Run(t, Check, "wall-in-attic", "true"), low, low)
}

func TestInterrupted(t *testing.T) {
	h, lines, v := house()
	h.Open(void.OpenBay, v[0].Compartments[0], v[2].Compartments[0], lines[0], 0.5, 0.3)
	o := h.Open(void.OpenLine, v[3].Compartments[0], v[3].Compartments[1], lines[2], 11, 2)
	r := h.Run(t, Check)
	checktest.Want(t, r, "deficient modelled | unit line U1/U2, top of its walls | consequence of 1", "deficient modelled | unit line U1/U2, top of its walls | consequence of 1")
	if r[1].Storey != 1 || r[1].Point != o.Point {
		t.Errorf("storey %d, point %v", r[1].Storey, r[1].Point)
	}
	for _, x := range v {
		x.Layered = true
	}
	checktest.Want(t, h.Run(t, Check), "not-shown declared | unit line U1/U2, top of its walls | consequence of 1", "not-shown declared | unit line U1/U2, top of its walls | consequence of 1")
}

// Without voids above, a wall ends at a deck or roof on it, at a wall above it, or not shown.
func TestEnds(t *testing.T) {
	for _, tt := range []struct {
		name string
		roof float64 // underside, 0 for none
		want string
	}{
		{"roof on it", 5.4, "meets modelled"}, {"roof 10 mm above it", 5.41, "meets modelled"}, {"roof 20 mm above it", 5.42, "not-shown modelled"}, {"no roof", 0, "not-shown modelled"},
	} {
		h, _, _ := house()
		h.R = void.Result{}
		if tt.roof > 0 {
			h.Part(void.RoleRoof, h.Element(recognise.Roof, "IfcSlab", "roof"), 0, 0, tt.roof, 20, 11, tt.roof+0.02)
		}
		h.B.Input.Walls[1].Z0 = 2.5 // the upper wall stands on the lower one
		r := h.Run(t, Check)
		got := string(r[1].Outcome) + " " + string(r[1].Evidence)
		if len(r) != 2 || r[0].Outcome != "meets" || got != tt.want {
			t.Errorf("%s: %s, want %s", tt.name, checktest.Summary(r), tt.want)
		}
	}
}

// A storey on which the rooms of both units adjoin without a separation.
func TestMissingWall(t *testing.T) {
	h, _, _ := house()
	h.B.Input.Separations[0].Walls = h.B.Input.Separations[0].Walls[:1]
	h.B.Input.Walls = h.B.Input.Walls[:1]
	h.R.Lines = h.R.Lines[:2]
	checktest.Want(t, h.Run(t, Check), "meets modelled | unit line U1/U2, top of its walls", "not-shown modelled | unit line U1/U2, between adjoining rooms")
}

// A floor in one piece over a wall may hold a void that runs on over it, and a wall in one piece
// ends nowhere by reaching itself.
func TestUnderBareFloor(t *testing.T) {
	for _, tt := range []struct {
		name  string
		floor bool
		bare  bool
		want  string
	}{
		{"boards or concrete", true, false, "meets modelled"}, {"in one piece", true, true, "not-shown modelled"}, {"no floor", false, false, "not-shown modelled"},
	} {
		h, _, _ := house()
		h.R = void.Result{}
		h.B.Input.Separations[0].Walls = h.B.Input.Separations[0].Walls[:1]
		h.B.Input.Walls = h.B.Input.Walls[:1]
		w := &h.B.Input.Walls[0]
		e := h.Element(recognise.Wall, "IfcWall", "party wall")
		w.Elements = append(w.Elements, e)
		h.Part(void.RoleSolid, e, 9.9, 0, w.Z0, 10.1, 11, w.Z1)
		if tt.floor {
			h.Part(void.RoleDeck, h.Element(recognise.Deck, "IfcSlab", "floor"), 0, 0, w.Z1, 20, 11, w.Z1+0.4)
			h.B.Input.Parts[len(h.B.Input.Parts)-1].Bare = tt.bare
		}
		r := h.Run(t, Check)
		if got := string(r[0].Outcome) + " " + string(r[0].Evidence); got != tt.want {
			t.Errorf("%s: %s, want %s", tt.name, checktest.Summary(r), tt.want)
		}
	}
}
