package void

import (
	"math"
	"sort"

	"voidcheck/ifcx/geom"
)

// outline returns the rings around a set of cells in the building frame: outer rings
// counter-clockwise, holes clockwise, to a tenth of a millimetre.
func (h *field) outline(cells []int32) [][]geom.Vec2 {
	in := make(map[int32]bool, len(cells))
	slabs := map[int32]bool{}
	for _, c := range cells {
		in[c] = true
		slabs[h.cells[c].slab] = true
	}
	var rows []int
	for s := range slabs {
		rows = append(rows, int(s))
	}
	sort.Ints(rows)
	type run struct{ lo0, lo1, hi0, hi1 float64 }
	runs := func(s int) []run {
		if s < 0 || s >= len(h.slabs) || !slabs[int32(s)] {
			return nil
		}
		var out []run
		for _, ci := range h.slabs[s] {
			if !in[ci] {
				continue
			}
			c := &h.cells[ci]
			if k := len(out); k > 0 && c.lo0-out[k-1].hi0 < 1e-7 && c.lo1-out[k-1].hi1 < 1e-7 {
				out[k-1].hi0, out[k-1].hi1 = c.hi0, c.hi1
				continue
			}
			out = append(out, run{c.lo0, c.lo1, c.hi0, c.hi1})
		}
		return out
	}
	g := newRings()
	for _, s := range rows {
		u0, u1 := h.us[s], h.us[s+1]
		cur := runs(s)
		for _, r := range cur {
			g.add(geom.Vec2{X: u0, Y: r.lo0}, geom.Vec2{X: u1, Y: r.lo1})
			g.add(geom.Vec2{X: u1, Y: r.hi1}, geom.Vec2{X: u0, Y: r.hi0})
		}
		// At a slab line the boundary is where just one side is inside; every slab adds its
		// own left and right edges and equal ones cancel.
		for _, r := range cur {
			g.addCut(u0, r.hi0, r.lo0)
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
	cuts  map[float64][]cutEdge
	us    []float64
}

// cutEdge is an edge on a slab line from v0 to v1.
type cutEdge struct{ v0, v1 float64 }

func newRings() *rings { return &rings{cuts: map[float64][]cutEdge{}} }

func (g *rings) add(a, b geom.Vec2) {
	if a != b {
		g.edges = append(g.edges, [2]geom.Vec2{a, b})
	}
}

func (g *rings) addCut(u, v0, v1 float64) {
	if math.Abs(v0-v1) < 1e-9 {
		return
	}
	if g.cuts[u] == nil {
		g.us = append(g.us, u)
	}
	g.cuts[u] = append(g.cuts[u], cutEdge{v0, v1})
}

// chain cancels opposite edges on each slab line and links what is left into rings.
func (g *rings) chain() [][]geom.Vec2 {
	sort.Float64s(g.us)
	for _, u := range g.us {
		var vs []float64
		for _, c := range g.cuts[u] {
			vs = append(vs, c.v0, c.v1)
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
		net := make([]int, len(uniq))
		for _, c := range g.cuts[u] {
			a, b, d := at(c.v0), at(c.v1), 1
			if a > b {
				a, b, d = b, a, -1
			}
			for i := a; i < b; i++ {
				net[i] += d
			}
		}
		for i := 0; i+1 < len(uniq); i++ {
			p, q := geom.Vec2{X: u, Y: uniq[i]}, geom.Vec2{X: u, Y: uniq[i+1]}
			if net[i] > 0 {
				g.add(p, q)
			} else if net[i] < 0 {
				g.add(q, p)
			}
		}
	}
	type key [2]int64
	k := func(p geom.Vec2) key { return key{int64(math.Round(p.X * 1e7)), int64(math.Round(p.Y * 1e7))} }
	from := map[key][]int{}
	for i, e := range g.edges {
		from[k(e[0])] = append(from[k(e[0])], i)
	}
	used := make([]bool, len(g.edges))
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
			for _, m := range from[k(g.edges[j][1])] {
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
