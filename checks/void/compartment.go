package void

import (
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

// group collects the nodes of each class that are joined, makes compartments of them and
// voids of the compartments.
func (h *horizontal) compartments() {
	// Nodes of one cell that only framing parts (over and under a strongback, a pipe, a
	// chord) are joined through their neighbours; nothing to do here.
	comps := map[int32]*compCells{}
	var order []*compCells
	var c *compCells
	for i := range h.nodes {
		n := &h.nodes[i]
		if n.class != classVoid && n.class != classSoffit {
			continue
		}
		if r := h.joined.find(int32(i)); c == nil || c.root != r {
			if c = comps[r]; c == nil {
				c = &compCells{h: h, class: n.class, root: r}
				comps[r] = c
				order = append(order, c)
			}
		}
		if k := len(c.cells); k == 0 || c.cells[k-1] != n.cell {
			c.cells = append(c.cells, n.cell)
		}
		c.nodes = append(c.nodes, int32(i))
	}
	open := h.openAtLine()
	inPieces(h.cores, len(order), func(_, from, to int) {
		for k, c := range order[from:to] {
			if c.plainArea() < minCompartment || c.outside() || c.inWall() || !open[c.root] && c.slit() {
				order[from+k] = nil // no compartment
			}
		}
	})
	list := slices.DeleteFunc(order, func(c *compCells) bool { return c == nil })
	cellComp := h.owners(list)
	h.fillFraming(list, cellComp)
	h.zoneUF = h.zoneUnion()
	inPieces(h.cores, len(list), func(_, from, to int) {
		for _, c := range list[from:to] {
			c.measure()
		}
	})
	h.list = list
	h.voids(list)
	h.openings(list)
}

// minCompartment is the plan area below which a pocket between parts is not a compartment,
// square metres.
const minCompartment = 0.05

// minWidth is the mean width below which a pocket is not a compartment, metres.
const minWidth = 0.06

// compCells are the cells of one compartment while it is put together.
type compCells struct {
	h           *horizontal
	class       class
	root        int32
	nodes       []int32
	cells       []int32
	out         *Compartment
	zlo         float64
	zhi         float64
	assumedArea float64
}

func (c *compCells) plainArea() float64 {
	a := 0.0
	for _, ci := range c.cells {
		a += c.h.cells[ci].area
	}
	return a
}

// outside reports whether a compartment lies beyond the ceilings and the framing, where a
// deck or roof only overhangs: framing takes more than a twentieth of any real void's plan,
// while a member that pokes through a rim takes next to nothing. A bay between joists holds
// no framing itself: under or over a room it lies inside.
func (c *compCells) outside() bool {
	assumed, framed, housed := 0.0, 0.0, 0.0
	for _, ci := range c.cells {
		cl := &c.h.cells[ci]
		if c.h.assumed[ci] {
			assumed += cl.area
		}
		for e := range c.h.column(cl) {
			if e.role == RoleChord || e.role == RoleWeb || e.role == RoleJoist || e.role == RoleRafter || e.role == RoleFraming {
				framed += cl.area
				break
			}
		}
		for e := range c.h.column(cl) {
			if e.role == roleRoom && (e.z0 < c.h.level.zlo-0.1 || c.h.level.kind == KindFloor) {
				housed += cl.area
				break
			}
		}
	}
	a := c.plainArea()
	return assumed > 0.9*a && framed < 0.05*a && housed < 0.5*a
}

// inWall reports whether a compartment of an attic is the inside of a wall that goes on into
// it, boarded on both sides.
func (c *compCells) inWall() bool {
	if c.h.level.kind != KindAttic {
		return false
	}
	for _, ci := range c.cells {
		if c.h.wallOf[ci] < 0 {
			return false
		}
	}
	return true
}

// openAtLine returns the groups of nodes that a unit line does not close: even a slit between
// two joists is a way for fire there.
func (h *horizontal) openAtLine() map[int32]bool {
	out := map[int32]bool{}
	for _, l := range h.links {
		a, b := l.a, l.b
		if h.nodes[a].class != classBand {
			a, b = b, a
		}
		if h.nodes[a].class == classBand && h.nodes[b].class == classVoid && h.lines[h.nodes[a].ref].Kind == LineSeparation {
			out[h.joined.find(b)] = true
		}
	}
	return out
}

// slit reports whether a compartment is narrower than minWidth all along: what is left
// beside the web of an edge joist, or between a member and the rim it stands against.
func (c *compCells) slit() bool {
	area, perimeter := 0.0, 0.0
	for _, r := range c.h.outline(c.cells) {
		area += ringArea(r)
		for i := range r {
			perimeter += r[(i+1)%len(r)].Sub(r[i]).Len()
		}
	}
	return 2*area < minWidth*perimeter
}

// owners maps each cell to the compartment that holds it (the largest when several), or -1.
func (h *horizontal) owners(list []*compCells) []int32 {
	own := make([]int32, len(h.cells))
	for i := range own {
		own[i] = -1
	}
	areas := make([]float64, len(list))
	for k, c := range list {
		areas[k] = c.plainArea()
		for _, ni := range c.nodes {
			h.nodes[ni].comp = int32(k)
		}
		for _, ci := range c.cells {
			if o := own[ci]; o < 0 || areas[o] < areas[k] {
				own[ci] = int32(k)
			}
		}
	}
	return own
}

// fillFraming adds to a compartment the cells where framing, a pipe or a chimney stands
// inside it: with the compartment on both sides, along u or along v; or, for a truss's own
// members, with the compartment beside them and only a rim or wall face otherwise.
func (h *horizontal) fillFraming(list []*compCells, own []int32) {
	inside := make([]bool, len(h.cells)) // blocked by framing alone, within a void's zone
	truss := make([]bool, len(h.cells))
	stop := make([]bool, len(h.cells)) // blocked by a block
	for i := range h.cells {
		z := h.voidZone(int32(i))
		if own[i] >= 0 || z == nil {
			continue
		}
		c := &h.cells[i]
		ok, tr := true, true
		some := h.width(c) < h.gap || c.height() < h.gap // a clearance counts as the joint it is
		for e := range h.column(&h.cells[i]) {
			if !e.role.closes() || e.z1 < z.z0+0.005 || e.z0 > z.z1-0.005 {
				continue
			}
			some = true
			ok = ok && e.role.isFraming()
			tr = tr && (e.role == RoleWeb || e.role == RoleChord)
			stop[i] = stop[i] || e.role == RoleBlock
		}
		inside[i], truss[i] = ok && some, tr
	}
	// walk returns the compartment met in a direction or -1, whether a stop ended the walk,
	// and how far it went through framing.
	walk := func(ci int32, d int, step stepper) (comp int32, atStop bool, run float64) {
		at := geom.Vec2{X: h.cells[ci].cu, Y: h.cells[ci].cv}
		for n := 0; n < 4000; n++ {
			next, w := step(ci, at, d)
			if next < 0 {
				return -1, false, run
			}
			if own[next] >= 0 {
				return own[next], false, run
			}
			if !inside[next] {
				return -1, stop[next] || h.voidZone(next) == nil && h.bandZone(next) != nil, run
			}
			ci = next
			run += w
		}
		return -1, false, run
	}
	for i := range h.cells {
		if !inside[i] {
			continue
		}
		ci := int32(i)
		into, one := int32(-1), truss[i]
		var across [2]float64 // extent of the framing through this cell along u and v
		var ends [2][2]int32
		var stops [2][2]bool
		for k, step := range []stepper{h.stepU, h.stepV} {
			var r0, r1 float64
			ends[k][0], stops[k][0], r0 = walk(ci, -1, step)
			ends[k][1], stops[k][1], r1 = walk(ci, 1, step)
			across[k] = r0 + r1
		}
		across[0] += h.width(&h.cells[i])
		across[1] += h.cells[i].height()
		for k := range ends {
			a, b, sa, sb := ends[k][0], ends[k][1], stops[k][0], stops[k][1]
			// Along its length a member always runs out into the void at its ends; what
			// matters is what lies on the two sides across it.
			if a >= 0 && a == b && across[k] <= 5*across[1-k] {
				into, one = a, false
				break
			}
			one = one && !sa && !sb
			for _, k := range []int32{a, b} {
				switch {
				case k < 0:
				case into < 0:
					into = k
				case into != k:
					one = false
				}
			}
			if !one {
				into = -1
			}
		}
		if into >= 0 {
			list[into].cells = append(list[into].cells, ci)
		}
	}
}

// voidZone returns the floor or attic zone over a cell, or nil; band zones do not count.
func (h *horizontal) voidZone(ci int32) *zone {
	for k := range h.zonesAt(ci) {
		if z := &h.zonesAt(ci)[k]; z.class == classVoid {
			return z
		}
	}
	return nil
}

// zoneUnion joins the cells of one void: its stops and its framing divide it into
// compartments, but walls, separations and membranes end it.
func (h *horizontal) zoneUnion() union {
	part := make([]bool, len(h.cells))
	for i := range h.cells {
		for _, z := range h.zonesAt(int32(i)) {
			if z.class != classVoid && (z.class != classBand || h.lines[z.ref].Kind != LineDraftstop) {
				continue
			}
			part[i] = true
			for e := range h.column(&h.cells[i]) {
				if e.z1 > z.z0+0.005 && e.z0 < z.z1-0.005 && e.z1-e.z0 > (z.z1-z.z0)/2 &&
					(e.role == RoleFinish || e.role == RoleSolid) {
					part[i] = false
				}
			}
		}
	}
	uf := newUnion(len(h.cells))
	h.touches(func(t touch) {
		if part[t.a] && part[t.b] {
			uf.join(t.a, t.b)
		}
	})
	return uf
}

// measure works out area, volume, height, outline and a point well inside.
func (c *compCells) measure() {
	h := c.h
	o := &Compartment{}
	c.out = o
	c.zlo, c.zhi = math.Inf(1), math.Inf(-1)
	slices.Sort(c.cells)
	best := 0.0
	sx, sy := 0.0, 0.0
	for _, ci := range c.cells {
		cl := &h.cells[ci]
		o.AreaM2 += cl.area
		sx += cl.cu * cl.area
		sy += cl.cv * cl.area
		z := c.zoneOf(ci)
		if z == nil {
			continue
		}
		o.VolumeM3 += cl.area * (z.z1 - z.z0)
		if h.assumed[ci] {
			c.assumedArea += cl.area
		}
		c.zlo, c.zhi = math.Min(c.zlo, z.z0), math.Max(c.zhi, z.z1)
		for _, p := range h.corners(cl) {
			a, b := z.at(cl, p)
			o.HeightMaxM = math.Max(o.HeightMaxM, b-a)
			c.zhi = math.Max(c.zhi, b)
		}
	}
	o.ZLo, o.ZHi = c.zlo, c.zhi
	o.Outline = h.outline(c.cells)
	// The inner point: the middle of the cell that is widest, nearest the centroid.
	g := geom.Vec2{X: sx / o.AreaM2, Y: sy / o.AreaM2}
	for _, ni := range c.nodes {
		n := &h.nodes[ni]
		cl := &h.cells[n.cell]
		d := geom.Vec2{X: cl.cu, Y: cl.cv}.Sub(g).Len()
		score := math.Min(math.Min(h.width(cl), cl.height()), 0.3) / (0.3 + 0.1*d)
		if score > best+1e-9 {
			best = score
			p := h.f.out(geom.Vec2{X: cl.cu, Y: cl.cv})
			o.Point = geom.Vec3{X: p.X, Y: p.Y, Z: (n.z0 + n.z1) / 2}
		}
	}
}

func (c *compCells) zoneOf(ci int32) *zone {
	for k := range c.h.zonesAt(ci) {
		if z := &c.h.zonesAt(ci)[k]; z.class == c.class {
			return z
		}
	}
	return nil
}

func (h *horizontal) corners(c *cell) [4]geom.Vec2 {
	u0, u1 := h.us[c.slab], h.us[c.slab+1]
	return [4]geom.Vec2{{X: u0, Y: c.lo0}, {X: u1, Y: c.lo1}, {X: u1, Y: c.hi1}, {X: u0, Y: c.hi0}}
}

// voids groups compartments into voids and works out what each void is.
func (h *horizontal) voids(list []*compCells) {
	byRoot := map[[2]int32][]*compCells{}
	var order [][2]int32
	for _, c := range list {
		k := [2]int32{int32(c.class), h.zoneUF.find(c.cells[0])}
		for _, ci := range c.cells { // a filled cell may stand apart; take a cell of the zone
			if z := c.zoneOf(ci); z != nil {
				k[1] = h.zoneUF.find(ci)
				break
			}
		}
		if c.class == classSoffit {
			k[1] = c.root
		}
		if byRoot[k] == nil {
			order = append(order, k)
		}
		byRoot[k] = append(byRoot[k], c)
	}
	for _, k := range order {
		h.s.addVoid(h, byRoot[k])
	}
}
