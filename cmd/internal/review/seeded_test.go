package review

import (
	"bytes"
	"encoding/csv"
	"flag"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"voidcheck/checks"
	"voidcheck/checks/catalogue"
	"voidcheck/ifcx/ifctest"
)

var update = flag.Bool("update", false, "draw the table of seeded mistakes anew")

const seededFile = "testdata/seeded.csv"

// seeded is the table of the mistakes that are drawn: for each check and kind of mistake, what draws it and with which
// seed it does. The kind names the part too where a kind has several.
var seeded = sync.OnceValues(func() (map[[2]string]map[string]int64, error) {
	data, err := os.ReadFile(seededFile)
	if err != nil {
		return nil, err
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", seededFile, err)
	}
	out := map[[2]string]map[string]int64{}
	for _, r := range rows[1:] {
		by := map[string]int64{}
		for _, x := range strings.Fields(r[2]) {
			name, n, _ := strings.Cut(x, ":")
			if by[name], err = strconv.ParseInt(n, 10, 64); err != nil {
				return nil, fmt.Errorf("%s: %s of %s: %q is no seed", seededFile, r[1], r[0], x)
			}
		}
		out[[2]string{r[0], r[1]}] = by
	}
	return out, nil
})

// mistakeOf names a mistake as the table does: the check that tells it best, and its kind.
func mistakeOf(d *ifctest.Defect) [2]string {
	kind := d.Seed.Kind
	if d.Seed.Part != "" {
		kind += ", " + d.Seed.Part
	}
	return [2]string{d.Checks[0], kind}
}

// inTable tells of a mistake that is drawn and not in the table.
func inTable(t *testing.T, d *ifctest.Defect) {
	t.Helper()
	rows, err := seeded()
	if err != nil {
		t.Fatal(err)
	}
	if m := mistakeOf(d); rows[m] == nil {
		t.Errorf("%s has no row for %q of %s; run: go test ./cmd/internal/review -run Seeded -update", seededFile, m[1], m[0])
	}
}

// drawers are what draws buildings: the plain houses, the kinds of houses, the forms.
func drawers() []string {
	out := []string{"houses"}
	for _, k := range kindsOfHouse {
		out = append(out, k.name)
	}
	for _, f := range ifctest.PlanForms {
		out = append(out, "form-"+f)
	}
	return out
}

// drawn returns the mistakes that one of them draws with a seed; what is only noted counts too.
func drawn(t *testing.T, by string, seed int64) [][2]string {
	t.Helper()
	var truth *ifctest.Truth
	var out [][2]string
	house := func(b *building) {
		m, err := b.model()
		if err != nil {
			t.Fatal(err)
		}
		truth = &m.Truth
		truth.Defects = append(truth.Defects, largeAttics(truth, atticLimit(b.house, seed))...)
		for _, n := range wantedNotes(b.house, truth) {
			if n.is {
				out = append(out, [2]string{n.check, n.kind})
			}
		}
		out = append(out, [2]string{"void-summary", "areas"})
	}
	switch form, isForm := strings.CutPrefix(by, "form-"); {
	case isForm:
		p, _ := planOf(seed, form)
		m, err := p.Build()
		if err != nil {
			t.Fatal(err)
		}
		truth = &m.Truth
	case by == "houses":
		house(randomBuilding(seed))
	default:
		k := slices.IndexFunc(kindsOfHouse, func(k kindOfHouse) bool { return k.name == by })
		if k < 0 {
			t.Fatalf("%s: nothing is called %q", seededFile, by)
		}
		b, _ := drawKind(kindsOfHouse[k], seed)
		house(b)
	}
	for i := range truth.Defects {
		out = append(out, mistakeOf(&truth.Defects[i]))
	}
	if len(truth.Joined) > 0 {
		out = append(out, [2]string{"separation-spread", "units joined"})
	}
	return out
}

// Every check of the catalogue has mistakes that are drawn, and what the table says draws each of them does.
func TestSeeded(t *testing.T) {
	if *update {
		drawTable(t)
	}
	rows, err := seeded()
	if err != nil {
		t.Fatal(err)
	}
	has := map[string]bool{}
	made := map[string][][2]string{}
	draws := func(name string, seed int64, m [2]string) bool {
		key := fmt.Sprint(name, ":", seed)
		if made[key] == nil {
			made[key] = drawn(t, name, seed)
		}
		return slices.Contains(made[key], m)
	}
	for m, by := range rows {
		has[m[0]] = has[m[0]] || len(by) > 0
		for name, seed := range by {
			is := draws(name, seed, m)
			for other := int64(1); !is && other <= 60; other++ { // what is drawn with a seed may have changed
				is = draws(name, other, m)
			}
			if !is {
				t.Errorf("%s draws no %q of %s", name, m[1], m[0])
			}
		}
	}
	for _, c := range catalogue.Checks() {
		if !has[c.Name] {
			t.Errorf("no mistake of %s is drawn: draw one, then go test ./cmd/internal/review -run Seeded -update", c.Name)
		}
	}
}

// drawTable writes the table, with the lowest seeds; of the forms it names the first that draws a mistake.
func drawTable(t *testing.T) {
	found := map[[2]string][]string{}
	for _, by := range drawers() {
		seen := map[[2]string]bool{}
		for seed := int64(1); seed <= 120; seed++ {
			for _, m := range drawn(t, by, seed) {
				listed := slices.ContainsFunc(found[m], func(x string) bool { return strings.HasPrefix(x, "form-") })
				if !seen[m] && !(listed && strings.HasPrefix(by, "form-")) {
					seen[m] = true
					found[m] = append(found[m], fmt.Sprintf("%s:%d", by, seed))
				}
			}
		}
	}
	var keys [][2]string
	for m := range found {
		keys = append(keys, m)
	}
	slices.SortFunc(keys, func(a, b [2]string) int {
		at := func(c string) int {
			return slices.IndexFunc(catalogue.Checks(), func(x *checks.Check) bool { return x.Name == c })
		}
		if d := at(a[0]) - at(b[0]); d != 0 {
			return d
		}
		return strings.Compare(a[1], b[1])
	})
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	rows := [][]string{{"check", "mistake", "drawn by (name:seed)"}}
	for _, m := range keys {
		rows = append(rows, []string{m[0], m[1], strings.Join(found[m], " ")})
	}
	if err := w.WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(seededFile, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}
