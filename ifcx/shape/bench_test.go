package shape_test

import (
	"os"
	"path/filepath"
	"testing"

	"voidcheck/ifcx/shape"
	"voidcheck/ifcx/source"
	"voidcheck/ifcx/step"
)

// BenchmarkModel makes every body of a sample model, attributes parsed anew each time.
func BenchmarkModel(b *testing.B) {
	dir := models(b)
	files, _ := filepath.Glob(filepath.Join(dir, "*.ifc"))
	for _, f := range files {
		b.Run(filepath.Base(f), func(b *testing.B) {
			data, err := os.ReadFile(f)
			if err != nil {
				b.Skip(err)
			}
			b.ReportAllocs()
			b.SetBytes(int64(len(data)))
			solids := 0
			for b.Loop() {
				b.StopTimer()
				log := &source.Log{}
				g, err := step.Read(&source.File{Name: filepath.Base(f), Data: data}, log)
				if err != nil {
					b.Fatal(err)
				}
				b.StartTimer()
				m := shape.New(g, log)
				solids = 0
				for _, p := range g.ByType("IfcProduct", true) {
					place, _ := shape.Placement(g, g.Ref(p, "ObjectPlacement"), m.Unit())
					if body := m.Body(p, place); body != nil {
						solids += len(body.Solids)
					}
				}
			}
			b.ReportMetric(float64(solids), "solids")
		})
	}
}
