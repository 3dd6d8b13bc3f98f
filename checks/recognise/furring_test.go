package recognise

import (
	"testing"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Studs set off an inch from a masonry wall between two units: furring with an air space behind its
// studs, over the masonry alone, and the masonry is what separates.
func TestFurringOnMasonry(t *testing.T) {
	solid := strip(0, 6, 0, 0.194, 3)
	solid.bands, solid.framed = []band{{0, 0.194, bandSolid}}, false
	row := strip(0, 8, 0.2194, 0.3083, 2.4)
	units := pair{0, 1}
	r := &reader{walls: []*wall{{leaf: *solid, kind: void.WallSolid, sep: -1, pair: units}, {leaf: *row, kind: void.WallSingle, sep: -1, pair: units}}}
	r.furr()
	if len(r.walls) != 3 || r.walls[2].kind != void.WallSingle || r.walls[2].s0 != 6 || r.walls[2].s1 != 8 {
		t.Fatalf("%d walls: what runs on past the masonry is no wall of its own", len(r.walls))
	}
	w := r.walls[1]
	if w.kind != void.WallFurred || w.s1 != 6 {
		t.Errorf("the row over the masonry is %s to %.1f m", w.kind, w.s1)
	}
	if _, _, gaps := w.spans(); len(gaps) != 1 || gaps[0].Hi-gaps[0].Lo < 0.025 || gaps[0].Hi > 0.2195 {
		t.Errorf("gaps %v, want the inch behind the studs", gaps)
	}
	found := map[pair][]int{units: {0, 1}}
	r.dropLinings(found)
	if len(found[units]) != 1 || found[units][0] != 0 || w.pair == units {
		t.Errorf("separation of walls %v, want the masonry alone", found[units])
	}
}

// Two studs of a gable wall that stand on the end of a row's plates do not take the row up into the attic.
func TestCornerStudsAreNoRow(t *testing.T) {
	l := strip(0, 6, 0, 0.089, 4)
	l.members = []extent{{0, 6, 2.362, 2.4}}
	for s := 0.0; s < 6; s += 0.4 {
		l.members = append(l.members, extent{s, s + 0.038, 0.038, 2.362})
	}
	l.members = append(l.members, extent{0, 0.038, 2.4, 3.9}, extent{0.05, 0.089, 2.4, 4}, extent{5.9, 5.94, 2.4, 3.9})
	l.dropCorners()
	if l.z1 != 2.4 || len(l.members) != 16 {
		t.Errorf("the row reaches %.1f m with %d members, want 2.4 with 16", l.z1, len(l.members))
	}
}

// What lies in the inch between furring and the masonry that it lines closes that space, also drawn a
// millimetre clear of both; what lies among the studs, or behind a row that lines nothing, does not.
func TestBlockBehindFurring(t *testing.T) {
	solid, studs := strip(0, 6, 0, 0.194, 3), strip(0, 6, 0.2194, 0.3083, 2.4)
	solid.bands, solid.framing, solid.framed, solid.bare = []band{{0, 0.194, bandSolid}}, false, false, true
	block := func(y0, y1 float64) *piece {
		return &piece{box: geom.Box{Min: geom.Vec3{X: 0, Y: y0, Z: 2.32}, Max: geom.Vec3{X: 6, Y: y1, Z: 2.4}},
			axes: [3]geom.Vec3{{X: 1}, {Z: 1}, {Y: 1}}, size: [3]float64{6, 0.08, y1 - y0}}
	}
	r := &reader{leaves: []*leaf{solid}, rows: []*row{{leaf: studs}}}
	if !r.behindFurring(block(0.195, 0.2184)) {
		t.Error("a block in the air space is not told")
	}
	if r.behindFurring(block(0.2194, 0.3083)) {
		t.Error("a plate of the furring is told as a block behind it")
	}
	r = &reader{rows: []*row{{leaf: studs}}}
	if r.behindFurring(block(0.195, 0.2184)) {
		t.Error("a piece beside a row that lines nothing is told as a block")
	}
}
