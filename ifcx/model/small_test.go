package model_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// forUnits runs a test on the template house in metres, millimetres, feet and inches.
func forUnits(t *testing.T, run func(t *testing.T, b *model.Building)) {
	for i, u := range lengthUnits {
		t.Run(u.name, func(t *testing.T) {
			b := open(t, small(t, i, site{}))
			if f := b.Files[0]; f.LengthUnit != u.name || !near(f.LengthUnitM, u.metre) {
				t.Errorf("length unit is %s of %g m, want %s of %g m", f.LengthUnit, f.LengthUnitM, u.name, u.metre)
			}
			run(t, b)
		})
	}
}

func TestStoreysInMetres(t *testing.T) {
	forUnits(t, func(t *testing.T, b *model.Building) {
		if len(b.Storeys) != 2 || b.Storeys[0].Name != "Ground" || b.Storeys[1].Name != "Upper" {
			t.Fatalf("storeys: %+v", b.Storeys)
		}
		if !near(b.Storeys[0].ElevationM, 0) || !near(b.Storeys[1].ElevationM, 3.0) {
			t.Errorf("elevations %g and %g, want 0 and 3 (the placement wins over the attribute)", b.Storeys[0].ElevationM, b.Storeys[1].ElevationM)
		}
		// The upper storey is placed at 3.0 m but its Elevation attribute says 3.1 m.
		if l := problems(b, "storey-elevation"); len(l) != 1 || !strings.Contains(l[0].Text, "3.1000 m") {
			t.Errorf("want one warning about the elevation of Upper, got %v", l)
		}
	})
}

func TestLayersInMetres(t *testing.T) {
	forUnits(t, func(t *testing.T, b *model.Building) {
		l := element(t, b, "Party wall").Layers
		if l == nil || !l.Placed {
			t.Fatalf("layers: %+v", l)
		}
		if !near(l.Total(), 0.228) || len(l.Layers) != 5 {
			t.Errorf("%d layers of %g m, want 5 of 0.228 m", len(l.Layers), l.Total())
		}
		// Local y of the wall is -x of the building; the base is 0.114 m along it whatever the
		// sense, and NEGATIVE stacks against it.
		sameVec(t, "axis", l.Axis, geom.Vec3{X: 1})
		if !near(l.Base.X, 5-0.114) {
			t.Errorf("base at x %g, want %g", l.Base.X, 5-0.114)
		}
		gap := l.Layers[2]
		if gap.Material != "" || !gap.Ventilated || l.Layers[1].Ventilated || l.Layers[1].Category != "framing" || l.Layers[0].Category != "gypsum" {
			t.Errorf("air and categories: %+v", l.Layers)
		}
		// The floor's profile lies at its top and is extruded downwards: POSITIVE follows the
		// extrusion (CV-2x3-100), so the deck is on top.
		f := element(t, b, "Floor").Layers
		if f == nil || !f.Placed {
			t.Fatalf("floor layers: %+v", f)
		}
		sameVec(t, "floor axis", f.Axis, geom.Vec3{Z: -1})
		if !near(f.Base.Z, 3.0) {
			t.Errorf("floor base at z %g, want 3", f.Base.Z)
		}
		if r := element(t, b, "Roof deck").Layers; r == nil || r.Placed || len(r.Layers) != 2 {
			t.Errorf("layers of the type without usage: %+v", r)
		}
	})
}

func sameVec(t *testing.T, what string, got, want geom.Vec3) {
	t.Helper()
	if got.Sub(want).Len() > 1e-6 {
		t.Errorf("%s is %v, want %v", what, got, want)
	}
}

