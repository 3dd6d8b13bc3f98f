package fireblockmaterial

import (
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// block adds a fireblock of a material: mm thick along y, 0.5 m along x, from z 2.5 up.
func block(h *checktest.Hand, material string, y, mm, high float64) int {
	e := h.Element(recognise.Fireblock, "IfcMember", "Fireblock 7")
	if material != "" {
		h.B.Model.Elements[e].Materials = []string{material}
	}
	h.Part(void.RoleBlock, e, 1, y, 2.5, 1.5, y+mm/1000, 2.5+high)
	return e
}

// Sizes of 780 CMR 717.2.1 and of dry lumber (HUD guide, NDS-S table 1B), from either side.
func TestThickness(t *testing.T) {
	for _, tt := range []struct {
		material string
		mm, high float64
		want     string
	}{
		{"SPF lumber", 38.1, 0.4, "meets declared | Fireblock 7"},
		{"SPF lumber", 36, 0.4, "not-shown declared | Fireblock 7 | 0.036 m"},
		{"SPF lumber", 19.05, 0.4, "deficient declared | Fireblock 7 | 0.01905 m"},
		{"OSB", 18.256, 0.4, "meets declared | Fireblock 7"},
		{"OSB", 18, 0.4, "not-shown declared | Fireblock 7 | 0.018 m"},
		{"OSB", 11.1125, 0.4, "deficient declared | Fireblock 7 | 0.01111 m"},
		{"Gypsum board", 12.7, 0.4, "meets declared | Fireblock 7"},
		{"Mineral wool", 89, 0.1, "meets declared | Fireblock 7"},
		{"Fiberglass batt", 89, 0.4064, "meets declared | Fireblock 7"},
		{"Fiberglass batt", 89, 0.38, "deficient declared | Fireblock 7 | 0.38 m"},
		{"Spray foam", 89, 0.4, "deficient declared | Fireblock 7"},
		{"Fire foam", 89, 0.4, "not-shown declared | Fireblock 7"},
		{"Cellulose", 89, 0.4, "not-shown declared | Fireblock 7"},
	} {
		t.Run(tt.material, func(t *testing.T) {
			h := checktest.NewHand(1)
			block(h, tt.material, 4, tt.mm, tt.high)
			checktest.Want(t, h.Run(t, Check), tt.want)
		})
	}
}

// A strip as narrow as the air between two rows of studs that the model does not show may stop
// fire along its other side; one that is too thin either way may not, and neither may a board.
func TestStickWithoutWall(t *testing.T) {
	for _, tt := range []struct {
		wide, high float64
		want       string
	}{
		{38.1, 2.4, "not-shown declared | Fireblock 7"},
		{30, 2.4, "deficient declared | Fireblock 7 | 0.0254 m"},
		{400, 2.4, "deficient declared | Fireblock 7 | 0.0254 m"},
	} {
		h := checktest.NewHand(1)
		e := h.Element(recognise.Fireblock, "IfcMember", "Fireblock 7")
		h.B.Model.Elements[e].Materials = []string{"SPF lumber"}
		h.Part(void.RoleBlock, e, 1, 4, 2.5, 1+tt.wide/1000, 4.0254, 2.5+tt.high)
		checktest.Want(t, h.Run(t, Check), tt.want)
	}
}

// Nogging that nothing calls a block and that closes nothing is not judged, only counted.
func TestNogging(t *testing.T) {
	h := checktest.NewHand(1)
	h.B.Things[block(h, "SPF lumber", 4, 19.05, 0.4)].Element.Name = "Losholt"
	r := h.Run(t, Check)
	checktest.Want(t, r, "note modelled | fireblocks")
	if !strings.Contains(r[0].Message, "close no line or cavity: 1;") {
		t.Error(r[0].Message)
	}
	v := h.Void(void.KindFloor, 1, []int{0}, 60)
	h.Line(void.LineDraftstop, v, -1, -1, 0, 0).Elements = []int{0} // now it closes a line
	checktest.Want(t, h.Run(t, Check), "deficient declared | floor void of U1, fireblock Losholt | 0.01905 m")
}

// Two thicknesses of 1 in nominal lumber, one against the other, are a fireblock; alone or
// apart they are none.
func TestTwoLayers(t *testing.T) {
	h := checktest.NewHand(1)
	block(h, "SPF lumber", 4, 19.05, 0.4)
	block(h, "SPF lumber", 4.01905, 19.05, 0.4)
	checktest.Want(t, h.Run(t, Check), `meets declared | fireblocks of SPF lumber, 3/4"`)
	h = checktest.NewHand(1)
	block(h, "SPF lumber", 4, 19.05, 0.4)
	block(h, "SPF lumber", 4.1, 19.05, 0.4)
	checktest.Want(t, h.Run(t, Check), "deficient declared | 2 fireblocks | 0.01905 m")
}

// Blocks that fail are told for each side of a unit line; a draftstop would do there.
func TestUnitLine(t *testing.T) {
	h := checktest.NewHand(2)
	w := h.Separation(0)
	v := h.Void(void.KindFloor, 1, []int{0}, 60)
	for _, side := range []int{-1, 1} {
		l := h.Line(void.LineSeparation, v, 0, w, side, 18)
		for i := range 3 {
			l.Elements = append(l.Elements, block(h, "OSB", float64(i), 11.1125, 0.4))
		}
	}
	r := h.Run(t, Check)
	checktest.Want(t, r,
		"deficient declared | unit line U1/U2, floor void, U2 side, 3 fireblocks | 0.01111 m",
		"deficient declared | unit line U1/U2, floor void, U1 side, 3 fireblocks | 0.01111 m")
	if !strings.Contains(r[0].Message, "would do for a draftstop") {
		t.Error(r[0].Message)
	}
}

// What the model does not tell is one item for each cause, not one for each block.
func TestNotShown(t *testing.T) {
	h := checktest.NewHand(1)
	for i := range 40 {
		block(h, []string{"", "Default"}[i%2], float64(i), 38.1, 0.4)
	}
	checktest.Want(t, h.Run(t, Check), "not-shown declared | fireblocks of unnamed material", "not-shown declared | fireblocks of Default")
}

// A test that the model names is passed on, not evaluated.
func TestReference(t *testing.T) {
	h := checktest.NewHand(1)
	e := block(h, "Polyurethane foam", 4, 89, 0.4)
	h.B.Model.Elements[e].Description = "tested to ASTM E136, in its full thickness"
	r := h.Run(t, Check)
	checktest.Want(t, r, "not-shown declared | Fireblock 7")
	if !strings.Contains(r[0].Message, "ASTM E136, which is not evaluated") {
		t.Error(r[0].Message)
	}
}

// A strip of 2 in lumber ripped to fill the air between two stud rows, or between a row and
// a liner, stops what runs along the wall by its 1-1/2 in, not by the width of the air.
func TestStripInGap(t *testing.T) {
	for _, tt := range []struct {
		name   string
		gap    float64 // between the rows
		lo, hi float64 // across the wall
		along  float64 // along it
		want   string
	}{
		{"between rows", 0.025, 0.105, 0.13, 0.0381, "meets declared | Fireblock 7"},
		{"beside a liner", 0.089, 0.105, 0.124, 0.0381, "meets declared | Fireblock 7"},
		{"too thin along the wall", 0.025, 0.105, 0.13, 0.01905, "deficient declared | Fireblock 7 | 0.01905 m"},
		{"a board against a row", 0.089, 0.105, 0.124, 1.2, "deficient declared | Fireblock 7 | 0.019 m"},
		{"against no row", 0.089, 0.115, 0.134, 0.0381, "deficient declared | Fireblock 7 | 0.019 m"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			h := checktest.NewHand(1)
			h.B.Input.Walls = append(h.B.Input.Walls, void.Wall{Dir: geom.Vec2{X: 1}, Length: 10, Z1: 2.4, Across: void.Span{Hi: 0.22 + tt.gap},
				Cavities: []void.Span{{Lo: 0.016, Hi: 0.194 + tt.gap}}, Rows: []void.Span{{Lo: 0.016, Hi: 0.105}, {Lo: 0.105 + tt.gap, Hi: 0.194 + tt.gap}},
				Gaps: []void.Span{{Lo: 0.105, Hi: 0.105 + tt.gap}}, Separation: -1, Framed: true})
			below := h.B.Input.Walls[0] // of a floor of 2x8 joists: the strip begins less than 0.3 m above it
			below.Z0, below.Z1 = -2.6, -0.24
			h.B.Input.Walls = append([]void.Wall{below}, h.B.Input.Walls...)
			e := h.Element(recognise.Fireblock, "IfcMember", "Fireblock 7")
			h.B.Model.Elements[e].Materials = []string{"SPF lumber"}
			h.Part(void.RoleBlock, e, 4, tt.lo, 0.038, 4+tt.along, tt.hi, 2.3)
			checktest.Want(t, h.Run(t, Check), tt.want)
		})
	}
}
