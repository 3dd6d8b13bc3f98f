package shape

import (
	"slices"

	"voidcheck/ifcx/geom"
)

// flatMesh is a triangulated face in the parameter plane of its surface.
type flatMesh struct {
	s    *surface
	pts  []flatPoint
	tris [][3]int32
}

// maxFacePoints bounds the points added to one face.
const maxFacePoints = 5_000

// refine swaps edges until the triangles are as round as they can be (Delaunay) and halves
// inner edges that leave the surface by more than the chord error, until none does.
func (m *flatMesh) refine(into *soup) {
	for range 14 {
		m.swap()
		if !m.halve(into) || len(m.pts) > maxFacePoints {
			return
		}
	}
}

// side is one of the triangles at an edge and the corner that faces the edge.
type side struct{ tri, corner int32 }

func (m *flatMesh) edges() (map[[2]int32][]side, [][2]int32) {
	at := make(map[[2]int32][]side, len(m.tris)*2)
	var order [][2]int32
	for i, t := range m.tris {
		for k := range t {
			a, b := t[k], t[(k+1)%3]
			e := [2]int32{min(a, b), max(a, b)}
			if len(at[e]) == 0 {
				order = append(order, e)
			}
			at[e] = append(at[e], side{int32(i), t[(k+2)%3]})
		}
	}
	return at, order
}

// swap flips inner edges whose opposite angles add up to more than half a turn.
func (m *flatMesh) swap() {
	for range 6 { // what is left comes round in the next pass of refine
		at, order := m.edges()
		touched := make([]bool, len(m.tris))
		any := false
		for _, e := range order {
			s := at[e]
			if len(s) != 2 || touched[s[0].tri] || touched[s[1].tri] {
				continue
			}
			a, b, c, d := m.pts[e[0]].p, m.pts[e[1]].p, m.pts[s[0].corner].p, m.pts[s[1].corner].p
			if !m.better(a, b, c, d) {
				continue
			}
			t, u := s[0], s[1]
			first, second := e[0], e[1]
			if b.Sub(a).Cross(c.Sub(a)) < 0 { // c on the right of a-b
				first, second = second, first
			}
			m.tris[t.tri] = [3]int32{first, u.corner, t.corner}
			m.tris[u.tri] = [3]int32{u.corner, second, t.corner}
			touched[t.tri], touched[u.tri] = true, true
			any = true
		}
		if !any {
			return
		}
	}
}

// better reports whether c-d is the rounder diagonal of the quadrilateral a, b with c and d
// on either side of a-b.
func (m *flatMesh) better(a, b, c, d geom.Vec2) bool {
	s1, s2 := d.Sub(c).Cross(a.Sub(c)), d.Sub(c).Cross(b.Sub(c))
	size := d.Sub(c).Len() * b.Sub(a).Len()
	if !(s1 > 1e-9*size && s2 < -1e-9*size || s1 < -1e-9*size && s2 > 1e-9*size) {
		return false // not convex
	}
	angle := func(p geom.Vec2) (cos, sin float64) {
		x, y := a.Sub(p), b.Sub(p)
		sin = x.Cross(y)
		if sin < 0 {
			sin = -sin
		}
		return x.Dot(y), sin
	}
	c1, n1 := angle(c)
	c2, n2 := angle(d)
	return n1*c2+c1*n2 < -1e-9*(a.Sub(c).Len()*b.Sub(c).Len()*a.Sub(d).Len()*b.Sub(d).Len())
}

// halve cuts the inner edges that leave the surface too far; false when none does.
func (m *flatMesh) halve(into *soup) bool {
	at, order := m.edges()
	touched := make([]bool, len(m.tris))
	type job struct {
		e   [2]int32
		off float64
	}
	var jobs []job
	for _, e := range order {
		if len(at[e]) != 2 {
			continue
		}
		mid := m.pts[e[0]].p.Add(m.pts[e[1]].p).Mul(0.5)
		p := m.s.at(mid.X/m.s.su, mid.Y/m.s.sv)
		a, b := into.weld.Points()[m.pts[e[0]].id], into.weld.Points()[m.pts[e[1]].id]
		if off := distToChord(p, a, b); off > geom.ChordError {
			jobs = append(jobs, job{e, off})
		}
	}
	slices.SortStableFunc(jobs, func(x, y job) int {
		switch {
		case x.off > y.off:
			return -1
		case x.off < y.off:
			return 1
		}
		return 0
	})
	any := false
	for _, j := range jobs {
		s := at[j.e]
		if touched[s[0].tri] || touched[s[1].tri] {
			continue
		}
		touched[s[0].tri], touched[s[1].tri] = true, true
		mid := m.pts[j.e[0]].p.Add(m.pts[j.e[1]].p).Mul(0.5)
		n := int32(len(m.pts))
		m.pts = append(m.pts, flatPoint{mid, into.weld.Add(m.s.at(mid.X/m.s.su, mid.Y/m.s.sv))})
		for _, x := range s {
			t := m.tris[x.tri]
			for t[2] != x.corner { // turn so that the edge comes first
				t = [3]int32{t[1], t[2], t[0]}
			}
			m.tris[x.tri] = [3]int32{t[0], n, t[2]}
			m.tris = append(m.tris, [3]int32{n, t[1], t[2]})
		}
		any = true
	}
	return any
}
