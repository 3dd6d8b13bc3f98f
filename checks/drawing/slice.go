package drawing

import (
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

// plane is an upright plane: s runs along dir from origin, in metres.
type plane struct {
	origin geom.Vec2
	dir    geom.Vec2 // unit
	length float64
}

func (p plane) s(q geom.Vec2) float64 { return q.Sub(p.origin).Dot(p.dir) }

// off is the distance from the plane, positive to the left of dir.
func (p plane) off(q geom.Vec2) float64 { return p.dir.Cross(q.Sub(p.origin)) }

func (p plane) at(s float64) geom.Vec2 { return p.origin.Add(p.dir.Mul(s)) }

// bounds are those of a stretch of the plane, at any height.
func (p plane) bounds(s0, s1 float64) geom.Box {
	b := geom.EmptyBox()
	for _, q := range []geom.Vec2{p.at(s0), p.at(s1)} {
		b = b.Extend(geom.Vec3{X: q.X, Y: q.Y, Z: math.Inf(-1)}).Extend(geom.Vec3{X: q.X, Y: q.Y, Z: math.Inf(1)})
	}
	return b
}

// moved returns the plane d metres to the left.
func (p plane) moved(d float64) plane {
	p.origin = p.origin.Add(geom.Vec2{X: -p.dir.Y, Y: p.dir.X}.Mul(d))
	return p
}

// upright cuts a mesh by an upright plane; the rings are in (s, z), outer ones counter-clockwise.
func upright(m *geom.Mesh, p plane) []geom.Ring {
	return slice(m, func(v geom.Vec3) float64 { return -p.off(v.Plan()) },
		func(v geom.Vec3) geom.Vec2 { return geom.Vec2{X: p.s(v.Plan()), Y: v.Z} })
}

// flat cuts a mesh by a level plane; the rings are in plan.
func flat(m *geom.Mesh, z float64) []geom.Ring {
	return slice(m, func(v geom.Vec3) float64 { return v.Z - z }, geom.Vec3.Plan)
}

// weld is the distance within which ends of cut edges are one point, metres.
const weld = 1e-5

// slice cuts a mesh where dist is zero and chains the cut edges to closed rings, seen through
// flatten. A vertex in the plane counts as above it, so that every ring closes. Edges of
// meshes that do not close are left out where they lead nowhere.
func slice(m *geom.Mesh, dist func(geom.Vec3) float64, flatten func(geom.Vec3) geom.Vec2) []geom.Ring {
	d := make([]float64, len(m.Verts))
	above, below := false, false
	for i, v := range m.Verts {
		d[i] = dist(v)
		above, below = above || d[i] >= 0, below || d[i] < 0
	}
	if !above || !below {
		return nil
	}
	key := func(p geom.Vec2) [2]int64 {
		return [2]int64{int64(math.Round(p.X / weld)), int64(math.Round(p.Y / weld))}
	}
	type edge struct {
		a, b geom.Vec2
		used bool
	}
	var edges []edge
	from := map[[2]int64][]int{}
	cross := func(i, j int32) geom.Vec2 {
		if i > j {
			i, j = j, i // the same point whichever face asks
		}
		t := d[i] / (d[i] - d[j])
		return flatten(m.Verts[i].Add(m.Verts[j].Sub(m.Verts[i]).Mul(t)))
	}
	for _, t := range m.Tris {
		var ends []geom.Vec2
		up := false
		for k := range 3 {
			i, j := t[k], t[(k+1)%3]
			if (d[i] >= 0) != (d[j] >= 0) {
				if len(ends) == 0 {
					up = d[j] >= 0
				}
				ends = append(ends, cross(i, j))
			}
		}
		if len(ends) != 2 || key(ends[0]) == key(ends[1]) {
			continue
		}
		a, b := ends[0], ends[1]
		if up { // the way round follows the face's outside
			a, b = b, a
		}
		from[key(a)] = append(from[key(a)], len(edges))
		edges = append(edges, edge{a: a, b: b})
	}
	var rings []geom.Ring
	for i := range edges {
		if edges[i].used {
			continue
		}
		var ring geom.Ring
		for e := i; e >= 0 && !edges[e].used; {
			edges[e].used = true
			ring = append(ring, edges[e].a)
			next := -1
			for _, k := range from[key(edges[e].b)] {
				if !edges[k].used {
					next = k
					break
				}
			}
			e = next
		}
		if ring = ring.Cleaned(0.0003); len(ring) >= 3 && math.Abs(ring.Area()) > 1e-7 {
			rings = append(rings, ring)
		}
	}
	slices.SortStableFunc(rings, func(a, b geom.Ring) int { return compareRings(a, b) })
	return rings
}

// compareRings puts rings into an order of place.
func compareRings(a, b geom.Ring) int {
	pa, pb := corner(a), corner(b)
	switch {
	case math.Abs(pa.X-pb.X) > 1e-6:
		return sign(pa.X - pb.X)
	case math.Abs(pa.Y-pb.Y) > 1e-6:
		return sign(pa.Y - pb.Y)
	}
	return 0
}

func sign(v float64) int {
	if v < 0 {
		return -1
	}
	return 1
}

// corner is the low corner of a ring's box.
func corner(r geom.Ring) geom.Vec2 {
	c := geom.Vec2{X: math.Inf(1), Y: math.Inf(1)}
	for _, p := range r {
		c.X, c.Y = min(c.X, p.X), min(c.Y, p.Y)
	}
	return c
}

// asBox reports whether a ring is an upright rectangle: s0, z0, s1, z1.
func asBox(r geom.Ring) (box [4]float64, ok bool) {
	if len(r) != 4 {
		return box, false
	}
	box = [4]float64{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range r {
		box[0], box[1], box[2], box[3] = min(box[0], p.X), min(box[1], p.Y), max(box[2], p.X), max(box[3], p.Y)
	}
	for _, p := range r {
		if min(p.X-box[0], box[2]-p.X) > 0.0004 || min(p.Y-box[1], box[3]-p.Y) > 0.0004 {
			return box, false
		}
	}
	return box, true
}
