package recognise

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// pair is two units, lower index first.
type pair [2]int

// findSeparations finds the walls between rooms of two units, and the walls that continue
// them above and below, and groups them by the pair of units.
func (r *reader) findSeparations() {
	r.findCorridors()
	r.splitByPairs()
	found := map[pair][]int{}
	why := map[pair]Reason{}
	for i, w := range r.walls {
		if w.pair == (pair{-1, -1}) {
			continue
		}
		found[w.pair] = append(found[w.pair], i)
		if _, ok := why[w.pair]; !ok {
			why[w.pair] = Reason{"geometry", "walls with rooms of both units on their sides"}
			if w.pair[0] < 0 {
				why[w.pair] = Reason{"geometry", "walls between rooms of the unit and a corridor"}
			}
		}
	}
	if len(found) == 0 {
		r.byBoundaries(found, why)
	}
	if len(found) == 0 && len(r.b.Units) < 2 {
		r.byWords(found, why)
	}
	r.dropLinings(found)
	r.continueUpAndDown(found)
	pairs := make([]pair, 0, len(found))
	for p := range found {
		pairs = append(pairs, p)
	}
	sort.Slice(pairs, func(i, j int) bool {
		a, b := pairs[i], pairs[j]
		return a[0] < b[0] || a[0] == b[0] && a[1] < b[1]
	})
	for i, p := range pairs {
		s := &UnitSeparation{ID: fmt.Sprintf("S%d", i+1), Reason: why[p]}
		s.Units = p
		s.Walls = found[p]
		sort.Ints(s.Walls)
		length := map[void.WallKind]float64{}
		for _, k := range s.Walls {
			r.walls[k].sep = i
			length[r.walls[k].kind] += r.walls[k].s1 - r.walls[k].s0
		}
		for _, k := range s.Walls {
			if kind := r.walls[k].kind; length[kind] > length[s.Kind]+1e-6 || s.Kind == "" {
				s.Kind = kind
			}
		}
		r.b.Separations = append(r.b.Separations, s)
	}
	r.noteStacked()
}

// besideReach is how far from its faces the rooms beside a wall are looked for, metres.
const besideReach = 0.45

// sidesAt returns the units on the two sides of a wall at a place along it, -1 for a corridor
// on one of them; rooms are the
// enclosed rooms within besideReach of the wall.
func (r *reader) sidesAt(w *wall, s float64, rooms []int) (pair, bool) {
	lo, hi := w.edges()
	look := func(t, sign float64) int {
		for _, f := range []float64{0.5, 0.25, 0.75} {
			z := w.z0 + f*(w.z1-w.z0)
			for _, d := range []float64{0.02, 0.08, 0.16, 0.3, besideReach} {
				p := w.dir.Mul(s).Add(w.norm.Mul(t + sign*d))
				if u, ok := r.sideAt(geom.Vec3{X: p.X, Y: p.Y, Z: z}, rooms); ok {
					return u
				}
			}
		}
		return -1
	}
	a, b := look(lo, -1), look(hi, 1)
	switch {
	case a == corridorSide && b >= 0:
		return pair{-1, b}, true
	case b == corridorSide && a >= 0:
		return pair{-1, a}, true
	case a < 0 || b < 0 || a == b:
		return pair{-1, -1}, false
	}
	if a > b {
		a, b = b, a
	}
	return pair{a, b}, true
}

// splitByPairs reads the units beside every wall and cuts walls where the pair changes.
func (r *reader) splitByPairs() {
	grid := r.roomGrid()
	cut := make([][]*wall, len(r.walls))
	parallel(len(r.walls), func(from, to int) {
		for i := from; i < to; i++ {
			w := r.walls[i]
			cut[i] = r.splitByPair(w, grid.In(w.box().Grow(besideReach+0.01)))
		}
	})
	r.walls = slices.Concat(cut...)
}

