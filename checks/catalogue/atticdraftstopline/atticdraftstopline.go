// Package atticdraftstopline is the attic-draftstop-line check.
package atticdraftstopline

import (
	"context"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/place"
	"voidcheck/checks/unitline"
	"voidcheck/checks/void"
)

// Check is the attic-draftstop-line check.
var Check = &checks.Check{
	Name:  "attic-draftstop-line",
	Title: "draftstop of the attic in line with unit separations",
	Doc:   "Above a unit separation that does not reach the underside of the roof sheathing, the attic is stopped in line with it. Where the separation itself runs up to the sheathing nothing more is needed. In a model without any blocking or draftstops, in which the roof is known by its layers only, the stop is not shown rather than missing.",
	Topic: "draftstopping of attics in line with unit separations",
	Params: []adoption.Param{{
		Name: "max-gap", Kind: adoption.Length, Default: "1/2 in",
		Doc:    "clear width and height from which a gap counts as open; heights are plumb, also under a sloped roof",
		Source: "our tolerance, the codes allow no gap; the duty: attic draftstops above and in line with unit separation walls that stop short of the sheathing (seen in Massachusetts 780 CMR 717.4.2)",
	}},
	Run: run,
}

func run(ctx context.Context, p *checks.Pass) error {
	if gap, on := p.Limits.Get("max-gap"); on {
		unitline.Judge(p, place.New(p.Building, p.Voids, p.Units), void.KindAttic, gap)
	}
	return ctx.Err()
}
