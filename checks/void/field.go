package void

import (
	"math"
	"slices"

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
	class  class
	plated bool  // plates that layers do not show close it below
	ref    int32 // line of a band, wall of a cavity
}

// node is a free interval within one zone.
type node struct {
	*zone // as far as it is free; shared by nodes that are alike
	cell  int32
	comp  int32 // compartment, -1
}

// tall reports whether a node is at least as high as the gap at its middle; others are what a
// border between zones leaves of a free interval.
func (n *node) tall(gap float64) bool { return n.z1-n.z0 >= gap }

// field is a plan with its columns, zones and nodes.
type field struct {
	*plan
	f       frame
	solids  []*solid
	gap     float64
	zlo     float64
	zhi     float64
	cores   int     // that may work on it at the same time
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

// build cuts the free intervals by the zones into nodes and links the nodes that touch.
func (f *field) build() {
	f.nodesOf = sized(f.buf.nodesOf, len(f.cells)+1)
	f.buf.makers = atLeast(f.buf.makers, f.cores)
	inPieces(f.cores, len(f.cells), func(k, from, to int) { f.buf.makers[k].nodes(f, from, to) })
	n, stacks := 0, 0
	for _, m := range f.buf.makers[:f.cores] {
		n, stacks = n+len(m.made), stacks+len(m.stacks)
	}
	f.nodes, f.stacks = slices.Grow(f.buf.nodes[:0], n), slices.Grow(f.buf.stacks[:0], stacks)
	for k := range f.buf.makers[:f.cores] {
		m, before := &f.buf.makers[k], int32(len(f.nodes))
		for ci := m.from; ci < m.to; ci++ {
			f.nodesOf[ci] += before
		}
		f.nodes = append(f.nodes, m.made...)
		for _, l := range m.stacks {
			l.a, l.b = l.a+before, l.b+before
			f.stacks = append(f.stacks, l)
		}
	}
	f.nodesOf[len(f.cells)] = int32(len(f.nodes))
	f.link()
	f.buf.nodesOf, f.buf.nodes, f.buf.stacks = f.nodesOf, f.nodes, f.stacks
}

// nodeMaker makes the nodes of some cells.
type nodeMaker struct {
	runs
	from, to int // cells
	open     []free
	zones    lists[zone] // of the nodes
	made     []node
	stacks   []link
}

// nodes makes the nodes of the cells from one number up to another, numbered from nought.
func (m *nodeMaker) nodes(f *field, from, to int) {
	m.field, m.from, m.to = f, from, to
	m.made, m.stacks = m.made[:0], m.stacks[:0]
	m.zones.reset()
	for i := from; i < to; i++ {
		first := int32(len(m.made))
		f.nodesOf[i] = first
		zones := f.zonesAt(int32(i))
		if len(zones) == 0 {
			continue
		}
		m.open = m.wide(m.open[:0], int32(i))
		for _, z := range zones {
			for _, iv := range m.open {
				n := zone{iv, z.class, false, z.ref}
				if z.z0 > n.z0 {
					n.z0, n.g0 = z.z0, z.g0
				}
				if z.z1 < n.z1 {
					n.z1, n.g1 = z.z1, z.g1
				}
				if n.z1-n.z0 < 1e-6 || n.z1-n.z0 < f.gap && (z.plated || iv.z1-iv.z0 < f.gap) {
					continue
				}
				k := int32(len(m.made))
				if k > first && math.Abs(m.made[k-1].z1-n.z0) < 1e-9 {
					m.stacks = append(m.stacks, link{a: k - 1, b: k, z0: n.z0, z1: n.z0,
						mid: geom.Vec2{X: f.cells[i].cu, Y: f.cells[i].cv}})
				}
				m.made = append(roomFor(m.made, i-from, to-from, 1), node{m.zones.one(n), int32(i), -1})
			}
		}
	}
}

// link links the nodes of cells that share an edge.
func (f *field) link() {
	f.links = f.buf.links[:0]
	f.joined = union(sized(f.buf.joined, len(f.nodes))).reset()
	f.touches(func(t touch) {
		ca, cb := &f.cells[t.a], &f.cells[t.b]
		for i := f.nodesOf[t.a]; i < f.nodesOf[t.a+1]; i++ {
			a0, a1 := f.nodes[i].at(ca, t.mid)
			for j := f.nodesOf[t.b]; j < f.nodesOf[t.b+1]; j++ {
				b0, b1 := f.nodes[j].at(cb, t.mid)
				z0, z1 := math.Max(a0, b0), math.Min(a1, b1)
				need := math.Min(f.gap, math.Min(a1-a0, b1-b0))
				if f.nodes[i].tall(f.gap) && f.nodes[j].tall(f.gap) {
					need = f.gap // where a wedge runs out it leads nowhere
				}
				if z1-z0 < need-1e-9 || z1-z0 < 1e-6 {
					continue
				}
				if a, b := f.nodes[i].class, f.nodes[j].class; a == b && (a == classVoid || a == classSoffit) {
					f.joined.join(i, j)
					continue
				}
				f.links = append(roomFor(f.links, int(t.a), len(f.cells), 1), link{a: i, b: j, length: t.length, mid: t.mid, z0: z0, z1: z1})
			}
		}
	})
	f.buf.links, f.buf.joined = f.links, f.joined
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
