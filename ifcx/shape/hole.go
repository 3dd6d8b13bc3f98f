package shape

import (
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

// hole is what a tool takes from a prism of the same direction, in the prism's coordinates.
type hole struct {
	lo, hi float64
	area   geom.Region
}

// along returns what tool t takes from p when both are prisms of one direction.
func (p *prism) along(t *prism) (hole, bool) {
	inv, ok := p.frame.Inverse()
	if !ok {
		return hole{}, false
	}
	for _, s := range t.turns() {
		f := inv.Then(s.frame) // tool coordinates -> host coordinates
		if across := math.Hypot(f.Z.X, f.Z.Y) * s.depth; across > geom.Weld || f.Z.Z == 0 {
			continue
		}
		slant := 0.0 // a section that is not square to the direction is no plain hole
		for _, r := range s.area {
			for _, q := range r {
				slant = max(slant, math.Abs(f.X.Z*q.X+f.Y.Z*q.Y-f.X.Z*s.area[0][0].X-f.Y.Z*s.area[0][0].Y))
			}
		}
		if slant > geom.Weld {
			continue
		}
		h := hole{}
		for _, r := range s.area {
			h.area = append(h.area, moved(r, f))
		}
		q := s.area[0][0]
		h.lo = f.Point(geom.Vec3{X: q.X, Y: q.Y}).Z
		h.hi = f.Point(geom.Vec3{X: q.X, Y: q.Y, Z: s.depth}).Z
		if h.lo > h.hi {
			h.lo, h.hi = h.hi, h.lo
		}
		if h.lo < geom.Flush {
			h.lo = 0
		}
		if h.hi > p.depth-geom.Flush {
			h.hi = p.depth
		}
		return h, true
	}
	return hole{}, false
}

// without makes the mesh of the prism without the tools that are prisms of one of its
// directions, and returns the tools that are left.
func (p *prism) without(tools []*part) (*geom.Mesh, []*part) {
	if len(tools) == 0 {
		return p.mesh(), nil
	}
	var host *prism
	var layers []layer
	var left []*part
	took := 0
	for _, h := range p.turns() {
		var hs []hole
		var l []*part
		for _, t := range tools {
			if t.prism != nil && len(t.cuts) == 0 && len(t.minus) == 0 {
				if x, ok := h.along(t.prism); ok {
					hs = append(hs, x)
					continue
				}
			}
			l = append(l, t)
		}
		// The direction in which most tools are prisms, and of those the one with the fewest
		// layers: windows go straight through a wall seen along its thickness.
		if ls := h.layers(hs); host == nil || len(hs) > took || len(hs) == took && len(ls) < len(layers) {
			host, layers, left, took = h, ls, l, len(hs)
		}
	}
	return host.stack(layers), left
}

// layers cuts the prism at the ends of its holes and takes the holes from each layer.
func (p *prism) layers(holes []hole) []layer {
	levels := []float64{0, p.depth}
	for i := range holes {
		holes[i].area = p.through(holes[i].area)
		if holes[i].lo < p.depth && holes[i].hi > 0 {
			levels = append(levels, holes[i].lo, holes[i].hi)
		}
	}
	slices.Sort(levels)
	levels = slices.CompactFunc(levels, func(a, b float64) bool { return math.Abs(b-a) < geom.Weld })
	levels[len(levels)-1] = p.depth
	var out []layer
	for i := 1; i < len(levels); i++ {
		l := layer{levels[i-1], levels[i], p.area}
		mid := (l.lo + l.hi) / 2
		var plain, gone []geom.Ring
		for _, h := range holes {
			switch {
			case h.lo >= mid || mid >= h.hi:
			case len(h.area) == 1: // all at once: a wall may have a thousand
				plain = append(plain, h.area[0])
			case len(gone) > 0:
				gone = geom.Combine(gone, h.area, geom.Union)
			default:
				gone = h.area
			}
		}
		if len(plain) > 1 || len(plain) == 1 && len(gone) > 0 {
			plain = geom.UnionOf(plain...)
		}
		switch {
		case len(gone) == 0:
			gone = plain
		case len(plain) > 0:
			gone = geom.Combine(gone, plain, geom.Union)
		}
		if len(gone) > 0 {
			l.area = geom.Combine(p.area, gone, geom.Difference)
		}
		if len(l.area) == 0 {
			continue
		}
		out = append(out, l)
	}
	return out
}

// through moves corners of a hole that end flush with an edge of the section outwards, so
// that no skin of export rounding is left standing.
func (p *prism) through(hole geom.Region) geom.Region {
	out := make(geom.Region, len(hole))
	for i, r := range hole {
		out[i] = slices.Clone(r)
		for _, edge := range p.area {
			for k, a := range edge {
				push(out[i], a, edge[(k+1)%len(edge)])
			}
		}
	}
	return out
}

// push moves the points of a ring that lie along an edge a-b (inside on its left) out of it,
// when two neighbours do: then a side of the hole is flush with the edge.
func push(r geom.Ring, a, b geom.Vec2) {
	d := b.Sub(a).Unit()
	out := geom.Vec2{X: d.Y, Y: -d.X}
	l := b.Sub(a).Len()
	var on []int
	for k, q := range r {
		along := q.Sub(a).Dot(d)
		if math.Abs(q.Sub(a).Dot(out)) <= geom.Flush && along >= -geom.Flush && along <= l+geom.Flush {
			on = append(on, k)
		}
	}
	if len(on) < 2 {
		return
	}
	for _, k := range on {
		if slices.Contains(on, (k+1)%len(r)) || slices.Contains(on, (k+len(r)-1)%len(r)) {
			r[k] = r[k].Add(out.Mul(2 * geom.Flush))
		}
	}
}
