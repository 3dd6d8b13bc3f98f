// Package grade holds the comparisons that every check makes alike: a value with its limit,
// the absence of a stop with the detail of the model, and one piece of evidence with another.
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

// Shows reports whether the model shows any part of the roles.
func Shows(in *void.Input, roles ...void.Role) bool {
	for i := range in.Parts {
		for _, r := range roles {
			if in.Parts[i].Role == r {
				return true
			}
		}
	}
	return false
}

// Stops reports whether any of the elements is a modelled block or draftstop.
func Stops(in *void.Input, elements []int) bool {
	for i := range in.Parts {
		p := &in.Parts[i]
		if p.Role != void.RoleBlock && p.Role != void.RoleDraftstop {
			continue
		}
		for _, e := range elements {
			if e == p.Element {
				return true
			}
		}
	}
	return false
}

// Absence grades a stop that is not there. It is deficient where the model is detailed
// enough to have shown it: the void is framed member by member, or stops of the roles are
// modelled elsewhere in the submittal. In a void known only by its layers, in a model
// without such stops, it is merely not shown.
func Absence(in *void.Input, v *void.Void, roles ...void.Role) finding.Outcome {
	if v == nil || !v.Layered || Shows(in, roles...) {
		return finding.Deficient
	}
	return finding.NotShown
}

// LineAbsence is Absence for a unit line. A model of layers that closes other unit lines of
// the same kind of void, by walls that run through or by stops, shows the difference: there an
// open line is a defect. Where all of them are open, the model leaves such things out.
func LineAbsence(in *void.Input, r *void.Result, l *void.Line) finding.Outcome {
	if l.Bounds { // the wall itself stands in the void, and is seen to end short
		return finding.Deficient
	}
	out := Absence(in, l.Void, void.RoleBlock, void.RoleDraftstop)
	if out == finding.Deficient || l.Void == nil || l.Kind != void.LineSeparation {
		return out
	}
	for _, o := range r.Lines {
		if o == l || o.Kind != void.LineSeparation || o.Void == nil || o.Void.Kind != l.Void.Kind || len(o.Openings) > 0 {
			continue
		}
		if o.Separation != l.Separation || o.Void.Storey != l.Void.Storey {
			return finding.Deficient
		}
	}
	return out
}

// Untold returns the openings of the unit lines of a void that the model leaves untold, and
// how many separations they belong to: with stops there the void would end at them.
func Untold(in *void.Input, r *void.Result, v *void.Void) ([]*void.Opening, int) {
	var open []*void.Opening
	seps := map[int]bool{}
	for _, l := range r.Lines {
		if l.Void == v && l.Kind == void.LineSeparation && len(l.Openings) > 0 && LineAbsence(in, r, l) == finding.NotShown {
			open = append(open, l.Openings...)
			seps[l.Separation] = true
		}
	}
	return open, len(seps)
}

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

// CavityAbsence is Absence for what should close a wall cavity. Stops of the kind are blocks
// in wall cavities: what stands above a unit line or across a floor void says nothing about
// how far the model goes into its walls. untold is true where nothing is modelled that tells.
func CavityAbsence(in *void.Input, r *void.Result, v *void.Void, untold bool) finding.Outcome {
	if v != nil && (v.Layered || untold) && !cavityBlocks(in, r) {
		return finding.NotShown
	}
	return finding.Deficient
}

// cavityBlocks reports whether a block closes any wall cavity at a level or along the wall.
func cavityBlocks(in *void.Input, r *void.Result) bool {
	block := map[int]bool{}
	for i := range in.Parts {
		if in.Parts[i].Role == void.RoleBlock && in.Parts[i].Element >= 0 {
			block[in.Parts[i].Element] = true
		}
	}
	if len(block) == 0 {
		return false
	}
	any := func(elements []int) bool {
		for _, e := range elements {
			if block[e] {
				return true
			}
		}
		return false
	}
	for _, c := range r.Cavities {
		for i := range c.Levels {
			if any(c.Levels[i].Elements) {
				return true
			}
		}
		for i := range c.Runs {
			if any(c.Runs[i].Elements) {
				return true
			}
		}
	}
	return false
}
