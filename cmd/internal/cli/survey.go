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
	r, err := c.reviewed(a, review.Survey, nil)
	if err != nil {
		return err
	}
	return survey.Write(a.stdout, r.Building, r.Report, measure.System(c.Units))
}
