package recognise

import (
	"math"
	"testing"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Between units half a storey apart the floor of the higher one cuts no row of the lower one; a
// floor on the lower one's own side would.
func TestFloorOfNeighbourCutsNoRow(t *testing.T) {
	l := &leaf{dir: geom.Vec2{X: 1}, norm: geom.Vec2{Y: 1}, s0: 0, s1: 6, z0: 0, z1: 3.7, framed: true,
		bands: []band{{0, 0.089, bandFrame}, {0.114, 0.203, bandFrame}},
		rowZ:  []rowHeight{{0, 0.089, 0, 2.467, math.Inf(1)}, {0.114, 0.203, 1.2, 3.667, math.Inf(1)}}}
	deck := func(y0, y1, z float64) *piece {
		return &piece{role: void.RoleDeck, box: geom.Box{Min: geom.Vec3{X: -1, Y: y0, Z: z - 0.1}, Max: geom.Vec3{X: 7, Y: y1, Z: z}}}
	}
	r := &reader{levels: []float64{0, 1.2, 2.94, 4.14}, ps: []*piece{deck(0.2, 5, 1.2), deck(-5, 0, 2.94)}}
	r.near = newNear(r.ps)
	if !r.splitLevels() || r.floorBeside(l, 1.2) {
		t.Error("the floor of the higher unit cuts the row of the lower one")
	}
	r.ps[0] = deck(-5, 0.05, 1.2)
	r.near = newNear(r.ps)
	if !r.floorBeside(l, 1.2) {
		t.Error("a floor on the lower row's own side does not cut it")
	}
}

// Heights below the datum of a model are heights like others.
func TestPlatesBelowTheDatum(t *testing.T) {
	l := &leaf{z0: -99, members: []extent{{0, 0.04, -99, -96.7}, {0, 0.04, -96.6, -95}}}
	if top := l.plateTop(); top != -96.6 {
		t.Errorf("studs on the plates from %g, want -96.6", top)
	}
	l.rowZ = []rowHeight{{0, 0.1, -99, -95, l.plateTop()}, {0.2, 0.3, -98.7, -96.3, math.Inf(1)}}
	if lo, hi := l.plateSpan(-96.6); lo != -96.6 || hi != -96.3 {
		t.Errorf("plates from %.1f to %.1f, want -96.6 to -96.3", lo, hi)
	}
}

// Each row of a stepped wall passes into the attic at its own plates; one that ends there at its top.
func TestPlatesOfSteppedRows(t *testing.T) {
	l := &leaf{rowZ: []rowHeight{{0, 0.1, 0, 5, 2.4}, {0.2, 0.3, 0.3, 2.7, math.Inf(1)}}}
	if lo, hi := l.plateSpan(2.4); lo != 2.4 || hi != 2.7 {
		t.Errorf("plates from %.1f to %.1f, want 2.4 to 2.7", lo, hi)
	}
	l.rowZ[1].z1 = 2.42
	if lo, hi := l.plateSpan(2.4); lo != 2.4 || hi != 2.4 {
		t.Errorf("rows alike: %.1f to %.1f, want the cut at 2.4", lo, hi)
	}
}
