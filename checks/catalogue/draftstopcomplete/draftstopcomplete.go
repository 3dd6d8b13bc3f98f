// Package draftstopcomplete is the draftstop-complete check.
package draftstopcomplete

import (
	"context"
	"slices"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/place"
	"voidcheck/checks/unitline"
	"voidcheck/checks/void"
)

// Check is the draftstop-complete check.
var Check = &checks.Check{
	Name:  "draftstop-complete",
	Title: "gaps and holes in draftstops",
	Doc: "Each modelled draftstop covers the full section of the void where it stands: no gap at the deck, the roof sheathing, the ceiling, a chord or " +
		"its ends, and no open hole. A sheet that laps a chord which reaches the deck is closed there. Gaps in a sheet above a unit separation are told by the unit " +
		"line, and here as their consequence.",
	Topic: "integrity of draftstops",
	Params: []adoption.Param{{
		Name: "max-gap", Kind: adoption.Length, Default: "1/2 in",
		Doc:    "clear width and height from which a gap counts as open; heights are plumb, also under a sloped roof",
		Source: "our tolerance, the codes allow no gap; the duty: integrity of draftstops is maintained (seen in HUD 24 CFR 3280.216)",
	}},
	Run: run,
}

func run(ctx context.Context, p *checks.Pass) error {
	gap, on := p.Limits.Get("max-gap")
	if !on {
		return nil
	}
	w := place.New(p.Building, p.Voids, p.Units)
	stops := unitline.StopsOf(&p.Building.Input)
	for _, l := range p.Voids.Lines {
		if l.Void == nil || l.Kind == void.LineWall {
			continue
		}
		stands := l.Kind == void.LineDraftstop || slices.ContainsFunc(l.Elements, stops.Sheet)
		if stands {
			unitline.JudgeDraftstop(p, w, stops, l, gap)
		}
		if stands && l.Kind == void.LineDraftstop && l.Void.Kind == void.KindFloor {
			orientation(p, w, l)
		}
	}
	return ctx.Err()
}
