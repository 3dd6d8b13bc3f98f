package void

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"voidcheck/ifcx/geom"
)

// junctions finds where a wall cavity meets a horizontal void: from the side (no board
// behind a soffit or above a ceiling) or from below (no plate on the studs), and where a
// soffit is open to the void beside it.
func (h *horizontal) junctions(endOf endFunc) {
	type key struct {
		wall int32
		root int32
		comp *Compartment
		up   bool
	}
	wallUF := newUnion(len(h.nodes))
	stackWith := map[int32]int32{} // wall node -> void node above it
	for _, l := range h.stacks {
		a, b := &h.nodes[l.a], &h.nodes[l.b]
		if a.class == classWall && (b.class == classVoid || b.class == classBand) && h.s.in.Walls[a.ref].Framed && a.tall(h.gap) && b.tall(h.gap) {
			stackWith[l.a] = l.b
		}
	}
	isBay := func(i int32) bool { _, ok := stackWith[i]; return ok }
	for _, l := range h.links {
		a, b := &h.nodes[l.a], &h.nodes[l.b]
		if a.class != classWall || b.class != classWall || a.ref != b.ref || isBay(l.a) != isBay(l.b) {
			continue
		}
		// A plate over a stud row and a block over the gap are two stops, each with its place.
		if isBay(l.a) && h.inGap(a) != h.inGap(b) {
			continue
		}
		wallUF.join(l.a, l.b)
	}
	groups := map[key]*[]link{}
	var order []key
	put := func(k key, l link) {
		if groups[k] == nil {
			groups[k] = &[]link{}
			order = append(order, k)
		}
		*groups[k] = append(*groups[k], l)
	}
	bandEnd := h.bandEnds(endOf)
	for _, l := range h.links {
		a, b := l.a, l.b
		if h.nodes[a].class != classWall {
			a, b = b, a
		}
		na, nb := &h.nodes[a], &h.nodes[b]
		switch {
		case na.class == classWall && (nb.class == classVoid || nb.class == classSoffit):
			if e, ok := endOf(b, l.mid, l.z0); ok && e.comp != nil && h.boarded(na) && !h.atEnd(na, l.mid) {
				put(key{na.ref, wallUF.find(a), e.comp, false}, link{a: a, b: b, length: l.length, mid: l.mid, z0: l.z0, z1: l.z1})
			}
		case na.class == classSoffit && nb.class == classVoid || na.class == classVoid && nb.class == classSoffit:
			if na.class != classSoffit {
				a, b = b, a
			}
			x, ok1 := endOf(a, l.mid, l.z0)
			y, ok2 := endOf(b, l.mid, l.z0)
			if ok1 && ok2 && x.comp != nil {
				put(key{-1, h.nodes[a].comp, y.comp, false}, link{a: a, b: b, length: l.length, mid: l.mid, z0: l.z0, z1: l.z1})
			}
		}
	}
	inCavity := map[int32]bool{} // groups that reach the cavity itself, not only the tops of boards
	for i := range h.nodes {
		if n := &h.nodes[i]; n.class == classWall && h.overCavity(n) {
			inCavity[wallUF.find(int32(i))] = true
		}
	}
	for _, up := range orderedStacks(stackWith) {
		if !inCavity[wallUF.find(up[0])] || !h.overCavity(&h.nodes[up[0]]) {
			continue
		}
		c := bandEnd[up[1]]
		if e, ok := endOf(up[1], geom.Vec2{}, 0); ok {
			c = e.comp
		}
		n := &h.nodes[up[0]]
		if c != nil {
			put(key{n.ref, wallUF.find(up[0]), c, true}, link{a: up[0], b: up[1], z0: n.z1, z1: n.z1})
		}
	}
	for _, k := range order {
		if k.wall >= 0 && !k.up && !inCavity[k.root] {
			continue // the joint over the boards alone, beside a partition that ends under it
		}
		ls := *groups[k]
		o := found{b: end{comp: k.comp, wall: -1}}
		o.Service = -1
		if k.up {
			h.sizeStack(&o, ls, int(k.wall))
			o.Kind = OpenPlate
			if h.inGap(&h.nodes[ls[0].a]) { // no plate reaches over it
				o.Kind, o.fromWall = OpenLevel, int(k.wall)
			}
		} else {
			h.sizeSide(&o, ls)
			o.Kind = OpenJunction
		}
		p := o.Point
		if k.wall >= 0 {
			o.a = end{wall: int(k.wall), at: geom.Vec3{X: p.X, Y: p.Y, Z: p.Z - 0.05}}
			if !k.up {
				o.a.at.Z = p.Z
				o.a.more = h.places(ls, p, h.s.in.Walls[k.wall].Dir)
			}
		} else {
			e, _ := endOf(ls[0].a, ls[0].mid, ls[0].z0)
			o.a = e
		}
		if o.WidthM >= h.gap-openTol && o.HeightM >= h.gap-openTol {
			h.s.found = append(h.s.found, o)
		}
	}
}

// inGap reports whether a node of a wall lies between its stud rows.
func (h *horizontal) inGap(n *node) bool {
	w := &h.s.in.Walls[n.ref]
	c := &h.cells[n.cell]
	return within(w.Dir.Cross(h.f.out(geom.Vec2{X: c.cu, Y: c.cv}).Sub(w.Origin)), w.Gaps)
}

