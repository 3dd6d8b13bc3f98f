// Package atticdraftstoparea is the attic-draftstop-area check.
package atticdraftstoparea

import (
	"context"
	"fmt"
	"math"
	"strings"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
	"voidcheck/checks/spread"
	"voidcheck/checks/void"
)

// Check is the attic-draftstop-area check.
var Check = &checks.Check{
	Name:  "attic-draftstop-area",
	Title: "area of each attic compartment and units below it",
	Doc: "Every attic compartment is within the area limit, measured horizontally, and lies over no more than a number of dwelling units. " +
		"Compartments that openings join count as one: such an item is a consequence of the openings it names.",
	Topic: "draftstopping of attics, area",
	Params: []adoption.Param{
		{
			Name: "max-area", Kind: adoption.Area, Default: "3000 ft2",
			Doc:    "largest horizontal area of one attic compartment",
			Source: "IBC attic draftstopping, not more than 3,000 ft2 (seen in Massachusetts 780 CMR 717.4.2 and 717.4.3)",
		},
		{
			Name: "max-units", Kind: adoption.Count, Default: "2",
			Doc:    "most dwelling units under one attic compartment; leave it out of the adoption to judge by area alone",
			Source: "IBC attic draftstopping, exception for Group R-2: above every two dwelling units if that is smaller (seen in Massachusetts 780 CMR 717.4.2)",
		},
	},
	Run: run,
}

func run(ctx context.Context, p *checks.Pass) error {
	a := attic{Pass: p, w: place.New(p.Building, p.Voids, p.Units)}
	a.area, a.byArea = p.Limits.Get("max-area")
	a.units, a.byUnits = p.Limits.Get("max-units")
	for _, j := range spread.Joints(p.Voids, func(c *void.Compartment) bool { return c.Void != nil && c.Void.Kind == void.KindAttic }) {
		if err := ctx.Err(); err != nil {
			return err
		}
		several := len(j.Compartments) > 1
		byArea := several && a.byArea && grade.Over(j.AreaM2, a.area)
		byUnits := several && a.byUnits && float64(len(j.Units)) > a.units
		for _, c := range j.Compartments {
			if !a.alone(c) && !byArea && !byUnits {
				a.within(c)
			}
		}
		if byArea {
			a.together(j, false)
		}
		if byUnits {
			a.together(j, true)
		}
	}
	return nil
}

// attic is the pass with its limits read.
type attic struct {
	*checks.Pass
	w               *place.Words
	area, units     float64
	byArea, byUnits bool
}

func (a *attic) report(c *void.Compartment) checks.Report {
	return checks.Report{
		Outcome: finding.Deficient, Evidence: grade.Evidence(c.Void), Storey: c.Void.Storey, Units: c.Units, Place: a.w.Compartment(c),
		Point: c.Point, Spaces: []*void.Compartment{c},
	}
}

// alone reports what is wrong with a compartment by itself, and whether anything is.
func (a *attic) alone(c *void.Compartment) bool {
	bad := false
	open, seps := a.Detail().Untold(c.Void)
	if a.byArea && grade.Over(c.AreaM2, a.area) {
		bad = true
		r := a.report(c)
		r.Measured, r.Limit, r.Cause = grade.SquareMetres(c.AreaM2), grade.SquareMetres(a.area), "area over the limit"
		area, most := a.w.Pair(c.AreaM2, a.area, "m2")
		r.Message = fmt.Sprintf("This attic is %s in one piece, measured horizontally, up to %s high; not more than %s is allowed.", area, a.w.Length(c.HeightMaxM), most)
		parts := grade.Parts(c.AreaM2, a.area)
		r.Remedy = fmt.Sprintf("Divide it into %d about equal parts with %s of %s or as the local code accepts, from the ceiling to the underside of the roof sheathing, on the face of a truss.",
			parts, stops(parts-1), a.w.Board())
		if a.byUnits && float64(len(c.Units)) > a.units {
			r.Remedy = fmt.Sprintf("Divide it with draftstops of %s or as the local code accepts, from the ceiling to the underside of the roof sheathing, above unit separations or on the face of a truss, "+
				"so that no part is larger than that, nor lies over more than %g dwelling units.", a.w.Board(), a.units)
		}
		a.untold(&r, !grade.Over(c.AreaM2/float64(seps+1), a.area), seps, open)
		a.Report(r)
	}
	if n := float64(len(c.Units)); a.byUnits && n > a.units {
		bad = true
		r := a.report(c)
		r.Measured, r.Limit, r.Cause = grade.Plain(n, "count"), grade.Plain(a.units, "count"), "over too many units"
		r.Aspect = "units"
		r.Message = fmt.Sprintf("This attic lies over %d dwelling units (%s) in one piece; it may lie over %g.", len(c.Units), a.w.Units(c.Units), a.units)
		r.Remedy = fmt.Sprintf("Carry unit separations to the underside of the roof sheathing, or show draftstops of %s above them, so that no part lies over more than %g units; "+
			"if the adopted code does not count units, leave max-units out of the adoption.", a.w.Board(), a.units)
		a.untold(&r, math.Ceil(n/float64(seps+1)) <= a.units, seps, open)
		a.Report(r)
	}
	return bad
}

