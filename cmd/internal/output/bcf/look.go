package bcf

import (
	"math"
	"slices"

	"voidcheck/checks/finding"
)

// down looks down at a place from the nearer long side of the building, somewhat along it,
// so that what stands upright is seen from two sides. The angle is in degrees below level.
func (s *scene) down(p vec, angle float64) vec {
	d := p.sub(s.centre)
	side, end := sign(d.dot(s.across)), sign(d.dot(s.along))
	from := s.across.mul(side).add(s.along.mul(0.5 * end)).unit()
	return tilt(from.mul(-1), angle)
}

// upright looks at a wall or a unit line, with what stands before it cut away: in an attic
// a little before the place, at a cavity through it.
func (s *scene) upright(p, dir vec, kind string) (vec, *cut) {
	n := vec{-dir[1], dir[0], 0}
	if n.dot(p.sub(s.centre)) < 0 {
		n = n.mul(-1)
	}
	before := 0.0
	if kind == "attic" {
		before = 0.45
	}
	look := tilt(n.mul(-1).add(dir.mul(0.3)).unit(), 12)
	return look, &cut{at: p.add(n.mul(before)), away: n}
}

// tilt turns a level direction downwards.
func tilt(d vec, angle float64) vec {
	c, n := math.Cos(angle*math.Pi/180), math.Sin(angle*math.Pi/180)
	return vec{d[0] * c, d[1] * c, -n}
}

func sign(f float64) float64 {
	if f < 0 {
		return -1
	}
	return 1
}

// lid takes away what covers a void: the deck over a floor void, the upper part of a roof.
func (s *scene) lid(pts []vec, kind string) *cut {
	lo, hi := s.extent(pts)
	z := hi[2] - 0.005
	if kind == "attic" {
		z = lo[2] + 0.45*(hi[2]-lo[2])
	}
	m := mean(pts)
	return &cut{at: vec{m[0], m[1], z}, away: vec{0, 0, 1}}
}

// line is the direction in plan of the line or wall at an item's place.
func (s *scene) line(it *finding.Item) (vec, bool) {
	p := vec(it.Point)
	for i := range s.r.Openings {
		o := &s.r.Openings[i]
		if d, ok := s.direction[o.ID]; ok && vec(o.Point).sub(p).len() < 0.05 {
			return d, true
		}
	}
	if s.r.Drawing == nil {
		return vec{}, false
	}
	for i := range s.r.Drawing.Lines {
		l := &s.r.Drawing.Lines[i]
		if d, ok := beside(p, vec{l.Line[0][0], l.Line[0][1]}, vec{l.Line[1][0], l.Line[1][1]}, 0.2); ok && p[2] > l.Z[0]-0.1 && p[2] < l.Z[1]+0.1 {
			return d, true
		}
	}
	for i := range s.r.Drawing.Walls {
		w := &s.r.Drawing.Walls[i]
		dir := vec{w.Dir[0], w.Dir[1], 0}
		mid := vec{w.Origin[0], w.Origin[1], 0}.add(vec{-dir[1], dir[0], 0}.mul((w.Across[0] + w.Across[1]) / 2))
		reach := (w.Across[1]-w.Across[0])/2 + 0.05
		if d, ok := beside(p, mid, mid.add(dir.mul(w.LengthM)), reach); ok && p[2] > w.Z[0]-0.3 && p[2] < w.Z[1]+0.3 {
			return d, true
		}
	}
	return vec{}, false
}

// beside is the direction of a line in plan when a point lies by it.
func beside(p, a, b vec, reach float64) (vec, bool) {
	d := b.sub(a)
	length := d.len()
	if length == 0 {
		return vec{}, false
	}
	d = d.unit()
	q := vec{p[0] - a[0], p[1] - a[1], 0}
	s, off := q.dot(d), q.dot(vec{-d[1], d[0], 0})
	return d, s > -0.1 && s < length+0.1 && math.Abs(off) <= reach
}

// view makes a viewpoint of a spot.
func (s *scene) view(sp spot) view {
	return view{camera: frame(sp.pts, sp.look), cut: sp.cut}
}

// together makes one viewpoint of several spots and of the elements that are named there. When
// the spots are cut by the same plane that cut stays; otherwise nothing is cut and the camera
// stands higher.
func (s *scene) together(spots []spot, named []vec) view {
	if len(spots) == 0 {
		return view{camera: frame(s.all, s.down(s.centre, 35))}
	}
	pts := slices.Clone(named)
	for _, sp := range spots {
		pts = append(pts, sp.pts...)
	}
	if len(spots) == 1 {
		return view{camera: frame(pts, spots[0].look), cut: spots[0].cut}
	}
	first := spots[0].cut
	for _, sp := range spots[1:] {
		if first == nil || sp.cut == nil || math.Abs(first.away.dot(sp.cut.away)-1) > 1e-6 || math.Abs(sp.cut.at.sub(first.at).dot(first.away)) > 0.1 {
			return view{camera: frame(pts, s.down(mean(pts), 40))}
		}
	}
	look := spots[0].look
	if first.away[2] > 0.5 {
		look = s.down(mean(pts), 50)
	}
	return view{camera: frame(pts, look), cut: first}
}
