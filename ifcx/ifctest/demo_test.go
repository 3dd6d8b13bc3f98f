package ifctest

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// The demonstration in testdata is what the builder makes, byte for byte, and small enough.
func TestDemoIsUpToDate(t *testing.T) {
	files, err := DemoFiles()
	if err != nil {
		t.Fatal(err)
	}
	again, err := DemoFiles()
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range files {
		if !bytes.Equal(data, again[name]) {
			t.Errorf("%s differs from one run to the next", name)
		}
		if len(data) > 4_500_000 {
			t.Errorf("%s has %d bytes, more than 4.5 MB", name, len(data))
		}
		old, err := os.ReadFile(filepath.Join(repoRoot(t), "testdata", "demo", name))
		if err != nil || !bytes.Equal(old, data) {
			t.Errorf("testdata/demo/%s is not up to date (%v); run: go generate ./ifcx/ifctest", name, err)
		}
		if filepath.Ext(name) == ".ifc" {
			t.Run(name, func(t *testing.T) { wellFormed(t, data) })
		}
	}
}

// The demonstration has mistakes of different kinds and at different places, and they are not
// so many that nobody believes it.
func TestDemoMistakes(t *testing.T) {
	m := Larkspur().MustBuild()
	var kinds []string
	for _, d := range m.Truth.Defects {
		if !slices.Contains(kinds, d.Seed.Kind) {
			kinds = append(kinds, d.Seed.Kind)
		}
		if len(d.Checks) == 0 {
			t.Errorf("%+v names no check", d.Seed)
		}
	}
	if len(kinds) < 6 || len(m.Truth.Defects) > 14 {
		t.Errorf("%d mistakes of %d kinds: %v", len(m.Truth.Defects), len(kinds), kinds)
	}
	const ft2 = Foot * Foot
	for _, v := range m.voidsOf("floor") {
		well := (3.5*Foot + 2*TwoBy) * (11*Foot + 2*TwoBy) / ft2
		want := map[int]float64{0: 960 - well, 1: 960 - well, 2: 1120 - well - 28*Foot*HalfGypsum/ft2, 3: 960 - well, 4: 1120 - well}[v.Units[0]]
		near(t, "floor void in ft2", v.AreaM2/ft2, want, 1e-6)
	}
	checkOverlaps(t, m)
	checkOverlaps(t, LarkspurLayered().MustBuild())
	if len(m.Truth.Joined) != 2 {
		t.Errorf("joined %v, want units 1 and 2 through the floor and 2 and 3 through the attic", m.Truth.Joined)
	}
}
