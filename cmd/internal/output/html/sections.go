package html

import (
	"fmt"
	"math"
	"slices"

	"voidcheck/checks/finding"
)

// How far from a section's plane something may lie to be marked on it, mm.
var markReach = map[string]float64{"long": 900, "cross": 900, "along": 400, "across": 450}

func (m *maker) sections() {
	stretches := m.stretches()
	for i := range m.d.Sections {
		s := &m.d.Sections[i]
		v := sectionData{ID: "S" + s.ID, Kind: s.Kind, Sep: s.Separation, Line: m.f.line(s.Line), Title: m.sectionTitle(s, stretches[i])}
		if sep := m.separation(s.Separation); sep != nil {
			v.Units = sep.Units
		}
		// What runs from right to left on the plan is shown from the other side.
		turned := v.Line[2] < v.Line[0]-1 || abs(v.Line[2]-v.Line[0]) <= 1 && v.Line[3] < v.Line[1]
		length := int(math.Hypot(float64(v.Line[2]-v.Line[0]), float64(v.Line[3]-v.Line[1])))
		if turned {
			v.Line = [4]int{v.Line[2], v.Line[3], v.Line[0], v.Line[1]}
		}
		for _, c := range s.Cuts {
			v.Cuts = append(v.Cuts, m.cut(&c, length, turned))
		}
		m.marks(&v)
		m.stops(&v)
		m.crossed(&v)
		m.out.Sections = append(m.out.Sections, v)
	}
}

func abs(v int) int {
	if v < 0 {
		return -v
	}
	return v
}

func (m *maker) cut(c *finding.Cut, length int, turned bool) cutData {
	out := cutData{Role: c.Role, Beyond: c.Beyond}
	s := func(v float64) int {
		if turned {
			return length - mm(v)
		}
		return mm(v)
	}
	for _, b := range c.Boxes {
		s0, s1 := s(b[0]), s(b[2])
		out.Boxes = append(out.Boxes, min(s0, s1), mm(b[1]-m.f.z0), max(s0, s1), mm(b[3]-m.f.z0))
	}
	for _, r := range c.Rings {
		var ring []int
		for _, p := range r {
			ring = append(ring, s(p[0]), mm(p[1]-m.f.z0))
		}
		out.Rings = append(out.Rings, ring)
	}
	return out
}

func (m *maker) separation(id string) *finding.Separation {
	for i := range m.r.Building.Separations {
		if s := &m.r.Building.Separations[i]; s.ID == id {
			return s
		}
	}
	return nil
}

// stretches tells the sections apart of a unit line that stands in several stretches: which it
// is, of how many, and on which levels; empty for the others. A stretch has its sections along
// it and then one across it.
func (m *maker) stretches() []string {
	out := make([]string, len(m.d.Sections))
	number := map[string]int{}
	total := map[string]int{}
	for i := range m.d.Sections {
		if s := &m.d.Sections[i]; s.Kind == "across" {
			total[s.Separation]++
		}
	}
	levels := ""
	for i := range m.d.Sections {
		s := &m.d.Sections[i]
		if total[s.Separation] < 2 || s.Kind != "along" && s.Kind != "across" {
			continue
		}
		if s.Kind == "along" {
			levels = m.levelsAlong(s)
		}
		out[i] = fmt.Sprintf(" (stretch %d of %d%s)", number[s.Separation]+1, total[s.Separation], levels)
		if s.Kind == "across" {
			number[s.Separation]++
		}
	}
	return out
}

// levelsAlong names the levels on which walls of the unit line stand in a section along it.
func (m *maker) levelsAlong(s *finding.Section) string {
	line, out := m.f.line(s.Line), ""
	for _, st := range m.r.Building.Storeys {
		if slices.ContainsFunc(m.d.Walls, func(w finding.DrawnWall) bool {
			mid := w.Across[0]/2 + w.Across[1]/2
			at := [2]float64{w.Origin[0] + w.LengthM/2*w.Dir[0] - mid*w.Dir[1], w.Origin[1] + w.LengthM/2*w.Dir[1] + mid*w.Dir[0]}
			p := m.f.point(at)
			_, off := place(line, [3]int{p[0], p[1], 0})
			along := math.Abs(w.Dir[0]*(s.Line[1][1]-s.Line[0][1]) - w.Dir[1]*(s.Line[1][0]-s.Line[0][0])) // zero for a wall that runs along
			return w.Storey == st.Name && w.Separation == s.Separation && off < 500 && along < 0.1
		}) {
			out += ", " + words(st.Name)
		}
	}
	return out
}