// splitByPair reads the units beside a wall and cuts it where they change; rooms are those near it.
func (r *reader) splitByPair(w *wall, rooms []int) []*wall {
	const step = 0.15
	n := int(math.Max(6, math.Ceil((w.s1-w.s0)/step)))
	d := (w.s1 - w.s0) / float64(n)
	type run struct {
		p      pair
		s0, s1 float64
	}
	var runs []run
	total := map[pair]float64{}
	for i := 0; i < n; i++ {
		s := w.s0 + (float64(i)+0.5)*d
		p, ok := r.sidesAt(w, s, rooms)
		if !ok {
			continue
		}
		total[p] += d
		if k := len(runs) - 1; k >= 0 && runs[k].p == p {
			runs[k].s1 = s + d/2
		} else {
			runs = append(runs, run{p, s - d/2, s + d/2})
		}
	}
	kept := runs[:0]
	for _, x := range runs {
		if total[x.p] >= math.Min(0.3, 0.5*(w.s1-w.s0)) && x.s1-x.s0 > 0.2 {
			if k := len(kept) - 1; k >= 0 && kept[k].p == x.p {
				kept[k].s1 = x.s1
			} else {
				kept = append(kept, x)
			}
		}
	}
	w.pair = pair{-1, -1}
	if len(kept) == 0 {
		return []*wall{w}
	}
	out := make([]*wall, 0, len(kept))
	s0 := w.s0
	for k, x := range kept {
		c := *w
		c.pair = x.p
		c.s0 = s0
		if k+1 < len(kept) {
			c.s1 = (x.s1 + kept[k+1].s0) / 2
			s0 = c.s1
		}
		out = append(out, &c)
	}
	return out
}

// byBoundaries takes walls that spaces of two units name as their boundary, for models whose
// spaces have no geometry.
func (r *reader) byBoundaries(found map[pair][]int, why map[pair]Reason) {
	units := map[*model.Element]map[int]bool{}
	for _, m := range r.rooms {
		if m.space == nil || m.unit < 0 || len(m.meshes) > 0 {
			continue
		}
		for _, e := range m.space.Bounds {
			if units[e] == nil {
				units[e] = map[int]bool{}
			}
			units[e][m.unit] = true
		}
	}
	for i, w := range r.walls {
		us := map[int]bool{}
		for _, k := range w.elems {
			for u := range units[r.m.Elements[k]] {
				us[u] = true
			}
		}
		if len(us) != 2 {
			continue
		}
		p := pair{-1, -1}
		for u := range us {
			switch {
			case p[0] < 0:
				p[0] = u
			case u < p[0]:
				p = pair{u, p[0]}
			default:
				p[1] = u
			}
		}
		found[p] = append(found[p], i)
		why[p] = Reason{"relation", "IfcRelSpaceBoundary to spaces of both units"}
	}
}

// byWords takes walls that are called separations or are double, when no units are known.
func (r *reader) byWords(found map[pair][]int, why map[pair]Reason) {
	p := pair{-1, -1}
	for i, w := range r.walls {
		if e, ok := r.separationWord(w); ok {
			found[p] = append(found[p], i)
			if why[p].Signal == "" {
				why[p] = Reason{e.Signal, e.Value}
			}
		}
	}
}

// separationWord returns what types, properties or words call a wall a unit separation.
func (r *reader) separationWord(w *wall) (evidence, bool) {
	for _, k := range w.elems {
		if e, ok := r.hints[k].says("separation"); ok {
			return e, true
		}
	}
	return evidence{}, false
}

