package handbook

import (
	"flag"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/catalogue"
	"voidcheck/ifcx/ifctest/hostile"
	"voidcheck/schema"
)

var update = flag.Bool("update", false, "rewrite the tables of README and DEVELOPERS and the adoption schema")

const (
	readme     = "../../../README.md"
	developers = "../../../DEVELOPERS.md"
	schemaFile = "../../../schema/adoption.schema.json"
)

func TestReadmeTable(t *testing.T) {
	keep(t, readme, TableBegin, ChecksTable(catalogue.Checks()), TableEnd)
}

func TestHostileTable(t *testing.T) {
	const begin, end = "<!-- hostile files: made from the code by the tests of cmd/internal/handbook -->\n", "<!-- end of hostile files -->\n"
	keep(t, developers, begin, hostile.Table(), end)
}

// keep compares what stands between two marks of a document with what the code says, and
// rewrites it with -update.
func keep(t *testing.T, name, begin, want, end string) {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	all, ok := Splice(string(data), begin, want, end)
	if !ok {
		t.Fatalf("%s lacks the marks %q and %q", name, begin, end)
	}
	if *update {
		if err := os.WriteFile(name, []byte(all), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if d := cmp.Diff(all, string(data)); d != "" {
		t.Errorf("the table in %s is not the code's (run with -update):\n%s", name, d)
	}
}

func TestAdoptionSchema(t *testing.T) {
	want := AdoptionSchema(catalogue.Checks())
	if *update {
		if err := os.WriteFile(schemaFile, want, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	got, err := os.ReadFile(schemaFile)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), string(got)); d != "" {
		t.Errorf("schema/adoption.schema.json is not the catalogue's (run with -update):\n%s", d)
	}
}

func TestCatalogueIsValid(t *testing.T) {
	if err := checks.Validate(catalogue.Checks()); err != nil {
		t.Error(err)
	}
}

// A blank adoption and both starters must be files that the program itself accepts.
func TestAdoptionFilesAreValid(t *testing.T) {
	declared := checks.Declared(catalogue.Checks())
	files := map[string][]byte{"blank": BlankAdoption(catalogue.Checks())}
	for _, name := range schema.Starters() {
		text, err := schema.Starter(name)
		if err != nil {
			t.Fatal(err)
		}
		files[name] = text
	}
	if len(files) != 3 {
		t.Errorf("files %d, want a blank and two starters", len(files))
	}
	defaults := adoption.Defaults(declared)
	for name, text := range files {
		a, err := adoption.Read(name, text, declared)
		if err != nil {
			t.Error(err)
			continue
		}
		for _, d := range declared {
			got, want := a.Rule(d.Name), defaults.Rule(d.Name)
			if name == "irc-based" && d.Name == "separation-continuity" { // where the IRC wants more than the IBC
				if _, on := got.Limits.Get("wall-in-attic"); !on {
					t.Errorf("%s: %s lets draftstops stand for the wall in the attic", name, d.Name)
				}
				delete(got.Limits.Num, "wall-in-attic")
			}
			if diff := cmp.Diff(want.Limits.Num, got.Limits.Num); got.On && diff != "" {
				t.Errorf("%s: %s differs from the model-code defaults:\n%s", name, d.Name, diff)
			}
			if name != "blank" && got.On && len(got.Given) > 0 && (got.Section == "" || got.Evidence == "") {
				t.Errorf("%s: %s has values without section or evidence", name, d.Name)
			}
		}
		if name != "blank" && !strings.Contains(strings.Join(a.Notes, " "), "check every section and value against the locally adopted") {
			t.Errorf("%s: the caution about local adoption is missing", name)
		}
	}
}