func (m *maker) sectionTitle(s *finding.Section, stretch string) string {
	line := ""
	if sep := m.separation(s.Separation); sep != nil {
		line = m.lineName(sep) + stretch
	}
	switch s.Kind {
	case "long", "cross":
		way := "across"
		if s.Kind == "long" {
			way = "along"
		}
		title := "Section " + way + " the building"
		if s.Kind == "long" && len(m.r.Building.Separations) > 0 {
			title += ", across the unit lines"
		}
		if slices.ContainsFunc(m.out.Voids, func(v voidData) bool { return v.Kind == "attic" }) {
			title += ", through the highest attic"
		}
		return title
	case "along":
		if s.Side != "" {
			return "Section along " + line + ", in the stud row of " + words(m.unitNames([]string{s.Side})[0])
		}
		return "Section along " + line
	}
	return "Section across " + line
}

// lineName names a unit line.
func (m *maker) lineName(sep *finding.Separation) string {
	names := m.unitNames(sep.Units)
	switch len(names) {
	case 0:
		return "unit line " + sep.ID
	case 1:
		return words("unit line of " + names[0])
	}
	return words(fmt.Sprintf("unit line %s / %s", names[0], names[1]))
}

// place gives where a point lies along a section and how far off it, mm.
func place(l [4]int, p [3]int) (s, off float64) {
	dx, dy := float64(l[2]-l[0]), float64(l[3]-l[1])
	n := math.Hypot(dx, dy)
	if n == 0 {
		return 0, math.Inf(1)
	}
	x, y := float64(p[0]-l[0]), float64(p[1]-l[1])
	return (x*dx + y*dy) / n, math.Abs(x*dy-y*dx) / n
}

// marks puts the items and openings near a section onto it.
func (m *maker) marks(v *sectionData) {
	n := math.Hypot(float64(v.Line[2]-v.Line[0]), float64(v.Line[3]-v.Line[1]))
	near := func(p [3]int) (int, bool) {
		s, off := place(v.Line, p)
		return int(math.Round(s)), off <= markReach[v.Kind] && s >= 0 && s <= n
	}
	for i := range m.out.Items {
		it := &m.out.Items[i]
		if it.Quiet {
			continue
		}
		if s, ok := near(it.Point); ok && (v.Units == nil || len(it.Units) == 0 || slices.ContainsFunc(it.Units, func(u string) bool { return slices.Contains(v.Units, u) })) {
			v.Marks = append(v.Marks, [2]int{i, s})
		}
	}
	for i := range m.out.Openings {
		if s, ok := near(m.out.Openings[i].Point); ok {
			v.Opens = append(v.Opens, [2]int{i, s})
		}
	}
}

// stops puts the proposed stops onto a section: those it crosses as an upright line, those
// that run along it with their length.
func (m *maker) stops(v *sectionData) {
	n := math.Hypot(float64(v.Line[2]-v.Line[0]), float64(v.Line[3]-v.Line[1]))
	for i := range m.out.Proposed {
		p := &m.out.Proposed[i]
		if p.Z == nil || p.Z[1]-p.Z[0] < 20 || p.Kind == "seal" {
			continue
		}
		s0, off0 := place(v.Line, [3]int{p.Line[0], p.Line[1]})
		s1, off1 := place(v.Line, [3]int{p.Line[2], p.Line[3]})
		a, b := side(v.Line, p.Line[0], p.Line[1]), side(v.Line, p.Line[2], p.Line[3])
		switch {
		case s0 < 0 || s1 < 0 || s0 > n || s1 > n:
		case max(off0, off1) <= markReach["along"] && math.Abs(s1-s0) > 100:
			v.Stops = append(v.Stops, [3]int{i, int(min(s0, s1)), int(max(s0, s1))})
		case a*b < 0 && math.Abs(s1-s0) < 50:
			at := int((s0 + s1) / 2)
			v.Stops = append(v.Stops, [3]int{i, at, at})
		}
	}
}

// side is the sign of the side of a line on which a point lies.
func side(l [4]int, x, y int) int {
	c := (l[2]-l[0])*(y-l[1]) - (l[3]-l[1])*(x-l[0])
	switch {
	case c < 0:
		return -1
	case c > 0:
		return 1
	}
	return 0
}

// crossed names the unit lines that a section through the building crosses.
func (m *maker) crossed(v *sectionData) {
	if v.Kind != "long" && v.Kind != "across" {
		return
	}
	seen := map[string]bool{}
	for i := range m.out.Walls {
		w := &m.out.Walls[i]
		if w.Sep == "" || seen[w.Sep] || len(w.Ring) < 8 {
			continue
		}
		x, y := (w.Ring[0]+w.Ring[4])/2, (w.Ring[1]+w.Ring[5])/2
		s, off := place(v.Line, [3]int{x, y, 0})
		long := math.Hypot(float64(w.Ring[2]-w.Ring[0]), float64(w.Ring[3]-w.Ring[1]))
		if off < long/2 && s > 0 && s < math.Hypot(float64(v.Line[2]-v.Line[0]), float64(v.Line[3]-v.Line[1])) {
			seen[w.Sep] = true
			name := w.Sep
			if sep := m.separation(w.Sep); sep != nil {
				name = m.lineName(sep)
			}
			v.Lines = append(v.Lines, [2]any{name, int(math.Round(s))})
		}
	}
}
