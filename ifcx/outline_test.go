package ifcx_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"voidcheck/ifcx"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/source"
)

// seen is what an overview prints of a building.
func seen(b *model.Building) string {
	var out strings.Builder
	for _, f := range b.Files {
		fmt.Fprintln(&out, filepath.Base(f.Name), f.Schema, f.Discipline, f.LengthUnit, f.Entities, f.Tool)
	}
	for _, s := range b.Storeys {
		fmt.Fprintf(&out, "%s %.6f %d\n", s.Name, s.ElevationM+b.Origin.Z, b.ElementsIn(s))
	}
	for _, s := range b.Spaces {
		storey := ""
		if s.Storey != nil {
			storey = s.Storey.Name
		}
		fmt.Fprintln(&out, s.GlobalID, s.Name, s.LongName, storey, len(s.Zones))
	}
	for _, z := range b.Zones {
		fmt.Fprintln(&out, z.GlobalID, z.Name, len(z.Spaces))
	}
	for _, g := range b.Groups() {
		fmt.Fprintln(&out, g.Entity, g.Predefined, g.Layered, g.HasParts, g.PartOfWall, g.N)
	}
	return out.String()
}

// An outline counts what the whole building has.
func TestOutlineIsTheBuilding(t *testing.T) {
	dir := t.TempDir()
	m := serviced(t)
	write := func(name string, to func(io.Writer, ifctest.Disguise) error, d ifctest.Disguise) []string {
		t.Helper()
		var data bytes.Buffer
		if err := to(&data, d); err != nil {
			t.Fatal(err)
		}
		p := filepath.Join(dir, name)
		if err := os.WriteFile(p, data.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		return []string{p}
	}
	sets := [][]string{
		write("row.ifc", m.WriteSTEP, ifctest.Disguise{Schema: "IFC2X3", Unit: "ft"}),
		write("row.ifcxml", m.WriteXML, ifctest.Disguise{Schema: "IFC4"}),
	}
	models, _ := filepath.Glob("../../shared/data/models/*.ifc*")
	for _, name := range models {
		if !strings.HasSuffix(name, ".ifcx") { // layers of one model; read as Open does
			sets = append(sets, []string{name})
		}
	}
	if len(models) > 0 {
		sets = append(sets, []string{"../../shared/data/models/duplex-arch.ifc", "../../shared/data/models/duplex-electrical.ifc", "../../shared/data/models/duplex-design-zones.ifc"})
	} else {
		t.Log("the sample models are not beside the repository; only fixtures are compared")
	}
	for _, paths := range sets {
		whole, err := ifcx.Open(context.Background(), paths, ifcx.Options{})
		if err != nil {
			t.Errorf("%s: %v", paths, err)
			continue
		}
		outline, err := ifcx.Outline(context.Background(), paths, ifcx.Options{})
		if err != nil {
			t.Errorf("%s: %v", paths, err)
			continue
		}
		if len(outline.Elements) > 0 {
			t.Errorf("%s: the outline has made %d elements", paths, len(outline.Elements))
		}
		want, got := strings.Split(seen(whole), "\n"), strings.Split(seen(outline), "\n")
		for _, l := range want {
			if !slices.Contains(got, l) {
				t.Errorf("%s: the outline lacks %q", paths, l)
			}
		}
		for _, l := range got {
			if !slices.Contains(want, l) {
				t.Errorf("%s: the building has no %q", paths, l)
			}
		}
		for _, p := range outline.Log.All() { // nothing is told that the building does not tell
			if !slices.Contains(whole.Log.All(), p) {
				t.Errorf("%s: only the outline says %v", paths, p)
			}
		}
	}
}

// A file that is cut off or written over while it is looked over is an error that names it, at
// whatever moment that is; where files are read and not mapped, nothing happens to it.
func TestOutlineOfWhatIsCutOff(t *testing.T) {
	var data bytes.Buffer
	if err := serviced(t).WriteSTEP(&data, ifctest.Disguise{}); err != nil {
		t.Fatal(err)
	}
	for _, stage := range []string{"load", "read", "build", ""} {
		for what, text := range map[string]string{"cut off": "", "written over": strings.Repeat("#1=IFCWALL('", data.Len()/12)} {
			name, other := filepath.Join(t.TempDir(), "row.ifc"), filepath.Join(t.TempDir(), "other.ifc")
			for _, n := range []string{name, other} {
				if err := os.WriteFile(n, data.Bytes(), 0o600); err != nil {
					t.Fatal(err)
				}
			}
			change := func() {
				if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
					t.Fatal(err)
				}
			}
			err := source.Looking(func() error {
				b, err := ifcx.Outline(context.Background(), []string{other, name}, ifcx.Options{Progress: func(p ifcx.Progress) {
					if p.Stage == stage && (p.File == name || p.Stage == "build" && p.Done == 0) {
						change()
					}
				}})
				if err != nil {
					return err
				}
				if stage == "" {
					change()
				}
				seen(b)
				for _, f := range b.Files {
					f.Graph.Verify()
				}
				return source.Unchanged()
			})
			if err != nil && !strings.HasPrefix(err.Error(), name+": ") {
				t.Errorf("%s at %q: got %v", what, stage, err)
			}
			if mapped := runtime.GOOS == "linux" || runtime.GOOS == "darwin"; mapped && err == nil {
				t.Errorf("%s at %q: no error", what, stage)
			}
		}
	}
}
