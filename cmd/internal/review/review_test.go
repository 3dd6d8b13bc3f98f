package review

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/json"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/source"
	"voidcheck/schema"
)

var noon = time.Date(2026, 1, 31, 12, 0, 0, 0, time.UTC)

// written builds a house and writes it to a file.
func written(t testing.TB, h ifctest.House, d ifctest.Disguise) string {
	t.Helper()
	m, err := h.Build()
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := m.WriteSTEP(&b, d); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "house.ifc")
	if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}

func reviewed(t testing.TB, opt Options) *finding.Report {
	t.Helper()
	opt.Now = noon
	r, err := Run(context.Background(), opt)
	if err != nil {
		t.Fatal(err)
	}
	return r.Report
}

// row is a row of three with mistakes of several kinds.
func row() ifctest.House {
	h := ifctest.Row(3)
	h.Units[1].Width += 3 * ifctest.Foot
	h.Defects = []ifctest.Seed{
		{Kind: "block-missing", Separation: 0, Level: 1, Bay: 4, Side: "low"},
		{Kind: "block-missing", Separation: 0, Level: 1, Bay: 4, Side: "high"},
		{Kind: "block-missing", Separation: 1, Level: 1, Bay: 9, Side: "low"},
	}
	return h
}

// The same house in other units, moved, turned, mirrored or shuffled gives the same items
// under the same keys: the accuracy table of the solver's design asks for it.
func TestKeysUnderDisguise(t *testing.T) {
	plain := reviewed(t, Options{Models: []string{written(t, row(), ifctest.Disguise{})}})
	want := keyed(plain)
	if len(want) < 10 || !slices.ContainsFunc(plain.Items, func(i finding.Item) bool { return i.Outcome == finding.Deficient }) {
		t.Fatalf("%d items and nothing deficient: the house shows too little to compare", len(want))
	}
	for name, d := range disguises(t) {
		got := keyed(reviewed(t, Options{Models: []string{written(t, row(), d)}}))
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: items differ (-plain +disguised):\n%s", name, diff)
		}
	}
}

func disguises(t *testing.T) map[string]ifctest.Disguise {
	all := map[string]ifctest.Disguise{
		"feet, turned": {Unit: "ft", RotateDeg: 23},
	}
	if !testing.Short() {
		all["far away, shuffled"] = ifctest.Disguise{Shift: [3]float64{1e6, -2e6, 30}, Seed: 3}
		all["mirrored, metres"] = ifctest.Disguise{Unit: "m", Mirror: true, RotateDeg: 180, Baked: true}
	}
	return all
}

// keyed is what must not change: key, check, outcome, storey and what was measured. Texts
// name members, which a disguise may rename.
func keyed(r *finding.Report) []string {
	var out []string
	for i := range r.Items {
		it := &r.Items[i]
		s := fmt.Sprintf("%s %s %s %s", it.Key, it.Check, it.Outcome, it.Storey)
		if it.Measured != nil {
			s += fmt.Sprintf(" %.3f %s", it.Measured.Value, it.Measured.Unit)
		}
		out = append(out, s)
	}
	slices.Sort(out)
	return out
}

func TestFindingsOfSamples(t *testing.T) {
	models, err := filepath.Glob("../../../../shared/data/models/*.ifc")
	if err != nil {
		t.Fatal(err)
	}
	if len(models) == 0 {
		t.Skip("the open sample models are not beside the repository")
	}
	if testing.Short() {
		models = models[:2]
	}
	for _, name := range models {
		r := reviewed(t, Options{Models: []string{name}})
		var b bytes.Buffer
		if err := json.Write(&b, r); err != nil {
			t.Fatal(err)
		}
		for _, p := range schema.Validate("findings", b.Bytes()) {
			t.Errorf("%s: findings fail their schema: %s", filepath.Base(name), p)
			break
		}
		if len(r.MissingChecks) > 0 {
			t.Errorf("%s: checks broke: %v", filepath.Base(name), r.MissingChecks)
		}
		if len(r.Items) == 0 {
			t.Errorf("%s: no items: not even what the model lacks", filepath.Base(name))
		}
	}
}

func TestFold(t *testing.T) {
	p := func(file, code, entity string) source.Problem {
		return source.Problem{File: file, Code: code, Entity: entity, Text: "something is odd"}
	}
	got := Fold([]source.Problem{
		p("a.ifc", "odd", "#1"), p("a.ifc", "odd", "#2"), p("a.ifc", "odd", "#3"), p("a.ifc", "odd", "#4"), p("a.ifc", "other", "#5"), p("b.ifc", "odd", "#6"),
	}, []string{"w", "w"})
	want := []finding.Problem{
		{Code: "odd", Text: "a.ifc: #1: something is odd (and 3 more like it: #2, #3, ...)", Count: 4},
		{Code: "other", Text: "a.ifc: #5: something is odd", Count: 1},
		{Code: "odd", Text: "b.ifc: #6: something is odd", Count: 1},
		{Code: "solver", Text: "w", Count: 2},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

// The whole run over rows of more and more units.
func BenchmarkReview(b *testing.B) {
	for _, n := range []int{2, 5, 10, 20, 50, 125} { // choose with -bench Review/units=50
		b.Run(fmt.Sprintf("units=%d", n), func(b *testing.B) {
			name := written(b, ifctest.Row(n), ifctest.Disguise{})
			info, err := os.Stat(name)
			if err != nil {
				b.Fatal(err)
			}
			b.SetBytes(info.Size())
			b.ReportAllocs()
			for b.Loop() {
				reviewed(b, Options{Models: []string{name}})
			}
		})
	}
}
