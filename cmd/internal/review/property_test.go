package review

import (
	"fmt"
	"math/rand"
	"os"
	"slices"
	"sort"
	"strconv"
	"strings"
	"testing"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/catalogue"
	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/ifcx/ifctest"
)

// randomHouse is a small random house with random mistakes and services, and the way in which
// its model is written. Equal seeds give equal houses.
func randomHouse(seed int64) (ifctest.House, ifctest.Disguise) {
	r := rand.New(rand.NewSource(seed ^ 0x5eed))
	h := ifctest.Random(seed, 2+r.Intn(5))
	small := h
	small.Units = small.Units[:min(len(small.Units), 2+r.Intn(2))]
	small.Storeys = min(small.Storeys, 2+r.Intn(8)/7) // three storeys now and then
	small.Depth = min(small.Depth, 8.5)
	small.Defects = nil
	if small.Floor.Framing == "truss" && r.Intn(3) > 0 { // as many draftstops as a low limit asks for
		for i := range small.Units {
			across := small.Depth
			if small.Floor.Along == "y" {
				across = small.Units[i].Width
			}
			small.Units[i].Draftstops = []float64{across / 2}
		}
	}
	fits := func(x ifctest.House) bool {
		_, err := x.Build()
		return err == nil
	}
	for _, s := range h.Defects { // those for which the smaller house has a place
		if small.Floor.Along == "y" && behindJoist(small, s) {
			continue
		}
		x := small
		x.Defects = append(slices.Clone(small.Defects), s)
		if fits(x) {
			small = x
		}
	}
	for i := range small.Defects {
		// A level that is open along the whole of the only unit line is told by nothing in the
		// model: no other stops show that this level is wanted apart from the one below or above.
		if s := &small.Defects[i]; s.Kind == "level-block-missing" {
			s.At, s.Size = 1+float64(r.Intn(20))/10, 0.8+float64(r.Intn(10))/10
		}
	}
	for range r.Intn(3) { // kinds that Random does not draw
		var s ifctest.Seed
		switch r.Intn(2) {
		case 0:
			s = ifctest.Seed{Kind: "run-block-missing", Separation: r.Intn(len(small.Units) - 1), Level: r.Intn(small.Storeys), Index: r.Intn(2)}
		default:
			s = ifctest.Seed{Kind: "draftstop-gap", Unit: r.Intn(len(small.Units)), Level: small.Storeys - 1, At: 1 + float64(r.Intn(20))/10, Size: 0.1 + float64(r.Intn(8))/10}
		}
		x := small
		x.Defects = append(slices.Clone(small.Defects), s)
		if fits(x) && !slices.ContainsFunc(small.Defects, func(q ifctest.Seed) bool { return hides(q, s) }) {
			small = x
		}
	}
	for range r.Intn(3) {
		s := ifctest.Service{
			Kind: []string{"pipe", "duct", "cable"}[r.Intn(3)], Through: []string{"floor", "floor", "separation", "draftstop", "void"}[r.Intn(5)],
			Unit: r.Intn(len(small.Units)), Separation: r.Intn(len(small.Units) - 1), Level: r.Intn(small.Storeys), At: 1.5 + float64(r.Intn(30))/10,
			Diameter: []float64{0.0127, 0.0508, 0.1016}[r.Intn(3)], Ring: []float64{0.006, 0.016, 0.025}[r.Intn(3)], Sealed: r.Intn(2) == 0,
		}
		if _, across := reachOf(small, s.Unit); s.Through == "void" && s.At+2.2 > across {
			continue // it would run into the next unit
		}
		x := small
		x.Services = append(slices.Clone(small.Services), s)
		if fits(x) && !crowded(small.Services, s) {
			small = x
		}
	}
	pick := func(list ...string) string { return list[r.Intn(len(list))] }
	d := ifctest.Disguise{
		Schema: pick("IFC4", "IFC2X3", "IFC4X3"), Unit: pick("mm", "m", "ft", "in"), Naming: pick(ifctest.NamesEnglish, ifctest.NamesEnglish, ifctest.NamesTerse, ifctest.NamesGerman, ifctest.NamesFrench),
		Geometry: pick("extrusion", "extrusion", "brep", "mesh", "mapped", "clipping"), RotateDeg: float64(r.Intn(8)) * 22.5, Seed: seed + 1,
		Mirror: r.Intn(4) == 0, Baked: r.Intn(3) == 0, Shift: [3]float64{float64(r.Intn(3)) * 1234.5, float64(r.Intn(2)) * -987, float64(r.Intn(2)) * 3.2},
	}
	switch r.Intn(4) {
	case 0:
		d.Overlap = 0.01
	case 1:
		d.Clearance = 0.002
	}
	return small, d
}

