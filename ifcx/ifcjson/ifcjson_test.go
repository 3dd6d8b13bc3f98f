package ifcjson

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/source"
	"voidcheck/schema"
)

// sample reads layers of ../shared/data/models, and skips the test where they are missing.
func sample(t testing.TB, names ...string) *model.Building {
	t.Helper()
	log := &source.Log{}
	var files []*source.File
	for _, n := range names {
		p := filepath.Join("..", "..", "..", "shared", "data", "models", n)
		if _, err := os.Stat(p); err != nil {
			t.Skipf("sample %s is not here", n)
		}
		l, err := source.Load(p)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, l...)
	}
	return build(t, log, files)
}

func build(t testing.TB, log *source.Log, files []*source.File) *model.Building {
	t.Helper()
	c, err := Read(files, log)
	if err != nil {
		t.Fatal(err)
	}
	return model.Federate(c, log)
}

func named(t testing.TB, b *model.Building, name string) *model.Element {
	t.Helper()
	for _, e := range b.Elements {
		if e.Name == name {
			return e
		}
	}
	t.Fatalf("no element %q", name)
	return nil
}

func volume(e *model.Element) float64 {
	v := 0.0
	for _, s := range e.Body().Solids {
		v += s.Mesh.Volume()
	}
	return v
}

// The sample states the volume and the GlobalId of the STEP model it was made from; both
// must come out of the mesh and the path.
func TestHelloWall(t *testing.T) {
	b := sample(t, "hello-wall.ifcx")
	w := named(t, b, "Wall")
	if w.GlobalID != "2JUHrTM_j3UxZiBnyBfByx" || w.Entity != "IfcWall" || !w.Is("IfcElement") {
		t.Errorf("wall %s %s", w.GlobalID, w.Entity)
	}
	p, ok := w.Prop("", "Volume")
	if !ok || !p.IsNum || volume(w)-p.Num > 1e-5 || p.Num-volume(w) > 1e-5 {
		t.Errorf("mesh volume %.6f, stated %+v", volume(w), p)
	}
	if w.Body().Solids[0].Open || len(w.Body().Solids) != 1 {
		t.Errorf("the wall is one closed solid, got %d, open %v", len(w.Body().Solids), w.Body().Solids[0].Open)
	}
	if len(w.Body().AxisLine) != 2 {
		t.Errorf("axis %v", w.Body().AxisLine)
	}
	if d := cmp.Diff([]string{"CONCRETE"}, w.Materials); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]model.Classification{{System: "nlsfb", Code: "21.21"}}, w.Classes); d != "" {
		t.Error(d)
	}
	win := named(t, b, "Window")
	if win.TypeName != "WT01" || len(win.Materials) != 2 {
		t.Errorf("window type %q, materials %v", win.TypeName, win.Materials)
	}
	if p, _ := win.Prop("", "Volume"); volume(win)-p.Num > 1e-5 || p.Num-volume(win) > 1e-5 {
		t.Errorf("window volume %.6f, stated %+v (the invisible void is not matter)", volume(win), p)
	}
	if len(w.Openings) != 2 || w.Openings[0].Filling == nil || w.Openings[0].Body() == nil {
		t.Errorf("openings: %v", w.Openings)
	}
	if len(b.Spaces) != 1 || len(b.Spaces[0].Bounds) != 3 || b.Spaces[0].Storey == nil || b.Spaces[0].Body() == nil {
		t.Errorf("spaces: %+v", b.Spaces)
	}
	if v := b.Files[0].MaterialProps("WOOD")["bsi::ifc-mat::prop"]["MassDensity"]; v.Num != 529 {
		t.Errorf("material property %+v", v)
	}
	imports := 0
	for _, p := range b.Log.All() {
		if p.Code == "import-unresolved" {
			imports++
		} else {
			t.Errorf("unexpected problem: %s", p)
		}
	}
	if imports != 1 {
		t.Errorf("unresolved imports must be listed once per file")
	}
}

func TestOverlayFile(t *testing.T) {
	plain, over := sample(t, "hello-wall.ifcx"), sample(t, "hello-wall.ifcx", "hello-wall-overlay-firerating60.ifcx")
	if p, ok := named(t, plain, "Wall").Prop("", "FireRating"); ok {
		t.Errorf("without the overlay: %+v", p)
	}
	w := named(t, over, "Wall")
	if p, ok := w.Prop("Pset_WallCommon", "FireRating"); !ok || p.Text != "R60" { // a set of the standard, which IFC5 does not name
		t.Errorf("with the overlay: %+v", p)
	}
	if w.File != over.Files[0] || len(over.Files) != 2 {
		t.Errorf("the wall belongs to the layer that describes it first, got %s", w.File.Name)
	}
	if len(plain.Elements) != len(over.Elements) {
		t.Errorf("%d and %d elements", len(plain.Elements), len(over.Elements))
	}
}

