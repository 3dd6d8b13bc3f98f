package shape

import (
	"cmp"
	"math"
	"slices"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// prism is a plane area swept along a straight line. frame maps (u, v, w) to the part's
// frame; the area lies in u and v, and w runs from 0 to depth. The frame may be oblique,
// scaled or mirrored.
type prism struct {
	area  geom.Region
	frame geom.Mat
	depth float64
}

func (p *prism) placed(m geom.Mat) *prism {
	return &prism{p.area, m.Then(p.frame), p.depth}
}

// layer is a stretch of a prism with one section.
type layer struct {
	lo, hi float64
	area   geom.Region
}

func (p *prism) mesh() *geom.Mesh { return p.stack([]layer{{0, p.depth, p.area}}) }

// stack makes the closed mesh of layers on top of each other. Between two layers lie the
// parts of their sections that only one of them has.
func (p *prism) stack(layers []layer) *geom.Mesh {
	m := &geom.Mesh{}
	if len(layers) == 1 {
		return p.single(layers[0])
	}
	for i, l := range layers {
		var below, above geom.Region
		if i > 0 && layers[i-1].hi >= l.lo {
			below = layers[i-1].area
		}
		if i+1 < len(layers) && layers[i+1].lo <= l.hi {
			above = layers[i+1].area
		}
		face(m, minus(l.area, below), l.lo, false)
		face(m, minus(l.area, above), l.hi, true)
		for _, r := range l.area {
			wall(m, r, l.lo, l.hi)
		}
	}
	return m.Transform(p.frame).Sewn()
}

// single makes the mesh of one layer, whose faces share their corners.
func (p *prism) single(l layer) *geom.Mesh {
	m := &geom.Mesh{}
	for _, w := range [2]float64{l.lo, l.hi} {
		for _, r := range l.area {
			for _, q := range r {
				m.Verts = append(m.Verts, geom.Vec3{X: q.X, Y: q.Y, Z: w})
			}
		}
	}
	n := int32(len(m.Verts) / 2)
	for _, t := range geom.Triangulate(l.area) {
		m.Tris = append(m.Tris, [3]int32{t[0], t[2], t[1]}, [3]int32{n + t[0], n + t[1], n + t[2]})
	}
	k := int32(0)
	for _, r := range l.area {
		for i := range int32(len(r)) {
			a, b := k+i, k+(i+1)%int32(len(r))
			m.Tris = append(m.Tris, [3]int32{a, b, n + b}, [3]int32{a, n + b, n + a})
		}
		k += int32(len(r))
	}
	return m.Transform(p.frame)
}

func minus(a, b geom.Region) geom.Region {
	if len(b) == 0 || len(a) == 0 {
		return a
	}
	return geom.Combine(a, b, geom.Difference)
}

func face(m *geom.Mesh, g geom.Region, w float64, up bool) {
	k := int32(len(m.Verts))
	for _, r := range g {
		for _, q := range r {
			m.Verts = append(m.Verts, geom.Vec3{X: q.X, Y: q.Y, Z: w})
		}
	}
	for _, t := range geom.Triangulate(g) {
		if up {
			m.Tris = append(m.Tris, [3]int32{k + t[0], k + t[1], k + t[2]})
		} else {
			m.Tris = append(m.Tris, [3]int32{k + t[0], k + t[2], k + t[1]})
		}
	}
}

func wall(m *geom.Mesh, r geom.Ring, lo, hi float64) {
	k, n := int32(len(m.Verts)), int32(len(r))
	for _, w := range [2]float64{lo, hi} {
		for _, q := range r {
			m.Verts = append(m.Verts, geom.Vec3{X: q.X, Y: q.Y, Z: w})
		}
	}
	for i := range n {
		j := (i + 1) % n
		m.Tris = append(m.Tris, [3]int32{k + i, k + j, k + n + j}, [3]int32{k + i, k + n + j, k + n + i})
	}
}

// turns returns the prism seen as a prism along other directions: a box is one along each of
// its edges.
func (p *prism) turns() []*prism {
	out := []*prism{p}
	if len(p.area) != 1 || len(p.area[0]) != 4 {
		return out
	}
	r := p.area[0]
	a, b := r[1].Sub(r[0]), r[3].Sub(r[0])
	if r[2].Sub(r[0]).Sub(a).Sub(b).Len() > geom.Weld {
		return out // no parallelogram
	}
	o := p.frame.Point(geom.Vec3{X: r[0].X, Y: r[0].Y})
	dir := func(v geom.Vec2) geom.Vec3 { return p.frame.Dir(geom.Vec3{X: v.X / v.Len(), Y: v.Y / v.Len()}) }
	rect := func(x, y float64) geom.Region {
		return geom.Region{{{}, {X: x}, {X: x, Y: y}, {Y: y}}}
	}
	u, v, w := dir(a), dir(b), p.frame.Z
	return append(out,
		&prism{rect(b.Len(), p.depth), geom.Mat{X: v, Y: w, Z: u, O: o}, a.Len()},
		&prism{rect(p.depth, a.Len()), geom.Mat{X: w, Y: u, Z: v, O: o}, b.Len()})
}

// hole is what a tool takes from a prism of the same direction, in the prism's coordinates.
type hole struct {
	lo, hi float64
	area   geom.Region
}

// flush is how near in metres an opening must come to a face of its host to reach through it.
// Openings are modelled flush with the faces of a wall, give or take export rounding.
const flush = 1e-4

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
		if h.lo < flush {
			h.lo = 0
		}
		if h.hi > p.depth-flush {
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
		var gone []geom.Ring
		for _, h := range holes {
			if h.lo < mid && mid < h.hi {
				if len(gone) > 0 {
					gone = geom.Combine(gone, h.area, geom.Union)
				} else {
					gone = h.area
				}
			}
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
		if math.Abs(q.Sub(a).Dot(out)) <= flush && along >= -flush && along <= l+flush {
			on = append(on, k)
		}
	}
	if len(on) < 2 {
		return
	}
	for _, k := range on {
		if slices.Contains(on, (k+1)%len(r)) || slices.Contains(on, (k+len(r)-1)%len(r)) {
			r[k] = r[k].Add(out.Mul(2 * flush))
		}
	}
}

// extrusion reads IfcExtrudedAreaSolid and, with a second profile, IfcExtrudedAreaSolidTapered.
func (e *eval) extrusion(id graph.ID) (*part, error) {
	frame, err := e.axesAt(id, "Position")
	if err != nil {
		return nil, err
	}
	area, err := e.need(id, "SweptArea")
	if err != nil {
		return nil, err
	}
	depth, err := e.size(id, "Depth")
	if err != nil {
		return nil, err
	}
	d, ok := e.direction(id, "ExtrudedDirection")
	if !ok {
		return nil, e.bad(id, "ExtrudedDirection is missing or has no length")
	}
	if math.Abs(d.Z) < 1e-6 {
		return nil, e.bad(id, "ExtrudedDirection lies in the plane of the profile")
	}
	if end := e.g.Ref(id, "EndSweptArea"); end != 0 {
		return e.tapered(id, frame, area, end, d.Mul(depth))
	}
	g, err := e.profile(area, 0)
	if err != nil {
		return nil, err
	}
	frame.Z = frame.Dir(d)
	return &part{item: id, kind: e.g.Type(id), prism: &prism{g, frame, depth}}, nil
}

// tapered joins two sections whose outlines have the same number of points.
func (e *eval) tapered(id graph.ID, frame geom.Mat, start, end graph.ID, by geom.Vec3) (*part, error) {
	chords := max(e.chords(start), e.chords(end))
	a, err := e.profile(start, chords)
	if err != nil {
		return nil, err
	}
	b, err := e.profile(end, chords)
	if err != nil {
		return nil, err
	}
	if a, b = alike(a, b); a == nil {
		return nil, e.bad(id, "the two profiles do not have the same number of outlines")
	}
	at := func(g geom.Region, o geom.Vec3) []geom.Vec3 {
		var out []geom.Vec3
		for _, r := range g {
			for _, q := range r {
				out = append(out, frame.Point(geom.Vec3{X: q.X, Y: q.Y}.Add(o)))
			}
		}
		return out
	}
	m := loft(a, [][]geom.Vec3{at(a, geom.Vec3{}), at(b, by)}, false)
	return &part{item: id, kind: e.g.Type(id), mesh: outward(m)}, nil
}

// chords returns the number of chords that the circle of a profile asks for, 0 for others.
func (e *eval) chords(id graph.ID) int {
	r := max(e.optional(id, "Radius"), e.optional(id, "SemiAxis1"), e.optional(id, "SemiAxis2"))
	if r <= 0 {
		return 0
	}
	return geom.CircleSegments(r)
}

// alike gives two sections outlines of equal numbers of points, by putting the points of each
// into the other at the same part of the way round; nil when that cannot be.
func alike(a, b geom.Region) (x, y geom.Region) {
	if len(a) != len(b) {
		return nil, nil
	}
	for i := range a {
		if len(a[i]) == len(b[i]) {
			x, y = append(x, a[i]), append(y, b[i])
			continue
		}
		ta, tb := way(a[i]), way(b[i])
		ts := slices.Concat(ta, tb)
		slices.SortFunc(ts, func(p, q float64) int { return cmp.Compare(p, q) })
		ts = slices.CompactFunc(ts, func(p, q float64) bool { return math.Abs(q-p) < 1e-6 })
		x, y = append(x, resample(a[i], ta, ts)), append(y, resample(b[i], tb, ts))
	}
	return x, y
}

// way returns how far round the ring each of its points is, from 0 to 1.
func way(r geom.Ring) []float64 {
	out, l := make([]float64, len(r)), 0.0
	for i := range r {
		out[i] = l
		l += r[(i+1)%len(r)].Sub(r[i]).Len()
	}
	for i := range out {
		out[i] /= l
	}
	return out
}

func resample(r geom.Ring, at, ts []float64) geom.Ring {
	out := make(geom.Ring, len(ts))
	for k, t := range ts {
		i, found := slices.BinarySearch(at, t)
		if !found {
			i--
		}
		end := 1.0
		if i+1 < len(at) {
			end = at[i+1]
		}
		p, q := r[i], r[(i+1)%len(r)]
		out[k] = p.Add(q.Sub(p).Mul((t - at[i]) / (end - at[i])))
	}
	return out
}
