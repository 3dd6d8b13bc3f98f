// Package review is the pipeline in one function: read the adoption and submittal files,
// read and federate the models, recognise, solve, check, and put the findings together. It
// judges nothing itself and prints nothing.
package review

import (
	"context"
	"fmt"
	"os"
	"slices"
	"strings"
	"sync"
	"time"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/catalogue"
	"voidcheck/checks/finding"
	"voidcheck/checks/lexicon"
	"voidcheck/checks/measure"
	"voidcheck/checks/recognise"
	"voidcheck/checks/shown"
	"voidcheck/checks/void"
	"voidcheck/ifcx"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/source"
	"voidcheck/schema"
)

// Version is the version of the program as findings carry it.
const Version = "0.1.0"

// Options say what to review and how.
type Options struct {
	Models    []string
	Adoption  string // file, or the name of a starter; "" for the defaults
	Submittal string // file, "" for none
	Lexicon   string // file, "" for the embedded one
	Units     measure.System
	Only      []string  // checks to run, empty for all
	Now       time.Time // what run.at says
	// Progress is told which step begins, from one goroutine at a time; nil is allowed.
	Progress func(step string, done, total int)
}

// Result is the findings and what they were made from.
type Result struct {
	Report   *finding.Report
	Building *recognise.Building
	Voids    *void.Result
}

// UsageError is a wrong option.
type UsageError struct{ Text string }

func (e *UsageError) Error() string { return e.Text }

// Run reviews models. The error is a *UsageError, the context's, or tells what could not be
// read; then nothing was judged.
func Run(ctx context.Context, opt Options) (*Result, error) {
	for _, name := range opt.Only {
		if err := known(name); err != nil {
			return nil, err
		}
	}
	s, err := survey(ctx, opt)
	if err != nil {
		return nil, err
	}
	opt.step("check", 3)
	out, err := checks.Run(ctx, checks.Input{
		Catalogue: catalogue.Checks(), Building: s.building, Voids: s.voids,
		Adoption: s.adoption, Facts: s.facts, Units: opt.Units, Only: opt.Only,
		Shows: shown.In(s.building, s.voids),
	})
	if err != nil {
		return nil, err
	}
	opt.step("done", 4)
	return &Result{Report: report(opt, s, out), Building: s.building, Voids: s.voids}, nil
}

// Survey recognises and solves without judging; the report has no items.
func Survey(ctx context.Context, opt Options) (*Result, error) {
	s, err := survey(ctx, opt)
	if err != nil {
		return nil, err
	}
	opt.step("done", 4)
	return &Result{Report: report(opt, s, &checks.Output{}), Building: s.building, Voids: s.voids}, nil
}

// surveyed is everything that checks read.
type surveyed struct {
	adoption *adoption.Adoption
	facts    adoption.Facts
	building *recognise.Building
	voids    *void.Result
	log      *source.Log
}

// verify reads every instance of the models once in the background, so that a damaged one
// that nothing asks for is named too. The returned function waits for it.
func (s *surveyed) verify(m *model.Building) func() {
	var wg sync.WaitGroup
	for _, f := range m.Files {
		if f.Graph != nil {
			wg.Go(f.Graph.Verify)
		}
	}
	return wg.Wait
}

// read reads and recognises models with their settings, ready to be solved.
func read(ctx context.Context, opt Options) (*surveyed, error) {
	s := &surveyed{log: &source.Log{}}
	lex, err := s.readSettings(opt)
	if err != nil {
		return nil, err
	}
	opt.step("read", 0)
	m, err := ifcx.Open(ctx, opt.Models, ifcx.Options{Log: s.log})
	if err != nil {
		return nil, err
	}
	defer s.verify(m)()
	if err := m.Bodies(ctx, 0); err != nil {
		return nil, err
	}
	if err := m.Implausible(); err != nil {
		return nil, err
	}
	opt.step("recognise", 1)
	s.building, err = recognise.Recognise(ctx, m, lex, s.facts)
	return s, err
}

func survey(ctx context.Context, opt Options) (*surveyed, error) {
	s, err := read(ctx, opt)
	if err != nil {
		return nil, err
	}
	s.building.Input.MaxGap = leastGap(s.adoption)
	opt.step("solve", 2)
	s.voids, err = void.Solve(ctx, &s.building.Input)
	return s, err
}

// readSettings reads and validates what is small, before any model.
func (s *surveyed) readSettings(opt Options) (*lexicon.Lexicon, error) {
	var err error
	if s.adoption, err = ReadAdoption(opt.Adoption); err != nil {
		return nil, err
	}
	if opt.Submittal != "" {
		data, err := ReadFile(opt.Submittal)
		if err != nil {
			return nil, err
		}
		if s.facts, err = adoption.ReadSubmittal(opt.Submittal, data); err != nil {
			return nil, err
		}
	}
	return ReadLexicon(opt.Lexicon)
}

// ReadAdoption reads an adoption file, or a starter by its name where no file is called so;
// "" and "defaults" give the defaults.
func ReadAdoption(file string) (*adoption.Adoption, error) {
	declared := checks.Declared(catalogue.Checks())
	if file == "" || file == "defaults" {
		return adoption.Defaults(declared), nil
	}
	if _, err := os.Stat(file); err != nil && slices.Contains(schema.Starters(), file) {
		data, err := schema.Starter(file)
		if err != nil {
			return nil, err
		}
		return adoption.Read(file, data, declared)
	}
	data, err := ReadFile(file)
	if err != nil {
		return nil, err
	}
	return adoption.Read(file, data, declared)
}

// ReadFile reads a small file whole; the error says what to check.
func ReadFile(name string) ([]byte, error) {
	return source.ReadSmall(name)
}

// ReadLexicon reads a lexicon file; "" gives the embedded one.
func ReadLexicon(name string) (*lexicon.Lexicon, error) {
	if name == "" {
		return lexicon.Default(), nil
	}
	data, err := ReadFile(name)
	if err != nil {
		return nil, err
	}
	return lexicon.Parse(name, data)
}

// leastGap is the smallest gap that any check still asks about: the solver closes what is
// narrower, and each check then applies its own limit.
func leastGap(a *adoption.Adoption) float64 {
	gap := 0.5 * measure.MetresPerInch
	for _, c := range catalogue.Checks() {
		rule := a.Rule(c.Name)
		for _, name := range []string{"max-gap", "min-opening"} {
			for _, limits := range rule.Every() {
				if v, on := limits.Get(name); on && rule.On {
					gap = min(gap, v)
				}
			}
		}
	}
	return gap
}

// known refuses a check name that the catalogue does not have.
func known(name string) error {
	var names []string
	for _, c := range catalogue.Checks() {
		if c.Name == name {
			return nil
		}
		names = append(names, c.Name)
	}
	slices.Sort(names)
	return &UsageError{fmt.Sprintf("--check %s: there is no such check; the checks are %s", name, strings.Join(names, ", "))}
}

func (o *Options) step(name string, done int) {
	if o.Progress != nil {
		o.Progress(name, done, 4)
	}
}