// continueUpAndDown adds walls that stand over or under a separation in its strip: gable and
// attic walls, basement walls.
func (r *reader) continueUpAndDown(found map[pair][]int) {
	walls, rooms := r.wallGrid(), r.roomGrid()
	for again := true; again; {
		again = false
		for i, w := range r.walls {
			if w.pair != (pair{-1, -1}) || w.lining {
				continue
			}
			for _, k := range walls.ids(w.box().Grow(0.01)) {
				o := r.walls[k]
				if o.pair == (pair{-1, -1}) || !o.parallel(&w.leaf) {
					continue
				}
				if w.kind == void.WallSolid && w.z1 < o.z0+0.3 {
					continue // a foundation carries the separation; it is none itself
				}
				up, down := w.standsOver(&o.leaf), o.standsOver(&w.leaf)
				if gap := math.Max(up, down); gap > 1.3 || gap < -0.3 && up < -0.5 && down < -0.5 {
					continue
				}
				a, b := w.edges()
				c, d := o.edges()
				if overlap(a, b, c, d) < 0.4*math.Min(b-a, d-c) || overlap(w.s0, w.s1, o.s0, o.s1) < 0.5*(w.s1-w.s0) {
					continue
				}
				if r.roomsBeside(w, rooms) {
					continue
				}
				w.pair = o.pair
				found[o.pair] = append(found[o.pair], i)
				again = true
				break
			}
		}
	}
}

// roomsBeside reports whether enclosed rooms stand on both sides of a wall: then its own
// rooms say what it separates.
func (r *reader) roomsBeside(w *wall, grid *geom.BoxIndex) bool {
	rooms := grid.In(w.box().Grow(besideReach + 0.01))
	lo, hi := w.edges()
	s, z := (w.s0+w.s1)/2, (w.z0+w.z1)/2
	side := func(t, sign float64) bool {
		for _, d := range []float64{0.05, 0.2, besideReach} {
			p := w.dir.Mul(s).Add(w.norm.Mul(t + sign*d))
			if _, ok := r.unitAt(geom.Vec3{X: p.X, Y: p.Y, Z: z}, rooms); ok {
				return true
			}
		}
		return false
	}
	return side(lo, -1) && side(hi, 1)
}

// noteStacked notes units that lie above each other: the floor between them separates too.
func (r *reader) noteStacked() {
	over := map[pair]float64{}
	grid := r.roomGrid()
	for _, a := range r.rooms {
		if a.unit < 0 || a.outside {
			continue
		}
		above := a.box
		above.Min.Z, above.Max.Z = above.Min.Z-1.3, above.Max.Z+1.3
		for _, k := range grid.In(above) {
			b := r.rooms[k]
			if b.unit < 0 || a.unit >= b.unit || b.outside {
				continue
			}
			gap := math.Max(b.box.Min.Z-a.box.Max.Z, a.box.Min.Z-b.box.Max.Z)
			dx, dy := planOverlap(a.box, b.box)
			if gap < -0.1 || gap > 1.2 || dx < 0.3 || dy < 0.3 {
				continue
			}
			over[pair{a.unit, b.unit}] += r.commonPlan(a, b)
		}
	}
	pairs := make([]pair, 0, len(over))
	for p := range over {
		pairs = append(pairs, p)
	}
	sort.Slice(pairs, func(i, j int) bool {
		return pairs[i][0] < pairs[j][0] || pairs[i][0] == pairs[j][0] && pairs[i][1] < pairs[j][1]
	})
	for _, p := range pairs {
		if over[p] > 0.5 {
			r.note(fmt.Sprintf("units %s and %s lie above each other over %.1f m2: the floor between them separates them too", r.b.Units[p[0]].Name, r.b.Units[p[1]].Name, over[p]))
		}
	}
}

// commonPlan returns the plan area two rooms share, by sampling.
func (r *reader) commonPlan(a, b *room) float64 {
	x0, x1 := math.Max(a.box.Min.X, b.box.Min.X), math.Min(a.box.Max.X, b.box.Max.X)
	y0, y1 := math.Max(a.box.Min.Y, b.box.Min.Y), math.Min(a.box.Max.Y, b.box.Max.Y)
	const n = 24
	hit := 0
	for i := 0; i < n; i++ {
		for j := 0; j < n; j++ {
			p := geom.Vec2{X: x0 + (float64(i)+0.5)/n*(x1-x0), Y: y0 + (float64(j)+0.5)/n*(y1-y0)}
			if a.covers(p) && b.covers(p) {
				hit++
			}
		}
	}
	return float64(hit) / (n * n) * (x1 - x0) * (y1 - y0)
}
