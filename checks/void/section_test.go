package void

import (
	"math"
	"testing"
)

// However the pieces of an opening are cut, the narrowest section is found at one place, with
// something in it, and a section on either side equally near is told.
func TestNarrowest(t *testing.T) {
	p := func(t0, t1, z float64) gapPiece { return gapPiece{0, 2, t0, t1, 0, z, 0} }
	for name, x := range map[string]struct {
		ps   []gapPiece
		ts   []float64
		at   float64
		even bool
	}{
		"one":               {[]gapPiece{p(0, 0.1, 0.3), p(0.1, 0.2, 0.2)}, []float64{0, 0.1, 0.1, 0.2}, 0.15, false},
		"cut in two":        {[]gapPiece{p(0, 0.1, 0.3), p(0.1, 0.15, 0.2), p(0.15, 0.2, 0.2)}, []float64{0, 0.1, 0.1, 0.15, 0.15, 0.2}, 0.15, false},
		"a hair apart":      {[]gapPiece{p(0, 0.1, 0.2), p(0.1+2e-7, 0.2, 0.2)}, []float64{0, 0.1, 0.1 + 2e-7, 0.2}, 0.1, false},
		"on either side":    {[]gapPiece{p(0, 0.02, 0.1), p(0.02, 0.18, 0.3), p(0.18, 0.2, 0.1)}, []float64{0, 0.02, 0.02, 0.18, 0.18, 0.2}, 0.01, true},
		"one of them split": {[]gapPiece{p(0, 0.02, 0.1), p(0.02, 0.18, 0.3), p(0.18, 0.185, 0.1), p(0.185, 0.2, 0.1)}, []float64{0, 0.02, 0.02, 0.18, 0.18, 0.185, 0.185, 0.2}, 0.01, true},
	} {
		at, even := narrowest(x.ps, x.ts, 0.1)
		if math.Abs(at-x.at) > 1e-4 || even != x.even {
			t.Errorf("%s: at %.5f, even %t, want %.5f, %t", name, at, even, x.at, x.even)
		}
		if cut, _ := section(x.ps, at); len(cut) == 0 {
			t.Errorf("%s: nothing is open at %.9f", name, at)
		}
	}
}
