package floordraftstopline

import (
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
)

// house is two units with floor voids and the cavity between them.
func house() (h *checktest.Hand, a, b, cavity *void.Void, la, lb *void.Line) {
	h = checktest.NewHand(2)
	w := h.Separation(0)
	a, b = h.Void(void.KindFloor, 1, []int{0}, 66), h.Void(void.KindFloor, 1, []int{1}, 66)
	cavity = h.Void(void.KindWall, 0, []int{0, 1}, 2)
	cavity.Wall = w
	// Dir is +y, so that Norm is -x: the low side of the wall faces unit 2.
	la, lb = h.Line(void.LineSeparation, a, 0, w, +1, 18), h.Line(void.LineSeparation, b, 0, w, -1, 18)
	h.B.Input.Walls[w].Origin.X = 9.8
	h.B.Input.Walls[w].Across = void.Span{Lo: -0.2, Hi: 0}
	return
}

// The worked example of the design page: one block left out on each side in the same bay;
// clear width is spacing minus member, 0.61 - 0.0889 m.
func TestMissingBlocks(t *testing.T) {
	h, a, b, cavity, la, lb := house()
	f14, f15 := h.Truss("FT-14"), h.Truss("FT-15")
	h.Part(void.RoleBlock, h.Element(recognise.Fireblock, "IfcMember", "B-1"), 9.7, 0, 2.5, 9.8, 0.5, 2.9)
	h.Open(void.OpenBay, a.Compartments[0], cavity.Compartments[0], la, 0.5211, 0.36, f14, f15)
	h.Open(void.OpenBay, b.Compartments[0], cavity.Compartments[0], lb, 0.5211, 0.36, f15, f14)
	r := h.Run(t, Check)
	checktest.Want(t, r,
		"deficient modelled | unit line U1/U2, bay between trusses FT-14 and FT-15, U1 side | 0.5211 m",
		"meets modelled | unit line U1/U2, other bays, U1 side",
		"deficient modelled | unit line U1/U2, bay between trusses FT-14 and FT-15, U2 side | 0.5211 m",
		"meets modelled | unit line U1/U2, other bays, U2 side")
	if !strings.Contains(r[0].Message, `1'-8 1/2" x 1'-2 3/16" clear`) || !strings.Contains(r[0].Remedy, "as the local code accepts") {
		t.Errorf("message %q, remedy %q", r[0].Message, r[0].Remedy)
	}
	if r[0].Cause != r[2].Cause || len(r[0].Openings) != 1 || len(r[0].Spaces) != 2 {
		t.Errorf("cause %q and %q, openings %v, spaces %v", r[0].Cause, r[2].Cause, r[0].Openings, r[0].Spaces)
	}
}

func TestClosed(t *testing.T) {
	h, _, _, _, la, _ := house()
	la.Bounds = true
	r := h.Run(t, Check)
	checktest.Want(t, r, "meets modelled | unit line U1/U2, U1 side", "meets modelled | unit line U1/U2, U2 side")
	if !strings.Contains(r[0].Message, "runs through") || !strings.Contains(r[1].Message, "18 bays") {
		t.Errorf("messages %q, %q", r[0].Message, r[1].Message)
	}
}

// An opening that leads to where no space was found is no closed bay.
func TestLostOpening(t *testing.T) {
	h, _, _, _, la, _ := house()
	la.Lost = true
	r := h.Run(t, Check)
	checktest.Want(t, r, "not-shown modelled | unit line U1/U2, U1 side", "meets modelled | unit line U1/U2, U2 side")
}

// Blocks between I-joists are looked at as far as the flanges; what they leave beside the webs is said to be
// the reviewer's.
func TestClosedBetweenIJoists(t *testing.T) {
	h, a, b, _, la, _ := house()
	la.Bounds = true
	a.Framing, b.Framing = void.FramingI, void.FramingI
	r := h.Run(t, Check)
	checktest.Want(t, r, "meets modelled | unit line U1/U2, U1 side", "meets modelled | unit line U1/U2, U2 side")
	if strings.Contains(r[0].Message, "flange") || !strings.Contains(r[1].Message, "flange to flange") {
		t.Errorf("messages %q, %q", r[0].Message, r[1].Message)
	}
}

