package void

import (
	"math"
	"sort"

	"voidcheck/ifcx/geom"
)

// found is an opening before its compartments on the wall side are known.
type found struct {
	Opening
	a, b     end
	fromWall int // lower wall of an open level, -1 when it is the floor level of floorOf
	floorOf  int
	open     bool // the line has no stop at all: both ends are one compartment
}

// end is one side of an opening: a compartment, or a place in a wall cavity.
type end struct {
	comp   *Compartment
	wall   int // -1
	at     geom.Vec3
	more   []spot  // places of a wide opening: a stud may stand at the first
	parts  []*part // compartments of a unit separation that a wide opening leads into, when several
	pocket bool    // the compartment of the wall is only a pocket in the depth of a floor
}

// openings finds where the nodes of a level connect what should be closed.
func (h *horizontal) openings(list []*compCells) {
	comp := func(i int32) *Compartment {
		if k := h.nodes[i].comp; k >= 0 {
			return list[k].out
		}
		return nil
	}
	slots := h.newSlots()
	endOf := func(i int32, mid geom.Vec2, z float64) (end, bool) {
		n := &h.nodes[i]
		if c := comp(i); c != nil {
			return end{comp: c, wall: -1}, true
		}
		if n.class == classWall {
			p := h.f.out(mid)
			return end{wall: int(n.ref), at: geom.Vec3{X: p.X, Y: p.Y, Z: z}}, true
		}
		if n.class == classSlot {
			if c := slots.compartment(i); c != nil {
				return end{comp: c, wall: -1}, true
			}
		}
		return end{}, false
	}
	h.bandOpenings(endOf)
	h.junctions(endOf)
	slots.levels()
	h.openLines()
}

type endFunc func(i int32, mid geom.Vec2, z float64) (end, bool)

// contact is where a band node meets something outside the band.
type contact struct {
	node int32
	end  end
	high bool // on the t-high side of the line
	mid  geom.Vec2
	z    float64
}

// bandOpenings finds the groups of free cells inside each line's band that lead from one
// side to the other.
func (h *horizontal) bandOpenings(endOf endFunc) {
	contacts := map[int32][]contact{} // by node
	all, bays := newUnion(len(h.nodes)), newUnion(len(h.nodes))
	member := make([]bool, len(h.nodes))
	for i := range h.nodes {
		if h.nodes[i].class == classBand {
			member[i] = h.hasMember(int32(i))
		}
	}
	note := func(band, other int32, l link) {
		b := h.lines[h.nodes[band].ref]
		z := (l.z0 + l.z1) / 2
		e, ok := endOf(other, l.mid, z)
		if !ok {
			return
		}
		_, t := b.local(h.f.out(l.mid))
		if t > b.t0+2*mergeTol && t < b.t1-2*mergeTol {
			return // at the end of the band, on neither side
		}
		contacts[band] = append(contacts[band], contact{band, e, t > (b.t0+b.t1)/2, l.mid, z})
	}
	for _, l := range h.links {
		a, b := &h.nodes[l.a], &h.nodes[l.b]
		switch {
		case a.class == classBand && b.class == classBand:
			if a.ref == b.ref {
				all.join(l.a, l.b)
				if !member[l.a] && !member[l.b] {
					bays.join(l.a, l.b)
				}
			}
		case a.class == classBand:
			note(l.a, l.b, l)
		case b.class == classBand:
			note(l.b, l.a, l)
		}
	}
	whole := map[int32]bool{} // roots of `all` that a bay already explains
	emit := func(groups map[int32][]int32, order []int32, uf union) {
		for _, r := range order {
			nodes := groups[r]
			var cs []contact
			for _, n := range nodes {
				cs = append(cs, contacts[n]...)
			}
			for _, o := range h.pairs(nodes, cs) {
				whole[all.find(nodes[0])] = true
				h.s.found = append(h.s.found, o)
			}
		}
	}
	collect := func(uf union, want func(int32) bool) (map[int32][]int32, []int32) {
		g := map[int32][]int32{}
		var order []int32
		for i := range h.nodes {
			if h.nodes[i].class != classBand || !want(int32(i)) {
				continue
			}
			r := uf.find(int32(i))
			if g[r] == nil {
				order = append(order, r)
			}
			g[r] = append(g[r], int32(i))
		}
		return g, order
	}
	g, order := collect(bays, func(i int32) bool { return !member[i] })
	emit(g, order, bays)
	g, order = collect(all, func(i int32) bool { return !whole[all.find(i)] })
	emit(g, order, all)
	for _, r := range order {
		var cs []contact
		for _, n := range g[r] {
			cs = append(cs, contacts[n]...)
		}
		if o, ok := h.rowShort(g[r], cs); ok {
			h.s.found = append(h.s.found, o)
		}
	}
}

