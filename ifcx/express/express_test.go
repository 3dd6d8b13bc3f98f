package express

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// The attribute orders are those of the published EXPRESS files and of the buildingSMART
// documentation pages of each entity.
func TestAttributesInStepOrder(t *testing.T) {
	root := "GlobalId OwnerHistory Name Description "
	for _, c := range []struct{ schema, entity, want string }{
		{"IFC2X3", "IfcWall", root + "ObjectType ObjectPlacement Representation Tag"},
		{"IFC4", "IfcWall", root + "ObjectType ObjectPlacement Representation Tag PredefinedType?"},
		{"IFC4X3_ADD2", "IFCWALL", root + "ObjectType ObjectPlacement Representation Tag PredefinedType?"},
		{"IFC4", "ifcsiunit", "Dimensions* UnitType Prefix? Name"},
		{"IFC4", "IfcOrientedEdge", "EdgeStart* EdgeEnd* EdgeElement Orientation"},
		{"IFC2X3", "IfcExtrudedAreaSolid", "SweptArea Position ExtrudedDirection Depth"},
		{"IFC2X3", "IfcBuildingStorey", root + "ObjectType ObjectPlacement Representation LongName CompositionType Elevation?"},
		{"IFC2X3", "IfcApplication", "ApplicationDeveloper Version ApplicationFullName ApplicationIdentifier"}, // no head in the EXPRESS file
		{"IFC4", "IfcMaterialLayer", "Material? LayerThickness IsVentilated? Name? Description? Category? Priority?"},
	} {
		e := ForName(c.schema).Entity(c.entity)
		if e == nil {
			t.Errorf("%s has no %s", c.schema, c.entity)
			continue
		}
		if got := attrs(e, c.want); got != c.want {
			t.Errorf("%s %s: got %s, want %s", c.schema, e.Name, got, c.want)
		}
	}
}

// attrs lists names; the optional mark is printed only where want has it.
func attrs(e *Entity, want string) string {
	var names []string
	marks := strings.Fields(want)
	for i, a := range e.Attrs {
		n := a.Name
		if a.Derived {
			n += "*"
		}
		if a.Optional && i < len(marks) && strings.HasSuffix(marks[i], "?") {
			n += "?"
		}
		names = append(names, n)
	}
	return strings.Join(names, " ")
}

func TestForName(t *testing.T) {
	for id, want := range map[string]string{
		"IFC2X3": "IFC2X3", "ifc2x3_tc1": "IFC2X3", "IFC2X2_FINAL": "IFC2X3", "IFC4": "IFC4",
		"IFC4X1": "IFC4", "IFC4X2": "IFC4", "IFC4X3": "IFC4X3", "IFC4X3_ADD2": "IFC4X3", "IFC4X3_RC1": "IFC4X3",
		"IFC4 {1 0 10303 0 1 0}": "IFC4", "CONFIG_CONTROL_DESIGN": "", "": "", "IFC": "",
	} {
		got := ""
		if s := ForName(id); s != nil {
			got = s.Name
		}
		if got != want {
			t.Errorf("ForName(%q) = %q, want %q", id, got, want)
		}
	}
}

func TestInheritance(t *testing.T) {
	s := ForName("IFC4")
	e := s.Entity("IFCWALLSTANDARDCASE")
	for _, n := range []string{"IfcWallStandardCase", "IfcWall", "IfcElement", "IfcProduct", "IfcRoot"} {
		if !e.Is(n) {
			t.Errorf("%s should be %s", e.Name, n)
		}
	}
	if e.Is("IfcSlab") || e.Is("IFCWALL") {
		t.Errorf("%s must be neither IfcSlab nor match in the wrong case", e.Name)
	}
	var subs []string
	for _, x := range s.Entity("IfcWall").Subtypes() {
		subs = append(subs, x.Name)
	}
	if want := []string{"IfcWallElementedCase", "IfcWallStandardCase"}; !slices.Equal(subs, want) {
		t.Errorf("subtypes of IfcWall: got %v, want %v", subs, want)
	}
	if !s.Entity("IfcRoot").Abstract || e.Abstract {
		t.Errorf("IfcRoot is abstract, IfcWallStandardCase is not")
	}
	if s.Entity("IfcBuiltElement") != nil || s.Elsewhere("IFCBUILTELEMENT").Schema.Name != "IFC4X3" {
		t.Errorf("IfcBuiltElement came with IFC4X3")
	}
}

