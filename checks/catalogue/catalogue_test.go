package catalogue

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voidcheck/checks"
)

func TestCatalogueIsValid(t *testing.T) {
	if err := checks.Validate(Checks()); err != nil {
		t.Error(err)
	}
}

// Every folder is a check and every check has its folder, with a test in it.
func TestFolders(t *testing.T) {
	want := map[string]bool{}
	for _, c := range Checks() {
		want[strings.ReplaceAll(c.Name, "-", "")] = true
	}
	dirs, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range dirs {
		if !d.IsDir() {
			continue
		}
		if !want[d.Name()] {
			t.Errorf("folder %s belongs to no check", d.Name())
		}
		delete(want, d.Name())
		if tests, _ := filepath.Glob(filepath.Join(d.Name(), "*_test.go")); len(tests) == 0 {
			t.Errorf("check folder %s has no test", d.Name())
		}
	}
	for n := range want {
		t.Errorf("check %s has no folder", n)
	}
}
