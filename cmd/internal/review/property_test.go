package review

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"testing"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/catalogue"
	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/ifcx/ifctest"
)

// floorLimit is an area that every floor void of the house keeps while its draftstops are in
// place, so that a missing one shows, in square metres.
func floorLimit(h ifctest.House) float64 {
	h.Defects, h.Services = nil, nil
	most := 8.0
	for _, v := range h.MustBuild().Truth.Voids {
		if v.Kind == "floor" {
			most = max(most, slices.Max(v.Compartments))
		}
	}
	return 1.02 * most
}

// score counts, for one check, the defects that it is the first to tell of, those told by it
// or by another that the truth names, its deficient items, those of them where nothing is
// wrong, and its items that say "meets" at a mistake that nothing tells.
type score struct{ defects, told, items, wrong, meets int }

// Seeds that were once judged wrongly. Not told: 432 has studs behind an open soffit that stand just
// where the opening was looked at; 5088 a strip of a draftstop under a terse name; 5362 a bay
// of 33 mm between two joists; 9120 a missing plate beside a missing block over the gap; 20956
// joists just where the void beside a line was looked for; 24004 a wall under a flat roof with several studs too short to be one.
// Told falsely: 70147 has a chink of 2 mm past two opposite corners; 70480 and 82022 a first gable stud hardly taller than wide; 70739 a web
// that meets a chord in a wedge; 80139 a slit of 2 mm between the top of a wall and the chords over it;
// 84352 has blocks in the gap of a wall below the ceiling that were taken for a stop of the attic over a soffit.
// No way told: 88108 has a block behind the open side of a soffit.
func TestBuildingsOnceWrong(t *testing.T) {
	for _, seed := range []int64{432, 5088, 5362, 9120, 20956, 24004, 70147, 70480, 70739, 80139, 82022, 84352, 88108} {
		judgeBuilding(t, seed, scored(map[string]*score{}))
	}
}

// The whole from file to findings, over random buildings with random seeded mistakes: every
// mistake is told at its place by one of the checks that its truth names, nothing is
// deficient where nothing is wrong, no "meets" stands at a mistake, and the voids have their areas. VOIDCHECK_BUILDINGS sets how many (40 by default),
// VOIDCHECK_FIRST the first seed.
func TestRandomBuildings(t *testing.T) {
	count := 40
	if testing.Short() {
		count = 8
	}
	scores := map[string]*score{}
	of := scored(scores)
	mistakes := 0
	seeds := ifctest.Seeds("VOIDCHECK_BUILDINGS", 1, count)
	count = len(seeds)
	for _, seed := range seeds {
		mistakes += judgeBuilding(t, seed, of)
	}
	t.Logf("%d buildings, %d mistakes\n%s", count, mistakes, table(scores))
	if count >= 40 && mistakes < count {
		t.Errorf("only %d mistakes in %d buildings: the houses try too little", mistakes, count)
	}
	if count >= 300 {
		for _, c := range []string{
			"floor-draftstop-area", "floor-draftstop-line", "attic-draftstop-area", "attic-draftstop-line", "draftstop-complete", "draftstop-material", "draftstop-door",
			"wall-fireblock-level", "wall-fireblock-run", "void-junction", "stair-fireblock", "service-opening", "chimney-fireblock", "cornice-fireblock",
			"fireblock-material", "separation-continuity", "separation-service", "separation-boxes", "separation-spread", "floor-membrane",
		} {
			if of(c).told == 0 {
				t.Errorf("%d buildings try no mistake of %s", count, c)
			}
		}
	}
}

// judgeBuilding reviews a building and tells where the findings differ from its truth; it returns the number of its mistakes.
func judgeBuilding(t *testing.T, seed int64, of func(check string) *score) int {
	t.Helper()
	b := randomBuilding(seed)
	faults, mistakes := judgeHouse(t, b, atticLimit(b.house, seed), "", of)
	if len(faults) > 0 {
		t.Errorf("seed %d, %s\n  %s", seed, b, strings.Join(faults, "\n  "))
	}
	return mistakes
}

