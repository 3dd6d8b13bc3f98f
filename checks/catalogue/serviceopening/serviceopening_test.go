package serviceopening

import (
	"math"
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// house has a deck with pipes through it: one for each width of hole (0: no hole).
func house(holes ...float64) *checktest.Hand {
	h := checktest.NewHand(1)
	for i, d := range holes {
		x := 1 + 2*float64(i)
		deck := h.Element(recognise.Deck, "IfcSlab", "deck")
		if d == 0 {
			h.Part(void.RoleDeck, deck, x-1, 0, 2.9, x+1, 2, 2.92)
		} else {
			// Four strips round a square hole.
			h.Part(void.RoleDeck, deck, x-1, 0, 2.9, x-d/2, 2, 2.92)
			h.Part(void.RoleDeck, deck, x+d/2, 0, 2.9, x+1, 2, 2.92)
			h.Part(void.RoleDeck, deck, x-d/2, 0, 2.9, x+d/2, 1-d/2, 2.92)
			h.Part(void.RoleDeck, deck, x-d/2, 1+d/2, 2.9, x+d/2, 2, 2.92)
		}
		pipe(h, "P-"+string(rune('1'+i)), x, 1, 0.042)
	}
	return h
}

// pipe is a square duct of the size of the worked example's pipe: its ring in a square hole
// is equally wide all round.
func pipe(h *checktest.Hand, name string, x, y, d float64) {
	h.Part(void.RoleService, h.Element(recognise.Service, "IfcPipeSegment", name), x-d/2, y-d/2, 0, x+d/2, y+d/2, 6)
}

// A 42 mm pipe in a 60 mm hole leaves 9 mm, below 1/2 in: still a seal to show (the design
// page's worked example). The limit from either side: 12.6 and 12.7 mm.
func TestRings(t *testing.T) {
	for _, tt := range []struct {
		hole float64
		want string
	}{
		{0, "not-shown modelled | P-1 through the floor"},
		{0.060, "not-shown modelled | P-1 through the floor"},
		{0.042 + 2*0.0126, "not-shown modelled | P-1 through the floor"},
	} {
		checktest.Want(t, house(tt.hole).Run(t, Check), tt.want)
	}
	r := house(0.042+2*0.0128).Run(t, Check)
	checktest.Want(t, r, "deficient modelled | P-1 through the floor | 0.0128 m")
	if r[0].Measured.Value < 0.0127 || r[0].Limit.Value != 0.0127 {
		t.Errorf("measured %v, limit %v", r[0].Measured, r[0].Limit)
	}
}

// With one seal modelled, the services without one are deficient.
func TestSealsElsewhere(t *testing.T) {
	h := house(0, 0)
	h.Part(void.RoleSeal, h.Element(recognise.Seal, "IfcDiscreteAccessory", "S-1"), 0.95, 0.95, 2.9, 1.05, 1.05, 2.93)
	r := h.Run(t, Check)
	checktest.Want(t, r, "meets modelled | P-1 through the floor", "deficient modelled | P-2 through the floor")
	if !strings.Contains(r[1].Message, "others in this submittal have one") {
		t.Errorf("message %q", r[1].Message)
	}
	if r[0].Storey != 1 || len(r[0].Units) != 1 {
		t.Errorf("storey %d, units %v", r[0].Storey, r[0].Units)
	}
}

// All services without a seal are one comment.
func TestOneCause(t *testing.T) {
	r := house(0, 0, 0.06).Run(t, Check)
	if len(r) != 3 || r[0].Cause != r[1].Cause || r[1].Cause != r[2].Cause {
		t.Errorf("got\n%s", checktest.Summary(r))
	}
}

// A ring that the solver found in a unit line is told here first: the item names its openings.
func TestRingInUnitLine(t *testing.T) {
	h := checktest.NewHand(2)
	w := h.Separation(0)
	a, c := h.Void(void.KindFloor, 1, []int{0}, 60), h.Void(void.KindWall, 0, []int{0, 1}, 2)
	l := h.Line(void.LineSeparation, a, 0, w, 1, 18)
	block := h.Element(recognise.Fireblock, "IfcMember", "B-1")
	for _, b := range [][4]float64{{4, 2.5, 4.2, 2.9}, {4.3, 2.5, 4.5, 2.9}, {4.2, 2.5, 4.3, 2.65}, {4.2, 2.75, 4.3, 2.9}} {
		h.Part(void.RoleBlock, block, 9.8, b[0], b[1], 9.838, b[2], b[3])
	}
	s := h.Element(recognise.Service, "IfcPipeSegment", "P-1")
	h.Part(void.RoleService, s, 9, 4.23, 2.68, 11, 4.27, 2.72)
	o := h.Open(void.OpenRing, a.Compartments[0], c.Compartments[0], l, 0.03, 0.03)
	o.Service, o.Point = s, geom.Vec3{X: 9.82, Y: 4.25, Z: 2.7}
	r := h.Run(t, Check)
	checktest.Want(t, r, "deficient modelled | P-1 through the block | 0.03 m")
	if len(r[0].Openings) != 1 || r[0].Openings[0] != o {
		t.Errorf("openings %v", r[0].Openings)
	}
}

func TestTerminalsAreNotJudged(t *testing.T) {
	h := house(0)
	for i := range h.B.Things {
		if h.B.Things[i].Concept == recognise.Service {
			h.B.Things[i].Element.Entity, h.B.Things[i].Element.Parents = "IfcLightFixture", []string{"IfcFlowTerminal"}
		}
	}
	checktest.Want(t, h.Run(t, Check))
}

// A round duct in a square hole: the ring is widest in the corners, and that width counts and
// is named, with the narrowest one beside it. A duct of radius r in a square hole of half side a
// leaves a-r at its sides; from where its outline turns to a corner to the nearest side of the
// hole it is a-r/sqrt(2).
func TestRoundInSquare(t *testing.T) {
	const r, a = 0.05, 0.06
	h := house(2 * a)
	m := h.B.Input.Parts[len(h.B.Input.Parts)-1].Mesh
	*m = *rod(1, 1, r, 0, 6)
	got := h.Run(t, Check)
	checktest.Want(t, got, "deficient modelled | P-1 through the floor | 0.02464 m")
	if want := a - r/math.Sqrt2; math.Abs(got[0].Measured.Value-want) > 0.002 {
		t.Errorf("measured %v, want %v", got[0].Measured.Value, want)
	}
	if want := `leaves 1" open round it at the widest place and 3/8" at the narrowest, without a seal`; !strings.Contains(got[0].Message, want) {
		t.Errorf("message %q, want %q in it", got[0].Message, want)
	}
}

// rod is the side of an upright cylinder of 64 faces.
func rod(x, y, r, z0, z1 float64) *geom.Mesh {
	const n = 64
	m := &geom.Mesh{}
	for i := range int32(n) {
		s, c := math.Sincos(2 * math.Pi * float64(i) / n)
		m.Verts = append(m.Verts, geom.Vec3{X: x + r*c, Y: y + r*s, Z: z0}, geom.Vec3{X: x + r*c, Y: y + r*s, Z: z1})
		a, b := 2*i, 2*((i+1)%n)
		m.Tris = append(m.Tris, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
	}
	return m
}