// A gap counts as open from 1/2 in (12.7 mm) in width and in height.
func TestGapLimit(t *testing.T) {
	for _, tt := range []struct {
		w, h float64
		want int
	}{{0.0127, 0.36, 1}, {0.0126, 0.36, 0}, {0.5, 0.0126, 0}, {0.5, 0.013, 1}} {
		h, a, _, cavity, la, _ := house()
		h.Open(void.OpenTop, a.Compartments[0], cavity.Compartments[0], la, tt.w, tt.h)
		n := 0
		for _, r := range h.Run(t, Check) {
			if r.Outcome == finding.Deficient {
				n++
			}
		}
		if n != tt.want {
			t.Errorf("gap %v x %v: %d deficient, want %d", tt.w, tt.h, n, tt.want)
		}
	}
}

// The principle of detail: an absence in a layered model without any stops is not shown; with stops
// in voids that are known by their layers too, or framing modelled one by one, or a stop with a gap, it is deficient.
// Blocks in walls, and stops in an attic that is framed one by one, tell nothing of the ends of layered floors.
func TestDetail(t *testing.T) {
	for _, tt := range []struct {
		name                   string
		layered, stops, inLine bool
		want                   string
	}{
		{"layered, no stops", true, false, false, "not-shown declared | unit line U1/U2, U1 side | consequence of 0"},
		{"layered, stops elsewhere", true, true, false, "deficient declared"},
		{"layered, a stop with a gap", true, false, true, "deficient modelled"},
		{"layered, blocks in walls", true, false, false, "not-shown declared"},
		{"layered, stops in a framed attic", true, false, false, "not-shown declared"},
		{"framed, no stops", false, false, false, "deficient modelled"},
		{"layered, only another wall in the line", true, false, false, "not-shown declared"},
	} {
		h, a, _, cavity, la, _ := house()
		a.Layered = tt.layered
		stop := func(v *void.Void) {
			l := h.Line(void.LineDraftstop, v, -1, -1, 0, 0)
			l.Elements = []int{h.Element(recognise.Draftstop, "IfcPlate", "DS-2")}
			h.Part(void.RoleDraftstop, l.Elements[0], 0, 0, 0, 1, 1, 1)
		}
		switch {
		case tt.stops:
			stop(a)
		case strings.Contains(tt.name, "framed attic"):
			stop(h.Void(void.KindAttic, 1, []int{0}, 50))
		case strings.Contains(tt.name, "in walls"):
			h.Part(void.RoleBlock, h.Element(recognise.Fireblock, "IfcMember", "FB-1"), 0, 0, 0, 1, 1, 1)
		}
		if tt.inLine {
			la.Elements = []int{h.Element(recognise.Draftstop, "IfcPlate", "DS-1")}
			h.Part(void.RoleDraftstop, la.Elements[0], 0, 0, 0, 1, 1, 1)
		}
		if strings.Contains(tt.name, "another wall") {
			la.Elements = []int{h.Element(recognise.Wall, "IfcWall", "W-9")}
		}
		h.Open(void.OpenLine, a.Compartments[0], cavity.Compartments[0], la, 11, 0.36)
		r := h.Run(t, Check)
		got := string(r[0].Outcome) + " " + string(r[0].Evidence)
		if want := strings.Split(tt.want, " | ")[0]; got != want {
			t.Errorf("%s: %s, want %s", tt.name, got, want)
		}
		if r[0].Consequence {
			t.Errorf("%s: the line is the primary place of this defect", tt.name)
		}
	}
}

// Trusses with the same mark do not tell a bay: the distance along the line does.
func TestMarksThatRepeat(t *testing.T) {
	h, a, _, cavity, la, _ := house()
	one, two := h.Truss("FT1"), h.Truss("FT1")
	h.Open(void.OpenBay, a.Compartments[0], cavity.Compartments[0], la, 0.52, 0.36, one, two)
	r := h.Run(t, Check)
	if place, at := `unit line U1/U2, bay between two of truss FT1, U1 side`, `13'-1" from the plan south end`; r[0].Place != place || r[0].At != at {
		t.Errorf("place %q, want %q; at %q, want %q", r[0].Place, place, r[0].At, at)
	}
}
