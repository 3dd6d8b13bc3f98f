package separationboxes

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/lexicon"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx"
	"voidcheck/ifcx/source"
)

// The open two-dwelling model with its electrical model in feet: six receptacles stand in unit
// separations; 575434 and 575438 exactly back to back, 575406 and 575424 in opposite faces
// 0.06 m apart, the other two alone (check values of an independent reader, 0.0625 m by its
// coordinates).
func TestDuplex(t *testing.T) {
	dir := filepath.FromSlash("../../../../shared/data/models")
	var files []string
	for _, n := range []string{"duplex-arch.ifc", "duplex-electrical.ifc"} {
		f := filepath.Join(dir, n)
		if _, err := os.Stat(f); err != nil {
			t.Skip("the open sample models are not beside the repository")
		}
		files = append(files, f)
	}
	m, err := ifcx.Open(context.Background(), files, ifcx.Options{Log: &source.Log{}})
	if err != nil {
		t.Fatal(err)
	}
	b, err := recognise.Recognise(context.Background(), m, lexicon.Default(), adoption.Facts{})
	if err != nil {
		t.Fatal(err)
	}
	limits, err := checktest.Limits(Check)
	if err != nil {
		t.Fatal(err)
	}
	var got []checks.Report
	p := &checks.Pass{Check: Check, Building: b, Voids: &void.Result{}, Limits: limits, Report: func(r checks.Report) { got = append(got, r) }}
	if err := run(context.Background(), p); err != nil {
		t.Fatal(err)
	}
	tags := func(r checks.Report) string {
		var s []string
		for _, e := range r.Elements {
			n := b.Model.Elements[e].Name
			if strings.Contains(n, "Receptacle") {
				s = append(s, n[strings.LastIndex(n, ":")+1:])
			}
		}
		return strings.Join(s, "+")
	}
	want := map[string]float64{"575434+575438": 0, "575438+575434": 0, "575406+575424": 0.0625, "575424+575406": 0.0625}
	pairs, boxes := 0, map[string]bool{}
	for _, r := range got {
		for _, s := range strings.Split(tags(r), "+") {
			boxes[s] = true
		}
		if r.Outcome != finding.Deficient {
			continue
		}
		d, ok := want[tags(r)]
		if !ok || r.Measured == nil || r.Measured.Value < d-0.002 || r.Measured.Value > d+0.002 {
			t.Errorf("deficient: %s, %+v: %s", tags(r), r.Measured, r.Message)
			continue
		}
		pairs++
	}
	if pairs != 2 {
		t.Errorf("%d pairs, want 2:\n%s", pairs, checktest.Summary(got))
	}
	for _, s := range []string{"575406", "575424", "575434", "575438", "575476", "575477"} {
		if !boxes[s] {
			t.Errorf("receptacle %s is not seen in a separation", s)
		}
	}
	if len(boxes) != 6 {
		t.Errorf("boxes %v, want six", boxes)
	}
}