// behindJoist reports whether a mistake shows nothing where floor members run beside the unit
// lines: the outermost member lies on the plate and closes it, and when it is solid what
// is left open above the wall lies behind it.
func behindJoist(h ifctest.House, s ifctest.Seed) bool {
	switch s.Kind {
	case "plate-missing":
		return s.Level < h.Storeys-1
	case "block-missing", "line-open":
		return h.Floor.Framing != "truss"
	}
	return false
}

// hides reports whether two mistakes at one place would be told as one.
func hides(a, b ifctest.Seed) bool {
	if strings.HasPrefix(b.Kind, "draftstop") {
		return strings.HasPrefix(a.Kind, "draftstop") && a.Unit == b.Unit && a.Level == b.Level
	}
	return a.Separation == b.Separation
}

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

// reachOf is how far the floor void of a unit reaches along and across its members, metres.
func reachOf(h ifctest.House, unit int) (along, across float64) {
	if h.Floor.Along == "y" {
		return h.Depth, h.Units[unit].Width
	}
	return h.Units[unit].Width, h.Depth
}

// crowded reports whether two services would stand at one place.
func crowded(have []ifctest.Service, s ifctest.Service) bool {
	for _, x := range have {
		if x.Through == s.Through && x.Unit == s.Unit && x.Level == s.Level && x.At-s.At < 1 && s.At-x.At < 1 {
			return true
		}
	}
	return false
}

// score counts, for one check, the defects that it is the first to tell of, those told by it
// or by another that the truth names, its deficient items, those of them where nothing is
// wrong, and its items that say "meets" at a mistake that nothing tells.
type score struct{ defects, told, items, wrong, meets int }

// The whole from file to findings, over random buildings with random seeded mistakes: every
// mistake is told at its place by one of the checks that its truth names, nothing is
// deficient where nothing is wrong, and no "meets" stands at a mistake. VOIDCHECK_BUILDINGS sets how many (40 by default),
// VOIDCHECK_FIRST the first seed.
func TestRandomBuildings(t *testing.T) {
	count, first := 40, 1
	if testing.Short() {
		count = 8
	}
	if n, err := strconv.Atoi(os.Getenv("VOIDCHECK_BUILDINGS")); err == nil {
		count = n
	}
	if n, err := strconv.Atoi(os.Getenv("VOIDCHECK_FIRST")); err == nil {
		first = n
	}
	scores := map[string]*score{}
	of := func(check string) *score {
		if scores[check] == nil {
			scores[check] = &score{}
		}
		return scores[check]
	}
	mistakes := 0
	for seed := int64(first); seed < int64(first+count); seed++ {
		h, d := randomHouse(seed)
		limit := floorLimit(h)
		m, err := h.Build()
		if err != nil {
			t.Fatal(err)
		}
		a, err := adoption.Read("limit.json", fmt.Appendf(nil, `{"format": "voidcheck-adoption-1", "name": "limit", "checks": {"floor-draftstop-area": {"max-area": "%.4f m2"}}}`, limit), checks.Declared(catalogue.Checks()))
		if err != nil {
			t.Fatal(err)
		}
		r := checktest.ReviewModel(t, m, d, checktest.With{Facts: checktest.Facts, Adoption: a}, catalogue.Checks()...)
		mistakes += len(r.Truth.Defects)
		var faults []string
		for i := range r.Truth.Defects {
			x := &r.Truth.Defects[i]
			if x.AreaM2 > 0 && x.AreaM2 <= limit {
				continue // a draftstop that nothing asks for
			}
			s := of(x.Checks[0])
			s.defects++
			if told(r, x) {
				s.told++
				continue
			}
			faults = append(faults, fmt.Sprintf("not told: %+v at %.3f, %.3f x %.3f m, by any of %v", x.Seed, d.Point(x.Point), x.WidthM, x.HeightM, x.Checks))
			for i := range r.Items { // worse than silence
				if it := &r.Items[i]; it.Outcome == finding.Meets && r.At(it, x) {
					of(it.Check).meets++
					faults = append(faults, "false meets: "+checktest.Line(it)+": "+it.Message)
				}
			}
		}
		for i := range r.Items {
			it := &r.Items[i]
			if it.Outcome != finding.Deficient || r.Reports[it.Key].Consequence {
				continue
			}
			s := of(it.Check)
			s.items++
			if !right(r, it) && !follows(h, r, it) {
				s.wrong++
				faults = append(faults, "false deficient: "+checktest.Line(it)+": "+it.Message)
			}
		}
		faults = append(faults, joined(h, r)...)
		if len(faults) > 0 {
			t.Errorf("seed %d, %s\n  %s", seed, describe(h, d), strings.Join(faults, "\n  "))
		}
	}
	t.Logf("%d buildings, %d mistakes\n%s", count, mistakes, table(scores))
	if count >= 40 && mistakes < count {
		t.Errorf("only %d mistakes in %d buildings: the houses try too little", mistakes, count)
	}
}