// overCavity reports whether a node of a wall lies over its cavity, or over a face without a
// board; what stands free over the top of a board is only the joint with a ceiling.
func (h *horizontal) overCavity(n *node) bool {
	w := &h.s.in.Walls[n.ref]
	c := &h.cells[n.cell]
	if within(w.Dir.Cross(h.f.out(geom.Vec2{X: c.cu, Y: c.cv}).Sub(w.Origin)), w.Cavities) {
		return true
	}
	for e := range h.column(c) {
		if e.role == RoleFinish && e.z0 < w.Z1-0.5 && e.z1 > w.Z0+0.5 {
			return false
		}
	}
	return true
}

func orderedStacks(m map[int32]int32) [][2]int32 {
	out := make([][2]int32, 0, len(m))
	for a, b := range m {
		out = append(out, [2]int32{a, b})
	}
	sort.Slice(out, func(i, j int) bool { return out[i][0] < out[j][0] })
	return out
}

// bandEnds gives the nodes inside bands the compartment they open to, the larger side first.
func (h *horizontal) bandEnds(endOf endFunc) map[int32]*Compartment {
	uf := newUnion(len(h.nodes))
	byRoot := map[int32]*Compartment{}
	for _, l := range h.links {
		a, b := &h.nodes[l.a], &h.nodes[l.b]
		if a.class == classBand && b.class == classBand {
			uf.join(l.a, l.b)
		}
	}
	for _, l := range h.links {
		for _, p := range [][2]int32{{l.a, l.b}, {l.b, l.a}} {
			if h.nodes[p[0]].class != classBand || h.nodes[p[1]].class != classVoid {
				continue
			}
			if e, ok := endOf(p[1], l.mid, l.z0); ok && e.comp != nil {
				if c := byRoot[uf.find(p[0])]; c == nil || c.AreaM2 < e.comp.AreaM2 {
					byRoot[uf.find(p[0])] = e.comp
				}
			}
		}
	}
	out := map[int32]*Compartment{}
	for i := range h.nodes {
		if h.nodes[i].class == classBand {
			if c := byRoot[uf.find(int32(i))]; c != nil {
				out[int32(i)] = c
			}
		}
	}
	return out
}

// boarded reports whether a wall's faces are modelled: without any board a cavity cannot be
// told from the room beside it, and saying that it is open there would be a guess.
func (h *horizontal) boarded(n *node) bool {
	w := &h.s.in.Walls[n.ref]
	if len(w.Cavities) == 0 {
		return false
	}
	return w.Across.Lo < w.Cavities[0].Lo-0.003 && w.Across.Hi > w.Cavities[len(w.Cavities)-1].Hi+0.003
}

// atEnd reports whether a contact lies at the end of a wall, where an end stud or the wall it
// meets closes it although a wall of layers shows neither.
func (h *horizontal) atEnd(n *node, mid geom.Vec2) bool {
	w := &h.s.in.Walls[n.ref]
	s := h.f.out(mid).Sub(w.Origin).Dot(w.Dir)
	return !w.Framed && (s < 0.005 || s > w.Length-0.005)
}

// sizeStack measures an opening through missing plates: length along the wall and depth.
func (h *horizontal) sizeStack(o *found, ls []link, wall int) {
	w := &h.s.in.Walls[wall]
	s0, s1, t0, t1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	area := 0.0
	for _, l := range ls {
		c := &h.cells[h.nodes[l.a].cell]
		area += c.area
		for _, q := range h.corners(c) {
			p := h.f.out(q).Sub(w.Origin)
			s, t := p.Dot(w.Dir), w.Dir.Cross(p)
			s0, s1, t0, t1 = math.Min(s0, s), math.Max(s1, s), math.Min(t0, t), math.Max(t1, t)
		}
	}
	o.AreaM2 = area
	o.WidthM = s1 - s0
	o.HeightM = area / (s1 - s0)
	m := w.At((s0+s1)/2, (t0+t1)/2)
	o.Point = geom.Vec3{X: m.X, Y: m.Y, Z: w.Heights((t0 + t1) / 2).Hi}
}

// studApart is how far apart places along an opening are looked at: closer than the clear
// width of the narrowest bay that is wide enough to matter.
const studApart = 0.1

// places returns places along the contacts of an opening with a wall, those nearest to a point
// first. One contact may pass several studs, which the wall has and the void beside it has not.
func (h *horizontal) places(ls []link, near geom.Vec3, along geom.Vec2) []spot {
	var out []spot
	for _, l := range ls {
		n := max(1, math.Ceil(l.length/studApart))
		for i := range int(n) {
			p := h.f.out(l.mid).Add(along.Mul(l.length * ((float64(i)+0.5)/n - 0.5)))
			out = append(out, spot{geom.Vec3{X: p.X, Y: p.Y, Z: (l.z0 + l.z1) / 2}, l.length / n})
		}
	}
	slices.SortStableFunc(out, func(a, b spot) int { return cmp.Compare(a.p.Sub(near).Len(), b.p.Sub(near).Len()) })
	return out
}

// sizeSide measures an opening in the side of a cavity or soffit.
func (h *horizontal) sizeSide(o *found, ls []link) {
	z0, z1 := math.Inf(1), math.Inf(-1)
	var m geom.Vec2
	for _, l := range ls {
		o.WidthM += l.length
		o.AreaM2 += l.length * (l.z1 - l.z0)
		m = m.Add(l.mid.Mul(l.length))
		z0, z1 = math.Min(z0, l.z0), math.Max(z1, l.z1)
	}
	if o.WidthM > 0 {
		o.HeightM = o.AreaM2 / o.WidthM
		p := h.f.out(m.Mul(1 / o.WidthM))
		o.Point = geom.Vec3{X: p.X, Y: p.Y, Z: (z0 + z1) / 2}
	}
}
