package review

import (
	"fmt"
	"math"
	"slices"

	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/ifcx/ifctest"
)

// wantedNote is what a check that asks for nothing has to say of a house, or not to say: of a unit at a height, or of
// the whole (unit -1) by the place that its item names.
type wantedNote struct {
	check, kind string
	unit        int
	z           float64
	place       string
	is          bool
}

// wantedNotes are the parts of floor voids that are not about equal (ratio of 1.25, the default), services in voids, and
// what the submittal leaves out.
func wantedNotes(h ifctest.House, truth *ifctest.Truth) []wantedNote {
	broken := map[int]bool{} // units whose draftstops have gaps or join a neighbour
	for _, d := range truth.Defects {
		if len(d.Units) == 2 || d.Seed.Kind == "draftstop-missing" {
			for _, u := range d.Units {
				broken[u] = true
			}
		}
	}
	var out []wantedNote
	for _, v := range truth.Voids {
		if v.Kind != "floor" || v.Framing != "open-web-truss" || len(v.Compartments) < 2 || broken[v.Units[0]] {
			continue
		}
		ratio := slices.Max(v.Compartments) / slices.Min(v.Compartments)
		if math.Abs(ratio/1.25-1) > 0.01 && slices.Min(v.Compartments) > 1.01 {
			out = append(out, wantedNote{check: "floor-draftstop-balance", kind: "unequal parts", unit: v.Units[0], z: v.Point.Z, is: ratio > 1.25})
		}
	}
	for _, s := range h.Services {
		if s.Through == "void" {
			out = append(out, wantedNote{check: "void-services", kind: "service in a void", unit: s.Unit, z: h.Layout().Depth(s.Level).Mid(), is: true})
		}
	}
	out = append(out, wantedNote{check: "model-content", kind: "services left out", unit: -1, place: "services", is: len(h.Services) == 0})
	return append(out, wantedNote{check: "model-content", kind: "ceilings left out", unit: -1, place: "ceilings", is: h.NoCeilings})
}

// notes compares what is only noted with what the house has. Each counts as a mistake of its check.
func notes(h ifctest.House, r *checktest.Reviewed, of func(string) *score) []string {
	var faults []string
	place := unitPlaces(h, r)
	for _, n := range wantedNotes(h, &r.Truth) {
		got := slices.ContainsFunc(r.Items, func(it finding.Item) bool {
			if it.Check != n.check || it.Outcome != finding.Note && it.Outcome != finding.NotShown {
				return false
			}
			if n.unit < 0 {
				return it.Outcome == finding.NotShown && it.Place == n.place
			}
			return math.Abs(r.House(&it).Z-n.z) < 1 && slices.ContainsFunc(it.Units, func(id string) bool { return place[id] == n.unit })
		})
		s := of(n.check)
		if n.is {
			s.defects++
		}
		switch {
		case n.is && got:
			s.told++
		case n.is != got:
			faults = append(faults, fmt.Sprintf("%s of unit %d at height %.2f by %s: %t, in truth %t", n.kind, n.unit, n.z, n.check, got, n.is))
		}
	}
	return faults
}
