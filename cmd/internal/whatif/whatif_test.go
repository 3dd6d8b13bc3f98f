package whatif_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/catalogue"
	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/review"
	"voidcheck/cmd/internal/whatif"
	"voidcheck/ifcx/ifctest"
	"voidcheck/schema"
)

func written(t testing.TB, h ifctest.House) string {
	t.Helper()
	m, err := h.Build()
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := m.WriteSTEP(&b, ifctest.Disguise{}); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "house.ifc")
	if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}

func adopt(t testing.TB, checksText string) (file string, a *adoption.Adoption) {
	t.Helper()
	text := `{"format": "voidcheck-adoption-1", "name": "trial", "checks": ` + checksText + `}`
	file = filepath.Join(t.TempDir(), "trial.json")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	a, err := review.ReadAdoption(file)
	if err != nil {
		t.Fatal(err)
	}
	return file, a
}

// house has defects of different sizes, so that limits matter.
func house(seed int64) ifctest.House {
	h := ifctest.Random(seed, 4)
	h.Units = h.Units[:2]
	h.Storeys = min(h.Storeys, 2)
	var fit []ifctest.Seed
	for _, s := range h.Defects {
		trial := h
		trial.Defects = append(slices.Clone(fit), s)
		if _, err := trial.Build(); err == nil {
			fit = append(fit, s)
		}
	}
	h.Defects = fit
	return h
}

const tight = `{"floor-draftstop-area": {"max-area": "250 ft2"}, "attic-draftstop-area": {"max-area": "600 ft2", "max-units": 1},
	"floor-draftstop-line": {"max-gap": "3 in"}, "draftstop-complete": {"on": false}, "wall-fireblock-run": {"max-run": "6 ft", "max-rise": "8 ft"},
	"separation-continuity": {"exempt": [{"when": {"units": {"max": 2}}, "because": "trial exception"}]}}`

// Judging a model read once says the same as a review of its own under each adoption.
func TestJudgedAsReviewed(t *testing.T) {
	file, a := adopt(t, tight)
	defaults, err := review.ReadAdoption("")
	if err != nil {
		t.Fatal(err)
	}
	amended := "../../../testdata/adoptions/ostrel.json"
	other, err := review.ReadAdoption(amended)
	if err != nil {
		t.Fatal(err)
	}
	for seed := range int64(3) {
		if testing.Short() && seed > 0 {
			break
		}
		name := written(t, house(seed))
		m, err := review.Load(context.Background(), review.Options{Models: []string{name}})
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []struct {
			file string
			a    *adoption.Adoption
		}{{file, a}, {"", defaults}, {amended, other}, {file, a}} {
			out, err := m.Judge(context.Background(), x.a, measure.US)
			if err != nil {
				t.Fatal(err)
			}
			r, err := review.Run(context.Background(), review.Options{Models: []string{name}, Adoption: x.file, Now: time.Unix(0, 0)})
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(r.Report.Items, out.Items); d != "" {
				t.Errorf("seed %d, adoption %q (-reviewed +judged):\n%s", seed, x.file, d)
			}
		}
	}
}

// outcomes lists changes without what depends on their source.
func outcomes(m whatif.Model, only string) []string {
	var out []string
	for _, c := range m.Changes {
		if strings.HasPrefix(c.Check, only) {
			out = append(out, fmt.Sprintf("%s %s %s -> %s", c.Check, c.Place, c.A, c.B))
		}
	}
	slices.Sort(out)
	return out
}

func compare(t testing.TB, h ifctest.House, a, b *adoption.Adoption) (fromModel, fromFindings whatif.Model, c *whatif.Comparison) {
	t.Helper()
	name := written(t, h)
	m, err := review.Load(context.Background(), review.Options{Models: []string{name}})
	if err != nil {
		t.Fatal(err)
	}
	var outs []*checks.Output
	for _, x := range []*adoption.Adoption{a, b} {
		out, err := m.Judge(context.Background(), x, measure.US)
		if err != nil {
			t.Fatal(err)
		}
		outs = append(outs, out)
	}
	r, err := review.Run(context.Background(), review.Options{Models: []string{name}, Now: time.Unix(0, 0)})
	if err != nil {
		t.Fatal(err)
	}
	c = whatif.New(a, b, catalogue.Checks())
	c.Tool, c.Units = finding.Tool{Version: "test"}, "us"
	fromModel = c.Judged("model", outs[0], outs[1])
	fromFindings = c.Past("findings", r.Report, a, b, catalogue.Checks())
	c.Add(fromModel)
	c.Add(fromFindings)
	c.Finish(catalogue.Checks())
	return fromModel, fromFindings, c
}

