package void

import (
	"math"
	"sort"

	"voidcheck/ifcx/geom"
)

// roleRoom marks the columns of rooms; they are neither matter nor void.
const roleRoom Role = 255

// closes reports whether a solid of this role fills the place where it stands.
func (r Role) closes() bool {
	switch r {
	case RoleFraming, RoleInsulation, roleRoom:
		return false
	}
	return true
}

// isFraming reports whether a solid of this role merely stands inside a void: its plan area
// is not deducted from the void's.
func (r Role) isFraming() bool {
	switch r {
	case RoleChord, RoleWeb, RoleJoist, RoleRafter, RoleStud, RolePlate, RoleBeam, RoleBlock,
		RoleService, RoleChimney, RoleSeal, RoleStair, RoleUnknown:
		return true
	}
	return false
}

// free is an empty vertical interval over a cell, with the slopes of its two ends.
type free struct {
	z0, z1 float64
	g0, g1 geom.Vec2
}

func (f *free) at(c *cell, p geom.Vec2) (float64, float64) {
	d := geom.Vec2{X: p.X - c.cu, Y: p.Y - c.cv}
	return f.z0 + f.g0.Dot(d), f.z1 + f.g1.Dot(d)
}

// class says what a node is part of.
type class uint8

const (
	classVoid   class = iota + 1 // floor void or attic
	classSoffit                  // between a dropped ceiling and the one above it
	classBand                    // inside the band of a line: nominally closed
	classWall                    // wall cavity
	classSlot                    // in an attic, between the two lines of a double wall below it
)

// zone is a height range over a cell that belongs to one class.
type zone struct {
	free
	class class
	ref   int32 // line of a band, wall of a cavity
}

// node is a free interval within one zone.
type node struct {
	*zone // as far as it is free; shared by nodes that are alike
	cell  int32
	comp  int32 // compartment, -1
}

// field is a plan with its columns, zones and nodes.
type field struct {
	*plan
	f       frame
	solids  []*solid
	gap     float64
	zlo     float64
	zhi     float64
	open    []int32 // free intervals of each cell, small gaps closed: a list of buf.frees
	zones   []int32 // of each cell: a list of buf.zones
	nodes   []node
	nodesOf []int32 // nodesOf[i]..nodesOf[i+1] are the nodes of cell i
	links   []link
	joined  union  // nodes of voids and of soffits that touch; they have no links
	stacks  []link // two nodes of one cell that meet at the border of their zones
}

// link joins two nodes through a contact.
type link struct {
	a, b   int32
	length float64
	mid    geom.Vec2
	z0, z1 float64 // the shared height, or the plane of a stack (z0 = z1)
}

// clear computes the free intervals of each cell within the window and closes every free
// run narrower than the gap, along z, u and v.
func (f *field) clear() {
	raw := sized(f.buf.raw, len(f.cells))
	var out []free
	for i := range f.cells {
		out = f.freeOver(out[:0], &f.cells[i])
		raw[i] = f.buf.frees.keep(out)
	}
	f.open = sized(f.buf.open, len(f.cells))
	f.buf.raw, f.buf.open = raw, f.open
	for i := range f.cells {
		c := &f.cells[i]
		f.open[i] = raw[i]
		thinU, thinV := f.width(c) < f.gap, c.height() < f.gap
		if raw[i] == 0 || !thinU && !thinV {
			continue
		}
		keep := f.buf.frees.at(raw[i])
		if thinU {
			keep = f.wideEnough(int32(i), keep, raw, f.width(c), f.stepU)
		}
		if thinV {
			keep = f.wideEnough(int32(i), keep, raw, c.height(), f.stepV)
		}
		f.open[i] = f.buf.frees.keep(keep)
	}
}

// freeOver appends the free intervals over a cell to out.
func (f *field) freeOver(out []free, c *cell) []free {
	cur := free{z0: f.zlo}
	for e := range f.column(c) {
		if !e.role.closes() || e.z1 <= cur.z0 || e.z0 >= f.zhi {
			continue
		}
		if e.z0-cur.z0 >= f.gap {
			cur.z1, cur.g1 = e.z0, e.g0
			out = append(out, cur)
		}
		cur = free{z0: e.z1, g0: e.g1}
	}
	if f.zhi-cur.z0 >= f.gap {
		cur.z1 = f.zhi
		out = append(out, cur)
	}
	return out
}

