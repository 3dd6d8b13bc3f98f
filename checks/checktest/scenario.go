package checktest

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/lexicon"
	"voidcheck/checks/recognise"
	"voidcheck/checks/shown"
	"voidcheck/checks/void"
	"voidcheck/ifcx"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/source"
)

// Reviewed is a house that went through reader, recognition, solver and checks.
type Reviewed struct {
	Truth    ifctest.Truth
	Disguise ifctest.Disguise
	Building *recognise.Building
	Voids    *void.Result
	Items    []finding.Item
	Comments []finding.Comment
	Reports  map[string]*checks.Report // what the items were made from, by key
}

// Facts are what the submittal file of a scenario says.
var Facts = adoption.Facts{Occupancy: "townhouse", Construction: "VB", Sprinklers: "none"}

// Review writes a house under a disguise, reads it back and runs the checks with their
// defaults.
func Review(t testing.TB, h ifctest.House, d ifctest.Disguise, catalogue ...*checks.Check) *Reviewed {
	t.Helper()
	m, err := h.Build()
	if err != nil {
		t.Fatal(err)
	}
	return ReviewModel(t, m, d, With{Facts: Facts}, catalogue...)
}

// With is what a review goes by besides the model; the zero value says nothing of the
// project and uses the defaults of every check.
type With struct {
	Facts    adoption.Facts
	Adoption *adoption.Adoption
	Syntax   string // of the files: "" is STEP; "ifcXML" or "IFC5"
}

// ReviewModel is Review for a model that is built, and perhaps added to.
func ReviewModel(t testing.TB, m *ifctest.Model, d ifctest.Disguise, with With, catalogue ...*checks.Check) *Reviewed {
	t.Helper()
	var files []*source.File
	for i, one := range []*ifctest.Model{m, m.Services} {
		if one == nil {
			continue
		}
		var b bytes.Buffer
		write, ending := one.WriteSTEP, "ifc"
		switch with.Syntax {
		case "ifcXML":
			write, ending = one.WriteXML, "ifcxml"
		case "IFC5":
			write, ending = one.WriteIFC5, "ifcx"
		}
		if err := write(&b, d); err != nil {
			t.Fatal(err)
		}
		f, err := source.FromBytes(fmt.Sprintf("model-%d.%s", i+1, ending), b.Bytes())
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f...)
	}
	ctx := context.Background()
	log := &source.Log{}
	mb, err := ifcx.OpenFiles(ctx, files, ifcx.Options{Log: log})
	if err != nil {
		t.Fatal(err)
	}
	b, err := recognise.Recognise(ctx, mb, lexicon.Default(), with.Facts)
	if err != nil {
		t.Fatal(err)
	}
	b.Input.MaxGap = 0.0127
	r, err := void.Solve(ctx, &b.Input)
	if err != nil {
		t.Fatal(err)
	}
	if with.Adoption == nil {
		with.Adoption = adoption.Defaults(checks.Declared(catalogue))
	}
	out, err := checks.Run(ctx, checks.Input{Catalogue: catalogue, Building: b, Voids: r, Facts: with.Facts, Adoption: with.Adoption, Shows: shown.In(b, r)})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range out.Missing {
		t.Errorf("check %s broke: %s", x.Check, x.Why)
	}
	return &Reviewed{Truth: m.Truth, Disguise: d, Building: b, Voids: r, Items: out.Items, Comments: out.Comments, Reports: out.Reports}
}

// Deficient returns the deficient items, those that follow from others apart.
func (r *Reviewed) Deficient() (primary, consequence []*finding.Item) {
	for i := range r.Items {
		it := &r.Items[i]
		switch {
		case it.Outcome != finding.Deficient:
		case len(it.ConsequenceOf) > 0:
			consequence = append(consequence, it)
		default:
			primary = append(primary, it)
		}
	}
	return primary, consequence
}

// Reach is how far an item may lie from the truth's point of its defect, metres, beyond
// half of the opening.
const Reach = 0.5

// At reports whether an item lies at a seeded defect and is of a check that may tell it.
func (r *Reviewed) At(it *finding.Item, d *ifctest.Defect) bool {
	return slices.Contains(d.Checks, it.Check) && r.near(it, d)
}

// Beside is At for the checks that may tell of a defect too.
func (r *Reviewed) Beside(it *finding.Item, d *ifctest.Defect) bool {
	return slices.Contains(d.Also, it.Check) && r.near(it, d)
}

func (r *Reviewed) near(it *finding.Item, d *ifctest.Defect) bool {
	p := r.Disguise.Point(d.Point)
	off := geom.Vec3{X: it.Point[0], Y: it.Point[1], Z: it.Point[2]}.Sub(p)
	switch {
	case d.Anywhere:
		return true
	case d.AreaM2 > 0: // an over-large void: anywhere in it, were it five times as long as wide
		return off.Plan().Len() < 1.2*math.Sqrt(d.AreaM2) && math.Abs(off.Z) < 1.5
	}
	// The opening's longer way may lie along any axis.
	return off.Len() <= Reach+max(d.WidthM, d.HeightM)/2
}

