package review

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voidcheck/checks/checktest"
	"voidcheck/ifcx/ifctest"
)

// areas compares the plan area of the floor voids, attics and soffits with the truth. Cornices
// have eaves of their own, and over a double wall without any block the void ends beside the
// wall: those are left out. A slit between two joists at the end of a void is no part of it.
func areas(b *building, r *checktest.Reviewed, of func(string) *score) []string {
	share := map[string]float64{"floor": 0.01, "attic": 0.01, "soffit": 0.01}
	if b.house.Floor.Framing != "truss" {
		share["floor"] = 0.02
	}
	want, got := map[string]float64{}, map[string]float64{}
	for _, v := range r.Truth.Voids {
		want[v.Kind] += v.AreaM2
	}
	for _, v := range r.Voids.Voids {
		got[string(v.Kind)] += v.AreaM2
	}
	skip := map[string]bool{
		"attic": slices.ContainsFunc(b.features, func(f ifctest.Feature) bool { return strings.HasPrefix(f.Kind, "cornice") }),
		"floor": b.house.LayerPlan.NoEnds || slices.ContainsFunc(b.house.Defects, func(s ifctest.Seed) bool { return s.Kind == "line-open" }),
	}
	var faults []string
	for _, k := range []string{"floor", "attic", "soffit"} {
		if skip[k] || want[k] == 0 && got[k] == 0 {
			continue
		}
		s := of("void-summary")
		s.defects++
		if math.Abs(got[k]-want[k]) <= share[k]*want[k] {
			s.told++
			continue
		}
		faults = append(faults, fmt.Sprintf("voids of kind %s take %.3f m2 in plan, in truth %.3f", k, got[k], want[k]))
	}
	return faults
}
