package html

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voidcheck/checks/finding"
)

// The layers of a level, from below: the void under its floor, its walls, the attic over it.
const (
	layerFloor = iota
	layerWalls
	layerAttic
)

var layerName = []string{"floor", "walls", "attic"}

func layerTitle(layer int) string {
	return [...]string{"floor void, under this level", "walls, soffits and shafts", "attic, over this level"}[layer]
}

func layerOf(kind string) int {
	switch kind {
	case "floor", "crawl":
		return layerFloor
	case "attic":
		return layerAttic
	}
	return layerWalls
}

// sheets makes one plan for each layer of each level that has something to show.
func (m *maker) sheets() {
	var found [][2]int
	put := func(level, layer int) {
		if level >= 0 && !slices.Contains(found, [2]int{level, layer}) {
			found = append(found, [2]int{level, layer})
		}
	}
	for i := range m.out.Voids {
		put(m.out.Voids[i].Level, layerOf(m.out.Voids[i].Kind))
	}
	for i := range m.out.Walls {
		put(m.out.Walls[i].Level, layerWalls)
	}
	slices.SortFunc(found, func(a, b [2]int) int {
		if a[0] != b[0] {
			return a[0] - b[0]
		}
		return a[1] - b[1]
	})
	for n, k := range found {
		level, layer := k[0], k[1]
		s := sheetData{ID: fmt.Sprintf("P%d", n+1), Title: m.out.Levels[level].Name + ": " + layerTitle(layer), Layer: layerName[layer], Level: level, WallsOf: level}
		if layer == layerFloor && m.hasWalls(level-1) {
			s.WallsOf = level - 1
		}
		s.Z = m.heights(level, layer)
		m.sheet[k] = n
		m.out.Sheets = append(m.out.Sheets, s)
	}
	m.fill()
}

func (m *maker) hasWalls(level int) bool {
	return slices.ContainsFunc(m.out.Walls, func(w wallData) bool { return w.Level == level })
}

// heights is the range of a layer: that of its voids, or of the walls of the level.
func (m *maker) heights(level, layer int) [2]int {
	z := [2]int{math.MaxInt, math.MinInt}
	put := func(a [2]int) {
		if a[1] > a[0] {
			z[0], z[1] = min(z[0], a[0]), max(z[1], a[1])
		}
	}
	if layer != layerWalls {
		for i := range m.out.Voids {
			if v := &m.out.Voids[i]; v.Level == level && layerOf(v.Kind) == layer {
				put(v.Z)
			}
		}
	} else {
		// Up to where the next layer begins; walls of unit lines run on into the attic.
		z[0] = m.out.Levels[level].Z - 50
		z[1] = z[0] + 2600
		next := math.MaxInt
		for i := range m.out.Voids {
			v := &m.out.Voids[i]
			if v.Z[0] > z[0]+1500 && (layerOf(v.Kind) == layerAttic && v.Level == level || layerOf(v.Kind) == layerFloor && v.Level == level+1) {
				next = min(next, v.Z[0])
			}
		}
		if next < math.MaxInt {
			z[1] = next
		}
	}
	if z[0] > z[1] {
		return [2]int{}
	}
	return z
}

// shares reports whether a part with heights z belongs to a layer: half of it, or half of the layer.
func shares(z, layer [2]int) bool {
	over := min(z[1], layer[1]) - max(z[0], layer[0])
	return over > 0 && 2*over >= min(z[1]-z[0], layer[1]-layer[0])
}

