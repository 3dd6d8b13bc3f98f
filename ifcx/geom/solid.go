package geom

import (
	"errors"
	"math"
	"slices"
)

// Solids are combined face by face, so that all work is done in planes:
//
//	face F of A, outward up        what is kept of F
//	      | above: b+ |            union          where B is not above
//	  ----+----F------+----        intersection   where B is below
//	      | below: b- |            difference     where B is not below
//
// What lies just above and just below the plane of F are sections of B, taken as limits from
// either side: a vertex in the plane counts as above for the one and as below for the other.
// Faces of B are kept where A is on both sides (intersection, and turned over for a
// difference) or on neither side (union); where A is on one side only, F has spoken already.
// Faces that coincide need no special case. The section edges of neighbouring faces end in
// the same points, so after welding, and after points that lie on an edge are put into it,
// the result closes.

// ErrOpen says that an operand of a solid operation does not bound a volume.
var ErrOpen = errors.New("the faces do not close")

// CombineSolids applies a set operation to two closed meshes. The result is closed unless the
// error is ErrOpen, which is also given (with no mesh) when an operand is open. An empty
// result is a mesh without faces.
func CombineSolids(a, b *Mesh, op Op) (*Mesh, error) {
	ba, bb := a.Box(), b.Box()
	if len(a.Tris) == 0 || len(b.Tris) == 0 || !ba.Grow(Weld).Overlaps(bb) {
		return apart(a, b, op), nil
	}
	if !a.IsClosed() {
		if a = a.Welded(Weld); !a.IsClosed() {
			return nil, ErrOpen
		}
	}
	if !b.IsClosed() {
		if b = b.Welded(Weld); !b.IsClosed() {
			return nil, ErrOpen
		}
	}
	s := &sewing{weld: NewWelder(2 * Weld)}
	for _, v := range a.Verts {
		s.weld.Add(v)
	}
	for _, v := range b.Verts {
		s.weld.Add(v)
	}
	fa, fb := planarFaces(a), planarFaces(b)
	for _, f := range fa {
		if !f.box.Grow(Weld).Overlaps(bb) {
			if op != Intersection {
				s.keep(a, f)
			}
			continue
		}
		s.add(f, f.against(b, func(below, above bool) bool {
			switch op {
			case Union:
				return !above
			case Intersection:
				return below
			}
			return !below
		}), false)
	}
	for _, f := range fb {
		if !f.box.Grow(Weld).Overlaps(ba) {
			if op == Union {
				s.keep(b, f)
			}
			continue
		}
		s.add(f, f.against(a, func(below, above bool) bool {
			if op == Union {
				return !below && !above
			}
			return below && above
		}), op == Difference)
	}
	m := s.mesh()
	if len(m.Tris) > 0 && !m.IsClosed() {
		return m, ErrOpen
	}
	return m, nil
}

// apart is the result for solids that do not meet.
func apart(a, b *Mesh, op Op) *Mesh {
	r := &Mesh{}
	if op != Intersection {
		r.Append(a)
	}
	if op == Union {
		r.Append(b)
	}
	return r
}

// planarFace is a connected group of triangles in one plane.
type planarFace struct {
	plane Plane
	frame Mat // plane coordinates -> space
	rings []Ring
	tris  []int32
	box   Box
}

// planarFaces gathers the triangles of a mesh into faces, largest triangle first so that
// planes are as exact as they can be.
func planarFaces(m *Mesh) []planarFace {
	n := len(m.Tris)
	normal, order := make([]Vec3, n), make([]int32, n)
	edges := make(map[[2]int32][]int32, 3*n)
	for i, t := range m.Tris {
		order[i] = int32(i)
		normal[i] = m.Verts[t[1]].Sub(m.Verts[t[0]]).Cross(m.Verts[t[2]].Sub(m.Verts[t[0]]))
		for k := range t {
			e := [2]int32{t[k], t[(k+1)%3]}
			edges[e] = append(edges[e], int32(i))
		}
	}
	size := make([]float64, n)
	for i := range size {
		size[i] = normal[i].Len()
	}
	slices.SortStableFunc(order, func(a, b int32) int {
		switch {
		case size[a] > size[b]:
			return -1
		case size[a] < size[b]:
			return 1
		}
		return 0
	})
	done := make([]bool, n)
	var out []planarFace
	for _, seed := range order {
		if done[seed] || size[seed] < 1e-14 {
			continue
		}
		f := planarFace{plane: PlaneAt(m.Verts[m.Tris[seed][0]], normal[seed]), box: EmptyBox()}
		done[seed] = true
		f.tris = []int32{seed}
		for k := 0; k < len(f.tris); k++ {
			t := m.Tris[f.tris[k]]
			for e := range t {
				for _, j := range edges[[2]int32{t[(e+1)%3], t[e]}] {
					if !done[j] && f.holds(m, j, normal[j]) {
						done[j] = true
						f.tris = append(f.tris, j)
					}
				}
			}
		}
		f.outline(m)
		out = append(out, f)
	}
	return out
}

