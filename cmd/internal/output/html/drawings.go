package html

import (
	"cmp"
	"slices"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
)

// drawings is what the page's script draws from: everything in the paper's frame, in
// millimetres, and every text ready to be shown. Lists name each other by index.
type drawings struct {
	US       bool               `json:"us"`
	Box      [4]int             `json:"box"`
	North    *[2]int            `json:"north,omitempty"`
	ModelX   [2]int             `json:"modelX"`
	Levels   []levelData        `json:"levels"`
	Units    []unitData         `json:"units"`
	Grid     []gridData         `json:"grid"`
	Walls    []wallData         `json:"walls"`
	Doors    []partData         `json:"doors"`
	Framing  []memberData       `json:"framing"`
	Stops    []partData         `json:"stops"`
	Services []partData         `json:"services"`
	Rooms    []roomData         `json:"rooms"`
	Voids    []voidData         `json:"voids"`
	Comps    []compartmentData  `json:"comps"`
	Openings []openingData      `json:"openings"`
	Items    []itemData         `json:"items"`
	Proposed []proposedData     `json:"proposed"`
	Sheets   []sheetData        `json:"sheets"`
	Sections []sectionData      `json:"sections"`
	Views    []viewData         `json:"views"`
	Outcome  map[string]wordFor `json:"outcome"`
}

type wordFor struct {
	Word  string `json:"word"`
	Means string `json:"means"`
}

type levelData struct {
	Name string `json:"n"`
	Z    int    `json:"z"`
	At   string `json:"at"` // elevation in words
}

type unitData struct {
	ID   string `json:"id"`
	Name string `json:"n"`
}

type gridData struct {
	Name string `json:"n"`
	Line [4]int `json:"l"`
}

type wallData struct {
	Level int     `json:"lv"`
	Ring  []int   `json:"p"`
	Rows  [][]int `json:"rows,omitempty"`
	Kind  string  `json:"k"`
	Sep   string  `json:"s,omitempty"`
	Z     [2]int  `json:"z"`
}

type partData struct {
	Kind string `json:"k"`
	Name string `json:"n,omitempty"`
	Ring []int  `json:"p"`
	Z    [2]int `json:"z"`
}

type memberData struct {
	Kind string `json:"k"`
	Mark string `json:"m,omitempty"`
	Line [4]int `json:"l"`
	z    [2]int
}

type roomData struct {
	Level int     `json:"lv"`
	Name  string  `json:"n,omitempty"`
	Unit  string  `json:"u,omitempty"`
	Rings [][]int `json:"o"`
}

type voidData struct {
	ID       string      `json:"id"`
	Kind     string      `json:"k"`
	KindWord string      `json:"kw"`
	Level    int         `json:"lv"`
	Units    []string    `json:"u,omitempty"`
	Facts    [][2]string `json:"f"`
	Comps    []int       `json:"c,omitempty"`
	Items    []int       `json:"i,omitempty"`
	Ribs     [][]int     `json:"ribs,omitempty"` // x, y, z, x, y, z, ...
	Sheet    int         `json:"sh"`
	Z        [2]int      `json:"z"`
}

type compartmentData struct {
	ID     string   `json:"id"`
	Void   int      `json:"v"`
	Units  []string `json:"u,omitempty"`
	Area   string   `json:"a"`
	Height string   `json:"h,omitempty"`
	Volume string   `json:"vol,omitempty"`
	Limit  string   `json:"lim,omitempty"`
	State  string   `json:"st,omitempty"` // over, joined, within
	Joined string   `json:"jn,omitempty"`
	Rings  [][]int  `json:"o"`
	Z      [2]int   `json:"z"`
	Point  *[3]int  `json:"pt,omitempty"`
}

type openingData struct {
	ID     string  `json:"id"`
	Kind   string  `json:"k"`
	Size   string  `json:"s"`
	Width  int     `json:"w"`
	Height int     `json:"h"`
	Point  [3]int  `json:"p"`
	Along  *[2]int `json:"al,omitempty"`
	Comps  [2]int  `json:"c"`
}

type itemData struct {
	Key     string   `json:"key"`
	Label   string   `json:"n,omitempty"`
	Comment int      `json:"c,omitempty"`
	Outcome string   `json:"o"`
	Check   string   `json:"ck"`
	Title   string   `json:"t"`
	Level   int      `json:"lv"`
	Units   []string `json:"u,omitempty"`
	Place   string   `json:"pl"`
	Said    string   `json:"m,omitempty"` // measured against limit
	Point   [3]int   `json:"p"`
	Sheet   int      `json:"sh"`
	Voids   []int    `json:"v,omitempty"`
	Quiet   bool     `json:"q,omitempty"` // speaks of a whole void or the submittal: no mark on drawings
}

type proposedData struct {
	Kind  string   `json:"k"`
	Line  [4]int   `json:"l"`
	Z     *[2]int  `json:"z,omitempty"`
	Size  string   `json:"s"`
	Areas []string `json:"a,omitempty"`
	Item  int      `json:"i"`
	Sheet int      `json:"sh"`
}

type sheetData struct {
	ID       string `json:"id"`
	Title    string `json:"t"`
	Layer    string `json:"ly"` // floor, walls, attic
	Level    int    `json:"lv"`
	WallsOf  int    `json:"wl"` // level whose walls stand under the layer
	Comps    []int  `json:"c,omitempty"`
	Stops    []int  `json:"st,omitempty"`
	Services []int  `json:"sv,omitempty"`
	Framing  []int  `json:"fr,omitempty"`
	Openings []int  `json:"op,omitempty"`
	Z        [2]int `json:"z"`
}

type sectionData struct {
	ID    string    `json:"id"`
	Kind  string    `json:"k"`
	Title string    `json:"t"`
	Sep   string    `json:"s,omitempty"`
	Units []string  `json:"u,omitempty"`
	Line  [4]int    `json:"l"`
	Cuts  []cutData `json:"c"`
	Marks [][2]int  `json:"m,omitempty"` // item, s in mm
	Opens [][2]int  `json:"op,omitempty"`
	Stops [][3]int  `json:"ps,omitempty"` // proposed stop, from s to s
	Lines [][2]any  `json:"ul,omitempty"` // unit lines crossed: name, s
}

type cutData struct {
	Role   string  `json:"r"`
	Beyond bool    `json:"b,omitempty"`
	Boxes  []int   `json:"x,omitempty"`
	Rings  [][]int `json:"g,omitempty"`
}

type viewData struct {
	Sep    string      `json:"s"`
	Title  string      `json:"t"`
	Units  []string    `json:"u"`
	Comps  []int       `json:"c"`
	Routes []routeData `json:"r,omitempty"`
	Opens  []int       `json:"op,omitempty"`
	Line   *[4]int     `json:"l,omitempty"`
}

// routeData is a way of fire: compartment, opening, compartment, ...; -1 where one is not known.
type routeData struct {
	Item  int      `json:"i"`
	Comps []int    `json:"c"`
	Opens []int    `json:"o"`
	Words []string `json:"w"`
}

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
	for _, u := range m.r.Building.Units {
		m.out.Units = append(m.out.Units, unitData{u.ID, words(cmp.Or(u.Name, u.ID))})
	}
	for _, g := range m.d.Grid {
		m.out.Grid = append(m.out.Grid, gridData{words(g.Name), m.f.line(g.Line)})
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
		m.open[o.ID] = len(m.out.Openings)
		m.out.Openings = append(m.out.Openings, v)
	}
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
		v.Quiet = f.Check == "void-summary" || f.Check == "model-content" || f.Storey == "" && f.Point == [3]float64{}
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
