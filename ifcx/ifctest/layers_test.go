package ifctest_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"voidcheck/ifcx"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/source"
)

func open(t *testing.T, data ...[]byte) *model.Building {
	t.Helper()
	var files []*source.File
	for i, d := range data {
		f, err := source.FromBytes(string(rune('a'+i))+".ifc", d)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f...)
	}
	b, err := ifcx.OpenFiles(context.Background(), files, ifcx.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Layers lie where the build-up says, listed from either face and in a mirrored model too:
// boards of outer walls inside, ceilings of floors below, and all of them within the solid.
func TestLayersLieWhereTheyBelong(t *testing.T) {
	for _, neg := range []bool{false, true} {
		h := ifctest.Row(2)
		h.Depth, h.Layered = 8, true
		h.LayerPlan.NegSense = neg
		m := h.MustBuild()
		for _, d := range []ifctest.Disguise{{}, {Mirror: true, Unit: "ft"}, {RotateDeg: 90, Schema: "IFC2X3"}} {
			b := open(t, m.STEP(d))
			byID := map[string]*model.Element{}
			for _, e := range b.Elements {
				byID[e.GlobalID] = e
			}
			for _, p := range m.Parts {
				if len(p.Layers) == 0 {
					continue
				}
				e := byID[m.GlobalID(p, d)]
				if e == nil || e.Layers == nil || !e.Layers.Placed || len(e.Layers.Layers) != len(p.Layers) {
					t.Fatalf("%s %d: layers are not read: %+v", p.Role, p.N, e)
				}
				outline := p.Bounds()
				centre := m.Parts[0].Bounds().Center() // slab: the middle of the building
				depth := 0.0
				for _, l := range e.Layers.Layers {
					at := e.Layers.Base.Add(b.Origin).Add(e.Layers.Axis.Mul(depth + l.ThicknessM/2))
					depth += l.ThicknessM
					from := d.Point(outline.Center())
					out := at.Sub(from).Dot(e.Layers.Axis) * from.Sub(d.Point(centre)).Dot(e.Layers.Axis) // > 0 is away from the middle
					inward := p.Role == ifctest.WallExt && strings.Contains(l.Material, "Gypsum")
					outward := p.Role == ifctest.WallExt && strings.Contains(l.Material, "OSB")
					below := p.Role == ifctest.FloorWhole && strings.Contains(l.Material, "Gypsum")
					above := p.Role == ifctest.FloorWhole && strings.Contains(l.Material, "OSB")
					if p.Role != ifctest.RoofPanel && p.Role != ifctest.FloorWhole && math.Abs(at.Sub(from).Dot(e.Layers.Axis)) > 0.15 {
						t.Errorf("%s %s: layer %s lies outside the wall", p.Role, p.Mark, l.Material)
					}
					if inward && out > 0 || outward && out < 0 || below && at.Z > from.Z || above && at.Z < from.Z {
						t.Errorf("neg %v, mirror %v: %s %s: layer %s at %v lies on the wrong side of %v", neg, d.Mirror, p.Role, p.Mark, l.Material, at, from)
					}
				}
			}
		}
	}
}

// The demonstration reads as one building: storeys, spaces, zones and elements of both files.
func TestDemoOpens(t *testing.T) {
	files, err := ifctest.DemoFiles()
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, files["row-architecture.ifc"], files["row-services.ifc"])
	if len(b.Storeys) != 2 || len(b.Spaces) != 20 || len(b.Zones) != 5 {
		t.Errorf("got %d storeys, %d spaces, %d zones; want 2, 20, 5", len(b.Storeys), len(b.Spaces), len(b.Zones))
	}
	count := map[string]int{}
	for _, e := range b.Elements {
		count[e.Entity]++
	}
	m := ifctest.Larkspur().MustBuild()
	want := len(m.Find(ifctest.FloorTruss)) + len(m.Find(ifctest.RoofTruss))
	if count["IfcElementAssembly"] != want || count["IfcPipeSegment"] != 5 || count["IfcDuctSegment"] != 2 || count["IfcCableSegment"] != 1 {
		t.Errorf("got %v, want %d trusses, 5 pipes, 2 ducts, 1 cable", count, want)
	}
	for _, p := range b.Log.All() {
		t.Errorf("problem: %v", p)
	}
	l := open(t, files["row-layered.ifc"])
	n := 0
	for _, e := range l.Elements {
		if e.Layers != nil {
			n++
		}
	}
	if n < 30 || len(l.Zones) != 5 {
		t.Errorf("layered row: %d layered elements, %d zones", n, len(l.Zones))
	}
}
