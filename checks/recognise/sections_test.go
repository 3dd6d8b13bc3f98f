package recognise

import (
	"fmt"
	"math"
	"testing"

	"voidcheck/ifcx/geom"
)

// strip is a stud row from s0 to s1 whose studs lie from t0 to t1 across.
func strip(s0, s1, t0, t1, top float64) *leaf {
	return &leaf{dir: geom.Vec2{X: 1}, norm: geom.Vec2{Y: 1}, s0: s0, s1: s1, z1: top, framed: true, framing: true,
		bands: []band{{t0, t1, bandFrame}}, rowZ: []rowHeight{{t0, t1, 0, top, math.Inf(1)}}}
}

// Where one row of a double wall runs on past the other, a foot is enough for a corner of its own:
// beyond it stands a single wall, and nothing is a cavity in the strip of the row that is not there.
func TestRowsOfUnequalLength(t *testing.T) {
	got := ""
	for _, w := range sections([]*leaf{strip(0, 8, 0, 0.089, 2.4), strip(0.3, 6, 0.114, 0.203, 2.4)}) {
		got += fmt.Sprintf("%.1f-%.1f rows %d; ", w.s0, w.s1, len(w.bands))
	}
	if want := "0.0-0.3 rows 1; 0.3-6.0 rows 2; 6.0-8.0 rows 1; "; got != want {
		t.Errorf("sections %q, want %q", got, want)
	}
}

// A row whose studs go on above its plates over part of its length is as high as it is there.
func TestRowGoesOnOverPart(t *testing.T) {
	l := strip(0, 8, 0, 0.089, 4)
	l.members = []extent{{0, 8, 0, 0.038}, {0, 8, 2.362, 2.4}}
	for s := 0.0; s < 8; s += 0.4 {
		l.members = append(l.members, extent{s, s + 0.038, 0.038, 2.362})
	}
	for s := 2.0; s < 8; s += 0.6 {
		l.members = append(l.members, extent{s, s + 0.038, 2.4, 4})
	}
	got := ""
	for _, w := range sections([]*leaf{l}) {
		got += fmt.Sprintf("%.1f-%.1f to %.1f; ", w.s0, w.s1, w.z1)
	}
	if want := "0.0-2.0 to 2.4; 2.0-8.0 to 4.0; "; got != want {
		t.Errorf("sections %q, want %q", got, want)
	}
}

// Where a flat roof comes down slowly the studs on the plates run out well before the end of the wall, and the
// wall stays whole; where they end at a corner under eaves just as low, it is cut there.
func TestRowRunsOutOrTurns(t *testing.T) {
	row := func(fall float64) *leaf {
		l := strip(0, 8, 0, 0.089, 4)
		l.members = []extent{{0, 8, 0, 0.038}, {0, 8, 2.362, 2.4}}
		for s := 0.0; s < 8; s += 0.4 {
			l.members = append(l.members, extent{s, s + 0.038, 0.038, 2.362})
			if s < 6.5 {
				l.members = append(l.members, extent{s, s + 0.038, 2.4, 2.65 + fall*(6.4-s)})
			}
		}
		return l
	}
	if got := sections([]*leaf{row(0.084)}); len(got) != 1 {
		t.Errorf("under a roof that comes down, %d walls", len(got))
	}
	if got := sections([]*leaf{row(0)}); len(got) != 2 || math.Abs(got[1].z1-2.4) > 1e-9 {
		t.Errorf("at a corner under low eaves, %d walls", len(got))
	}
}

// The cut at a corner is where the studs on the plates end, not where a plate is drawn a little into the next; a corner
// two feet from the end of a wall, with cripples of 0.12 m, is one too.
func TestCutWhereStudsEnd(t *testing.T) {
	a, b := strip(0, 8, 0, 0.089, 2.65), strip(0.59, 8, 0.114, 0.203, 2.4)
	a.members = []extent{{0, 8, 0, 0.038}, {0, 8, 2.362, 2.4}}
	for s := 0.6; s < 8; s += 0.4 {
		a.members = append(a.members, extent{s, s + 0.038, 2.4, 2.52})
	}
	a.s1 = 7.638
	got := sections([]*leaf{a, b})
	if len(got) < 2 || got[0].s1 != 0.6 || got[1].s0 != 0.6 || got[0].z1 > 2.401 {
		t.Errorf("%d walls, the first to %.3f m", len(got), got[0].s1)
	}
}

// Plates end to end make one row only where their faces are flush: a 2x6 wall in line with a
// 2x4 wall is another wall.
func TestPlatesInLine(t *testing.T) {
	plate := func(x0, x1, y0, y1 float64) *piece {
		return &piece{box: geom.Box{Min: geom.Vec3{X: x0, Y: y0, Z: 0}, Max: geom.Vec3{X: x1, Y: y1, Z: 0.038}},
			axes: [3]geom.Vec3{{X: 1}, {Y: 1}, {Z: 1}}, size: [3]float64{x1 - x0, y1 - y0, 0.038}}
	}
	a := plate(0, 4, 0, 0.089)
	if b := plate(4.025, 8, 0, 0.089); !endToEnd(a, b) {
		t.Error("equal plates an inch apart are not one row")
	}
	if b := plate(4.025, 8, 0, 0.14); endToEnd(a, b) {
		t.Error("plates of 2x4 and 2x6 are one row")
	}
}

// Sheathing where a row stands outside is no board in the gap where it goes on beside the next unit.
func TestBoardsOverPart(t *testing.T) {
	a, b := strip(0, 8, 0, 0.089, 2.4), strip(0, 6, 0.114, 0.203, 2.4)
	outer, inner := band{0.089, 0.1, bandBoard}, band{-0.013, 0, bandBoard}
	a.bands = append(a.bands, outer, inner)
	a.boards = []boardOn{{outer, extent{s0: 6, s1: 8}}, {inner, extent{s0: 0, s1: 8}}}
	got := ""
	for _, w := range sections([]*leaf{a, b}) {
		got += fmt.Sprintf("%.0f-%.0f bands %d; ", w.s0, w.s1, len(w.bands))
	}
	if want := "0-6 bands 3; 6-8 bands 3; "; got != want {
		t.Errorf("sections %q, want %q", got, want)
	}
}

// A short end of a floor truss across the plates of a wall is no cripple stud: it stands out from them.
func TestShortEndIsNoStud(t *testing.T) {
	box := func(x0, x1, y0, y1, z0, z1 float64) *piece {
		return &piece{box: geom.Box{Min: geom.Vec3{X: x0, Y: y0, Z: z0}, Max: geom.Vec3{X: x1, Y: y1, Z: z1}},
			axes: [3]geom.Vec3{{X: 1}, {Y: 1}, {Z: 1}}, size: [3]float64{x1 - x0, y1 - y0, z1 - z0}}
	}
	plate := box(0, 4, 0, 0.14, 2.43, 2.467)
	if got := endsOn(box(2, 2.09, -0.084, 0.14, 2.467, 2.873), plate); got != 0 {
		t.Errorf("a truss end 0.22 m long over a plate of 0.14 m ends on it: %d", got)
	}
	if got := endsOn(box(2, 2.04, 0, 0.14, 2.467, 2.873), plate); got != -1 {
		t.Errorf("a cripple on its plate: %d, want -1", got)
	}
}
