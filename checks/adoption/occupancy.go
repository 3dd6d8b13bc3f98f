package adoption

import (
	"slices"
	"strings"
)

// occupancies are the groups and kinds of dwelling that the submittal's schema gives as
// examples. An adoption file may know more.
var occupancies = []string{"R-1", "R-2", "R-3", "R-4", "townhouse", "two-family", "one-family"}

// Kind is an occupancy with all that people write otherwise taken out: "Group R-2" is r2,
// "Townhouses" is townhouse.
func Kind(occupancy string) string {
	k := strings.TrimPrefix(fold(occupancy), "group")
	if len(k) > 3 {
		k = strings.TrimSuffix(k, "s")
	}
	return k
}

func sameKind(list []string, occupancy string) bool {
	return slices.ContainsFunc(list, func(s string) bool { return Kind(s) == Kind(occupancy) })
}

// Subject is what conditions of the adoption are asked about before an item is at hand.
func (a *Adoption) Subject(f Facts, units int) Subject {
	return Subject{Facts: f, Units: units, Edition: a.EditionYear, occupancies: a.occupancies}
}

// Knows reports whether an occupancy is one of the words of the adoption file or of the
// schema of submittals: conditions decide nothing by any other.
func (a *Adoption) Knows(occupancy string) bool { return a.Subject(Facts{}, 0).knows(occupancy) }

func (s Subject) knows(occupancy string) bool {
	return occupancy != "" && (sameKind(occupancies, occupancy) || sameKind(s.occupancies, occupancy))
}

// words gathers the occupancies that the conditions of the file name.
func (a *Adoption) words() {
	for _, r := range a.rules {
		for i := range r.Instead {
			a.occupancies = append(a.occupancies, r.Instead[i].When.Occupancy...)
		}
		for i := range r.Exempt {
			a.occupancies = append(a.occupancies, r.Exempt[i].When.Occupancy...)
		}
	}
	slices.Sort(a.occupancies)
	a.occupancies = slices.Compact(a.occupancies)
}
