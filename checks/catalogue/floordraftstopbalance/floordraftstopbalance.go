// Package floordraftstopbalance is the floor-draftstop-balance check.
package floordraftstopbalance

import (
	"context"
	"fmt"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
)

// Check is the floor-draftstop-balance check.
var Check = &checks.Check{
	Name:  "floor-draftstop-balance",
	Title: "equal areas of draftstopped parts",
	Doc: "The parts that draftstops make of a floor void over the same units are about equal in area. Codes ask for about equal areas and give no number, " +
		"so parts further apart than the ratio give a note, never a deficiency. Parts below a square metre are left out.",
	Topic: "draftstopping of floor/ceiling spaces, about equal areas",
	Params: []adoption.Param{{
		Name: "max-ratio", Kind: adoption.Ratio, Default: "1.25",
		Doc:    "largest ratio of the largest to the smallest part that passes without a note",
		Source: "our tolerance; the wording \"approximately equal\" seen in HUD 24 CFR 3280.216, which gives no number",
	}},
	Run: run,
}

// leastPart is the area below which a part is a leftover beside a stair or a shaft and says
// nothing about balance, square metres (our tolerance).
const leastPart = 1.0

func run(ctx context.Context, p *checks.Pass) error {
	most, on := p.Limits.Get("max-ratio")
	if !on {
		return nil
	}
	w := place.New(p.Building, p.Voids, p.Units)
	stops := map[*void.Void][]*void.Line{}
	for _, l := range p.Voids.Lines {
		if l.Kind == void.LineDraftstop && l.Void != nil && l.Void.Kind == void.KindFloor {
			stops[l.Void] = append(stops[l.Void], l)
		}
	}
	for _, v := range p.Voids.Voids {
		if len(stops[v]) == 0 {
			continue
		}
		for _, parts := range alike(v) {
			judge(p, w, v, stops[v], parts, most)
		}
	}
	return ctx.Err()
}

// alike groups the parts of a void by the units they lie over, in order, groups of two and more.
func alike(v *void.Void) [][]*void.Compartment {
	var keys []string
	by := map[string][]*void.Compartment{}
	for _, c := range v.Compartments {
		if c.AreaM2 < leastPart {
			continue
		}
		k := fmt.Sprint(c.Units)
		if by[k] == nil {
			keys = append(keys, k)
		}
		by[k] = append(by[k], c)
	}
	var r [][]*void.Compartment
	for _, k := range keys {
		if len(by[k]) > 1 {
			r = append(r, by[k])
		}
	}
	return r
}

func judge(p *checks.Pass, w *place.Words, v *void.Void, stops []*void.Line, parts []*void.Compartment, most float64) {
	lo, hi := parts[0], parts[0]
	var areas []string
	for _, c := range parts {
		areas = append(areas, w.Area(c.AreaM2))
		if c.AreaM2 < lo.AreaM2 {
			lo = c
		}
		if c.AreaM2 > hi.AreaM2 {
			hi = c
		}
	}
	ratio := hi.AreaM2 / lo.AreaM2
	own := *v
	own.Units = parts[0].Units
	r := checks.Report{
		Outcome: finding.Meets, Evidence: grade.Evidence(v), Storey: v.Storey, Units: own.Units, Place: w.Void(&own), Point: hi.Point,
		Spaces: parts, Measured: grade.Plain(ratio, "ratio"), Limit: grade.Plain(most, "ratio"),
		Message: fmt.Sprintf("The draftstopped parts are %s; the largest is %.2f times the smallest.", place.List(areas), ratio),
	}
	for _, l := range stops {
		r.Elements = append(r.Elements, l.Elements...)
	}
	if grade.Over(ratio, most) {
		r.Outcome, r.Cause = finding.Note, "parts not about equal"
		value, bound := w.Pair(ratio, most, "ratio")
		r.Message = fmt.Sprintf("The draftstopped parts are %s; the largest is %s times the smallest, more than the reviewer's tolerance of %s for \"about equal\".",
			place.List(areas), value, bound)
		r.Remedy = "Move the draftstop to another truss so that the parts come closer to each other, if the local code asks for about equal areas."
	}
	p.Report(r)
}
