package shape

import "voidcheck/ifcx/geom"

// prism is a plane area swept along a straight line. frame maps (u, v, w) to the part's
// frame; the area lies in u and v, and w runs from 0 to depth. The frame may be oblique,
// scaled or mirrored.
type prism struct {
	area  geom.Region
	frame geom.Mat
	depth float64
}

func (p *prism) placed(m geom.Mat) *prism {
	return &prism{p.area, m.Then(p.frame), p.depth}
}

// layer is a stretch of a prism with one section.
type layer struct {
	lo, hi float64
	area   geom.Region
}

func (p *prism) mesh() *geom.Mesh { return p.stack([]layer{{0, p.depth, p.area}}) }

// stack makes the closed mesh of layers on top of each other. Between two layers lie the
// parts of their sections that only one of them has.
func (p *prism) stack(layers []layer) *geom.Mesh {
	if len(layers) == 1 {
		return p.single(layers[0])
	}
	m := &geom.Mesh{}
	for i, l := range layers {
		var below, above geom.Region
		if i > 0 && layers[i-1].hi >= l.lo {
			below = layers[i-1].area
		}
		if i+1 < len(layers) && layers[i+1].lo <= l.hi {
			above = layers[i+1].area
		}
		face(m, minus(l.area, below), l.lo, false)
		face(m, minus(l.area, above), l.hi, true)
		for _, r := range l.area {
			wall(m, r, l.lo, l.hi)
		}
	}
	return m.Transform(p.frame).Sewn()
}

// single makes the mesh of one layer, whose faces share their corners.
func (p *prism) single(l layer) *geom.Mesh {
	points := 0
	for _, r := range l.area {
		points += len(r)
	}
	m := &geom.Mesh{Verts: make([]geom.Vec3, 0, 2*points)}
	for _, w := range [2]float64{l.lo, l.hi} {
		for _, r := range l.area {
			for _, q := range r {
				m.Verts = append(m.Verts, p.frame.Point(geom.Vec3{X: q.X, Y: q.Y, Z: w}))
			}
		}
	}
	n, ends := int32(points), geom.Triangulate(l.area)
	m.Tris = make([][3]int32, 0, 2*len(ends)+2*points)
	for _, t := range ends {
		m.Tris = append(m.Tris, [3]int32{t[0], t[2], t[1]}, [3]int32{n + t[0], n + t[1], n + t[2]})
	}
	k := int32(0)
	for _, r := range l.area {
		for i := range int32(len(r)) {
			a, b := k+i, k+(i+1)%int32(len(r))
			m.Tris = append(m.Tris, [3]int32{a, b, n + b}, [3]int32{a, n + b, n + a})
		}
		k += int32(len(r))
	}
	if p.frame.Det() < 0 {
		for i, t := range m.Tris {
			m.Tris[i] = [3]int32{t[0], t[2], t[1]}
		}
	}
	return m
}

func minus(a, b geom.Region) geom.Region {
	if len(b) == 0 || len(a) == 0 {
		return a
	}
	return geom.Combine(a, b, geom.Difference)
}

func face(m *geom.Mesh, g geom.Region, w float64, up bool) {
	k := int32(len(m.Verts))
	for _, r := range g {
		for _, q := range r {
			m.Verts = append(m.Verts, geom.Vec3{X: q.X, Y: q.Y, Z: w})
		}
	}
	for _, t := range geom.Triangulate(g) {
		if up {
			m.Tris = append(m.Tris, [3]int32{k + t[0], k + t[1], k + t[2]})
		} else {
			m.Tris = append(m.Tris, [3]int32{k + t[0], k + t[2], k + t[1]})
		}
	}
}

func wall(m *geom.Mesh, r geom.Ring, lo, hi float64) {
	k, n := int32(len(m.Verts)), int32(len(r))
	for _, w := range [2]float64{lo, hi} {
		for _, q := range r {
			m.Verts = append(m.Verts, geom.Vec3{X: q.X, Y: q.Y, Z: w})
		}
	}
	for i := range n {
		j := (i + 1) % n
		m.Tris = append(m.Tris, [3]int32{k + i, k + j, k + n + j}, [3]int32{k + i, k + n + j, k + n + i})
	}
}

// turns returns the prism seen as a prism along other directions: a box is one along each of
// its edges.
func (p *prism) turns() []*prism {
	out := []*prism{p}
	if len(p.area) != 1 || len(p.area[0]) != 4 {
		return out
	}
	r := p.area[0]
	a, b := r[1].Sub(r[0]), r[3].Sub(r[0])
	if r[2].Sub(r[0]).Sub(a).Sub(b).Len() > geom.Weld {
		return out // no parallelogram
	}
	o := p.frame.Point(geom.Vec3{X: r[0].X, Y: r[0].Y})
	dir := func(v geom.Vec2) geom.Vec3 { return p.frame.Dir(geom.Vec3{X: v.X / v.Len(), Y: v.Y / v.Len()}) }
	rect := func(x, y float64) geom.Region {
		return geom.Region{{{}, {X: x}, {X: x, Y: y}, {Y: y}}}
	}
	u, v, w := dir(a), dir(b), p.frame.Z
	return append(out,
		&prism{rect(b.Len(), p.depth), geom.Mat{X: v, Y: w, Z: u, O: o}, a.Len()},
		&prism{rect(p.depth, a.Len()), geom.Mat{X: w, Y: u, Z: v, O: o}, b.Len()})
}
