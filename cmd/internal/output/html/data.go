package html

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
	Z      *[2]int `json:"zr,omitempty"` // heights of the place that it leaves open, of the line or the void
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
	Quiet   bool     `json:"q,omitempty"` // speaks of a whole void, the building or the submittal: no mark on drawings
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
