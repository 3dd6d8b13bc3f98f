package void

import (
	"math"
	"slices"
	"sort"
	"sync"

	"voidcheck/ifcx/geom"
)

// wallVoids makes the voids of all walls with a cavity.
func (s *solver) wallVoids() {
	s.wallVoid = make([]*Void, len(s.in.Walls))
	for i := range s.in.Walls {
		w := &s.in.Walls[i]
		st := s.stackOf[i]
		if st == nil || len(w.Cavities) == 0 || w.Kind == WallSolid {
			continue
		}
		across := 0.0
		for _, c := range w.Cavities {
			across += c.Hi - c.Lo
		}
		v := &Void{Kind: KindWall, Storey: w.Storey, Framing: FramingStud, Wall: i, ZLo: w.Z0, ZHi: w.Z1,
			AreaM2: across * w.Length, HeightMaxM: w.Z1 - w.Z0, Layered: !w.Framed, Combustible: w.Combustible}
		v.VolumeM3 = v.AreaM2 * v.HeightMaxM
		if s.sep[i] >= 0 {
			for _, u := range s.in.Separations[s.sep[i]].Units {
				if u >= 0 && !containsInt(v.Units, u) {
					v.Units = append(v.Units, u)
				}
			}
			sort.Ints(v.Units)
		}
		s.wallVoid[i] = v
		s.res.Voids = append(s.res.Voids, v)
	}
}

// cavities works out the insides of all walls and looks up the ends of the openings that the
// levels found to lead there.
func (s *solver) cavities() {
	for k := range s.found {
		for _, e := range []*end{&s.found[k].a, &s.found[k].b} {
			if e.comp == nil && e.wall >= 0 {
				if st := s.stackOf[e.wall]; st != nil {
					st.ends = append(st.ends, e)
				}
			}
		}
	}
	next := make(chan *stack)
	var wg sync.WaitGroup
	for range s.cores {
		wg.Go(func() {
			var buf scratch
			for st := range next {
				st.run(&buf)
			}
		})
	}
	for _, st := range s.stacks {
		next <- st
	}
	close(next)
	wg.Wait()
	ofLevels := s.found
	s.found = nil
	for _, st := range s.stacks {
		s.found = append(s.found, st.found...)
		s.res.Cavities = append(s.res.Cavities, st.cavities...)
		for _, w := range st.unknown {
			s.unknown[w] = true
		}
		for _, w := range st.bare {
			s.bare[w] = true
		}
		st.found, st.cavities = nil, nil
	}
	s.found = append(s.found, ofLevels...)
}

// run works out the inside of the walls of a stack. Compartments of ordinary single-stud
// walls are made only when an opening needs them: a house has hundreds of closed bays.
func (st *stack) run(buf *scratch) {
	s := st.s
	buf.reset()
	st.solve(buf)
	for _, i := range st.walls {
		if w := &s.in.Walls[i]; s.wallVoid[i] != nil && (s.sep[i] >= 0 || len(w.Gaps) > 0) {
			for _, r := range st.order {
				if c := st.comps[r]; c.wall == i {
					s.wallCompartment(st, c)
				}
			}
		}
	}
	st.levelOpenings()
	for _, i := range st.walls {
		if s.wallVoid[i] != nil {
			st.cavity(i)
		}
	}
	for _, e := range st.ends {
		c, w := st.compAt(e.at)
		for i := 0; c == nil && i < len(e.more); i++ {
			c, w = st.compAt(e.more[i].p)
		}
		if s.sep[e.wall] >= 0 {
			e.parts = st.partsAt(e.more)
		}
		e.comp, e.pocket = c, w != nil && !w.main(&s.in.Walls[w.wall], st.direct(w.wall))
	}
	st.field, st.uf, st.comps, st.order, st.ends = field{}, nil, nil, nil, nil
}

// wallCompartment returns the compartment of a cavity, made on first use.
func (s *solver) wallCompartment(st *stack, c *wallComp) *Compartment {
	if c.out != nil {
		return c.out
	}
	v := s.wallVoid[c.wall]
	if v == nil {
		return nil
	}
	o := &Compartment{Void: v, AreaM2: c.area, VolumeM3: c.volume, HeightMaxM: c.zhi - c.zlo, ZLo: c.zlo, ZHi: c.zhi}
	best := 0.0
	for _, ni := range c.nodes {
		n := &st.nodes[ni]
		cl := &st.cells[n.cell]
		if a := cl.area * (n.z1 - n.z0); a > best*(1+1e-9) {
			best = a
			p := st.f.out(geom.Vec2{X: cl.cu, Y: cl.cv})
			o.Point = geom.Vec3{X: p.X, Y: p.Y, Z: (n.z0 + n.z1) / 2}
		}
	}
	cells := make([]int32, 0, len(c.nodes))
	for _, ni := range c.nodes {
		cells = append(cells, st.nodes[ni].cell)
	}
	cells = slices.Compact(cells)
	o.Outline = st.outline(cells)
	c.out = o
	v.Compartments = append(v.Compartments, o)
	return o
}