// judgeHouse reviews a building and compares the findings with its truth, under an adoption
// whose areas make each missing draftstop tell; more is put between its checks, as JSON.
func judgeHouse(t *testing.T, b *building, attic float64, more string, of func(string) *score) (faults []string, mistakes int) {
	m, err := b.model()
	if err != nil {
		t.Fatal(err)
	}
	floor := floorLimit(b.house)
	a, err := adoption.Read("limit.json", fmt.Appendf(nil, `{"format": "voidcheck-adoption-1", "name": "limit", "checks": {%s
		"floor-draftstop-area": {"max-area": "%.4f m2"}, "attic-draftstop-area": {"max-area": "%.4f m2"}}}`, more, floor, attic), checks.Declared(catalogue.Checks()))
	if err != nil {
		t.Fatal(err)
	}
	r := checktest.ReviewModel(t, m, b.disguise, checktest.With{Facts: checktest.Facts, Adoption: a}, catalogue.Checks()...)
	r.Truth.Defects = append(r.Truth.Defects, largeAttics(&r.Truth, attic)...)
	for i := range r.Truth.Defects {
		x := &r.Truth.Defects[i]
		if x.Seed.Kind == "draftstop-missing" && x.AreaM2 <= floor || x.Seed.Kind == "attic-stop-missing" && x.AreaM2 <= attic {
			continue // a draftstop that nothing asks for
		}
		mistakes++
		inTable(t, x)
		s := of(x.Checks[0])
		s.defects++
		if told(b, r, x) {
			s.told++
			continue
		}
		faults = append(faults, fmt.Sprintf("not told: %+v at %.3f, %.3f x %.3f m, by any of %v", x.Seed, b.disguise.Point(x.Point), x.WidthM, x.HeightM, x.Checks))
		for i := range r.Items { // worse than silence
			if it := &r.Items[i]; it.Outcome == finding.Meets && !x.Anywhere && r.At(it, x) {
				of(it.Check).meets++
				faults = append(faults, "false meets: "+checktest.Line(it)+": "+it.Message)
			}
		}
	}
	faults = append(faults, wrong(r, of, func(it *finding.Item) bool { return follows(b.house, r, it) })...)
	faults = append(append(faults, joined(b.house, r, of("separation-spread"))...), notes(b.house, r, of)...)
	return append(faults, areas(b, r, of)...), mistakes
}

// atticLimit is an area that some attics of the house exceed, square metres, never one that
// an attic comes near.
func atticLimit(h ifctest.House, seed int64) float64 {
	var areas []float64
	if h.Vault != nil {
		h.Defects = nil // so that a missing draftstop tells
	}
	for _, v := range h.MustBuild().Truth.Voids {
		if v.Kind == "attic" {
			areas = append(areas, slices.Max(v.Compartments))
		}
	}
	if h.Vault != nil {
		return 1.05 * slices.Max(areas)
	}
	limit := slices.Max(areas) * []float64{0.8, 0.95, 1.2, 1.5}[seed%4]
	for _, a := range areas {
		if math.Abs(a/limit-1) < 0.03 {
			limit *= 1.1
		}
	}
	return limit
}

// largeAttics are the attics over the limit, as mistakes.
func largeAttics(t *ifctest.Truth, limit float64) []ifctest.Defect {
	var out []ifctest.Defect
	for _, v := range t.Voids {
		d := ifctest.Defect{Seed: ifctest.Seed{Kind: "attic-too-large"}, Checks: []string{"attic-draftstop-area"}, Level: v.Level, Units: v.Units, Point: v.Point, AreaM2: v.AreaM2}
		if v.Kind == "attic" && slices.Max(v.Compartments) > limit {
			out = append(out, d)
		}
		if v.Kind == "attic" && len(v.Units) > 2 { // the default of max-units
			d.Seed.Kind = "attic-over-many-units"
			out = append(out, d)
		}
	}
	return out
}

// told reports whether a defect is told at its place: a feature's by its own check, others
// by one of theirs, themselves or as a consequence of what else is wrong there. A model of
// layers in which all lines are open does not show what closes them, and that a service
// passes a separation asks for its seal to be shown.
func told(b *building, r *checktest.Reviewed, x *ifctest.Defect) bool {
	only := slices.ContainsFunc(b.features, func(f ifctest.Feature) bool { return f.Kind == x.Seed.Kind })
	over := strings.HasPrefix(x.Seed.Kind, "attic-") && x.AreaM2 > 0 && len(x.Units) > 1 // with what closes the lines it would end there
	asked := x.Seed.Kind == "service-unsealed" || b.house.Layered && (x.Seed.Kind == "line-open" || x.Seed.Kind == "attic-open" || over)
	for i := range r.Items {
		it := &r.Items[i]
		if (it.Outcome == finding.Deficient || it.Outcome == finding.NotShown && asked) && r.At(it, x) && (!only || it.Check == x.Checks[0]) {
			return true
		}
	}
	return false
}

// right reports whether something is wrong where an item says so.
func right(r *checktest.Reviewed, it *finding.Item) bool {
	for i := range r.Truth.Defects {
		if r.At(it, &r.Truth.Defects[i]) || r.Beside(it, &r.Truth.Defects[i]) {
			return true
		}
	}
	return false
}

