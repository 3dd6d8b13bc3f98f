package void

import (
	"math"
	"sort"

	"voidcheck/ifcx/geom"
)

// entry is one solid over a cell: z at the cell's centroid and the slopes of its two faces.
type entry struct {
	z0, z1 float64
	g0, g1 geom.Vec2 // dz/du, dz/dv of the lower and upper face
	solid  int32     // index into the field's solids
	role   Role
}

// hit is one crossing of the vertical line with a face.
type hit struct {
	cell int32
	z    float64
	g    geom.Vec2
}

// fill computes the column of every cell for the given solids, clipped to nothing: the
// caller chose solids near the height it looks at.
func (p *plan) fill(solids []*solid) {
	order := make([]int, len(solids))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return solids[order[i]].box.Min.X < solids[order[j]].box.Min.X })
	var active []int
	next := 0
	var hits []hit
	for i, row := range p.slabs {
		if len(row) == 0 {
			continue
		}
		// The sample line lies a little off the middle, so that it meets no diagonal of a
		// triangulated rectangle.
		su := p.us[i] + 0.50031*(p.us[i+1]-p.us[i])
		keep := active[:0]
		for _, k := range active {
			if solids[k].box.Max.X > su {
				keep = append(keep, k)
			}
		}
		active = keep
		for next < len(order) && solids[order[next]].box.Min.X < su {
			if k := order[next]; solids[k].box.Max.X > su {
				active = append(active, k)
			}
			next++
		}
		f := (su - p.us[i]) / (p.us[i+1] - p.us[i])
		sv := make([]float64, len(row))
		for j, ci := range row {
			c := &p.cells[ci]
			lo, hi := c.lo0*(1-f)+c.lo1*f, c.hi0*(1-f)+c.hi1*f
			sv[j] = lo + 0.49917*(hi-lo)
		}
		for _, k := range active {
			s := solids[k]
			if s.isBox {
				for j := sort.SearchFloat64s(sv, s.box.Min.Y); j < len(row) && sv[j] < s.box.Max.Y; j++ {
					c := &p.cells[row[j]]
					c.cols = append(c.cols, entry{z0: s.box.Min.Z, z1: s.box.Max.Z, solid: int32(k), role: s.role})
				}
				continue
			}
			hits = s.cross(hits[:0], su, sv, row, p.cells)
			p.pair(hits, int32(k), s.role)
		}
	}
	for i := range p.cells {
		c := p.cells[i].cols
		sort.SliceStable(c, func(a, b int) bool {
			if c[a].z0 != c[b].z0 {
				return c[a].z0 < c[b].z0
			}
			return c[a].z1 < c[b].z1
		})
	}
}

// cross collects the crossings of the plane u = su with the solid at the sample points.
func (s *solid) cross(hits []hit, su float64, sv []float64, row []int32, cells []cell) []hit {
	for _, t := range s.tris {
		a, b, c := s.verts[t[0]], s.verts[t[1]], s.verts[t[2]]
		if (a.X <= su) == (b.X <= su) && (b.X <= su) == (c.X <= su) {
			continue
		}
		n := b.Sub(a).Cross(c.Sub(a))
		if math.Abs(n.Z) < 1e-9*n.Len() || n.Z == 0 {
			continue
		}
		var v [2]float64
		k := 0
		for _, e := range [3][2]geom.Vec3{{a, b}, {b, c}, {c, a}} {
			p, q := e[0], e[1]
			if (p.X <= su) == (q.X <= su) {
				continue
			}
			if p.X > q.X { // one order for the edge shared by two triangles
				p, q = q, p
			}
			if k < 2 {
				v[k] = p.Y + (q.Y-p.Y)*(su-p.X)/(q.X-p.X)
			}
			k++
		}
		if k != 2 {
			continue
		}
		if v[0] > v[1] {
			v[0], v[1] = v[1], v[0]
		}
		g := geom.Vec2{X: -n.X / n.Z, Y: -n.Y / n.Z}
		for j := sort.SearchFloat64s(sv, v[0]); j < len(row) && sv[j] < v[1]; j++ {
			c := &cells[row[j]]
			hits = append(hits, hit{row[j], a.Z + g.X*(c.cu-a.X) + g.Y*(c.cv-a.Y), g})
		}
	}
	return hits
}

// pair turns crossings into solid intervals.
func (p *plan) pair(hits []hit, k int32, role Role) {
	sort.SliceStable(hits, func(i, j int) bool {
		if hits[i].cell != hits[j].cell {
			return hits[i].cell < hits[j].cell
		}
		return hits[i].z < hits[j].z
	})
	for i := 0; i < len(hits); {
		j := i
		for j < len(hits) && hits[j].cell == hits[i].cell {
			j++
		}
		h := hits[i:j]
		c := &p.cells[hits[i].cell]
		if len(h)%2 == 1 { // not closed here: the whole height it spans counts
			h = []hit{h[0], h[len(h)-1]}
		}
		for m := 0; m+1 < len(h); m += 2 {
			c.cols = append(c.cols, entry{z0: h[m].z, z1: h[m+1].z, g0: h[m].g, g1: h[m+1].g, solid: k, role: role})
		}
		i = j
	}
}
