package separationspread

import (
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

func house() (h *checktest.Hand, a, b, cavity *void.Void, la, lb *void.Line) {
	h = checktest.NewHand(2)
	w := h.Separation(0)
	a, b = h.Void(void.KindFloor, 1, []int{0}, 66), h.Void(void.KindFloor, 1, []int{1}, 66)
	cavity = h.Void(void.KindWall, 0, []int{0, 1}, 2)
	cavity.Wall = w
	return h, a, b, cavity, h.Line(void.LineSeparation, a, 0, w, 1, 18), h.Line(void.LineSeparation, b, 0, w, -1, 18)
}

// The worked example of the design page, with and without the blocks.
func TestWorkedExample(t *testing.T) {
	h, a, b, cavity, la, lb := house()
	checktest.Want(t, h.Run(t, Check), "meets modelled | U1 and U2")
	f7, f8 := h.Truss("FT-7"), h.Truss("FT-8")
	one := h.Open(void.OpenBay, a.Compartments[0], cavity.Compartments[0], la, 0.5211, 0.36, f7, f8)
	checktest.Want(t, h.Run(t, Check), "meets modelled | U1 and U2") // one side alone
	two := h.Open(void.OpenBay, b.Compartments[0], cavity.Compartments[0], lb, 0.5211, 0.36, f7, f8)
	r := h.Run(t, Check)
	checktest.Want(t, r, "deficient modelled | U1 and U2, floor void | 0.36 m | consequence of 2")
	want := "A concealed way leads from U1 into U2: from the floor void of U1 through the bay between trusses FT-7 and FT-8 into the cavity of unit line U1/U2, through the bay between trusses FT-7 and FT-8 into the floor void of U2."
	if r[0].Message != want {
		t.Errorf("message %q\nwant    %q", r[0].Message, want)
	}
	if len(r[0].Openings) != 2 || r[0].Openings[0] != one || r[0].Openings[1] != two || r[0].Point != one.Point {
		t.Errorf("openings %v, point %v", r[0].Openings, r[0].Point)
	}
	more := h.Open(void.OpenBay, b.Compartments[0], cavity.Compartments[0], lb, 0.1, 0.36)
	more.Point = geom.Vec3{X: 10, Y: 9, Z: 2.7}
	r = h.Run(t, Check)
	if len(r) != 1 || !strings.Contains(r[0].Message, "One more opening leads") {
		t.Errorf("with another bay: %s", checktest.Summary(r))
	}
}

func TestMinOpening(t *testing.T) {
	for _, tt := range []struct {
		size float64
		min  string
		want string
	}{{0.0127, "1/2 in", "deficient"}, {0.0126, "1/2 in", "meets"}, {0.0126, "10 mm", "deficient"}} {
		h, a, b, _, _, _ := house()
		h.Open(void.OpenHole, a.Compartments[0], b.Compartments[0], nil, tt.size, tt.size)
		if r := h.Run(t, Check, "min-opening", tt.min); len(r) != 1 || string(r[0].Outcome) != tt.want {
			t.Errorf("%v at %s: %s, want %s", tt.size, tt.min, checktest.Summary(r), tt.want)
		}
	}
}

// An attic over both units, and over five: one item a unit line.
func TestUndivided(t *testing.T) {
	h := checktest.NewHand(5)
	for u := range 4 {
		h.Separation(u)
	}
	v := h.Void(void.KindAttic, 1, []int{0, 1, 2, 3, 4}, 300)
	checktest.Want(t, h.Run(t, Check),
		"deficient modelled | U1 and U2, attic | consequence of 0", "deficient modelled | U2 and U3, attic | consequence of 0",
		"deficient modelled | U3 and U4, attic | consequence of 0", "deficient modelled | U4 and U5, attic | consequence of 0")
	v.Layered = true
	r := h.Run(t, Check)
	if len(r) != 4 || r[0].Outcome != "not-shown" {
		t.Errorf("layered without stops: %s", checktest.Summary(r))
	}
}

// In a layered model without stops a way is only as certain as each of its openings.
func TestDetail(t *testing.T) {
	h, a, b, cavity, la, lb := house()
	a.Layered, b.Layered, cavity.Layered = true, true, true
	h.Open(void.OpenLine, a.Compartments[0], cavity.Compartments[0], la, 11, 0.3)
	h.Open(void.OpenLine, b.Compartments[0], cavity.Compartments[0], lb, 11, 0.3)
	r := h.Run(t, Check)
	checktest.Want(t, r, "not-shown declared | U1 and U2, floor void | 0.3 m | consequence of 2")
	block := h.Line(void.LineDraftstop, a, -1, -1, 0, 0)
	block.Elements = []int{h.Element(recognise.Fireblock, "IfcMember", "FB-1")}
	h.Part(void.RoleBlock, block.Elements[0], 0, 0, 0, 1, 1, 1)
	if r := h.Run(t, Check); r[0].Outcome != "deficient" {
		t.Errorf("with blocks elsewhere: %s", checktest.Summary(r))
	}
}

// What nobody can look into keeps no units apart: walls and floors in one piece, without layers and
// without framing, and openings that lead to where no space was found.
func TestHidden(t *testing.T) {
	for _, tt := range []struct {
		name          string
		wall, floor   bool
		lost          bool
		want, message string
	}{
		{"lost", false, false, true, "not-shown modelled | U1 and U2", "leads to where no concealed space was found"},
		{"walls", true, false, false, "not-shown modelled | U1 and U2", "the walls between them have neither"},
		{"floor", false, true, false, "not-shown modelled | U1 and U2", "the floor where they meet has neither"},
		{"both", true, true, false, "not-shown modelled | U1 and U2", "their walls and floors have neither"},
		{"neither", false, false, false, "meets modelled | U1 and U2", "No way"},
	} {
		h, _, _, _, la, _ := house()
		la.Lost = tt.lost
		w := &h.B.Input.Walls[0]
		if tt.wall {
			w.Kind, w.Cavities, w.Gaps = void.WallUnknown, nil, nil
		}
		h.Part(void.RoleDeck, h.Element(recognise.Deck, "IfcSlab", "floor"), 0, 0, w.Z1, 20, 11, w.Z1+0.4)
		h.B.Input.Parts[len(h.B.Input.Parts)-1].Bare = tt.floor
		r := h.Run(t, Check)
		checktest.Want(t, r, tt.want)
		if !strings.Contains(r[0].Message, tt.message) {
			t.Errorf("%s: %q", tt.name, r[0].Message)
		}
	}
}
