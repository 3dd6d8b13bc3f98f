package preplan

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/fixture"
	"voidcheck/cmd/internal/output/paper"
	"voidcheck/cmd/internal/output/words"
	"voidcheck/ifcx/ifctest"
)

// One page, whatever the building.
func TestOnePage(t *testing.T) {
	reports := map[string]*finding.Report{"demo": fixture.Demo(t), "layered": fixture.Layered(t), "sample": fixture.Hostile(t), "long names": fixture.Renamed(t, strings.Repeat("long ", 30)), "empty": {}}
	if !testing.Short() {
		reports["row of 12"] = row(t, 12)
		for _, m := range []string{"duplex-arch", "us-house-2x-layers"} {
			file := "../shared/data/models/" + m + ".ifc"
			if _, err := os.Stat(fixture.Root + file); err != nil {
				t.Logf("the open sample models are not beside the repository: %s is left out", m)
				continue
			}
			reports[m] = fixture.Reviewed(t, file)
		}
	}
	for name, r := range reports {
		d, err := Make(r)
		if err != nil {
			t.Fatal(err)
		}
		if n, err := paper.Pages(d); n != 1 || err != nil {
			t.Errorf("%s: %d pages, %v", name, n, err)
		}
		for _, f := range []paper.Format{paper.HTML, paper.PDF, paper.DOCX} {
			var b bytes.Buffer
			if err := paper.Write(&b, d, f); err != nil {
				t.Errorf("%s, %s: %v", name, f, err)
			}
		}
	}
}

func row(t *testing.T, n int) *finding.Report {
	t.Helper()
	m, err := ifctest.Row(n).Build()
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := m.WriteSTEP(&b, ifctest.Disguise{}); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "row.ifc")
	if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	abs, err := filepath.Abs(fixture.Root)
	if err != nil {
		t.Fatal(err)
	}
	rel, err := filepath.Rel(abs, name)
	if err != nil {
		t.Fatal(err)
	}
	return fixture.Reviewed(t, rel)
}

// What the sheet says of the demo, against its seeded mistakes (testdata/README.md) and the
// truth that its builder writes (row-truth.json: floor voids 20 in deep, attics 11 ft).
func TestDemo(t *testing.T) {
	r := fixture.Demo(t)
	b := words.New(r)
	var all []string
	for _, x := range voids(b, room{lines: 12}).Rows {
		line := ""
		for _, c := range x.Cells {
			line += c.Text + "|"
		}
		all = append(all, line)
	}
	all = append(all, connected(b)...)
	all = append(all, stops(b)...)
	all = append(all, services(b)...)
	got := strings.Join(all, "\n")
	for _, want := range []string{
		"|Level 2|U1, U2, U3, U4, U5|open-web trusses at 2'-0\"|11'-0\"|", `|1'-8"|918 ft2 to 1,078 ft2|`, "Cavities of unit separations (12)",
		"2 bays without a block. Fire in one reaches the concealed spaces of U1 and U2.", "1 open stretch above a unit line. Fire in one reaches the concealed spaces of U2 and U3.",
		"Unit line U1/U2: floor voids OPEN at 2 places; attic stopped", "Unit line U2/U3: floor voids stopped; attic OPEN at 1 place",
		"is divided into 2 parts: 526 ft2 and 551 ft2.", "1 duct (Duct 1)",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in\n%s", want, got)
		}
	}
	d, err := Make(r)
	if err != nil {
		t.Fatal(err)
	}
	var page bytes.Buffer
	if err := paper.Write(&page, d, paper.HTML); err != nil {
		t.Fatal(err)
	}
	for _, c := range r.Cautions {
		if !strings.Contains(page.String(), strings.ReplaceAll(c, `"`, "&#34;")) {
			t.Errorf("a caution is missing: %s", c)
		}
	}
	if n := strings.Count(page.String(), "<svg"); n != 4 {
		t.Errorf("%d drawings, want attic, floor and two sections", n)
	}
}

func TestCounted(t *testing.T) {
	for _, tt := range []struct {
		n    int
		way  string
		want string
	}{
		{1, "bay without a block", "1 bay without a block"}, {2, "bay without a block", "2 bays without a block"}, {3, "cavity open through a level", "3 cavities open through a level"},
		{2, "open stretch above a unit line", "2 open stretches above a unit line"}, {2, "hole", "2 holes"}, {2, "odd", "2 times odd"},
	} {
		if got := counted(tt.n, tt.way); got != tt.want {
			t.Errorf("%d %s: %q, want %q", tt.n, tt.way, got, tt.want)
		}
	}
}

// A long list says how much it leaves out.
func TestShort(t *testing.T) {
	var list paper.List
	for i := range 9 {
		list = append(list, fmt.Sprint(i))
	}
	got := short(list, room{lines: 4})
	if len(got) != 5 || got[4] != "and 5 more; the report lists all" || len(list) != 9 || list[4] != "4" {
		t.Errorf("%q of %q", got, list)
	}
}
