package cli

import (
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/output/survey"
	"voidcheck/cmd/internal/review"
)

// surveyCmd is voidcheck survey.
type surveyCmd struct {
	modelFlags
}

// Run prints what was recognised.
func (c *surveyCmd) Run(a *app) error {
	bar := a.progress(c.Quiet)
	r, err := review.Survey(a.ctx, c.options(nil, bar.step))
	bar.stop()
	if err != nil {
		return err
	}
	if !c.Quiet {
		a.warn(r.Report)
	}
	return survey.Write(a.stdout, r.Building, r.Report, measure.System(c.Units))
}
