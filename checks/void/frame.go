package void

import (
	"math"
	"slices"
	"sort"

	"voidcheck/ifcx/geom"
)

// Tolerances of the solver, in metres unless said otherwise.
const (
	// mergeTol: faces closer than this are one grid line; half a millimetre of modelling
	// noise on each side of a joint.
	mergeTol = 1e-3
	// noiseTol: coordinates closer than this differ by rounding alone, at any distance from
	// the origin that a model may have.
	noiseTol = 1e-6
	// crossTol: a crossing of two plan edges nearer than this to a line adds no line.
	crossTol = 5e-5
	// openTol is taken off MaxGap so that a gap of exactly the limit, measured with float
	// noise, counts as open.
	openTol = 1e-4
	// defaultMaxGap is 1/2 in, used when the input names none.
	defaultMaxGap = 0.0127
)

// frame is a turned plan: u along dir, v to the left of it, from origin o.
type frame struct{ o, dir geom.Vec2 }

func (f frame) in(p geom.Vec2) geom.Vec2 {
	d := p.Sub(f.o)
	return geom.Vec2{X: d.Dot(f.dir), Y: f.dir.Cross(d)}
}

func (f frame) out(q geom.Vec2) geom.Vec2 {
	return geom.Vec2{
		X: f.o.X + q.X*f.dir.X - q.Y*f.dir.Y,
		Y: f.o.Y + q.X*f.dir.Y + q.Y*f.dir.X,
	}
}

// dominantDirection returns the unit direction that most of the vertical face area follows,
// modulo 90 degrees, and lets the longer side of the building run along it.
func dominantDirection(parts []Part) geom.Vec2 {
	const bins = 180 // half-degree bins over 90 degrees
	type face struct{ ang, w float64 }
	n := 0
	for i := range parts {
		n += len(parts[i].Mesh.Tris)
	}
	faces := make([]face, 0, n)
	hist := make([]float64, bins)
	for i := range parts {
		m := parts[i].Mesh
		for _, t := range m.Tris {
			a, b, c := m.Verts[t[0]], m.Verts[t[1]], m.Verts[t[2]]
			n := b.Sub(a).Cross(c.Sub(a))
			l := n.Len()
			h := math.Hypot(n.X, n.Y)
			if l < 1e-9 || h < 0.999*l {
				continue
			}
			ang := math.Mod(math.Atan2(n.Y, n.X)+4*math.Pi, math.Pi/2)
			faces = append(faces, face{ang, l})
			hist[int(ang/(math.Pi/2)*bins)%bins] += l
		}
	}
	if len(faces) == 0 {
		return geom.Vec2{X: 1}
	}
	best := 0
	for i := range hist {
		w := hist[i] + hist[(i+1)%bins] + hist[(i+bins-1)%bins]
		v := hist[best] + hist[(best+1)%bins] + hist[(best+bins-1)%bins]
		if w > v*(1+1e-9) {
			best = i
		}
	}
	center := (float64(best) + 0.5) * math.Pi / 2 / bins
	sum, wsum := 0.0, 0.0
	for _, f := range faces {
		d := math.Mod(f.ang-center+3*math.Pi/4, math.Pi/2) - math.Pi/4
		if math.Abs(d) < 1.5*math.Pi/2/bins {
			sum += d * f.w
			wsum += f.w
		}
	}
	a := center
	if wsum > 0 {
		a += sum / wsum
	}
	dir := geom.Vec2{X: math.Cos(a), Y: math.Sin(a)}
	f := frame{dir: dir}
	lo, hi := geom.Vec2{X: math.Inf(1), Y: math.Inf(1)}, geom.Vec2{X: math.Inf(-1), Y: math.Inf(-1)}
	for i := range parts {
		for _, v := range parts[i].Mesh.Verts {
			q := f.in(v.Plan())
			lo = geom.Vec2{X: math.Min(lo.X, q.X), Y: math.Min(lo.Y, q.Y)}
			hi = geom.Vec2{X: math.Max(hi.X, q.X), Y: math.Max(hi.Y, q.Y)}
		}
	}
	if hi.Y-lo.Y > hi.X-lo.X {
		dir = geom.Vec2{X: -dir.Y, Y: dir.X}
	}
	return dir
}

// solid is a part seen in a frame.
type solid struct {
	part  int // index into Input.Parts
	role  Role
	box   geom.Box // u, v, z
	isBox bool     // fills its box
	bare  bool     // adds no lines to the plan
	// What the box does not tell; of boxes roofs alone keep their faces.
	verts []geom.Vec3
	tris  [][3]int32
	edges [][2]geom.Vec2 // plan projections of its feature edges
}

// appendEdges appends the plan projections of the edges where the surface turns: between them
// the column through the solid changes linearly.
func (s *solid) appendEdges(out [][2]geom.Vec2) [][2]geom.Vec2 {
	if !s.isBox || s.bare {
		return append(out, s.edges...)
	}
	a, b := s.box.Min, s.box.Max
	p := [4]geom.Vec2{{X: a.X, Y: a.Y}, {X: b.X, Y: a.Y}, {X: b.X, Y: b.Y}, {X: a.X, Y: b.Y}}
	return append(out, [2]geom.Vec2{p[0], p[1]}, [2]geom.Vec2{p[1], p[2]}, [2]geom.Vec2{p[3], p[2]}, [2]geom.Vec2{p[0], p[3]})
}

