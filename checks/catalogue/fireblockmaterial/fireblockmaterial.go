// Package fireblockmaterial is the fireblock-material check.
package fireblockmaterial

import (
	"context"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/materials"
	"voidcheck/checks/stopmaterial"
	"voidcheck/checks/void"
)

// Check is the fireblock-material check.
var Check = &checks.Check{
	Name:  "fireblock-material",
	Title: "material and thickness of fireblocks",
	Doc: "Each modelled fireblock is of a material of the list and thick enough: lumber of 2 in nominal thickness or two layers of 1 in nominal, 23/32 in wood structural panel, " +
		"boards, or batts that stay in place; glass fiber fills the cavity over 16 in of height. Foam plastics and loose fill are on no list; foam, sealant and cellulose want a test. " +
		"Plates and studs that close a cavity are framing and not judged here. Thicknesses compare as in draftstop-material. Joints and fixings are for the reviewer.",
	Topic: "materials of fireblocks",
	Params: []adoption.Param{{
		Name: "materials", Kind: adoption.Words, Default: materials.DefaultText(materials.Fireblock), Check: stopmaterial.ListProblem,
		Doc:    "accepted materials, each as [N layers of] class [thickness] [height high] [if tested or if approved]",
		Source: "IRC R302.11.1, IBC 718.2.1 (seen in Massachusetts 780 CMR 717.2.1; actual lumber sizes seen in HUD guide extract; 16 in of glass fiber seen in 780 CMR 717.2.1.2)",
	}},
	Run: run,
}

func run(ctx context.Context, p *checks.Pass) error {
	if err := stopmaterial.Judge(p, void.RoleBlock, materials.Fireblock); err != nil {
		return err
	}
	return ctx.Err()
}
