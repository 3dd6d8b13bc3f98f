package geom

import (
	"cmp"
	"math"
	"slices"
)

// Op is a set operation on two areas or two solids.
type Op uint8

// The set operations.
const (
	Union Op = iota
	Intersection
	Difference
)

func (o Op) of(a, b bool) bool {
	switch o {
	case Union:
		return a || b
	case Intersection:
		return a && b
	}
	return a && !b
}

// Combine applies a set operation to two plane areas. Each area is the even-odd interior of
// any rings: they may cross themselves and each other, run in any direction, share edges and
// repeat points. Points closer than Weld are one; what is thinner than that disappears.
//
// Rings that cross themselves hundreds of thousands of times give nothing.
//
// The method: all edges are cut at their crossings and at points that lie on them until
// nothing is left to cut; then each piece is kept whose two sides differ in the result, and
// the kept pieces are chained with the inside on their left.
func Combine(a, b []Ring, op Op) Region {
	ar := newArrangement()
	ar.addRings(0, a)
	ar.addRings(1, b)
	return cleaned(ar.solve(func(c cover) bool { return op.of(c.count[0]&1 == 1, c.count[1]&1 == 1) }))
}

func cleaned(g Region) Region {
	out := g[:0]
	for _, r := range g {
		if r = r.Cleaned(Weld); r != nil {
			out = append(out, r)
		}
	}
	return out
}

// UnionOf returns the area covered by any of the rings, whatever their direction.
func UnionOf(rings ...Ring) Region {
	ccw := make([]Ring, len(rings))
	for i, r := range rings {
		if ccw[i] = r; r.Area() < 0 {
			ccw[i] = r.Reversed()
		}
	}
	ar := newArrangement()
	ar.addRings(0, ccw)
	return cleaned(ar.solve(func(c cover) bool { return c.wind[0] != 0 }))
}

// cover counts how often an edge belongs to each of up to three operands: with direction
// and without.
type cover struct{ wind, count [3]int }

func (c *cover) add(d cover, sign int) {
	for k := range c.wind {
		c.wind[k] += sign * d.wind[k]
		c.count[k] += d.count[k]
	}
}

type planeEdge struct {
	i, j int32 // i < j
	cover
}

// arrangement is the set of edges that meet in their ends only.
type arrangement struct {
	pts   []Vec2
	grid  map[[2]int64][]int32
	edges []planeEdge
	full  bool // it came to more cuts than are allowed
}

// mostCuts bounds the cuts of n edges; outlines of buildings cross themselves a few times.
func mostCuts(n int) int { return 200_000 + 4*n }

func newArrangement() *arrangement { return &arrangement{grid: map[[2]int64][]int32{}} }

// solve cuts the edges that were added and returns the area where in says yes to what covers
// it. Its rings keep the points on straight edges at which something was cut.
func (ar *arrangement) solve(in func(cover) bool) Region {
	ar.merge()
	for range 12 { // each pass moves points by less than Weld, so new cuts become rare quickly
		if !ar.cut() {
			break
		}
		ar.merge()
	}
	if ar.full {
		return nil
	}
	return ar.chain(ar.boundary(in))
}

// point numbers p; points within Weld have the same number. Cells are four times as wide, so
// that mostly one of them is looked at.
func (ar *arrangement) point(p Vec2) int32 {
	const cell = 4 * Weld
	index := func(x float64) int64 { return int64(math.Floor(x / cell)) }
	best, bestD := int32(-1), Weld
	x1, y1 := index(p.X+Weld), index(p.Y+Weld)
	for x := index(p.X - Weld); x <= x1; x++ {
		for y := index(p.Y - Weld); y <= y1; y++ {
			for _, i := range ar.grid[[2]int64{x, y}] {
				if d := ar.pts[i].Sub(p).Len(); d <= bestD {
					best, bestD = i, d
				}
			}
		}
	}
	if best >= 0 {
		return best
	}
	i := int32(len(ar.pts))
	ar.pts = append(ar.pts, p)
	key := [2]int64{index(p.X), index(p.Y)}
	ar.grid[key] = append(ar.grid[key], i)
	return i
}

func (ar *arrangement) addRings(operand int, rings []Ring) {
	for _, r := range rings {
		for k, p := range r {
			ar.addSegment(operand, p, r[(k+1)%len(r)])
		}
	}
}

