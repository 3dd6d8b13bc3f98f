package rounds

import (
	"math"

	"voidcheck/checks/finding"
)

// move takes points of the last round to this round's coordinates: a turn or a mirror in
// plan, and a shift. Models are exported anew with another origin or north.
type move struct {
	a, b, c, d float64 // x' = a x + b y + dx, y' = c x + d y + dy
	dx, dy, dz float64
	lost       bool
}

var still = move{a: 1, d: 1}

func (m move) point(p [3]float64) [3]float64 {
	return [3]float64{m.a*p[0] + m.b*p[1] + m.dx, m.c*p[0] + m.d*p[1] + m.dy, p[2] + m.dz}
}

// anchor is a compartment by which two rounds are laid over each other.
type anchor struct {
	kind, storey string
	units        string
	area         float64
	x, y         float64
}

// sameAnchor is how far apart, metres, the middles of one compartment may lie in two rounds.
const sameAnchor = 0.25

// findMove tries the ways in which the first models' coordinates can differ and takes the one
// under which most compartments fall on their like; not moving at all wins a tie.
func (m *matcher) findMove() move {
	a, b := m.anchors(m.last, true), m.anchors(m.this, false)
	if len(a) == 0 || len(b) == 0 {
		return still
	}
	dz := m.rise()
	best, most := still, -1
	try := func(t move) {
		t.dz = dz
		if n := hits(t, a, b); n > most {
			best, most = t, n
		}
	}
	try(still)
	ax, ay := centre(a)
	bx, by := centre(b)
	for _, flip := range []float64{1, -1} {
		for _, turn := range m.turns(flip) {
			t := move{a: turn[0] * flip, b: -turn[1], c: turn[1] * flip, d: turn[0]}
			t.dx, t.dy = bx-t.a*ax-t.b*ay, by-t.c*ax-t.d*ay
			try(t)
			// What was added or left out moves the middle: lay the largest alike over each other.
			for i := range min(len(a), 6) {
				for _, q := range b {
					if alikeAnchor(a[i], q) {
						t.dx, t.dy = q.x-t.a*a[i].x-t.b*a[i].y, q.y-t.c*a[i].x-t.d*a[i].y
						try(t)
					}
				}
			}
		}
	}
	best.lost = most*2 < min(len(a), len(b))
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

// rise is how much higher this round's storeys stand.
func (m *matcher) rise() float64 {
	for _, s := range m.last.Building.Storeys {
		for _, t := range m.this.Building.Storeys {
			if t.Name == m.storey[s.Name] {
				return t.ElevationM - s.ElevationM
			}
		}
	}
	return 0
}

// anchors are the compartments of floor voids, attics and the like, largest first.
func (m *matcher) anchors(r *finding.Report, last bool) []anchor {
	var out []anchor
	for _, s := range r.Spaces {
		if s.Kind == "wall" || s.Kind == "chase" {
			continue
		}
		storey := s.Storey
		if last {
			storey = m.storey[storey]
		}
		for _, c := range s.Compartments {
			area, x, y := middle(c.Outline)
			if area < 1e-6 {
				continue
			}
			units := ""
			for _, u := range c.Units {
				if last {
					u = m.unit[u]
				}
				units += u + " "
			}
			out = append(out, anchor{s.Kind, storey, units, area, x, y})
		}
	}
	// Insertion keeps the order of equals; there are some dozens.
	for i := range out {
		for j := i; j > 0 && out[j].area > out[j-1].area+1e-9; j-- {
			out[j], out[j-1] = out[j-1], out[j]
		}
	}
	return out
}

func alikeAnchor(a, b anchor) bool {
	return a.kind == b.kind && a.storey == b.storey && a.units == b.units && math.Abs(a.area-b.area) <= 0.01*math.Max(a.area, b.area)
}

// hits counts the compartments that fall on their like.
func hits(t move, a, b []anchor) int {
	n := 0
	for _, p := range a {
		q := t.point([3]float64{p.x, p.y})
		for _, r := range b {
			if alikeAnchor(p, r) && math.Hypot(q[0]-r.x, q[1]-r.y) < sameAnchor {
				n++
				break
			}
		}
	}
	return n
}

func centre(list []anchor) (x, y float64) {
	sum := 0.0
	for _, a := range list {
		x, y, sum = x+a.x*a.area, y+a.y*a.area, sum+a.area
	}
	return x / sum, y / sum
}

// middle is the area of rings and the middle of it.
func middle(rings [][][2]float64) (area, x, y float64) {
	for _, r := range rings {
		if len(r) == 0 {
			continue
		}
		ox, oy := r[0][0], r[0][1] // keeps the products small far from the origin
		for i := range r {
			p, q := r[i], r[(i+1)%len(r)]
			c := ((p[0]-ox)*(q[1]-oy) - (q[0]-ox)*(p[1]-oy)) / 2
			area += c
			x += c * (ox + (p[0]-ox+q[0]-ox)/3)
			y += c * (oy + (p[1]-oy+q[1]-oy)/3)
		}
	}
	if math.Abs(area) < 1e-9 {
		return 0, 0, 0
	}
	return math.Abs(area), x / area, y / area
}