// fill puts things on the sheets of the layers they stand in.
func (m *maker) fill() {
	for n := range m.out.Sheets {
		s := &m.out.Sheets[n]
		layer := slices.Index(layerName, s.Layer)
		for i := range m.out.Comps {
			c := &m.out.Comps[i]
			v := &m.out.Voids[c.Void]
			own := layerOf(v.Kind)
			switch {
			case own != layerWalls && own == layer && v.Level == s.Level:
			case own == layerWalls && v.Z[1] > v.Z[0] && m.withinLayer(c.Z, s):
			case own == layerWalls && v.Z[1] <= v.Z[0] && layer == layerWalls && v.Level == s.Level:
			default:
				continue
			}
			s.Comps = append(s.Comps, i)
			if v.Sheet < 0 {
				v.Sheet = n
			}
		}
		for i := range m.out.Stops {
			if shares(m.out.Stops[i].Z, s.Z) {
				s.Stops = append(s.Stops, i)
			}
		}
		for i := range m.out.Services {
			if z := m.out.Services[i].Z; min(z[1], s.Z[1])-max(z[0], s.Z[0]) > 20 {
				s.Services = append(s.Services, i)
			}
		}
		for i := range m.out.Framing {
			f := &m.out.Framing[i]
			roof := f.Kind == "roof-truss" || f.Kind == "rafter"
			if layer != layerWalls && roof == (layer == layerAttic) && min(f.z[1], s.Z[1])-max(f.z[0], s.Z[0]) > 20 {
				s.Framing = append(s.Framing, i)
			}
		}
	}
	// A void without compartments of its own is still found on the sheet of its layer.
	for i := range m.out.Voids {
		v := &m.out.Voids[i]
		if n, ok := m.sheet[[2]int{v.Level, layerOf(v.Kind)}]; ok && v.Sheet < 0 {
			v.Sheet = n
		}
	}
	for i := range m.out.Openings {
		if n := m.openingSheet(&m.out.Openings[i]); n >= 0 {
			m.out.Sheets[n].Openings = append(m.out.Sheets[n].Openings, i)
		}
	}
}

// withinLayer reports whether the middle of a cavity's compartment lies in a sheet's layer.
func (m *maker) withinLayer(z [2]int, s *sheetData) bool {
	mid := (z[0] + z[1]) / 2
	return mid >= s.Z[0] && mid < s.Z[1]
}

// openingSheet prefers the horizontal void of an opening to its wall cavity.
func (m *maker) openingSheet(o *openingData) int {
	best := -1
	for _, c := range o.Comps {
		if c < 0 {
			continue
		}
		v := &m.out.Voids[m.out.Comps[c].Void]
		if layerOf(v.Kind) != layerWalls {
			return v.Sheet
		}
		if n := m.sheetAt(v.Level, o.Point[2]); n >= 0 {
			best = n
		}
	}
	return best
}

// sheetAt is the sheet whose layer holds a height, of the level if it can be.
func (m *maker) sheetAt(level, z int) int {
	best := -1
	for n := range m.out.Sheets {
		s := &m.out.Sheets[n]
		if z >= s.Z[0]-5 && z < s.Z[1]+5 && (best < 0 || s.Level == level && m.out.Sheets[best].Level != level) {
			best = n
		}
	}
	return best
}

// sheetOf is the plan on which an item is marked, -1 for none.
func (m *maker) sheetOf(f *finding.Item) int {
	z := mm(f.Point[2])
	var voids []*voidData
	for _, id := range f.Spaces {
		id, _, _ = strings.Cut(id, ".")
		if n, ok := m.void[id]; ok {
			voids = append(voids, &m.out.Voids[n])
		}
	}
	for _, v := range voids {
		if layerOf(v.Kind) != layerWalls && v.Sheet >= 0 {
			return v.Sheet
		}
	}
	level := m.storey(f.Storey)
	if len(voids) == 0 && level < 0 {
		return -1
	}
	if n := m.sheetAt(level, z); n >= 0 {
		return n
	}
	// Between two layers, in a deck or a ceiling: the level's own layer nearest to it.
	best, least := -1, math.MaxInt
	for n := range m.out.Sheets {
		s := &m.out.Sheets[n]
		d := max(s.Z[0]-z, z-s.Z[1])
		if s.Level != level {
			d += 1000
		}
		if d < least {
			best, least = n, d
		}
	}
	if best < 0 && len(voids) > 0 {
		return voids[0].Sheet
	}
	return best
}
