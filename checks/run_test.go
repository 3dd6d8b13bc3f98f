package checks

import (
	"context"
	"errors"
	"math"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// disguise moves a building: turned, mirrored, moved, its parts listed in another order.
type disguise struct {
	angle   float64
	mirror  bool
	move    geom.Vec3
	shuffle int64
}

func (d disguise) point(p geom.Vec3) geom.Vec3 {
	if d.mirror {
		p.X = -p.X
	}
	s, c := math.Sincos(d.angle)
	return geom.Vec3{X: c*p.X - s*p.Y, Y: s*p.X + c*p.Y, Z: p.Z}.Add(d.move)
}

func (d disguise) plan(p geom.Vec2) geom.Vec2 { return d.point(geom.Vec3{X: p.X, Y: p.Y}).Plan() }

// row is an invented row of units, 6 x 11 m each, with one floor void for each unit, and
// openings at given bays of the unit lines.
func row(d disguise, units int, named bool, bays [][2]int) (*recognise.Building, *void.Result) {
	b := &recognise.Building{Model: &model.Building{Storeys: []*model.Storey{
		{Index: 0, Name: "Level 1"}, {Index: 1, Name: "Level 2", ElevationM: 3},
	}}}
	r := &void.Result{}
	order := rand.New(rand.NewSource(d.shuffle)).Perm(units)
	comps := make([]*void.Compartment, units)
	for i, u := range order {
		x0, x1 := float64(u)*6.3, float64(u)*6.3+6
		name := "Unit " + string(rune('1'+u))
		b.Units = append(b.Units, &recognise.DwellingUnit{Index: i, ID: "U" + string(rune('1'+u)), Name: name, Assumed: !named})
		var ring []geom.Vec2
		for _, p := range [][2]float64{{x0, 0}, {x1, 0}, {x1, 11}, {x0, 11}} {
			ring = append(ring, d.plan(geom.Vec2{X: p[0], Y: p[1]}))
		}
		v := &void.Void{Index: i, Kind: void.KindFloor, Storey: 1, Framing: void.FramingTruss, AreaM2: 66, ZLo: 2.6, ZHi: 3, Units: []int{i}, Wall: -1}
		c := &void.Compartment{Index: i, Void: v, Number: 1, AreaM2: 66, Outline: [][]geom.Vec2{ring}, Units: []int{i}, Joined: i}
		v.Compartments = []*void.Compartment{c}
		r.Voids, r.Compartments = append(r.Voids, v), append(r.Compartments, c)
		comps[u] = c
		room := geom.EmptyBox()
		for _, p := range ring {
			room = room.Extend(geom.Vec3{X: p.X, Y: p.Y, Z: 0}).Extend(geom.Vec3{X: p.X, Y: p.Y, Z: 2.5})
		}
		b.Input.Rooms = append(b.Input.Rooms, void.Room{Mesh: geom.BoxMesh(room), Unit: i, Element: -1})
		at := func(x, y float64) geom.Vec2 { return d.plan(geom.Vec2{X: x, Y: y}) }
		for _, w := range [][2]geom.Vec2{{at(x0, 0), at(x1, 0)}, {at(x0, 11), at(x1, 11)}, {at(x0, 0), at(x0, 11)}} {
			dir := w[1].Sub(w[0])
			b.Input.Walls = append(b.Input.Walls, void.Wall{Origin: w[0], Dir: dir.Unit(), Length: dir.Len(), Z1: 2.7})
		}
	}
	for _, k := range rand.New(rand.NewSource(d.shuffle)).Perm(len(bays)) {
		line, bay := bays[k][0], bays[k][1]
		a, c := comps[line], comps[line+1]
		r.Openings = append(r.Openings, &void.Opening{
			Index: len(r.Openings), A: a, B: c, Kind: void.OpenBay, WidthM: 0.57, HeightM: 0.38,
			Point: d.point(geom.Vec3{X: float64(line)*6.3 + 6.15, Y: 0.3 + 0.61*float64(bay), Z: 2.8}),
		})
		from, to := c.Joined, a.Joined
		for _, x := range r.Compartments {
			if x.Joined == from {
				x.Joined = to
			}
		}
	}
	return b, r
}

// The two checks of these tests: one item for each opening, one for each void.
var opened = &Check{Name: "opened", Title: "openings", Doc: "d", Topic: "openings", Run: func(_ context.Context, p *Pass) error {
	for _, o := range p.Voids.Openings {
		p.Report(Report{Outcome: finding.Deficient, Storey: 1, Units: []int{o.A.Units[0], o.B.Units[0]}, Point: o.Point,
			Openings: []*void.Opening{o}, Message: "A bay is open.", Cause: "bay", Measured: &finding.Measure{Value: o.WidthM, Unit: "m"}})
	}
	return nil
}}

var sized = &Check{Name: "sized", Title: "areas", Doc: "d", Topic: "areas", Run: func(_ context.Context, p *Pass) error {
	for _, c := range p.Voids.Compartments {
		p.Report(Report{Outcome: finding.Meets, Storey: 1, Units: c.Units, Point: c.Point, Spaces: []*void.Compartment{c}})
	}
	p.Report(Report{Outcome: finding.Deficient, Storey: 1, Consequence: true, Openings: p.Voids.Openings, Cause: "joined", Message: "Too large."})
	return nil
}}

func run(t *testing.T, b *recognise.Building, r *void.Result, a *adoption.Adoption, f adoption.Facts, catalogue ...*Check) *Output {
	t.Helper()
	if a == nil {
		a = adoption.Defaults(Declared(catalogue))
	}
	out, err := Run(context.Background(), Input{Catalogue: catalogue, Building: b, Voids: r, Adoption: a, Facts: f})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func sortedKeys(items []finding.Item) []string {
	var k []string
	for i := range items {
		k = append(k, items[i].Key)
	}
	slices.Sort(k)
	return k
}

func TestKeysSurviveDisguises(t *testing.T) {
	bays := [][2]int{{0, 2}, {0, 3}, {1, 9}, {3, 0}, {3, 17}}
	for _, named := range []bool{true, false} {
		b, r := row(disguise{}, 5, named, bays)
		want := sortedKeys(run(t, b, r, nil, adoption.Facts{}, opened, sized).Items)
		if len(slices.Compact(slices.Clone(want))) != len(want) {
			t.Fatalf("two items share a key: %v", want)
		}
		for _, d := range []disguise{
			{move: geom.Vec3{X: 123.4, Y: -77.7}},
			{angle: 0.3}, {angle: math.Pi / 2}, {angle: math.Pi}, {angle: -2.2},
			{mirror: true}, {mirror: true, angle: 1.1},
			{shuffle: 7}, {shuffle: 8, angle: 3, move: geom.Vec3{X: 9, Y: 9}, mirror: true},
		} {
			b, r := row(d, 5, named, bays)
			got := sortedKeys(run(t, b, r, nil, adoption.Facts{}, opened, sized).Items)
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("named %v, %+v: keys differ (-want +got)\n%s", named, d, diff)
			}
		}
	}
}

// A key must tell places apart, and closing one bay must not rename the others.
func TestKeysOfRemainingItems(t *testing.T) {
	b, r := row(disguise{}, 5, true, [][2]int{{0, 2}, {0, 3}, {1, 9}})
	before := sortedKeys(run(t, b, r, nil, adoption.Facts{}, opened).Items)
	b, r = row(disguise{angle: 1}, 5, true, [][2]int{{0, 3}, {1, 9}})
	after := sortedKeys(run(t, b, r, nil, adoption.Facts{}, opened).Items)
	for _, k := range after {
		if !slices.Contains(before, k) {
			t.Errorf("key %s is new; before %v", k, before)
		}
	}
}

func TestJoinsConsequenceAndRank(t *testing.T) {
	b, r := row(disguise{}, 4, true, [][2]int{{0, 2}, {1, 4}})
	out := run(t, b, r, nil, adoption.Facts{}, opened, sized)
	first := out.Comments[0]
	if first.Check != "opened" || len(first.Items) != 2 || first.Outcome != finding.Deficient {
		t.Errorf("first comment %+v; want the two open bays", first)
	}
	for i := range out.Items {
		it := &out.Items[i]
		if it.Outcome != finding.Deficient {
			if it.Comment != 0 || it.Joins != nil {
				t.Errorf("item that meets: %+v", it)
			}
			continue
		}
		if want := (finding.Joins{Units: 3, AreaM2: 198}); it.Joins == nil || *it.Joins != want {
			t.Errorf("%s joins %+v; want 3 units, 3 x 66 m2", it.Check, it.Joins)
		}
		if it.Check == "sized" && len(it.ConsequenceOf) != 2 {
			t.Errorf("consequence of %v; want both bays", it.ConsequenceOf)
		}
		if it.Section != "[local section: "+map[string]string{"sized": "areas", "opened": "openings"}[it.Check]+"]" || !it.SectionIsPlaceholder {
			t.Errorf("section %q", it.Section)
		}
	}
	if last := out.Comments[len(out.Comments)-1]; last.Check != "sized" {
		t.Errorf("last comment %+v; want the consequence after its cause", last)
	}
}

func TestBrokenChecksAreNamed(t *testing.T) {
	b, r := row(disguise{}, 2, true, [][2]int{{0, 1}})
	broken := &Check{Name: "broken", Run: func(context.Context, *Pass) error { var c *void.Compartment; _ = c.AreaM2; return nil }}
	failing := &Check{Name: "failing", Run: func(_ context.Context, p *Pass) error {
		p.Report(Report{Outcome: finding.Meets})
		return errors.New("no such thing")
	}}
	out := run(t, b, r, nil, adoption.Facts{}, broken, opened, failing)
	if len(out.Items) != 1 || len(out.Missing) != 2 {
		t.Fatalf("%d items, missing %v", len(out.Items), out.Missing)
	}
	if w := out.Missing[0]; w.Check != "broken" || !strings.Contains(w.Why, "nil pointer") || !strings.Contains(w.Why, "checks/run_test.go:") {
		t.Errorf("missing %+v", w)
	}
	if w := out.Missing[1]; w != (finding.MissingCheck{Check: "failing", Why: "no such thing"}) {
		t.Errorf("missing %+v", w)
	}
}

func TestExemptions(t *testing.T) {
	b, r := row(disguise{}, 2, true, [][2]int{{0, 1}})
	a := adoption.Defaults(Declared([]*Check{opened}))
	rule := a.Rule("opened")
	rule.Section = "C-1"
	rule.Exempt = []adoption.Exemption{{When: adoption.When{Sprinklers: []string{"NFPA 13"}, Framing: []string{"open-web-truss"}}, Because: "C-1 exception"}}
	it := run(t, b, r, a, adoption.Facts{}, opened).Items[0]
	want := "an exception may apply (sprinklers NFPA 13, framing open-web-truss: C-1 exception); what would decide: sprinklers"
	if it.Outcome != finding.Deficient || it.Undecided != want || it.Section != "C-1" || it.SectionIsPlaceholder {
		t.Errorf("unknown sprinklers: %+v", it)
	}
	it = run(t, b, r, a, adoption.Facts{Sprinklers: "NFPA 13"}, opened).Items[0]
	if it.Outcome != finding.Exempt || it.Exemption != "C-1 exception" || it.Undecided != "" {
		t.Errorf("NFPA 13: %+v", it)
	}
	it = run(t, b, r, a, adoption.Facts{Sprinklers: "NFPA 13D"}, opened).Items[0]
	if it.Outcome != finding.Deficient || it.Undecided != "" {
		t.Errorf("NFPA 13D: %+v", it)
	}
	rule.On = false
	if out := run(t, b, r, a, adoption.Facts{}, opened); len(out.Items) != 0 || out.Ran[0].On {
		t.Errorf("a check that is off ran: %+v", out)
	}
}

func TestValidate(t *testing.T) {
	good := &Check{Name: "a-b", Title: "t", Doc: "d", Topic: "t", Run: opened.Run,
		Params: []adoption.Param{{Name: "max-gap", Kind: adoption.Length, Default: "1/2 in", Doc: "d", Source: "s"}}}
	if err := Validate([]*Check{good}); err != nil {
		t.Error(err)
	}
	bad := &Check{Name: "A", Title: "t.", Params: []adoption.Param{{Name: "on", Kind: adoption.Length, Default: "1000"}}}
	err := Validate([]*Check{good, good, bad})
	for _, want := range []string{`"a-b": the name is taken`, `"A": the name is not lower-case`, `full stop`, `Doc, Topic and Run`, `parameter "on": the name is taken`, `Doc and Source`, `"1000" has no unit`} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error lacks %q:\n%v", want, err)
		}
	}
}
