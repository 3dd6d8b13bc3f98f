package place

import (
	"testing"

	"voidcheck/checks/measure"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

func TestName(t *testing.T) {
	for _, tt := range []struct{ name, tag, want string }{
		{"W-12", "", "W-12"}, {"", "T7", "T7"}, {"*", "", ""}, {"  two\n words ", "", "two words"},
		{"Basic Wall:Interior - Partition (92mm Stud):203347", "", "Interior - Partition (92mm Stud) 203347"},
		{"Basic Wall:Party Wall - CMU Residential Unit Dimising Wall:139234", "", "Party Wall - CMU Residential Uni… 139234"},
		{"a:b:c", "", "a:b:c"}, {"12:34", "", "12:34"},
		{"Fachwerkträger über dem Wohnzimmer, zweite Lage von links", "", "Fachwerkträger über dem Wohnzimmer, zwe…"},
	} {
		got := Name(&model.Element{Kind: &model.Kind{}, Name: tt.name, Tag: tt.tag})
		if got != tt.want || len([]rune(got)) > longestName {
			t.Errorf("Name(%q, %q) = %q, want %q", tt.name, tt.tag, got, tt.want)
		}
	}
}

func words(marks ...string) (*Words, []int) {
	b := &recognise.Building{}
	var is []int
	for i, m := range marks {
		e := &model.Element{Kind: &model.Kind{}, Index: i, Name: m}
		b.Things = append(b.Things, recognise.Thing{Element: e, Concept: recognise.FloorTruss})
		b.Trusses = append(b.Trusses, &recognise.Truss{Index: i, Mark: m, Element: e})
		is = append(is, i)
	}
	b.Things = append(b.Things, recognise.Thing{Element: &model.Element{Kind: &model.Kind{}, Index: len(marks), Name: "J-3"}, Concept: recognise.Joist})
	return New(b, &void.Result{}, measure.US), is
}

func TestBay(t *testing.T) {
	for _, tt := range []struct {
		marks   []string
		members []int
		want    string
	}{
		{[]string{"FT-14", "FT-15"}, []int{0, 1}, "bay between trusses FT-14 and FT-15"},
		{[]string{"FT-10", "FT-9"}, []int{0, 1}, "bay between trusses FT-9 and FT-10"},
		{[]string{"Floor truss 11", "Floor truss 13"}, []int{0, 1}, "bay between Floor truss 11 and Floor truss 13"},
		{[]string{"FT-1"}, []int{0}, "bay beside truss FT-1"},
		{[]string{"FT1", "FT1"}, []int{0, 1}, "bay between two of truss FT1"},
		{[]string{"FT-1"}, []int{0, 1}, "bay between joist J-3 and truss FT-1"},
		{nil, nil, ""},
	} {
		w, _ := words(tt.marks...)
		if got := w.Bay(&void.Opening{Members: tt.members}); got != tt.want {
			t.Errorf("%v: %q, want %q", tt.marks, got, tt.want)
		}
	}
}

// Where a bay lies along its line is told by the nearer end, which has a name: the same
// whichever way the line runs.
func TestOpeningAlongLine(t *testing.T) {
	w, _ := words("FT1", "FT1")
	for _, l := range []*void.Line{{B: geom.Vec2{Y: 12}}, {A: geom.Vec2{Y: 12}}} {
		o := &void.Opening{Kind: void.OpenBay, Members: []int{0, 1}, Line: l, Point: geom.Vec3{X: 0.1, Y: 9}}
		if got, want := w.Opening(o), `bay between two of truss FT1`; got != want {
			t.Errorf("%q, want %q", got, want)
		}
		if got, want := w.OpeningAt(o), `9'-10" from the plan north end`; got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestUnits(t *testing.T) {
	w, _ := words()
	for _, tt := range []struct {
		us   []int
		want string
	}{{nil, ""}, {[]int{0}, "U1"}, {[]int{0, 1}, "U1 and U2"}, {[]int{0, 2, 3}, "U1, U3 and U4"}, {[]int{1, 2, 3, 4}, "U2 to U5"}, {[]int{0, 1, 2, 4}, "U1, U2, U3 and U5"}} {
		if got := w.Units(tt.us); got != tt.want {
			t.Errorf("Units(%v) = %q, want %q", tt.us, got, tt.want)
		}
	}
}

// The side of a double wall belongs to the unit whose rooms lie there, whichever way the
// wall runs, and for units that lie on both sides on different storeys to the one below.
func TestSideUnit(t *testing.T) {
	room := func(u int, x0, x1, z0 float64) void.Room {
		return void.Room{Unit: u, Mesh: geom.BoxMesh(geom.Box{Min: geom.Vec3{X: x0, Z: z0}, Max: geom.Vec3{X: x1, Y: 10, Z: z0 + 2.4}})}
	}
	for _, dir := range []float64{1, -1} {
		b := &recognise.Building{}
		b.Input.Rooms = []void.Room{room(0, 0, 5, 0), room(1, 5.3, 10, 0), room(1, 0, 5, 3), room(0, 5.3, 10, 3)}
		wall := void.Wall{Origin: geom.Vec2{X: 5.15}, Dir: geom.Vec2{Y: 1}, Length: 10, Across: void.Span{Lo: -0.15, Hi: 0.15}}
		if dir < 0 {
			wall.Origin.Y, wall.Dir.Y = 10, -1
		}
		b.Input.Walls = []void.Wall{wall}
		b.Input.Separations = []void.Separation{{Units: [2]int{0, 1}, Walls: []int{0}}}
		w := New(b, &void.Result{}, measure.US)
		for _, side := range []int{-1, 1} {
			l := &void.Line{Wall: 0, Side: side, A: wall.At(0, 0), B: wall.At(10, 0), Z0: 2.5, Z1: 2.9}
			want := 0 // low x
			if float64(side)*dir < 0 {
				want = 1
			}
			if got := w.SideUnit(l); got != want {
				t.Errorf("dir %v side %d: unit %d, want %d", dir, side, got, want)
			}
		}
	}
}
