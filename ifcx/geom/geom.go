// Package geom holds the plain geometry that every other package shares: vectors,
// transforms, boxes, triangle meshes and the tolerances of the project. All lengths are
// metres. It knows nothing of IFC, of buildings or of fire.
package geom

import (
	"math"
	"slices"
)

// Vec2 is a point or a direction in plan, in metres.
type Vec2 struct{ X, Y float64 }

// Vec3 is a point or a direction in space, in metres.
type Vec3 struct{ X, Y, Z float64 }

// Add returns a+b.
func (a Vec2) Add(b Vec2) Vec2 { return Vec2{a.X + b.X, a.Y + b.Y} }

// Sub returns a-b.
func (a Vec2) Sub(b Vec2) Vec2 { return Vec2{a.X - b.X, a.Y - b.Y} }

// Mul returns a scaled by s.
func (a Vec2) Mul(s float64) Vec2 { return Vec2{a.X * s, a.Y * s} }

// Dot returns the scalar product.
func (a Vec2) Dot(b Vec2) float64 { return a.X*b.X + a.Y*b.Y }

// Cross returns the z component of the vector product.
func (a Vec2) Cross(b Vec2) float64 { return a.X*b.Y - a.Y*b.X }

// Len returns the length.
func (a Vec2) Len() float64 { return math.Hypot(a.X, a.Y) }

// Unit returns a scaled to length 1, or the zero vector when a has no length.
func (a Vec2) Unit() Vec2 {
	l := a.Len()
	if l == 0 {
		return Vec2{}
	}
	return Vec2{a.X / l, a.Y / l}
}

// Add returns a+b.
func (a Vec3) Add(b Vec3) Vec3 { return Vec3{a.X + b.X, a.Y + b.Y, a.Z + b.Z} }

