package geom

// Crossed reports whether the line through p along d meets the mesh at p + k d with k from lo to hi.
// Faces that the line runs along do not count.
func (m *Mesh) Crossed(p, d Vec3, lo, hi float64) bool {
	for _, t := range m.Tris {
		a, b, c := m.Verts[t[0]].Sub(p), m.Verts[t[1]].Sub(p), m.Verts[t[2]].Sub(p)
		x, y, z := d.Dot(a.Cross(b)), d.Dot(b.Cross(c)), d.Dot(c.Cross(a))
		if !(x >= 0 && y >= 0 && z >= 0 || x <= 0 && y <= 0 && z <= 0) {
			continue
		}
		n := b.Sub(a).Cross(c.Sub(a))
		if dn := d.Dot(n); dn != 0 {
			if k := a.Dot(n) / dn; k >= lo && k <= hi {
				return true
			}
		}
	}
	return false
}

// Covers reports whether the mesh, seen from above, covers a point.
func (m *Mesh) Covers(p Vec2) bool {
	for _, t := range m.Tris {
		a, b, c := m.Verts[t[0]].Plan(), m.Verts[t[1]].Plan(), m.Verts[t[2]].Plan()
		if b.Sub(a).Cross(c.Sub(a)) == 0 {
			continue // upright
		}
		x, y, z := b.Sub(a).Cross(p.Sub(a)), c.Sub(b).Cross(p.Sub(b)), a.Sub(c).Cross(p.Sub(c))
		if x >= 0 && y >= 0 && z >= 0 || x <= 0 && y <= 0 && z <= 0 {
			return true
		}
	}
	return false
}
