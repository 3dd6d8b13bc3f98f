package geom

// Oriented returns the mesh with its faces turned so that neighbours look the same way, and
// each connected group of faces outward if it bounds a volume. Faces are neighbours when they
// alone share an edge; surface models often give their faces in any direction. The mesh must
// be welded.
func (m *Mesh) Oriented() *Mesh {
	at := make(map[[2]int32][]int32, len(m.Tris)*2)
	for i, t := range m.Tris {
		for k := range t {
			e := edgeKey(t[k], t[(k+1)%3])
			at[e] = append(at[e], int32(i))
		}
	}
	r := &Mesh{Verts: m.Verts, Tris: make([][3]int32, len(m.Tris))}
	copy(r.Tris, m.Tris)
	done := make([]bool, len(m.Tris))
	for seed := range m.Tris {
		if done[seed] {
			continue
		}
		done[seed] = true
		group := []int32{int32(seed)}
		for k := 0; k < len(group); k++ {
			t := r.Tris[group[k]]
			for c := range t {
				a, b := t[c], t[(c+1)%3]
				pair := at[edgeKey(a, b)]
				if len(pair) != 2 {
					continue
				}
				j := pair[0] + pair[1] - group[k]
				if done[j] {
					continue
				}
				done[j] = true
				if runs(r.Tris[j], a, b) {
					r.Tris[j][1], r.Tris[j][2] = r.Tris[j][2], r.Tris[j][1]
				}
				group = append(group, j)
			}
		}
		r.turnOutward(group)
	}
	return r
}

// runs reports whether the triangle has the edge a-b in that direction.
func runs(t [3]int32, a, b int32) bool {
	return t[0] == a && t[1] == b || t[1] == a && t[2] == b || t[2] == a && t[0] == b
}

func (m *Mesh) turnOutward(group []int32) {
	part := Mesh{Verts: m.Verts}
	for _, j := range group {
		part.Tris = append(part.Tris, m.Tris[j])
	}
	if !part.IsClosed() || part.Volume() >= 0 {
		return
	}
	for _, j := range group {
		m.Tris[j][1], m.Tris[j][2] = m.Tris[j][2], m.Tris[j][1]
	}
}