func TestProperties(t *testing.T) {
	forUnits(t, func(t *testing.T, b *model.Building) {
		w := element(t, b, "Party wall")
		if p, ok := w.Prop("Pset_WallCommon", "FireRating"); !ok || p.Text != "2h" {
			t.Errorf("FireRating %+v: the occurrence must win over the type", p)
		}
		if p, ok := w.Prop("", "Combustible"); !ok || p.Bool == nil || !*p.Bool {
			t.Errorf("Combustible of the type: %+v", p)
		}
		if p, ok := w.Prop("Pset_WallCommon", "IsExternal"); !ok || p.Bool == nil || *p.Bool {
			t.Errorf("IsExternal: %+v", p)
		}
		pipe := element(t, b, "Pipe")
		for name, want := range map[string]float64{"Length": 1.5, "LengthInCm": 1.5, "Slope": 0.5235987755982988, "Steps": 0.1, "Outer.Inner": 293.15} {
			if p, ok := pipe.Prop("Kinds", name); !ok || !p.IsNum || !near(p.Num, want) {
				t.Errorf("%s is %+v, want %g", name, p, want)
			}
		}
		for name, want := range map[string]string{"Status": "NEW, TEMPORARY", "Table": "a = 1, b = 2", "Made of": "Copper"} {
			if p, _ := pipe.Prop("Kinds", name); p.Text != want {
				t.Errorf("%s is %q, want %q", name, p.Text, want)
			}
		}
		if p, _ := pipe.Prop("Kinds", "Range"); p.IsNum || p.Lower == nil || p.Upper == nil || !near(*p.Lower, 1) || !near(*p.Upper, 2) {
			t.Errorf("Range: %+v", p)
		}
		if p, ok := pipe.Prop("Kinds", "Empty"); ok {
			t.Errorf("a property without value reads as %+v", p)
		}
		for name, want := range map[string]float64{"Length": 1.5, "Section": 0.0025, "Bends": 3, "Faces.Sheet": 2} {
			if p, ok := pipe.Prop("Qto_Pipe", name); !ok || !near(p.Num, want) {
				t.Errorf("quantity %s is %+v, want %g", name, p, want)
			}
		}
		if p := b.Files[0].MaterialProps("SPF stud")["Pset_MaterialCombustion"]["IsCombustible"]; p.Bool == nil || !*p.Bool {
			t.Errorf("material property: %+v", p)
		}
	})
}

func TestRelations(t *testing.T) {
	b := open(t, small(t, 0, site{}))
	if b.Project != "Small house" {
		t.Errorf("project %q", b.Project)
	}
	wall, door := element(t, b, "Party wall"), element(t, b, "D1")
	if wall.TypeName != "WT1" || wall.TypeEntity != "IfcWallType" || wall.Predefined != "PARTY" {
		t.Errorf("wall type %s %q, predefined %q; a user-defined type is its ElementType", wall.TypeEntity, wall.TypeName, wall.Predefined)
	}
	if got := element(t, b, "Roof deck").Predefined; got != "GRAVEL ROOF" {
		t.Errorf("predefined %q; a user-defined occurrence is its ObjectType", got)
	}
	if len(wall.Openings) != 1 || wall.Openings[0].Filling != door || wall.Openings[0].Host != wall {
		t.Errorf("openings of the wall: %+v", wall.Openings)
	}
	if door.Storey == nil || door.Storey.Name != "Ground" {
		t.Errorf("the door's storey is that of the wall it stands in, got %+v", door.Storey)
	}
	truss := element(t, b, "FT1")
	var parts []string
	for _, p := range truss.Parts {
		parts = append(parts, p.Name)
		if p.Whole != truss || p.Storey == nil || p.Storey.Name != "Upper" {
			t.Errorf("part %s: whole %v, storey %v", p.Name, p.Whole, p.Storey)
		}
	}
	if d := cmp.Diff([]string{"bottom", "top", "web"}, parts); d != "" {
		t.Errorf("parts in order of GlobalId:\n%s", d)
	}
	if truss.Predefined != "TRUSS" || element(t, b, "web").Predefined != "" || !element(t, b, "web").Is("IfcElement") {
		t.Errorf("truss %q, web %q", truss.Predefined, element(t, b, "web").Predefined)
	}
	for name, want := range map[string][]string{
		"Party wall": {"Gypsum board", "SPF stud"}, "top": {"SPF stud"}, "Pipe": {"Copper", "Gypsum board"}, "Ceiling": {"Gypsum board", "Paint"},
	} {
		if d := cmp.Diff(want, element(t, b, name).Materials); d != "" {
			t.Errorf("materials of %s:\n%s", name, d)
		}
	}
	if d := cmp.Diff([]model.Classification{{System: "Invented table", Code: "20.7", Name: "Unit separation"}}, wall.Classes); d != "" {
		t.Errorf("classification:\n%s", d)
	}
	if d := cmp.Diff([]string{"Cold water"}, element(t, b, "Pipe").Groups); d != "" {
		t.Errorf("systems:\n%s", d)
	}
	if l := element(t, b, "Floor").Coverings; len(l) != 1 || l[0].Name != "Ceiling" {
		t.Errorf("coverings of the floor: %v", l)
	}
	if len(b.Provisions) != 1 || b.Provisions[0].Name != "Sleeve" {
		t.Errorf("provisions: %v", b.Provisions)
	}
	for _, e := range b.Elements {
		switch e.Name {
		case "Note", "Port", "G", "Hole", "A101", "Ground":
			t.Errorf("%s %s is no element", e.Entity, e.Name)
		}
	}
}