// hasMember reports whether a chord, web, joist or rafter crosses the band at a node.
func (h *horizontal) hasMember(i int32) bool {
	n := &h.nodes[i]
	z := h.bandZone(n.cell)
	if z == nil {
		return false
	}
	for e := range h.column(&h.cells[n.cell]) {
		switch e.role {
		case RoleChord, RoleWeb, RoleJoist, RoleRafter:
			if e.z1 > z.z0+0.005 && e.z0 < z.z1-0.005 {
				return true
			}
		}
	}
	return false
}

func (h *horizontal) zoneOfNode(n *node) *zone {
	for k := range h.zonesAt(n.cell) {
		if z := &h.zonesAt(n.cell)[k]; z.class == n.class {
			return z
		}
	}
	return nil
}

// openLines reports the separations that nothing continues: the void runs on over them as
// one compartment.
func (h *horizontal) openLines() {
	for _, b := range h.lines {
		if !b.open {
			continue
		}
		groups := map[int32][]int32{}
		var order []int32
		first, last := h.nodesOver(h.along(b))
		for i := first; i < last; i++ {
			n := &h.nodes[i]
			if n.class != classVoid || n.comp < 0 {
				continue
			}
			c := &h.cells[n.cell]
			if s, t := b.local(h.f.out(geom.Vec2{X: c.cu, Y: c.cv})); s > b.s0 && s < b.s1 && t > b.t0 && t < b.t1 {
				if groups[n.comp] == nil {
					order = append(order, n.comp)
				}
				groups[n.comp] = append(groups[n.comp], i)
			}
		}
		for _, k := range order {
			o := found{open: true}
			h.size(&o.Opening, b, groups[k])
			o.a = end{comp: h.list[k].out, wall: -1}
			o.b = o.a
			o.Line = &b.Line
			if o.WidthM >= h.gap-openTol && o.HeightM >= h.gap-openTol && !h.isCornice(b, o.a.comp, o.a.comp) {
				if o.Kind == OpenTop || o.Kind == OpenBottom {
					o.Kind = OpenLine // there is no stop that it could be a gap of
				}
				h.s.found = append(h.s.found, o)
			}
		}
	}
}

// pairs makes one opening of a group for each pair of different ends on its two sides.
func (h *horizontal) pairs(nodes []int32, cs []contact) []found {
	b := h.lines[h.nodes[nodes[0]].ref]
	same := func(x, y end) bool { return x.comp == y.comp && x.wall == y.wall }
	var lo, hi []contact
	add := func(l []contact, c contact) []contact {
		for _, x := range l {
			if same(x.end, c.end) {
				return l
			}
		}
		return append(l, c)
	}
	for _, c := range cs {
		if c.high {
			hi = add(hi, c)
		} else {
			lo = add(lo, c)
		}
	}
	ranked(lo)
	ranked(hi)
	var out []found
	for _, x := range lo {
		for _, y := range hi {
			around := same(x.end, y.end)
			if around && (b.Kind != LineDraftstop || x.end.comp == nil) || h.isCornice(b, x.end.comp, y.end.comp) {
				continue
			}
			o := found{a: x.end, b: y.end}
			h.size(&o.Opening, b, nodes)
			if around && (o.Kind == OpenEdge || o.Kind == OpenBay && !b.within(&o.Opening) || o.Kind == OpenLine) {
				continue // the two sides join elsewhere: the line turns a corner here
			}
			o.Line = &b.Line
			if o.WidthM >= h.gap-openTol && o.HeightM >= h.gap-openTol {
				out = append(out, o)
			}
			break // a group that meets several compartments of one side is one opening
		}
		if len(out) > 0 {
			break
		}
	}
	return out
}

