package ifcx_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"voidcheck/ifcx"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/model"
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
