package recognise

import (
	"math"
	"sort"
)

// stackRegions numbers the units: a region above belongs to the unit of the region below that
// carries most of it, and each region below carries at most one.
func (r *reader) stackRegions(plans []*plan) [][]int {
	unit := make([][]int, len(plans))
	n := 0
	for k, p := range plans {
		unit[k] = make([]int, len(p.areas))
		for i := range unit[k] {
			unit[k][i] = -1
		}
		if k > 0 {
			q := plans[k-1]
			over := map[pair]float64{}
			for j := 0; j+1 < len(p.ys); j++ {
				for i := 0; i+1 < len(p.xs); i++ {
					a := p.region[p.cell(i, j)]
					if a < 0 {
						continue
					}
					if b := q.at(p.mid(i, j)); b >= 0 {
						over[pair{a, b}] += (p.xs[i+1] - p.xs[i]) * (p.ys[j+1] - p.ys[j])
					}
				}
			}
			links := make([]pair, 0, len(over))
			for l := range over {
				links = append(links, l)
			}
			sort.Slice(links, func(i, j int) bool {
				if d := over[links[i]] - over[links[j]]; math.Abs(d) > 1e-6 {
					return d > 0
				}
				return links[i][0] < links[j][0] || links[i][0] == links[j][0] && links[i][1] < links[j][1]
			})
			used := map[int]bool{}
			for _, l := range links {
				if unit[k][l[0]] < 0 && !used[l[1]] && over[l] > 0.5*p.areas[l[0]] {
					unit[k][l[0]] = unit[k-1][l[1]]
					used[l[1]] = true
				}
			}
		}
		for i := range unit[k] {
			if unit[k][i] < 0 {
				unit[k][i] = n
				n++
			}
		}
	}
	return unit
}

// roomsIntoRegions gives the spaces of the model the unit of the region they lie in.
func (r *reader) roomsIntoRegions(plans []*plan, unit [][]int) {
	for _, m := range r.rooms {
		if m.outside || m.common || len(m.tris) == 0 {
			continue
		}
		for k, p := range plans {
			if p.storey != m.storey {
				continue
			}
			share := map[int]float64{}
			for _, t := range m.tris {
				c := t[0].Add(t[1]).Add(t[2]).Mul(1.0 / 3)
				if g := p.at(c); g >= 0 {
					share[unit[k][g]] += math.Abs(t[1].Sub(t[0]).Cross(t[2].Sub(t[0])))
				}
			}
			best := -1
			for u := range r.b.Units {
				if share[u] > 0 && (best < 0 || share[u] > share[best]) {
					best = u
				}
			}
			if best >= 0 {
				u := r.b.Units[best]
				m.unit = best
				if m.space != nil {
					u.Spaces = append(u.Spaces, m.space)
				}
			}
		}
	}
}
