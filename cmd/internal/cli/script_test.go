package cli

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"voidcheck/ifcx/ifctest"
	"voidcheck/schema"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"voidcheck": func() { os.Exit(Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// TestScripts runs the scenarios under testdata/script. DEMO is the folder of the demo.
func TestScripts(t *testing.T) {
	demo, err := filepath.Abs("../../../testdata/demo")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup:               func(e *testscript.Env) error { e.Setenv("DEMO", demo); return nil },
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"status":   status,
			"validate": validate,
			"timeless": timeless,
			"house":    house,
			"damage":   damage,
		},
	})
}

// status N COMMAND... runs a command and wants its exit status: status 3 voidcheck review x.
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N command [args]")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	err = ts.Exec(args[1], args[2:]...)
	got := 0
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("exit status %d, want %d", got, want)
	}
}

// validate KIND FILE holds a file against a schema.
func validate(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: validate kind file")
	}
	for _, p := range schema.Validate(args[0], []byte(ts.ReadFile(args[1]))) {
		ts.Fatalf("%s:%s", args[1], p)
	}
}

var runAt = regexp.MustCompile(`"at":"[^"]*"`)

// timeless FILE takes the time of the run out of findings, the one thing that may differ.
func timeless(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: timeless file")
	}
	text := ts.ReadFile(args[0])
	if n := len(runAt.FindAllString(text, -1)); n != 1 {
		ts.Fatalf("%s holds %d times, want 1", args[0], n)
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(runAt.ReplaceAllString(text, `"at":""`)), 0o644))
}

// damage DIR changes one byte in the middle of each file of a folder.
func damage(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: damage folder")
	}
	list, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	if len(list) == 0 {
		ts.Fatalf("%s holds no files", args[0])
	}
	for _, e := range list {
		name := filepath.Join(ts.MkAbs(args[0]), e.Name())
		data, err := os.ReadFile(name)
		ts.Check(err)
		data[len(data)/2] ^= 1
		ts.Check(os.WriteFile(name, data, 0o644))
	}
}

// house SPEC FILE writes the model of an invented house (see package ifctest): a row of two
// equal units in which everything is closed, changed by what SPEC says.
func house(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: house spec file")
	}
	h, err := ifctest.ReadHouse([]byte(ts.ReadFile(args[0])))
	ts.Check(err)
	m, err := h.Build()
	ts.Check(err)
	var b bytes.Buffer
	ts.Check(m.WriteSTEP(&b, ifctest.Disguise{}))
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), b.Bytes(), 0o644))
}
