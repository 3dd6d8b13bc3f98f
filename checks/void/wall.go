package void

import (
	"math"
	"slices"
	"sort"

	"voidcheck/ifcx/geom"
)

// stack is one or several walls that stand on one another, as a field of their own: u along
// the wall, v across it. Within it each wall's cavity is a zone; where a gap between stud
// rows runs on through the floor, the zones of the two walls meet at a cut plane.
//
// Its field takes far more memory than what comes of it. So it is made late, when the levels
// have told which places in the cavity they open to, and dropped when those are looked up.
type stack struct {
	field
	s     *solver
	area  geom.Box             // of the walls, in the frame of the stack
	walls []int                // ascending Z0
	cuts  map[[2]int][]float64 // by lower and upper wall: planes between their zones, ascending
	mids  []midZone            // zones between two planes; see wallOf
	ended map[int][][2]Span    // by wall: what lies outdoors; see outdoorEnds
	uf    union
	comps map[int32]*wallComp
	order []int32
	ends  []*end // of the openings of levels that lead into its walls

	found    []found
	cavities []*WallCavity
	unknown  []int // walls whose gap may or may not be closed above them
	bare     []int // walls whose cavity ends under nothing
}

// wallComp is one compartment of a wall cavity.
type wallComp struct {
	wall     int
	nodes    []int32
	zlo, zhi float64
	s0, s1   float64
	area     float64
	volume   float64
	out      *Compartment
}

// main reports whether the compartment is part of the wall itself rather than a pocket in
// the depth of a floor. direct says that the wall stands right on another: there is no floor
// between them, and what is low over the plates, as under eaves, is its own.
func (c *wallComp) main(w *Wall, direct bool) bool {
	const deep, low = 0.3, 0.05
	above := deep
	if direct {
		above = low
	}
	return c.zlo < w.lowTop()-deep && c.zhi > w.highFoot()+above || direct && c.zlo > w.Z0-low && c.zhi > w.Z0+low
}

// direct reports whether a wall of the stack stands on another with no floor between.
func (st *stack) direct(wall int) bool {
	for _, i := range st.walls {
		if i != wall && math.Abs(st.s.in.Walls[i].Z1-st.s.in.Walls[wall].Z0) < 0.1 {
			return true
		}
	}
	return false
}

// runsThrough reports whether studs of one framed wall pass on into the one that stands on it:
// balloon framing, which no plate closes. studs are the heights of studs by element.
func runsThrough(lo, hi *Wall, studs map[int]Span) bool {
	const past = 0.3 // a stud that ends so near the floor does not run on, metres
	return math.Abs(hi.Z0-lo.Z1) < 0.05 && slices.ContainsFunc(lo.Elements, func(e int) bool {
		z, ok := studs[e]
		return ok && z.Lo < lo.Z1-past && z.Hi > hi.Z0+past && containsInt(hi.Elements, e)
	})
}

// tallStuds returns the heights of the studs that may pass a floor, by element.
func (s *solver) tallStuds() map[int]Span {
	const storey = 2.6 // metres
	out := map[int]Span{}
	for i := range s.in.Parts {
		if b := s.boxes[i]; s.in.Parts[i].Role == RoleStud && b.Max.Z-b.Min.Z > storey {
			out[s.in.Parts[i].Element] = Span{b.Min.Z, b.Max.Z}
		}
	}
	return out
}

