package void

import (
	"math"
	"testing"

	"voidcheck/ifcx/geom"
)

// Two rows of a double wall along y, the one at x > 0 shorter at the far end: outdoors begins where
// it ends, unless a wall at right angles goes on in its strip or stands close behind.
func TestOutdoorEnds(t *testing.T) {
	solve := func(short float64, more ...geom.Box) [][2]Span {
		in := &Input{Levels: []float64{0}, Units: 2, MaxGap: 0.0127}
		part := func(r Role, b geom.Box) {
			in.Parts = append(in.Parts, Part{Mesh: geom.BoxMesh(b), Role: r, Element: len(in.Parts), Assembly: -1})
		}
		box := func(x0, x1, y0, y1, z0, z1 float64) geom.Box {
			return geom.Box{Min: geom.Vec3{X: x0, Y: y0, Z: z0}, Max: geom.Vec3{X: x1, Y: y1, Z: z1}}
		}
		rows := []Span{{-0.102, -0.013}, {0.013, 0.102}} // of x
		for j, r := range rows {
			end := 6.0
			if j == 1 {
				end -= short
			}
			part(RolePlate, box(r.Lo, r.Hi, 0, end, 0, 0.04))
			part(RolePlate, box(r.Lo, r.Hi, 0, end, 2.36, 2.4))
			part(RoleStud, box(r.Lo, r.Hi, 0, 0.04, 0.04, 2.36))
			part(RoleStud, box(r.Lo, r.Hi, end-0.04, end, 0.04, 2.36))
		}
		part(RoleDeck, box(-3, 3, 0, 7, -0.02, 0))
		part(RoleRoof, box(-3, 3, 0, 7, 2.4, 2.42))
		for _, b := range more {
			part(RoleStud, b)
		}
		// t runs against x.
		in.Walls = []Wall{{Dir: geom.Vec2{Y: 1}, Length: 6, Across: Span{-0.102, 0.102}, Z1: 2.4, Kind: WallDouble, Framed: true,
			Cavities: []Span{{-0.102, 0.102}}, Rows: []Span{{-0.102, -0.013}, {0.013, 0.102}}, Gaps: []Span{{-0.013, 0.013}}, Separation: -1}}
		s := &solver{in: in, gap: in.MaxGap - openTol, cores: 1}
		s.place()
		st := s.newStack([]int{0})
		return st.outdoorEnds(&in.Walls[0])
	}
	post := func(x0, x1, y0, y1 float64) geom.Box {
		return geom.Box{Min: geom.Vec3{X: x0, Y: y0, Z: 0}, Max: geom.Vec3{X: x1, Y: y1, Z: 2.4}}
	}
	if got := solve(0.1); len(got) != 1 || math.Abs(got[0][0].Lo-5.9) > 1e-9 || got[0][0].Hi != 6 || got[0][1] != (Span{-0.102, 0.013}) {
		t.Errorf("a row 0.1 m short: %v", got)
	} else if !outdoors(got, 5.95, 0) || !outdoors(got, 5.95, -0.05) || outdoors(got, 5.95, 0.05) || outdoors(got, 5.85, 0) {
		t.Errorf("outdoors is not the gap and the short row's strip beyond its end: %v", got)
	}
	for name, at := range map[string]geom.Box{
		"a corner post beyond the row":   post(0.02, 0.1, 5.9, 6),
		"a cross wall that goes on":      post(0.013, 2, 5.9, 6),
		"another unit close behind":      post(0.013, 2, 6.02, 6.11),
		"a post in the middle of a step": post(0.05, 0.09, 5.97, 6.01),
	} {
		if got := solve(0.1, at); len(got) != 0 {
			t.Errorf("%s: %v is told as outdoors", name, got)
		}
	}
	if got := solve(0); len(got) != 0 {
		t.Errorf("equal rows: %v", got)
	}
	if got := solve(0.1, post(-2, -0.013, 5.9, 6.1)); len(got) != 1 { // on the longer row's side
		t.Errorf("a wall on the other side: %v", got)
	}
}
