package recognise

import (
	"math"
	"sort"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// form is the shape of a piece by its proportions alone.
type form uint8

const (
	chunk form = iota // compact: a block, a post end, a fitting
	stick             // long: stud, joist, chord, pipe
	board             // thin panel: gypsum, sheathing, subfloor
	slab              // large and thick in no direction but one: wall, floor, roof
)

// lie is how a piece lies: a stick by its length, a board or slab by its normal.
type lie uint8

const (
	flat     lie = iota // stick level; board level
	upright             // stick plumb; board plumb
	inclined            // neither
)

// boardMax is the greatest thickness of a panel: two layers of 5/8 in gypsum are 31.8 mm,
// dressed lumber starts at 38 mm (1-1/2 in; 36 mm in the Nordic countries).
const boardMax = 0.034

// stripMax is the greatest thickness at which a narrow strip is cut from a panel: boards of
// lumber start at 19 mm (3/4 in).
const stripMax = 0.0175

// piece is one solid of an element, or one connected part of a solid that holds several.
type piece struct {
	elem  int        // index of the element
	mesh  *geom.Mesh // building frame
	turn  *turn
	box   geom.Box // turned frame
	axes  [3]geom.Vec3
	size  [3]float64 // along axes, longest first
	mid   geom.Vec3  // middle of the oriented box, turned frame
	form  form
	lie   lie
	round bool    // round section: a pipe
	seen  float64 // share of the broad side that is not holes
	full  float64 // share of the oriented box that is matter

	concept Concept
	role    void.Role
	reason  Reason
	truss   int // index of the truss, -1
	row     int // index of the stud row, -1
	framing void.Framing
	layered bool
	solid   bool // a truss shown as a solid, without its openings
	skip    bool // not an obstacle: a layered or bare whole that was expanded
}

// z0 and z1 are the heights of bottom and top.
func (p *piece) z0() float64 { return p.box.Min.Z }
func (p *piece) z1() float64 { return p.box.Max.Z }

// along reports the length, and width and thickness of a piece.
func (p *piece) length() float64 { return p.size[0] }

// reach returns bounds that hold every corner of the oriented box too, which strips askew to
// the frame look at.
func (p *piece) reach() geom.Box {
	b := p.box
	for i := range 8 {
		b = b.Extend(p.corner(i))
	}
	return b
}

// corner returns a corner of the oriented box, 0 to 7.
func (p *piece) corner(i int) geom.Vec3 {
	c := p.mid
	for k := range p.axes {
		h := p.size[k] / 2
		if i>>k&1 == 1 {
			h = -h
		}
		c = c.Add(p.axes[k].Mul(h))
	}
	return c
}

// height is the extent of the oriented box along the axis nearest to plumb.
func (p *piece) height() float64 {
	best, h := 0.0, 0.0
	for i := range p.axes {
		if z := math.Abs(p.axes[i].Z); z > best {
			best, h = z, p.size[i]
		}
	}
	return h
}

// is sets concept, role and reason.
func (p *piece) is(c Concept, r void.Role, signal, value string) {
	p.concept, p.role, p.reason = c, r, Reason{signal, value}
}

// known reports whether the piece has a role yet.
func (p *piece) known() bool { return p.concept != "" }

// newPiece measures a mesh; the mesh stays in the building frame.
func newPiece(elem int, m *geom.Mesh, t *turn) *piece {
	p := &piece{}
	p.take(elem, m, t)
	return p
}

func (p *piece) take(elem int, m *geom.Mesh, t *turn) {
	*p = piece{elem: elem, mesh: m, turn: t, box: geom.EmptyBox(), truss: -1, row: -1, seen: 1, full: 1}
	var few [48]geom.Vec3 // enough for most, without a place on the heap
	vs := few[:0]
	for _, v := range m.Verts {
		v = t.in(v)
		vs = append(vs, v)
		p.box = p.box.Extend(v)
	}
	var some [12]side
	normals := faceNormals(some[:0], vs, m.Tris)
	p.orient(vs, normals)
	p.name()
	p.measure(m, normals)
}

// side is a direction with the face area that looks along it either way.
type side struct {
	n    geom.Vec3
	area float64
}

// faceNormals clusters the faces by the line of their normal, in r, the largest first.
func faceNormals(r []side, vs []geom.Vec3, tris [][3]int32) []side {
	for _, t := range tris {
		c := vs[t[1]].Sub(vs[t[0]]).Cross(vs[t[2]].Sub(vs[t[0]]))
		l := c.Len()
		if l < 1e-12 {
			continue
		}
		n := c.Mul(1 / l)
		found := false
		for i := range r {
			if d := r[i].n.Dot(n); math.Abs(d) > 0.99995 {
				r[i].area += l / 2
				found = true
				break
			}
		}
		if !found && len(r) < 200 {
			r = append(r, side{n, l / 2})
		}
	}
	if len(r) > 12 {
		sort.SliceStable(r, func(i, j int) bool { return r[i].area > r[j].area*(1+1e-6) })
		return r
	}
	for i := 1; i < len(r); i++ {
		for j := i; j > 0 && r[j].area > r[j-1].area*(1+1e-6); j-- {
			r[j], r[j-1] = r[j-1], r[j]
		}
	}
	return r
}

// orient finds the oriented box: its axes are the two greatest perpendicular face directions.
func (p *piece) orient(vs []geom.Vec3, sides []side) {
	x, y, z := geom.Vec3{X: 1}, geom.Vec3{Y: 1}, geom.Vec3{Z: 1}
	if len(sides) > 0 {
		x = snap(sides[0].n)
		y = geom.Vec3{}
		for _, s := range sides[1:] {
			if math.Abs(s.n.Dot(x)) < 0.02 {
				y = s.n
				break
			}
		}
		if y == (geom.Vec3{}) {
			y = z
			if math.Abs(x.Z) > 0.9 {
				y = geom.Vec3{X: 1}
			}
		}
		y = snap(y.Sub(x.Mul(x.Dot(y))).Unit())
		z = x.Cross(y).Unit()
	}
	p.axes = [3]geom.Vec3{x, y, z}
	var lo, hi [3]float64
	for i := range p.axes {
		lo[i], hi[i] = math.Inf(1), math.Inf(-1)
		for _, v := range vs {
			d := v.Dot(p.axes[i])
			lo[i], hi[i] = min(lo[i], d), max(hi[i], d)
		}
		p.size[i] = hi[i] - lo[i]
		p.mid = p.mid.Add(p.axes[i].Mul((lo[i] + hi[i]) / 2))
	}
	o := [3]int{0, 1, 2}
	for i := 1; i < 3; i++ {
		for j := i; j > 0 && p.size[o[j]] > p.size[o[j-1]]+1e-9; j-- {
			o[j], o[j-1] = o[j-1], o[j]
		}
	}
	a, s := p.axes, p.size
	for i, k := range o {
		p.axes[i], p.size[i] = a[k], s[k]
	}
}

// snap turns a direction that is an axis but for rounding into that axis.
func snap(v geom.Vec3) geom.Vec3 {
	const near = 1 - 1e-10
	switch {
	case math.Abs(v.X) > near:
		return geom.Vec3{X: math.Copysign(1, v.X)}
	case math.Abs(v.Y) > near:
		return geom.Vec3{Y: math.Copysign(1, v.Y)}
	case math.Abs(v.Z) > near:
		return geom.Vec3{Z: math.Copysign(1, v.Z)}
	}
	return v
}

// name gives the piece its form and lie.
func (p *piece) name() {
	l, w, t := p.size[0], p.size[1], p.size[2]
	switch {
	case t <= boardMax && w >= 0.15 && w >= 5*t, t <= stripMax && w >= 0.06 && w >= 5*t:
		p.form = board
	case w >= 0.75 && t <= 0.9 && t < w/2:
		p.form = slab
	case l >= 2.5*w && w <= 0.75:
		p.form = stick
	default:
		p.form = chunk
	}
	along := math.Abs(p.axes[0].Z)
	if p.form == board || p.form == slab {
		switch n := math.Abs(p.axes[2].Z); {
		case n > 0.9994: // 2 degrees
			p.lie = flat
		case n < 0.03:
			p.lie = upright
		default:
			p.lie = inclined
		}
		return
	}
	switch {
	case along > 0.98:
		p.lie = upright
	case along < 0.03:
		p.lie = flat
	default:
		p.lie = inclined
	}
}

// measure finds round sections, holes through the broad side and hollowness.
func (p *piece) measure(m *geom.Mesh, sides []side) {
	if v := p.size[0] * p.size[1] * p.size[2]; v > 0 {
		p.full = math.Abs(m.Volume()) / v
	}
	if v := p.size[0] * p.size[1]; v > 0 {
		for _, s := range sides {
			if math.Abs(s.n.Dot(p.axes[2])) > 0.999 {
				p.seen = s.area / 2 / v
				break
			}
		}
	}
	around := 0
	for _, s := range sides {
		if math.Abs(s.n.Dot(p.axes[0])) < 0.05 {
			around++
		}
	}
	// A face line counts once for both its sides: four lines are eight facets.
	p.round = p.form != board && around >= 4 && p.size[1] < 1.15*p.size[2]
}

// parts splits a mesh into its connected parts. Vertices are joined by index first; when
// that leaves open parts (triangle soup) they are joined by position.
func parts(m *geom.Mesh) []*geom.Mesh {
	if len(m.Tris) < 8 {
		return []*geom.Mesh{m}
	}
	id := make([]int32, len(m.Verts))
	for i := range id {
		id[i] = int32(i)
	}
	ps := splitBy(m, id)
	if len(ps) == 1 {
		return ps
	}
	closed := true
	for _, p := range ps {
		closed = closed && isClosed(p)
	}
	if closed {
		return ps
	}
	type key [3]int64
	first := map[key]int32{}
	for i, v := range m.Verts {
		k := key{int64(math.Round(v.X * 1e5)), int64(math.Round(v.Y * 1e5)), int64(math.Round(v.Z * 1e5))}
		if j, ok := first[k]; ok {
			id[i] = j
		} else {
			first[k] = int32(i)
		}
	}
	return splitBy(m, id)
}

func splitBy(m *geom.Mesh, id []int32) []*geom.Mesh {
	g := newGroups(len(m.Verts))
	for _, t := range m.Tris {
		g.join(int(id[t[0]]), int(id[t[1]]))
		g.join(int(id[t[1]]), int(id[t[2]]))
	}
	root, one := g.find(int(id[m.Tris[0][0]])), true
	for _, t := range m.Tris {
		one = one && g.find(int(id[t[0]])) == root
	}
	if one {
		return []*geom.Mesh{m}
	}
	index := map[int]int{}
	var ps []*geom.Mesh
	renum := map[int32]int32{}
	for _, t := range m.Tris {
		root := g.find(int(id[t[0]]))
		k, ok := index[root]
		if !ok {
			k = len(ps)
			index[root] = k
			ps = append(ps, &geom.Mesh{})
		}
		var x [3]int32
		for j, v := range t {
			n, ok := renum[v]
			if !ok {
				n = int32(len(ps[k].Verts))
				renum[v] = n
				ps[k].Verts = append(ps[k].Verts, m.Verts[v])
			}
			x[j] = n
		}
		ps[k].Tris = append(ps[k].Tris, x)
	}
	return ps
}

func isClosed(m *geom.Mesh) bool {
	n := map[[2]int32]int{}
	for _, t := range m.Tris {
		for i := range t {
			a, b := t[i], t[(i+1)%3]
			if a < b {
				n[[2]int32{a, b}]++
			} else {
				n[[2]int32{b, a}]--
			}
		}
	}
	for _, v := range n {
		if v != 0 {
			return false
		}
	}
	return true
}
