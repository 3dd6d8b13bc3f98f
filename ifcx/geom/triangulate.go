package geom

import (
	"container/heap"
	"math"
	"slices"
)

// Triangulate cuts a region into triangles by clipping ears. The triangles index the points
// of the rings counted through in order (ring 0 first) and run counter-clockwise. Every point
// is used, also those on straight edges, so that neighbouring faces that share points stay
// closed. The rings must not cross; holes may touch their outer ring and each other in points
// and are recognised by their clockwise direction.
func Triangulate(g Region) [][3]int32 {
	start := make(map[*Vec2]int32, len(g))
	n := int32(0)
	for _, r := range g {
		if len(r) > 0 {
			start[&r[0]] = n
			n += int32(len(r))
		}
	}
	var out [][3]int32
	for _, part := range g.Parts() {
		c := &ears{left: maxTests}
		var loops [][]int32
		for _, r := range part {
			loop := make([]int32, len(r))
			for i := range r {
				loop[i] = int32(len(c.pts))
				c.pts = append(c.pts, r[i])
				c.ids = append(c.ids, start[&r[0]]+int32(i))
			}
			loops = append(loops, loop)
		}
		out = c.clip(c.bridge(loops), out)
	}
	return out
}

// ears clips one outer ring with its holes bridged in. A bridge visits points twice, so the
// ring is a list of indices into pts.
type ears struct {
	pts []Vec2
	ids []int32 // the caller's number of each point
	// left is how many edges may still be tested for bridges; then the nearest point is taken.
	left int
}

// maxTests bounds the search for bridges: a face with a thousand holes takes a tenth of it.
const maxTests = 300_000_000

// bridge joins the holes to the outer loop, rightmost hole first, each by the shortest
// segment from its rightmost point that crosses nothing.
func (c *ears) bridge(loops [][]int32) []int32 {
	ring, holes := loops[0], loops[1:]
	right := func(h []int32) int {
		best := 0
		for i, p := range h {
			if c.pts[p].X > c.pts[h[best]].X {
				best = i
			}
		}
		return best
	}
	slices.SortStableFunc(holes, func(a, b []int32) int {
		xa, xb := c.pts[a[right(a)]].X, c.pts[b[right(b)]].X
		switch {
		case xa > xb:
			return -1
		case xa < xb:
			return 1
		}
		return 0
	})
	for k, h := range holes {
		m := right(h)
		at := c.visible(ring, h, m, holes[k:])
		joined := make([]int32, 0, len(ring)+len(h)+2)
		joined = append(joined, ring[:at+1]...)
		joined = append(joined, h[m:]...)
		joined = append(joined, h[:m+1]...)
		joined = append(joined, ring[at:]...)
		ring = joined
	}
	return ring
}

// visible returns the position in the ring of the nearest point that sees point m of hole h.
func (c *ears) visible(ring, h []int32, m int, open [][]int32) int {
	p := c.pts[h[m]]
	near := make(nearest, len(ring))
	for i, q := range ring {
		d := c.pts[q].Sub(p)
		near[i] = reach{d.Dot(d), i}
	}
	heap.Init(&near)
	first := near[0].at
	for len(near) > 0 && c.left > 0 {
		i := heap.Pop(&near).(reach).at
		if !c.inCone(ring, i, p) || c.blocked(ring, ring[i], h[m]) {
			continue
		}
		clear := true
		for _, o := range open {
			if c.blocked(o, ring[i], h[m]) {
				clear = false
				break
			}
		}
		if clear {
			return i
		}
	}
	return first
}

// reach is how far a point of the ring is from a hole.
type reach struct {
	dist float64 // squared
	at   int     // position in the ring
}

// nearest is a heap of points, the nearest first, and the first in the ring among equals.
type nearest []reach

func (n nearest) Len() int { return len(n) }
func (n nearest) Less(i, j int) bool {
	return n[i].dist < n[j].dist || n[i].dist == n[j].dist && n[i].at < n[j].at
}
func (n nearest) Swap(i, j int) { n[i], n[j] = n[j], n[i] }
func (n *nearest) Push(x any)   { *n = append(*n, x.(reach)) }
func (n *nearest) Pop() any {
	l := len(*n) - 1
	x := (*n)[l]
	*n = (*n)[:l]
	return x
}