// holds reports whether triangle j lies in the face's plane, looking the same way.
func (f *planarFace) holds(m *Mesh, j int32, normal Vec3) bool {
	for _, v := range m.Tris[j] {
		if math.Abs(f.plane.Dist(m.Verts[v])) > OnPlane {
			return false
		}
	}
	return normal.Len() < 1e-14 || normal.Dot(f.plane.N) > 0
}

func (f *planarFace) outline(m *Mesh) {
	f.frame = f.plane.Frame(m.Verts[m.Tris[f.tris[0]][0]])
	inv, _ := f.frame.Inverse()
	count := map[[2]int32]int{}
	for _, j := range f.tris {
		t := m.Tris[j]
		for k := range t {
			f.box = f.box.Extend(m.Verts[t[k]])
			if e := edgeKey(t[k], t[(k+1)%3]); e[0] == t[k] {
				count[e]++
			} else {
				count[e]--
			}
		}
	}
	dir := openEdges(count)
	at := func(i int32) Vec2 { return inv.Point(m.Verts[i]).Plan() }
	for _, loop := range chainLoops(dir, at) {
		r := make(Ring, len(loop))
		for k, i := range loop {
			r[k] = at(i)
		}
		f.rings = append(f.rings, r)
	}
}

// against returns the part of the face, in plane coordinates, where keep says yes to what
// the other solid does just below and just above it.
func (f *planarFace) against(other *Mesh, keep func(below, above bool) bool) Region {
	ar := newArrangement()
	ar.addRings(0, f.rings)
	own := len(ar.edges)
	inv, _ := f.frame.Inverse()
	dist := make([]float64, len(other.Verts))
	for i, v := range other.Verts {
		if dist[i] = f.plane.Dist(v); math.Abs(dist[i]) <= OnPlane {
			dist[i] = 0
		}
	}
	for _, t := range other.Tris {
		lo := min(dist[t[0]], dist[t[1]], dist[t[2]])
		hi := max(dist[t[0]], dist[t[1]], dist[t[2]])
		if lo > 0 || hi < 0 {
			continue
		}
		if lo < 0 { // the section just below: vertices in the plane are above it
			ar.section(1, other, t, dist, true, &inv)
		}
		if hi > 0 {
			ar.section(2, other, t, dist, false, &inv)
		}
	}
	if ar.apart(own) { // no section comes near: nothing is below or above
		if keep(false, false) {
			return f.rings
		}
		return nil
	}
	return ar.solve(func(c cover) bool {
		return c.count[0]&1 == 1 && keep(c.count[1]&1 == 1, c.count[2]&1 == 1)
	})
}

// apart reports whether the boxes of the first own edges and of the rest do not meet.
func (ar *arrangement) apart(own int) bool {
	var box [2]Box
	box[0], box[1] = EmptyBox(), EmptyBox()
	for k, e := range ar.edges {
		b := &box[min(k/max(own, 1), 1)]
		for _, i := range [2]int32{e.i, e.j} {
			*b = b.Extend(Vec3{ar.pts[i].X, ar.pts[i].Y, 0})
		}
	}
	return !box[0].Grow(2 * Weld).Overlaps(box[1])
}

// section adds the segment in which a triangle meets the plane; on says on which side
// vertices in the plane are taken to be.
func (ar *arrangement) section(operand int, m *Mesh, t [3]int32, dist []float64, on bool, inv *Mat) {
	above := func(i int32) bool { return dist[i] > 0 || dist[i] == 0 && on }
	var p [2]Vec2
	n := 0
	for k := range t {
		i, j := t[k], t[(k+1)%3]
		if above(i) == above(j) {
			continue
		}
		if i > j {
			i, j = j, i // the neighbour computes the same point
		}
		a, b := m.Verts[i], m.Verts[j]
		p[n] = inv.Point(a.Add(b.Sub(a).Mul(dist[i] / (dist[i] - dist[j])))).Plan()
		n++
	}
	if n == 2 {
		ar.addSegment(operand, p[0], p[1])
	}
}

// openEdges lists the edges that are used more often in one direction than in the other, in
// that direction and in a fixed order. count has the balance of each edge under its edgeKey.
func openEdges(count map[[2]int32]int) [][2]int32 {
	var dir [][2]int32
	for e, n := range count {
		for range n {
			dir = append(dir, e)
		}
		for range -n {
			dir = append(dir, [2]int32{e[1], e[0]})
		}
	}
	slices.SortFunc(dir, func(a, b [2]int32) int { return slices.Compare(a[:], b[:]) })
	return dir
}
