package geom

import (
	"cmp"
	"slices"
)

// sewing makes a closed mesh of plane faces that were cut one by one: their corners are
// welded and corners that lie on the edge of a neighbour are put into that edge.
type sewing struct {
	weld  *Welder
	tris  [][3]int32 // faces kept as they were
	faces []sewnFace
}

type sewnFace struct {
	plane Plane
	loops [][]int32
}

// keep adds the triangles of a face that nothing touches.
func (s *sewing) keep(m *Mesh, f planarFace) {
	for _, j := range f.tris {
		t := m.Tris[j]
		v := [3]int32{s.weld.Add(m.Verts[t[0]]), s.weld.Add(m.Verts[t[1]]), s.weld.Add(m.Verts[t[2]])}
		if v[0] != v[1] && v[1] != v[2] && v[0] != v[2] {
			s.tris = append(s.tris, v)
		}
	}
}

// add adds what is left of a face, in the face's own coordinates, turned over when flip is set.
func (s *sewing) add(of planarFace, g Region, flip bool) {
	if len(g) == 0 {
		return
	}
	f := sewnFace{plane: of.plane}
	if flip {
		f.plane = of.plane.Flipped()
	}
	for _, r := range g {
		loop := make([]int32, len(r))
		for k, q := range r {
			loop[k] = s.weld.Add(of.frame.Point(Vec3{q.X, q.Y, 0}))
		}
		if flip {
			slices.Reverse(loop)
		}
		f.loops = append(f.loops, loop)
	}
	s.faces = append(s.faces, f)
}

func (s *sewing) mesh() *Mesh {
	m := &Mesh{Tris: s.tris}
	on := s.onEdges()
	pts := s.weld.Points()
	for _, f := range s.faces {
		inv, _ := f.plane.Frame(pts[f.loops[0][0]]).Inverse()
		var g Region
		var ids []int32
		for _, loop := range f.loops {
			loop = withoutSpikes(s.split(loop, on))
			if len(loop) < 3 {
				continue
			}
			r := make(Ring, len(loop))
			for k, i := range loop {
				r[k] = inv.Point(pts[i]).Plan()
			}
			g = append(g, r)
			ids = append(ids, loop...)
		}
		for _, t := range Triangulate(g) {
			if v := [3]int32{ids[t[0]], ids[t[1]], ids[t[2]]}; v[0] != v[1] && v[1] != v[2] && v[0] != v[2] {
				m.Tris = append(m.Tris, v)
			}
		}
	}
	m.Verts = pts
	return m.compact()
}

// onEdges returns, for each edge of the faces, the corners that lie on it, in order.
func (s *sewing) onEdges() map[[2]int32][]int32 {
	pts := s.weld.Points()
	used := map[int32]bool{}
	for _, f := range s.faces {
		for _, loop := range f.loops {
			for _, i := range loop {
				used[i] = true
			}
		}
	}
	order := make([]int32, 0, len(used))
	for i := range used {
		order = append(order, i)
	}
	slices.SortFunc(order, func(a, b int32) int { return cmp.Or(cmp.Compare(pts[a].X, pts[b].X), cmp.Compare(a, b)) })
	out := map[[2]int32][]int32{}
	for _, f := range s.faces {
		for _, loop := range f.loops {
			for k, i := range loop {
				e := edgeKey(i, loop[(k+1)%len(loop)])
				if _, ok := out[e]; !ok && e[0] != e[1] {
					out[e] = cornersOn(pts, order, e)
				}
			}
		}
	}
	return out
}

func edgeKey(i, j int32) [2]int32 { return [2]int32{min(i, j), max(i, j)} }

// cornersOn looks through the corners, sorted by X, for those on the edge.
func cornersOn(pts []Vec3, order []int32, e [2]int32) []int32 {
	const tol = 3 * Weld
	a, b := pts[e[0]], pts[e[1]]
	d := b.Sub(a)
	l2 := d.Dot(d)
	box := EmptyBox().Extend(a).Extend(b).Grow(tol)
	from, _ := slices.BinarySearchFunc(order, box.Min.X, func(i int32, x float64) int { return cmp.Compare(pts[i].X, x) })
	var on []int32
	for _, i := range order[from:] {
		p := pts[i]
		if p.X > box.Max.X {
			break
		}
		if i == e[0] || i == e[1] || p.Y < box.Min.Y || p.Y > box.Max.Y || p.Z < box.Min.Z || p.Z > box.Max.Z {
			continue
		}
		t := p.Sub(a).Dot(d) / l2
		if t > 0 && t < 1 && p.Sub(a.Add(d.Mul(t))).Len() <= tol {
			on = append(on, i)
		}
	}
	slices.SortFunc(on, func(i, j int32) int {
		return cmp.Or(cmp.Compare(pts[i].Sub(a).Dot(d), pts[j].Sub(a).Dot(d)), cmp.Compare(i, j))
	})
	return on
}

func (s *sewing) split(loop []int32, on map[[2]int32][]int32) []int32 {
	var out []int32
	for k, i := range loop {
		j := loop[(k+1)%len(loop)]
		out = append(out, i)
		mid := on[edgeKey(i, j)]
		if i < j {
			out = append(out, mid...)
			continue
		}
		for n := len(mid) - 1; n >= 0; n-- {
			out = append(out, mid[n])
		}
	}
	return out
}

// withoutSpikes drops repeated corners and edges that are run there and straight back.
func withoutSpikes(loop []int32) []int32 {
	for changed := true; changed && len(loop) >= 3; {
		changed = false
		for k := 0; k < len(loop) && len(loop) >= 3; {
			n := len(loop)
			switch {
			case loop[k] == loop[(k+1)%n]:
				loop = slices.Delete(loop, k, k+1)
				changed = true
			case loop[(k+n-1)%n] == loop[(k+1)%n]:
				loop = slices.Delete(loop, k, k+1)
				changed = true
			default:
				k++
			}
		}
	}
	return loop
}

// compact drops vertices that no face uses.
func (m *Mesh) compact() *Mesh {
	to := make([]int32, len(m.Verts))
	for i := range to {
		to[i] = -1
	}
	r := &Mesh{Tris: make([][3]int32, len(m.Tris))}
	for i, t := range m.Tris {
		for k, v := range t {
			if to[v] < 0 {
				to[v] = int32(len(r.Verts))
				r.Verts = append(r.Verts, m.Verts[v])
			}
			r.Tris[i][k] = to[v]
		}
	}
	return r
}

// Sewn returns a mesh of the same faces with their corners welded and with corners that lie
// on the edge of another face put into that edge, so that faces cut one by one close.
func (m *Mesh) Sewn() *Mesh {
	m = m.Welded(Weld)
	s := &sewing{weld: NewWelder(2 * Weld)}
	for _, v := range m.Verts {
		s.weld.Add(v)
	}
	for _, f := range planarFaces(m) {
		s.add(f, f.rings, false)
	}
	return s.mesh()
}
