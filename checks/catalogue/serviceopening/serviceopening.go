// Package serviceopening is the service-opening check.
package serviceopening

import (
	"context"
	"fmt"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/crossing"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
)

// Check is the service-opening check.
var Check = &checks.Check{
	Name:  "service-opening",
	Title: "space round services through floors, ceilings and plates",
	Doc: "The space round each pipe, duct, cable or vent through a floor, a ceiling, a plate, a block or a draftstop is closed: a seal is modelled round it. " +
		"A hole that leaves more than the gap open round an unsealed service is deficient; the gap is the clear width where the ring is widest, in a corner of a square hole round " +
		"a round duct for example, since fire passes there. A smaller ring, or a service without a modelled hole, is deficient where " +
		"seals are modelled elsewhere in the submittal, and otherwise a seal to be shown. Outlets, lights and fixtures are not judged here.",
	Topic: "openings round vents, pipes, ducts, cables and wires at floors and ceilings",
	Params: []adoption.Param{{
		Name: "max-gap", Kind: adoption.Length, Default: "1/2 in",
		Doc:    "clear width, at the widest place, from which the ring round an unsealed service counts as open",
		Source: "our tolerance, the codes ask for every ring to be filled; the duty: openings at ceiling and floor level (seen in AskCodeman 2009 quote of the IRC)",
	}},
	Run: run,
}

func run(ctx context.Context, p *checks.Pass) error {
	gap, on := p.Limits.Get("max-gap")
	if !on {
		return nil
	}
	w := place.New(p.Building, p.Voids, p.Units)
	sealed := p.Detail().Shows(void.RoleSeal)
	rings := map[int][]*void.Opening{} // by service element
	for _, o := range p.Voids.Openings {
		if o.Kind == void.OpenRing && o.Service >= 0 {
			rings[o.Service] = append(rings[o.Service], o)
		}
	}
	for _, c := range crossing.Barriers(&p.Building.Input, crossing.Runs(p.Building)) {
		if err := ctx.Err(); err != nil {
			return err
		}
		report(p, w, c, gap, sealed, rings)
	}
	return nil
}

// barrier is what a service passes, in words: the floor before the plate on it.
func barrier(c *crossing.Crossing) string {
	for _, r := range []struct {
		role void.Role
		word string
	}{{void.RoleDraftstop, "draftstop"}, {void.RoleBlock, "block"}, {void.RoleDeck, "floor"}, {void.RoleCeiling, "ceiling"}, {void.RolePlate, "plate"}} {
		if c.Has(r.role) {
			return r.word
		}
	}
	return "barrier"
}

// ringAt returns the solver's own openings for a crossing; a ring may be found in pieces.
func ringAt(c *crossing.Crossing, rings map[int][]*void.Opening) []*void.Opening {
	var r []*void.Opening
	for _, s := range c.Services {
		for _, o := range rings[s] {
			if o.Point.Sub(c.Point).Len() <= c.WidthM/2+c.RingM+0.1 {
				r = append(r, o)
			}
		}
	}
	return r
}

func report(p *checks.Pass, w *place.Words, c *crossing.Crossing, gap float64, sealed bool, rings map[int][]*void.Opening) {
	name, what := w.Called("service", c.Services)
	through := barrier(c)
	r := checks.Report{
		Evidence: finding.Modelled, Storey: w.StoreyAt(c.Point.Z, through == "ceiling"), Point: c.Point, Units: w.UnitsNear(c.Point),
		Place: name + " through the " + through, At: w.Spot(c.Point), Elements: append(append([]int(nil), c.Services...), c.Barriers...),
	}
	if os := ringAt(c, rings); len(os) > 0 {
		r.Spaces, r.Openings = place.Ends(os), os
	}
	switch {
	case len(c.Seals) > 0:
		r.Outcome, r.Elements = finding.Meets, append(r.Elements, c.Seals...)
		r.Message = fmt.Sprintf("A seal is modelled round %s where it passes through the %s.", what, through)
	case c.Open(gap):
		r.Outcome, r.Cause = finding.Deficient, "open ring"
		r.Measured, r.Limit = grade.Metres(c.RingM), grade.Metres(gap)
		r.Message = fmt.Sprintf("The hole for %s through the %s leaves %s, without a seal.", what, through, w.Ring(c.NarrowM, c.RingM))
		r.Remedy = "Fill the ring with a material that resists the free passage of flame and smoke and that the local code accepts, and show it."
	case sealed:
		r.Outcome, r.Cause = finding.Deficient, "seal missing"
		r.Message = fmt.Sprintf("No seal is modelled round %s through the %s%s; others in this submittal have one.", what, through, ringWords(w, c))
		r.Remedy = "Seal the space round it as at the others, with a material that the local code accepts, and show it."
	default:
		r.Outcome, r.Cause = finding.NotShown, "seals not shown"
		r.Message = fmt.Sprintf("The model shows no seals: what closes the space round services through floors, ceilings and plates cannot be told (here %s through the %s%s).", what, through, ringWords(w, c))
		r.Remedy = "Show the seal or fill round each service, or a typical detail of it."
	}
	p.Report(r)
}

func ringWords(w *place.Words, c *crossing.Crossing) string {
	if !c.Hole {
		return ""
	}
	return fmt.Sprintf(", with %s", w.Ring(c.NarrowM, c.RingM))
}