// A lower area limit: the voids over it change from meets to deficient, told alike from the
// model and from the findings of a past review, with the limit as the reason.
func TestLowerAreaLimit(t *testing.T) {
	h := ifctest.Row(2)
	h.Depth = 30 * ifctest.Foot
	h.Units[1].Width = 16 * ifctest.Foot
	defaults, err := review.ReadAdoption("")
	if err != nil {
		t.Fatal(err)
	}
	_, a := adopt(t, `{"floor-draftstop-area": {"max-area": "500 ft2"}}`)
	model, past, c := compare(t, h, defaults, a)
	// Unit 1 has 24 x 30 = 720 ft2 of floor void, unit 2 16 x 30 = 480.
	want := []string{"floor-draftstop-area floor void of U1 meets -> deficient"}
	if d := cmp.Diff(want, outcomes(model, "")); d != "" {
		t.Errorf("from the model (-want +got):\n%s", d)
	}
	if d := cmp.Diff(want, outcomes(past, "")); d != "" {
		t.Errorf("from findings (-want +got):\n%s", d)
	}
	if len(model.Changes) == 1 && model.Changes[0].Why != "max-area 1000 ft2 -> 500 ft2" {
		t.Errorf("why: %q", model.Changes[0].Why)
	}
	if len(c.Totals) != 1 || c.Totals[0].Items != 2 || c.Totals[0].Models != 2 {
		t.Errorf("totals %+v", c.Totals)
	}
	checkOutputs(t, c)
}

// Exemptions, switches and gaps.
func TestExemptionsSwitchesAndGaps(t *testing.T) {
	h := ifctest.Row(2)
	h.Depth = 24 * ifctest.Foot
	h.Defects = []ifctest.Seed{
		{Kind: "block-missing", Side: "low", Level: 1, Bay: 3},
		{Kind: "level-block-missing", Level: 1, Part: "floor", At: 2, Size: 1}, // 1 in wide
	}
	defaults, err := review.ReadAdoption("")
	if err != nil {
		t.Fatal(err)
	}
	_, a := adopt(t, `{"wall-fireblock-level": {"max-gap": "2 in"}, "floor-draftstop-line": {"exempt": [{"when": {"units": {"max": 2}}, "because": "trial exception"}]}, "separation-continuity": {"on": false}}`)
	model, past, c := compare(t, h, defaults, a)
	for name, m := range map[string]whatif.Model{"model": model, "findings": past} {
		got := map[string]string{}
		for _, x := range m.Changes {
			got[x.Check] = fmt.Sprintf("%s -> %s", x.A, x.B)
		}
		if got["floor-draftstop-line"] != "deficient -> exempt" {
			t.Errorf("%s: exemption: %q", name, got["floor-draftstop-line"])
		}
		if s := got["wall-fireblock-level"]; s != "deficient -> " && s != "deficient -> meets" {
			t.Errorf("%s: gap of 1 in under a limit of 2 in: %q", name, s)
		}
		if got["separation-continuity"] != "deficient -> " {
			t.Errorf("%s: switched off: %q", name, got["separation-continuity"])
		}
	}
	checkOutputs(t, c)
	// The other way round the findings cannot know what a narrower gap would show.
	_, narrow := adopt(t, `{"wall-fireblock-level": {"max-gap": "1/8 in"}}`)
	_, past, _ = compare(t, h, defaults, narrow)
	if !slices.ContainsFunc(past.Untold, func(s string) bool { return strings.Contains(s, "wall-fireblock-level max-gap was 1/2 in then") }) {
		t.Errorf("untold: %q", past.Untold)
	}
}

func checkOutputs(t *testing.T, c *whatif.Comparison) {
	t.Helper()
	var b bytes.Buffer
	if err := whatif.WriteJSON(&b, c); err != nil {
		t.Fatal(err)
	}
	for _, p := range schema.Validate("whatif", b.Bytes()) {
		t.Errorf("JSON: %s", p)
	}
	b.Reset()
	if err := whatif.WriteTable(&b, c); err != nil {
		t.Fatal(err)
	}
	for n, l := range strings.Split(b.String(), "\n") {
		if len([]rune(l)) > 100 {
			t.Errorf("line %d has %d columns: %s", n+1, len([]rune(l)), l)
		}
	}
}

// Judging a model again whose voids are known.
func BenchmarkJudgeAgain(b *testing.B) {
	m, err := review.Load(context.Background(), review.Options{Models: []string{"../../../testdata/demo/row-architecture.ifc", "../../../testdata/demo/row-services.ifc"}})
	if err != nil {
		b.Fatal(err)
	}
	_, a := adopt(b, `{"floor-draftstop-area": {"max-area": "500 ft2"}}`)
	if _, err := m.Judge(context.Background(), a, measure.US); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Judge(context.Background(), a, measure.US); err != nil {
			b.Fatal(err)
		}
	}
}