// Sub returns a-b.
func (a Vec3) Sub(b Vec3) Vec3 { return Vec3{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }

// Mul returns a scaled by s.
func (a Vec3) Mul(s float64) Vec3 { return Vec3{a.X * s, a.Y * s, a.Z * s} }

// Dot returns the scalar product.
func (a Vec3) Dot(b Vec3) float64 { return a.X*b.X + a.Y*b.Y + a.Z*b.Z }

// Cross returns the vector product.
func (a Vec3) Cross(b Vec3) Vec3 {
	return Vec3{a.Y*b.Z - a.Z*b.Y, a.Z*b.X - a.X*b.Z, a.X*b.Y - a.Y*b.X}
}

// Len returns the length.
func (a Vec3) Len() float64 { return math.Sqrt(a.Dot(a)) }

// Unit returns a scaled to length 1, or the zero vector when a has no length.
func (a Vec3) Unit() Vec3 {
	l := a.Len()
	if l == 0 {
		return Vec3{}
	}
	return a.Mul(1 / l)
}

// Plan drops the height.
func (a Vec3) Plan() Vec2 { return Vec2{a.X, a.Y} }

// Mat is an affine transform: columns X, Y, Z are the images of the axes, O of the origin.
type Mat struct{ X, Y, Z, O Vec3 }

// Identity returns the transform that changes nothing.
func Identity() Mat {
	return Mat{X: Vec3{1, 0, 0}, Y: Vec3{0, 1, 0}, Z: Vec3{0, 0, 1}}
}

// Point applies the transform to a point.
func (m Mat) Point(p Vec3) Vec3 { return m.Dir(p).Add(m.O) }

// Dir applies the transform to a direction (no translation).
func (m Mat) Dir(p Vec3) Vec3 {
	return Vec3{
		m.X.X*p.X + m.Y.X*p.Y + m.Z.X*p.Z,
		m.X.Y*p.X + m.Y.Y*p.Y + m.Z.Y*p.Z,
		m.X.Z*p.X + m.Y.Z*p.Y + m.Z.Z*p.Z,
	}
}

// Then returns the transform that applies m after n: (m.Then)(n) maps p to m(n(p)).
func (m Mat) Then(n Mat) Mat {
	return Mat{X: m.Dir(n.X), Y: m.Dir(n.Y), Z: m.Dir(n.Z), O: m.Point(n.O)}
}

// Det returns the determinant of the linear part; it is negative for a mirror.
func (m Mat) Det() float64 { return m.X.Dot(m.Y.Cross(m.Z)) }

// Box is an axis-aligned box. The zero Box is not empty; use EmptyBox.
type Box struct{ Min, Max Vec3 }

// EmptyBox returns a box that contains nothing and that Extend can grow.
func EmptyBox() Box {
	i := math.Inf(1)
	return Box{Vec3{i, i, i}, Vec3{-i, -i, -i}}
}

// IsEmpty reports whether the box contains no point.
func (b Box) IsEmpty() bool { return b.Min.X > b.Max.X }

// Extend returns the box grown to contain p.
func (b Box) Extend(p Vec3) Box {
	return Box{
		Vec3{min(b.Min.X, p.X), min(b.Min.Y, p.Y), min(b.Min.Z, p.Z)},
		Vec3{max(b.Max.X, p.X), max(b.Max.Y, p.Y), max(b.Max.Z, p.Z)},
	}
}

// Join returns the smallest box that contains both.
func (b Box) Join(c Box) Box {
	if c.IsEmpty() {
		return b
	}
	return b.Extend(c.Min).Extend(c.Max)
}

// Grow returns the box grown by d metres on every side.
func (b Box) Grow(d float64) Box {
	v := Vec3{d, d, d}
	return Box{b.Min.Sub(v), b.Max.Add(v)}
}

// Overlaps reports whether the boxes share a point.
func (b Box) Overlaps(c Box) bool {
	return b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y && b.Min.Z <= c.Max.Z && c.Min.Z <= b.Max.Z
}

// Center returns the middle of the box.
func (b Box) Center() Vec3 { return b.Min.Add(b.Max).Mul(0.5) }

// Size returns the edge lengths.
func (b Box) Size() Vec3 { return b.Max.Sub(b.Min) }

// Mesh is a triangle mesh, closed and outward-facing unless its maker says otherwise.
// Triangles index Verts. Coordinates are metres.
type Mesh struct {
	Verts []Vec3
	Tris  [][3]int32
}

// Box returns the bounds of the mesh.
func (m *Mesh) Box() Box {
	b, sum := EmptyBox(), 0.0
	for i := range m.Verts { // not by Extend: boxes of all parts are asked for again and again
		v := &m.Verts[i]
		if v.X < b.Min.X {
			b.Min.X = v.X
		}
		if v.Y < b.Min.Y {
			b.Min.Y = v.Y
		}
		if v.Z < b.Min.Z {
			b.Min.Z = v.Z
		}
		if v.X > b.Max.X {
			b.Max.X = v.X
		}
		if v.Y > b.Max.Y {
			b.Max.Y = v.Y
		}
		if v.Z > b.Max.Z {
			b.Max.Z = v.Z
		}
		sum += v.X + v.Y + v.Z
	}
	if sum != sum { // a corner is nowhere, and then so is the mesh
		return Box{Vec3{sum, sum, sum}, Vec3{sum, sum, sum}}
	}
	return b
}

// Volume returns the signed volume in cubic metres; it is positive when the faces look outward.
func (m *Mesh) Volume() float64 {
	if len(m.Verts) == 0 {
		return 0
	}
	o := m.Verts[0] // a local origin keeps digits for models far away
	v := 0.0
	for _, t := range m.Tris {
		a, b, c := m.Verts[t[0]].Sub(o), m.Verts[t[1]].Sub(o), m.Verts[t[2]].Sub(o)
		v += a.Dot(b.Cross(c))
	}
	return v / 6
}

// Transform returns a transformed copy; a mirror turns the faces so that they stay outward.
func (m *Mesh) Transform(t Mat) *Mesh {
	r := &Mesh{}
	m.TransformInto(r, t)
	return r
}

// TransformInto makes r a transformed copy, in the room that its Verts have.
func (m *Mesh) TransformInto(r *Mesh, t Mat) {
	r.Verts = slices.Grow(r.Verts[:0], len(m.Verts))[:len(m.Verts)]
	for i, v := range m.Verts {
		r.Verts[i] = t.Point(v)
	}
	if r.Tris = m.Tris[:len(m.Tris):len(m.Tris)]; t.Det() < 0 {
		r.Tris = make([][3]int32, len(m.Tris))
		for i, x := range m.Tris {
			r.Tris[i] = [3]int32{x[0], x[2], x[1]}
		}
	}
}

// BoxMesh returns the twelve triangles of a box.
func BoxMesh(b Box) *Mesh {
	lo, hi := b.Min, b.Max
	m := &Mesh{Verts: []Vec3{
		{lo.X, lo.Y, lo.Z}, {hi.X, lo.Y, lo.Z}, {hi.X, hi.Y, lo.Z}, {lo.X, hi.Y, lo.Z},
		{lo.X, lo.Y, hi.Z}, {hi.X, lo.Y, hi.Z}, {hi.X, hi.Y, hi.Z}, {lo.X, hi.Y, hi.Z}}}
	for _, q := range [][4]int32{{0, 3, 2, 1}, {4, 5, 6, 7}, {0, 1, 5, 4}, {1, 2, 6, 5}, {2, 3, 7, 6}, {3, 0, 4, 7}} {
		m.Tris = append(m.Tris, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return m
}
