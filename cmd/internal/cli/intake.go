package cli

import (
	"fmt"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/intake"
	"voidcheck/cmd/internal/review"
	"voidcheck/ifcx"
	"voidcheck/ifcx/source"
)

// intakeCmd is voidcheck intake.
type intakeCmd struct {
	Models []string `arg:"" name:"model" help:"Model files of one building (.ifc, .ifcxml, .ifcx, .ifczip)."`
	Units  string   `help:"Unit system: ${enum}." enum:"us,si" default:"us"`
	Quiet  bool     `short:"q" help:"No warnings."`
}

// Run says what the files are.
func (c *intakeCmd) Run(a *app) error {
	return source.Looking(func() error { return c.look(a) })
}

// look goes over the files where they lie; nothing is said before all of them are read.
func (c *intakeCmd) look(a *app) error {
	log := &source.Log{}
	b, err := ifcx.Outline(a.ctx, c.Models, ifcx.Options{Log: log})
	if err != nil {
		return err
	}
	for _, f := range b.Files {
		if f.Graph != nil {
			f.Graph.Verify() // a review meets only the instances that it uses
		}
	}
	if err := source.Unchanged(); err != nil {
		return err
	}
	if !c.Quiet {
		a.warn(&finding.Report{Problems: review.Fold(log.All(), nil)})
	}
	if err := intake.Write(a.stdout, b, measure.System(c.Units)); err != nil {
		return fmt.Errorf("standard output: %w", err)
	}
	return nil
}
