package plan

import (
	"math"
	"slices"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/output/words"
)

// Site is a building ready to be drawn: turned so that its main walls lie along the paper's
// edges and its long side across.
type Site struct {
	b      *words.Book
	d      *finding.Drawing
	ux, uy float64    // direction of the paper's x in the first model's coordinates
	lo, hi [2]float64 // extent in the turned frame, metres
	void   map[string][2]float64
}

// New reads what findings draw; nil when there is nothing to draw.
func New(b *words.Book) *Site {
	s := &Site{b: b, d: b.R.Drawing, ux: 1, void: map[string][2]float64{}}
	if s.d == nil {
		s.d = &finding.Drawing{}
	}
	if n := math.Hypot(s.d.Axis[0], s.d.Axis[1]); n > 0.5 {
		s.ux, s.uy = s.d.Axis[0]/n, s.d.Axis[1]/n
	}
	s.measure()
	if s.hi[1]-s.lo[1] > 1.05*(s.hi[0]-s.lo[0]) {
		s.ux, s.uy = -s.uy, s.ux
		s.measure()
	}
	if s.upsideDown() {
		s.ux, s.uy = -s.ux, -s.uy
		s.measure()
	}
	if s.hi[0]-s.lo[0] <= 0 || s.hi[1]-s.lo[1] <= 0 || math.IsInf(s.lo[0], 0) {
		return nil
	}
	for _, v := range s.d.Voids {
		s.void[v.ID] = v.Z
		for _, c := range v.Compartments {
			s.void[c.ID] = c.Z
		}
	}
	return s
}

// upsideDown reports whether north, or the model's y where north is not known, would point
// down on paper; where it lies across, whether the model's x would.
func (s *Site) upsideDown() bool {
	up := [2]float64{0, 1}
	if s.d.North != nil {
		up = *s.d.North
	}
	if y := s.turn(up)[1]; math.Abs(y) > 0.1 {
		return y < 0
	}
	return s.turn([2]float64{1, 0})[1] < -0.1
}

// measure finds the extent of walls, rooms and compartments.
func (s *Site) measure() {
	s.lo, s.hi = [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	put := func(p [2]float64) {
		q := s.turn(p)
		for i := range q {
			s.lo[i], s.hi[i] = min(s.lo[i], q[i]), max(s.hi[i], q[i])
		}
	}
	for i := range s.b.R.Spaces {
		for _, c := range s.b.R.Spaces[i].Compartments {
			for _, ring := range c.Outline {
				for _, p := range ring {
					put(p)
				}
			}
		}
	}
	for i := range s.d.Rooms {
		for _, ring := range s.d.Rooms[i].Outline {
			for _, p := range ring {
				put(p)
			}
		}
	}
	for i := range s.d.Walls {
		for _, p := range strip(&s.d.Walls[i], s.d.Walls[i].Across) {
			put(p)
		}
	}
}

func (s *Site) turn(p [2]float64) [2]float64 {
	return [2]float64{p[0]*s.ux + p[1]*s.uy, -p[0]*s.uy + p[1]*s.ux}
}

// strip is the outline of a wall, or of a part of it across.
func strip(w *finding.DrawnWall, across [2]float64) [][2]float64 {
	at := func(t, n float64) [2]float64 {
		return [2]float64{w.Origin[0] + t*w.Dir[0] - n*w.Dir[1], w.Origin[1] + t*w.Dir[1] + n*w.Dir[0]}
	}
	return [][2]float64{at(0, across[0]), at(w.LengthM, across[0]), at(w.LengthM, across[1]), at(0, across[1])}
}

// Layer is a height at which a level is cut.
type Layer int

// The layers of a level from below.
const (
	Floor Layer = iota // the void below the level's deck
	Walls              // rooms and walls on the level
	Attic              // the void over the level's ceiling
)

// Title says what a layer of a level shows.
func (l Layer) Title(storey string) string {
	storey = finding.StoreyWord(storey)
	switch {
	case storey == "":
		return "Building"
	case l == Floor:
		return "Floor void below " + storey
	case l == Attic:
		return "Attic over " + storey
	}
	return "Walls on " + storey
}

// LayerOf is the layer on which an item is seen.
func (s *Site) LayerOf(it *finding.Item) Layer {
	for _, id := range it.Spaces {
		if v := s.b.Void(id); v != nil {
			switch v.Kind {
			case "attic":
				return Attic
			case "floor", "crawl":
				return Floor
			}
		}
	}
	z := it.Point[2]
	if n := s.b.Level(it.Storey); n < len(s.b.R.Building.Storeys) && z < s.b.R.Building.Storeys[n].ElevationM-0.05 {
		return Floor
	}
	for i := range s.b.R.Spaces {
		v := &s.b.R.Spaces[i]
		if h, ok := s.void[v.ID]; ok && v.Kind == "attic" && v.Storey == it.Storey && z > h[0]-0.02 {
			return Attic
		}
	}
	return Walls
}

// heights are the lowest and highest z of a layer of a level.
func (s *Site) heights(storey string, l Layer) ([2]float64, bool) {
	z, found := [2]float64{math.Inf(1), math.Inf(-1)}, false
	put := func(h [2]float64) {
		z[0], z[1], found = min(z[0], h[0]), max(z[1], h[1]), true
	}
	if l == Walls {
		for i := range s.d.Walls {
			if s.d.Walls[i].Storey == storey {
				put(s.d.Walls[i].Z)
			}
		}
		if n := s.b.Level(storey); n < len(s.b.R.Building.Storeys) && found {
			z[0] = max(z[0], s.b.R.Building.Storeys[n].ElevationM-0.1)
		}
		return z, found
	}
	for i := range s.b.R.Spaces {
		v := &s.b.R.Spaces[i]
		if v.Storey != storey || (v.Kind == "attic") != (l == Attic) || l == Floor && v.Kind != "floor" && v.Kind != "crawl" {
			continue
		}
		if h, ok := s.void[v.ID]; ok {
			put(h)
		}
	}
	return z, found
}

// lender is the level whose void is drawn as a layer of a level: its own, or where a model
// files the void under a level of its own (an attic under "Roof"), the nearest that has one.
func (s *Site) lender(storey string, l Layer) string {
	n := s.b.Level(storey)
	if _, ok := s.heights(storey, l); ok || l == Walls || n == len(s.b.R.Building.Storeys) {
		return storey
	}
	best, at := math.Inf(1), storey
	for _, st := range s.b.R.Building.Storeys {
		d := math.Abs(st.ElevationM - s.b.R.Building.Storeys[n].ElevationM)
		if _, ok := s.heights(st.Name, l); ok && d < best {
			best, at = d, st.Name
		}
	}
	return at
}

// below is the level whose walls stand under a layer.
func (s *Site) below(storey string, l Layer) string {
	list := slices.Clone(s.b.R.Building.Storeys)
	slices.SortStableFunc(list, func(a, b finding.Storey) int {
		switch {
		case a.ElevationM < b.ElevationM:
			return -1
		case a.ElevationM > b.ElevationM:
			return 1
		}
		return 0
	})
	n := slices.IndexFunc(list, func(x finding.Storey) bool { return x.Name == storey })
	if l != Floor || n <= 0 {
		return storey
	}
	return list[n-1].Name
}

// Layers lists the layers of a level that hold something to draw.
func (s *Site) Layers(storey string) []Layer {
	var out []Layer
	for _, l := range []Layer{Floor, Walls, Attic} {
		if _, ok := s.heights(storey, l); ok {
			out = append(out, l)
		}
	}
	return out
}

func (s *Site) us() bool { return s.b.Sys != measure.SI }
