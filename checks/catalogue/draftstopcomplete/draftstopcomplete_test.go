package draftstopcomplete

import (
	"testing"

	"voidcheck/checks"
	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

func TestGaps(t *testing.T) {
	h := checktest.NewHand(1)
	v := h.Void(void.KindFloor, 1, []int{0}, 60, 60)
	l := h.Line(void.LineDraftstop, v, -1, -1, 0, 0)
	l.Elements = []int{h.Element(recognise.Draftstop, "IfcPlate", "DS-2")}
	checktest.Want(t, h.Run(t, Check), "meets modelled | draftstop DS-2, floor void of U1")
	a, b := v.Compartments[0], v.Compartments[1]
	h.Open(void.OpenTop, a, b, l, 5.9, 0.05)
	h.Open(void.OpenBottom, a, b, l, 1.2, 0.02)
	h.Open(void.OpenEdge, a, b, l, 0.08, 0.4)
	h.Open(void.OpenHole, a, b, l, 0.15, 0.1)
	h.Open(void.OpenRing, a, b, l, 0.009, 0.009) // below 1/2 in
	checktest.Want(t, h.Run(t, Check),
		"deficient modelled | draftstop DS-2, floor void of U1, gap above the stop | 0.05 m",
		"deficient modelled | draftstop DS-2, floor void of U1, gap below the stop | 0.02 m",
		"deficient modelled | draftstop DS-2, floor void of U1, gap at the end of the stop | 0.08 m",
		"deficient modelled | draftstop DS-2, floor void of U1, hole through the stop | 0.1 m")
}

// The ring round one service is one item however many pieces it is found in, and follows
// from the check of services.
func TestRingInPieces(t *testing.T) {
	h := checktest.NewHand(1)
	v := h.Void(void.KindFloor, 1, []int{0}, 60, 60)
	l := h.Line(void.LineDraftstop, v, -1, -1, 0, 0)
	for range 2 {
		h.Open(void.OpenRing, v.Compartments[0], v.Compartments[1], l, 0.05, 0.1).Service = 7
	}
	checktest.Want(t, h.Run(t, Check), "deficient modelled | draftstop, floor void of U1, ring round a service | consequence of 2")
}

// A sheet above a unit separation: the unit line tells the gap, this check follows.
func TestSheetAtUnitLine(t *testing.T) {
	h := checktest.NewHand(2)
	w := h.Separation(0)
	v := h.Void(void.KindAttic, 1, []int{0, 1}, 110, 110)
	l := h.Line(void.LineSeparation, v, 0, w, 0, 0)
	checktest.Want(t, h.Run(t, Check)) // a wall, no sheet
	sheet := h.Element(recognise.Draftstop, "IfcPlate", "DS-A")
	l.Elements = []int{sheet}
	h.Part(void.RoleDraftstop, sheet, 9.8, 0, 2.5, 9.81, 11, 5)
	h.Open(void.OpenTop, v.Compartments[0], v.Compartments[1], l, 5.2, 0.08)
	checktest.Want(t, h.Run(t, Check), `deficient modelled | draftstop DS-A, unit line U1/U2, gap above the stop | 0.08 m | consequence of 1`)
}

// A draftstop on the face of a truss is as the codes want it; one across the trusses is noted
// (24 CFR 3280.216: parallel to the floor framing members).
func TestOrientation(t *testing.T) {
	for _, tt := range []struct {
		name string
		b    geom.Vec2
		want []string
	}{
		{"on a truss", geom.Vec2{X: 9, Y: 5}, nil},
		{"across the trusses", geom.Vec2{X: 1, Y: 9}, []string{"note modelled | draftstop DS-1, floor void of U1, across the framing"}},
	} {
		h := checktest.NewHand(1)
		v := h.Void(void.KindFloor, 1, []int{0}, 30, 30)
		for y := 1.0; y < 9; y++ {
			h.Part(void.RoleChord, -1, 0, y, 2.5, 9.8, y+0.09, 2.54)
		}
		l := h.Line(void.LineDraftstop, v, -1, -1, 0, 0)
		l.A, l.B = geom.Vec2{X: 1, Y: 5}, tt.b
		if tt.want != nil {
			l.A.Y = 1
		}
		l.Elements = []int{h.Element(recognise.Draftstop, "IfcPlate", "DS-1")}
		var notes []checks.Report
		for _, r := range h.Run(t, Check) {
			if r.Outcome == finding.Note {
				notes = append(notes, r)
			}
		}
		t.Run(tt.name, func(t *testing.T) { checktest.Want(t, notes, tt.want...) })
	}
}

// Where several stops stand in a line, the one that is short is named: not a strip of mineral
// wool beside it, and of several sheets the one at the gap. Whichever was modelled first.
func TestShortStopIsNamed(t *testing.T) {
	for _, woolFirst := range []bool{true, false} {
		h := checktest.NewHand(2)
		w := h.Separation(0)
		v := h.Void(void.KindAttic, 1, []int{0, 1}, 110, 110)
		l := h.Line(void.LineSeparation, v, 0, w, 0, 0)
		wool := func() {
			e := h.Element(recognise.Fireblock, "IfcBuildingElementProxy", "MW strip")
			h.Part(void.RoleBlock, e, 9.7, 0, 4.35, 9.9, 11, 4.42)
			l.Elements = append(l.Elements, e)
		}
		if woolFirst {
			wool()
		}
		for i, name := range []string{"Liner A", "Liner B"} {
			e := h.Element(recognise.Draftstop, "IfcPlate", name)
			y := 5.5 * float64(i)
			h.Part(void.RoleDraftstop, e, 9.7, y, 2.5, 9.725, y+5.5, 4.4)
			l.Elements = append(l.Elements, e)
		}
		if !woolFirst {
			wool()
		}
		o := h.Open(void.OpenTop, v.Compartments[0], v.Compartments[1], l, 3, 0.1)
		o.Point = geom.Vec3{X: 9.8, Y: 8, Z: 4.47}
		checktest.Want(t, h.Run(t, Check), "deficient modelled | draftstop Liner B, unit line U1/U2, gap above the stop | 0.1 m | consequence of 1")
	}
}
