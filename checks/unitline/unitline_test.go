package unitline

import (
	"testing"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Where a deeper unit runs on past its neighbour, what is open beyond the end of the unit line lies
// between its own spaces.
func TestBesideWall(t *testing.T) {
	l := &void.Line{A: geom.Vec2{Y: 1}, B: geom.Vec2{Y: 8}}
	comp := func(units ...int) *void.Compartment { return &void.Compartment{Units: units} }
	for _, c := range []struct {
		what string
		o    void.Opening
		want bool
	}{
		{"beyond the end, one unit on both sides", void.Opening{A: comp(1), B: comp(1), Point: geom.Vec3{Y: 0.7}}, true},
		{"beyond the end, between two units", void.Opening{A: comp(0), B: comp(1), Point: geom.Vec3{Y: 0.7}}, false},
		{"in the line", void.Opening{A: comp(1), B: comp(1), Point: geom.Vec3{Y: 3}}, false},
		{"beyond the end, an attic over two units", void.Opening{A: comp(0, 1), B: comp(0, 1), Point: geom.Vec3{Y: 8.4}}, false},
	} {
		if got := besideWall(l, &c.o); got != c.want {
			t.Errorf("%s: %t, want %t", c.what, got, c.want)
		}
	}
}
