// Package draftstopmaterial is the draftstop-material check.
package draftstopmaterial

import (
	"context"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/materials"
	"voidcheck/checks/stopmaterial"
	"voidcheck/checks/void"
)

// Check is the draftstop-material check.
var Check = &checks.Check{
	Name:  "draftstop-material",
	Title: "material and thickness of draftstops",
	Doc: "Each modelled draftstop is of a material of the list and thick enough. The class is told by the names of its material, layers or type, the thickness by its " +
		"layers or its thinnest dimension. A thickness up to 0.3 mm below its limit passes; a metric size that stands for a size in inches (12.5 mm for 1/2 in) and what " +
		"misses by up to 0.5 mm reads 'nominal equivalent, reviewer decides'. A name that says too little is not shown. How a draftstop is supported is for the reviewer.",
	Topic: "materials of draftstops",
	Params: []adoption.Param{{
		Name: "materials", Kind: adoption.Words, Default: materials.DefaultText(materials.Draftstop), Check: stopmaterial.ListProblem,
		Doc: "accepted materials, each as [N layers of] class [thickness] [height high] [if tested or if approved]",
		Source: "1/2 in gypsum board and 3/8 in wood structural panel (seen in HUD 24 CFR 3280.216); the others are on the IBC's list (seen in Koffel slides 2014) " +
			"and stand here as other approved material",
	}},
	Run: run,
}

func run(ctx context.Context, p *checks.Pass) error {
	if err := stopmaterial.Judge(p, void.RoleDraftstop, materials.Draftstop); err != nil {
		return err
	}
	return ctx.Err()
}