// CheckTruth compares the deficient items with the seeded defects: each defect is told by
// one of its checks at its place, and every primary deficient item is at a defect.
func (r *Reviewed) CheckTruth(t testing.TB) {
	t.Helper()
	primary, consequence := r.Deficient()
	all := append(append([]*finding.Item(nil), primary...), consequence...)
	for i := range r.Truth.Defects {
		d := &r.Truth.Defects[i]
		found := false
		for _, it := range all {
			found = found || r.At(it, d)
		}
		if !found {
			t.Errorf("defect not found: %+v at %v, by any of %v", d.Seed, r.Disguise.Point(d.Point), d.Checks)
		}
	}
	for _, it := range primary {
		at := false
		for i := range r.Truth.Defects {
			at = at || r.At(it, &r.Truth.Defects[i])
		}
		if !at && !r.unsealed(it) {
			t.Errorf("false deficient: %s", Line(it))
		}
	}
}

// unsealed reports whether an item is about a service: those need no seed.
func (r *Reviewed) unsealed(it *finding.Item) bool {
	return it.Check == "service-opening" || it.Check == "separation-service"
}

// Line prints an item on one line.
func Line(it *finding.Item) string {
	s := fmt.Sprintf("%s %s %s | %s | %s", it.Outcome, it.Evidence, it.Check, it.Storey, it.Place)
	if it.Measured != nil {
		s += fmt.Sprintf(" | %.4f %s", it.Measured.Value, it.Measured.Unit)
	}
	return s + fmt.Sprintf(" | at %.3f", it.Point)
}

// Lines prints items one a line.
func Lines(items []finding.Item) string {
	var b strings.Builder
	for i := range items {
		b.WriteString(Line(&items[i]) + "\n")
	}
	return b.String()
}

// House returns an item's point in the frame of the house, whatever the disguise.
func (r *Reviewed) House(it *finding.Item) geom.Vec3 {
	o := r.Disguise.Point(geom.Vec3{})
	d := geom.Vec3{X: it.Point[0], Y: it.Point[1], Z: it.Point[2]}.Sub(o)
	x, y := r.Disguise.Point(geom.Vec3{X: 1}).Sub(o), r.Disguise.Point(geom.Vec3{Y: 1}).Sub(o)
	return geom.Vec3{X: d.Dot(x), Y: d.Dot(y), Z: d.Z}
}

// near is how far the points of one item may lie apart under two disguises, metres.
const near = 0.1

// Compare tells the items that one review has and the other has not: same check, outcome,
// units, measured value and place in the house. With keys, equal items must have equal keys.
func Compare(t testing.TB, got, want *Reviewed, keys bool) {
	t.Helper()
	used := map[int]bool{}
	for i := range want.Items {
		w := &want.Items[i]
		best, rank, far := -1, 0.0, 0.0
		for j := range got.Items {
			g := &got.Items[j]
			if used[j] || g.Check != w.Check || g.Outcome != w.Outcome || len(g.Units) != len(w.Units) || !alike(g.Measured, w.Measured, w.Outcome == finding.Note) {
				continue
			}
			// A height tells the storey, while a void of many parts is named at any of them.
			off := got.House(g).Sub(want.House(w))
			if d := off.Len() + 10*math.Abs(off.Z); best < 0 || d < rank {
				best, rank, far = j, d, off.Len()
			}
		}
		// A void or a row of walls has no one point; only its key tells it apart.
		if best < 0 || far > near && w.Outcome != finding.Note && w.Outcome != finding.Meets {
			t.Errorf("item lost: %s", Line(w))
			continue
		}
		used[best] = true
		if g := &got.Items[best]; keys && g.Key != w.Key {
			t.Errorf("key changed from %s to %s: %s", w.Key, g.Key, Line(g))
		}
	}
	for j := range got.Items {
		if !used[j] {
			t.Errorf("item new: %s", Line(&got.Items[j]))
		}
	}
	if len(got.Comments) != len(want.Comments) {
		t.Errorf("%d comments, want %d", len(got.Comments), len(want.Comments))
	}
}

// alike compares measured values with the tolerance of the accuracy table: clear sizes
// within 2 mm of 2 mm clearances, areas within 0.1 %; those of notes, which sum up narrow
// wall cavities, within 1 %.
func alike(a, b *finding.Measure, note bool) bool {
	if a == nil || b == nil {
		return a == b
	}
	d := math.Abs(a.Value - b.Value)
	share := 0.001
	if note {
		share = 0.01
	}
	return a.Unit == b.Unit && (d <= 0.0045 || d <= share*math.Abs(b.Value))
}

// Of returns the items of one check.
func (r *Reviewed) Of(check string) []finding.Item {
	var out []finding.Item
	for i := range r.Items {
		if r.Items[i].Check == check {
			out = append(out, r.Items[i])
		}
	}
	return out
}
