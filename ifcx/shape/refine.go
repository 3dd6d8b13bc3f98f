package shape

import (
	"cmp"
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

// inner is an edge between two triangles, and the corners of those that face it.
type inner struct {
	a, b    int32 // a < b
	tri     [2]int32
	corner  [2]int32
	borders int // triangles at the edge
}

// edges returns the edges that two triangles share, in a fixed order. Edges are found by
// their lower corner, in buckets laid out by counting.
func (m *flatMesh) edges() []inner {
	start := make([]int32, len(m.pts)+1)
	for _, t := range m.tris {
		for k := range t {
			start[min(t[k], t[(k+1)%3])+1]++
		}
	}
	for i := 1; i < len(start); i++ {
		start[i] += start[i-1]
	}
	all := make([]inner, 3*len(m.tris))
	used := make([]int32, len(m.pts))
	for i, t := range m.tris {
		for k := range t {
			a, b := min(t[k], t[(k+1)%3]), max(t[k], t[(k+1)%3])
			bucket := all[start[a] : start[a]+used[a]+1]
			j := 0
			for bucket[j].borders > 0 && bucket[j].b != b {
				j++
			}
			e := &bucket[j]
			if e.borders == 0 {
				e.a, e.b = a, b
				used[a]++
			}
			if e.borders < 2 {
				e.tri[e.borders], e.corner[e.borders] = int32(i), t[(k+2)%3]
			}
			e.borders++
		}
	}
	return slices.DeleteFunc(all, func(e inner) bool { return e.borders != 2 })
}

// swap flips inner edges whose opposite angles add up to more than half a turn.
func (m *flatMesh) swap() {
	for range 6 { // what is left comes round in the next pass of refine
		touched := make([]bool, len(m.tris))
		any := false
		for _, e := range m.edges() {
			t, u := e.tri[0], e.tri[1]
			if touched[t] || touched[u] {
				continue
			}
			a, b, c, d := m.pts[e.a].p, m.pts[e.b].p, m.pts[e.corner[0]].p, m.pts[e.corner[1]].p
			if !m.better(a, b, c, d) {
				continue
			}
			first, second := e.a, e.b
			if b.Sub(a).Cross(c.Sub(a)) < 0 { // c on the right of a-b
				first, second = second, first
			}
			m.tris[t] = [3]int32{first, e.corner[1], e.corner[0]}
			m.tris[u] = [3]int32{e.corner[1], second, e.corner[0]}
			touched[t], touched[u] = true, true
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
	touched := make([]bool, len(m.tris))
	type job struct {
		inner
		off float64
	}
	var jobs []job
	for _, e := range m.edges() {
		mid := m.pts[e.a].p.Add(m.pts[e.b].p).Mul(0.5)
		p := m.s.at(mid.X/m.s.su, mid.Y/m.s.sv)
		a, b := into.weld.Points()[m.pts[e.a].id], into.weld.Points()[m.pts[e.b].id]
		if off := distToChord(p, a, b); off > geom.ChordError {
			jobs = append(jobs, job{e, off})
		}
	}
	slices.SortStableFunc(jobs, func(x, y job) int { return cmp.Compare(y.off, x.off) })
	any := false
	for _, j := range jobs {
		if touched[j.tri[0]] || touched[j.tri[1]] {
			continue
		}
		touched[j.tri[0]], touched[j.tri[1]] = true, true
		mid := m.pts[j.a].p.Add(m.pts[j.b].p).Mul(0.5)
		n := int32(len(m.pts))
		m.pts = append(m.pts, flatPoint{mid, into.weld.Add(m.s.at(mid.X/m.s.su, mid.Y/m.s.sv))})
		for k, tri := range j.tri {
			t := m.tris[tri]
			for t[2] != j.corner[k] { // turn so that the edge comes first
				t = [3]int32{t[1], t[2], t[0]}
			}
			m.tris[tri] = [3]int32{t[0], n, t[2]}
			m.tris = append(m.tris, [3]int32{n, t[1], t[2]})
		}
		any = true
	}
	return any
}
