package catalogue

import (
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/ifcx/ifctest"
)

// atticDoor is a row of two whose attic draftstop has an opening for access with a door.
func atticDoor(t *testing.T, door *ifctest.Door) *ifctest.Model {
	h := ifctest.Row(2)
	h.Name, h.Depth, h.Separation.Attic = "Attic door", 24*ifctest.Foot, "sheet"
	m, err := h.Build()
	if err != nil {
		t.Fatal(err)
	}
	z := h.Layout().Plate(1) + 0.4
	cut := 0
	for _, p := range m.Find(ifctest.AtticStop) {
		b := p.Bounds()
		if y := h.Depth/2 - 0.35; b.Min.Y < y-0.1 && b.Max.Y > y+0.8 {
			p.Hole(ifctest.Span{}, ifctest.Span{Lo: y, Hi: y + 0.7}, ifctest.Span{Lo: z, Hi: z + 0.6}, "Access", door)
			cut++
		}
	}
	if cut != 1 {
		t.Fatalf("%d sheets cut, want one", cut)
	}
	return m
}

func TestAtticDoor(t *testing.T) {
	both := []ifctest.Prop{ifctest.Flag("Pset_DoorCommon", "SelfClosing", true), ifctest.Flag("Hardware", "Latch", true)}
	for _, tt := range []struct {
		name string
		door *ifctest.Door
		want string
	}{
		{"door that closes and latches", &ifctest.Door{Name: "Access door", Props: both}, "meets declared draftstop-door"},
		{"door", &ifctest.Door{Name: "Access door"}, "not-shown declared draftstop-door"},
		{"no door", nil, "deficient modelled draftstop-door"},
	} {
		for _, d := range []ifctest.Disguise{{}, {Unit: "ft", RotateDeg: 33, Schema: "IFC2X3"}} {
			t.Run(tt.name, func(t *testing.T) {
				r := checktest.ReviewModel(t, atticDoor(t, tt.door), d, checktest.With{Facts: checktest.Facts}, Checks()...)
				items := r.Of("draftstop-door")
				if len(items) != 1 || !strings.HasPrefix(checktest.Line(&items[0]), tt.want) {
					t.Errorf("items:\n%swant one %s", checktest.Lines(items), tt.want)
				}
				primary, _ := r.Deficient()
				for _, it := range primary {
					if tt.door != nil {
						t.Errorf("deficient with a door: %s", checktest.Line(it))
					} else if it.Outcome == finding.Deficient && it.Check != "attic-draftstop-line" && it.Check != "draftstop-complete" {
						t.Errorf("deficient: %s", checktest.Line(it))
					}
				}
			})
		}
	}
}