func (ar *arrangement) addSegment(operand int, p, q Vec2) {
	if !p.IsFinite() || !q.IsFinite() {
		return
	}
	ar.addEdge(ar.point(p), ar.point(q), func(c *cover, sign int) {
		c.wind[operand] += sign
		c.count[operand]++
	})
}

func (ar *arrangement) addEdge(i, j int32, add func(c *cover, sign int)) {
	if i == j {
		return
	}
	e, sign := planeEdge{i: i, j: j}, 1
	if i > j {
		e.i, e.j, sign = j, i, -1
	}
	add(&e.cover, sign)
	ar.edges = append(ar.edges, e)
}

// merge makes one edge of all edges with the same ends.
func (ar *arrangement) merge() {
	slices.SortFunc(ar.edges, func(a, b planeEdge) int {
		return cmp.Or(cmp.Compare(a.i, b.i), cmp.Compare(a.j, b.j))
	})
	out := ar.edges[:0]
	for _, e := range ar.edges {
		if n := len(out); n > 0 && out[n-1].i == e.i && out[n-1].j == e.j {
			out[n-1].add(e.cover, 1)
			continue
		}
		out = append(out, e)
	}
	ar.edges = out
}

// cut splits edges where they cross or where a point lies on them; false when none did.
func (ar *arrangement) cut() bool {
	n := len(ar.edges)
	order := make([]int, n)
	lo, hi := make([]Vec2, n), make([]Vec2, n)
	for k, e := range ar.edges {
		p, q := ar.pts[e.i], ar.pts[e.j]
		order[k] = k
		lo[k] = Vec2{math.Min(p.X, q.X) - Weld, math.Min(p.Y, q.Y) - Weld}
		hi[k] = Vec2{math.Max(p.X, q.X) + Weld, math.Max(p.Y, q.Y) + Weld}
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(lo[a].X, lo[b].X), cmp.Compare(a, b)) })
	splits := make([][]int32, n)
	found, cuts, tests := false, 0, 0
	for x, k := range order {
		for _, l := range order[x+1:] {
			if lo[l].X > hi[k].X {
				break
			}
			if tests++; lo[l].Y <= hi[k].Y && lo[k].Y <= hi[l].Y && ar.cross(k, l, splits) {
				found = true
				cuts++
			}
			if cuts > mostCuts(n) || tests > maxTests {
				ar.full = true
				return false
			}
		}
	}
	if !found {
		return false
	}
	old := ar.edges
	ar.edges = nil
	for k, e := range old {
		ar.split(e, splits[k])
	}
	return true
}

// cross notes the points at which edges k and l must be cut.
func (ar *arrangement) cross(k, l int, splits [][]int32) bool {
	e, f := ar.edges[k], ar.edges[l]
	hit := false
	on := func(p int32, of int) bool {
		g := ar.edges[of]
		if p == g.i || p == g.j {
			return true
		}
		if DistToSegment(ar.pts[p], ar.pts[g.i], ar.pts[g.j]) > Weld {
			return false
		}
		splits[of] = append(splits[of], p)
		hit = true
		return true
	}
	touch := on(e.i, l)
	touch = on(e.j, l) || touch
	touch = on(f.i, k) || touch
	touch = on(f.j, k) || touch
	if touch {
		return hit
	}
	a, b, c, d := ar.pts[e.i], ar.pts[e.j], ar.pts[f.i], ar.pts[f.j]
	ab, cd := b.Sub(a), d.Sub(c)
	s, t := ab.Cross(c.Sub(a)), ab.Cross(d.Sub(a))
	u, v := cd.Cross(a.Sub(c)), cd.Cross(b.Sub(c))
	if (s > 0) == (t > 0) || (u > 0) == (v > 0) {
		return false
	}
	p := ar.point(c.Add(cd.Mul(s / (s - t))))
	if p != e.i && p != e.j {
		splits[k], hit = append(splits[k], p), true
	}
	if p != f.i && p != f.j {
		splits[l], hit = append(splits[l], p), true
	}
	return hit
}