// size measures the narrowest section of a group across its line, and names its kind.
func (h *horizontal) size(o *Opening, b *bandLine, nodes []int32) {
	var ps []gapPiece
	var ts []float64
	for _, ni := range nodes {
		n := &h.nodes[ni]
		c := &h.cells[n.cell]
		p := gapPiece{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1), n.z0, n.z1, ni}
		for _, q := range h.corners(c) {
			s, t := b.local(h.f.out(q))
			p.s0, p.s1 = math.Min(p.s0, s), math.Max(p.s1, s)
			p.t0, p.t1 = math.Min(p.t0, t), math.Max(p.t1, t)
		}
		ps = append(ps, p)
		ts = append(ts, p.t0, p.t1)
	}
	sort.Float64s(ts)
	middle := (b.t0 + b.t1) / 2
	t, even := narrowest(ps, b.inner(ts), middle)
	if cut, area := section(ps, t); len(cut) > 0 {
		sort.Slice(cut, func(i, j int) bool { return cut[i].s0 < cut[j].s0 })
		w, end := 0.0, math.Inf(-1)
		s0, s1, top, bottom := cut[0].s0, cut[0].s1, 0.0, 0.0
		for _, p := range cut {
			if p.s1 > end {
				w += p.s1 - math.Max(p.s0, end)
				end = p.s1
			}
			s1 = math.Max(s1, p.s1)
			n := &h.nodes[p.node]
			if z := h.zoneOfNode(n); z != nil {
				if n.z0 < z.z0+2*h.gap {
					bottom += p.s1 - p.s0
				}
				if n.z1 > z.z1-2*h.gap {
					top += p.s1 - p.s0
				}
			}
		}
		o.WidthM, o.HeightM, o.AreaM2 = w, area/w, area
		// The point lies in the opening itself, nearest to its middle: under a roof the gap
		// climbs with the slope.
		mid := (s0 + s1) / 2
		at, far := cut[0], math.Inf(1)
		for _, p := range cut {
			if d := math.Max(0, math.Max(p.s0-mid, mid-p.s1)); d < far-1e-9 || d < far+1e-9 && p.z1 > at.z1 {
				at, far = p, d
			}
		}
		m := b.at(math.Min(math.Max(mid, at.s0), at.s1), t)
		n := &h.nodes[at.node]
		zlo, zhi := n.at(&h.cells[n.cell], h.f.in(m))
		o.Point = geom.Vec3{X: m.X, Y: m.Y, Z: (zlo + zhi) / 2}
		o.Members = h.membersBeside(b, s0, s1, t)
		// At the eaves what stands over the rest of a line is nothing.
		o.Kind = h.kindOf(b, s0, s1, top > w/2, bottom > w/2)
	}
	if even { // on both sides of the middle: a mirror would choose the other
		s, _ := b.local(o.Point.Plan())
		m := b.at(s, middle)
		o.Point.X, o.Point.Y = m.X, m.Y
	}
	if o.Service = h.serviceIn(nodes); o.Service >= 0 && o.Kind == OpenHole {
		o.Kind = OpenRing
	}
}

// kindOf names an opening by the edges of the void that it reaches over most of its width.
func (h *horizontal) kindOf(b *bandLine, s0, s1 float64, top, bottom bool) OpeningKind {
	a, _ := b.local(b.A)
	e, _ := b.local(b.B)
	switch {
	case top && !bottom && b.Bounds && h.level.kind == KindAttic:
		return OpenLine // above the wall itself, whatever is open beside it in the frame of the wall
	case top && !bottom:
		return OpenTop
	case bottom && !top:
		return OpenBottom
	case !top && !bottom:
		return OpenHole
	case b.Kind == LineDraftstop && len(b.stops) > 0 && (s0 < a-0.01 && s1 < a+0.05 || s1 > e+0.01 && s0 > e-0.05):
		return OpenEdge
	case s1-s0 > 0.8*(e-a):
		return OpenLine
	case b.Kind == LineDraftstop && s1-s0 < 0.3:
		return OpenHole
	}
	return OpenBay
}

// membersBeside returns the elements of the framing just beyond the two ends of an opening.
func (h *horizontal) membersBeside(b *bandLine, s0, s1, t float64) []int {
	var out []int
	for _, s := range []float64{s0 - 0.004, s1 + 0.004} {
		q := h.f.in(b.at(s, t))
		ci := h.at(q.X, q.Y)
		if ci < 0 {
			continue
		}
		for e := range h.column(&h.cells[ci]) {
			p := &h.s.in.Parts[h.partOf(e)]
			if e.role != RoleChord && e.role != RoleWeb && e.role != RoleJoist && e.role != RoleRafter && e.role != RoleBlock && e.role != RoleBeam {
				continue
			}
			if e.z1 < h.level.zlo || p.Element < 0 || containsInt(out, p.Element) {
				continue
			}
			out = append(out, p.Element)
			break
		}
	}
	return out
}

func (h *horizontal) partOf(e *entry) int {
	if e.role == roleRoom {
		return 0
	}
	return h.solids[e.solid].part
}
