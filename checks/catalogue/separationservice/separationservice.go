// Package separationservice is the separation-service check.
package separationservice

import (
	"context"
	"fmt"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/crossing"
	"voidcheck/checks/finding"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
)

// Check is the separation-service check.
var Check = &checks.Check{
	Name:  "separation-service",
	Title: "services through unit separations",
	Doc: "Each pipe, duct, cable or vent that passes a unit separation, or one face of it into its cavity, has a seal shown. Whether the seal is a listed system " +
		"with the rating of the wall is for the reviewer: no listing is evaluated. Outlet boxes are not judged here. Where the adopted text keeps the cavity of a " +
		"common wall clear, the kinds of service that it names do not run in it.",
	Topic: "penetrations of dwelling unit separations",
	Params: []adoption.Param{{
		Name: "clear-cavity", Kind: adoption.Words, Default: "", Check: kinds,
		Doc:    "kinds of service that do not run in the cavity of a common wall (pipe, duct, machine, appliance, cable, outlet or box, light)",
		Source: "IRC R302.2.2: no plumbing, mechanical equipment, ducts or vents in the cavity of a townhouse's common wall; electrical and sprinkler pipe are allowed (seen in an officials' discussion of the 2021 text)",
	}},
	Run: run,
}

func run(ctx context.Context, p *checks.Pass) error {
	w := place.New(p.Building, p.Voids, p.Units)
	in := &p.Building.Input
	sealed := p.Detail().Shows(void.RoleSeal)
	for _, c := range crossing.Walls(in, crossing.Strips(in, p.Voids.Lines), crossing.Runs(p.Building)) {
		if err := ctx.Err(); err != nil {
			return err
		}
		report(p, w, c, sealed)
	}
	return cavities(ctx, p, w, p.Limits.List["clear-cavity"])
}

func report(p *checks.Pass, w *place.Words, c *crossing.WallCrossing, sealed bool) {
	wall := &p.Building.Input.Walls[c.Wall]
	what := "service"
	for _, s := range c.Services {
		if n := w.Element(s); n != "" {
			what = n
			break
		}
	}
	line := w.UnitLine(wall.Separation)
	r := checks.Report{
		Evidence: finding.Modelled, Storey: wall.Storey, Units: w.UnitList(wall.Separation), Point: c.Point,
		Place: line + ", " + what, At: w.AlongWall(c.Wall, c.Point, 0), Elements: append(append([]int(nil), c.Services...), c.Barriers...),
		// What passes the blocks above the wall is told there as well.
		Consequence: c.Strip.Above,
	}
	how := "passes through the unit separation"
	switch {
	case c.Membrane:
		how = "passes through one face of the unit separation into its cavity"
		r.Place += ", one face"
	case c.Strip.Above:
		how = "passes from unit to unit through the void above the unit separation"
		r.Place += ", above the wall"
	}
	switch {
	case len(c.Seals) > 0:
		r.Outcome, r.Consequence, r.Elements = finding.Meets, false, append(r.Elements, c.Seals...)
		r.Message = fmt.Sprintf("%s %s; a seal is modelled round it. Its listing and rating are not evaluated.", what, how)
	case sealed:
		r.Outcome, r.Cause = finding.Deficient, "seal missing"
		r.Message = fmt.Sprintf("%s %s without a seal; other services in this submittal have one.", what, how)
		r.Remedy = "Seal it with a listed through-penetration system of at least the wall's rating, or take the service out of the separation, as the local code asks."
	default:
		r.Outcome, r.Cause = finding.NotShown, "seals not shown"
		r.Message = fmt.Sprintf("%s %s; the model shows no seals.", what, how)
		r.Remedy = "Show the listed penetration system for each service through the separation, or take the service out of it."
	}
	p.Report(r)
}
