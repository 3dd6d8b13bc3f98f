package recognise

import (
	"math"
	"sort"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Members of a truss shown as a solid, when it is taken for what it stands for, metres: 2x4
// chords laid flat in floor trusses and on edge in roof trusses, end posts as wide as a plate.
const (
	flatChord = 0.038
	edgeChord = 0.089
	endPost   = 0.089
)

// solidTruss reports whether a piece has the outline of a truss and no openings: thin, plumb
// and long, as models of little detail show trusses.
func solidTruss(p *piece) bool {
	return trussPlate(p) && p.seen > 0.9*hullShare(p)
}

// roofSpacing is the widest spacing of roof trusses, metres (common practice: 2 ft, seldom 4 ft).
const roofSpacing = 1.3

// roofPlates returns the elements whose one solid is a plate with the outline of a roof, one
// of several at a spacing: trusses shown as solids, whatever they are called.
func (r *reader) roofPlates() map[int]bool {
	type plate struct {
		p              *piece
		l              *leaf
		s0, s1, t0, t1 float64
	}
	var ps []plate
	for _, p := range r.ps {
		if e := r.element(p); p.skip || p.known() || len(r.of[p.elem]) != 1 || !solidTruss(p) || e.Is("IfcWall") || e.Is("IfcPlate") || e.Is("IfcCovering") || e.Is("IfcSlab") {
			continue
		}
		sloped, level := 0.0, 0.0 // lengths of the edges above and below
		ring := outlineOf(p)
		for i, a := range ring {
			d := ring[(i+1)%len(ring)].Sub(a)
			switch z := math.Abs(p.axes[0].Mul(d.X).Add(p.axes[1].Mul(d.Y)).Z) / math.Max(d.Len(), 1e-9); {
			case z > 0.026 && z < 0.9:
				sloped += d.Len()
			case z <= 0.026:
				level += d.Len()
			}
		}
		if sloped < 0.3*p.size[0] || level < 0.3*p.size[0] {
			continue
		}
		n := p.axes[2].Plan()
		x := plate{p: p, l: emptyLeaf(n)}
		x.s0, x.s1, x.t0, x.t1 = x.l.span(p)
		ps = append(ps, x)
	}
	boxes := make([]geom.Box, len(ps))
	for i := range ps {
		boxes[i] = ps[i].p.box
	}
	index := geom.NewBoxIndex(boxes)
	out := map[int]bool{}
	for i, a := range ps {
		n := 0
		for _, j := range index.In(a.p.box.Grow(2 * roofSpacing)) {
			b := ps[j]
			if i == j || !a.l.parallel(b.l) || overlap(a.s0, a.s1, b.s0, b.s1) < 0.8*math.Max(a.s1-a.s0, b.s1-b.s0) || overlap(a.p.z0(), a.p.z1(), b.p.z0(), b.p.z1()) < 0.8*a.p.height() {
				continue
			}
			if d := math.Abs(a.t0 - b.t0); d > 0.2 && d < 2*roofSpacing {
				n++
			}
		}
		if n >= 2 {
			out[a.p.elem] = true
		}
	}
	return out
}

// outlineOf returns the convex outline of a piece's broad side along its first two axes,
// counter-clockwise, about its middle.
func outlineOf(p *piece) []geom.Vec2 {
	var pts []geom.Vec2
	for _, v := range p.mesh.Verts {
		q := p.turn.in(v).Sub(p.mid)
		pts = append(pts, geom.Vec2{X: q.Dot(p.axes[0]), Y: q.Dot(p.axes[1])})
	}
	sort.Slice(pts, func(i, j int) bool { return pts[i].X < pts[j].X || pts[i].X == pts[j].X && pts[i].Y < pts[j].Y })
	chain := func(next func(int) geom.Vec2) []geom.Vec2 {
		var h []geom.Vec2
		for i := range pts {
			q := next(i)
			for len(h) > 1 && h[len(h)-1].Sub(h[len(h)-2]).Cross(q.Sub(h[len(h)-1])) <= 0 {
				h = h[:len(h)-1]
			}
			h = append(h, q)
		}
		return h[:len(h)-1]
	}
	lower := chain(func(i int) geom.Vec2 { return pts[i] })
	upper := chain(func(i int) geom.Vec2 { return pts[len(pts)-1-i] })
	return append(lower, upper...)
}

// opened returns what a truss shown as a solid stands for: chords along its outline and end
// posts, with nothing between them. Webs are left out: they close nothing.
func opened(p *piece) []void.Part {
	ring := outlineOf(p)
	chord := flatChord
	if p.size[1] > parallelDepth || math.Abs(p.axes[0].Z) > 0.026 || len(ring) == 3 || len(ring) > 4 {
		chord = edgeChord
	}
	var out []void.Part
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		d := b.Sub(a)
		if d.Len() < 0.02 {
			continue
		}
		d = d.Unit()
		along := p.axes[0].Mul(d.X).Add(p.axes[1].Mul(d.Y))
		role, c := void.RoleChord, math.Min(chord, p.size[1]/4)
		if math.Abs(along.Z) > 0.9 {
			role, c = void.RoleWeb, math.Min(endPost, p.size[0]/4)
		}
		in := geom.Vec2{X: -d.Y, Y: d.X}.Mul(c)
		m := &geom.Mesh{}
		for _, t := range []float64{-p.size[2] / 2, p.size[2] / 2} {
			for _, q := range []geom.Vec2{a, b, b.Add(in), a.Add(in)} {
				m.Verts = append(m.Verts, p.turn.out(p.mid.Add(p.axes[0].Mul(q.X)).Add(p.axes[1].Mul(q.Y)).Add(p.axes[2].Mul(t))))
			}
		}
		for _, q := range [][4]int32{{0, 3, 2, 1}, {4, 5, 6, 7}, {0, 1, 5, 4}, {1, 2, 6, 5}, {2, 3, 7, 6}, {3, 0, 4, 7}} {
			m.Tris = append(m.Tris, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
		}
		if m.Volume() < 0 {
			m = m.Flipped()
		}
		out = append(out, void.Part{Mesh: m, Role: role, Element: p.elem, Assembly: p.truss})
	}
	return out
}