// stacks groups walls that stand on one another.
func (s *solver) findStacks() {
	n := len(s.in.Walls)
	s.stackAbove = make([]bool, n)
	s.sep = make([]int, n)
	for i := range s.in.Walls {
		s.sep[i] = s.in.Walls[i].Separation
	}
	uf := newUnion(n)
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return s.in.Walls[order[a]].Z0 < s.in.Walls[order[b]].Z0 })
	boxes := make([]geom.Box, n)
	for x, i := range order {
		boxes[x] = geom.EmptyBox()
		w := &s.in.Walls[i]
		for _, p := range w.corners(0, w.Length, w.Across.Lo, w.Across.Hi) {
			boxes[x] = boxes[x].Extend(geom.Vec3{X: p.X, Y: p.Y})
		}
		boxes[x] = boxes[x].Grow(0.1 + 0.01*w.Length) // a little askew they are still in line
	}
	index := geom.NewBoxIndex(boxes)
	studs := s.tallStuds()
	for x, i := range order {
		lo := &s.in.Walls[i]
		for _, y := range index.In(boxes[x]) {
			if y <= x {
				continue
			}
			j := order[y]
			hi := &s.in.Walls[j]
			if d := hi.standsOn(lo); d < -0.1 || d > 1.2 || math.Abs(lo.Dir.Cross(hi.Dir)) > 0.01 {
				continue
			}
			p := hi.At(hi.Length/2, (hi.Across.Lo+hi.Across.Hi)/2).Sub(lo.Origin)
			sMid, t := p.Dot(lo.Dir), lo.Dir.Cross(p)
			if math.Abs(t-(lo.Across.Lo+lo.Across.Hi)/2) > 0.08 {
				continue
			}
			over := math.Min(sMid+hi.Length/2, lo.Length) - math.Max(sMid-hi.Length/2, 0)
			if over < 0.3*math.Min(lo.Length, hi.Length) {
				continue
			}
			s.stackAbove[i] = true
			if s.sep[j] < 0 { // the part of a separation in the attic has no rooms to tell it by
				s.sep[j] = s.sep[i]
			}
			if len(lo.Gaps) > 0 || !lo.Framed || s.sep[i] >= 0 || runsThrough(lo, hi, studs) {
				uf.join(int32(i), int32(j))
			}
		}
	}
	groups := map[int32][]int{}
	var roots []int32
	for _, i := range order {
		r := uf.find(int32(i))
		if groups[r] == nil {
			roots = append(roots, r)
		}
		groups[r] = append(groups[r], i)
	}
	s.stackOf = make([]*stack, n)
	var p placer
	for _, r := range roots {
		if st := s.newStack(groups[r]); st != nil {
			for _, i := range groups[r] {
				s.stackOf[i] = st
			}
			s.stacks = append(s.stacks, st)
			s.planes = append(s.planes, st.stopPlanes(&p)...)
			st.solids = nil
			p.reset()
		}
	}
	sort.SliceStable(s.planes, func(a, b int) bool { return s.planes[a].z < s.planes[b].z })
}

func (s *solver) newStack(walls []int) *stack {
	base := &s.in.Walls[walls[0]]
	for _, i := range walls {
		if s.in.Walls[i].Length > base.Length {
			base = &s.in.Walls[i]
		}
	}
	st := &stack{s: s, walls: walls, cuts: map[[2]int][]float64{}, ended: map[int][][2]Span{}}
	st.f = frame{o: base.Origin, dir: base.Dir}
	st.gap, st.zlo, st.zhi, st.cores = s.gap, math.Inf(1), math.Inf(-1), 1
	area := geom.EmptyBox()
	cavity := false
	for _, i := range walls {
		w := &s.in.Walls[i]
		cavity = cavity || len(w.Cavities) > 0
		st.zlo, st.zhi = math.Min(st.zlo, w.Z0-0.05), math.Max(st.zhi, w.Z1+0.1)
		for _, p := range w.corners(0, w.Length, w.Across.Lo, w.Across.Hi) {
			q := st.f.in(p)
			area = area.Extend(geom.Vec3{X: q.X, Y: q.Y, Z: w.Z0}).Extend(geom.Vec3{X: q.X, Y: q.Y, Z: w.Z1})
		}
	}
	if !cavity || area.IsEmpty() {
		return nil
	}
	st.area = area
	return st
}

// placeSolids finds the solids of a stack: those of a role that is wanted.
func (st *stack) placeSolids(p *placer, want func(Role) bool) {
	s := st.s
	p.f = st.f
	grown := st.area.Grow(0.005)
	for _, i := range s.near(st.area, st.f) {
		if part := &s.in.Parts[i]; want(part.Role) {
			if sd := p.place(part, i, &grown); sd != nil {
				st.solids = append(st.solids, sd)
			}
		}
	}
}