// inCone reports whether p lies in the inside angle of the ring at position i.
func (c *ears) inCone(ring []int32, i int, p Vec2) bool {
	n := len(ring)
	a, b, d := c.pts[ring[(i+n-1)%n]], c.pts[ring[i]], c.pts[ring[(i+1)%n]]
	if p == b {
		return true
	}
	left := d.Sub(b).Cross(p.Sub(b)) >= 0 // left of the leaving edge
	in := b.Sub(a).Cross(p.Sub(b)) >= 0   // left of the arriving edge
	if b.Sub(a).Cross(d.Sub(b)) >= 0 {
		return left && in
	}
	return left || in
}

// blocked reports whether segment a-b crosses an edge of the ring or passes through a point
// of it.
func (c *ears) blocked(ring []int32, a, b int32) bool {
	p, q := c.pts[a], c.pts[b]
	if p == q {
		return false
	}
	c.left -= len(ring)
	for i, u := range ring {
		v := ring[(i+1)%len(ring)]
		s, t := c.pts[u], c.pts[v]
		if s != p && s != q && onOpenSegment(s, p, q) {
			return true
		}
		if s == p || s == q || t == p || t == q {
			continue
		}
		d1, d2 := q.Sub(p).Cross(s.Sub(p)), q.Sub(p).Cross(t.Sub(p))
		d3, d4 := t.Sub(s).Cross(p.Sub(s)), t.Sub(s).Cross(q.Sub(s))
		if (d1 > 0) != (d2 > 0) && (d3 > 0) != (d4 > 0) {
			return true
		}
	}
	return false
}

// onOpenSegment reports whether s lies between p and q.
func onOpenSegment(s, p, q Vec2) bool {
	d := q.Sub(p)
	t := s.Sub(p).Dot(d)
	if t <= 0 || t >= d.Dot(d) {
		return false
	}
	return math.Abs(d.Cross(s.Sub(p))) <= 1e-12*d.Dot(d)
}

// clip cuts the best ear again and again; best is the one with the widest smallest angle,
// which keeps needles out of the mesh.
func (c *ears) clip(ring []int32, out [][3]int32) [][3]int32 {
	n := len(ring)
	r := &clipRing{ring: ring, prev: make([]int32, n), next: make([]int32, n), score: make([]float64, n)}
	for i := range ring {
		r.prev[i], r.next[i] = int32((i+n-1)%n), int32((i+1)%n)
	}
	r.index(c.pts)
	for i := range ring {
		r.score[i] = c.score(r, int32(i))
		r.heap = append(r.heap, ranked{r.score[i], int32(i)})
	}
	heap.Init(&r.heap)
	left := n
	for left > 3 {
		best := heap.Pop(&r.heap).(ranked)
		i := best.at
		if r.next[i] < 0 || best.score != r.score[i] { // cut already, or rated anew since
			continue
		}
		p, q := r.prev[i], r.next[i]
		out = c.emit(out, ring[p], ring[i], ring[q])
		r.next[p], r.prev[q] = q, p
		r.next[i] = -1
		left--
		for _, j := range [4]int32{p, q, r.prev[p], r.next[q]} {
			if s := c.score(r, j); s != r.score[j] {
				r.score[j] = s
				heap.Push(&r.heap, ranked{s, j})
			}
		}
	}
	for i := range ring {
		if p, q := r.prev[i], r.next[i]; q >= 0 {
			if left == 3 {
				out = c.emit(out, ring[p], ring[i], ring[q])
			}
			break
		}
	}
	return out
}

// clipRing is the outline that is left, as a list linked both ways. Its points lie in
// columns by X, so that those near an ear are found without a look at all of them.
type clipRing struct {
	ring       []int32
	prev, next []int32 // next is -1 once a point is cut
	score      []float64
	heap       ranking
	x0, width  float64
	columns    [][]int32
}

func (r *clipRing) index(pts []Vec2) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range r.ring {
		lo, hi = math.Min(lo, pts[p].X), math.Max(hi, pts[p].X)
	}
	r.columns = make([][]int32, 1+len(r.ring)/8)
	r.x0, r.width = lo, (hi-lo)/float64(len(r.columns))
	for i, p := range r.ring {
		k := r.column(pts[p].X)
		r.columns[k] = append(r.columns[k], int32(i))
	}
}

func (r *clipRing) column(x float64) int {
	if r.width <= 0 {
		return 0
	}
	return min(max(int((x-r.x0)/r.width), 0), len(r.columns)-1)
}

type ranked struct {
	score float64
	at    int32
}

