// Package cornicefireblock is the cornice-fireblock check.
package cornicefireblock

import (
	"context"
	"fmt"

	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
)

// Check is the cornice-fireblock check.
var Check = &checks.Check{
	Name:  "cornice-fireblock",
	Title: "fireblocks in cornices at the unit line of a two-family dwelling",
	Doc: "In a building of two dwelling units, where the roof stands out beyond the exterior wall and a board closes the eave from below on both sides of the unit line, a block fills the section " +
		"of the cornice at the line. Roofs that stand out less than 0.1 m have no cornice; eaves that are open below conceal nothing.",
	Topic: "fireblocking of cornices of two-family dwellings at the unit line",
	Run:   run,
}

func run(ctx context.Context, p *checks.Pass) error {
	w := place.New(p.Building, p.Voids, p.Units)
	units := len(p.Facts.Units)
	if units == 0 {
		units = len(p.Building.Units)
	}
	note := func(cause, text string) {
		p.Report(checks.Report{Outcome: finding.Note, Evidence: finding.Modelled, Storey: -1, Place: "cornices", Cause: cause, Message: text})
	}
	switch {
	case units != 2:
		note("not two-family", fmt.Sprintf("The rule is for dwellings of two units; here the model or the submittal file tells of %d.", units))
		return nil
	case len(p.Building.Input.Separations) == 0:
		note("no unit line", "No separation between the two units was recognised, so that no cornice crosses a unit line.")
		return nil
	case !p.Detail().Shows(void.RoleRoof):
		p.Report(checks.Report{Outcome: finding.NotShown, Evidence: finding.Modelled, Storey: -1, Place: "cornices", Cause: "roof not shown",
			Message: "No roof is modelled: whether a cornice crosses the unit line, and is closed there, cannot be told.", Remedy: "Show the roof with its eaves, or an eave detail at the unit line."})
		return nil
	}
	list := find(p)
	var open []*cornice
	for _, c := range list {
		if err := ctx.Err(); err != nil {
			return err
		}
		if c.boxed {
			judge(p, w, c)
		} else {
			open = append(open, c)
		}
	}
	if len(list) == 0 {
		note("no cornice", "The roof does not stand out beyond the exterior walls at the unit line.")
	}
	if len(open) > 0 {
		untold(p, w, open)
	}
	return nil
}

func base(w *place.Words, c *cornice) checks.Report {
	return checks.Report{Evidence: finding.Modelled, Storey: c.wall.Storey, Units: w.UnitList(c.wall.Separation), Point: c.point, Place: w.UnitLine(c.wall.Separation) + ", cornice"}
}

// judge looks at a cornice that a board closes from below.
func judge(p *checks.Pass, w *place.Words, c *cornice) {
	r := base(w, c)
	section := c.section(&p.Building.Input)
	area, elements := c.closing(&p.Building.Input)
	r.Elements = elements
	switch {
	case area >= enough*section:
		r.Outcome = finding.Meets
		r.Message = "The cornice is closed at the unit line."
	case area > 0:
		r.Outcome, r.Cause = finding.Deficient, "cornice closed in part"
		r.Measured = grade.SquareMetres(section - area)
		r.Message = fmt.Sprintf("What stands in the cornice at the unit line leaves %s of its section of %s open.", w.Area(section-area), w.Area(section))
	default:
		r.Outcome, r.Cause = finding.Deficient, "cornice open"
		r.Measured = grade.SquareMetres(section)
		r.Message = fmt.Sprintf("The cornice runs over the unit line without a block; its section is %s.", w.Area(section))
		if !p.Detail().Shows(void.RoleBlock, void.RoleDraftstop) {
			r.Outcome = finding.NotShown
			r.Message = "The cornice runs over the unit line; the model, which has no blocks at all, does not show what closes it there."
		}
	}
	if r.Outcome != finding.Meets {
		r.Remedy = fmt.Sprintf("Block the cornice at the unit line from the board below to the roof sheathing with %s or as the local code accepts.", w.Block())
	}
	p.Report(r)
}

// untold reports eaves without a board below them.
func untold(p *checks.Pass, w *place.Words, list []*cornice) {
	r := base(w, list[0])
	if len(list) > 1 {
		r.Point = list[0].point.Add(list[1].point).Mul(0.5)
	}
	r.Place += "s"
	if p.Detail().Shows(void.RoleSoffitBoard) {
		r.Outcome, r.Cause = finding.Note, "open eave"
		r.Message = "No board closes the eaves from below at the unit line, so that they conceal nothing there."
	} else {
		r.Outcome, r.Cause = finding.NotShown, "eave not shown"
		r.Message = "The roof stands out beyond the walls at the unit line; the model shows no boards under eaves, so that it cannot be told whether a cornice crosses the line."
		r.Remedy = "Show the boards under the eaves and the block at the unit line, or an eave detail there."
	}
	p.Report(r)
}
