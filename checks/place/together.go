package place

import (
	"fmt"
	"slices"

	"voidcheck/checks/void"
)

// Joined begins a sentence on what openings join: "2 openings join".
func Joined(openings int) string {
	if openings == 1 {
		return "One opening joins"
	}
	return fmt.Sprintf("%d openings join", openings)
}

// Together names compartments that openings join, with their areas: "the floor void of U1
// (918 ft2) and 2 parts of the floor void of U2 (526 ft2 and 551 ft2)".
func (w *Words) Together(list []*void.Compartment) string {
	parts := map[*void.Void][]*void.Compartment{}
	var order []*void.Void
	for _, c := range list {
		if parts[c.Void] == nil {
			order = append(order, c.Void)
		}
		parts[c.Void] = append(parts[c.Void], c)
	}
	var names []string
	for _, v := range order {
		cs := parts[v]
		if len(cs) == 1 {
			name := w.Compartment(cs[0])
			names = append(names, "the "+name+" ("+w.Area(cs[0].AreaM2)+")")
			continue
		}
		var areas []string
		sum := 0.0
		for _, c := range cs {
			areas = append(areas, w.Area(c.AreaM2))
			sum += c.AreaM2
		}
		said := List(areas)
		if len(areas) > 3 {
			said = w.Area(sum) + " together"
		}
		names = append(names, fmt.Sprintf("%d parts of the %s (%s)", len(cs), w.Void(w.over(cs)), said))
	}
	return Short(names, mostJoined)
}

// mostJoined is how many voids a sentence names.
const mostJoined = 6

// over is the void of compartments as if it were over their units alone.
func (w *Words) over(cs []*void.Compartment) *void.Void {
	own := *cs[0].Void
	own.Units = nil
	for _, c := range cs {
		for _, u := range c.Units {
			if !slices.Contains(own.Units, u) {
				own.Units = append(own.Units, u)
			}
		}
	}
	slices.Sort(own.Units)
	return &own
}
