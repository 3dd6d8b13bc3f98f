package cli

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/json"
	"voidcheck/cmd/internal/review"
	"voidcheck/cmd/internal/rounds"
)

// recheckCmd is voidcheck recheck.
type recheckCmd struct {
	Last string `arg:"" name:"last" help:"findings.json of the last round."`
	modelFlags
	Format []string `help:"Output formats: table, json; both need --out." default:"table" placeholder:"LIST"`
	Out    string   `help:"Folder to write rounds.txt and rounds.json to, with this round's findings.json and, with --review, review.json." placeholder:"DIR"`
	Check  []string `help:"Run and compare only these checks: ${checks}." placeholder:"NAME"`
	Review string   `help:"The examiner's review file of the last round: items accepted with a reason, waived, or to be verified in the field." placeholder:"FILE"`
}

var roundFormats = []struct {
	name, file string
	write      func(io.Writer, *rounds.Comparison) error
}{
	{"table", "rounds.txt", rounds.WriteTable},
	{"json", "rounds.json", rounds.WriteJSON},
}

// Run reviews the resubmittal and compares it with the last round.
func (c *recheckCmd) Run(a *app) error {
	for _, name := range c.Format {
		if name != "table" && name != "json" {
			return &review.UsageError{Text: fmt.Sprintf("--format %s: recheck writes table and json", name)}
		}
	}
	if len(c.Format) > 1 && c.Out == "" {
		return &review.UsageError{Text: "--format: several formats cannot share standard output; give --out DIR"}
	}
	data, err := review.ReadFile(c.Last)
	if err != nil {
		return err
	}
	last, err := rounds.Read(c.Last, data)
	if err != nil {
		return err
	}
	var decided *rounds.Review
	if c.Review != "" {
		if data, err = review.ReadFile(c.Review); err != nil {
			return err
		}
		if decided, err = rounds.ReadReview(c.Review, data); err != nil {
			return err
		}
	}
	if err := writable(c.Out); err != nil {
		return err
	}
	r, err := c.reviewed(a, review.Run, c.Check)
	if err != nil {
		return err
	}
	r.Report.Run.Round = max(r.Report.Run.Round, last.Run.Round+1)
	return c.compare(a, last, r.Report, decided)
}

// compare writes the comparison and, into --out, what the next round needs.
func (c *recheckCmd) compare(a *app, last, this *finding.Report, decided *rounds.Review) error {
	cmp := rounds.Compare(last, this)
	files := map[string][]byte{}
	if decided != nil {
		next, unknown := cmp.Apply(decided, last, this)
		for _, d := range unknown {
			fmt.Fprintf(a.stderr, "%s: key %s names no item of %s; the decision is kept and applies to nothing\n", finding.Clean(c.Review), d.Key, finding.Clean(c.Last))
		}
		text, err := next.Write()
		if err != nil {
			return err
		}
		files["review.json"] = text
	}
	var b bytes.Buffer
	if err := json.Write(&b, this); err != nil {
		return err
	}
	files["findings.json"] = b.Bytes()
	for _, f := range roundFormats {
		if !slices.Contains(c.Format, f.name) {
			continue
		}
		if c.Out == "" {
			if err := f.write(a.stdout, cmp); err != nil {
				return err
			}
			continue
		}
		var b bytes.Buffer
		if err := f.write(&b, cmp); err != nil {
			return err
		}
		files[f.file] = b.Bytes()
	}
	a.status = verdict(this)
	if c.Out == "" {
		return nil
	}
	names := make([]string, 0, len(files))
	for n := range files {
		names = append(names, n)
	}
	slices.Sort(names)
	for _, n := range names {
		name := filepath.Join(c.Out, n)
		if err := os.WriteFile(name, files[n], 0o644); err != nil {
			return &review.UsageError{Text: fmt.Sprintf("--out %s: %v", c.Out, err)}
		}
		if !c.Quiet {
			fmt.Fprintln(a.stderr, "wrote", name)
		}
	}
	return nil
}
