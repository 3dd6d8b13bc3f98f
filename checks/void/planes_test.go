package void

import "testing"

// Where the step between two units is larger than the depth of their floors, the plane between the
// storeys of both rows lies between the plates of neither: each row has its own.
func TestPlanesOfSteppedRows(t *testing.T) {
	wall := func(a, b Span) Wall {
		return Wall{Z0: a.Lo, Z1: b.Hi, Rows: []Span{{0, 0.089}, {0.114, 0.203}}, Gaps: []Span{{0.089, 0.114}}, RowZ: []Span{a, b}}
	}
	in := &Input{Walls: []Wall{wall(Span{0, 2.467}, Span{0.6, 3.067}), wall(Span{2.944, 5.411}, Span{3.544, 6.011})}}
	st := &stack{s: &solver{in: in}, cuts: map[[2]int][]float64{{0, 1}: {3.005}}}
	for _, c := range []struct{ t, lo, hi float64 }{{0.04, 2.467, 2.944}, {0.16, 3.067, 3.544}} {
		for _, z := range st.cutsAt(0, 1, c.t) {
			if z < c.lo || z > c.hi {
				t.Errorf("row at %.2f: plane at %.3f, want one between %.3f and %.3f", c.t, z, c.lo, c.hi)
			}
		}
	}
}
