package void

import (
	"fmt"
	"math"
	"math/rand"
	"testing"
)

func floorsOf(r *Result) []*Void {
	var out []*Void
	for _, v := range r.Voids {
		if v.Kind == KindFloor {
			out = append(out, v)
		}
	}
	return out
}

// The worked example of concealed-spaces.md: areas of 66 m2, a missing block on each side of
// the same bay makes one route, and the clear width is spacing less member.
func TestWorkedExampleUnderDisguise(t *testing.T) {
	type want struct {
		openings int
		joined   float64
	}
	cases := map[string]struct {
		skip map[string]bool
		want want
	}{
		"closed":     {nil, want{0, 66}},
		"one block":  {map[string]bool{"Lg": true}, want{1, 66}},
		"both sides": {map[string]bool{"Lg": true, "Rg": true}, want{2, 132}},
	}
	for name, c := range cases {
		for _, d := range []struct {
			deg, dx, dy float64
			mirror      bool
		}{{0, 0, 0, false}, {90, 5, -3, false}, {33.3, 1000, 2000, true}, {-121.7, -3e3, 4e3, false}} {
			t.Run(fmt.Sprintf("%s/%g", name, d.deg), func(t *testing.T) {
				h := &twoUnits{wide: 6, deep: 11, depth: 0.40, spacing: 0.61, skip: c.skip}
				in := disguise(h.build(), d.deg, d.dx, d.dy, d.mirror)
				rand.New(rand.NewSource(7)).Shuffle(len(in.Parts), func(i, j int) { in.Parts[i], in.Parts[j] = in.Parts[j], in.Parts[i] })
				r := mustSolve(t, in)
				fl := floorsOf(r)
				if len(fl) != 2 || len(r.Openings) != c.want.openings {
					t.Fatalf("floor voids %d want 2, openings %d want %d\n%s", len(fl), len(r.Openings), c.want.openings, describe(r))
				}
				joined := map[int]float64{}
				for _, v := range fl {
					if math.Abs(v.AreaM2-66) > 0.001 {
						t.Errorf("area %.6f want 66", v.AreaM2)
					}
					joined[v.Compartments[0].Joined] += v.AreaM2
				}
				best := 0.0
				for _, a := range joined {
					best = math.Max(best, a)
				}
				if math.Abs(best-c.want.joined) > 0.001 {
					t.Errorf("joined area %.3f want %.3f", best, c.want.joined)
				}
				for _, o := range r.Openings {
					if math.Abs(o.WidthM-(0.61-0.089)) > 1e-4 || o.Kind != OpenBay {
						t.Errorf("%s %.4f wide, want a bay of 0.521", o.Kind, o.WidthM)
					}
				}
			})
		}
	}
}

// A draftstop that ends below the deck, by gap sizes on either side of 1/2 in.
func TestDraftstopShortOfDeck(t *testing.T) {
	for gap, want := range map[float64]int{0: 0, 0.003: 0, 0.0127: 1, 0.030: 1} {
		h := &twoUnits{wide: 6, deep: 11, depth: 0.40, spacing: 0.61, stopAt: []float64{0.61*9 + 0.3}, stopGap: gap}
		r := mustSolve(t, disguise(h.build(), 20, 0, 0, false))
		if len(r.Openings) != want {
			t.Fatalf("gap %.4f: openings %d want %d\n%s", gap, len(r.Openings), want, describe(r))
		}
		var left *Void
		for _, v := range floorsOf(r) {
			if len(v.Compartments) == 2 {
				left = v
			}
		}
		if left == nil {
			t.Fatalf("gap %.4f: the draftstop does not divide its void\n%s", gap, describe(r))
		}
		if math.Abs(left.AreaM2-(66-6*board)) > 0.001 {
			t.Errorf("gap %.4f: area %.4f", gap, left.AreaM2)
		}
		for _, o := range r.Openings {
			if o.Kind != OpenTop || math.Abs(o.HeightM-gap) > 0.002 || math.Abs(o.WidthM-6) > 0.2 {
				t.Errorf("gap %.4f: %s %.4f x %.4f", gap, o.Kind, o.WidthM, o.HeightM)
			}
		}
	}
}
