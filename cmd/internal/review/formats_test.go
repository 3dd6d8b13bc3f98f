package review

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"voidcheck/checks/finding"
	"voidcheck/ifcx/ifctest"
)

// format writes a model to one file, or to several that belong together.
type format struct {
	files []string
	write func(m *ifctest.Model, w []io.Writer) error
}

// formats are all that the fixture builder writes and that are read.
func formats() map[string]format {
	one := func(name string, write func(m *ifctest.Model, w io.Writer) error) format {
		return format{[]string{name}, func(m *ifctest.Model, w []io.Writer) error { return write(m, w[0]) }}
	}
	step := func(d ifctest.Disguise) func(m *ifctest.Model, w io.Writer) error {
		return func(m *ifctest.Model, w io.Writer) error { return m.WriteSTEP(w, d) }
	}
	xml := func(d ifctest.Disguise) func(m *ifctest.Model, w io.Writer) error {
		return func(m *ifctest.Model, w io.Writer) error { return m.WriteXML(w, d) }
	}
	old, new := ifctest.Disguise{Schema: "IFC2X3"}, ifctest.Disguise{Schema: "IFC4"}
	return map[string]format{
		"STEP IFC4":     one("house.ifc", step(new)),
		"STEP IFC2X3":   one("house.ifc", step(old)),
		"meshes IFC4X3": one("house.ifc", step(ifctest.Disguise{Schema: "IFC4X3", Unit: "ft", Geometry: "mesh"})),
		"ifcXML IFC4":   one("house.ifcxml", xml(new)),
		"ifcXML IFC2X3": one("house.xml", xml(old)),
		"IFC5":          one("house.ifcx", func(m *ifctest.Model, w io.Writer) error { return m.WriteIFC5(w, ifctest.Disguise{}) }),
		"IFC5 in layers": {[]string{"lower.ifcx", "upper.ifcx"}, func(m *ifctest.Model, w []io.Writer) error {
			return m.WriteIFC5Layers(w[0], w[1], ifctest.Disguise{})
		}},
	}
}

// save writes a house and its services in a format and returns the names of the files.
func (f format) save(t testing.TB, m *ifctest.Model) []string {
	t.Helper()
	var names []string
	for _, x := range []*ifctest.Model{m, m.Services} {
		if x == nil {
			continue
		}
		dir := t.TempDir()
		out := make([]io.Writer, len(f.files))
		for i := range out {
			out[i] = &bytes.Buffer{}
		}
		if err := f.write(x, out); err != nil {
			t.Fatal(err)
		}
		for i, name := range f.files {
			name = filepath.Join(dir, name)
			if err := os.WriteFile(name, out[i].(*bytes.Buffer).Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
			names = append(names, name)
		}
	}
	return names
}

// The same house gives the same findings whatever file it comes in: items with their keys,
// places, measures and texts, comments, spaces, openings, storeys, units and separations.
// Only what describes the files themselves may differ.
func TestSameFindingsInEveryFormat(t *testing.T) {
	h := ifctest.Row(2)
	h.Units[1].Width += 3 * ifctest.Foot // a floor void over 1,000 ft2
	h.Defects = []ifctest.Seed{
		{Kind: "block-missing", Separation: 0, Level: 1, Bay: 4, Side: "low"},
		{Kind: "block-missing", Separation: 0, Level: 1, Bay: 4, Side: "high"},
	}
	h.Services = []ifctest.Service{
		{Kind: "pipe", Through: "floor", Unit: 1, Level: 1, At: 22 * ifctest.Foot, Diameter: 2 * ifctest.Inch, Ring: 0.625 * ifctest.Inch},
	}
	m, err := h.Build()
	if err != nil {
		t.Fatal(err)
	}
	all := formats()
	findings := func(name string) *finding.Report {
		r := reviewed(t, Options{Models: all[name].save(t, m)})
		for _, p := range r.Problems {
			t.Logf("%s: %s", name, p.Text)
		}
		r.Models, r.Problems = nil, nil
		return r
	}
	got := map[string]*finding.Report{}
	for name := range all {
		got[name] = findings(name)
	}
	want := got["STEP IFC4"]
	if !slices.ContainsFunc(want.Items, func(i finding.Item) bool { return i.Check == "separation-spread" && i.Outcome == finding.Deficient }) {
		t.Error("the two missing blocks join the units, and nobody says so")
	}
	for _, pair := range [][2]string{{"STEP IFC4", "ifcXML IFC4"}, {"STEP IFC2X3", "ifcXML IFC2X3"}, {"IFC5", "IFC5 in layers"}} {
		if d := cmp.Diff(got[pair[0]], got[pair[1]]); d != "" {
			t.Errorf("findings differ (-%s +%s):\n%.6000s", pair[0], pair[1], d)
		}
	}
	// Between schemas and units the last digit of a coordinate may turn. Meshes have
	// more corners round a drilled hole than the outline of an extrusion: the drawn lines differ.
	for name, r := range got {
		opts := cmp.Options{cmpopts.EquateApprox(0, 1.01e-4)}
		if strings.HasPrefix(name, "IFC5") || strings.HasPrefix(name, "meshes") {
			opts = append(opts, cmpopts.IgnoreFields(finding.Report{}, "Drawing"), cmpopts.IgnoreFields(finding.Compartment{}, "Outline"))
		}
		if d := cmp.Diff(want, r, opts); d != "" {
			t.Errorf("findings differ (-STEP IFC4 +%s):\n%.6000s", name, d)
		}
	}
}