func TestTypesAndInverses(t *testing.T) {
	s := ForName("IFC4")
	for name, want := range map[string]string{
		"IfcPositiveLengthMeasure": "REAL", "IFCLABEL": "STRING", "IfcBoolean": "BOOLEAN",
		"IfcCompoundPlaneAngleMeasure": "LIST [3:4] OF INTEGER", "IfcWallTypeEnum": "IfcWallTypeEnum", "IfcWall": "IfcWall",
	} {
		if got := s.Underlying(name); got != want {
			t.Errorf("Underlying(%s) = %s, want %s", name, got, want)
		}
	}
	if w := s.Type("IfcWallTypeEnum"); w.Kind != Enumeration || !slices.Contains(w.Items, "ELEMENTEDWALL") {
		t.Errorf("IfcWallTypeEnum: got %+v", w)
	}
	if w := s.Type("IfcUnit"); w.Kind != Select || !slices.Equal(w.Items, []string{"IfcDerivedUnit", "IfcMonetaryUnit", "IfcNamedUnit"}) {
		t.Errorf("IfcUnit: got %+v", w)
	}
	v := s.Entity("IfcWall").Inverse("IsDecomposedBy")
	if v == nil || *v != (Inverse{"IsDecomposedBy", "IfcRelAggregates", "RelatingObject", true}) {
		t.Errorf("IsDecomposedBy: got %+v", v)
	}
}

// Every name that a table uses must be defined in it, and the counts are those of the
// ENTITY and TYPE blocks in the EXPRESS files.
func TestTablesAreComplete(t *testing.T) {
	count := map[string][2]int{"IFC2X3": {653, 327}, "IFC4": {777, 398}, "IFC4X3": {876, 436}}
	for _, s := range All() {
		types := 0
		for name := range s.lines {
			if s.Type(name) != nil {
				types++
			}
		}
		if got := [2]int{len(s.Entities()), types}; got != count[s.Name] {
			t.Errorf("%s: got %v entities and types, want %v", s.Name, got, count[s.Name])
		}
		for _, e := range s.Entities() {
			if e.Parent == nil && e.Is("IfcObject") {
				t.Errorf("%s %s has no supertype", s.Name, e.Name)
			}
			for _, a := range e.Attrs {
				w := strings.Fields(a.Type)
				last := w[len(w)-1]
				if strings.HasPrefix(last, "Ifc") && s.Type(last) == nil && s.Entity(last) == nil {
					t.Errorf("%s %s.%s: %s is not defined", s.Name, e.Name, a.Name, a.Type)
				}
			}
			for _, v := range e.Inverses {
				if r := s.Entity(v.Entity); r == nil || r.Index(v.Attr) < 0 {
					t.Errorf("%s %s.%s: %s.%s is not defined", s.Name, e.Name, v.Name, v.Entity, v.Attr)
				}
			}
		}
	}
}

func TestLookupDoesNotAllocate(t *testing.T) {
	s := ForName("IFC4")
	if n := testing.AllocsPerRun(100, func() { s.Entity("IFCRELAGGREGATES"); s.Type("IfcLabel") }); n != 0 {
		t.Errorf("looking up allocates %v times", n)
	}
}

// The committed tables must be what the generator makes of the EXPRESS files.
func TestGeneratedTablesAreCurrent(t *testing.T) {
	ref, err := filepath.Abs("../../../shared/reference")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(ref); err != nil {
		t.Skip("no EXPRESS files at ../shared/reference")
	}
	out := t.TempDir()
	if msg, err := exec.Command("go", "run", "./gen", ref, out).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, msg)
	}
	for _, f := range []string{"table_ifc2x3.go", "table_ifc4.go", "table_ifc4x3.go"} {
		want, _ := os.ReadFile(filepath.Join(out, f))
		got, _ := os.ReadFile(f)
		if len(want) == 0 || !bytes.Equal(got, want) {
			t.Errorf("%s is out of date: run go generate ./ifcx/express", f)
		}
	}
}

func BenchmarkLoad(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		load("IFC4X3", tableIFC4X3)
	}
}