// solve works out the compartments of a stack, once the stops of all stacks are known.
func (st *stack) solve(buf *scratch) {
	st.placeSolids(&buf.placer, func(r Role) bool { return r != RoleInsulation })
	st.impliedStuds(&buf.placer)
	s := st.s
	edges := buf.edges[:0]
	for _, sd := range st.solids {
		own := len(edges)
		edges = sd.appendEdges(edges)
		in := edges[:own]
		for _, e := range edges[own:] {
			if e, ok := clip(e, st.area.Min.Plan(), st.area.Max.Plan()); ok {
				in = append(in, e)
			}
		}
		edges = in
	}
	for _, i := range st.walls {
		w := &s.in.Walls[i]
		for _, t := range append(append([]Span{w.Across}, w.Cavities...), w.Gaps...) {
			edges = append(edges, rectEdges(st.f, w.corners(0, w.Length, t.Lo, t.Hi))...)
		}
		st.ended[i] = st.outdoorEnds(w)
		for _, e := range st.ended[i] {
			edges = append(edges, rectEdges(st.f, w.corners(e[0].Lo, e[0].Hi, e[1].Lo, e[1].Hi))...)
		}
	}
	buf.edges = edges
	st.plan = newPlan(st.cores, nil, edges, st.gap, buf)
	if st.plan.tooFine {
		st.s.noteTooFine("wall", st.s.in.Walls[st.walls[0]].Z0, st.s.in.Walls[st.walls[len(st.walls)-1]].Z1)
	}
	st.fill(st.cores, st.solids, nil)
	st.assign()
	st.build()
	st.compartments()
}

// clip cuts a plan edge to a rectangle; edges that only touch it are dropped.
func clip(e [2]geom.Vec2, lo, hi geom.Vec2) ([2]geom.Vec2, bool) {
	a, b := e[0], e[1]
	t0, t1 := 0.0, 1.0
	d := b.Sub(a)
	for _, c := range [4][2]float64{{-d.X, a.X - lo.X}, {d.X, hi.X - a.X}, {-d.Y, a.Y - lo.Y}, {d.Y, hi.Y - a.Y}} {
		switch {
		case math.Abs(c[0]) < 1e-12:
			if c[1] < -1e-9 {
				return e, false
			}
		case c[0] < 0:
			t0 = math.Max(t0, c[1]/c[0])
		default:
			t1 = math.Min(t1, c[1]/c[0])
		}
	}
	if t1 < t0 {
		return e, false
	}
	return [2]geom.Vec2{a.Add(d.Mul(t0)), a.Add(d.Mul(t1))}, true
}

// near returns the parts whose bounds meet a box given in a frame.
func (s *solver) near(b geom.Box, f frame) []int {
	w := geom.EmptyBox()
	for _, p := range []geom.Vec2{{X: b.Min.X, Y: b.Min.Y}, {X: b.Max.X, Y: b.Min.Y}, {X: b.Max.X, Y: b.Max.Y}, {X: b.Min.X, Y: b.Max.Y}} {
		q := s.f.in(f.out(p))
		w = w.Extend(geom.Vec3{X: q.X, Y: q.Y, Z: b.Min.Z}).Extend(geom.Vec3{X: q.X, Y: q.Y, Z: b.Max.Z})
	}
	return s.index.In(w.Grow(0.01))
}

