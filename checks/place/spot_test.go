package place

import (
	"testing"

	"voidcheck/checks/measure"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// house has two rooms of 4 m x 5 m side by side, a wall of 0.2 m between them, in two units.
func house(sys measure.System) *Words {
	b := &recognise.Building{Model: &model.Building{}}
	b.Units = []*recognise.DwellingUnit{{ID: "U1", Name: "Unit 1"}, {ID: "U2", Name: "Unit 2"}}
	for i, n := range []string{"Living", "Kitchen"} {
		x := 4.2 * float64(i)
		b.Model.Spaces = append(b.Model.Spaces, &model.Space{Element: &model.Element{Kind: &model.Kind{LongName: n}, Name: string(rune(65+i)) + "101"}})
		b.Input.Rooms = append(b.Input.Rooms, void.Room{Unit: i, Element: i, Mesh: geom.BoxMesh(geom.Box{Min: geom.Vec3{X: x}, Max: geom.Vec3{X: x + 4, Y: 5, Z: 2.4}})})
	}
	b.Input.Walls = []void.Wall{{Origin: geom.Vec2{X: 4.1}, Dir: geom.Vec2{Y: 1}, Length: 5, Across: void.Span{Lo: -0.1, Hi: 0.1}, Separation: 0}, {Origin: geom.Vec2{}, Dir: geom.Vec2{X: 1}, Length: 8.2, Separation: -1}}
	b.Input.Separations = []void.Separation{{Units: [2]int{0, 1}, Walls: []int{0}}}
	return New(b, &void.Result{}, sys)
}

func TestSpot(t *testing.T) {
	for _, tt := range []struct {
		p      geom.Vec3
		us, si string
	}{
		{geom.Vec3{X: 1, Y: 1.5, Z: 1}, `in Living A101 of U1, 3'-3" from its plan west wall and 4'-11" from its plan south wall`, "in Living A101 of U1, 1.00 m from its plan west wall and 1.50 m from its plan south wall"},
		{geom.Vec3{X: 7, Y: 4, Z: 2.8}, `above Kitchen B101 of U2, 3'-11" from its plan east wall and 3'-3" from its plan north wall`, "above Kitchen B101 of U2, 1.20 m from its plan east wall and 1.00 m from its plan north wall"},
		{geom.Vec3{X: 7, Y: 4, Z: -0.4}, `below Kitchen B101 of U2, 3'-11" from its plan east wall and 3'-3" from its plan north wall`, "below Kitchen B101 of U2, 1.20 m from its plan east wall and 1.00 m from its plan north wall"},
		{geom.Vec3{X: 4.1, Y: 1, Z: 1}, `between Kitchen B101 of U2 and Living A101 of U1, 3'-3" from the plan south wall`, "between Kitchen B101 of U2 and Living A101 of U1, 1.00 m from the plan south wall"},
		{geom.Vec3{X: 1, Y: 1, Z: 9}, `3'-3" from the plan west side and 3'-3" from the plan south side of the building`, "1.00 m from the plan west side and 1.00 m from the plan south side of the building"},
	} {
		if got := house(measure.US).Spot(tt.p); got != tt.us {
			t.Errorf("%v: %q, want %q", tt.p, got, tt.us)
		}
		if got := house(measure.SI).Spot(tt.p); got != tt.si {
			t.Errorf("%v: %q, want %q", tt.p, got, tt.si)
		}
	}
}

func TestAlongWall(t *testing.T) {
	w := house(measure.US)
	for _, tt := range []struct {
		wall  int
		y     float64
		width float64
		want  string
	}{
		{0, 1, 0.3, `3'-3" from the plan south end`}, {0, 4, 0.3, `3'-3" from the plan north end`}, {0, 0.2, 0.1, "at the plan south end"}, {0, 2.5, 4.9, ""}, {7, 1, 0, ""},
	} {
		if got := w.AlongWall(tt.wall, geom.Vec3{X: 4.1, Y: tt.y, Z: 1}, tt.width); got != tt.want {
			t.Errorf("wall %d at %v: %q, want %q", tt.wall, tt.y, got, tt.want)
		}
	}
	wall := &w.Building.Input.Walls[0]
	for _, tt := range []struct {
		s0, s1 float64
		want   string
	}{{0, 2, ""}, {1, 3, `3'-3" from the plan south end`}, {2.5, 4.5, `1'-8" from the plan north end`}} {
		if got := w.From(wall, tt.s0, tt.s1); got != tt.want {
			t.Errorf("from %v to %v: %q, want %q", tt.s0, tt.s1, got, tt.want)
		}
	}
}

// The winds, clockwise from true north; a model turned against it reads by its north.
func TestCompass(t *testing.T) {
	w := house(measure.SI)
	for _, tt := range []struct {
		north, d geom.Vec2
		plan     bool
		want     string
	}{
		{geom.Vec2{Y: 1}, geom.Vec2{Y: 2}, true, "plan north"}, {geom.Vec2{Y: 1}, geom.Vec2{X: 1}, false, "east"}, {geom.Vec2{Y: 1}, geom.Vec2{X: -1}, false, "west"},
		{geom.Vec2{X: 1}, geom.Vec2{Y: 1}, false, "west"}, {geom.Vec2{X: -1}, geom.Vec2{Y: 1}, false, "east"}, {geom.Vec2{Y: 1}, geom.Vec2{X: 1, Y: -1}, false, "south-east"},
		{geom.Vec2{Y: 1}, geom.Vec2{X: 0.1, Y: -1}, false, "south"}, {geom.Vec2{Y: 1}, geom.Vec2{}, false, ""},
	} {
		w.north, w.byPlan = tt.north, tt.plan
		if got := w.Compass(tt.d); got != tt.want {
			t.Errorf("north %v, direction %v: %q, want %q", tt.north, tt.d, got, tt.want)
		}
	}
}

// Blocks put as far apart as the words say are never farther apart than was worked out.
func TestBelow(t *testing.T) {
	w := house(measure.US)
	for m, want := range map[float64]string{3.048: `10'-0"`, 3.047: `9'-11"`, 2.4543: `8'-0"`} {
		if got := w.Below(m); got != want {
			t.Errorf("%v m: %s, want %s", m, got, want)
		}
	}
}

func TestTogether(t *testing.T) {
	w := house(measure.SI)
	one := &void.Void{Kind: void.KindFloor, Units: []int{0}}
	one.Compartments = []*void.Compartment{{Void: one, Units: []int{0}, AreaM2: 85, Number: 1}}
	two := &void.Void{Kind: void.KindFloor, Units: []int{1}}
	for i := range 5 {
		two.Compartments = append(two.Compartments, &void.Compartment{Void: two, Units: []int{1}, AreaM2: 10, Number: i + 1})
	}
	for _, tt := range []struct {
		list []*void.Compartment
		want string
	}{
		{append(one.Compartments[:1:1], two.Compartments[:2]...), "the floor void of U1 (85.0 m2) and 2 parts of the floor void of U2 (10.0 m2 and 10.0 m2)"},
		{two.Compartments, "5 parts of the floor void of U2 (50.0 m2 together)"},
	} {
		if got := w.Together(tt.list); got != tt.want {
			t.Errorf("%q, want %q", got, tt.want)
		}
	}
}