// NetVolume is stated for seven elements of the sample.
func TestPcertVolumes(t *testing.T) {
	b := sample(t, "pcert-architecture.ifcx", "pcert-hvac.ifcx")
	n := 0
	for _, e := range b.Elements {
		p, ok := e.Prop("", "NetVolume")
		if !ok {
			continue
		}
		n++
		if v := volume(e); v-p.Num > 2e-6 || p.Num-v > 2e-6 {
			t.Errorf("%s: volume %.6f, stated %.6f", e.Name, v, p.Num)
		}
	}
	if n != 7 {
		t.Errorf("%d elements state their volume, want 7", n)
	}
	if len(b.Storeys) != 1 || len(b.Elements) != 15 {
		t.Errorf("%d storeys and %d elements: the two layers share their project tree", len(b.Storeys), len(b.Elements))
	}
	if r := named(t, b, "house - roof"); len(r.Parts) != 2 || r.Parts[0].Whole != r {
		t.Errorf("roof parts %v", r.Parts)
	}
	if s := named(t, b, "sand bedding"); s.Entity != "IfcEarthworksFill" || s.Predefined != "SUBGRADE" {
		t.Errorf("class with predefined type: %s %s", s.Entity, s.Predefined)
	}
}

const tiny = `{"header":{"id":"tiny"},"data":[
{"path":"p","attributes":{"bsi::ifc::class":{"code":"IfcProject"}},"children":{"s":"s"}},
{"path":"s","attributes":{"bsi::ifc::class":{"code":"IfcBuildingStorey"},"usd::xformop":{"transform":[[1,0,0,0],[0,1,0,0],[0,0,1,0],[0,0,3,1]]}},"children":{"Wall A":"w","Wall B":"w"}},
{"path":"w","attributes":{"bsi::ifc::v5a::schema::class":{"code":"IfcWall"},"usd::xformop":{"transform":[[0,1,0,0],[-1,0,0,0],[0,0,1,0],[5,0,0,1]]},
 "usd::usdgeom::mesh":{"points":[[0,0,0],[2,0,0],[2,0.1,0],[0,0.1,0],[0,0,1],[2,0,1],[2,0.1,1],[0,0.1,1]],"faceVertexCounts":[4,4,4,4,4,4],
 "faceVertexIndices":[0,3,2,1, 4,5,6,7, 0,1,5,4, 1,2,6,5, 2,3,7,6, 3,0,4,7]}}},
{"path":"lonely","attributes":{"bsi::ifc::class":{"code":"IfcSlab"}},"children":{"Body":"b"}},{"path":"b"}]}`

func TestTransformsAndInstances(t *testing.T) {
	log := &source.Log{}
	b := build(t, log, []*source.File{{Name: "tiny.ifcx", Data: []byte(tiny)}})
	if len(b.Elements) != 2 || b.Elements[0].GlobalID == b.Elements[1].GlobalID || len(b.Elements[1].GlobalID) != 22 {
		t.Fatalf("two instances of one wall need two GlobalIds: %v", b.Elements)
	}
	// Row vectors: local x goes to y, local y to -x, then 5 m along x and 3 m up.
	box := b.Elements[0].Body().Box
	want := geom.Box{Min: geom.Vec3{X: 4.9, Y: 0, Z: 3}, Max: geom.Vec3{X: 5, Y: 2, Z: 4}}
	if box.Min.Sub(want.Min).Len()+box.Max.Sub(want.Max).Len() > 1e-9 {
		t.Errorf("box %v, want %v", box, want)
	}
	if v := volume(b.Elements[0]); v < 0.2-1e-9 || v > 0.2+1e-9 || b.Elements[0].Body().Solids[0].Open {
		t.Errorf("volume %g of a mesh of quadrilaterals, want 0.2, closed", v)
	}
	if b.Storeys[0].ElevationM != 3 {
		t.Errorf("storey at %g", b.Storeys[0].ElevationM)
	}
	outside := false
	for _, p := range log.All() {
		outside = outside || p.Code == "outside-project" && p.Entity == "lonely"
	}
	if !outside {
		t.Errorf("the slab outside the project must be named: %v", log.All())
	}
}

