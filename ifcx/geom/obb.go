package geom

import (
	"cmp"
	"math"
	"slices"
)

// OBB is an oriented box. Axes have length 1, are square to each other and right-handed, and
// are sorted by length, longest first; Half has half the lengths in metres.
type OBB struct {
	Center Vec3
	Axes   [3]Vec3
	Half   [3]float64
}

// Size returns the full lengths along the axes in metres, longest first.
func (b OBB) Size() [3]float64 { return [3]float64{2 * b.Half[0], 2 * b.Half[1], 2 * b.Half[2]} }

// Volume returns the volume of the box in cubic metres.
func (b OBB) Volume() float64 { return 8 * b.Half[0] * b.Half[1] * b.Half[2] }

// minFaceShare is the least part of the surface that must face a direction for the oriented
// box to follow it rather than the outline: the ends of a member 50 times as long as wide.
const minFaceShare = 0.01

// OBB returns the oriented box of the mesh. Its sides follow the faces: the direction that
// most of the surface looks along, then the one square to it that most of the rest does. So
// it is exact for boxes, boards and extruded members however they are turned and however
// their ends are cut. Shapes with no second direction get the smallest rectangle round their
// outline seen along the first. A mesh without faces gives the zero box.
func (m *Mesh) OBB() OBB {
	groups, total := m.facing()
	if len(groups) == 0 {
		return OBB{}
	}
	n := groups[0].dir.Unit()
	side := Vec3{}
	for _, g := range groups[1:] {
		d := g.dir.Unit()
		if math.Abs(d.Dot(n)) <= Parallel && g.area >= minFaceShare*total {
			side = d
			break
		}
	}
	if side == (Vec3{}) {
		side = m.narrowest(n)
	}
	side = side.Sub(n.Mul(side.Dot(n))).Unit()
	return m.boxAlong([3]Vec3{n, side, n.Cross(side)})
}

type facing struct {
	dir  Vec3 // sum of the normals, weighted by area
	area float64
}

// facing groups the faces by the direction they look along, either way round, largest first.
func (m *Mesh) facing() (groups []facing, total float64) {
	const most = 200 // directions; curved surfaces beyond that have none that matters
	normal := make([]Vec3, 0, len(m.Tris))
	for _, t := range m.Tris {
		if n := m.Verts[t[1]].Sub(m.Verts[t[0]]).Cross(m.Verts[t[2]].Sub(m.Verts[t[0]])); n.Len() > 1e-14 {
			normal = append(normal, n)
		}
	}
	slices.SortStableFunc(normal, func(a, b Vec3) int { return cmp.Compare(b.Dot(b), a.Dot(a)) })
	for _, n := range normal {
		a := n.Len()
		total += a
		k := slices.IndexFunc(groups, func(g facing) bool { return g.dir.Cross(n).Len() <= Parallel*g.dir.Len()*a })
		switch {
		case k < 0 && len(groups) < most:
			groups = append(groups, facing{n, a})
		case k >= 0:
			if groups[k].dir.Dot(n) < 0 {
				n = n.Mul(-1)
			}
			groups[k].dir = groups[k].dir.Add(n)
			groups[k].area += a
		}
	}
	slices.SortStableFunc(groups, func(a, b facing) int {
		if math.Abs(a.area-b.area) <= 1e-9*total { // equal but for rounding: keep the order
			return 0
		}
		return cmp.Compare(b.area, a.area)
	})
	return groups, total
}

// narrowest returns the direction square to n of a side of the smallest rectangle round the
// mesh seen along n. One of its sides lies on an edge of the convex outline.
func (m *Mesh) narrowest(n Vec3) Vec3 {
	frame := PlaneAt(m.Verts[0], n).Frame(m.Verts[0])
	inv, _ := frame.Inverse()
	pts := make([]Vec2, len(m.Verts))
	for i, v := range m.Verts {
		pts[i] = inv.Point(v).Plan()
	}
	hull := ConvexHull(pts)
	best, dir := math.Inf(1), Vec2{1, 0}
	for i, p := range hull {
		d := hull[(i+1)%len(hull)].Sub(p).Unit()
		if d == (Vec2{}) {
			continue
		}
		e := Vec2{-d.Y, d.X}
		lo, hi := Vec2{math.Inf(1), math.Inf(1)}, Vec2{math.Inf(-1), math.Inf(-1)}
		for _, q := range hull {
			s, t := q.Dot(d), q.Dot(e)
			lo = Vec2{math.Min(lo.X, s), math.Min(lo.Y, t)}
			hi = Vec2{math.Max(hi.X, s), math.Max(hi.Y, t)}
		}
		if a := (hi.X - lo.X) * (hi.Y - lo.Y); a < best*(1-1e-9) {
			best, dir = a, d
		}
	}
	return frame.Dir(Vec3{dir.X, dir.Y, 0})
}

// ConvexHull returns the convex outline of points, counter-clockwise, without points on its
// edges; fewer than three points when they lie on a line.
func ConvexHull(pts []Vec2) Ring {
	s := slices.Clone(pts)
	slices.SortFunc(s, func(a, b Vec2) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	s = slices.Compact(s)
	if len(s) < 3 {
		return s
	}
	var hull Ring
	for range 2 { // lower chain, then upper
		base := len(hull)
		for _, p := range s {
			for len(hull) >= base+2 && hull[len(hull)-1].Sub(hull[len(hull)-2]).Cross(p.Sub(hull[len(hull)-2])) <= 0 {
				hull = hull[:len(hull)-1]
			}
			hull = append(hull, p)
		}
		hull = hull[:len(hull)-1]
		slices.Reverse(s)
	}
	return hull
}

// boxAlong returns the box of the mesh along three square directions, sorted by length.
func (m *Mesh) boxAlong(axes [3]Vec3) OBB {
	o := m.Verts[0]
	var lo, hi [3]float64
	for _, v := range m.Verts {
		for k, a := range axes {
			d := v.Sub(o).Dot(a)
			lo[k], hi[k] = math.Min(lo[k], d), math.Max(hi[k], d)
		}
	}
	b := OBB{Center: o}
	order := []int{0, 1, 2}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(hi[j]-lo[j], hi[i]-lo[i]) })
	for k, i := range order {
		b.Axes[k], b.Half[k] = positive(axes[i]), (hi[i]-lo[i])/2
		b.Center = b.Center.Add(axes[i].Mul((hi[i] + lo[i]) / 2))
	}
	b.Axes[2] = b.Axes[0].Cross(b.Axes[1])
	return b
}

// positive turns a direction so that its largest component is positive.
func positive(d Vec3) Vec3 {
	c := d.X
	if math.Abs(d.Y) > math.Abs(c)+1e-9 {
		c = d.Y
	}
	if math.Abs(d.Z) > math.Abs(c)+1e-9 {
		c = d.Z
	}
	if c < 0 {
		return d.Mul(-1)
	}
	return d
}
