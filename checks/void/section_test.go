package void

import (
	"math"
	"slices"
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

// A corner of a cell that reaches past the edge of a band, by less than the plan is cut to, is
// no narrowest section of it; what lies in the band is kept as it is cut.
func TestInner(t *testing.T) {
	b := &bandLine{t0: 0, t1: 0.1}
	ps := []gapPiece{{0, 2, 0, 0.1, 0, 0.3, 0}, {2, 2.001, 0.09, 0.1004, 0, 0.3, 0}}
	ts := []float64{0, 0.09, 0.1, 0.1004}
	at, _ := narrowest(ps, b.inner(ts), 0.05)
	if cut, _ := section(ps, at); len(cut) == 0 || cut[0].s1 != 2 {
		t.Errorf("the narrowest section lies at %.5f, past the edge of the band", at)
	}
	for _, whole := range [][]float64{nil, {-0.0004, 0.1004}, {0, 0.0005}, {0.04, 0.05, 0.06}} {
		if got := b.inner(whole); !slices.Equal(got, whole) {
			t.Errorf("%v are cut to %v", whole, got)
		}
	}
}
