package html

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
)

// maker builds the drawings.
type maker struct {
	r     *finding.Report
	d     *finding.Drawing
	sys   measure.System
	f     frame
	items map[string]*item
	out   *drawings
	level map[string]int // storey name -> index
	comp  map[string]int // compartment id -> index
	void  map[string]int
	open  map[string]int
	item  map[string]int // key -> index
	sheet map[[2]int]int // level, layer -> index
}

func newDrawings(r *finding.Report, items map[string]*item, sys measure.System) *drawings {
	m := &maker{r: r, d: r.Drawing, sys: sys, items: items, f: newFrame(r),
		level: map[string]int{}, comp: map[string]int{}, void: map[string]int{}, open: map[string]int{}, item: map[string]int{}, sheet: map[[2]int]int{}}
	if m.d == nil {
		m.d = &finding.Drawing{Axis: [2]float64{1, 0}}
	}
	m.out = &drawings{US: sys != measure.SI, Box: m.f.box, ModelX: m.f.along([2]float64{1, 0}), Outcome: map[string]wordFor{}}
	if m.d.North != nil {
		n := m.f.along(*m.d.North)
		m.out.North = &n
	}
	for _, o := range outcomes {
		m.out.Outcome[string(o.outcome)] = wordFor{o.word, o.means}
	}
	m.building()
	m.voids()
	m.parts()
	m.openings()
	m.sheets()
	m.itemsOf()
	m.proposed()
	m.sections()
	m.views()
	return m.out
}

func (m *maker) building() {
	for i, s := range m.r.Building.Storeys {
		if _, seen := m.level[s.Name]; !seen {
			m.level[s.Name] = i
		}
		m.out.Levels = append(m.out.Levels, levelData{words(s.Name), mm(s.ElevationM), measure.FormatLength(s.ElevationM, m.sys)})
	}
	if len(m.out.Levels) == 0 { // a model without storeys is one level
		m.level[""] = 0
		m.out.Levels = []levelData{{Name: "Building", Z: m.lowest()}}
	}
	for _, u := range m.r.Building.Units {
		m.out.Units = append(m.out.Units, unitData{u.ID, words(cmp.Or(u.Name, u.ID))})
	}
	for _, g := range m.d.Grid {
		if l, ok := m.f.onPaper(m.f.line(g.Line)); ok && !slices.Contains(m.out.Grid, gridData{words(g.Name), l}) { // each level may repeat it
			m.out.Grid = append(m.out.Grid, gridData{words(g.Name), l})
		}
	}
	for i := range m.d.Rooms {
		r := &m.d.Rooms[i]
		m.out.Rooms = append(m.out.Rooms, roomData{m.storey(r.Storey), words(r.Name), r.Unit, m.f.rings(r.Outline)})
	}
	for i := range m.d.Walls {
		w := &m.d.Walls[i]
		ring := strip(w, w.Across)
		v := wallData{Level: m.storey(w.Storey), Ring: m.f.ring(ring[:]), Kind: w.Kind, Sep: w.Separation, Z: m.f.z(w.Z)}
		for _, row := range w.Rows {
			ring := strip(w, row)
			v.Rows = append(v.Rows, m.f.ring(ring[:]))
		}
		m.out.Walls = append(m.out.Walls, v)
	}
}

// lowest is the foot of what stands lowest, mm.
func (m *maker) lowest() int {
	z, found := 0, false
	put := func(h float64) {
		if !found || mm(h-m.f.z0) < z {
			z, found = mm(h-m.f.z0), true
		}
	}
	for i := range m.d.Walls {
		put(m.d.Walls[i].Z[0])
	}
	for i := range m.d.Voids {
		put(m.d.Voids[i].Z[0])
	}
	return z
}

// storey is the index of a level by name, -1 when there is none.
func (m *maker) storey(name string) int {
	if i, ok := m.level[name]; ok {
		return i
	}
	return -1
}

func (m *maker) parts() {
	for i := range m.d.Framing {
		f := &m.d.Framing[i]
		m.out.Framing = append(m.out.Framing, memberData{f.Kind, words(f.Mark), m.f.line(f.Line), m.f.z(f.Z)})
	}
	m.out.Doors = m.partList(m.d.Doors)
	m.out.Stops = m.partList(m.d.Stops)
	m.out.Services = m.partList(m.d.Services)
}

func (m *maker) partList(list []finding.DrawnPart) []partData {
	var out []partData
	for i := range list {
		out = append(out, partData{list[i].Kind, words(list[i].Name), m.f.ring(list[i].Outline), m.f.z(list[i].Z)})
	}
	return out
}

