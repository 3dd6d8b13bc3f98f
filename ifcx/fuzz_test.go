package ifcx_test

import (
	"context"
	"os"
	"strings"
	"testing"

	"voidcheck/ifcx"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/source"
)

// FuzzOpen feeds whole files of any kind through opening, federation, properties and
// geometry: nothing may panic or hang, an error names the file, and no geometry is without
// bounds.
func FuzzOpen(f *testing.F) {
	for _, d := range []ifctest.Disguise{{Schema: "IFC2X3"}, {Unit: "ft", Geometry: "mesh"}} {
		frag := ifctest.NewFragment(d)
		frag.Product("IfcWall", "W", []ifctest.Prism{ifctest.Box(ifctest.Span{Hi: 3}, ifctest.Span{Hi: 0.1}, ifctest.Span{Hi: 2.4}, ifctest.X)}, enumOf(d)...)
		f.Add(frag.Bytes())
		var b strings.Builder
		if err := frag.WriteXML(&b); err != nil {
			f.Fatal(err)
		}
		f.Add([]byte(b.String()))
	}
	for _, n := range []string{"gable-wall-to-roof.ifc", "wall-opening-window-ifc4add2.ifcxml", "wall-opening-window-ifcxml.ifczip", "four-walls-step.ifczip", "hello-wall.ifcx"} {
		if d, err := os.ReadFile("../../shared/data/models/" + n); err == nil {
			f.Add(d)
		}
	}
	f.Fuzz(func(t *testing.T, d []byte) {
		files, err := source.FromBytes("f", d)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "f") {
				t.Errorf("error without the file's name: %v", err)
			}
			return
		}
		log := &source.Log{}
		b, err := ifcx.OpenFiles(context.Background(), files, ifcx.Options{Log: log})
		if err != nil {
			if !strings.HasPrefix(err.Error(), "f") {
				t.Errorf("error without the file's name: %v", err)
			}
			return
		}
		if err := b.Bodies(context.Background(), 1); err != nil {
			t.Fatal(err)
		}
		for _, e := range b.Elements {
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

// enumOf is what IfcWall has after its Tag in the schema of a disguise.
func enumOf(d ifctest.Disguise) []any {
	if d.Schema == "IFC2X3" {
		return nil
	}
	return []any{ifctest.Enum("STANDARD")}
}
