package void

import "sort"

// unitAreas sums plan areas by unit: few, in the order in which they came.
type unitAreas []unitArea

type unitArea struct {
	unit int
	area float64
}

// add adds to the area of a unit, most likely of one that came last.
func (l *unitAreas) add(unit int, area float64) {
	for k := len(*l) - 1; k >= 0; k-- {
		if x := &(*l)[k]; x.unit == unit {
			x.area += area
			return
		}
	}
	*l = append(*l, unitArea{unit, area})
}

func (l unitAreas) of(unit int) float64 {
	for _, x := range l {
		if x.unit == unit {
			return x.area
		}
	}
	return 0
}

// layers sums the plan areas of the units below and above a compartment, cell by cell.
type layers struct {
	area [2]unitAreas       // below, above
	both map[[2]int]float64 // under one unit and over another, lower first
	here [2][]int           // units of the cell at hand
}

// room notes a room over or under the cell at hand.
func (l *layers) room(unit int, above bool) {
	k := 0
	if above {
		k = 1
	}
	if unit >= 0 && !containsInt(l.here[k], unit) {
		l.here[k] = append(l.here[k], unit)
	}
}

// cell ends the cell at hand, whose area it is given.
func (l *layers) cell(area float64) {
	for k, units := range l.here {
		for _, u := range units {
			l.area[k].add(u, area)
		}
	}
	for _, u := range l.here[0] {
		for _, v := range l.here[1] {
			if u != v {
				if l.both == nil {
					l.both = map[[2]int]float64{}
				}
				l.both[[2]int{u, v}] += area
			}
		}
	}
	l.here[0], l.here[1] = l.here[0][:0], l.here[1][:0]
}

// stacked returns the pairs of units that only a floor parts here: one nowhere above, the
// other nowhere below, and over each other but for rims and walls.
func (l *layers) stacked() [][2]int {
	const most = 0.8
	var out [][2]int
	for p, a := range l.both {
		u, v := p[0], p[1]
		if l.area[1].of(u) == 0 && l.area[0].of(v) == 0 && a >= most*l.area[0].of(u) && a >= most*l.area[1].of(v) {
			out = append(out, p)
		}
	}
	sort.Slice(out, func(i, j int) bool {
		return out[i][0] < out[j][0] || out[i][0] == out[j][0] && out[i][1] < out[j][1]
	})
	return out
}
