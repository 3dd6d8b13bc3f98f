package modelcontent

import (
	"fmt"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/place"
	"voidcheck/checks/recognise"
)

// facts tells where the submittal file and the models contradict each other in what exceptions
// go by: the kind of dwelling, how many units and storeys, and whether there are sprinklers.
func facts(p *checks.Pass, w *place.Words) []gap {
	var r []gap
	n := len(p.Facts.Units)
	if n == 0 {
		for _, u := range p.Building.Units {
			if u.Assumed {
				n = -1
			}
		}
		if n == 0 {
			n = len(p.Building.Units)
		}
	}
	kind := adoption.Kind(p.Facts.Occupancy)
	odd := ""
	switch {
	case n < 1:
	case kind == "townhouse" && n < 3: // three or more attached units (seen on a county's page on townhouses)
		odd = "a townhouse is one of three or more attached units"
	case kind == "twofamily" && n != 2:
		odd = "a two-family dwelling has two units"
	case kind == "onefamily" && n > 1:
		odd = "a one-family dwelling has one unit"
	}
	if odd != "" {
		r = append(r, gap{cause: "occupancy", storey: -1, place: "kind of dwelling",
			message: fmt.Sprintf("The submittal file says %s, and %s %d; %s. Limits and exceptions may be those of another kind of building.", p.Facts.Occupancy, known(n), n, odd),
			remedy:  "Put the occupancy of the submittal file right, or the units; submit all units of the building together."})
	}
	if p.OddOccupancy {
		r = append(r, gap{cause: "occupancy", storey: -1, place: "kind of dwelling",
			message: fmt.Sprintf("The submittal file says %q, which is no occupancy that the adoption file or the format of submittals knows; limits and exceptions that depend on it stay open.", p.Facts.Occupancy),
			remedy:  "Write the occupancy in the words of the adoption file: R-1, R-2, R-3, R-4, townhouse, two-family or one-family, for example."})
	}
	r = append(r, counts(p, w)...)
	if heads := p.Building.Of(recognise.Sprinkler); p.Facts.Sprinklers == "none" && len(heads) > 0 {
		g := gap{cause: "sprinklers contradict", storey: -1, place: "sprinkler protection",
			message: fmt.Sprintf("The submittal file says that there are no sprinklers, and the models show %d sprinkler elements; exceptions go by the submittal file.", len(heads)),
			remedy:  "Name the standard of the sprinkler system in the submittal file, or take the sprinklers out of the model."}
		r = append(r, g)
	}
	return r
}

func known(n int) string {
	if n == 1 {
		return "the number of dwelling units known is"
	}
	return "the dwelling units known are"
}

// counts tells where the submittal file lists other numbers of units and storeys than the
// models show. Storeys count above grade there, so that one more in the models is a basement.
func counts(p *checks.Pass, w *place.Words) []gap {
	var r []gap
	named := 0
	for _, u := range p.Building.Units {
		if !u.Assumed {
			named++
		}
	}
	if n := len(p.Facts.Units); n > 0 && named > 0 && n != named {
		r = append(r, gap{cause: "units contradict", storey: -1, place: "dwelling units",
			message: fmt.Sprintf("The submittal file lists %s, and the models name %d; exceptions that depend on their number stay open.", many(n, "dwelling unit"), named),
			remedy:  "List every unit in the submittal file with spaces that the models hold, or leave the units to the models."})
	}
	storeys := map[int]bool{}
	for i := range p.Building.Input.Rooms {
		if m := p.Building.Input.Rooms[i]; m.Mesh != nil && !m.Outside {
			storeys[w.StoreyAt(m.Mesh.Box().Min.Z, false)] = true
		}
	}
	if n, shown := p.Facts.Storeys, len(storeys); n > 0 && shown > 0 && (n > shown || n < shown-1) {
		r = append(r, gap{cause: "storeys contradict", storey: -1, place: "number of storeys",
			message: fmt.Sprintf("The submittal file counts %s, and the models show rooms on %d; exceptions go by the submittal file.", many(n, "storey"), shown),
			remedy:  "Put the number of storeys above grade in the submittal file right; submit all storeys of the building together."})
	}
	return r
}

func many(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
