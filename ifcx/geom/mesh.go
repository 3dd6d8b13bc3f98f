package geom

import "math"

// Area returns the surface area in square metres.
func (m *Mesh) Area() float64 {
	a := 0.0
	for _, t := range m.Tris {
		a += m.Verts[t[1]].Sub(m.Verts[t[0]]).Cross(m.Verts[t[2]].Sub(m.Verts[t[0]])).Len()
	}
	return a / 2
}

// IsClosed reports whether the faces bound a volume: every edge is used as often in one
// direction as in the other. It goes by vertex numbers; call Welded first on meshes whose
// faces have vertices of their own.
func (m *Mesh) IsClosed() bool {
	if len(m.Tris) == 0 {
		return false
	}
	count := make(map[[2]int32]int, len(m.Tris)*2)
	for _, t := range m.Tris {
		for k := range t {
			a, b := t[k], t[(k+1)%3]
			switch {
			case a < b:
				count[[2]int32{a, b}]++
			case a > b:
				count[[2]int32{b, a}]--
			}
		}
	}
	for _, n := range count {
		if n != 0 {
			return false
		}
	}
	return true
}

// IsFinite reports whether no coordinate is NaN or infinite.
func (m *Mesh) IsFinite() bool {
	for _, v := range m.Verts {
		if !v.IsFinite() {
			return false
		}
	}
	return true
}

// Append adds the faces of n.
func (m *Mesh) Append(n *Mesh) {
	k := int32(len(m.Verts))
	m.Verts = append(m.Verts, n.Verts...)
	for _, t := range n.Tris {
		m.Tris = append(m.Tris, [3]int32{t[0] + k, t[1] + k, t[2] + k})
	}
}

// Flipped returns the mesh with its faces turned over.
func (m *Mesh) Flipped() *Mesh {
	r := &Mesh{Verts: m.Verts, Tris: make([][3]int32, len(m.Tris))}
	for i, t := range m.Tris {
		r.Tris[i] = [3]int32{t[0], t[2], t[1]}
	}
	return r
}

// Welded returns the mesh with vertices closer than tol metres made one, and without faces
// that lost a corner by it.
func (m *Mesh) Welded(tol float64) *Mesh {
	w := NewWelder(tol)
	to := make([]int32, len(m.Verts))
	for i, v := range m.Verts {
		to[i] = w.Add(v)
	}
	r := &Mesh{Verts: w.Points(), Tris: make([][3]int32, 0, len(m.Tris))}
	for _, t := range m.Tris {
		a, b, c := to[t[0]], to[t[1]], to[t[2]]
		if a != b && b != c && a != c {
			r.Tris = append(r.Tris, [3]int32{a, b, c})
		}
	}
	return r
}

// Welder numbers points, giving points within its tolerance the same number.
type Welder struct {
	tol  float64
	pts  []Vec3
	grid map[[3]int64][]int32
}

// NewWelder returns a welder with a tolerance in metres.
func NewWelder(tol float64) *Welder {
	return &Welder{tol: tol, grid: map[[3]int64][]int32{}}
}

// Points returns the distinct points in the order in which they came.
func (w *Welder) Points() []Vec3 { return w.pts }

// Add returns the number of p.
func (w *Welder) Add(p Vec3) int32 {
	cell := func(x float64) int64 { return int64(math.Floor(x / w.tol / 4)) } // mostly one is looked at
	x0, x1 := cell(p.X-w.tol), cell(p.X+w.tol)
	y0, y1 := cell(p.Y-w.tol), cell(p.Y+w.tol)
	z0, z1 := cell(p.Z-w.tol), cell(p.Z+w.tol)
	best, bestD := int32(-1), w.tol
	for x := x0; x <= x1; x++ {
		for y := y0; y <= y1; y++ {
			for z := z0; z <= z1; z++ {
				for _, i := range w.grid[[3]int64{x, y, z}] {
					if d := w.pts[i].Sub(p).Len(); d <= bestD {
						best, bestD = i, d
					}
				}
			}
		}
	}
	if best >= 0 {
		return best
	}
	i := int32(len(w.pts))
	w.pts = append(w.pts, p)
	key := [3]int64{cell(p.X), cell(p.Y), cell(p.Z)}
	w.grid[key] = append(w.grid[key], i)
	return i
}

// Plane is the set of points p with N.p = D; N has length 1 and D is in metres.
type Plane struct {
	N Vec3
	D float64
}

// PlaneAt returns the plane through p with normal n, which need not have length 1.
func PlaneAt(p, n Vec3) Plane {
	n = n.Unit()
	return Plane{n, n.Dot(p)}
}

// Dist returns the signed distance in metres from the plane, positive on the side of N.
func (p Plane) Dist(q Vec3) float64 { return p.N.Dot(q) - p.D }

// Flipped returns the same plane looking the other way.
func (p Plane) Flipped() Plane { return Plane{p.N.Mul(-1), -p.D} }

// Frame returns a transform whose Z axis is the plane's normal and whose origin is the
// plane's point nearest to near; it maps plane coordinates to space.
func (p Plane) Frame(near Vec3) Mat {
	x := Vec3{1, 0, 0}
	if math.Abs(p.N.X) > 0.8 {
		x = Vec3{0, 1, 0}
	}
	y := p.N.Cross(x).Unit()
	return Mat{X: y.Cross(p.N), Y: y, Z: p.N, O: near.Sub(p.N.Mul(p.Dist(near)))}
}

// Inverse returns the inverse transform; false when the transform flattens space.
func (m Mat) Inverse() (Mat, bool) {
	d := m.Det()
	if d == 0 || math.IsNaN(d) || math.IsInf(1/d, 0) {
		return Mat{}, false
	}
	a, b, c := m.Y.Cross(m.Z).Mul(1/d), m.Z.Cross(m.X).Mul(1/d), m.X.Cross(m.Y).Mul(1/d) // rows
	r := Mat{X: Vec3{a.X, b.X, c.X}, Y: Vec3{a.Y, b.Y, c.Y}, Z: Vec3{a.Z, b.Z, c.Z}}
	r.O = r.Dir(m.O).Mul(-1)
	return r, true
}
