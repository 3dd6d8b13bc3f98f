// Package floordraftstoparea is the floor-draftstop-area check.
package floordraftstoparea

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
	"voidcheck/checks/spread"
	"voidcheck/checks/void"
)

// Check is the floor-draftstop-area check.
var Check = &checks.Check{
	Name:  "floor-draftstop-area",
	Title: "area of each floor void compartment",
	Doc: "Every compartment of a floor/ceiling void of open-web trusses, of perforated I-joists or above a suspended ceiling, " +
		"with usable space above and below it, is within the area limit. Compartments that openings join count as one: such an item is a " +
		"consequence of the openings it names. Solid joists with the ceiling fixed to them divide the void themselves and are only noted.",
	Topic: "draftstopping of floor/ceiling spaces, area",
	Params: []adoption.Param{{
		Name: "max-area", Kind: adoption.Area, Default: "1000 ft2",
		Doc:    "largest horizontal area of one compartment, measured to the inside faces of what bounds it",
		Source: "24 CFR 3280.216 and the IRC text on draftstopping: not more than 1,000 ft2 (seen in HUD 24 CFR 3280.216)",
	}},
	Run: run,
}

// bearing tells how a void's framing bears on the limit.
type bearing int

const (
	applies   bearing = iota
	undecided         // the framing decides, and it is not shown
	divided           // solid joists divide it
	outside           // no usable space above or below
)

func bears(v *void.Void) bearing {
	switch {
	case !v.UsableAbove || !v.UsableBelow:
		return outside
	case v.Suspended, v.Framing == void.FramingTruss:
		return applies
	case v.Framing == void.FramingSolid:
		return divided
	case v.Framing == void.FramingI && !v.Layered:
		return applies // the solver has seen whether the webs are solid
	}
	return undecided
}

func run(ctx context.Context, p *checks.Pass) error {
	limit, on := p.Limits.Get("max-area")
	if !on {
		return nil
	}
	w := place.New(p.Building, p.Voids, p.Units)
	for _, v := range p.Voids.Voids {
		if v.Kind == void.KindFloor {
			note(p, w, v)
		}
	}
	channels := map[*void.Void][]*void.Compartment{} // those of I-joists that are small enough
	for _, j := range spread.Joints(p.Voids, judged) {
		if err := ctx.Err(); err != nil {
			return err
		}
		joined := len(j.Compartments) > 1 && grade.Over(j.AreaM2, limit)
		for _, c := range j.Compartments {
			if grade.Over(c.AreaM2, limit) {
				alone(p, w, c, limit)
			} else if !joined && c.Void.Framing == void.FramingI {
				channels[c.Void] = append(channels[c.Void], c)
			} else if !joined {
				within(p, w, c, limit)
			}
		}
		if joined {
			together(p, w, j, limit)
		}
	}
	for _, v := range p.Voids.Voids {
		if cs := channels[v]; len(cs) > few {
			allWithin(p, w, cs, limit)
		} else {
			for _, c := range cs {
				within(p, w, c, limit)
			}
		}
	}
	return nil
}

// few is how many parts of one void are told one by one: draftstops make no more than that,
// and the channels of I-joists are told together.
const few = 4

func judged(c *void.Compartment) bool {
	if c.Void == nil || c.Void.Kind != void.KindFloor {
		return false
	}
	b := bears(c.Void)
	return b == applies || b == undecided
}

// note reports a void to which the limit does not apply.
func note(p *checks.Pass, w *place.Words, v *void.Void) {
	r := checks.Report{Outcome: finding.Note, Evidence: grade.Evidence(v), Storey: v.Storey, Units: v.Units, Place: w.Void(v), Voids: []*void.Void{v}}
	if len(v.Compartments) > 0 {
		r.Point = v.Compartments[0].Point
	}
	switch bears(v) {
	case divided:
		r.Cause = "solid joists"
		r.Message = "Solid joists with the ceiling fixed to them divide this floor void into channels; the area limit is for open-web framing and suspended ceilings."
	case outside:
		r.Cause = "no usable space on both sides"
		r.Message = "There is no usable space both above and below this void; the area limit does not apply to it."
	default:
		return
	}
	p.Report(r)
}

func report(c *void.Compartment, w *place.Words, limit float64) checks.Report {
	return checks.Report{
		Evidence: grade.Evidence(c.Void), Storey: c.Void.Storey, Units: c.Units, Place: w.Compartment(c), Point: c.Point,
		Spaces: []*void.Compartment{c}, Measured: grade.SquareMetres(c.AreaM2), Limit: grade.SquareMetres(limit),
	}
}

