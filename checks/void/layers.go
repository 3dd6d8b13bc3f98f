package void

import "sort"

// layers sums the plan areas of the units below and above a compartment, cell by cell.
type layers struct {
	area [2]map[int]float64 // below, above
	both map[[2]int]float64 // under one unit and over another, lower first
	here [2]map[int]float64 // of the cell at hand
}

func newLayers() *layers {
	return &layers{area: [2]map[int]float64{{}, {}}, both: map[[2]int]float64{}, here: [2]map[int]float64{{}, {}}}
}

// room notes a room over or under the cell at hand.
func (l *layers) room(unit int, above bool, area float64) {
	k := 0
	if above {
		k = 1
	}
	if unit >= 0 {
		l.here[k][unit] = area
	}
}

// cell ends the cell at hand.
func (l *layers) cell() {
	for k := range l.here {
		for u, a := range l.here[k] {
			l.area[k][u] += a
		}
	}
	for u, a := range l.here[0] {
		for v := range l.here[1] {
			if u != v {
				l.both[[2]int{u, v}] += a
			}
		}
	}
	clear(l.here[0])
	clear(l.here[1])
}

// stacked returns the pairs of units that only a floor parts here: one nowhere above, the
// other nowhere below, and over each other but for rims and walls.
func (l *layers) stacked() [][2]int {
	const most = 0.8
	var out [][2]int
	for p, a := range l.both {
		u, v := p[0], p[1]
		if l.area[1][u] == 0 && l.area[0][v] == 0 && a >= most*l.area[0][u] && a >= most*l.area[1][v] {
			out = append(out, p)
		}
	}
	sort.Slice(out, func(i, j int) bool {
		return out[i][0] < out[j][0] || out[i][0] == out[j][0] && out[i][1] < out[j][1]
	})
	return out
}
