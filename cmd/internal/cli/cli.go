// Package cli is the command line: one file a subcommand, flags, exit statuses, progress.
// Findings go to standard output, progress and warnings to standard error.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"strings"

	"github.com/alecthomas/kong"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/review"
)

// The exit statuses.
const (
	Clean     = 0 // nothing deficient
	Deficient = 1 // something deficient
	Usage     = 2 // wrong usage
	BadInput  = 3 // input that cannot be read or fails its schema, or a check that broke
)

// command is the whole command line.
type command struct {
	Review    reviewCmd    `cmd:"" help:"Review models: findings with place, measured value, limit and section."`
	Recheck   recheckCmd   `cmd:"" help:"Review a resubmittal and compare it with the findings of the last round."`
	Survey    surveyCmd    `cmd:"" help:"Show what was recognised and the concealed spaces; judge nothing."`
	Intake    intakeCmd    `cmd:"" help:"Say what model files are and whether they hold what a review needs; reads no geometry."`
	Letter    letterCmd    `cmd:"" help:"Write the letter of comments from findings: HTML, PDF or DOCX."`
	Checklist checklistCmd `cmd:"" help:"Write the inspection list from findings, the most critical stops first: HTML, PDF or DOCX."`
	Preplan   preplanCmd   `cmd:"" help:"Write the one-page sheet of the concealed spaces for the fire service: HTML, PDF or DOCX."`
	Adoption  adoptionCmd  `cmd:"" help:"Write, validate and show adoption files: limits, sections and exemptions."`
	Version   versionCmd   `cmd:"" help:"Print the version."`
}

// lookOver is the grammar of a call of intake: building that of all commands takes longer
// than looking over a small model.
type lookOver struct {
	Intake intakeCmd `cmd:""`
}

// grammar returns the part of the command line that the arguments need.
func grammar(args []string) any {
	if len(args) > 1 && args[0] == "intake" && !slices.Contains(args, "--help") && !slices.Contains(args, "-h") {
		return &lookOver{}
	}
	return &command{}
}

// app is what commands need of the process.
type app struct {
	ctx            context.Context
	stdout, stderr io.Writer
	status         int // set by a command that ran to its end
}

// exit is how kong's own exits (--help) come back to Main.
type exit int

// Main runs the command line and returns the exit status. It reads nothing from stdin.
func Main(args []string, _ io.Reader, stdout, stderr io.Writer) (status int) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	a := &app{ctx: ctx, stdout: stdout, stderr: stderr}
	defer func() {
		if r := recover(); r != nil {
			code, ok := r.(exit)
			if !ok {
				panic(r)
			}
			status = int(code)
		}
	}()
	parser, err := kong.New(grammar(args),
		kong.Name("voidcheck"),
		kong.Description("Plan review of concealed combustible spaces in light wood-frame dwellings, from building models.\n\n"+
			"Exit status: 0 nothing deficient, 1 something deficient, 2 wrong usage, 3 input that cannot be read or fails its schema."),
		kong.Writers(stdout, stderr),
		kong.Exit(func(code int) { panic(exit(code)) }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 100}),
		kong.Vars{"checks": strings.Join(checkNames(), ", "), "formats": formatNames()},
	)
	if err != nil {
		panic(err) // the grammar is a constant
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	k, err := parser.Parse(args)
	if err == nil {
		err = k.Run(a)
	}
	return a.finish(err)
}

// finish prints an error and turns it into the exit status.
func (a *app) finish(err error) int {
	var parse *kong.ParseError
	var usage *review.UsageError
	switch {
	case err == nil:
		return a.status
	case errors.As(err, &parse):
		fmt.Fprintf(a.stderr, "voidcheck: %s; voidcheck --help lists commands and options\n", finding.Clean(err.Error()))
		return Usage
	case errors.As(err, &usage):
		fmt.Fprintf(a.stderr, "voidcheck: %s\n", finding.Clean(err.Error()))
		return Usage
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(a.stderr, "voidcheck: interrupted; nothing was judged")
		return BadInput
	}
	for _, line := range strings.Split(err.Error(), "\n") {
		fmt.Fprintln(a.stderr, finding.Clean(line))
	}
	return BadInput
}

// modelFlags are the options of every command that reads models.
type modelFlags struct {
	Models    []string `arg:"" name:"model" help:"Model files of one building (.ifc, .ifcxml, .ifcx, .ifczip), architecture first: its coordinates are used."`
	Adoption  string   `help:"Adoption file: limits, sections and exemptions of the jurisdiction; or the name of a starter, irc-based or ibc-based." placeholder:"FILE"`
	Submittal string   `help:"Submittal file: facts that the model does not say." placeholder:"FILE"`
	Lexicon   string   `help:"Lexicon file that replaces the embedded one." placeholder:"FILE"`
	Units     string   `help:"Unit system of texts: ${enum}." enum:"us,si" default:"us"`
	Quiet     bool     `short:"q" help:"No progress and no warnings."`
}

type versionCmd struct{}

// Run prints the version.
func (versionCmd) Run(a *app) error {
	_, err := fmt.Fprintln(a.stdout, "voidcheck", review.Version)
	return err
}
