package cli

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"voidcheck/checks/catalogue"
	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/output/bcf"
	"voidcheck/cmd/internal/output/csv"
	"voidcheck/cmd/internal/output/html"
	"voidcheck/cmd/internal/output/json"
	"voidcheck/cmd/internal/output/sarif"
	"voidcheck/cmd/internal/output/table"
	"voidcheck/cmd/internal/output/xlsx"
	"voidcheck/cmd/internal/review"
)

// reviewCmd is voidcheck review.
type reviewCmd struct {
	modelFlags
	Format []string `help:"Output formats: ${formats}; several need --out." default:"table" placeholder:"LIST"`
	Out    string   `help:"Folder to write findings.txt, findings.json and so on to, instead of standard output." placeholder:"DIR"`
	Check  []string `help:"Run only these checks: ${checks}." placeholder:"NAME"`
}

// format is one way to write findings.
type format struct {
	name, file string
	write      func(io.Writer, *finding.Report) error
	mark       string // first bytes of a file, not of a stream
}

var formats = []format{
	{"table", "findings.txt", table.Write, ""},
	{"json", "findings.json", json.Write, ""},
	{"csv", "findings.csv", csv.Write, "\ufeff"}, // spreadsheets take text without a mark for Latin-1
	{"html", "findings.html", html.Write, ""},
	{"bcf", "findings.bcf", bcf.Write, ""},
	{"bcf-2.1", "findings-2.1.bcf", bcf.Write21, ""},
	{"xlsx", "findings.xlsx", xlsx.Write, ""},
	{"sarif", "findings.sarif", sarif.With(decides), ""},
}

func formatNames() string {
	var names []string
	for _, f := range formats {
		names = append(names, f.name)
	}
	return strings.Join(names, ", ")
}

func checkNames() []string {
	var names []string
	for _, c := range catalogue.Checks() {
		names = append(names, c.Name)
	}
	return names
}

// Run reviews models.
func (c *reviewCmd) Run(a *app) error {
	chosen, err := c.formats()
	if err != nil {
		return err
	}
	if err := writable(c.Out); err != nil {
		return err
	}
	r, err := c.reviewed(a, review.Run, c.Check)
	if err != nil {
		return err
	}
	for _, f := range chosen {
		if err := a.write(f, c.Out, r.Report, c.Quiet); err != nil {
			return err
		}
	}
	a.status = verdict(r.Report)
	return nil
}

// verdict is the exit status that findings ask for. What an examiner accepted or waived asks
// for nothing.
func verdict(r *finding.Report) int {
	if len(r.MissingChecks) > 0 {
		return BadInput
	}
	for i := range r.Items {
		if r.Items[i].Outcome == finding.Deficient && !r.Items[i].Disposition.Settles() {
			return Deficient
		}
	}
	return Clean
}

// reviewed runs one of the ways of reviewing over the models, with the progress and the
// warnings on standard error.
func (m *modelFlags) reviewed(a *app, run func(context.Context, review.Options) (*review.Result, error), only []string) (*review.Result, error) {
	bar := a.progress(m.Quiet)
	r, err := run(a.ctx, m.options(only, bar.step))
	bar.stop()
	if err == nil && !m.Quiet {
		a.warn(r.Report)
	}
	return r, err
}

func (m *modelFlags) options(only []string, step func(string, int, int)) review.Options {
	return review.Options{
		Models: m.Models, Adoption: m.Adoption, Submittal: m.Submittal, Lexicon: m.Lexicon,
		Units: measure.System(m.Units), Only: only, Now: time.Now(), Progress: step,
	}
}

// formats checks the names of --format.
func (c *reviewCmd) formats() ([]format, error) {
	var chosen []format
	for _, name := range c.Format {
		i := slices.IndexFunc(formats, func(f format) bool { return f.name == name })
		if i < 0 {
			return nil, &review.UsageError{Text: fmt.Sprintf("--format %s: there is no such format; the formats are %s", name, formatNames())}
		}
		if !slices.ContainsFunc(chosen, func(f format) bool { return f.name == name }) {
			chosen = append(chosen, formats[i])
		}
	}
	if len(chosen) == 0 {
		return nil, &review.UsageError{Text: "--format: name one of " + formatNames()}
	}
	if len(chosen) > 1 && c.Out == "" {
		return nil, &review.UsageError{Text: "--format " + strings.Join(c.Format, ",") + ": several formats cannot share standard output; give --out DIR"}
	}
	return chosen, nil
}

// writable makes the output folder before any work is done.
func writable(dir string) error {
	if dir == "" {
		return nil
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return &review.UsageError{Text: fmt.Sprintf("--out %s: the folder cannot be made: %v", dir, err)}
	}
	return nil
}

// binary are formats that no terminal can show.
var binary = []string{"bcf", "bcf-2.1", "xlsx", "pdf", "docx"}

// piped refuses to write such a format to a terminal.
func (a *app) piped(format string) error {
	if slices.Contains(binary, format) && terminal(a.stdout) {
		return &review.UsageError{Text: "--format " + format + ": a terminal cannot show it; give --out DIR or write it to a file"}
	}
	return nil
}

// write writes one format to its stream or file.
func (a *app) write(f format, dir string, r *finding.Report, quiet bool) error {
	if dir == "" {
		if err := a.piped(f.name); err != nil {
			return err
		}
		return f.write(a.stdout, r)
	}
	var b bytes.Buffer
	b.WriteString(f.mark)
	if err := f.write(&b, r); err != nil {
		return err
	}
	name := filepath.Join(dir, f.file)
	if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
		return &review.UsageError{Text: fmt.Sprintf("--out %s: %v", dir, err)}
	}
	if !quiet {
		fmt.Fprintln(a.stderr, "wrote", name)
	}
	return nil
}

// mostWarnings is how many kinds of problem are printed.
const mostWarnings = 20

// warn prints the problems of the input, first that the model could not be judged where that is
// so: an exit status of 0 must not be taken for more than it is.
func (a *app) warn(r *finding.Report) {
	if r.Unjudged != "" {
		fmt.Fprintln(a.stderr, "NOT JUDGED: "+finding.Clean(r.Unjudged))
	}
	for i, p := range r.Problems {
		if i == mostWarnings {
			fmt.Fprintf(a.stderr, "and %d more kinds of problem; --format json has all\n", len(r.Problems)-i)
			return
		}
		fmt.Fprintln(a.stderr, finding.Clean(p.Text))
	}
}
