package spread

import (
	"math"
	"slices"
	"testing"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// building is a result under construction.
type building struct{ r void.Result }

func (b *building) comp(kind void.Kind, storey int, area float64, units ...int) *void.Compartment {
	v := &void.Void{Index: len(b.r.Voids), Kind: kind, Storey: storey, AreaM2: area, Units: units, Wall: -1}
	c := &void.Compartment{Index: len(b.r.Compartments), Void: v, Number: 1, AreaM2: area, Units: units}
	v.Compartments = []*void.Compartment{c}
	b.r.Voids = append(b.r.Voids, v)
	b.r.Compartments = append(b.r.Compartments, c)
	return c
}

func (b *building) open(a, c *void.Compartment, w, h float64, at geom.Vec3) *void.Opening {
	o := &void.Opening{Index: len(b.r.Openings), A: a, B: c, Kind: void.OpenBay, WidthM: w, HeightM: h, AreaM2: w * h, Point: at, Service: -1}
	b.r.Openings = append(b.r.Openings, o)
	return o
}

const halfInch = 0.0127

// The worked example of the design page on concealed spaces: two units side by side, floor
// trusses at 0.61 m, a double-stud separation. Clear width = spacing - member (3-1/2 in
// flat chord, HUD Residential Structural Design Guide: 88.9 mm).
func workedExample(blocks bool) (*building, [4]*void.Compartment, [2]*void.Opening) {
	b := &building{}
	u1, u2 := b.comp(void.KindFloor, 1, 66, 0), b.comp(void.KindFloor, 1, 66, 1)
	cavity := b.comp(void.KindWall, 0, 2.2, 0, 1)
	attic := b.comp(void.KindAttic, 1, 66, 0)
	var bays [2]*void.Opening
	if !blocks {
		bays[0] = b.open(u1, cavity, 0.61-0.0889, 0.36, geom.Vec3{X: 6, Y: 4, Z: 2.7})
		bays[1] = b.open(u2, cavity, 0.61-0.0889, 0.36, geom.Vec3{X: 6.2, Y: 4, Z: 2.7})
	}
	return b, [4]*void.Compartment{u1, u2, cavity, attic}, bays
}

func TestWorkedExample(t *testing.T) {
	b, c, bays := workedExample(false)
	g := New(&b.r, halfInch)
	got := g.Crossings([]Pair{{0, 1}})
	if len(got) != 1 {
		t.Fatalf("%d crossings, want 1", len(got))
	}
	w := got[0]
	if w.Pair != (Pair{0, 1}) || w.Class != (Class{void.KindFloor, 1}) {
		t.Errorf("crossing of %v in %v", w.Pair, w.Class)
	}
	if len(w.Compartments) != 3 || w.Compartments[0] != c[0] || w.Compartments[1] != c[2] || w.Compartments[2] != c[1] {
		t.Errorf("route %v, want floor void U1, cavity, floor void U2", w.Compartments)
	}
	if len(w.Openings) != 2 || w.Openings[0] != bays[0] || w.Openings[1] != bays[1] {
		t.Errorf("openings %v, want both bays in order", w.Openings)
	}
	if math.Abs(w.ClearM()-0.36) > 1e-9 {
		t.Errorf("narrowest %v, want 0.36", w.ClearM())
	}
	if br := g.Bridges(); len(br) != 2 {
		t.Errorf("%d bridges, want 2: closing either bay parts the units", len(br))
	}
	if a := g.Articulation(); len(a) != 1 || a[0] != c[2] {
		t.Errorf("articulation %v, want the cavity", a)
	}
	if o := g.Between([]*void.Compartment{c[0], c[1]}); len(o) != 2 {
		t.Errorf("%d openings between the floor voids, want 2", len(o))
	}

	closed, c, _ := workedExample(true)
	g = New(&closed.r, halfInch)
	if got := g.Crossings([]Pair{{0, 1}}); len(got) != 0 {
		t.Errorf("%d crossings with all blocks in place, want 0", len(got))
	}
	if u := g.UnitsReached(c[0]); len(u) != 1 || u[0] != 0 {
		t.Errorf("fire in U1's floor reaches units %v, want its own", u)
	}
}

// A 60 mm hole round a 42 mm pipe leaves a ring of 9 mm, below 1/2 in: no way (same page).
func TestRingBelowHalfInch(t *testing.T) {
	for _, tt := range []struct {
		ring float64
		want int
	}{{0.009, 0}, {0.0126, 0}, {halfInch, 1}, {0.013, 1}} {
		b, c, _ := workedExample(true)
		b.open(c[0], c[2], tt.ring, tt.ring, geom.Vec3{})
		b.open(c[1], c[2], 0.5, 0.3, geom.Vec3{})
		if got := New(&b.r, halfInch).Crossings(nil); len(got) != tt.want {
			t.Errorf("ring %v: %d crossings, want %d", tt.ring, len(got), tt.want)
		}
	}
}

func TestCavityThroughTwoStoreys(t *testing.T) {
	b := &building{}
	f2, f3 := b.comp(void.KindFloor, 1, 60, 0), b.comp(void.KindFloor, 2, 60, 1)
	c1, c2 := b.comp(void.KindWall, 0, 2, 0, 1), b.comp(void.KindWall, 1, 2, 0, 1)
	b.open(f2, c1, 0.5, 0.3, geom.Vec3{})
	b.open(c1, c2, 0.2, 0.2, geom.Vec3{Z: 1})
	b.open(c2, f3, 0.5, 0.3, geom.Vec3{Z: 2})
	got := New(&b.r, halfInch).Crossings([]Pair{{0, 1}})
	if len(got) != 1 || len(got[0].Openings) != 3 {
		t.Fatalf("crossings %v, want one with three openings", got)
	}
	if got[0].Class.Storey != 1 {
		t.Errorf("class %v, want the lower floor", got[0].Class)
	}
}

func TestOneItemAClass(t *testing.T) {
	b, _, _ := workedExample(false)
	attic := b.comp(void.KindAttic, 1, 132, 0, 1)
	got := New(&b.r, halfInch).Crossings([]Pair{{0, 1}})
	if len(got) != 2 {
		t.Fatalf("%d crossings, want floor and attic", len(got))
	}
	if got[0].Class.Kind != void.KindAttic || len(got[0].Openings) != 0 || got[0].Compartments[0] != attic {
		t.Errorf("first crossing %+v, want the undivided attic", got[0])
	}
}

func TestUndividedAtticOverFive(t *testing.T) {
	b := &building{}
	b.comp(void.KindAttic, 1, 300, 0, 1, 2, 3, 4)
	got := New(&b.r, halfInch).Crossings([]Pair{{0, 1}, {1, 2}, {2, 3}, {4, 3}})
	if len(got) != 4 {
		t.Fatalf("%d crossings, want the four unit lines", len(got))
	}
	// Without separations the units must still be reported, each once.
	if got := New(&b.r, halfInch).Crossings(nil); len(got) != 4 {
		t.Errorf("%d crossings without separations, want 4 that join all five", len(got))
	}
}

func TestNoWayThroughAThirdUnit(t *testing.T) {
	b := &building{}
	a, m, z := b.comp(void.KindFloor, 1, 60, 0), b.comp(void.KindFloor, 1, 60, 1), b.comp(void.KindFloor, 1, 60, 2)
	b.open(a, m, 1, 1, geom.Vec3{})
	b.open(m, z, 1, 1, geom.Vec3{})
	got := New(&b.r, halfInch).Crossings([]Pair{{0, 1}, {1, 2}})
	if len(got) != 2 {
		t.Errorf("%d crossings, want U1/U2 and U2/U3 only", len(got))
	}
}

// Of two ways with as few openings the wider one counts, then the shorter one.
func TestRouteTies(t *testing.T) {
	b, c, bays := workedExample(false)
	narrow := b.open(c[0], c[2], 0.05, 0.05, geom.Vec3{X: 6, Y: 1})
	far := b.open(c[1], c[2], 0.61-0.0889, 0.36, geom.Vec3{X: 6.2, Y: 9, Z: 2.7})
	w := New(&b.r, halfInch).Route([]*void.Compartment{c[0]}, []*void.Compartment{c[1]}, nil)
	if w.Openings[0] != bays[0] || w.Openings[1] != bays[1] {
		t.Errorf("route by openings %d, %d; want %d, %d (not the narrow %d or the far %d)",
			w.Openings[0].Index, w.Openings[1].Index, bays[0].Index, bays[1].Index, narrow.Index, far.Index)
	}
}

func TestIfOpened(t *testing.T) {
	b, c, _ := workedExample(true)
	b.open(c[1], c[2], 0.5, 0.3, geom.Vec3{}) // U2's side is open, U1's is blocked
	g := New(&b.r, halfInch)
	if got := g.IfOpened(c[0], c[2]); len(got) != 1 || got[0] != (Pair{0, 1}) {
		t.Errorf("taking out U1's block joins %v, want U1/U2", got)
	}
	if got := g.IfOpened(c[1], c[2]); got != nil {
		t.Errorf("opening what is open joins %v", got)
	}
	sound, c, _ := workedExample(true)
	if got := New(&sound.r, halfInch).IfOpened(c[0], c[2]); got != nil {
		t.Errorf("with U2's side sound, one block of U1 joins %v, want none", got)
	}
}

// A floor void between two units that lie over each other is in the floor that parts them; a
// way past it into the attic of the upper one from below is still told.
func TestFloorBetweenUnits(t *testing.T) {
	b := &building{}
	floor := b.comp(void.KindFloor, 1, 60, 0, 1)
	floor.Stacked = [][2]int{{0, 1}}
	upper := b.comp(void.KindFloor, 2, 60, 1, 2)
	upper.Stacked = [][2]int{{1, 2}}
	if got := New(&b.r, halfInch).Crossings(nil); len(got) != 0 {
		t.Errorf("%d crossings through whole floors, want none", len(got))
	}
	chase := b.comp(void.KindWall, 1, 0.5)
	b.open(floor, chase, 0.3, 0.1, geom.Vec3{Z: 3})
	b.open(chase, upper, 0.3, 0.1, geom.Vec3{Z: 6})
	got := New(&b.r, halfInch).Crossings(nil)
	if !slices.ContainsFunc(got, func(c *Crossing) bool { return c.Pair == Pair{0, 2} && len(c.Openings) == 2 }) {
		t.Errorf("crossings %v: the way by the chase from the lowest to the highest unit is not told", got)
	}
	floor.Stacked = nil
	if got := New(&b.r, halfInch).Crossings(nil); !slices.ContainsFunc(got, func(c *Crossing) bool { return c.Pair == Pair{0, 1} && len(c.Openings) == 0 }) {
		t.Error("a void over two units side by side is not told")
	}
}
