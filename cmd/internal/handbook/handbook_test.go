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
	"voidcheck/schema"
)

var update = flag.Bool("update", false, "rewrite the README's table of checks and the adoption schema")

const (
	readme     = "../../../README.md"
	schemaFile = "../../../schema/adoption.schema.json"
)

func TestReadmeTable(t *testing.T) {
	data, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	want, ok := Splice(string(data), TableBegin, ChecksTable(catalogue.Checks()), TableEnd)
	if !ok {
		t.Fatalf("README.md lacks the marks %q and %q", TableBegin, TableEnd)
	}
	if *update {
		if err := os.WriteFile(readme, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if d := cmp.Diff(want, string(data)); d != "" {
		t.Errorf("the README's table of checks is not the catalogue's (run with -update):\n%s", d)
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