// place maps the parts named by ids into f. Vertices are shared per part, so that all
// fields of one frame may use one slice.
func place(parts []Part, ids []int, f frame) []*solid {
	out := make([]*solid, 0, len(ids))
	var verts []geom.Vec3
	for _, id := range ids {
		p := &parts[id]
		if len(p.Mesh.Tris) == 0 {
			continue
		}
		s := &solid{part: id, role: p.Role, box: geom.EmptyBox(), tris: p.Mesh.Tris}
		verts = verts[:0]
		for _, v := range p.Mesh.Verts {
			q := f.in(v.Plan())
			w := geom.Vec3{X: q.X, Y: q.Y, Z: v.Z}
			verts = append(verts, w)
			s.box = s.box.Extend(w)
		}
		s.verts = verts
		s.isBox = s.fillsBox() || s.plainIJoist(p)
		s.bare = s.faceted()
		switch {
		case s.isBox && s.role != RoleRoof:
			s.verts, s.tris = nil, nil
		case !s.isBox && !s.bare:
			s.edges = s.featureEdges()
			fallthrough
		default:
			s.verts = slices.Clone(verts)
		}
		out = append(out, s)
	}
	return out
}

// plainIJoist reports whether a joist is an I-joist without holes that lies along the frame:
// it counts as solid from flange to flange, so that blocks cut to the flanges close a bay. An
// I section has 44 triangles; a web with holes has more and is taken as drawn.
func (s *solid) plainIJoist(p *Part) bool {
	if p.Role != RoleJoist || p.Framing != FramingI || len(s.tris) > 60 {
		return false
	}
	m := geom.Mesh{Verts: s.verts, Tris: s.tris}
	d := s.box.Size()
	// Turned out of the frame its box would be far larger than an I section of its size.
	return math.Min(d.X, d.Y) < 0.15 && math.Abs(m.Volume()) > 0.1*d.X*d.Y*d.Z
}

// faceted reports whether a solid that bounds no void is drawn in so many facets that each of
// them as a grid line would cost far more than it tells: a lamp, a valve, a baluster. Its
// column is still looked at in every cell. A straight pipe of 24 sides has 96 triangles.
func (s *solid) faceted() bool {
	const most = 100
	switch s.role {
	case RoleService, RoleStair, RoleUnknown, RoleInsulation:
		return len(s.tris) > most
	}
	return false
}

func (s *solid) fillsBox() bool {
	const tol = 5e-4
	near := func(x, lo, hi float64) bool { return x-lo < tol || hi-x < tol }
	for _, v := range s.verts {
		if !near(v.X, s.box.Min.X, s.box.Max.X) || !near(v.Y, s.box.Min.Y, s.box.Max.Y) || !near(v.Z, s.box.Min.Z, s.box.Max.Z) {
			return false
		}
	}
	d := s.box.Size()
	full := d.X * d.Y * d.Z
	m := geom.Mesh{Verts: s.verts, Tris: s.tris}
	return math.Abs(math.Abs(m.Volume())-full) <= 2e-2*full+1e-9
}

// featureEdges returns the plan projections of the edges where the surface of a solid that is
// no box turns.
func (s *solid) featureEdges() [][2]geom.Vec2 {
	const weld = 1e-5
	type key [3]int64
	ids := make(map[key]int32, len(s.verts))
	canon := make([]int32, len(s.verts))
	for i, v := range s.verts {
		k := key{int64(math.Round(v.X / weld)), int64(math.Round(v.Y / weld)), int64(math.Round(v.Z / weld))}
		id, ok := ids[k]
		if !ok {
			id = int32(i)
			ids[k] = id
		}
		canon[i] = id
	}
	type edge struct{ a, b int32 }
	type sides struct {
		n geom.Vec3
		k int
		f bool
	}
	em := make(map[edge]*sides, len(s.tris)*2)
	var order []edge
	for _, t := range s.tris {
		a, b, c := canon[t[0]], canon[t[1]], canon[t[2]]
		n := s.verts[b].Sub(s.verts[a]).Cross(s.verts[c].Sub(s.verts[a]))
		if n.Len() < 1e-12 {
			continue
		}
		n = n.Unit()
		for _, e := range []edge{{a, b}, {b, c}, {c, a}} {
			if e.a > e.b {
				e.a, e.b = e.b, e.a
			}
			sd := em[e]
			if sd == nil {
				sd = &sides{n: n}
				em[e] = sd
				order = append(order, e)
			}
			sd.k++
			if sd.n.Dot(n) < 0.99999 {
				sd.f = true
			}
		}
	}
	var out [][2]geom.Vec2
	for _, e := range order {
		sd := em[e]
		if sd.k == 2 && !sd.f {
			continue
		}
		a, b := s.verts[e.a].Plan(), s.verts[e.b].Plan()
		if a.Sub(b).Len() < 1e-6 {
			continue
		}
		if a.X > b.X || (a.X == b.X && a.Y > b.Y) {
			a, b = b, a
		}
		out = append(out, [2]geom.Vec2{a, b})
	}
	sort.Slice(out, func(i, j int) bool { return lessSeg(out[i], out[j]) })
	return out
}

func lessSeg(a, b [2]geom.Vec2) bool {
	for k := 0; k < 2; k++ {
		if a[k].X != b[k].X {
			return a[k].X < b[k].X
		}
		if a[k].Y != b[k].Y {
			return a[k].Y < b[k].Y
		}
	}
	return false
}
