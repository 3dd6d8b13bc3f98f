package rounds

import (
	"cmp"
	"math"
	"slices"
)

// move takes points of the last round to this round's coordinates: a turn or a mirror in
// plan, and a shift. Models are exported anew with another origin or north.
type move struct {
	a, b, c, d float64 // x' = a x + b y + dx, y' = c x + d y + dy
	dx, dy     float64
	lost       bool
}

var still = move{a: 1, d: 1}

func (m move) plan(x, y float64) (float64, float64) {
	return m.a*x + m.b*y + m.dx, m.c*x + m.d*y + m.dy
}

// point takes a point of an item or opening of a storey of the last round to this round.
func (m *matcher) point(p [3]float64, storey string) [3]float64 {
	x, y := m.move.plan(p[0], p[1])
	dz, ok := m.lift[storey]
	if !ok {
		dz = m.lift[""]
	}
	return [3]float64{x, y, p[2] + dz}
}

// Tolerances of laying two rounds over each other, metres and shares.
const (
	binM        = 0.1  // shifts closer than this are counted as one at first
	sameAnchor  = 0.15 // how far apart the middles of one thing may lie in two rounds
	sameSize    = 0.01 // how far its size may differ, of the larger
	mostAnchors = 800
	mirrored    = 1.15 // how many times better a mirror has to fit
	tryShifts   = 12   // of each turn, the shifts that most pairs ask for
)

// findMove lays the two rounds over each other. Every thing of the last round with every like
// thing of this one asks for a shift; of the shifts that most of them ask for, the one is
// taken under which most things fall on their like. A unit added at one end, walls moved and
// mistakes mended spoil some things and not the others.
func (m *matcher) findMove() move {
	a, b := m.anchors(m.last, true), m.anchors(m.this, false)
	if len(a) == 0 || len(b) == 0 {
		return still
	}
	index := indexOf(b)
	// What is rare tells most; of very large buildings a part tells enough.
	slices.SortStableFunc(a, func(p, q anchor) int { return cmp.Compare(q.weight, p.weight) })
	a = a[:min(len(a), mostAnchors)]
	best, most := still, index.hits(still, a)
	first := most
	for _, flip := range []float64{1, -1} {
		for _, turn := range m.turns(flip) {
			t := move{a: turn[0] * flip, b: -turn[1], c: turn[1] * flip, d: turn[0]}
			for _, s := range shifts(t, a, index) {
				t.dx, t.dy = s[0], s[1]
				t = index.settle(t, a)
				// Not moving at all wins a tie. A mirror has to fit far better: buildings are
				// turned and moved between rounds, and many are their own mirror image.
				n := index.hits(t, a)
				if flip > 0 && n > most+1e-9 || flip < 0 && n > most+1e-9 && n > mirrored*first {
					best, most = t, n
				}
				if flip > 0 {
					first = max(first, n)
				}
			}
		}
	}
	total := 0.0
	for i := range a {
		total += a[i].weight
	}
	best.lost = most < 0.25*total
	return best
}

// turns are the turns between the two rounds' main directions, as cosine and sine; flip is -1
// after a mirror.
func (m *matcher) turns(flip float64) [][2]float64 {
	angle := 0.0
	if m.last.Drawing != nil && m.this.Drawing != nil {
		p, q := m.last.Drawing.Axis, m.this.Drawing.Axis
		angle = math.Atan2(q[1], q[0]) - flip*math.Atan2(p[1], p[0])
	}
	var out [][2]float64
	for k := range 4 {
		s, c := math.Sincos(angle + float64(k)*math.Pi/2)
		out = append(out, [2]float64{c, s})
	}
	return out
}

// shifts are the shifts that most pairs of like things ask for after a turn, each the mean
// over its bin.
func shifts(t move, a []anchor, index *anchorIndex) [][2]float64 {
	type bin struct {
		x, y  int
		n     float64
		dx    float64
		dy    float64
		first int
	}
	bins := map[[2]int]*bin{}
	var order []*bin
	for i := range a {
		x, y := t.a*a[i].x+t.b*a[i].y, t.c*a[i].x+t.d*a[i].y
		for _, k := range index.like[a[i].label()] {
			q := &index.list[k]
			if !alikeAnchor(&a[i], q) {
				continue
			}
			dx, dy := q.x-x, q.y-y
			key := [2]int{int(math.Floor(dx / binM)), int(math.Floor(dy / binM))}
			g := bins[key]
			if g == nil {
				g = &bin{x: key[0], y: key[1], first: len(order)}
				bins[key] = g
				order = append(order, g)
			}
			w := a[i].weight
			if a[i].unit != "" && a[i].unit == q.unit {
				w *= 1.5 // units of one name most likely are the same
			}
			g.n, g.dx, g.dy = g.n+w, g.dx+w*dx, g.dy+w*dy
		}
	}
	// A bin counts with its neighbours, since a seam may run through the right shift.
	around := func(g *bin) float64 {
		n := 0.0
		for i := -1; i <= 1; i++ {
			for j := -1; j <= 1; j++ {
				if h := bins[[2]int{g.x + i, g.y + j}]; h != nil {
					n += h.n
				}
			}
		}
		return n
	}
	sum := make([]float64, len(order))
	for i, g := range order {
		sum[i] = around(g)
	}
	slices.SortStableFunc(order, func(p, q *bin) int {
		return cmp.Or(cmp.Compare(sum[q.first]+q.n, sum[p.first]+p.n), cmp.Compare(p.first, q.first))
	})
	var out [][2]float64
	taken := map[[2]int]bool{}
	for _, g := range order {
		if len(out) == tryShifts {
			break
		}
		beside := false
		for i := -1; i <= 1; i++ {
			for j := -1; j <= 1; j++ {
				beside = beside || taken[[2]int{g.x + i, g.y + j}]
			}
		}
		if !beside { // what is beside a better one is the same shift
			taken[[2]int{g.x, g.y}] = true
			out = append(out, [2]float64{g.dx / g.n, g.dy / g.n})
		}
	}
	return out
}
