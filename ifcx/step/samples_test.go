package step

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

// shared returns a folder of the sample data beside the repository, or skips.
func shared(t testing.TB, name string) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		if dir == filepath.Dir(dir) {
			t.Fatal("no go.mod above the test")
		}
		dir = filepath.Dir(dir)
	}
	p := filepath.Join(dir, "..", "shared", "data", name)
	if _, err := os.Stat(p); err != nil {
		t.Skipf("no sample data at ../shared/data/%s", name)
	}
	return p
}

// load reads one sample with every attribute; g is nil when it is refused.
func load(t *testing.T, dir, name string) (g *graph.Graph, problems []string) {
	t.Helper()
	files, err := source.Load(filepath.Join(dir, name))
	if err != nil {
		return nil, []string{strings.ReplaceAll(err.Error(), dir+string(filepath.Separator), "")}
	}
	if len(files) != 1 || files[0].Kind != source.STEP {
		t.Fatalf("%s: got %d files, the first is %s", name, len(files), files[0].Kind)
	}
	f := files[0]
	f.Name = name
	var log source.Log
	if g, err = Read(f, &log); err != nil {
		return nil, []string{err.Error()}
	}
	g.Verify()
	known := len(log.All())
	for _, id := range g.All() {
		sameReadings(t, g, id)
	}
	if all := log.All(); len(all) > known {
		t.Errorf("%s: an instance taken for plain is not: %v", name, all)
	}
	for _, p := range log.All() {
		problems = append(problems, p.String())
	}
	return g, problems
}

// The sample models are read whole: as many instances as a plain scanner finds, every
// attribute list as long as the schema says, and no problem but the true ones.
func TestModels(t *testing.T) {
	dir := shared(t, "models")
	for name, want := range map[string]struct {
		schema   string
		n        int // instances, counted with grep -o '^#[0-9]* *=' or by the plain scanner
		problems string
	}{
		"domestic-hot-water.ifc": {"IFC4", 1117, ""},
		"duplex-arch.ifc":        {"IFC2X3", 38898, ""},
		"duplex-design-zones.ifc": {"IFC2X3", 6373,
			`duplex-design-zones.ifc:5736:140: #5949 IfcPropertySingleValue: "\\a" is no string directive; the reverse solidus stands for itself`},
		"duplex-electrical.ifc":          {"IFC2X3", 30554, ""},
		"four-walls-step.ifczip":         {"IFC2X3", 524, ""},
		"fzk-haus-ifc4.ifc":              {"IFC4", 44249, ""},
		"gable-wall-to-roof.ifc":         {"IFC4", 312, ""},
		"pcert-architecture.ifc":         {"IFC4", 444, ""},
		"pcert-hvac.ifc":                 {"IFC4", 156, ""},
		"pcert-structural.ifc":           {"IFC4", 407, ""},
		"timber-house-studs.ifc":         {"IFC4", 9937, ""},
		"us-house-2x-layers.ifc":         {"IFC2X3", 12979, ""},
		"wood-framed-wall-elemented.ifc": {"IFC4", 468, ""},
	} {
		t.Run(name, func(t *testing.T) {
			g, problems := load(t, dir, name)
			if got := strings.Join(problems, "\n"); got != want.problems {
				t.Errorf("problems:\n%s\nwant:\n%s", got, want.problems)
			}
			if g == nil {
				return
			}
			if g.Schema.Name != want.schema || g.Len() != want.n {
				t.Errorf("got %s with %d instances, want %s with %d", g.Schema.Name, g.Len(), want.schema, want.n)
			}
			s := newScanner(g.File.Data)
			if err := s.run(); err != nil {
				t.Fatal(err)
			}
			sameAsPlain(t, s)
		})
	}
}

