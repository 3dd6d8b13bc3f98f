package shape

import "voidcheck/ifcx/geom"

// loft joins sections of equal point counts, given as the points of all rings of one region
// in order, to a closed mesh: ends capped, or the last joined to the first when round.
func loft(area geom.Region, sections [][]geom.Vec3, round bool) *geom.Mesh {
	m := &geom.Mesh{}
	n := int32(len(sections[0]))
	for _, s := range sections {
		m.Verts = append(m.Verts, s...)
	}
	count := len(sections)
	last := count - 1
	if round {
		last = count
	}
	for s := range last {
		a, b := int32(s)*n, int32((s+1)%count)*n
		k := int32(0)
		for _, r := range area {
			l := int32(len(r))
			for i := range l {
				j := (i + 1) % l
				m.Tris = append(m.Tris, [3]int32{a + k + i, a + k + j, b + k + j}, [3]int32{a + k + i, b + k + j, b + k + i})
			}
			k += l
		}
	}
	if !round {
		end := int32(count-1) * n
		for _, t := range geom.Triangulate(area) {
			m.Tris = append(m.Tris, [3]int32{t[0], t[2], t[1]}, [3]int32{end + t[0], end + t[1], end + t[2]})
		}
	}
	return m.Welded(geom.Weld) // points on an axis of revolution, and ends that meet
}

// outward turns the faces of a closed mesh so that its volume is positive.
func outward(m *geom.Mesh) *geom.Mesh {
	if m.Volume() < 0 {
		return m.Flipped()
	}
	return m
}
