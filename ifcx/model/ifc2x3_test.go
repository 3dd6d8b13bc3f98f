package model_test

import (
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"

	"voidcheck/ifcx/model"
)

func TestIFC2X3(t *testing.T) {
	text, err := os.ReadFile("testdata/small-ifc2x3.ifc")
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, string(text))
	if f := b.Files[0]; f.Schema != "IFC2X3" || f.LengthUnit != "foot" || f.Tool != "Drawing Board 3.1" {
		t.Errorf("file: %s in %s by %q", f.Schema, f.LengthUnit, f.Tool)
	}
	w := element(t, b, "Wall")
	if w.Entity != "IfcWallStandardCase" || !w.Is("IfcWall") || w.Predefined != "STANDARD" || w.TypeName != "Type 7" || w.Tag != "7" {
		t.Errorf("wall: %+v", w)
	}
	if p, ok := w.Prop("Pset_WallCommon", "FireRating"); !ok || p.Text != "1 hr" {
		t.Errorf("property of the type: %+v", p)
	}
	// No area unit is assigned: square feet follow from the length unit. 100 ft2 = 9.290304 m2.
	if p, ok := w.Prop("BaseQuantities", "NetSideArea"); !ok || !near(p.Num, 9.290304) {
		t.Errorf("quantity: %+v", p)
	}
	l := w.Layers
	if l == nil || !l.Placed || !near(l.Layers[0].ThicknessM, 0.1524) || !near(l.Base.Y, -0.1143) || !near(l.Axis.Y, 1) || l.Layers[0].Ventilated || !l.Layers[1].Ventilated {
		t.Errorf("layers: %+v", l)
	}
	if d := cmp.Diff([]model.Classification{{System: "Table", Code: "B2010", Name: "Exterior walls"}}, w.Classes); d != "" {
		t.Errorf("classification of the type:\n%s", d)
	}
	m := b.Files[0].MaterialProps("Lumber")
	if m["Pset_MaterialWood"]["Species"].Text != "SPF" || !near(m["IfcMechanicalMaterialProperties"]["PoissonRatio"].Num, 0.3) {
		t.Errorf("material properties: %v", m)
	}
	if got := element(t, b, "Roof").Predefined; got != "GABLE_ROOF" {
		t.Errorf("shape type of the roof: %q", got)
	}
	if len(b.Provisions) != 1 || b.Provisions[0].Name != "Hole" {
		t.Errorf("provisions by ObjectType: %v", b.Provisions)
	}
	s := b.Spaces[0]
	if s.Name != "101" || s.LongName != "Kitchen" || len(s.Bounds) != 1 || len(s.Coverings) != 1 || len(s.Zones) != 1 {
		t.Errorf("space: %+v", s)
	}
	if z := b.Zones[0]; z.LongName != "Flat A" || z.ObjectType != "Dwelling" {
		t.Errorf("zone: %+v", z)
	}
	d := element(t, b, "Door")
	if d.Storey == nil || d.Storey.Name != "Level 1" {
		t.Errorf("a door contained in a space is on the space's storey, got %v", d.Storey)
	}
	if d.Predefined != "SINGLE_SWING_LEFT" || d.TypeEntity != "IfcDoorStyle" {
		t.Errorf("door style: %s %q", d.TypeEntity, d.Predefined)
	}
	if l := b.Log.All(); len(l) > 0 {
		t.Errorf("unexpected problems: %v", l)
	}
}
