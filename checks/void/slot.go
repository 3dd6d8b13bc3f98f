package void

import (
	"math"

	"voidcheck/ifcx/geom"
)

// slots are the spaces in an attic between the two lines of a double wall that ends below it:
// each line is closed by a sheet of its own, and a gap in both is a way from one attic into
// the other. They are no voids of their own: a compartment is made of one, as part of the
// cavity of the wall below, when an opening leads into it.
type slots struct {
	h    *horizontal
	uf   union
	made map[int32]*Compartment // by root
	all  map[int32][]int32      // nodes by root
}

func (h *horizontal) newSlots() *slots {
	x := &slots{h: h, made: map[int32]*Compartment{}}
	for i := range h.nodes {
		if h.nodes[i].class == classSlot {
			x.uf = newUnion(len(h.nodes))
			break
		}
	}
	if x.uf == nil {
		return x
	}
	for _, l := range h.links {
		a, b := &h.nodes[l.a], &h.nodes[l.b]
		if a.class == classSlot && b.class == classSlot && a.ref == b.ref {
			x.uf.join(l.a, l.b)
		}
	}
	x.all = map[int32][]int32{}
	for i := range h.nodes {
		if h.nodes[i].class == classSlot {
			r := x.uf.find(int32(i))
			x.all[r] = append(x.all[r], int32(i))
		}
	}
	return x
}

// compartment returns the compartment of a slot, made on first use; nil when the wall below
// has no cavity to be part of.
func (x *slots) compartment(node int32) *Compartment {
	h := x.h
	r := x.uf.find(node)
	if c, ok := x.made[r]; ok {
		return c
	}
	v := h.s.wallVoid[h.nodes[r].ref]
	if v == nil {
		x.made[r] = nil
		return nil
	}
	o := &Compartment{Void: v, ZLo: math.Inf(1), ZHi: math.Inf(-1)}
	var cells []int32
	best := 0.0
	for _, i := range x.all[r] {
		n := &h.nodes[i]
		cl := &h.cells[n.cell]
		if k := len(cells); k == 0 || cells[k-1] != n.cell {
			cells = append(cells, n.cell)
			o.AreaM2 += cl.area
		}
		o.VolumeM3 += cl.area * (n.z1 - n.z0)
		o.HeightMaxM = math.Max(o.HeightMaxM, n.z1-n.z0)
		o.ZLo, o.ZHi = math.Min(o.ZLo, n.z0), math.Max(o.ZHi, n.z1)
		if a := cl.area * (n.z1 - n.z0); a > best*(1+1e-9) {
			best = a
			p := h.f.out(geom.Vec2{X: cl.cu, Y: cl.cv})
			o.Point = geom.Vec3{X: p.X, Y: p.Y, Z: (n.z0 + n.z1) / 2}
		}
	}
	o.Outline = h.outline(cells)
	v.Compartments = append(v.Compartments, o)
	x.made[r] = o
	return o
}

// levels finds where the cavity of the wall below runs on into a slot: the ceiling level
// under the attic is not closed there.
func (x *slots) levels() {
	h := x.h
	over := map[int32]bool{}
	for _, l := range h.stacks {
		a, b := &h.nodes[l.a], &h.nodes[l.b]
		if a.class == classWall && b.class == classSlot && a.ref == b.ref && a.tall(h.gap) && b.tall(h.gap) {
			over[l.a] = true
		}
	}
	if len(over) == 0 {
		return
	}
	uf := newUnion(len(h.nodes))
	for _, l := range h.links {
		if over[l.a] && over[l.b] && h.nodes[l.a].ref == h.nodes[l.b].ref {
			uf.join(l.a, l.b)
		}
	}
	groups := map[int32][]link{}
	var order []int32
	for _, l := range h.stacks {
		if !over[l.a] || h.nodes[l.b].class != classSlot {
			continue
		}
		r := uf.find(l.a)
		if groups[r] == nil {
			order = append(order, r)
		}
		groups[r] = append(groups[r], l)
	}
	for _, r := range order {
		ls := groups[r]
		wall := int(h.nodes[r].ref)
		c := x.compartment(ls[0].b)
		if c == nil {
			continue
		}
		var o found
		o.Kind, o.Service = OpenLevel, -1
		h.sizeStack(&o, ls, wall)
		if o.WidthM < h.gap-openTol || o.HeightM < h.gap-openTol {
			continue
		}
		p := o.Point
		o.a = end{wall: wall, at: geom.Vec3{X: p.X, Y: p.Y, Z: p.Z - 0.05}}
		o.b = end{comp: c, wall: -1}
		o.fromWall = wall
		h.s.found = append(h.s.found, o)
	}
}

// behindLine returns the wall whose two lines a place lies between. That is part of the
// wall's cavity, or in an attic the slot over it, which runs on beyond the ends of the wall.
// -1 when the place is none such.
func (h *horizontal) behindLine(st *strip, p geom.Vec2, lines []int) int {
	for _, k := range lines {
		b := h.lines[k]
		if b.Side == 0 || st != nil && b.Wall != st.wall || st == nil && h.level.kind != KindAttic {
			continue
		}
		s, t := b.local(p)
		if s < b.s0 || s > b.s1 {
			continue
		}
		w := &h.s.in.Walls[b.Wall]
		other := w.Gaps[0].Hi // the other line begins beyond the gap, if not farther
		if b.Side > 0 {
			other = w.Gaps[0].Lo
		}
		if b.Side < 0 && t > b.t1 && t < other || b.Side > 0 && t < b.t0 && t > other {
			return b.Wall
		}
	}
	return -1
}
