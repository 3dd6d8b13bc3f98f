package geom

import "testing"

// A box of 1 m is met by a line within its reach and at its faces, and covers what lies under or over it.
func TestCrossed(t *testing.T) {
	m := BoxMesh(Box{Max: Vec3{X: 1, Y: 1, Z: 1}})
	for _, tt := range []struct {
		p, d   Vec3
		lo, hi float64
		want   bool
	}{
		{Vec3{X: -1, Y: 0.3, Z: 0.4}, Vec3{X: 1}, 0, 0.9, false},
		{Vec3{X: -1, Y: 0.3, Z: 0.4}, Vec3{X: 1}, 0, 1, true},
		{Vec3{X: 3, Y: 0.3, Z: 0.4}, Vec3{X: 1}, 0, 9, false},
		{Vec3{X: 3, Y: 0.3, Z: 0.4}, Vec3{X: 1}, -9, 0, true},
		{Vec3{X: 0.5, Y: 1.2, Z: 0.4}, Vec3{X: 1}, -9, 9, false},
		{Vec3{X: 0.5, Y: 0.6, Z: 0.4}, Vec3{X: 0.1}, -1, 1, false}, // within the box
	} {
		if got := m.Crossed(tt.p, tt.d, tt.lo, tt.hi); got != tt.want {
			t.Errorf("%+v: %v", tt, got)
		}
	}
}

func TestCovers(t *testing.T) {
	m := BoxMesh(Box{Max: Vec3{X: 1, Y: 1, Z: 1}})
	for p, want := range map[Vec2]bool{{0.3, 0.6}: true, {1, 0.5}: true, {1.01, 0.5}: false, {-0.2, -0.2}: false} {
		if got := m.Covers(p); got != want {
			t.Errorf("%v: %v", p, got)
		}
	}
}