// compAt returns the wall compartment at a place, with its stack entry.
func (st *stack) compAt(p geom.Vec3) (*Compartment, *wallComp) {
	q := st.f.in(p.Plan())
	// A contact lies on the border of the cavity, or on the face of its missing board: look a
	// little to either side of it too.
	for _, d := range []geom.Vec2{{}, {Y: 0.002}, {Y: -0.002}, {X: 0.002}, {X: -0.002}, {Y: 0.01}, {Y: -0.01}, {Y: 0.02}, {Y: -0.02}, {Y: 0.035}, {Y: -0.035}} {
		ni := st.nodeAt(geom.Vec3{X: q.X + d.X, Y: q.Y + d.Y, Z: p.Z})
		if ni >= 0 {
			c := st.comps[st.uf.find(ni)]
			return st.s.wallCompartment(st, c), c
		}
	}
	return nil, nil
}

// levelOpenings finds where the cavity of one storey runs on into that of the next.
func (st *stack) levelOpenings() {
	s := st.s
	uf := newUnion(len(st.nodes))
	at := map[int32]bool{}
	type across struct {
		slab, ref int32
		gap       bool
	}
	open := map[across]float64{} // how far across the wall a level is open at a place along it
	where := func(i int32) across {
		return across{st.cells[st.nodes[i].cell].slab, st.nodes[i].ref, st.inGap(i)}
	}
	for _, l := range st.field.stacks {
		if st.uf.find(l.a) != st.uf.find(l.b) {
			at[l.a] = true
			open[where(l.a)] += st.cells[st.nodes[l.a].cell].height()
		}
	}
	for i := range at { // what is left beside a block is no part of the opening where it ends
		if open[where(i)] < s.gap-openTol {
			delete(at, i)
		}
	}
	for _, l := range st.links {
		// A plate over a stud row and a block over the gap are two stops, each with its place.
		if at[l.a] && at[l.b] && st.inGap(l.a) == st.inGap(l.b) {
			uf.join(l.a, l.b)
		}
	}
	groups := map[int32][]link{}
	var order []int32
	for _, l := range st.field.stacks {
		if at[l.a] {
			r := uf.find(l.a)
			if groups[r] == nil {
				order = append(order, r)
			}
			groups[r] = append(groups[r], l)
		}
	}
	for _, r := range order {
		ls := groups[r]
		a, b := st.comps[st.uf.find(ls[0].a)], st.comps[st.uf.find(ls[0].b)]
		if s.wallVoid[a.wall] == nil || s.wallVoid[b.wall] == nil {
			continue
		}
		if a.zhi-a.zlo < s.gap || b.zhi-b.zlo < s.gap {
			continue // the joint of a plate with what stands on it, below or above the plane between two storeys
		}
		if st.plated(ls[0]) {
			continue
		}
		if lower, upper := st.wallOf(st.nodes[ls[0].a].ref), st.wallOf(st.nodes[ls[0].b].ref); lower != upper && s.untold(lower, upper) {
			// Plates are usual here, and a gap between stud rows is not closed by plates.
			// Nothing is modelled either way, unless blocks close the gap beside this place.
			switch {
			case len(s.in.Walls[lower].Gaps) == 0 || !st.inGap(ls[0].a):
				continue
			case !st.blocksNear(lower, ls[0].z0):
				st.unknown = append(st.unknown, lower)
				continue
			}
		}
		o := found{a: end{comp: s.wallCompartment(st, a), wall: -1}, b: end{comp: s.wallCompartment(st, b), wall: -1}}
		o.Kind, o.Service = OpenLevel, -1
		u0, u1, v0, v1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
		for _, l := range ls {
			c := &st.cells[st.nodes[l.a].cell]
			o.AreaM2 += c.area
			u0, u1 = math.Min(u0, st.us[c.slab]), math.Max(u1, st.us[c.slab+1])
			v0, v1 = math.Min(v0, math.Min(c.lo0, c.lo1)), math.Max(v1, math.Max(c.hi0, c.hi1))
		}
		o.WidthM = u1 - u0
		o.HeightM = o.AreaM2 / o.WidthM
		p := st.f.out(geom.Vec2{X: (u0 + u1) / 2, Y: (v0 + v1) / 2})
		o.Point = geom.Vec3{X: p.X, Y: p.Y, Z: ls[0].z0}
		if o.WidthM < s.gap-openTol || o.HeightM < s.gap-openTol {
			continue
		}
		o.fromWall = st.wallOf(st.nodes[ls[0].a].ref)
		if int(st.nodes[ls[0].a].ref) >= len(s.in.Walls) { // from the depth of a floor up
			o.fromWall, o.floorOf = -1, st.floorOf(st.nodes[ls[0].b].ref)
		}
		st.found = append(st.found, o)
	}
}

