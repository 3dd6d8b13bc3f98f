package void

import (
	"cmp"
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

// solid is a part seen in a frame.
type solid struct {
	part  int      // index into Input.Parts
	box   geom.Box // u, v, z
	role  Role
	isBox bool // fills its box
	bare  bool // adds no lines to the plan
	*faces
}

// faces are what the box of a solid does not tell; of boxes roofs alone have any.
type faces struct {
	verts []geom.Vec3
	tris  [][3]int32
	edges [][2]int32 // its feature edges, from the lower end to the higher along u, then v
}

var noFaces = &faces{}

// edge returns the plan projection of a feature edge.
func (s *solid) edge(k int) [2]geom.Vec2 {
	e := s.edges[k]
	return [2]geom.Vec2{s.verts[e[0]].Plan(), s.verts[e[1]].Plan()}
}

// appendEdges appends the plan projections of the edges where the surface turns: between them
// the column through the solid changes linearly.
func (s *solid) appendEdges(out [][2]geom.Vec2) [][2]geom.Vec2 {
	if s.isBox && !s.bare {
		a, b := s.box.Min, s.box.Max
		p := [4]geom.Vec2{{X: a.X, Y: a.Y}, {X: b.X, Y: a.Y}, {X: b.X, Y: b.Y}, {X: a.X, Y: b.Y}}
		return append(out, [2]geom.Vec2{p[0], p[1]}, [2]geom.Vec2{p[1], p[2]}, [2]geom.Vec2{p[3], p[2]}, [2]geom.Vec2{p[0], p[3]})
	}
	for k := range s.edges {
		out = append(out, s.edge(k))
	}
	return out
}

// placer sees parts in a frame. What it has placed lies in its memory until reset.
type placer struct {
	f      frame
	solids arena[solid]
	shapes arena[faces]
	kept   arena[geom.Vec3]
	ends   arena[[2]int32]

	verts []geom.Vec3 // of the part at hand
	edges edgeFinder
}

func (p *placer) reset() {
	p.solids.reset()
	p.shapes.reset()
	p.kept.reset()
	p.ends.reset()
}

// place returns a part in the frame; nil when it has no faces or lies outside an area.
func (p *placer) place(part *Part, id int, area *geom.Box) *solid {
	if len(part.Mesh.Tris) == 0 {
		return nil
	}
	s := solid{part: id, role: part.Role, box: geom.EmptyBox(), faces: noFaces}
	p.verts = p.verts[:0]
	for _, v := range part.Mesh.Verts {
		w := p.f.at(v)
		p.verts = append(p.verts, w)
		s.box = s.box.Extend(w)
	}
	if area != nil && !s.box.Overlaps(*area) {
		return nil
	}
	m := geom.Mesh{Verts: p.verts, Tris: part.Mesh.Tris}
	s.isBox = s.fillsBox(&m) || s.plainIJoist(part, &m)
	s.bare = s.faceted(len(m.Tris))
	if !s.isBox || s.role == RoleRoof {
		shape := faces{verts: p.kept.keep(m.Verts), tris: m.Tris}
		if !s.isBox && !s.bare {
			shape.edges = p.ends.keep(p.edges.find(&m))
		}
		s.faces = p.shapes.one(shape)
	}
	return p.solids.one(s)
}

// plainIFaces is the most triangles of an I section without holes.
const plainIFaces = 60

// plainIJoist reports whether a joist is an I-joist without holes that lies along the frame:
// it counts as solid from flange to flange, so that blocks cut to the flanges close a bay. An
// I section has 44 triangles; a web with holes has more and is taken as drawn where it has them (filled).
func (s *solid) plainIJoist(p *Part, m *geom.Mesh) bool {
	if p.Role != RoleJoist || len(m.Tris) > plainIFaces {
		return false
	}
	d := s.box.Size()
	share := math.Abs(m.Volume()) / (d.X * d.Y * d.Z)
	if p.Framing != FramingI && (len(m.Tris) != 44 || share > 0.6) { // a short end of one beside a stair well is not told by its section
		return false
	}
	// Turned out of the frame its box would be far larger than an I section of its size.
	return math.Min(d.X, d.Y) < 0.15 && share > 0.1
}

// faceted reports whether a solid that bounds no void is drawn in so many facets that each of
// them as a grid line would cost far more than it tells: a lamp, a valve, a baluster. Its
// column is still looked at in every cell. A straight pipe of 24 sides has 96 triangles.
func (s *solid) faceted(facets int) bool {
	const most = 100
	switch s.role {
	case RoleService, RoleStair, RoleUnknown, RoleInsulation:
		return facets > most
	}
	return false
}

func (s *solid) fillsBox(m *geom.Mesh) bool {
	const tol = 5e-4
	near := func(x, lo, hi float64) bool { return x-lo < tol || hi-x < tol }
	for _, v := range m.Verts {
		if !near(v.X, s.box.Min.X, s.box.Max.X) || !near(v.Y, s.box.Min.Y, s.box.Max.Y) || !near(v.Z, s.box.Min.Z, s.box.Max.Z) {
			return false
		}
	}
	d := s.box.Size()
	full := d.X * d.Y * d.Z
	return math.Abs(math.Abs(m.Volume())-full) <= 2e-2*full+1e-9
}

// edgeFinder finds the edges where the surface of a solid that is no box turns.
type edgeFinder struct {
	keys    [][3]int64 // places of the vertices on a fine grid
	order   []int32
	canon   []int32 // of vertices at one place the first
	normals []geom.Vec3
	sides   []side
	out     [][2]int32
}

// side is a face at an edge.
type side struct {
	a, b int32
	face int32
}

// find returns the edges where the surface turns, with their ends; those that are upright are
// points in plan and left out. The list is good until the next call.
func (x *edgeFinder) find(m *geom.Mesh) [][2]int32 {
	x.weld(m.Verts)
	x.sides, x.normals = x.sides[:0], x.normals[:0]
	for _, t := range m.Tris {
		a, b, c := x.canon[t[0]], x.canon[t[1]], x.canon[t[2]]
		n := m.Verts[b].Sub(m.Verts[a]).Cross(m.Verts[c].Sub(m.Verts[a]))
		if n.Len() < 1e-12 {
			continue
		}
		k := int32(len(x.normals))
		x.normals = append(x.normals, n.Unit())
		x.sides = append(x.sides, side{min(a, b), max(a, b), k}, side{min(b, c), max(b, c), k}, side{min(c, a), max(c, a), k})
	}
	slices.SortFunc(x.sides, func(p, q side) int {
		switch {
		case p.a != q.a:
			return int(p.a) - int(q.a)
		case p.b != q.b:
			return int(p.b) - int(q.b)
		}
		return int(p.face) - int(q.face)
	})
	x.out = x.out[:0]
	for i := 0; i < len(x.sides); {
		e := x.sides[i]
		j, turns := i, false
		for ; j < len(x.sides) && x.sides[j].a == e.a && x.sides[j].b == e.b; j++ {
			turns = turns || x.normals[e.face].Dot(x.normals[x.sides[j].face]) < 0.99999
		}
		if a, b := m.Verts[e.a].Plan(), m.Verts[e.b].Plan(); (j-i != 2 || turns) && a.Sub(b).Len() >= 1e-6 {
			if a.X > b.X || a.X == b.X && a.Y > b.Y {
				e.a, e.b = e.b, e.a
			}
			x.out = append(x.out, [2]int32{e.a, e.b})
		}
		i = j
	}
	slices.SortFunc(x.out, func(p, q [2]int32) int {
		for k := range p {
			if c := comparePlan(m.Verts[p[k]], m.Verts[q[k]]); c != 0 {
				return c
			}
		}
		return 0
	})
	return x.out
}

// weld finds the vertices that lie at one place.
func (x *edgeFinder) weld(verts []geom.Vec3) {
	const fine = 1e-5
	x.keys, x.order, x.canon = x.keys[:0], x.order[:0], x.canon[:0]
	for i, v := range verts {
		x.keys = append(x.keys, [3]int64{int64(math.Round(v.X / fine)), int64(math.Round(v.Y / fine)), int64(math.Round(v.Z / fine))})
		x.order, x.canon = append(x.order, int32(i)), append(x.canon, int32(i))
	}
	slices.SortFunc(x.order, func(p, q int32) int {
		a, b := &x.keys[p], &x.keys[q]
		for k := range a {
			if a[k] != b[k] {
				return cmp.Compare(a[k], b[k])
			}
		}
		return int(p) - int(q)
	})
	for i := 1; i < len(x.order); i++ {
		if p, q := x.order[i-1], x.order[i]; x.keys[p] == x.keys[q] {
			x.canon[q] = x.canon[p]
		}
	}
}

func comparePlan(a, b geom.Vec3) int {
	if c := cmp.Compare(a.X, b.X); c != 0 {
		return c
	}
	return cmp.Compare(a.Y, b.Y)
}