// follows reports whether an item is what a mistake elsewhere leads to.
func follows(h ifctest.House, r *checktest.Reviewed, it *finding.Item) bool {
	place := unitPlaces(h, r)
	return slices.ContainsFunc(r.Truth.Follows, func(f ifctest.Follow) bool {
		return f.Check == it.Check && !slices.ContainsFunc(f.Units, func(u int) bool {
			return !slices.ContainsFunc(it.Units, func(id string) bool { return place[id] == u })
		})
	})
}

// unitPlaces gives the place along the row of each unit that was recognised, by the middle
// of its rooms: names and order need not follow the row.
func unitPlaces(h ifctest.House, r *checktest.Reviewed) map[string]int {
	l := h.Layout()
	out := map[string]int{}
	for i, u := range r.Building.Units {
		x, n := 0.0, 0.0
		for _, room := range r.Building.Input.Rooms {
			if room.Unit == i && room.Mesh != nil {
				c := room.Mesh.Box().Center().Add(r.Building.Model.Origin)
				x += r.House(&finding.Item{Point: [3]float64{c.X, c.Y, c.Z}}).X
				n++
			}
		}
		out[u.ID] = -1
		for k := range h.Units {
			if v, _ := l.Void(k); n > 0 && x/n > v.Lo && x/n < v.Hi {
				out[u.ID] = k
			}
		}
	}
	return out
}

// joined compares the groups of units that the truth joins with the ways that are reported:
// each group has a way between two of its units, other pairs have none, and no "meets" stands
// between units of one group.
func joined(h ifctest.House, r *checktest.Reviewed, s *score) []string {
	var faults []string
	place := unitPlaces(h, r)
	told := make([]bool, len(r.Truth.Joined))
	for i := range r.Items {
		it := &r.Items[i]
		if it.Check != "separation-spread" || len(it.Units) != 2 {
			continue
		}
		one := false
		for g, us := range r.Truth.Joined {
			if slices.Contains(us, place[it.Units[0]]) && slices.Contains(us, place[it.Units[1]]) {
				one = true
				told[g] = told[g] || it.Outcome == finding.Deficient || h.Layered && it.Outcome == finding.NotShown
			}
		}
		if it.Outcome == finding.Deficient && !one || it.Outcome == finding.Meets && one {
			faults = append(faults, fmt.Sprintf("%s, units joined in truth: %v", checktest.Line(it), r.Truth.Joined))
		}
	}
	s.defects += len(told)
	for _, is := range told {
		if is {
			s.told++
		}
	}
	if slices.Contains(told, false) {
		faults = append(faults, fmt.Sprintf("ways between units are missing, units joined in truth: %v", r.Truth.Joined))
	}
	return faults
}

func (b *building) String() string {
	h := &b.house
	form := "framed"
	if h.Layered {
		form = fmt.Sprintf("layered %+v", h.LayerPlan)
	}
	return fmt.Sprintf("%s, %d units, %d storeys, %s floor along %s, %s separation, attic %s, %s roof; services %+v; features %+v; %+v",
		form, len(h.Units), h.Storeys, h.Floor.Framing, h.Floor.Along, h.Separation.Kind, h.Separation.Attic, h.Roof.Kind, h.Services, b.features, b.disguise)
}

// scored returns the score of a check, made when it is asked for first.
func scored(scores map[string]*score) func(check string) *score {
	return func(check string) *score {
		if scores[check] == nil {
			scores[check] = &score{}
		}
		return scores[check]
	}
}

// wrong counts the deficient items and tells of those that no mistake of the truth explains.
func wrong(r *checktest.Reviewed, of func(check string) *score, follows func(*finding.Item) bool) (faults []string) {
	for i := range r.Items {
		it := &r.Items[i]
		if it.Outcome != finding.Deficient || r.Reports[it.Key].Consequence {
			continue
		}
		s := of(it.Check)
		s.items++
		if !right(r, it) && !follows(it) {
			s.wrong++
			faults = append(faults, fmt.Sprintf("false deficient: %s: %s house %.3f", checktest.Line(it), it.Message, r.House(it)))
		}
	}
	return faults
}

func table(scores map[string]*score) string {
	var names []string
	for n := range scores {
		names = append(names, n)
	}
	sort.Strings(names)
	var b strings.Builder
	for _, n := range names {
		s := scores[n]
		fmt.Fprintf(&b, "%-24s %4d of %4d mistakes told; %4d deficient, %d of them wrong; %d false meets\n", n, s.told, s.defects, s.items, s.wrong, s.meets)
	}
	return b.String()
}