// inGap reports whether a node lies between the stud rows of its wall.
func (st *stack) inGap(i int32) bool {
	n := &st.nodes[i]
	w := &st.s.in.Walls[st.wallOf(n.ref)]
	c := &st.cells[n.cell]
	return within(w.Dir.Cross(st.f.out(geom.Vec2{X: c.cu, Y: c.cv}).Sub(w.Origin)), w.Gaps)
}

// untold reports whether layered walls leave it open what closes them where one ends and the
// other begins: two solids of their own, drawn storey by storey, or one solid that passes the
// top ceiling on its way to the roof. One that passes a floor is drawn open through it.
func (s *solver) untold(i, j int) bool {
	a, b := &s.in.Walls[i], &s.in.Walls[j]
	if a.Framed || b.Framed {
		return false
	}
	for _, z := range s.in.Levels {
		if math.Abs(z-b.Z0) < 0.35 {
			for _, e := range a.Elements {
				if containsInt(b.Elements, e) {
					return false
				}
			}
		}
	}
	return true
}

// cavity reports how one wall is closed along and up.
func (st *stack) cavity(i int) {
	s := st.s
	w := &s.in.Walls[i]
	wc := &WallCavity{Wall: i, Void: s.wallVoid[i]}
	uf := newUnion(len(st.nodes))
	inWall := func(z0, z1 float64) float64 { return math.Min(z1, w.Z1) - math.Max(z0, w.Z0) }
	for _, l := range st.links {
		if int(st.nodes[l.a].ref) == i && int(st.nodes[l.b].ref) == i && inWall(l.z0, l.z1) >= s.gap && st.passes(l) {
			uf.join(l.a, l.b)
		}
	}
	type run struct {
		WallRun
		gap bool
	}
	runs := map[int32]*run{}
	var order []int32
	for k := range st.nodes {
		n := &st.nodes[k]
		if int(n.ref) != i || inWall(n.z0, n.z1) <= 0 {
			continue
		}
		c := &st.cells[n.cell]
		r := uf.find(int32(k))
		if runs[r] == nil {
			runs[r] = &run{WallRun: WallRun{S0: math.Inf(1), S1: math.Inf(-1), Z0: math.Inf(1), Z1: math.Inf(-1)}}
			order = append(order, r)
		}
		d := st.f.out(geom.Vec2{X: c.cu, Y: c.cv}).Sub(w.Origin)
		x := runs[r]
		half := st.width(c) / 2
		x.S0, x.S1 = math.Min(x.S0, d.Dot(w.Dir)-half), math.Max(x.S1, d.Dot(w.Dir)+half)
		x.Z0, x.Z1 = math.Min(x.Z0, math.Max(n.z0, w.Z0)), math.Max(x.Z1, math.Min(n.z1, w.Z1))
		if len(w.Gaps) == 0 || within(w.Dir.Cross(d), w.Gaps) {
			x.gap = true
		}
	}
	for _, r := range order {
		x := runs[r]
		if x.Z1-x.Z0 < 0.3 || !x.gap {
			continue
		}
		x.LengthM = x.S1 - x.S0
		x.Elements = append(st.elementsAt(w, x.S0-0.004), st.elementsAt(w, x.S1+0.004)...)
		wc.Runs = append(wc.Runs, x.WallRun)
		wc.RiseMaxM = math.Max(wc.RiseMaxM, x.Z1-x.Z0)
	}
	sort.SliceStable(wc.Runs, func(a, b int) bool { return wc.Runs[a].S0 < wc.Runs[b].S0 })
	if st.bareTop(i) {
		st.bare = append(st.bare, i)
	}
	st.cavities = append(st.cavities, wc)
}

// elementsAt returns the stops that close a cavity at a place along it.
func (st *stack) elementsAt(w *Wall, at float64) []int {
	var out []int
	for _, t := range w.Gaps {
		q := st.f.in(w.At(at, (t.Lo+t.Hi)/2))
		ci := st.at(q.X, q.Y)
		if ci < 0 {
			continue
		}
		for e := range st.column(&st.cells[ci]) {
			id := st.s.in.Parts[st.solids[e.solid].part].Element
			if (e.role == RoleBlock || e.role == RoleDraftstop || e.role == RoleStud) && id >= 0 && !containsInt(out, id) && e.z1-e.z0 > 0.3 {
				out = append(out, id)
			}
		}
	}
	return out
}
