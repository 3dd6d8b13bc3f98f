package catalogue

import (
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/void"
	"voidcheck/ifcx/ifctest"
)

// I-joists: without holes each bay is a channel of its own; a hole in every web makes one
// void of them, and leaves the blocks over the unit line what they were: they are cut to the
// flanges, and a hole elsewhere in the web opens nothing beside them.
func TestHolesInIJoists(t *testing.T) {
	for _, tt := range []struct {
		name     string
		hole     float64
		channels int
	}{{"whole", 0, 20}, {"knock-outs of 10 mm", 0.01, 20}, {"holes of 6 in", 6 * ifctest.Inch, 1}} {
		h := ifctest.Row(2)
		h.Floor.Framing = "i-joist"
		m, err := h.Build()
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range m.Find(ifctest.IJoist) {
			b := p.Bounds()
			c, across := b.Center(), b.Size()
			span := func(mid, half float64) ifctest.Span { return ifctest.Span{Lo: mid - half, Hi: mid + half} }
			x, y, axis := span(c.X, tt.hole/2), span(c.Y, 0.2), ifctest.Y
			if across.X < across.Y {
				x, y, axis = span(c.X, 0.2), span(c.Y, tt.hole/2), ifctest.X
			}
			if tt.hole > 0 {
				p.Openings = append(p.Openings, ifctest.Opening{Name: "hole", Solid: ifctest.Box(x, y, span(c.Z, tt.hole/2), axis)})
			}
		}
		for _, turn := range []float64{0, 27} {
			r := checktest.ReviewModel(t, m, ifctest.Disguise{RotateDeg: turn}, checktest.With{Facts: checktest.Facts}, Checks()...)
			for i := range r.Items {
				if it := &r.Items[i]; it.Outcome == finding.Deficient && it.Check != "floor-draftstop-area" {
					t.Errorf("%s, turned %g: %s", tt.name, turn, checktest.Line(it))
				}
			}
			for _, v := range r.Voids.Voids {
				if v.Kind == void.KindFloor && (len(v.Compartments) != tt.channels || v.Framing != void.FramingI) {
					t.Errorf("%s, turned %g: floor void of %s in %d parts, want %d", tt.name, turn, v.Framing, len(v.Compartments), tt.channels)
				}
			}
		}
	}
}
