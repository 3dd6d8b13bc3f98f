package cli

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"voidcheck/checks/adoption"
	"voidcheck/checks/catalogue"
	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/handbook"
	"voidcheck/cmd/internal/output/table"
	"voidcheck/cmd/internal/review"
	"voidcheck/schema"
)

// adoptionCmd is voidcheck adoption.
type adoptionCmd struct {
	New      adoptionNewCmd      `cmd:"" help:"Print a new adoption file to start from."`
	Validate adoptionValidateCmd `cmd:"" help:"Say what is wrong with adoption files, all of it, with line and column."`
	Show     adoptionShowCmd     `cmd:"" help:"Show every check with its limits, section and exemptions as an adoption file sets them."`
	Compare  adoptionCompareCmd  `cmd:"" help:"Say which outcomes of submittals another adoption would change, and why."`
	IDS      adoptionIDsCmd      `cmd:"" name:"ids" help:"Print what a submittal must carry for the checks to be decided, as an Information Delivery Specification (IDS 1.0)."`
}

type adoptionNewCmd struct {
	Starter string `help:"Start from a published model code: irc-based or ibc-based; without it, every check stands at its default with no section." placeholder:"NAME"`
}

// Run prints a starter or a blank adoption file.
func (c *adoptionNewCmd) Run(a *app) error {
	if c.Starter == "" {
		_, err := a.stdout.Write(handbook.BlankAdoption(catalogue.Checks()))
		return err
	}
	if !slices.Contains(schema.Starters(), c.Starter) {
		return &review.UsageError{Text: fmt.Sprintf("--starter %s: there is no such starter; there are %s", c.Starter, strings.Join(schema.Starters(), ", "))}
	}
	text, err := schema.Starter(c.Starter)
	if err != nil {
		return err
	}
	_, err = a.stdout.Write(text)
	return err
}

type adoptionValidateCmd struct {
	Files []string `arg:"" name:"file" help:"Adoption files."`
}

// Run validates adoption files and prints their problems.
func (c *adoptionValidateCmd) Run(a *app) error {
	for _, name := range c.Files {
		_, err := review.ReadAdoption(name)
		var bad *adoption.FileError
		switch {
		case errors.As(err, &bad):
			for _, line := range schema.Lines(name, bad.Problems) {
				fmt.Fprintln(a.stdout, finding.Clean(line))
			}
			a.status = BadInput
		case err != nil:
			fmt.Fprintln(a.stdout, finding.Clean(err.Error()))
			a.status = BadInput
		default:
			fmt.Fprintf(a.stdout, "%s: valid\n", finding.Clean(name))
		}
	}
	return nil
}

type adoptionShowCmd struct {
	File string `arg:"" optional:"" name:"file" help:"Adoption file; without it, the defaults."`
}

// Run prints an adoption check by check.
func (c *adoptionShowCmd) Run(a *app) error {
	ad, err := review.ReadAdoption(c.File)
	if err != nil {
		return err
	}
	name := ad.Name
	if name == "" {
		name = "defaults (no adoption file)"
	}
	lines := []string{strings.Join(nonEmpty(name, ad.Jurisdiction, ad.Edition, ad.Effective), ", ")}
	if ad.EditionYear > 0 {
		lines = append(lines, fmt.Sprintf("edition_year %d", ad.EditionYear))
	}
	for _, n := range ad.Notes {
		lines = append(lines, "* "+n)
	}
	for _, chk := range catalogue.Checks() {
		rule := ad.Rule(chk.Name)
		lines = append(lines, "", chk.Name+": "+chk.Title)
		if !rule.On {
			lines = append(lines, "  off")
		}
		for _, p := range chk.Params {
			from := "default"
			if slices.Contains(rule.Given, p.Name) {
				from = "from the file"
			}
			lines = append(lines, fmt.Sprintf("  %s %s (%s)", p.Name, rule.Limits.Text[p.Name], from))
		}
		section := rule.Section
		if section == "" {
			section = "[local section: " + chk.Topic + "]"
		}
		lines = append(lines, "  section "+section)
		for _, x := range rule.Instead {
			for _, n := range x.Given {
				lines = append(lines, fmt.Sprintf("  %s%s %s where %s: %s", maybe(x.Confirmed), n, x.Limits.Text[n], x.When, x.Because))
			}
		}
		for _, e := range rule.Exempt {
			lines = append(lines, fmt.Sprintf("  %sexempt where %s: %s", maybe(e.Confirmed), e.When, e.Because))
		}
		if rule.Evidence != "" {
			lines = append(lines, "  evidence "+rule.Evidence)
		}
	}
	for _, l := range lines {
		indent := "    "
		if !strings.HasPrefix(l, " ") {
			indent = "  "
		}
		for _, w := range table.Hanging(finding.Clean(l), indent) {
			fmt.Fprintln(a.stdout, w)
		}
	}
	return nil
}

// maybe marks an entry that the file does not confirm.
func maybe(confirmed *bool) string {
	if confirmed != nil && !*confirmed {
		return "not confirmed, changes nothing: "
	}
	return ""
}

func nonEmpty(list ...string) []string {
	return slices.DeleteFunc(list, func(s string) bool { return s == "" })
}