// stepU and stepV return the neighbour of a cell in direction d (-1 or +1) and its width.
func (f *field) stepU(ci int32, at geom.Vec2, d int) (int32, float64) {
	s := int(f.cells[ci].slab) + d
	if s < 0 || s >= f.slabs() {
		return -1, 0
	}
	u := f.us[s] + 1e-9
	if d < 0 {
		u = f.us[s+1] - 1e-9
	}
	return f.inSlab(s, u, at.Y), f.us[s+1] - f.us[s]
}

func (f *field) stepV(ci int32, _ geom.Vec2, d int) (int32, float64) {
	c := &f.cells[ci]
	j := ci + int32(d)
	if from, to := f.row(int(c.slab)); j < from || j >= to {
		return -1, 0
	}
	n := &f.cells[j]
	if d > 0 && n.lo0-c.hi0 > 1e-7 || d < 0 && c.lo0-n.hi0 > 1e-7 {
		return -1, 0
	}
	return j, n.height()
}

type stepper func(int32, geom.Vec2, int) (int32, float64)

// reach is part of a free interval with the free run on one side of its cell.
type reach struct{ z0, z1, run float64 }

// crosscut is a part of a free interval with the free runs on both sides of its cell.
type crosscut struct{ z0, z1, left, right float64 }

// corner keeps two parts of one free interval from meeting where the way from one to the
// other, round a corner, is narrower than the gap; metres.
const corner = 2e-6

// wideEnough keeps the parts of the intervals of a thin cell whose free run along one
// direction is at least the gap.
func (f *field) wideEnough(ci int32, in []free, raw []int32, w float64, step stepper) []free {
	at := geom.Vec2{X: f.cells[ci].cu, Y: f.cells[ci].cv}
	var out []free
	for _, iv := range in {
		left := f.reachFrom(ci, at, -1, iv.z0, iv.z1, f.gap-w, raw, step)
		right := f.reachFrom(ci, at, +1, iv.z0, iv.z1, f.gap-w, raw, step)
		var kept []crosscut
		for _, l := range left {
			for _, r := range right {
				z0, z1 := math.Max(l.z0, r.z0), math.Min(l.z1, r.z1)
				if z1 > z0 && l.run+r.run+w >= f.gap {
					kept = append(kept, crosscut{z0, z1, l.run, r.run})
				}
			}
		}
		sort.Slice(kept, func(i, j int) bool { return kept[i].z0 < kept[j].z0 })
		for i := 0; i < len(kept); {
			j := i + 1
			z0, z1 := kept[i].z0, kept[i].z1
			for j < len(kept) && kept[j].z0 <= z1+1e-9 && math.Min(kept[j-1].left, kept[j].left)+w+math.Min(kept[j-1].right, kept[j].right) >= f.gap {
				z1 = math.Max(z1, kept[j].z1)
				j++
			}
			if i > 0 && z0 <= kept[i-1].z1+1e-9 {
				z0 += corner
			}
			if z1-z0 >= f.gap {
				p := free{z0: z0, z1: z1}
				if p.z0-iv.z0 < 1e-6 {
					p.g0 = iv.g0
				}
				if iv.z1-p.z1 < 1e-6 {
					p.g1 = iv.g1
				}
				out = append(out, p)
			}
			i = j
		}
	}
	return out
}

// reachFrom splits [z0,z1] by how far the free space runs on beyond a cell, up to need.
func (f *field) reachFrom(ci int32, at geom.Vec2, d int, z0, z1, need float64, raw []int32, step stepper) []reach {
	if need <= 0 {
		return []reach{{z0, z1, 0}}
	}
	n, w := step(ci, at, d)
	if n < 0 { // the edge of the decomposition: nothing bounds the run there
		return []reach{{z0, z1, need}}
	}
	var out []reach
	cur := z0
	for _, iv := range f.buf.frees.at(raw[n]) {
		a, b := iv.at(&f.cells[n], at)
		a, b = math.Max(a, cur), math.Min(b, z1)
		if b <= a {
			continue
		}
		if a > cur {
			out = append(out, reach{cur, a, 0})
		}
		for _, r := range f.reachFrom(n, at, d, a, b, need-w, raw, step) {
			r.run = math.Min(r.run+w, need)
			out = append(out, r)
		}
		cur = b
	}
	if cur < z1 {
		out = append(out, reach{cur, z1, 0})
	}
	return out
}

