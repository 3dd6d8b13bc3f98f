package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"voidcheck/checks/catalogue"
	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/checklist"
	"voidcheck/cmd/internal/output/json"
	"voidcheck/cmd/internal/output/letter"
	"voidcheck/cmd/internal/output/paper"
	"voidcheck/cmd/internal/output/preplan"
	"voidcheck/cmd/internal/review"
	"voidcheck/cmd/internal/rounds"
)

// documentFlags are the options of every command that makes a document from findings.
type documentFlags struct {
	Findings string   `arg:"" name:"findings" help:"Findings file, as voidcheck review --format json writes it."`
	Format   []string `help:"How to write it: html, pdf, docx; several need --out." default:"html" placeholder:"LIST"`
	Out      string   `help:"Folder to write to, instead of standard output." placeholder:"DIR"`
	Quiet    bool     `short:"q" help:"Do not say what was written."`
}

type letterCmd struct {
	documentFlags
	Last string `help:"Findings of the round before: the letter says what became of its comments." placeholder:"FINDINGS"`
}

type checklistCmd struct{ documentFlags }

type preplanCmd struct{ documentFlags }

// Run writes the letter of comments.
func (c *letterCmd) Run(a *app) error {
	o := letter.Options{Requires: requires}
	if c.Last != "" {
		data, err := review.ReadFile(c.Last)
		if err != nil {
			return err
		}
		if o.Last, err = rounds.Read(c.Last, data); err != nil {
			return err
		}
	}
	return c.document(a, "letter", func(r *finding.Report) (*paper.Document, error) {
		if o.Last != nil {
			o.Became = became(rounds.Compare(o.Last, r))
		}
		return letter.Make(r, o), nil
	})
}

// became says what a comparison knows of an item of the last round.
func became(c *rounds.Comparison) func(string) letter.Became {
	byLast := map[string]*rounds.Change{}
	for i := range c.Changes {
		if k := c.Changes[i].LastKey; k != "" {
			byLast[k] = &c.Changes[i]
		}
	}
	return func(key string) letter.Became {
		x := byLast[key]
		if x == nil {
			return letter.Became{}
		}
		return letter.Became{Open: x.State != rounds.Resolved, Key: x.Key, Why: x.Why}
	}
}

// Run writes the inspection list.
func (c *checklistCmd) Run(a *app) error {
	return c.document(a, "checklist", func(r *finding.Report) (*paper.Document, error) { return checklist.Make(r), nil })
}

// Run writes the sheet for the fire service.
func (c *preplanCmd) Run(a *app) error {
	return c.document(a, "preplan", preplan.Make)
}

// requires is the first sentence of what a check decides.
func requires(check string) string {
	for _, c := range catalogue.Checks() {
		if c.Name == check {
			first, _, _ := strings.Cut(c.Doc, ". ")
			return first
		}
	}
	return ""
}

// document reads findings, makes a document and writes it in every format asked for.
func (f *documentFlags) document(a *app, name string, create func(*finding.Report) (*paper.Document, error)) error {
	if len(f.Format) == 0 {
		return &review.UsageError{Text: "--format: name one of html, pdf, docx"}
	}
	known := []paper.Format{paper.HTML, paper.PDF, paper.DOCX}
	for _, s := range f.Format {
		if !slices.Contains(known, paper.Format(s)) {
			return &review.UsageError{Text: fmt.Sprintf("--format %s: there is no such format; the formats are html, pdf, docx", s)}
		}
	}
	if len(f.Format) > 1 && f.Out == "" {
		return &review.UsageError{Text: "--format " + strings.Join(f.Format, ",") + ": several formats cannot share standard output; give --out DIR"}
	}
	if f.Out == "" {
		if err := a.piped(f.Format[0]); err != nil {
			return err
		}
	}
	data, err := review.ReadFile(f.Findings)
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s: there is no such file; voidcheck review --format json writes one", f.Findings)
	}
	if err != nil {
		return err
	}
	r, err := json.Parse(f.Findings, data)
	if err != nil {
		return err
	}
	d, err := create(r)
	if err != nil {
		return err
	}
	if err := writable(f.Out); err != nil {
		return err
	}
	for _, s := range f.Format {
		var b bytes.Buffer
		if err := paper.Write(&b, d, paper.Format(s)); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		if f.Out == "" {
			if _, err := a.stdout.Write(b.Bytes()); err != nil {
				return fmt.Errorf("standard output: %w", err)
			}
			continue
		}
		file := filepath.Join(f.Out, name+"."+s)
		if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
			return &review.UsageError{Text: fmt.Sprintf("--out %s: %v", f.Out, err)}
		}
		if !f.Quiet {
			fmt.Fprintln(a.stderr, "wrote", file)
		}
	}
	return nil
}

// decides is all that a check decides, "" for none of the catalogue.
func decides(check string) string {
	for _, c := range catalogue.Checks() {
		if c.Name == check {
			return c.Doc
		}
	}
	return ""
}
