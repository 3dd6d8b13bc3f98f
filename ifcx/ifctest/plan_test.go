package ifctest

import "testing"

// A stair well right at a unit line leaves no member there: the blocks go on past it, and the strip
// over the row is closed over its whole length.
func TestBlocksPastAWell(t *testing.T) {
	well := &StairHole{X: 0.05, Y: 1.5, LX: 0.9, LY: 2.6}
	for _, framing := range []string{"truss", "joist"} {
		p := Plan{Style: Row(2), Wall: "double", Gap: Inch, Attic: "wall", Roofs: []PlanRoof{{Kind: "flat", Attic: "chords", Ridge: "x"}}}
		for n, x := range []Span{{0, 6}, {6 + Inch, 12}} {
			p.Boxes = append(p.Boxes, Dwelling{X: x, Y: Span{0, 8}, Units: []int{n, n}, Stud: FourWide, Along: "x", Framing: framing})
		}
		p.Boxes[1].Well = well
		p.Parties = p.parties()
		b := &planBuilder{p: &p, builder: &builder{layout: &layout{h: &p.Style}}}
		strip := p.Boxes[1].rimStrip(X, 0)
		run := b.edgeRun(1, X, p.Boxes[1].Y)
		var closed []Span
		for _, m := range b.planMembers(1) {
			for _, s := range b.memberPieces(1, m) {
				if s.overlaps(strip) {
					closed = append(closed, m)
				}
			}
		}
		if len(closed) == 0 || len(closed) == len(b.planMembers(1)) {
			t.Errorf("%s: %d members bear at the line", framing, len(closed))
		}
		for _, s := range without(run, append(closed, b.closing(1, X, 0, run)...)) {
			if s.Len() > 1e-9 {
				t.Errorf("%s: nothing closes the line from %.3f to %.3f m", framing, s.Lo, s.Hi)
			}
		}
	}
}
