package shape

import (
	"go/constant"
	"go/token"
	"go/types"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
	"voidcheck/ifcx/step"
)

// read makes the graph of a STEP text.
func read(t testing.TB, name string, data []byte) (*graph.Graph, *source.Log) {
	t.Helper()
	log := &source.Log{}
	g, err := step.Read(&source.File{Name: name, Data: data}, log)
	if err != nil {
		t.Fatal(err)
	}
	return g, log
}

// value computes a closed formula such as "pi*0.1*0.1*2", in exact arithmetic.
func value(t *testing.T, formula string) float64 {
	t.Helper()
	formula = regexp.MustCompile(`\bpi\b`).ReplaceAllString(formula, "3.14159265358979323846")
	formula = regexp.MustCompile(`\b(\d+)\b([^.]|$)`).ReplaceAllString(formula, "$1$2")
	tv, err := types.Eval(token.NewFileSet(), nil, token.NoPos, "1.0*("+formula+")")
	if err != nil {
		t.Fatalf("%q: %v", formula, err)
	}
	f, _ := constant.Float64Val(constant.ToFloat(tv.Value))
	return f
}

var (
	wantLine = regexp.MustCompile(`^#(\d+)=.*; /\* want (.*) \*/$`)
	wantPart = regexp.MustCompile(`(volume|within|box|problem|open)\s*`)
)

// TestItems reads the fragments of testdata/items. What is wanted of an item stands behind
// it as a comment: its volume as a closed formula, with the part of it that chords may take
// or add ("within 0.003"), its box, that it does not close, or the problem it gives.
func TestItems(t *testing.T) {
	files, _ := filepath.Glob("testdata/items/*.ifc")
	if len(files) < 9 {
		t.Fatalf("%d fragments", len(files))
	}
	for _, f := range files {
		t.Run(filepath.Base(f), func(t *testing.T) {
			data, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			g, log := read(t, filepath.Base(f), data)
			b := New(g, log)
			n := 0
			for _, line := range strings.Split(string(data), "\n") {
				if m := wantLine.FindStringSubmatch(line); m != nil {
					id, _ := strconv.Atoi(m[1])
					checkItem(t, b, graph.ID(id), m[2])
					n++
				}
			}
			if n == 0 {
				t.Error("nothing is wanted of any item")
			}
			for _, p := range log.All() {
				t.Errorf("unexpected: %v", p)
			}
		})
	}
}

func checkItem(t *testing.T, b *Builder, id graph.ID, want string) {
	t.Helper()
	name := label(b.g, id)
	e := b.eval()
	parts, err := e.item(id)
	w := wants(wantPart, want)
	if p, ok := w["problem"]; ok {
		if err == nil && len(e.faults) > 0 { // inside a mapped representation
			err = e.faults[0]
		}
		if err == nil || !strings.Contains(err.Error(), p) {
			t.Errorf("%s: got %v, want the problem %q", name, err, p)
		}
		return
	}
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	v, box := 0.0, geom.EmptyBox()
	for _, p := range parts {
		m, trouble := p.solid()
		for _, x := range trouble {
			t.Errorf("%s: %s", name, x)
		}
		_, open := w["open"]
		if p.open != open {
			t.Errorf("%s: open is %v", name, p.open)
		}
		if !open && !m.IsClosed() {
			t.Errorf("%s: the mesh does not close", name)
		}
		v += m.Volume()
		box = box.Join(m.Box())
	}
	for _, f := range e.faults {
		t.Errorf("%s: %v", name, f)
	}
	within := 1e-9
	if x, ok := w["within"]; ok {
		within = value(t, x)
	}
	if x, ok := w["volume"]; ok {
		if f := value(t, x); math.Abs(v-f) > within*f {
			t.Errorf("%s: volume %.9g, want %s = %.9g (off by %.3g %%)", name, v, x, f, 100*(v-f)/f)
		}
	}
	if x, ok := w["box"]; ok {
		got := [6]float64{box.Min.X, box.Min.Y, box.Min.Z, box.Max.X, box.Max.Y, box.Max.Z}
		for i, c := range strings.Split(x, ",") {
			if math.Abs(got[i]-value(t, c)) > max(1e-8, math.Min(within, 0.002)) {
				t.Errorf("%s: box %.4f, want %s", name, got, x)
				break
			}
		}
	}
}