// untold softens an item about a compartment over unit lines of which the model does not show
// what closes them, where closing them would do.
func (a *attic) untold(r *checks.Report, enough bool, seps int, open []*void.Opening) {
	if seps == 0 || !enough {
		return
	}
	r.Outcome, r.Cause, r.Openings, r.Consequence = finding.NotShown, "unit lines not shown, "+r.Cause, open, true
	r.Message = strings.TrimSuffix(r.Message, ".") + "; the model does not show what closes it in line with the unit separations."
	r.Remedy = "Show what closes the attic in line with the separations; stops there may bring each part within the limit."
}

func stops(n int) string {
	if n == 1 {
		return "one draftstop"
	}
	return fmt.Sprintf("%d draftstops", n)
}

func dwellings(n int) string {
	if n == 1 {
		return "1 dwelling unit"
	}
	return fmt.Sprintf("%d dwelling units", n)
}

func (a *attic) within(c *void.Compartment) {
	r := a.report(c)
	r.Outcome = finding.Meets
	r.Message = fmt.Sprintf("This attic is %s and lies over %s", a.w.Area(c.AreaM2), dwellings(len(c.Units)))
	if a.byArea {
		area, most := a.w.Pair(c.AreaM2, a.area, "m2")
		r.Measured, r.Limit = grade.SquareMetres(c.AreaM2), grade.SquareMetres(a.area)
		r.Message = fmt.Sprintf("This attic is %s, up to %s is allowed, and lies over %s", area, most, dwellings(len(c.Units)))
	}
	if a.byUnits {
		r.Message += fmt.Sprintf(" (up to %g)", a.units)
	}
	r.Message += "."
	a.Report(r)
}

// together reports compartments that openings join to more than a limit.
func (a *attic) together(j *spread.Joint, units bool) {
	r := checks.Report{
		Outcome: finding.Deficient, Storey: j.Class.Storey, Units: j.Units, Spaces: j.Compartments, Point: j.Compartments[0].Point,
		Openings: j.Openings, Consequence: true, Place: "attic over " + a.w.Units(j.Units) + " joined",
		Remedy: "Close what joins them.",
	}
	if len(j.Units) == 0 {
		r.Place = "attic joined"
	}
	if len(j.Openings) > 0 {
		r.Point = place.Middle(j.Openings)
	}
	for _, c := range j.Compartments {
		r.Evidence = grade.Weaker(r.Evidence, grade.Evidence(c.Void))
	}
	what := place.Joined(len(j.Openings)) + " " + a.w.Together(j.Compartments) + " "
	if units {
		r.Aspect = "units"
		r.Cause, r.Measured, r.Limit = "joined over too many units", grade.Plain(float64(len(j.Units)), "count"), grade.Plain(a.units, "count")
		r.Message = fmt.Sprintf("%sinto one over %d dwelling units; it may lie over %g.", what, len(j.Units), a.units)
	} else {
		area, most := a.w.Pair(j.AreaM2, a.area, "m2")
		r.Cause, r.Measured, r.Limit = "joined by openings", grade.SquareMetres(j.AreaM2), grade.SquareMetres(a.area)
		r.Message = fmt.Sprintf("%sto %s; not more than %s is allowed.", what, area, most)
	}
	a.Report(r)
}
