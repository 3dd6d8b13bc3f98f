package recognise_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voidcheck/checks/adoption"
	"voidcheck/checks/lexicon"
	"voidcheck/checks/recognise"
	"voidcheck/ifcx"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/source"
)

func openFixture(t testing.TB, h ifctest.House, d ifctest.Disguise) (*ifctest.Model, *model.Building) {
	t.Helper()
	m, err := h.Build()
	if err != nil {
		t.Fatal(err)
	}
	return m, openModel(t, m, d)
}

// openModel writes a built model and reads it back.
func openModel(t testing.TB, m *ifctest.Model, d ifctest.Disguise) *model.Building {
	t.Helper()
	files := []*source.File{}
	for i, x := range []*ifctest.Model{m, m.Services} {
		if x == nil {
			continue
		}
		var b bytes.Buffer
		if err := x.WriteSTEP(&b, d); err != nil {
			t.Fatal(err)
		}
		files = append(files, &source.File{Name: fmt.Sprintf("f%d.ifc", i), Data: b.Bytes(), Kind: source.STEP})
	}
	mb, err := ifcx.OpenFiles(context.Background(), files, ifcx.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return mb
}

func recogniseModel(t testing.TB, m *model.Building) *recognise.Building {
	t.Helper()
	b, err := recognise.Recognise(context.Background(), m, lexicon.Default(), adoption.Facts{})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// strip takes every word and type from the elements, so that geometry alone is left, and
// returns the names that told what they are.
func strip(m *model.Building, types bool) []string {
	names := make([]string, len(m.Elements))
	for i, e := range m.Elements {
		names[i] = e.Name
		e.Name, e.ObjectType, e.TypeName, e.Description, e.Tag = "", "", "", "", ""
		if types && !e.Is("IfcSpace") && !e.Is("IfcDistributionElement") && !e.Is("IfcWall") && e.Entity != "IfcElementAssembly" {
			e.Entity, e.Parents, e.Predefined, e.TypeEntity = "IfcBuildingElementProxy", []string{"IfcBuildingElement", "IfcElement"}, "", ""
			e.Materials = nil
		}
	}
	return names
}

func kindOfName(n string) string {
	n = strings.TrimSpace(n)
	for _, p := range []string{"Unit separation wall", "Exterior wall", "Bearing partition", "Fireblocking at level", "Fireblocking upright", "Attic draftstop", "Eave blocking board", "Roof sheathing", "Wall sheathing", "Slab on grade", "Gypsum ceiling", "Gypsum board"} {
		if strings.HasPrefix(n, p) {
			return p
		}
	}
	f := strings.Fields(n)
	var out []string
	for _, w := range f {
		if strings.ContainsAny(w, "0123456789") {
			break
		}
		out = append(out, w)
	}
	return strings.Join(out, " ")
}

func samplePath(name string) string {
	dir, _ := os.Getwd()
	for d := dir; ; d = filepath.Dir(d) {
		if _, err := os.Stat(filepath.Join(d, "go.mod")); err == nil {
			return filepath.Join(d, "..", "shared", "data", "models", name)
		}
		if d == filepath.Dir(d) {
			return name
		}
	}
}