// ranking is a heap of corners, best first, earlier ones first among equals.
type ranking []ranked

func (h ranking) Len() int { return len(h) }
func (h ranking) Less(i, j int) bool {
	return h[i].score > h[j].score || h[i].score == h[j].score && h[i].at < h[j].at
}
func (h ranking) Swap(i, j int) { h[i], h[j] = h[j], h[i] }
func (h *ranking) Push(x any)   { *h = append(*h, x.(ranked)) }
func (h *ranking) Pop() any {
	last := len(*h) - 1
	x := (*h)[last]
	*h = (*h)[:last]
	return x
}

func (c *ears) emit(out [][3]int32, a, b, d int32) [][3]int32 {
	if c.pts[a] == c.pts[b] || c.pts[b] == c.pts[d] || c.pts[a] == c.pts[d] {
		return out // both sides of a bridge: no area, and its two edges are one
	}
	return append(out, [3]int32{c.ids[a], c.ids[b], c.ids[d]})
}

// Scores of corners that are no ear, worst last resort first.
const (
	scoreReflex   = -4.0
	scoreBlocked  = -3.0
	scoreStraight = -1.0 // a flat corner: cut only when no ear with an area is left
)

// score rates the corner at position i: the sine of the smallest angle of its triangle when
// it is an ear, less than zero when not.
func (c *ears) score(r *clipRing, i int32) float64 {
	pa, pb, pd := c.pts[r.ring[r.prev[i]]], c.pts[r.ring[i]], c.pts[r.ring[r.next[i]]]
	if pa == pb || pb == pd {
		return 2 // a repeated point: drop it first, it makes no triangle
	}
	ab, bd, da := pb.Sub(pa), pd.Sub(pb), pa.Sub(pd)
	t := ab.Cross(bd)
	l1, l2, l3 := ab.Len(), bd.Len(), da.Len()
	flat := 1e-10 * l1 * l2
	if t < -flat {
		return scoreReflex
	}
	if t <= flat {
		if ab.Dot(bd) < 0 {
			return 1.5 // there and back again
		}
		return scoreStraight
	}
	if c.occupied(r, i, pa, pb, pd) {
		return scoreBlocked + t/(l1*l2)*1e-3
	}
	longest := math.Max(l1, math.Max(l2, l3))
	return t / (longest * longest)
}

// occupied reports whether another point of the outline lies in the triangle of corner i, or
// an edge runs into it from one of its own corners.
func (c *ears) occupied(r *clipRing, i int32, a, b, d Vec2) bool {
	from, to := r.column(min(a.X, b.X, d.X)), r.column(max(a.X, b.X, d.X))
	for _, column := range r.columns[from : to+1] {
		for _, j := range column {
			if r.next[j] < 0 || j == i || j == r.prev[i] || j == r.next[i] {
				continue
			}
			p := c.pts[r.ring[j]]
			if p == a || p == b || p == d {
				if c.enters(a, b, d, p, c.pts[r.ring[r.prev[j]]]) || c.enters(a, b, d, p, c.pts[r.ring[r.next[j]]]) {
					return true
				}
			} else if inTriangle(a, b, d, p) {
				return true
			}
		}
	}
	return false
}

// inTriangle reports whether p is inside the triangle or on the edge d-a that an ear cuts;
// on the two edges of the ring itself it does no harm.
func inTriangle(a, b, d, p Vec2) bool {
	if p.X < min(a.X, b.X, d.X) || p.X > max(a.X, b.X, d.X) || p.Y < min(a.Y, b.Y, d.Y) || p.Y > max(a.Y, b.Y, d.Y) {
		return false
	}
	return b.Sub(a).Cross(p.Sub(a)) > 0 && d.Sub(b).Cross(p.Sub(b)) > 0 && a.Sub(d).Cross(p.Sub(d)) >= 0
}

// enters reports whether the edge from corner p of the triangle to q runs into its inside.
func (c *ears) enters(a, b, d, p, q Vec2) bool {
	switch p {
	case a:
		return b.Sub(a).Cross(q.Sub(a)) > 0 && q.Sub(a).Cross(d.Sub(a)) > 0
	case b:
		return d.Sub(b).Cross(q.Sub(b)) > 0 && q.Sub(b).Cross(a.Sub(b)) > 0
	}
	return a.Sub(d).Cross(q.Sub(d)) > 0 && q.Sub(d).Cross(b.Sub(d)) > 0
}
