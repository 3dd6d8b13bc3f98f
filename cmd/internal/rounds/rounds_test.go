package rounds_test

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

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/review"
	"voidcheck/cmd/internal/rounds"
	"voidcheck/ifcx/ifctest"
	"voidcheck/schema"
)

var noon = time.Date(2026, 1, 31, 12, 0, 0, 0, time.UTC)

func reviewed(t testing.TB, h ifctest.House, d ifctest.Disguise) *finding.Report {
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
	r, err := review.Run(context.Background(), review.Options{Models: []string{name}, Now: noon})
	if err != nil {
		t.Fatal(err)
	}
	return r.Report
}

// told is what a comparison says of each item, for comparing comparisons.
func told(c *rounds.Comparison) []string {
	var out []string
	for _, x := range c.Changes {
		key := x.LastKey
		if key == "" {
			key = "-"
		}
		out = append(out, fmt.Sprintf("%s %s %s", x.State, x.Check, key))
	}
	slices.Sort(out)
	return out
}

// exports are ways in which a resubmittal differs from the model before without any change
// to the building.
var exports = map[string]ifctest.Disguise{
	"new ids, new order":          {Seed: 9},
	"moved origin, feet":          {Seed: 4, Shift: [3]float64{51234.5, -873, 101}, Unit: "ft"},
	"turned to true north":        {Seed: 5, Shift: [3]float64{12, 7, 0}, RotateDeg: 37},
	"IFC2X3, clear by 2 mm":       {Schema: "IFC2X3", Clearance: 0.002, RotateDeg: -90, Shift: [3]float64{0, 300, 0}},
	"breps, far away, other unit": {Geometry: "brep", Unit: "in", Shift: [3]float64{2e5, 1e5, 0}, Baked: true},
}

func house() ifctest.House {
	h := ifctest.Row(3)
	h.Depth = 24 * ifctest.Foot
	h.Units[0].Width, h.Units[1].Width, h.Units[2].Width = 16*ifctest.Foot, 20*ifctest.Foot, 18*ifctest.Foot
	h.Defects = []ifctest.Seed{
		{Kind: "block-missing", Separation: 0, Side: "low", Level: 1, Bay: 2},
		{Kind: "block-missing", Separation: 0, Side: "high", Level: 1, Bay: 2},
		{Kind: "attic-short", Separation: 1, Size: 0.2},
		{Kind: "level-block-missing", Separation: 1, Level: 1, Part: "floor", At: 2, Size: 1.5},
	}
	return h
}

// The same building exported anew: every item is still open, and nothing else is said.
func TestNothingChanged(t *testing.T) {
	last := reviewed(t, house(), ifctest.Disguise{})
	for name, d := range exports {
		if testing.Short() && name != "moved origin, feet" {
			continue
		}
		c := rounds.Compare(last, reviewed(t, house(), d))
		if len(c.Changes) == 0 || c.Counts[rounds.StillOpen] != len(c.Changes) {
			t.Errorf("%s: %v", name, c.Counts)
			for _, x := range c.Changes {
				if x.State != rounds.StillOpen {
					t.Logf("%s %s %s %v -> %v", x.State, x.Check, x.Place, x.LastMeasured, x.Measured)
				}
			}
		}
	}
}

