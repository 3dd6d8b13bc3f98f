package separationservice

import (
	"math"
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/ifctest"
)

// house has a separation at x = 9.8 to 10.0 and services at the given spans of x and height.
func house(spans ...[3]float64) *checktest.Hand {
	h := checktest.NewHand(2)
	w := h.Separation(0)
	v := h.Void(void.KindFloor, 1, []int{0}, 60)
	h.Line(void.LineSeparation, v, 0, w, 1, 18)
	for i, s := range spans {
		e := h.Element(recognise.Service, "IfcPipeSegment", "P-"+string(rune('1'+i)))
		y := 2 + float64(i)
		h.Part(void.RoleService, e, s[0], y, s[2], s[1], y+0.05, s[2]+0.05)
	}
	return h
}

func TestThrough(t *testing.T) {
	h := house([3]float64{9, 11, 1}, [3]float64{9, 9.9, 1}, [3]float64{9, 11, 2.7}, [3]float64{9, 9.79, 1})
	checktest.Want(t, h.Run(t, Check),
		"not-shown modelled | unit line U1/U2, P-2, one face",
		"not-shown modelled | unit line U1/U2, P-1",
		"not-shown modelled | unit line U1/U2, P-3, above the wall | consequence of 0")
	h.Part(void.RoleSeal, h.Element(recognise.Seal, "IfcDiscreteAccessory", "S"), 9.79, 1.99, 0.98, 9.81, 2.06, 1.06)
	checktest.Want(t, h.Run(t, Check),
		"deficient modelled | unit line U1/U2, P-2, one face",
		"meets modelled | unit line U1/U2, P-1",
		"deficient modelled | unit line U1/U2, P-3, above the wall | consequence of 0")
}

func TestBoxesAreNotRuns(t *testing.T) {
	h := house([3]float64{9.7, 9.85, 0.4})
	e := h.B.Things[len(h.B.Things)-1].Element
	e.Entity, e.Parents = "IfcOutlet", []string{"IfcFlowTerminal"}
	checktest.Want(t, h.Run(t, Check))
}

// Nothing but wiring and sprinkler pipe runs in the cavity of a townhouse's common wall (IRC
// R302.2.2: seen in an officials' discussion of the 2021 text); of two rows of studs the model
// does not tell whether they are a common wall.
func TestCavityKeptClear(t *testing.T) {
	wall := func(kind void.WallKind, entity string, x0, x1, z1 float64) *checktest.Hand {
		h := checktest.NewHand(2)
		w := h.Separation(0)
		h.B.Input.Walls[w].Kind = kind
		e := h.Element(recognise.Service, entity, "P-1")
		h.B.Things[e].Element.Parents = []string{"IfcFlowSegment"}
		h.Part(void.RoleService, e, x0, 4, 0, x1, 4.05, z1)
		return h
	}
	const in = "unit line U1/U2, services in it"
	for _, tt := range []struct {
		name string
		h    *checktest.Hand
		want []string
	}{
		{"pipe in a common wall", wall(void.WallSingle, "IfcPipeSegment", 9.85, 9.9, 2.5), []string{"deficient modelled | cavity of " + in}},
		{"duct between two rows", wall(void.WallDouble, "IfcDuctSegment", 9.85, 9.9, 2.5), []string{"not-shown modelled | cavity of " + in}},
		{"cable in a common wall", wall(void.WallSingle, "IfcCableSegment", 9.85, 9.9, 2.5), nil},
		{"pipe beside the wall", wall(void.WallSingle, "IfcPipeSegment", 9.7, 9.75, 2.5), nil},
		{"short piece in it", wall(void.WallSingle, "IfcPipeSegment", 9.85, 9.9, 0.2), nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			checktest.Want(t, tt.h.RunList(t, Check, "clear-cavity", "pipe", "duct"), tt.want...)
			checktest.Want(t, tt.h.Run(t, Check)) // off unless the adopted text says so
		})
	}
	if err := kinds([]string{"pipe", "hose"}); err == nil {
		t.Error("a kind of service that there is none of")
	}
}

