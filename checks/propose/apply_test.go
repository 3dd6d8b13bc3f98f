package propose_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/catalogue"
	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/checks/propose"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/ifctest"
)

// answered are the checks whose items get proposals.
var answered = []string{"floor-draftstop-area", "attic-draftstop-area", "floor-draftstop-line", "attic-draftstop-line", "wall-fireblock-run", "service-opening", "separation-service"}

// chosen are those checks of the catalogue.
func chosen() []*checks.Check {
	var out []*checks.Check
	for _, c := range catalogue.Checks() {
		if slices.Contains(answered, c.Name) {
			out = append(out, c)
		}
	}
	return out
}

// limits are low ones, so that small houses need many stops.
func limits(t testing.TB, text string) *adoption.Adoption {
	t.Helper()
	a, err := adoption.Read("limits.json", []byte(`{"format": "voidcheck-adoption-1", "name": "low limits", "checks": `+text+`}`), checks.Declared(chosen()))
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func build(t testing.TB, h ifctest.House) *ifctest.Model {
	t.Helper()
	m, err := h.Build()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func proposals(r *checktest.Reviewed) []finding.Proposal {
	return propose.Make(propose.Input{Building: r.Building, Voids: r.Voids, Items: r.Items, Reports: r.Reports, Units: measure.SI})
}

// apply puts the stops of a proposal into a model.
func apply(t testing.TB, m *ifctest.Model, it *finding.Item, p *finding.Proposal) {
	t.Helper()
	storey := 0
	for k := range m.Storeys {
		if fmt.Sprintf("Level %d", k+1) == it.Storey {
			storey = k
		}
	}
	for i := range p.Stops {
		s := &p.Stops[i]
		x := ifctest.Stop{
			Kind: s.Kind, Storey: storey, Thick: ifctest.HalfGypsum, Width: s.WidthM,
			From: geom.Vec2{X: s.Line[0][0], Y: s.Line[0][1]}, To: geom.Vec2{X: s.Line[1][0], Y: s.Line[1][1]},
		}
		if s.Z != nil {
			x.Z = ifctest.Span{Lo: s.Z[0], Hi: s.Z[1]}
		}
		switch {
		case s.Kind == "block":
			x.Thick = ifctest.TwoBy
		case s.Kind == "draftstop" && (it.Check == "attic-draftstop-area" || it.Check == "attic-draftstop-line"):
			x.Kind = "attic"
		case s.Kind == "seal":
			x.Normal = ifctest.Z
			if x.Z.Len() > 1e-6 { // an upright hole: the service runs across its width
				x.Normal = ifctest.X
				if math.Abs(x.To.X-x.From.X) > math.Abs(x.To.Y-x.From.Y) {
					x.Normal = ifctest.Y
				}
			}
		}
		if err := m.Apply(x); err != nil {
			t.Fatal(err)
		}
	}
}

// open reports whether an item asks for something by itself.
func open(r *checktest.Reviewed, it *finding.Item) bool {
	return (it.Outcome == finding.Deficient || it.Outcome == finding.NotShown) && !r.Reports[it.Key].Consequence
}

// still returns the item of a later review that says what one said before: at the same place,
// or for an area within the same space.
func still(it *finding.Item, before, later *checktest.Reviewed) *finding.Item {
	for i := range later.Items {
		x := &later.Items[i]
		if !open(later, x) || x.Check != it.Check || x.Storey != it.Storey {
			continue
		}
		if it.Measured != nil && it.Measured.Unit != "m" {
			var old geom.Region
			for _, ring := range before.Reports[it.Key].Spaces[0].Outline {
				old = append(old, geom.Ring(ring))
			}
			if old.Contains(later.Reports[x.Key].Spaces[0].Point.Plan()) {
				return x
			}
			continue
		}
		d := geom.Vec3{X: x.Point[0] - it.Point[0], Y: x.Point[1] - it.Point[1], Z: x.Point[2] - it.Point[2]}
		if d.Len() < 0.05 {
			return x
		}
	}
	return nil
}

// house is a random house of the loop: with mistakes, services and fewer stops.
func house(seed int64) ifctest.House {
	h := ifctest.Random(seed, 3)
	h.Units = h.Units[:min(len(h.Units), 3)]
	h.Storeys = min(h.Storeys, 2)
	switch seed % 5 {
	case 0:
		h.NoStops, h.Defects = true, nil
	case 1:
		h.Separation.Attic, h.Defects = "none", nil
	}
	if seed%4 == 3 && h.Storeys > 1 { // a stair well in one of the floor voids
		x := h
		x.Units = slices.Clone(h.Units)
		x.Units[0].Stair = &ifctest.StairHole{X: 0.6, Y: 1.2, LX: 1, LY: 2.2}
		if _, err := x.Build(); err == nil {
			h = x
		}
	}
	var fit []ifctest.Seed
	for _, s := range h.Defects { // those that the smaller house has room for
		trial := h
		trial.Defects = append(slices.Clone(fit), s)
		if _, err := trial.Build(); err == nil {
			fit = append(fit, s)
		}
	}
	h.Defects = fit
	if h.Storeys > 1 {
		if s := (ifctest.Service{Kind: "pipe", Through: "floor", Level: 1, At: 2, Diameter: 0.05, Ring: 0.02}); fits(h, s) {
			h.Services = append(h.Services, s)
		}
	}
	return h
}

func fits(h ifctest.House, s ifctest.Service) bool {
	h.Services = append(slices.Clone(h.Services), s)
	_, err := h.Build()
	return err == nil
}

// fewAndEqual compares the parts of an over-large floor void with arithmetic: N = ceil(A/L)
// of them, as many more as one where the framing asks for it, none over the limit, and no
// further apart than two bays (code-facts 2.8, "draftstops across one simple cavity"). A void
// over several units is divided at its unit lines first, which are to be stopped anyway.
func fewAndEqual(t *testing.T, h ifctest.House, it *finding.Item, p *finding.Proposal) {
	t.Helper()
	if it.Check != "floor-draftstop-area" || len(p.PartsM2) == 0 || slices.ContainsFunc(h.Units, func(u ifctest.Unit) bool { return u.Stair != nil }) {
		return
	}
	limit := 200 * ifctest.Foot * ifctest.Foot
	sum := 0.0
	for _, a := range p.PartsM2 {
		sum += a
	}
	most, least := slices.Max(p.PartsM2), slices.Min(p.PartsM2)
	var widths []float64
	wide := 0.0
	for i, u := range h.Units {
		if slices.Contains(it.Units, fmt.Sprintf("U%d", i+1)) {
			widths = append(widths, u.Width)
			wide += u.Width
		}
	}
	n := 0
	for _, w := range widths {
		part, bay := sum*w/wide, h.Floor.Spacing*w // a part has whole bays between its members
		if h.Floor.Along == "y" {
			bay = h.Floor.Spacing * h.Depth
		}
		n += int(math.Ceil(part/(math.Floor(limit/bay)*bay) - 1e-9))
	}
	if len(p.PartsM2) > n+len(widths) || len(p.PartsM2) < int(math.Ceil(sum/limit-1e-9)) {
		t.Errorf("%s: %d parts for %.2f m2 over %d units, %d wanted", checktest.Line(it), len(p.PartsM2), sum, len(widths), n)
	}
	long := h.Depth
	for _, u := range h.Units {
		long = max(long, u.Width)
	}
	if most > limit*1.0001 || most-least > 2*h.Floor.Spacing*long {
		t.Errorf("%s: parts of %.2f m2, none over %.2f and about equal wanted", checktest.Line(it), p.PartsM2, limit)
	}
}

// low are limits that make small houses need many stops.
const low = `{"floor-draftstop-area": {"max-area": "200 ft2"}, "attic-draftstop-area": {"max-area": "450 ft2", "max-units": 1}, "wall-fireblock-run": {"max-run": "6 ft"}}`

// Every proposal, put into the model by the fixture builder, makes its item meet: all
// proposals of a house together, and for some houses each alone. VOIDCHECK_PROPOSALS sets how
// many houses are tried (40 by default), VOIDCHECK_FIRST the first seed.
func TestProposalsMakeItemsMeet(t *testing.T) {
	houses := 40
	if testing.Short() {
		houses = 3
	}
	kinds := map[string]int{}
	for _, seed := range ifctest.Seeds("VOIDCHECK_PROPOSALS", 0, houses) {
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			h := house(seed)
			a := limits(t, low)
			m := build(t, h)
			before := checktest.ReviewModel(t, m, ifctest.Disguise{}, checktest.With{Facts: checktest.Facts, Adoption: a}, chosen()...)
			ps := proposals(before)
			items := map[string]*finding.Item{}
			for i := range before.Items {
				items[before.Items[i].Key] = &before.Items[i]
			}
			for i := range ps {
				fewAndEqual(t, h, items[ps[i].For], &ps[i])
				kinds[ps[i].Kind]++
				apply(t, m, items[ps[i].For], &ps[i])
			}
			after := checktest.ReviewModel(t, m, ifctest.Disguise{}, checktest.With{Facts: checktest.Facts, Adoption: a}, chosen()...)
			for i := range ps {
				it := items[ps[i].For]
				if x := still(it, before, after); x != nil {
					t.Errorf("%s\n  %s\n  after all proposals still: %s", checktest.Line(it), ps[i].Text, checktest.Line(x))
				}
			}
			for _, it := range before.Items {
				if open(before, &it) && !slices.ContainsFunc(ps, func(p finding.Proposal) bool { return p.For == it.Key }) && slices.Contains([]string{"floor-draftstop-area", "attic-draftstop-area", "wall-fireblock-run", "service-opening"}, it.Check) {
					t.Errorf("no proposal for %s", checktest.Line(&it))
				}
			}
			if seed%20 != 1 { // each alone costs a review a proposal
				return
			}
			for i := range ps {
				m := build(t, h)
				it := items[ps[i].For]
				apply(t, m, it, &ps[i])
				after := checktest.ReviewModel(t, m, ifctest.Disguise{}, checktest.With{Facts: checktest.Facts, Adoption: a}, chosen()...)
				if x := still(it, before, after); x != nil {
					t.Errorf("%s\n  %s\n  with this proposal still: %s", checktest.Line(it), ps[i].Text, checktest.Line(x))
				}
			}
		})
	}
	t.Logf("proposals by kind: %v", kinds)
	if !testing.Short() && (kinds["draftstops"] == 0 || kinds["bays"] == 0 || kinds["blocks"] == 0 || kinds["seals"] == 0) {
		t.Errorf("not every kind of proposal was tried: %v", kinds)
	}
}
