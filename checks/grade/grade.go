// Package grade holds the comparisons that every check makes alike: a value with its limit,
// the absence of a stop with the detail of the model (Detail), and one piece of evidence with another.
package grade

import (
	"math"

	"voidcheck/checks/finding"
	"voidcheck/checks/spread"
	"voidcheck/checks/void"
)

// limitTolerance is the share by which a value may pass its limit and still be equal to it:
// areas and lengths come out of floating-point geometry.
const limitTolerance = 1e-6

// Over reports whether a value is more than its limit: code limits are "not more than".
func Over(v, limit float64) bool { return v > limit*(1+limitTolerance) }

// Parts is the least number of parts that brings a whole under the limit: ceil(v/limit).
func Parts(v, limit float64) int {
	if limit <= 0 || !Over(v, limit) {
		return 1
	}
	return int(math.Ceil(v/limit*(1-limitTolerance) - 1e-9))
}

// Gaps returns the openings that are at least gap metres wide and high, each once, in order.
func Gaps(os []*void.Opening, gap float64) []*void.Opening {
	seen := map[*void.Opening]bool{}
	var r []*void.Opening
	for _, o := range os {
		if spread.Passes(o, gap) && !seen[o] {
			seen[o] = true
			r = append(r, o)
		}
	}
	return r
}

// Clear returns the clear size of an opening that its kind is judged by: the width of an
// open bay or a gap at the end of a stop, the height of a gap above or below it, the narrower
// way of the others.
func Clear(o *void.Opening) float64 {
	switch o.Kind {
	case void.OpenBay, void.OpenEdge:
		return o.WidthM
	case void.OpenTop, void.OpenBottom:
		return o.HeightM
	}
	return math.Min(o.WidthM, o.HeightM)
}

// Metres is a length as a finding carries it.
func Metres(v float64) *finding.Measure { return &finding.Measure{Value: v, Unit: "m"} }

// SquareMetres is an area as a finding carries it.
func SquareMetres(v float64) *finding.Measure { return &finding.Measure{Value: v, Unit: "m2"} }

// Plain is a ratio or a count ("ratio", "count") as a finding carries it.
func Plain(v float64, unit string) *finding.Measure { return &finding.Measure{Value: v, Unit: unit} }

// Evidence grades what is known of a void: assumed when its ceiling is, declared when it
// comes from layers, modelled otherwise.
func Evidence(v *void.Void) finding.Evidence {
	switch {
	case v == nil:
		return finding.Modelled
	case v.CeilingAssumed:
		return finding.Assumed
	case v.Layered:
		return finding.Declared
	}
	return finding.Modelled
}

// Weaker returns the weaker of two grades of evidence; "" is no grade yet.
func Weaker(a, b finding.Evidence) finding.Evidence {
	rank := map[finding.Evidence]int{finding.Modelled: 1, finding.Declared: 2, finding.Assumed: 3}
	if rank[b] > rank[a] {
		return b
	}
	return a
}