// build cuts the free intervals by the zones into nodes and links the nodes that touch.
func (f *field) build() {
	f.nodesOf = make([]int32, len(f.cells)+1)
	f.nodes, f.links, f.stacks = f.buf.nodes[:0], f.buf.links[:0], f.buf.stacks[:0]
	for i := range f.cells {
		f.nodesOf[i] = int32(len(f.nodes))
		for _, z := range f.zonesAt(int32(i)) {
			for _, iv := range f.buf.frees.at(f.open[i]) {
				n := zone{iv, z.class, z.ref}
				if z.z0 > n.z0 {
					n.z0, n.g0 = z.z0, z.g0
				}
				if z.z1 < n.z1 {
					n.z1, n.g1 = z.z1, z.g1
				}
				if n.z1-n.z0 < 1e-6 || (n.z1-n.z0 < f.gap && iv.z1-iv.z0 < f.gap) {
					continue
				}
				k := int32(len(f.nodes))
				if k > f.nodesOf[i] && math.Abs(f.nodes[k-1].z1-n.z0) < 1e-9 {
					f.stacks = append(f.stacks, link{a: k - 1, b: k, z0: n.z0, z1: n.z0,
						mid: geom.Vec2{X: f.cells[i].cu, Y: f.cells[i].cv}})
				}
				f.nodes = append(roomFor(f.nodes, 0, i, len(f.cells), 1), node{f.buf.zones.one(n), int32(i), -1})
			}
		}
	}
	f.nodesOf[len(f.cells)] = int32(len(f.nodes))
	f.joined = union(sized(f.buf.joined, len(f.nodes))).reset()
	f.touches(func(t touch) {
		ca, cb := &f.cells[t.a], &f.cells[t.b]
		for i := f.nodesOf[t.a]; i < f.nodesOf[t.a+1]; i++ {
			a0, a1 := f.nodes[i].at(ca, t.mid)
			for j := f.nodesOf[t.b]; j < f.nodesOf[t.b+1]; j++ {
				b0, b1 := f.nodes[j].at(cb, t.mid)
				z0, z1 := math.Max(a0, b0), math.Min(a1, b1)
				need := math.Min(f.gap, math.Min(a1-a0, b1-b0))
				if z1-z0 < need-1e-9 || z1-z0 < 1e-6 {
					continue
				}
				if a, b := f.nodes[i].class, f.nodes[j].class; a == b && (a == classVoid || a == classSoffit) {
					f.joined.join(i, j)
					continue
				}
				f.links = append(roomFor(f.links, 0, int(t.a), len(f.cells), 1), link{a: i, b: j, length: t.length, mid: t.mid, z0: z0, z1: z1})
			}
		}
	})
	f.buf.nodes, f.buf.links, f.buf.stacks, f.buf.joined = f.nodes, f.links, f.stacks, f.joined
}

// zonesAt returns the zones over a cell; other cells may share the list.
func (f *field) zonesAt(ci int32) []zone { return f.buf.zones.at(f.zones[ci]) }

// setZones gives a cell its zones.
func (f *field) setZones(ci int32, zones []zone) { f.zones[ci] = f.buf.zones.keep(zones) }

// nodeAt returns the node at a point of the frame, the nearest in height within 0.1 m, or -1.
func (f *field) nodeAt(q geom.Vec3) int32 {
	ci := f.at(q.X, q.Y)
	if ci < 0 {
		return -1
	}
	best, bd := int32(-1), 0.1
	for i := f.nodesOf[ci]; i < f.nodesOf[ci+1]; i++ {
		z0, z1 := f.nodes[i].at(&f.cells[ci], geom.Vec2{X: q.X, Y: q.Y})
		d := math.Max(0, math.Max(z0-q.Z, q.Z-z1))
		if d < bd {
			best, bd = i, d
		}
	}
	return best
}

// union is a disjoint-set forest whose roots are the lowest members, so that results do not
// depend on the order of joining.
type union []int32

func newUnion(n int) union { return make(union, n).reset() }

// reset parts all members.
func (u union) reset() union {
	for i := range u {
		u[i] = int32(i)
	}
	return u
}

func (u union) find(x int32) int32 {
	for u[x] != x {
		u[x] = u[u[x]]
		x = u[x]
	}
	return x
}

func (u union) join(a, b int32) {
	a, b = u.find(a), u.find(b)
	switch {
	case a < b:
		u[b] = a
	case b < a:
		u[a] = b
	}
}
