package catalogue

import (
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/ifcx/ifctest"
)

// An export without its ceilings: the wall boards still end below the framing by the thickness
// of the ceilings. Those joints are no openings between cavities and floor voids.
func TestCeilingsLeftOut(t *testing.T) {
	h := ifctest.Row(2)
	h.Name, h.Depth = "Ceilings left out", 24*ifctest.Foot
	m, err := h.Build()
	if err != nil {
		t.Fatal(err)
	}
	m.Remove(func(p *ifctest.Part) bool { return p.Role == ifctest.Ceiling })
	for _, d := range []ifctest.Disguise{{}, {Unit: "ft", RotateDeg: 33}} {
		r := checktest.ReviewModel(t, m, d, checktest.With{Facts: checktest.Facts}, Checks()...)
		primary, _ := r.Deficient()
		for _, it := range primary {
			t.Errorf("deficient: %s", checktest.Line(it))
		}
	}
}