func (m *maker) openings() {
	lines := map[string]*finding.DrawnLine{}
	for i := range m.d.Lines {
		for _, id := range m.d.Lines[i].Openings {
			lines[id] = &m.d.Lines[i]
		}
	}
	along := map[string][2]float64{}
	for _, o := range m.d.Openings {
		along[o.ID] = o.Along
	}
	for i := range m.r.Openings {
		o := &m.r.Openings[i]
		v := openingData{ID: o.ID, Kind: openingWord(o.Kind), Width: mm(o.WidthM), Height: mm(o.HeightM), Point: m.f.point3(o.Point), Comps: [2]int{-1, -1},
			Size: measure.FormatLength(o.WidthM, m.sys) + " × " + measure.FormatLength(o.HeightM, m.sys)}
		if a, ok := along[o.ID]; ok {
			d := m.f.along(a)
			v.Along = &d
		}
		for k, id := range o.Between {
			if c, ok := m.comp[id]; ok && k < 2 {
				v.Comps[k] = c
			}
		}
		v.Z = m.heightsOf(o.ID, v.Comps, lines)
		m.open[o.ID] = len(m.out.Openings)
		m.out.Openings = append(m.out.Openings, v)
	}
}

// heightsOf are the heights between which an opening lies: from the foot of the line that it
// interrupts, or the floor of the voids, to their top.
func (m *maker) heightsOf(id string, comps [2]int, lines map[string]*finding.DrawnLine) *[2]int {
	z := [2]int{math.MinInt, math.MaxInt}
	for _, c := range comps {
		if c >= 0 && m.out.Comps[c].Z[1] > m.out.Comps[c].Z[0] {
			z[0], z[1] = max(z[0], m.out.Comps[c].Z[0]), min(z[1], m.out.Comps[c].Z[1])
		}
	}
	if l := lines[id]; l != nil {
		z[0] = max(z[0], m.f.z(l.Z)[0])
	}
	if z[0] == math.MinInt || z[1] == math.MaxInt || z[0] >= z[1] {
		return nil
	}
	return &z
}

// openingWord says what kind of place joins two compartments.
func openingWord(kind string) string {
	w := map[string]string{
		"bay": "bay without a block", "line": "open line", "top-gap": "gap at the top", "bottom-gap": "gap at the bottom",
		"edge-gap": "gap at the end", "hole": "hole", "missing-plate": "missing plate", "open-level": "open through the level",
		"junction": "open junction", "ring": "ring round a service",
	}
	if s := w[kind]; s != "" {
		return s
	}
	return strings.ReplaceAll(words(kind), "-", " ")
}

// itemsOf lists the items with their place on paper.
func (m *maker) itemsOf() {
	for i := range m.r.Items {
		f := &m.r.Items[i]
		it := m.items[f.Key]
		v := itemData{Key: f.Key, Label: it.Label, Comment: f.Comment, Outcome: string(f.Outcome), Check: words(f.Check), Title: words(it.Title),
			Level: m.storey(f.Storey), Units: f.Units, Place: words(cmp.Or(f.Where(), it.Title)), Point: m.f.point3(f.Point), Sheet: -1}
		if it.Measured != "" {
			v.Said = words(it.Measured)
			if it.Limit != "" {
				v.Said += words(", limit " + it.Limit)
			}
		}
		for _, id := range f.Spaces {
			void, _, _ := strings.Cut(id, ".")
			if n, ok := m.void[void]; ok && !slices.Contains(v.Voids, n) {
				v.Voids = append(v.Voids, n)
			}
		}
		v.Quiet = f.Check == "void-summary" || f.Check == "model-content" || f.Storey == "" && len(f.Elements) != 1
		v.Sheet = m.sheetOf(f)
		it.Drawn = v.Sheet >= 0 && !v.Quiet
		n := len(m.out.Items)
		m.item[f.Key] = n
		m.out.Items = append(m.out.Items, v)
		for _, k := range v.Voids {
			m.out.Voids[k].Items = append(m.out.Voids[k].Items, n)
		}
	}
}

func (m *maker) proposed() {
	for _, p := range m.r.Proposals {
		i, ok := m.item[p.For]
		if !ok {
			continue
		}
		for _, s := range p.Stops {
			v := proposedData{Kind: cmp.Or(s.Kind, "draftstop"), Line: m.f.line(s.Line), Size: measure.FormatLength(s.LengthM, m.sys), Item: i, Sheet: m.out.Items[i].Sheet}
			if s.Z != nil {
				z := m.f.z(*s.Z)
				v.Z = &z
				if n := m.sheetAt(m.out.Items[i].Level, (z[0]+z[1])/2); n >= 0 {
					v.Sheet = n
				}
			}
			for _, a := range s.AreasM2 {
				v.Areas = append(v.Areas, words(measure.FormatArea(a, m.sys)))
			}
			m.out.Proposed = append(m.out.Proposed, v)
		}
	}
}
