package ifcx_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voidcheck/ifcx"
	"voidcheck/ifcx/model"
)

// shared returns a path below ../shared/data, and skips the test where that is missing.
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
		up := filepath.Dir(dir)
		if up == dir {
			t.Fatal("no go.mod above the test")
		}
		dir = up
	}
	p := filepath.Join(dir, "..", "shared", "data", name)
	if _, err := os.Stat(p); err != nil {
		t.Skipf("sample %s is not here: %v", name, err)
	}
	return p
}

func openSample(t testing.TB, names ...string) *model.Building {
	t.Helper()
	var paths []string
	for _, n := range names {
		paths = append(paths, shared(t, "models/"+n))
	}
	b, err := ifcx.Open(context.Background(), paths, ifcx.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func near(a, b, tol float64) bool { return a-b <= tol && b-a <= tol }

// The figures of this file are those of the samples' own README, computed there by an
// independent reader.

func TestSampleStoreys(t *testing.T) {
	for name, want := range map[string][]float64{
		"duplex-arch.ifc":         {-1.25, 0, 3.1, 6},
		"duplex-design-zones.ifc": {-1.25, 0, 3.1, 6},
		"us-house-2x-layers.ifc":  {-2.438, 0, 2.451, 2.515, 5.194},
	} {
		b := openSample(t, name)
		if len(b.Storeys) != len(want) {
			t.Errorf("%s: %d storeys, want %d", name, len(b.Storeys), len(want))
			continue
		}
		for i, s := range b.Storeys {
			if !near(s.ElevationM, want[i], 0.001) {
				t.Errorf("%s: storey %s at %.3f, want %.3f", name, s.Name, s.ElevationM, want[i])
			}
		}
	}
}

func TestSampleDuplexUnits(t *testing.T) {
	b := openSample(t, "duplex-arch.ifc")
	if len(b.Zones) != 0 || len(b.Spaces) != 21 {
		t.Errorf("%d zones and %d spaces, want 0 and 21", len(b.Zones), len(b.Spaces))
	}
	area := map[string]float64{}
	for _, s := range b.Spaces {
		u, ok := s.Prop("PSet_Revit_Other", "OccupancyZoneName")
		if !ok && s.Name != "R301" {
			t.Errorf("space %s has no unit text", s.Name)
		}
		_ = u
		if q, ok := s.Prop("", "GSA BIM Area"); ok && s.Name != "R301" {
			area[s.Name[:1]] += q.Num
		}
	}
	for _, u := range []string{"A", "B"} {
		if !near(area[u], 138.162, 0.001) {
			t.Errorf("unit %s has %.3f m2, want 138.162", u, area[u])
		}
	}
}

func TestSampleDuplexLayers(t *testing.T) {
	b := openSample(t, "duplex-arch.ifc")
	walls, sets := 0, map[string]bool{}
	for _, e := range b.Elements {
		if !e.Is("IfcWall") {
			continue
		}
		walls++
		if e.Layers != nil {
			sets[e.Layers.Name] = true
		}
	}
	if walls != 57 {
		t.Errorf("%d walls, want 57", walls)
	}
	want := []float64{.016, .041, .193, .050, .193, .041, .016}
	for _, id := range []string{"2O2Fr$t4X7Zf8NOew3FKRi", "2O2Fr$t4X7Zf8NOew3FKRH", "2O2Fr$t4X7Zf8NOew3FNbT", "2O2Fr$t4X7Zf8NOew3FKau"} {
		e := byGlobalID(t, b, id)
		if e.Layers == nil || !e.Layers.Placed || len(e.Layers.Layers) != 7 || !near(e.Layers.Total(), 0.550, 1e-6) {
			t.Errorf("%s: layers %+v", id, e.Layers)
			continue
		}
		for i, l := range e.Layers.Layers {
			if !near(l.ThicknessM, want[i], 1e-6) {
				t.Errorf("%s: layer %d is %g m, want %g", id, i, l.ThicknessM, want[i])
			}
		}
		if m := e.Layers.Layers[3].Material; !strings.Contains(strings.ToLower(m), "air") {
			t.Errorf("%s: the middle layer is %q, want air", id, m)
		}
		if p, ok := e.Prop("Pset_WallCommon", "IsExternal"); !ok || p.Bool == nil || !*p.Bool {
			t.Errorf("%s: IsExternal is TRUE on the separations of this file, got %+v", id, p)
		}
	}
}

func byGlobalID(t testing.TB, b *model.Building, id string) *model.Element {
	t.Helper()
	for _, e := range b.Elements {
		if e.GlobalID == id {
			return e
		}
	}
	t.Fatalf("no element %s", id)
	return nil
}

func TestSampleZonesOfAnotherFile(t *testing.T) {
	b := openSample(t, "duplex-arch.ifc", "duplex-design-zones.ifc")
	if len(b.Zones) != 2 || len(b.Storeys) != 4 {
		t.Fatalf("%d zones, %d storeys, want 2 and 4", len(b.Zones), len(b.Storeys))
	}
	for _, z := range b.Zones {
		if len(z.Spaces) != 10 {
			t.Errorf("%s has %d spaces, want 10", z.Name, len(z.Spaces))
		}
		for _, s := range z.Spaces {
			if s.File != b.Files[0] {
				t.Errorf("space %s of %s must be the one of the architecture model", s.Name, z.Name)
			}
			if unit := strings.TrimPrefix(z.Name, "Apartment "); s.Name[:1] != unit {
				t.Errorf("space %s is in %s", s.Name, z.Name)
			}
		}
	}
}

func TestSampleTimberHouse(t *testing.T) {
	b := openSample(t, "timber-house-studs.ifc")
	got := map[string]int{}
	for _, e := range b.Elements {
		got[e.Name]++
		if e.Is("IfcWallElementedCase") {
			got["elemented walls"]++
		}
		if e.Storey == nil {
			t.Errorf("%s %s has no storey: parts inherit it from the whole", e.Entity, e.Name)
		}
	}
	for name, want := range map[string]int{"elemented walls": 22, "Stendere": 207, "Bunnsvill": 45, "Toppsvill": 45, "Modulbjelke": 51, "Kantbjelke": 20, "Vekselbjelke": 6, "Stikkbjelke": 11} {
		if got[name] != want {
			t.Errorf("%d %s, want %d", got[name], name, want)
		}
	}
}

func TestSampleFederation(t *testing.T) {
	b := openSample(t, "duplex-arch.ifc", "duplex-electrical.ifc")
	if len(b.Storeys) != 4 {
		t.Errorf("%d storeys, want 4: the electrical model's three are among them", len(b.Storeys))
	}
	for _, p := range b.Log.All() {
		if p.Code == "files-apart" {
			t.Errorf("the models have one origin: %s", p)
		}
	}
	if d := []string{b.Files[0].Discipline, b.Files[1].Discipline}; d[0] != "architecture" || d[1] != "services" {
		t.Errorf("disciplines %v", d)
	}
	b = openSample(t, "pcert-architecture.ifc", "pcert-structural.ifc", "pcert-hvac.ifc")
	if len(b.Storeys) != 1 {
		t.Errorf("%d storeys, want 1", len(b.Storeys))
	}
}

// The extents are those of the samples' README.
func TestSampleSeparationExtents(t *testing.T) {
	b := openSample(t, "duplex-arch.ifc")
	if err := b.Bodies(context.Background(), 0); err != nil {
		t.Fatal(err)
	}
	for id, want := range map[string][6]float64{
		"2O2Fr$t4X7Zf8NOew3FKRi": {0.417, 4.618, -10.218, -9.725, 0, 2.795},
		"2O2Fr$t4X7Zf8NOew3FKRH": {4.125, 4.675, -10.000, -7.800, 0, 2.795},
		"2O2Fr$t4X7Zf8NOew3FNbT": {4.182, 8.383, -8.075, -7.582, 0, 2.795},
		"2O2Fr$t4X7Zf8NOew3FKau": {4.125, 4.675, -17.383, -0.417, 3.100, 6.000},
	} {
		e := byGlobalID(t, b, id)
		x := e.Body().Box
		got := [6]float64{x.Min.X, x.Max.X, x.Min.Y, x.Max.Y, x.Min.Z, x.Max.Z}
		for i := range got {
			if !near(got[i], want[i], 0.001) {
				t.Errorf("%s extends over %.3f, want %.3f", id, got, want)
				break
			}
		}
		if !e.Layers.Placed {
			t.Errorf("%s: its layers are not placed", id)
		}
	}
	// The joist floors have their plywood on top (layers of the README), which the usage says
	// by the Position of the extrusion.
	for _, id := range []string{"1hOSvn6df7F8_7GcBWlRqU", "1hOSvn6df7F8_7GcBWlRrM"} {
		l := byGlobalID(t, b, id).Layers
		if !l.Placed || l.Axis.Z > -0.999 || !near(l.Base.Z, 3.100, 0.001) || !strings.Contains(l.Layers[0].Material, "plywood") {
			t.Errorf("%s: layers %+v", id, l)
		}
	}
}

// Every layer set with a usage in the samples must lie in its solid.
func TestSampleLayersLieInSolids(t *testing.T) {
	for _, name := range []string{"duplex-arch.ifc", "us-house-2x-layers.ifc", "fzk-haus-ifc4.ifc", "gable-wall-to-roof.ifc", "domestic-hot-water.ifc"} {
		b := openSample(t, name)
		if err := b.Bodies(context.Background(), 0); err != nil {
			t.Fatal(err)
		}
		for _, p := range b.Log.All() {
			switch p.Code {
			case "layers-reversed", "layers-turned":
				t.Errorf("%s", p)
			case "layers-thickness": // two separation walls of the duplex are cut back on one side
				if p.GlobalID != "2O2Fr$t4X7Zf8NOew3FNbT" && p.GlobalID != "2O2Fr$t4X7Zf8NOew3FKRi" {
					t.Errorf("%s", p)
				}
			}
		}
	}
}

func BenchmarkOpenDuplex(b *testing.B) {
	path := shared(b, "models/duplex-arch.ifc")
	for b.Loop() {
		if _, err := ifcx.Open(context.Background(), []string{path}, ifcx.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// Without geometry, everything else that the model says.
func BenchmarkOpenDuplexAndProps(b *testing.B) {
	path := shared(b, "models/duplex-arch.ifc")
	for b.Loop() {
		m, err := ifcx.Open(context.Background(), []string{path}, ifcx.Options{})
		if err != nil {
			b.Fatal(err)
		}
		for _, e := range m.Elements {
			e.Props()
		}
	}
}
