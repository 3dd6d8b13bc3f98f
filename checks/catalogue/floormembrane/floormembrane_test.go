package floormembrane

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

const ft = 0.3048

type rect [4]float64 // x0, y0, x1, y1 in feet

// framed is a floor void of one unit of the given framing with one compartment for each
// rectangle, from z = 2.5 to 2.9.
func framed(framing void.Framing, comps ...rect) (*checktest.Hand, *void.Void) {
	h := checktest.NewHand(1)
	var areas []float64
	for _, c := range comps {
		areas = append(areas, (c[2]-c[0])*(c[3]-c[1])*ft*ft)
	}
	v := h.Void(void.KindFloor, 1, []int{0}, areas...)
	v.Framing, v.CeilingAssumed = framing, false
	for i, c := range comps {
		v.Compartments[i].Outline = [][]geom.Vec2{{{X: c[0] * ft, Y: c[1] * ft}, {X: c[2] * ft, Y: c[1] * ft}, {X: c[2] * ft, Y: c[3] * ft}, {X: c[0] * ft, Y: c[3] * ft}}}
	}
	return h, v
}

// board puts a ceiling of a material under a rectangle.
func board(h *checktest.Hand, material string, mm float64, r rect) {
	e := h.Element(recognise.Ceiling, "IfcCovering", "GC")
	if material != "" {
		h.B.Things[e].Element.Materials = []string{material}
	}
	h.Part(void.RoleCeiling, e, r[0]*ft, r[1]*ft, 2.5-mm/1000, r[2]*ft, r[3]*ft, 2.5)
}

const under = "floor void of U1, underside"

func TestProtected(t *testing.T) {
	all := rect{0, 0, 20, 36}
	for _, tt := range []struct {
		material string
		mm       float64
		want     string
	}{
		{"Gypsum board", 12.7, "meets declared | " + under},
		{"Plywood", 15.875, "meets declared | " + under}, // 5/8 in
		{"Gypsum board", 9.5, "deficient declared | " + under + ", Gypsum board | 0.0095 m"},
		{"Plywood", 12.7, "deficient declared | " + under + ", Plywood | 0.0127 m"},
		{"Gipskarton", 12.5, "not-shown declared | ceilings of Gipskarton | 0.0125 m"},
		{"", 12.7, "not-shown declared | ceilings of an unnamed material"},
		{"Polystyrene", 20, "deficient declared | " + under + ", Polystyrene"},
	} {
		h, _ := framed(void.FramingTruss, all)
		board(h, tt.material, tt.mm, all)
		checktest.Want(t, h.Run(t, Check), tt.want)
	}
}

// The floor depth trap (worked example 2.8-13): 16 in open-web trusses over a basement do
// not qualify by depth, a 2x10 joist floor does.
func TestFraming(t *testing.T) {
	all := rect{0, 0, 20, 36}
	elsewhere := rect{40, 0, 50, 10} // ceilings are modelled in this submittal
	h, _ := framed(void.FramingTruss, all)
	board(h, "Gypsum board", 12.7, elsewhere)
	checktest.Want(t, h.Run(t, Check), "deficient modelled | floor framing of U1, underside | 66.89 m2")
	for _, tt := range []struct {
		wide, deep float64 // inches
		want       string
	}{
		{1.5, 9.25, "exempt modelled | " + under},                                     // 2x10
		{1.5, 11.25, "exempt modelled | " + under},                                    // 2x12
		{1.5, 7.25, "deficient modelled | floor framing of U1, underside | 66.89 m2"}, // 2x8
		{0.75, 9.25, "deficient modelled | floor framing of U1, underside | 66.89 m2"},
	} {
		h, v := framed(void.FramingSolid, all)
		v.ZHi = 2.5 + tt.deep*0.0254
		board(h, "Gypsum board", 12.7, elsewhere)
		for i := range 5 {
			y := float64(i)*16*0.0254 + 0.1
			h.Part(void.RoleJoist, h.Element(recognise.Joist, "IfcBeam", "J"), 0, y, 2.5, 20*ft, y+tt.wide*0.0254, 2.5+tt.deep*0.0254)
		}
		checktest.Want(t, h.Run(t, Check), tt.want)
	}
	// I-joists of any depth do not.
	h, _ = framed(void.FramingI, all)
	board(h, "Gypsum board", 12.7, elsewhere)
	checktest.Want(t, h.Run(t, Check), "deficient modelled | floor framing of U1, underside | 66.89 m2")
	// A layer of joists tells its depth.
	h, v := framed(void.FramingSolid, all)
	v.Layered, v.ZHi = true, 2.786
	board(h, "Gypsum board", 12.7, elsewhere)
	h.Part(void.RoleFraming, -1, 0, 0, 2.5, 20*ft, 36*ft, 2.786)
	h.B.Input.Parts[len(h.B.Input.Parts)-1].Framing = void.FramingSolid
	checktest.Want(t, h.Run(t, Check), "exempt declared | "+under)
	v.Framing = void.FramingUnknown
	checktest.Want(t, h.Run(t, Check), "not-shown declared | "+under)
}