// Services through the faces of a separation: a ring that is open in a face is seen, and is
// told as service-opening tells one in a floor.
func TestOpenRing(t *testing.T) {
	const d = 0.05 // the service's width
	house := func(rings ...float64) *checktest.Hand {
		h := house([3]float64{9, 11, 1}) // at y from 2 to 2.05
		x := [][2]float64{{9.8, 9.81}, {9.99, 10}}
		for i, r := range rings {
			board := h.Element(recognise.Separation, "IfcCovering", "B-"+string(rune('1'+i)))
			lo, hi := x[i][0], x[i][1]
			if r < 0 { // no modelled hole
				h.Part(void.RoleFinish, board, lo, 0, 0, hi, 11, 2.5)
				continue
			}
			h.Part(void.RoleFinish, board, lo, 0, 0, hi, 2-r, 2.5)
			h.Part(void.RoleFinish, board, lo, 2+d+r, 0, hi, 11, 2.5)
			h.Part(void.RoleFinish, board, lo, 2-r, 0, hi, 2+d+r, 1-r)
			h.Part(void.RoleFinish, board, lo, 2-r, 1+d+r, hi, 2+d+r, 2.5)
		}
		return h
	}
	const place = " modelled | unit line U1/U2, P-1"
	for _, tt := range []struct {
		name  string
		rings []float64
		want  string
		says  string
	}{
		{"both faces", []float64{0.02, 0.02}, "deficient" + place + " | 0.02 m", "its hole in both faces leaves 13/16\" open round it, without a seal"},
		{"the narrower of two", []float64{0.02, 0.03}, "deficient" + place + " | 0.02 m", "both faces"},
		{"one face, the other without a hole", []float64{0.02, -1}, "deficient" + place + " | 0.02 m", "1 of the 2 layers of the wall"},
		{"no hole", []float64{-1, -1}, "not-shown" + place, "the model shows no seals"},
		// The limit from either side, 1/2 in = 12.7 mm.
		{"below the limit", []float64{0.0126, 0.0126}, "not-shown" + place, "the model shows no seals"},
		{"at the limit", []float64{0.0127, 0.0127}, "deficient" + place + " | 0.0127 m", "both faces"},
	} {
		r := house(tt.rings...).Run(t, Check)
		checktest.Want(t, r, tt.want)
		if !strings.Contains(r[0].Message, tt.says) {
			t.Errorf("%s: message %q, want %q in it", tt.name, r[0].Message, tt.says)
		}
	}
	// A seal in one face does not close the other.
	h := house(0.02, 0.02)
	h.Part(void.RoleSeal, h.Element(recognise.Seal, "IfcDiscreteAccessory", "S"), 9.79, 1.97, 0.97, 9.81, 2.08, 1.08)
	checktest.Want(t, h.Run(t, Check), "deficient"+place+" | 0.02 m")
	h.Part(void.RoleSeal, h.Element(recognise.Seal, "IfcDiscreteAccessory", "S2"), 9.99, 1.97, 0.97, 10.01, 2.08, 1.08)
	checktest.Want(t, h.Run(t, Check), "meets"+place)
	// Turned off, no ring counts as open.
	checktest.Want(t, house(0.02, 0.02).Run(t, Check, "max-gap", "off"), "not-shown"+place)
}

// The same in houses that go through reader and recognition, framed and layered.
func TestOpenRingInHouses(t *testing.T) {
	for _, layered := range []bool{false, true} {
		for _, tt := range []struct {
			ring   float64
			sealed bool
			want   finding.Outcome
		}{{0.02, false, finding.Deficient}, {0.005, false, finding.NotShown}, {0.02, true, finding.Meets}} {
			h := ifctest.Row(2)
			h.Depth = 24 * ifctest.Foot
			h.Layered = layered
			h.Services = []ifctest.Service{{Kind: "pipe", Through: "separation", At: 2, Diameter: 0.042, Ring: tt.ring, Sealed: tt.sealed}}
			r := checktest.Review(t, h, ifctest.Disguise{}, Check)
			if len(r.Items) != 1 || r.Items[0].Outcome != tt.want {
				t.Errorf("layered %v, ring %v, sealed %v: want one item that is %s, got\n%s", layered, tt.ring, tt.sealed, tt.want, checktest.Lines(r.Items))
				continue
			}
			if m := r.Items[0].Measured; tt.want == finding.Deficient && (m == nil || math.Abs(m.Value-tt.ring) > 0.002) {
				t.Errorf("layered %v: measured %v, want %v", layered, m, tt.ring)
			}
		}
	}
}
