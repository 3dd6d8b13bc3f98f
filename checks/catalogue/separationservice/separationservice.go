// Package separationservice is the separation-service check.
package separationservice

import (
	"context"
	"fmt"
	"math"
	"slices"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/crossing"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
)

// Check is the separation-service check.
var Check = &checks.Check{
	Name:  "separation-service",
	Title: "services through unit separations",
	Doc: "Each pipe, duct, cable or vent that passes a unit separation, or one face of it into its cavity, has a seal shown. A hole that leaves more than the gap " +
		"open round it in a face, without a seal there, is deficient; without a modelled hole the seal is to be shown. Whether the seal is a listed system " +
		"with the rating of the wall is for the reviewer: no listing is evaluated. Outlet boxes are not judged here. Where the adopted text keeps the cavity of a " +
		"common wall clear, the kinds of service that it names do not run in it.",
	Topic: "penetrations of dwelling unit separations",
	Params: []adoption.Param{{
		Name: "max-gap", Kind: adoption.Length, Default: "1/2 in",
		Doc:    "clear width, at the widest place, from which the ring round an unsealed service counts as open",
		Source: "our tolerance, as for openings round services; the duty: every service through the separation is sealed (R302.4: seen in Camden County NC 150.08 and HUD 24 CFR 3280.215)",
	}, {
		Name: "clear-cavity", Kind: adoption.Words, Default: "", Check: kinds,
		Doc:    "kinds of service that do not run in the cavity of a common wall (pipe, duct, machine, appliance, cable, outlet or box, light)",
		Source: "IRC R302.2.2: no plumbing, mechanical equipment, ducts or vents in the cavity of a townhouse's common wall; electrical and sprinkler pipe are allowed (seen in an officials' discussion of the 2021 text)",
	}},
	Run: run,
}

func run(ctx context.Context, p *checks.Pass) error {
	w := place.New(p.Building, p.Voids, p.Units)
	in := &p.Building.Input
	gap, on := p.Limits.Get("max-gap")
	if !on {
		gap = math.Inf(1) // no ring counts as open
	}
	sealed := p.Detail().Shows(void.RoleSeal)
	for _, c := range crossing.Walls(in, crossing.Strips(in, p.Voids.Lines), crossing.Runs(p.Building)) {
		if err := ctx.Err(); err != nil {
			return err
		}
		report(p, w, c, gap, sealed)
	}
	return cavities(ctx, p, w, p.Limits.List["clear-cavity"])
}

func report(p *checks.Pass, w *place.Words, c *crossing.WallCrossing, gap float64, sealed bool) {
	wall := &p.Building.Input.Walls[c.Wall]
	name, what := w.Called("service", c.Services)
	if name != what {
		what = "A" + what[1:] // it begins each sentence
	}
	line := w.UnitLine(wall.Separation)
	r := checks.Report{
		Evidence: finding.Modelled, Storey: wall.Storey, Units: w.UnitList(wall.Separation), Point: c.Point,
		Place: line + ", " + name, At: w.AlongWall(c.Wall, c.Point, 0), Elements: append(append([]int(nil), c.Services...), c.Barriers...),
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
	var open []*crossing.Crossing
	for _, l := range c.Layers {
		if l.Open(gap) {
			open = append(open, l)
		}
	}
	switch {
	case len(open) > 0:
		ring := open[0] // the narrowest of them: all that passes must pass there
		for _, l := range open {
			if l.RingM < ring.RingM {
				ring = l
			}
			for _, e := range l.Barriers {
				if !slices.Contains(r.Elements, e) {
					r.Elements = append(r.Elements, e)
				}
			}
		}
		r.Outcome, r.Cause = finding.Deficient, "open ring"
		r.Measured, r.Limit = grade.Metres(ring.RingM), grade.Metres(gap)
		r.Message = fmt.Sprintf("%s %s; its hole in %s leaves %s, without a seal.", what, how, layers(c, len(open)), w.Ring(ring.NarrowM, ring.RingM))
		r.Remedy = "Seal the ring with a listed through-penetration system of at least the wall's rating, or take the service out of the separation, as the local code asks."
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

// layers says in how many of the layers that a service passes its hole is open.
func layers(c *crossing.WallCrossing, open int) string {
	switch n := len(c.Layers); {
	case c.Strip.Above && n == 1:
		return "the stop above the wall"
	case c.Strip.Above:
		return fmt.Sprintf("%d of the %d stops there", open, n)
	case c.Membrane && n == 1:
		return "that face"
	case n == 1:
		return "the wall"
	case open == n && n == 2:
		return "both faces"
	case open == n:
		return fmt.Sprintf("all %d layers of the wall", n)
	default:
		return fmt.Sprintf("%d of the %d layers of the wall", open, n)
	}
}