// Unprotected portions (worked example 2.8-12): 6 x 8 + 5 x 7 = 83 ft2 are too much, 6 x 8 +
// 4 x 8 = 80 ft2 are not, where the void is closed at their edges.
func TestPortions(t *testing.T) {
	build := func(second rect, own bool) *checktest.Hand {
		first := rect{0, 0, 6, 8}
		rest := rect{10, 0, 30, 36}
		comps := []rect{rest, first, second}
		if !own { // one void, its boards left out over the portions
			comps = []rect{{0, 0, 30, 8}}
			h, _ := framed(void.FramingTruss, comps...)
			board(h, "Gypsum board", 12.7, rect{6, 0, 10, 8})
			board(h, "Gypsum board", 12.7, rect{10 + second[2] - second[0], 0, 30, 8})
			if h8 := second[3] - second[1]; h8 < 8 {
				board(h, "Gypsum board", 12.7, rect{10, h8, 10 + second[2] - second[0], 8})
			}
			return h
		}
		h, _ := framed(void.FramingTruss, comps...)
		board(h, "Gypsum board", 12.7, rest)
		return h
	}
	const at = " | floor framing of U1, underside | "
	checktest.Want(t, build(rect{0, 20, 5, 27}, true).Run(t, Check), "deficient modelled"+at+"7.711 m2") // 83 ft2
	checktest.Want(t, build(rect{0, 20, 4, 28}, true).Run(t, Check), "exempt modelled"+at+"7.432 m2")    // 80 ft2
	checktest.Want(t, build(rect{0, 0, 5, 7}, false).Run(t, Check), "deficient modelled"+at+"7.711 m2")
	r := build(rect{0, 0, 4, 8}, false).Run(t, Check) // 80 ft2, edges open
	checktest.Want(t, r, "deficient modelled"+at+"7.432 m2")
	if r[0].Cause != "edges of unprotected portions open" {
		t.Error(r[0].Message)
	}
	h := build(rect{0, 20, 4, 28}, true)
	h.Open(void.OpenLine, h.R.Compartments[0], h.R.Compartments[1], nil, 2, 0.4) // the edge of one is open
	checktest.Want(t, h.Run(t, Check), "deficient modelled"+at+"7.432 m2")
	checktest.Want(t, build(rect{0, 20, 4, 28}, true).Run(t, Check, "exempt-area", "79 ft2"), "deficient modelled"+at+"7.432 m2")
	checktest.Want(t, build(rect{0, 20, 4, 28}, true).Run(t, Check, "exempt-area", "off"), "deficient modelled"+at+"7.432 m2")
}

// Strips over walls and between boards do not count.
func TestStrips(t *testing.T) {
	h, _ := framed(void.FramingTruss, rect{0, 0, 20, 36})
	board(h, "Gypsum board", 12.7, rect{0, 0, 9.85, 36})
	board(h, "Gypsum board", 12.7, rect{10.15, 0, 20, 36})
	checktest.Want(t, h.Run(t, Check), "meets declared | "+under)
}

func TestNoCeilings(t *testing.T) {
	h, v := framed(void.FramingTruss, rect{0, 0, 20, 36})
	v.CeilingAssumed = true
	r := h.Run(t, Check)
	checktest.Want(t, r, "not-shown modelled | floor framing, underside")
	crawl, v := framed(void.FramingTruss, rect{0, 0, 20, 36})
	v.Kind = void.KindCrawl
	board(crawl, "Gypsum board", 12.7, rect{40, 0, 50, 10})
	checktest.Want(t, crawl.Run(t, Check), "exempt modelled | crawl space of U1, underside")
	v.Services = []int{crawl.Element(recognise.Service, "IfcBoiler", "Boiler")}
	checktest.Want(t, crawl.Run(t, Check), "deficient modelled | floor framing of U1, underside | 66.89 m2")
	if r[0].Outcome != finding.NotShown {
		t.Error(r[0].Outcome)
	}
}

// Of several boards that are too thin the thinnest is measured and named first, then the others
// by place, in whatever order the file has them.
func TestThinBoardsByPlace(t *testing.T) {
	type one struct {
		mm float64
		r  rect
	}
	boards := []one{{9.5, rect{0, 0, 20, 12}}, {8, rect{0, 12, 20, 24}}, {9.5, rect{0, 24, 20, 36}}, {8, rect{0, 0, 20, 12}}}
	for _, order := range [][]int{{0, 1, 2}, {2, 1, 0}, {1, 0, 2}, {1, 2, 3}, {3, 2, 1}} {
		h, v := framed(void.FramingTruss, rect{0, 0, 20, 36})
		v.Compartments[0].Point = geom.Vec3{X: 10 * ft, Y: 16 * ft, Z: 2.7}
		for _, i := range order {
			board(h, "Gypsum board", boards[i].mm, boards[i].r)
			e := h.B.Things[len(h.B.Things)-1].Element
			e.Name = fmt.Sprint("GC-", i)
		}
		r := h.Run(t, Check)
		if len(r) != 1 || r[0].Outcome != finding.Deficient {
			t.Fatalf("order %v: got\n%s", order, checktest.Summary(r))
		}
		var names string
		for _, e := range r[0].Elements {
			names += h.B.Things[e].Element.Name + " "
		}
		want := "GC-1 GC-0 GC-2 "
		if slices.Contains(order, 3) {
			want = "GC-1 GC-3 GC-2 "
		}
		if names != want || math.Abs(r[0].Measured.Value-0.008) > 1e-6 {
			t.Errorf("order %v: %s measured %v, want %s measured 0.008", order, names, r[0].Measured.Value, want)
		}
	}
}