// Some mistakes mended, one made worse, one new: the same is said of every export.
func TestMendedAndExportedAnew(t *testing.T) {
	last := reviewed(t, house(), ifctest.Disguise{})
	h := house()
	h.Defects = []ifctest.Seed{
		{Kind: "block-missing", Separation: 0, Side: "high", Level: 1, Bay: 2},
		{Kind: "attic-short", Separation: 1, Size: 0.3},
		{Kind: "block-missing", Separation: 1, Side: "low", Level: 1, Bay: 6},
	}
	plain := rounds.Compare(last, reviewed(t, h, ifctest.Disguise{}))
	states := map[string]rounds.State{}
	for _, x := range plain.Changes {
		switch {
		case x.Check == "floor-draftstop-line":
			states["bay "+x.Place[:14]+" "+x.Place[len(x.Place)-7:]] = x.State
		case x.Check == "attic-draftstop-line":
			states["attic"] = x.State
			if x.State == rounds.Changed && (x.LastMeasured.Value > 0.21 || x.Measured.Value < 0.29) {
				t.Errorf("attic: %v -> %v, want 0.2 -> 0.3 m", x.LastMeasured, x.Measured)
			}
		case x.Check == "wall-fireblock-level":
			states["level"] = x.State
		case x.Check == "separation-spread" && strings.Contains(x.Place, "floor"):
			states["spread"] = x.State
		}
	}
	want := map[string]rounds.State{
		"bay unit line U1/U U1 side": rounds.Resolved, "bay unit line U1/U U2 side": rounds.StillOpen, "bay unit line U2/U U2 side": rounds.New,
		"attic": rounds.Changed, "level": rounds.Resolved, "spread": rounds.Resolved,
	}
	if d := cmp.Diff(want, states); d != "" {
		t.Errorf("states (-want +got):\n%s", d)
	}
	if n := plain.Counts[rounds.Undecidable]; n > 0 {
		t.Errorf("%d items cannot be decided any more", n)
	}
	for name, d := range exports {
		if testing.Short() && name != "turned to true north" {
			continue
		}
		c := rounds.Compare(last, reviewed(t, h, d))
		if d := cmp.Diff(told(plain), told(c)); d != "" {
			t.Errorf("%s (-plain +exported anew):\n%s", name, d)
		}
	}
}

// A resubmittal in which ids, unit names and storey names all changed, or are left out, so that
// no key is the same: matching by place says the same.
func TestNoKeyIsTheSame(t *testing.T) {
	last := reviewed(t, house(), ifctest.Disguise{})
	for _, names := range []string{ifctest.NamesGerman, ifctest.NamesNone} {
		this := reviewed(t, house(), ifctest.Disguise{Naming: names, Shift: [3]float64{100, 20, 3}, RotateDeg: 90, Seed: 3})
		same := 0
		for i := range this.Items {
			this.Items[i].Key = fmt.Sprintf("ffff%08d", i)
			same += strings.Count(this.Items[i].Storey, "Level")
		}
		if same > 0 {
			t.Fatalf("%s: %d items have the same storey names", names, same)
		}
		c := rounds.Compare(last, this)
		for _, x := range c.Changes {
			if x.State != rounds.StillOpen && !x.Follows {
				t.Errorf("%s: %s %s, %s: %v -> %v", names, x.State, x.Check, x.Place, x.LastMeasured, x.Measured)
			}
		}
		if c.Counts[rounds.StillOpen] < 5 {
			t.Errorf("%s: counts %v", names, c.Counts)
		}
		// Items and spaces name their storeys as the list of storeys does.
		known := map[string]bool{"": true}
		for _, x := range this.Building.Storeys {
			known[x.Name] = true
		}
		for _, x := range this.Items {
			if !known[x.Storey] {
				t.Errorf("%s: %s is on storey %q, which the building does not list", names, x.Place, x.Storey)
			}
		}
		for _, x := range this.Spaces {
			if !known[x.Storey] {
				t.Errorf("%s: %s is on storey %q, which the building does not list", names, x.ID, x.Storey)
			}
		}
	}
}

// What the model no longer shows is not taken for mended.
func TestNoLongerDecidable(t *testing.T) {
	h := house()
	h.Services = []ifctest.Service{{Kind: "pipe", Through: "floor", Level: 1, At: 2, Diameter: 0.05, Ring: 0.02}}
	last := reviewed(t, h, ifctest.Disguise{})
	one := house()
	one.Storeys = 1
	one.Defects = nil
	c := rounds.Compare(last, reviewed(t, one, ifctest.Disguise{}))
	n := 0
	for _, x := range c.Changes {
		if x.Check == "floor-draftstop-line" {
			n++
			if x.State != rounds.Undecidable || x.Why == "" {
				t.Errorf("%s: %s (%s), but the model has lost its upper storey", x.Place, x.State, x.Why)
			}
		}
	}
	if n != 2 {
		t.Errorf("%d items of bays, want 2", n)
	}
	this := reviewed(t, house(), ifctest.Disguise{Seed: 2})
	this.Checks = slices.DeleteFunc(this.Checks, func(c finding.Ran) bool { return c.Name == "wall-fireblock-level" })
	this.Items = slices.DeleteFunc(this.Items, func(i finding.Item) bool { return i.Check == "wall-fireblock-level" })
	for _, x := range rounds.Compare(last, this).Changes {
		if x.Check == "wall-fireblock-level" && x.State != rounds.Undecidable {
			t.Errorf("%s is %s, but its check did not run", x.Place, x.State)
		}
	}
}