// told reports whether a defect is told by one of its checks at its place, itself or as a
// consequence of what else is wrong there.
func told(r *checktest.Reviewed, x *ifctest.Defect) bool {
	for i := range r.Items {
		it := &r.Items[i]
		if (it.Outcome == finding.Deficient || it.Outcome == finding.NotShown && x.Seed.Kind == "service-unsealed") && r.At(it, x) {
			return true
		}
	}
	return false
}

// right reports whether something is wrong where an item says so.
func right(r *checktest.Reviewed, it *finding.Item) bool {
	for i := range r.Truth.Defects {
		if r.At(it, &r.Truth.Defects[i]) {
			return true
		}
	}
	return false
}

// follows reports whether an item is what a mistake elsewhere leads to: a void that reaches
// over an open unit line is too large or lies over too many units, and a cavity whose top is
// open over part of its length runs on above its blocks.
func follows(h ifctest.House, r *checktest.Reviewed, it *finding.Item) bool {
	kinds := map[string][]string{
		"floor-draftstop-area": {"line-open"},
		"attic-draftstop-area": {"attic-open"},
		"wall-fireblock-run":   {"attic-short", "level-block-missing"},
	}
	place := unitPlaces(h, r)
	for _, s := range h.Defects {
		if !slices.Contains(kinds[it.Check], s.Kind) {
			continue
		}
		both := 0
		for _, id := range it.Units {
			if u := place[id]; u == s.Separation || u == s.Separation+1 {
				both++
			}
		}
		if both == 2 {
			return true
		}
	}
	return false
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
func joined(h ifctest.House, r *checktest.Reviewed) []string {
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
				told[g] = told[g] || it.Outcome == finding.Deficient
			}
		}
		if it.Outcome == finding.Deficient && !one || it.Outcome == finding.Meets && one {
			faults = append(faults, fmt.Sprintf("%s, units joined in truth: %v", checktest.Line(it), r.Truth.Joined))
		}
	}
	if slices.Contains(told, false) {
		faults = append(faults, fmt.Sprintf("ways between units are missing, units joined in truth: %v", r.Truth.Joined))
	}
	return faults
}

func describe(h ifctest.House, d ifctest.Disguise) string {
	return fmt.Sprintf("%d units, %d storeys, %s floor along %s, %s separation, attic %s, %s roof; services %+v; %+v",
		len(h.Units), h.Storeys, h.Floor.Framing, h.Floor.Along, h.Separation.Kind, h.Separation.Attic, h.Roof.Kind, h.Services, d)
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