func TestBadDocuments(t *testing.T) {
	for name, tc := range map[string]struct {
		text string
		want []string
	}{
		"no JSON":           {`{"header": {}, "data": [`, []string{"bad.ifcx:1:", "ends too early"}},
		"no data":           {`{"header": {}}`, []string{"bad.ifcx:1:1", `"data" is missing`}},
		"data no list":      {`{"header": {}, "data": {}}`, []string{"bad.ifcx:1:", "data"}},
		"node without path": {"{\"header\": {}, \"data\": [\n{\"path\": \"a\"},\n{\"children\": {}}]}", []string{"bad.ifcx:3:1", "data[1]", `"path" is missing`}},
		"child is a number": {`{"header": {}, "data": [{"path": "a", "children": {"x": 3}}]}`, []string{"data[0].children.x"}},
		"path twice":        {`{"header": {}, "data": [{"path": "a", "path": "b"}]}`, []string{"stands here twice"}},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Read([]*source.File{{Name: "bad.ifcx", Data: []byte(tc.text)}}, &source.Log{})
			if err == nil {
				t.Fatal("want an error")
			}
			for _, w := range tc.want {
				if !strings.Contains(err.Error(), w) {
					t.Errorf("the error must say %q: %v", w, err)
				}
			}
		})
	}
}

// A single attribute that is wrong is left out and named; the rest is read.
func TestBadAttributes(t *testing.T) {
	for name, tc := range map[string]struct{ old, new, want string }{
		"class without code":   {`{"code":"IfcWall"}`, `{"kode":"IfcWall"}`, `"code" is missing`},
		"matrix of three":      {`,[5,0,0,1]]`, `]`, "transform"},
		"index out of range":   {"0,3,2,1,", "0,3,2,8,", "index 8, but there are 8 points"},
		"index not whole":      {"0,3,2,1,", "0,3,2,1.5,", "a whole number"},
		"point of two":         {"[2,0.1,1]", "[2,0.1]", "3 are wanted"},
		"counts do not add up": {"[4,4,4,4,4,4]", "[4,4,4,4,4,5]", "ask for more"},
		"points missing":       {`"points":`, `"pointz":`, "missing"},
		"text for a number":    {"[2,0.1,1]", `[2,0.1,"1"]`, "a number is wanted"},
	} {
		t.Run(name, func(t *testing.T) {
			text := strings.Replace(tiny, tc.old, tc.new, 1)
			if text == tiny {
				t.Fatal("the replacement does not apply")
			}
			log := &source.Log{}
			b := build(t, log, []*source.File{{Name: "tiny.ifcx", Data: []byte(text)}})
			found := false
			for _, p := range log.All() {
				found = found || p.Code == "attribute" && p.Entity == "w" && p.Line == 4 && strings.Contains(p.Text, tc.want) ||
					p.Code == "attribute" && p.Line == 5 && strings.Contains(p.Text, tc.want)
			}
			if !found {
				t.Errorf("want a problem that says %q: %v", tc.want, log.All())
			}
			if len(b.Storeys) != 1 {
				t.Error("the storey must still be read")
			}
		})
	}
}

// However many attributes are wrong, each is left out and the rest is read; of mistakes that
// refuse the file the first are told and the rest counted.
func TestManyMistakes(t *testing.T) {
	const n = 3000
	many := func(node string) []byte {
		nodes := strings.TrimSuffix(strings.Repeat(node+",\n", n), ",\n")
		return []byte("{\"header\": {}, \"data\": [\n" + nodes + "]}")
	}
	log := &source.Log{}
	if _, err := Read([]*source.File{{Name: "many.ifcx", Data: many(`{"path": "a", "attributes": {"bsi::ifc::class": 5}}`)}}, log); err != nil {
		t.Error(err)
	}
	if all := fmt.Sprint(log.All()); !strings.Contains(all, "an object is wanted, an integer found") {
		t.Errorf("problems %.500s", all)
	}
	_, err := Read([]*source.File{{Name: "many.ifcx", Data: many(`{"path": 5}`)}}, &source.Log{})
	if err == nil {
		t.Fatal("want an error")
	}
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != schema.Told+1 || !strings.HasPrefix(lines[0], "many.ifcx:2:10: data[0].path:") || lines[schema.Told] != fmt.Sprintf("many.ifcx: and %d more problems", n-schema.Told) {
		t.Errorf("%d lines: %s", len(lines), err)
	}
}

func BenchmarkReadPcert(b *testing.B) {
	p := filepath.Join("..", "..", "..", "shared", "data", "models", "pcert-architecture.ifcx")
	l, err := source.Load(p)
	if err != nil {
		b.Skip("sample is not here")
	}
	b.SetBytes(int64(len(l[0].Data)))
	for b.Loop() {
		if _, err := Read(l, &source.Log{}); err != nil {
			b.Fatal(err)
		}
	}
}