// alone reports a compartment that is too large by itself.
func alone(p *checks.Pass, w *place.Words, c *void.Compartment, limit float64) {
	r := report(c, w, limit)
	area, most := w.Pair(c.AreaM2, limit, "m2")
	parts := grade.Parts(c.AreaM2, limit)
	if bears(c.Void) == undecided {
		r.Outcome, r.Cause = finding.NotShown, "framing not shown"
		r.Message = fmt.Sprintf("This floor void is %s in one piece, more than %s. Whether that limit applies depends on its framing (%s), which the model does not show well enough.",
			area, most, place.Framing(c.Void.Framing))
		r.Remedy = fmt.Sprintf("Show the floor framing (open-web trusses, perforated or solid I-joists, solid joists) and whether the ceiling hangs below it; "+
			"if it is open, show %d draftstops that make %d about equal parts.", parts-1, parts)
		p.Report(r)
		return
	}
	if open, seps := p.Detail().Untold(c.Void); seps > 0 && !grade.Over(c.AreaM2/float64(seps+1), limit) {
		r.Outcome, r.Cause, r.Openings, r.Consequence = finding.NotShown, "unit lines not shown", open, true
		r.Message = fmt.Sprintf("This floor void of %s is %s in one piece, more than %s, because the model does not show what closes it in line with the unit separations.", built(c.Void), area, most)
		r.Remedy = "Show what closes the void in line with the separations; stops there may bring each part within the limit."
		p.Report(r)
		return
	}
	r.Outcome, r.Cause = finding.Deficient, "area over the limit"
	r.Message = fmt.Sprintf("This floor void of %s is %s in one piece; not more than %s is allowed.", built(c.Void), area, most)
	if c.Void.CeilingAssumed {
		r.Message += " No ceiling is modelled; the underside of the framing is taken as the ceiling."
	}
	r.Remedy = fmt.Sprintf("Divide it into %d about equal parts: %s of %s or as the local code accepts, on the face of a truss or joist, from the ceiling to the underside of the deck.",
		parts, count(parts-1, "draftstop"), w.Board())
	p.Report(r)
}

func built(v *void.Void) string {
	s := place.Framing(v.Framing)
	if v.Suspended {
		s += " above a suspended ceiling"
	}
	return s
}

func count(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// within reports a compartment that is small enough whatever its framing.
func within(p *checks.Pass, w *place.Words, c *void.Compartment, limit float64) {
	r := report(c, w, limit)
	area, most := w.Pair(c.AreaM2, limit, "m2")
	r.Outcome = finding.Meets
	r.Message = fmt.Sprintf("This floor void of %s is %s; up to %s is allowed.", built(c.Void), area, most)
	p.Report(r)
}

// allWithin reports the channels between I-joists of one void, each of them small enough.
func allWithin(p *checks.Pass, w *place.Words, cs []*void.Compartment, limit float64) {
	most := slices.MaxFunc(cs, func(a, b *void.Compartment) int { return cmp.Compare(a.AreaM2, b.AreaM2) })
	r := report(cs[0], w, limit)
	r.Place, r.Spaces, r.Measured = w.Void(cs[0].Void), cs, grade.SquareMetres(most.AreaM2)
	area, limited := w.Pair(most.AreaM2, limit, "m2")
	r.Outcome = finding.Meets
	r.Message = fmt.Sprintf("%s part this floor void into channels: %d of them are %s at most; up to %s is allowed.", built(cs[0].Void), len(cs), area, limited)
	p.Report(r)
}

// together reports compartments that openings join to more than the limit.
func together(p *checks.Pass, w *place.Words, j *spread.Joint, limit float64) {
	r := checks.Report{
		Outcome: finding.Deficient, Storey: j.Class.Storey, Units: j.Units, Spaces: j.Compartments,
		Measured: grade.SquareMetres(j.AreaM2), Limit: grade.SquareMetres(limit),
		Openings: j.Openings, Consequence: true, Cause: "joined by openings",
	}
	sure := false
	for _, c := range j.Compartments {
		r.Evidence = grade.Weaker(r.Evidence, grade.Evidence(c.Void))
		sure = sure || bears(c.Void) == applies
	}
	r.Point = j.Compartments[0].Point
	if len(j.Openings) > 0 {
		r.Point = place.Middle(j.Openings)
	}
	r.Place = "floor void of " + w.Units(j.Units) + " joined"
	if len(j.Units) == 0 {
		r.Place = "floor void joined"
	}
	area, most := w.Pair(j.AreaM2, limit, "m2")
	r.Message = fmt.Sprintf("%s %s to %s; not more than %s is allowed.", place.Joined(len(j.Openings)), w.Together(j.Compartments), area, most)
	r.Remedy = "Close what joins them."
	if !sure {
		r.Outcome, r.Cause = finding.NotShown, "framing not shown"
		r.Message += " Whether the limit applies depends on the framing, which the model does not show well enough."
	}
	p.Report(r)
}