// Figures of the samples' README, by an independent reader.
func TestModelContents(t *testing.T) {
	dir := shared(t, "models")
	for _, c := range []struct {
		file, entity string
		subtypes     bool
		n            int
	}{
		{"duplex-arch.ifc", "IfcWall", true, 57},
		{"duplex-arch.ifc", "IfcBuildingStorey", false, 4},
		{"duplex-arch.ifc", "IfcOpeningElement", false, 50},
		{"duplex-arch.ifc", "IfcZone", false, 0},
		{"duplex-design-zones.ifc", "IfcZone", false, 2},
		{"us-house-2x-layers.ifc", "IfcWall", true, 51},
		{"us-house-2x-layers.ifc", "IfcBuildingStorey", false, 5},
	} {
		g, _ := load(t, dir, c.file)
		if got := len(g.ByType(c.entity, c.subtypes)); got != c.n {
			t.Errorf("%s: %d %s, want %d", c.file, got, c.entity, c.n)
		}
	}
	g, _ := load(t, dir, "timber-house-studs.ifc")
	studs := 0
	for _, id := range g.ByType("IfcBuildingElement", true) {
		if strings.HasPrefix(g.Str(id, "Name"), "Stender") {
			studs++
		}
	}
	if studs != 207 {
		t.Errorf("timber-house-studs.ifc: %d studs, want 207", studs)
	}
}

// Every malformed sample gives a clear message and no more than is true.
func TestMalformed(t *testing.T) {
	dir := shared(t, "malformed")
	const cut = "#30 is not in the file; the reference is left out"
	for name, want := range map[string]struct {
		n        int // -1: refused
		problems []string
	}{
		"double-comma.ifc": {20, []string{"double-comma.ifc:8:21: #1 IfcPerson: a value is missing before ,; it reads as not given"}},
		"duplicate-ids.ifc": {19, []string{"duplicate-ids.ifc:27:1: #19 IfcProject: this number is already used on line 26; the first instance is kept " +
			"and this one is left out; export the file again, or give one of them another number"}},
		"lfs-pointer.ifc": {-1, []string{"lfs-pointer.ifc: this is a Git LFS pointer and not the model itself (131 bytes); " +
			"run git lfs pull in its repository, or download the file itself"}},
		"newlines-in-strings.ifc": {43, nil},
		"no-header.ifc": {365, []string{"no-header.ifc:1:1: the file has no header; authoring tool and schema are not known; export the file again",
			"no-header.ifc:1:1: no schema is named; by its contents the file is read as IFC4; add FILE_SCHEMA(('IFC4')); to the header, or export the file again"}},
		"shift-jis-bytes.ifc":           {2634, nil}, // the bytes are written as \S\ directives: legal, though not what was meant
		"solidus-escape-apostrophe.ifc": {29, nil},
		"too-few-attributes.ifc": {1, []string{"too-few-attributes.ifc:8:1: #1 IfcPerson: 7 attributes where IFC4 has 8; Addresses and what follows read as not given; " +
			"check that the schema named in the file's header is the one it was written in"}},
		"truncated-in-record.ifc": {2409, []string{"truncated-in-record.ifc:1:1: IFC2X_FINAL is read by the definitions of IFC2X3", cut,
			"truncated-in-record.ifc:2417:1: #2421: the file ends inside this instance; it is left out; the file was cut off: export or copy it again"}},
		"unknown-entity.ifc": {3, []string{"unknown-entity.ifc:8:1: #1 IfcBuiltElement: IFC4 has no entity IfcBuiltElement; its one instance is read as IFC4X3 defines it; " +
			"check that the header names the schema that the file was written in"}},
		"utf8-bom.ifc":             {1, nil},
		"zero-depth-extrusion.ifc": {7, nil}, // for the geometry to tell
	} {
		t.Run(name, func(t *testing.T) {
			g, problems := load(t, dir, name)
			n := -1
			if g != nil {
				n = g.Len()
			}
			if n != want.n {
				t.Errorf("got %d instances, want %d", n, want.n)
			}
			all := strings.Join(problems, "\n")
			for _, w := range want.problems {
				if !strings.Contains(all, w) {
					t.Errorf("missing: %s", w)
				}
			}
			if name != "truncated-in-record.ifc" && len(problems) != len(want.problems) || t.Failed() {
				t.Errorf("problems:\n%s", all)
			}
		})
	}
	g, _ := load(t, dir, "solidus-escape-apostrophe.ifc")
	for id, want := range map[graph.ID]string{1001: "Don't", 1002: "'", 1003: "", 1004: "Ärger", 1005: "hôtel",
		1006: "This string ends with as special case of solidus escape §"} {
		if got := g.Str(id, "Name"); got != want {
			t.Errorf("#%d: got %q, want %q", id, got, want)
		}
	}
	g, _ = load(t, dir, "newlines-in-strings.ifc")
	if got, want := g.Str(323449, "Name"), "L4x4x3/8\nB"; strings.ReplaceAll(got, "\r", "") != want {
		t.Errorf("#323449: got %q, want %q", got, want)
	}
}
