// Package floordraftstopline is the floor-draftstop-line check.
package floordraftstopline

import (
	"context"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/place"
	"voidcheck/checks/unitline"
	"voidcheck/checks/void"
)

// Check is the floor-draftstop-line check.
var Check = &checks.Check{
	Name:  "floor-draftstop-line",
	Title: "draftstop of the floor void in line with unit separations",
	Doc:   "Above a unit separation that does not reach the deck, the floor void is stopped in line with it, on each side of a double wall: every bay between the members is closed. Where the separation itself runs through to the deck nothing more is needed. In a model without any blocking or draftstops, in which the floor is known by its layers only, the stop is not shown rather than missing.",
	Topic: "draftstopping of floor/ceiling spaces in line with unit separations",
	Params: []adoption.Param{{
		Name: "max-gap", Kind: adoption.Length, Default: "1/2 in",
		Doc:    "clear width and height from which a gap counts as open",
		Source: "our tolerance, the codes allow no gap; the duty: floor draftstops above and in line with dwelling-unit separations (seen in NYC BC 718.3.2)",
	}},
	Run: run,
}

func run(ctx context.Context, p *checks.Pass) error {
	if gap, on := p.Limits.Get("max-gap"); on {
		unitline.Judge(p, place.New(p.Building, p.Voids, p.Units), void.KindFloor, gap)
	}
	return ctx.Err()
}
