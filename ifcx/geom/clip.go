package geom

// Clip cuts a closed mesh by a plane and keeps the part behind it (where Dist <= 0), with the
// cut closed. Vertices within OnPlane of the plane count as lying in it, so a cut along a
// face leaves the mesh as it is or nothing of it. A mesh that is not closed is cut but gets
// a cap only where its section closes.
func Clip(m *Mesh, p Plane) *Mesh {
	side := make([]int8, len(m.Verts))
	front, back := false, false
	for i, v := range m.Verts {
		switch d := p.Dist(v); {
		case d > OnPlane:
			side[i], front = 1, true
		case d < -OnPlane:
			side[i], back = -1, true
		}
	}
	if !front {
		return m
	}
	if !back {
		return &Mesh{}
	}
	c := &clipper{src: m, plane: p, side: side, out: &Mesh{}, kept: map[int32]int32{}, cut: map[[2]int32]int32{}, open: map[[2]int32]int{}}
	for _, t := range m.Tris {
		c.triangle(t)
	}
	c.cap()
	return c.out
}

type clipper struct {
	src   *Mesh
	plane Plane
	side  []int8
	out   *Mesh
	kept  map[int32]int32    // source vertex -> output vertex
	cut   map[[2]int32]int32 // cut source edge -> output vertex, shared by both faces
	open  map[[2]int32]int   // edges in the plane: the balance of those that want a partner
}

func (c *clipper) vertex(i int32) int32 {
	if k, ok := c.kept[i]; ok {
		return k
	}
	k := int32(len(c.out.Verts))
	c.out.Verts = append(c.out.Verts, c.src.Verts[i])
	c.kept[i] = k
	return k
}

func (c *clipper) crossing(i, j int32) int32 {
	if i > j {
		i, j = j, i
	}
	if k, ok := c.cut[[2]int32{i, j}]; ok {
		return k
	}
	a, b := c.src.Verts[i], c.src.Verts[j]
	da, db := c.plane.Dist(a), c.plane.Dist(b)
	k := int32(len(c.out.Verts))
	c.out.Verts = append(c.out.Verts, a.Add(b.Sub(a).Mul(da/(da-db))))
	c.cut[[2]int32{i, j}] = k
	return k
}

func (c *clipper) triangle(t [3]int32) {
	var poly [4]int32
	var inPlane [4]bool
	n, behind := 0, false
	for k := range t {
		i, j := t[k], t[(k+1)%3]
		if c.side[i] <= 0 {
			poly[n], inPlane[n] = c.vertex(i), c.side[i] == 0
			behind = behind || c.side[i] < 0
			n++
		}
		if c.side[i]*c.side[j] < 0 {
			poly[n], inPlane[n] = c.crossing(i, j), true
			n++
		}
	}
	if n < 3 || !behind { // faces in the plane are left to the cap
		return
	}
	for k := 1; k+1 < n; k++ {
		c.out.Tris = append(c.out.Tris, [3]int32{poly[0], poly[k], poly[k+1]})
	}
	for k := range n {
		l := (k + 1) % n
		if inPlane[k] && inPlane[l] {
			if e := edgeKey(poly[k], poly[l]); e[0] == poly[k] {
				c.open[e]--
			} else {
				c.open[e]++
			}
		}
	}
}

// cap closes the cut: the edges left open in the plane, turned round, bound it.
func (c *clipper) cap() {
	capFace(c.out, c.plane, openEdges(c.open))
}

// capFace adds the plane face that the directed edges bound, seen from the side of the
// plane's normal with the inside on their left.
func capFace(m *Mesh, p Plane, dir [][2]int32) {
	if len(dir) == 0 {
		return
	}
	inv, _ := p.Frame(m.Verts[dir[0][0]]).Inverse()
	var g Region
	var ids []int32
	for _, loop := range chainLoops(dir, func(i int32) Vec2 { return inv.Point(m.Verts[i]).Plan() }) {
		r := make(Ring, len(loop))
		for k, i := range loop {
			r[k] = inv.Point(m.Verts[i]).Plan()
		}
		g = append(g, r)
		ids = append(ids, loop...)
	}
	for _, t := range Triangulate(g) {
		m.Tris = append(m.Tris, [3]int32{ids[t[0]], ids[t[1]], ids[t[2]]})
	}
}
