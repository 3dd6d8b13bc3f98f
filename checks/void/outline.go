package void

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"sync"

	"voidcheck/ifcx/geom"
)

// outline returns the rings around a set of cells, ascending, in the building frame: outer
// rings counter-clockwise, holes clockwise, to a tenth of a millimetre.
func (h *field) outline(cells []int32) [][]geom.Vec2 {
	type run struct{ lo0, lo1, hi0, hi1 float64 }
	g := ringsFree.Get().(*rings)
	defer ringsFree.Put(g)
	g.edges, g.cuts = g.edges[:0], g.cuts[:0]
	var cur []run
	for i := 0; i < len(cells); {
		s := h.cells[cells[i]].slab
		cur = cur[:0]
		for ; i < len(cells) && h.cells[cells[i]].slab == s; i++ {
			c := &h.cells[cells[i]]
			if k := len(cur); k > 0 && c.lo0-cur[k-1].hi0 < 1e-7 && c.lo1-cur[k-1].hi1 < 1e-7 {
				cur[k-1].hi0, cur[k-1].hi1 = c.hi0, c.hi1
				continue
			}
			cur = append(cur, run{c.lo0, c.lo1, c.hi0, c.hi1})
		}
		u0, u1 := h.us[s], h.us[s+1]
		for _, r := range cur {
			g.add(geom.Vec2{X: u0, Y: r.lo0}, geom.Vec2{X: u1, Y: r.lo1})
			g.add(geom.Vec2{X: u1, Y: r.hi1}, geom.Vec2{X: u0, Y: r.hi0})
		}
		// At a slab line the boundary is where just one side is inside; every slab adds its
		// own left and right edges and equal ones cancel.
		for _, r := range cur {
			g.addCut(u0, r.hi0, r.lo0)
		}
		for _, r := range cur {
			g.addCut(u1, r.lo1, r.hi1)
		}
	}
	rings := g.chain()
	for i := range rings {
		for j, p := range rings[i] {
			q := h.f.out(p)
			rings[i][j] = geom.Vec2{X: round4(q.X), Y: round4(q.Y)}
		}
	}
	return rings
}

func round4(x float64) float64 { return math.Round(x*1e4) / 1e4 }

// rings collects directed boundary edges and chains them.
type rings struct {
	edges [][2]geom.Vec2
	cuts  []cutEdge   // by u
	from  []ringStart // of the edges, by place
	used  []bool      // edges that lie in a ring
}

// ringsFree hands the memory of rings on: there are outlines by the thousand.
var ringsFree = sync.Pool{New: func() any { return new(rings) }}

// ringStart is the place, in tenths of a micrometre, where an edge begins.
type ringStart struct {
	place [2]int64
	edge  int
}

// cutEdge is an edge on the slab line at u from v0 to v1.
type cutEdge struct{ u, v0, v1 float64 }

func (g *rings) add(a, b geom.Vec2) {
	if a != b {
		g.edges = append(g.edges, [2]geom.Vec2{a, b})
	}
}

// addCut adds an edge on a slab line, not before those that were added.
func (g *rings) addCut(u, v0, v1 float64) {
	if math.Abs(v0-v1) >= 1e-9 {
		g.cuts = append(g.cuts, cutEdge{u, v0, v1})
	}
}

// cancel adds what is left of the edges on each slab line once opposite ones cancel.
func (g *rings) cancel() {
	var vs []float64
	var net []int
	for i := 0; i < len(g.cuts); {
		j, u := i, g.cuts[i].u
		vs = vs[:0]
		for ; j < len(g.cuts) && g.cuts[j].u == u; j++ {
			vs = append(vs, g.cuts[j].v0, g.cuts[j].v1)
		}
		sort.Float64s(vs)
		// Values that differ by float noise are one corner.
		uniq := vs[:0]
		for _, v := range vs {
			if len(uniq) == 0 || v-uniq[len(uniq)-1] > 1e-9 {
				uniq = append(uniq, v)
			}
		}
		at := func(v float64) int { return sort.Search(len(uniq), func(i int) bool { return uniq[i] > v-1e-9 }) }
		net = sized(net, len(uniq))
		for _, c := range g.cuts[i:j] {
			a, b, d := at(c.v0), at(c.v1), 1
			if a > b {
				a, b, d = b, a, -1
			}
			for k := a; k < b; k++ {
				net[k] += d
			}
		}
		for k := 0; k+1 < len(uniq); k++ {
			p, q := geom.Vec2{X: u, Y: uniq[k]}, geom.Vec2{X: u, Y: uniq[k+1]}
			if net[k] > 0 {
				g.add(p, q)
			} else if net[k] < 0 {
				g.add(q, p)
			}
		}
		i = j
	}
}

// chain links the edges into rings, the largest first.
func (g *rings) chain() [][]geom.Vec2 {
	g.cancel()
	place := func(p geom.Vec2) [2]int64 {
		return [2]int64{int64(math.Round(p.X * 1e7)), int64(math.Round(p.Y * 1e7))}
	}
	from := g.from[:0]
	for i, e := range g.edges {
		from = append(from, ringStart{place(e[0]), i})
	}
	byPlace := func(a ringStart, b [2]int64) int {
		if a.place[0] != b[0] {
			return cmp.Compare(a.place[0], b[0])
		}
		return cmp.Compare(a.place[1], b[1])
	}
	slices.SortStableFunc(from, func(a, b ringStart) int { return byPlace(a, b.place) })
	g.from = from
	used := sized(g.used, len(g.edges))
	g.used = used
	var out [][]geom.Vec2
	for i := range g.edges {
		if used[i] {
			continue
		}
		var ring []geom.Vec2
		for j := i; j >= 0 && !used[j]; {
			used[j] = true
			ring = append(ring, g.edges[j][0])
			next := -1
			bestTurn := math.Inf(-1)
			d := g.edges[j][1].Sub(g.edges[j][0])
			end := place(g.edges[j][1])
			at, _ := slices.BinarySearchFunc(from, end, byPlace)
			for ; at < len(from) && from[at].place == end; at++ {
				m := from[at].edge
				if used[m] {
					continue
				}
				e := g.edges[m][1].Sub(g.edges[m][0])
				// The sharpest right turn keeps rings that touch at a corner apart.
				if t := -math.Atan2(d.Cross(e), d.Dot(e)); t > bestTurn {
					bestTurn, next = t, m
				}
			}
			j = next
		}
		if ring = straighten(ring); len(ring) >= 3 {
			out = append(out, ring)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return math.Abs(ringArea(out[i])) > math.Abs(ringArea(out[j])) })
	return out
}

// straighten drops corners that lie on a straight edge.
func straighten(r []geom.Vec2) []geom.Vec2 {
	for changed := true; changed && len(r) > 2; {
		changed = false
		for i := 0; i < len(r) && len(r) > 2; i++ {
			a, b, c := r[(i+len(r)-1)%len(r)], r[i], r[(i+1)%len(r)]
			d := c.Sub(a)
			if d.Len() < 1e-9 || math.Abs(d.Cross(b.Sub(a)))/d.Len() < 1e-6 {
				r = append(r[:i], r[i+1:]...)
				changed = true
				i--
			}
		}
	}
	return r
}

func ringArea(r []geom.Vec2) float64 {
	a := 0.0
	for i := range r {
		a += r[i].Cross(r[(i+1)%len(r)])
	}
	return a / 2
}
