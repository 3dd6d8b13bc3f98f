package propose

import (
	"math"
	"sort"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// What counts as lying over a unit: more than a sliver of its rooms, as the solver counts it.
const (
	sliverM2    = 0.3
	sliverShare = 0.02
)

// footprint is where the rooms of each dwelling unit lie in plan: for each unit its area
// below each line of a region.
type footprint struct {
	r     *region
	below map[int][]float64 // by unit; at each of region.ts
	ids   []int
}

// newFootprint takes the rooms that end within reach below height z.
func newFootprint(r *region, rooms []void.Room, z float64) *footprint {
	f := &footprint{r: r, below: map[int][]float64{}}
	const reach = 1.2 // metres: ceilings hung low, plates, framing between room and void
	for i := range rooms {
		m := rooms[i].Mesh
		if m == nil || rooms[i].Unit < 0 || rooms[i].Outside {
			continue
		}
		if top := m.Box().Max.Z; top < z-reach || top > z+0.1 {
			continue
		}
		f.add(rooms[i].Unit, m)
	}
	for u := range f.below {
		f.ids = append(f.ids, u)
	}
	sort.Ints(f.ids)
	return f
}

// add adds the plan of a room: the triangles that face down.
func (f *footprint) add(unit int, m *geom.Mesh) {
	sum := f.below[unit]
	if sum == nil {
		sum = make([]float64, len(f.r.ts))
		f.below[unit] = sum
	}
	for _, t := range m.Tris {
		var s, v [3]float64
		for k, i := range t {
			s[k], v[k] = f.r.in(m.Verts[i].Plan())
		}
		if (s[1]-s[0])*(v[2]-v[0])-(v[1]-v[0])*(s[2]-s[0]) >= 0 {
			continue // seen from above it runs counter-clockwise: it faces up
		}
		addTriangle(sum, f.r.ts, s, v)
	}
}

// addTriangle adds the area of a triangle below each t.
func addTriangle(sum, ts []float64, s, t [3]float64) {
	o := []int{0, 1, 2}
	sort.Slice(o, func(i, j int) bool { return t[o[i]] < t[o[j]] })
	a, b, c := o[0], o[1], o[2]
	full := math.Abs((s[b]-s[a])*(t[c]-t[a])-(t[b]-t[a])*(s[c]-s[a])) / 2
	for i, x := range ts {
		switch {
		case x >= t[c]:
			sum[i] += full
		case x <= t[a]:
		case x <= t[b]:
			sum[i] += full * (x - t[a]) * (x - t[a]) / ((t[b] - t[a]) * (t[c] - t[a]))
		default:
			sum[i] += full - full*(t[c]-x)*(t[c]-x)/((t[c]-t[b])*(t[c]-t[a]))
		}
	}
}

// between counts the units that lie under the strip between two lines.
func (f *footprint) between(t0, t1, area float64) int {
	i, j := nearest(f.r.ts, t0), nearest(f.r.ts, t1)
	n := 0
	for _, u := range f.ids {
		if a := f.below[u][j] - f.below[u][i]; a > sliverM2 || a > sliverShare*area {
			n++
		}
	}
	return n
}

// fits reports whether every part lies over no more than most units. A part counts for its
// whole extent along t.
func (f *footprint) fits(r *region, p *parts, most int) bool {
	lo, hi := map[int]int{}, map[int]int{}
	for i, slab := range r.slabs {
		for _, c := range slab {
			k := p.find(c)
			if _, seen := lo[k]; !seen {
				lo[k] = i
			}
			hi[k] = i + 1
		}
	}
	for k, i := range lo {
		if f.between(r.ts[i], r.ts[hi[k]], p.area[k]) > most {
			return false
		}
	}
	return true
}
