package ifcx_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"voidcheck/ifcx"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/source"
	"voidcheck/ifcx/step"
)

// rows returns the numbers of units of the rows that benchmarks use: those in the environment
// variable VOIDCHECK_ROWS ("20 125 500"; 1 unit is 0.2 MB of STEP), else one of 20.
func rows(b *testing.B) []int {
	b.Helper()
	out := []int{}
	for _, w := range strings.Fields(os.Getenv("VOIDCHECK_ROWS")) {
		n, err := strconv.Atoi(w)
		if err != nil || n < 1 {
			b.Fatalf("VOIDCHECK_ROWS: %q is no number of units", w)
		}
		out = append(out, n)
	}
	if len(out) == 0 {
		return []int{20}
	}
	return out
}

// perRow runs a benchmark for the STEP file of every row.
func perRow(b *testing.B, run func(b *testing.B, path string)) {
	for _, n := range rows(b) {
		b.Run(fmt.Sprintf("units=%d", n), func(b *testing.B) {
			path := filepath.Join(b.TempDir(), "row.ifc")
			var data bytes.Buffer
			if err := ifctest.Row(n).MustBuild().WriteSTEP(&data, ifctest.Disguise{Schema: "IFC4", Unit: "mm"}); err != nil {
				b.Fatal(err)
			}
			if err := os.WriteFile(path, data.Bytes(), 0o600); err != nil {
				b.Fatal(err)
			}
			b.SetBytes(int64(data.Len()))
			b.ReportAllocs()
			run(b, path)
		})
	}
}

// BenchmarkRowIndex maps a row and indexes its instances.
func BenchmarkRowIndex(b *testing.B) {
	perRow(b, func(b *testing.B, path string) {
		for b.Loop() {
			index(b, path)
		}
	})
}

func index(b *testing.B, path string) *graph.Graph {
	files, err := source.Load(path)
	if err != nil {
		b.Fatal(err)
	}
	g, err := step.Read(files[0], &source.Log{})
	if err != nil {
		b.Fatal(err)
	}
	return g
}

// BenchmarkRowOutline is what intake does: the index, and what it says of storeys, units and elements.
func BenchmarkRowOutline(b *testing.B) {
	perRow(b, func(b *testing.B, path string) {
		for b.Loop() {
			if _, err := ifcx.Outline(context.Background(), []string{path}, ifcx.Options{}); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkRowResolve follows every reference of every instance of a row.
func BenchmarkRowResolve(b *testing.B) {
	perRow(b, func(b *testing.B, path string) {
		g := index(b, path)
		var to []graph.ID
		for b.Loop() {
			lost := 0
			for _, id := range g.All() {
				for _, a := range g.Entity(id).Attrs {
					to = g.AppendRefs(to[:0], id, a.Name)
					for _, x := range to {
						if !g.Has(x) {
							lost++
						}
					}
				}
			}
			if lost > 0 {
				b.Fatalf("%d references lead nowhere", lost)
			}
		}
	})
}

// BenchmarkRowOpen makes a building of a row.
func BenchmarkRowOpen(b *testing.B) {
	perRow(b, func(b *testing.B, path string) {
		for b.Loop() {
			if _, err := ifcx.Open(context.Background(), []string{path}, ifcx.Options{}); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkRowGeometry computes the bodies of a row.
func BenchmarkRowGeometry(b *testing.B) {
	perRow(b, func(b *testing.B, path string) {
		for b.Loop() {
			b.StopTimer()
			m, err := ifcx.Open(context.Background(), []string{path}, ifcx.Options{})
			if err != nil {
				b.Fatal(err)
			}
			b.StartTimer()
			if err := m.Bodies(context.Background(), 0); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkRowXML opens a row in ifcXML.
func BenchmarkRowXML(b *testing.B) {
	for _, n := range rows(b) {
		b.Run(fmt.Sprintf("units=%d", n), func(b *testing.B) {
			path := filepath.Join(b.TempDir(), "row.ifcxml")
			var data bytes.Buffer
			if err := ifctest.Row(n).MustBuild().WriteXML(&data, ifctest.Disguise{Schema: "IFC4", Unit: "mm"}); err != nil {
				b.Fatal(err)
			}
			if err := os.WriteFile(path, data.Bytes(), 0o600); err != nil {
				b.Fatal(err)
			}
			b.SetBytes(int64(data.Len()))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := ifcx.Outline(context.Background(), []string{path}, ifcx.Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
