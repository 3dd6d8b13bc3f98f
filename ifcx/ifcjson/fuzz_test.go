package ifcjson

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voidcheck/ifcx/model"
	"voidcheck/ifcx/source"
)

// FuzzRead feeds one or two layers through composition, building and geometry: nothing may
// panic or hang, an error names a file, and every problem has a text and a code.
func FuzzRead(f *testing.F) {
	f.Add([]byte(tiny), []byte(`{"header":{},"data":[{"path":"w","attributes":{"bsi::ifc::prop::Name":null,"usd::xformop":{"transform":[[0,1,0,0],[-1,0,0,0],[0,0,1,0],[5,0,1e9,1]]}}}]}`))
	f.Add([]byte(`{"header":{"id":"a"},"imports":[{"uri":"b"}],"data":[{"path":"p","children":{"x":"q/r","y":null},"inherits":{"t":"p"}},{"path":"q","children":{"r":"p"},"attributes":{"bsi::ifc::class":{"code":"IfcZone"}}}]}`), []byte{})
	f.Add([]byte(`{"header":{},"data":[{"path":"p","attributes":{"bsi::ifc::class":{"code":"IfcWallSTANDARD"},"usd::usdgeom::mesh":{"points":[[0,0,0],[1,0,0],[0,1,0],[0,0,1]],"faceVertexIndices":[0,1,2,3],"faceVertexCounts":[4]}}}]}`), []byte(`{"header":{},"data":[{"path":"p/q","attributes":{"a":[[1,"x",null,true]]}}]}`))
	for _, n := range []string{"hello-wall.ifcx", "hello-wall-overlay-firerating60.ifcx"} {
		if d, err := os.ReadFile(filepath.Join("..", "..", "..", "shared", "data", "models", n)); err == nil {
			f.Add(d, []byte{})
		}
	}
	f.Fuzz(func(t *testing.T, a, b []byte) {
		log := &source.Log{}
		files := []*source.File{{Name: "a.ifcx", Data: a, Kind: source.IFC5}}
		if len(b) > 0 {
			files = append(files, &source.File{Name: "b.ifcx", Data: b, Kind: source.IFC5})
		}
		c, err := Read(files, log)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "a.ifcx:") && !strings.HasPrefix(err.Error(), "b.ifcx:") {
				t.Errorf("error without a file's name: %v", err)
			}
			return
		}
		bld := model.Federate(c, log)
		for _, e := range bld.Elements {
			if body := e.Body(); body != nil && !model.Near(body) {
				t.Errorf("%s has geometry without bounds", e.GlobalID)
			}
			e.Props()
		}
		for _, p := range log.All() {
			if p.Text == "" || p.Code == "" {
				t.Errorf("problem without text or code: %+v", p)
			}
		}
	})
}