// Where the model of this round could not be judged, nothing of the last is resolved.
func TestUnjudgedRound(t *testing.T) {
	last := reviewed(t, house(), ifctest.Disguise{})
	mended := house()
	mended.Defects = nil
	this := reviewed(t, mended, ifctest.Disguise{Seed: 2})
	if n := rounds.Compare(last, this).Counts[rounds.Resolved]; n == 0 {
		t.Fatal("nothing was mended: the test shows nothing")
	}
	this.Unjudged = "Most of the model could not be judged: the geometry of 9 of its 10 elements cannot be read."
	c := rounds.Compare(last, this)
	if n := c.Counts[rounds.Resolved]; n > 0 || c.Counts[rounds.Undecidable] == 0 {
		t.Errorf("%d resolved, %d no longer decidable", n, c.Counts[rounds.Undecidable])
	}
	if len(c.Notes) == 0 || c.Notes[0] != this.Unjudged {
		t.Errorf("notes %q", c.Notes)
	}
}

func TestOutputs(t *testing.T) {
	last := reviewed(t, house(), ifctest.Disguise{})
	h := house()
	h.Defects = h.Defects[1:]
	this := reviewed(t, h, ifctest.Disguise{Seed: 8})
	this.Run.Round = 2
	c := rounds.Compare(last, this)
	var a, b bytes.Buffer
	if err := rounds.WriteJSON(&a, c); err != nil {
		t.Fatal(err)
	}
	for _, p := range schema.Validate("rounds", a.Bytes()) {
		t.Errorf("rounds.json: %s", p)
	}
	if err := rounds.WriteTable(&b, c); err != nil {
		t.Fatal(err)
	}
	for n, l := range strings.Split(b.String(), "\n") {
		if len([]rune(l)) > 100 {
			t.Errorf("line %d has %d columns: %s", n+1, len([]rune(l)), l)
		}
	}
	for _, want := range []string{"Resolved: ", "Still open: ", "Items       0 new", "Decision support"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the table does not say %q:\n%s", want, b.String())
		}
	}
}

// A draftstop with a gap that is no longer in the model is not taken for mended.
func TestDraftstopGone(t *testing.T) {
	h := house()
	h.Units[1].Draftstops = []float64{12 * ifctest.Foot}
	h.Defects = []ifctest.Seed{{Kind: "draftstop-short", Unit: 1, Level: 1, Size: 0.1}}
	last := reviewed(t, h, ifctest.Disguise{})
	for _, tt := range []struct {
		kind string
		want rounds.State
	}{{"", rounds.Resolved}, {"draftstop-missing", rounds.Undecidable}} {
		h.Defects = nil
		if tt.kind != "" {
			h.Defects = []ifctest.Seed{{Kind: tt.kind, Unit: 1, Level: 1}}
		}
		n := 0
		for _, x := range rounds.Compare(last, reviewed(t, h, ifctest.Disguise{RotateDeg: 90, Seed: 4})).Changes {
			if x.Check == "draftstop-complete" && x.LastKey != "" {
				if n++; x.State != tt.want {
					t.Errorf("%q: %s %s (%s), want %s", tt.kind, x.State, x.Place, x.Why, tt.want)
				}
			}
		}
		if n == 0 {
			t.Errorf("%q: the gap was not told in the last round", tt.kind)
		}
	}
}