func (ar *arrangement) split(e planeEdge, at []int32) {
	a := ar.pts[e.i]
	d := ar.pts[e.j].Sub(a)
	slices.SortFunc(at, func(p, q int32) int {
		return cmp.Or(cmp.Compare(ar.pts[p].Sub(a).Dot(d), ar.pts[q].Sub(a).Dot(d)), cmp.Compare(p, q))
	})
	prev := e.i
	for _, p := range append(at, e.j) {
		ar.addEdge(prev, p, func(c *cover, sign int) { c.add(e.cover, sign) })
		prev = p
	}
}

// boundary returns the directed edges with the wanted area on their left only.
func (ar *arrangement) boundary(in func(cover) bool) [][2]int32 {
	var out [][2]int32
	near := ar.strips()
	for k, e := range ar.edges {
		left, right := ar.sides(k, near)
		switch l, r := in(left), in(right); {
		case l && !r:
			out = append(out, [2]int32{e.i, e.j})
		case r && !l:
			out = append(out, [2]int32{e.j, e.i})
		}
	}
	return out
}

// sides counts what covers the points just left and just right of the middle of an edge, by
// a ray along the axis that is steeper to the edge.
func (ar *arrangement) sides(k int, near *strips) (left, right cover) {
	e := ar.edges[k]
	p, q := ar.pts[e.i], ar.pts[e.j]
	m, d := p.Add(q).Mul(0.5), q.Sub(p)
	up := math.Abs(d.X) >= math.Abs(d.Y)
	if up { // turn by a quarter so that the ray always runs along +X
		m, d = quarter(m), quarter(d)
	}
	var far cover
	for _, l := range near.at(up, m.Y) {
		if int(l) == k {
			continue
		}
		a, b := ar.pts[ar.edges[l].i], ar.pts[ar.edges[l].j]
		if up {
			a, b = quarter(a), quarter(b)
		}
		if (a.Y > m.Y) == (b.Y > m.Y) || (a.X <= m.X && b.X <= m.X) {
			continue
		}
		sign := 1
		if b.Y < a.Y {
			a, b, sign = b, a, -1
		}
		if b.Sub(a).Cross(m.Sub(a)) > 0 { // m is left of the rising edge: the ray meets it
			far.add(ar.edges[l].cover, sign)
		}
	}
	by := far
	if d.Y > 0 {
		by.add(e.cover, 1)
		return by, far
	}
	by.add(e.cover, -1)
	return far, by
}

func quarter(p Vec2) Vec2 { return Vec2{p.Y, -p.X} }

// chain joins directed edges to rings.
func (ar *arrangement) chain(dir [][2]int32) Region {
	var out Region
	for _, loop := range chainLoops(dir, func(i int32) Vec2 { return ar.pts[i] }) {
		r := make(Ring, len(loop))
		for k, i := range loop {
			r[k] = ar.pts[i]
		}
		out = append(out, r)
	}
	return out
}

// chainLoops joins directed edges, which have the inside on their left, to closed loops.
// Where several leave a point, the loop takes the one that bounds the same corner of the
// inside, so loops touch but never cross. Chains that do not close are left out.
func chainLoops(dir [][2]int32, at func(int32) Vec2) [][]int32 {
	from := make(map[int32][]int, len(dir))
	for k, e := range dir {
		from[e[0]] = append(from[e[0]], k)
	}
	used := make([]bool, len(dir))
	var out [][]int32
	for k := range dir {
		if used[k] {
			continue
		}
		var loop []int32
		e := k
		for e >= 0 && !used[e] {
			used[e] = true
			loop = append(loop, dir[e][0])
			e = nextEdge(dir, from, at, e)
		}
		if e == k && len(loop) >= 3 {
			out = append(out, loop)
		}
	}
	return out
}

// nextEdge pairs an edge with the one leaving its end that comes first going clockwise.
func nextEdge(dir [][2]int32, from map[int32][]int, at func(int32) Vec2, e int) int {
	next := from[dir[e][1]]
	if len(next) == 1 {
		return next[0]
	}
	u, v := at(dir[e][0]), at(dir[e][1])
	back := math.Atan2(u.Y-v.Y, u.X-v.X)
	best, bestTurn := -1, math.Inf(1)
	for _, k := range next {
		w := at(dir[k][1])
		turn := math.Mod(back-math.Atan2(w.Y-v.Y, w.X-v.X)+4*math.Pi, 2*math.Pi)
		if turn <= 1e-12 {
			turn = 2 * math.Pi
		}
		if turn < bestTurn {
			best, bestTurn = k, turn
		}
	}
	return best
}