func TestSpacesZonesGrids(t *testing.T) {
	b := open(t, small(t, 1, site{}))
	var names []string
	for _, s := range b.Spaces {
		names = append(names, s.Name+" "+s.LongName)
		if s.Storey == nil || s.Storey.Name != "Ground" {
			t.Errorf("storey of %s: %v", s.Name, s.Storey)
		}
	}
	if d := cmp.Diff([]string{"A101 Living", "A102 Bath", "B101 Living"}, names); d != "" {
		t.Errorf("spaces:\n%s", d)
	}
	if len(b.Zones) != 2 {
		t.Fatalf("zones: %v", b.Zones)
	}
	a, z := b.Zones[0], b.Zones[1]
	if a.Entity != "IfcZone" || a.Name != "Unit A" || a.LongName != "Flat A" || len(a.Spaces) != 2 || a.Spaces[0].Name != "A101" {
		t.Errorf("zone A: %+v", a)
	}
	if z.Entity != "IfcSpatialZone" || z.Predefined != "DWELLING" || len(z.Spaces) != 1 || z.Spaces[0].Name != "B101" || len(z.Elements) != 1 || z.Elements[0].Name != "Party wall" {
		t.Errorf("spatial zone: %+v", z)
	}
	for _, i := range []int{0, 2} { // first level bounds A101, second level B101
		if l := b.Spaces[i].Bounds; len(l) != 1 || l[0].Name != "Party wall" {
			t.Errorf("bounds of %s: %v", b.Spaces[i].Name, l)
		}
	}
	if l := b.Spaces[0].Coverings; len(l) != 1 || l[0].Name != "Ceiling" {
		t.Errorf("coverings of A101: %v", l)
	}
	if len(b.Grids) != 1 || len(b.Grids[0].Axes) != 2 {
		t.Fatalf("grids: %+v", b.Grids)
	}
	want := []model.GridAxis{{Tag: "A", A: geom.Vec2{X: 1}, B: geom.Vec2{X: 1, Y: 8}}, {Tag: "1", A: geom.Vec2{X: 7}, B: geom.Vec2{X: 1}}}
	for i, ax := range b.Grids[0].Axes {
		if ax.Tag != want[i].Tag || ax.A.Sub(want[i].A).Len() > 1e-6 || ax.B.Sub(want[i].B).Len() > 1e-6 {
			t.Errorf("axis %+v, want %+v", ax, want[i])
		}
	}
}

func TestFarFromOrigin(t *testing.T) {
	home := open(t, small(t, 1, site{}))
	far := open(t, small(t, 1, site{East: 1.25e6, North: -5.5e6, Up: 1500}))
	if home.Origin != (geom.Vec3{}) {
		t.Errorf("a house near its origin is not moved, got %v", home.Origin)
	}
	if o := far.Origin; o.X != 1.25e6+5 && o.X != 1.25e6 || o.Z < 1500 || o.Z > 1503 {
		t.Errorf("origin %v is not near the house", o)
	}
	for i, e := range far.Elements {
		h := home.Elements[i]
		d := e.Placement().O.Add(far.Origin).Sub(geom.Vec3{X: 1.25e6, Y: -5.5e6, Z: 1500})
		if d.Sub(h.Placement().O).Len() > 1e-6 {
			t.Errorf("%s stands at %v, want %v", e.Name, d, h.Placement().O)
		}
		if e.Placement().O.Len() > 100 {
			t.Errorf("%s is still %g m from the building's origin", e.Name, e.Placement().O.Len())
		}
	}
	if got := far.Storeys[1].ElevationM - far.Storeys[0].ElevationM; !near(got, 3) {
		t.Errorf("storeys are %g m apart, want 3", got)
	}
}

// A file may place everything at the origin and draw it far away.
func TestFarGeometry(t *testing.T) {
	text := strings.Replace(small(t, 1, site{}), "#57=IFCCARTESIANPOINT((2000.,0.));", "#57=IFCCARTESIANPOINT((2.E9,0.));", 1)
	text = strings.Replace(text, "#90=IFCCARTESIANPOINT((2500.,3000.,300.));", "#90=IFCCARTESIANPOINT((0.,2.E9,300.));", 1)
	b := open(t, text)
	// The wall's x axis is the building's y axis.
	if b.Origin.Y < 1.9e6 || b.Origin.Y > 2.1e6 || b.Origin.Y != float64(int(b.Origin.Y)) {
		t.Errorf("origin %v, want about 2,000 km north in whole metres", b.Origin)
	}
	body := element(t, b, "Floor").Body()
	if body == nil || body.Box.Center().Len() > 2000 {
		t.Errorf("the floor is drawn at %v", body)
	}
}