// assign gives the cells of a stack their zones, one for each wall.
func (st *stack) assign() {
	st.zones = sized(st.buf.zonesOf, len(st.cells))
	st.buf.zonesOf = st.zones
	var own []zone
	for k, i := range st.walls {
		for _, j := range st.walls[k+1:] {
			st.cuts[[2]int{i, j}] = st.cutPlanes(&st.s.in.Walls[i], &st.s.in.Walls[j])
		}
	}
	for ci := range st.cells {
		c := &st.cells[ci]
		p := st.f.out(geom.Vec2{X: c.cu, Y: c.cv})
		prev := -1
		own = own[:0]
		for _, i := range st.walls {
			w := &st.s.in.Walls[i]
			d := p.Sub(w.Origin)
			s, t := d.Dot(w.Dir), w.Dir.Cross(d)
			if s < 0 || s > w.Length || !within(t, w.Cavities) || outdoors(st.ended[i], s, t) {
				continue
			}
			stands := w.Heights(t)
			z := zone{free{z0: stands.Lo, z1: stands.Hi}, classWall, false, int32(i)}
			for e := range st.column(c) { // a gable wall ends at the roof, which slopes
				if e.role == RoleRoof && e.z0 > w.Z0+0.05 && e.z0 < z.z1 {
					z.z1, z.g1 = e.z0, e.g0
				}
			}
			if z.z1-z.z0 < st.gap {
				continue
			}
			if prev >= 0 { // over the rows too: what is left behind the blocks is cavity
				cuts := st.cutsAt(prev, i, t)
				own[len(own)-1].z1 = cuts[0]
				z.z0 = cuts[len(cuts)-1]
				for k := 1; k < len(cuts); k++ {
					own = append(own, zone{free{z0: cuts[k-1], z1: cuts[k]}, classWall, false, st.mid(prev, i, cuts[k-1])})
				}
			}
			own = append(own, z)
			prev = i
		}
		st.setZones(int32(ci), own)
	}
}

// compartments joins the nodes of each wall; nodes of two storeys are joined only where the
// piece between is no part of either wall proper.
func (st *stack) compartments() {
	st.uf = newUnion(len(st.nodes))
	for _, l := range st.links {
		if st.nodes[l.a].ref == st.nodes[l.b].ref && st.passes(l) {
			st.uf.join(l.a, l.b)
		}
	}
	st.collect()
	changed := false
	for _, l := range st.field.stacks {
		a, b := st.comps[st.uf.find(l.a)], st.comps[st.uf.find(l.b)]
		if a != b && (!st.proper(l.a, a) || !st.proper(l.b, b)) {
			st.uf.join(l.a, l.b)
			changed = true
		}
	}
	if changed {
		st.collect()
	}
}

// proper reports whether a compartment is a storey's own at a node, or lies between the two
// planes of a floor; else it is only a pocket above or below the plane.
func (st *stack) proper(n int32, c *wallComp) bool {
	ref := st.nodes[n].ref
	return int(ref) >= len(st.s.in.Walls) || c.main(&st.s.in.Walls[ref], st.direct(int(ref)))
}

func (st *stack) collect() {
	st.comps = map[int32]*wallComp{}
	st.order = nil
	vol := map[int32]map[int]float64{}
	for i := range st.nodes {
		n := &st.nodes[i]
		r := st.uf.find(int32(i))
		c := st.comps[r]
		if c == nil {
			c = &wallComp{zlo: math.Inf(1), zhi: math.Inf(-1), s0: math.Inf(1), s1: math.Inf(-1)}
			st.comps[r] = c
			st.order = append(st.order, r)
			vol[r] = map[int]float64{}
		}
		cl := &st.cells[n.cell]
		if k := len(c.nodes); k == 0 || st.nodes[c.nodes[k-1]].cell != n.cell {
			c.area += cl.area
		}
		c.nodes = append(c.nodes, int32(i))
		c.zlo, c.zhi = math.Min(c.zlo, n.z0), math.Max(c.zhi, n.z1)
		c.s0, c.s1 = math.Min(c.s0, st.us[cl.slab]), math.Max(c.s1, st.us[cl.slab+1])
		v := cl.area * (n.z1 - n.z0)
		c.volume += v
		vol[r][st.wallOf(n.ref)] += v
	}
	for _, r := range st.order {
		c := st.comps[r]
		best := -1.0
		for _, i := range st.walls {
			if v := vol[r][i]; v > best {
				best, c.wall = v, i
			}
		}
	}
}
