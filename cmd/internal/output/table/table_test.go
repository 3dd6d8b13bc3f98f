package table

import (
	"bytes"
	"flag"
	"os"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"
	"github.com/google/go-cmp/cmp"
	"github.com/olekukonko/tablewriter/pkg/twwidth"
	"pgregory.net/rapid"

	"voidcheck/checks/finding"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// sample is an invented report with names made to break outputs.
func sample(t *testing.T) *finding.Report {
	t.Helper()
	data, err := os.ReadFile("../../../../testdata/findings/sample.json")
	if err != nil {
		t.Fatal(err)
	}
	var r finding.Report
	if err := json.Unmarshal(data, &r, json.RejectUnknownMembers(true)); err != nil {
		t.Fatal(err)
	}
	return &r
}

func print(t *testing.T, r *finding.Report) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, r); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestGolden(t *testing.T) {
	for _, sys := range []string{"us", "si"} {
		r := sample(t)
		r.Run.Units = sys
		got := print(t, r)
		name := "testdata/sample-" + sys + ".txt"
		if *update {
			if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(string(want), got); d != "" {
			t.Errorf("%s differs (-want +got):\n%s", name, d)
		}
		if again := print(t, r); again != got {
			t.Error("the second print differs from the first")
		}
	}
}

func TestFitsAndIsHarmless(t *testing.T) {
	got := print(t, sample(t))
	for i, l := range strings.Split(got, "\n") {
		if w := twwidth.Width(l); w > width {
			t.Errorf("line %d is %d wide: %s", i+1, w, l)
		}
		if strings.TrimRight(l, " ") != l {
			t.Errorf("line %d ends in blanks", i+1)
		}
	}
	for _, r := range got {
		if r < ' ' && r != '\n' || r == '\u202e' {
			t.Errorf("the output holds %U", r)
		}
	}
	if strings.Contains(got, "This attic of 710 ft2") {
		t.Error("an item that meets is listed")
	}
}

// Nothing that a comment says may be cut off: every character of the long name is there.
func TestNothingIsLost(t *testing.T) {
	r := sample(t)
	flat := func(s string) string { return strings.Join(strings.Fields(s), "") }
	got := flat(strings.NewReplacer("|", "").Replace(print(t, r)))
	for _, c := range r.Comments {
		for i, k := range c.Items {
			for _, it := range r.Items {
				if it.Key == k && c.Outcome != finding.Exempt && c.Outcome != finding.Note && i < mostPlaces {
					if want := flat(finding.Clean(it.Place)); !strings.Contains(got, want) {
						t.Errorf("place %q is not in the output", it.Place)
					}
				}
			}
		}
		if want := flat(finding.Clean(c.Text)); !strings.Contains(got, want) && c.Outcome != finding.Exempt {
			t.Errorf("comment %d is cut: %q", c.Number, c.Text)
		}
	}
	for _, c := range r.Cautions {
		if !strings.Contains(got, flat(c)) {
			t.Errorf("caution %q is not in the output", c)
		}
	}
}

func TestWrapLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOf(rapid.SampledFrom([]rune("ab cé屋🏠-"))).Draw(t, "text")
		w := rapid.IntRange(2, 12).Draw(t, "width")
		lines := Wrap(s, w)
		for _, l := range lines {
			if twwidth.Width(l) > w {
				t.Fatalf("%q is wider than %d", l, w)
			}
		}
		flat := func(s string) string { return strings.ReplaceAll(s, " ", "") }
		if flat(strings.Join(lines, "")) != flat(s) {
			t.Fatalf("%q became %q", s, lines)
		}
	})
}
