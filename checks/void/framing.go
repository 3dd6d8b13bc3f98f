package void

import (
	"math"
	"sort"

	"voidcheck/ifcx/geom"
)

// addVoid makes a Void of the compartments that share a zone.
func (s *solver) addVoid(h *horizontal, cs []*compCells) {
	v := &Void{Kind: h.level.kind, Storey: h.level.storey, Wall: -1, ZLo: math.Inf(1), ZHi: math.Inf(-1), Combustible: true}
	if cs[0].class == classSoffit {
		v.Kind = KindSoffit
	}
	assumed := 0.0
	var units unitAreas
	above, below, rooms := 0.0, 0.0, false
	var cells []int32
	for _, c := range cs {
		o := c.out
		o.Void = v
		v.Compartments = append(v.Compartments, o)
		v.AreaM2 += o.AreaM2
		v.VolumeM3 += o.VolumeM3
		v.HeightMaxM = math.Max(v.HeightMaxM, o.HeightMaxM)
		v.ZLo, v.ZHi = math.Min(v.ZLo, c.zlo), math.Max(v.ZHi, c.zhi)
		assumed += c.assumedArea
		cells = append(cells, c.cells...)
		var own unitAreas
		var over layers
		for _, ci := range c.cells {
			cl := &h.cells[ci]
			z := c.zoneOf(ci)
			if z == nil {
				continue
			}
			up, down := false, false
			seen := [4]int{-1, -1, -1, -1}
			n := 0
			for e := range h.column(cl) {
				if e.role != roleRoom {
					continue
				}
				rooms = true
				if e.z0 >= z.z1-0.1 {
					up = true
				} else if e.z1-e.z0 >= minRoom { // lower ones are crawl spaces that the model names

					down = true
				}
				u := s.in.Rooms[h.solids[e.solid].part].Unit
				over.room(u, e.z0 >= z.z1-0.1)
				if u >= 0 && n < 4 && seen[0] != u && seen[1] != u && seen[2] != u {
					seen[n] = u
					n++
					own.add(u, cl.area)
				}
			}
			over.cell(cl.area)
			if up {
				above += cl.area
			}
			if down {
				below += cl.area
			}
		}
		o.Units = touched(own, o.AreaM2)
		o.Stacked = over.stacked()
		for _, x := range own {
			units.add(x.unit, x.area)
		}
	}
	v.Units = touched(units, v.AreaM2)
	for _, c := range v.Compartments { // what a compartment touches, its void touches
		for _, u := range c.Units {
			if !containsInt(v.Units, u) {
				v.Units = append(v.Units, u)
			}
		}
	}
	sort.Ints(v.Units)
	v.CeilingAssumed = assumed > 0.1*v.AreaM2
	v.UsableAbove = v.Kind != KindAttic && (!rooms || above > 0.02*v.AreaM2)
	v.UsableBelow = !rooms || below > 0.02*v.AreaM2
	if v.Kind == KindFloor && v.CeilingAssumed && rooms && !v.UsableBelow {
		if s.roomBelow(v) {
			v.UsableBelow = true // a basement or garage that no room is modelled in
		} else {
			v.Kind = KindCrawl
		}
	}
	s.frameVoid(h, v, cells)
	s.res.Voids = append(s.res.Voids, v)
}

// roomBelow reports whether there is the height of a room below the framing of a void, down to
// the floor or the ground slab under most of its compartments.
func (s *solver) roomBelow(v *Void) bool {
	high, area := 0.0, 0.0
	for _, c := range v.Compartments {
		p := s.f.in(c.Point.Plan())
		foot := math.Inf(-1)
		for _, i := range s.floors.In(upright(p, p)) {
			if z := s.boxes[i].Max.Z; z < v.ZLo-0.05 && z > foot {
				foot = z
			}
		}
		area += c.AreaM2
		if !math.IsInf(foot, -1) && v.ZLo-foot >= minRoom {
			high += c.AreaM2
		}
	}
	return high > area/2
}

func containsInt(l []int, x int) bool {
	for _, y := range l {
		if x == y {
			return true
		}
	}
	return false
}

// touched returns the units whose rooms take more than a sliver of a plan area.
func touched(areas unitAreas, total float64) []int {
	var out []int
	for _, x := range areas {
		if x.area > 0.3 || x.area > 0.02*total {
			out = append(out, x.unit)
		}
	}
	sort.Ints(out)
	return out
}

// dividers adds to the solids inside a void the solid joists that divide it into channels:
// they stand in none of its cells. Voids with framing inside need none.
func (h *horizontal) dividers(v *Void, cells []int32, inside *numbers) {
	for _, k := range inside.list {
		switch h.solids[k].role {
		case RoleChord, RoleWeb, RoleJoist, RoleRafter, RoleFraming:
			if h.solids[k].box.Max.Z > v.ZLo+0.005 && h.solids[k].box.Min.Z < v.ZHi-0.005 {
				return
			}
		}
	}
	lo, hi := geom.Vec2{X: math.Inf(1), Y: math.Inf(1)}, geom.Vec2{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, ci := range cells {
		c := &h.cells[ci]
		lo, hi = geom.Vec2{X: math.Min(lo.X, c.cu), Y: math.Min(lo.Y, c.cv)}, geom.Vec2{X: math.Max(hi.X, c.cu), Y: math.Max(hi.Y, c.cv)}
	}
	if h.joists == nil {
		boxes := make([]geom.Box, len(h.solids))
		for k, sd := range h.solids {
			if boxes[k] = sd.box; sd.role != RoleJoist {
				boxes[k] = geom.EmptyBox()
			}
		}
		h.joists = geom.NewBoxIndex(boxes)
	}
	for _, k := range h.joists.In(upright(lo, hi)) {
		b := h.solids[k].box
		if b.Max.X > lo.X && b.Min.X < hi.X && b.Max.Y > lo.Y && b.Min.Y < hi.Y && b.Max.Z > v.ZLo+0.02 && b.Min.Z < v.ZHi-0.02 {
			inside.add(int32(k))
		}
	}
}

// facetedServices adds the services whose many facets cut no cells: between the lines of a
// wide bay no column need meet them.
func (h *horizontal) facetedServices(v *Void, cells, inside *numbers) {
	for _, k := range h.faceted {
		b := h.solids[k].box
		if inside.has(k) || b.Max.Z < v.ZLo || b.Min.Z > v.ZHi {
			continue
		}
		c, d := b.Center(), b.Size()
		for _, f := range []float64{0, -0.35, 0.35} {
			p := c
			if d.X > d.Y {
				p.X += f * d.X
			} else {
				p.Y += f * d.Y
			}
			ci := h.at(p.X, p.Y)
			if ci < 0 || !cells.has(ci) {
				continue
			}
			z := h.voidZone(ci)
			if z == nil {
				continue
			}
			if z0, z1 := z.at(&h.cells[ci], p.Plan()); b.Max.Z > z0 && b.Min.Z < z1 {
				inside.add(k)
				break
			}
		}
	}
}

// frameVoid reads the framing of a void, its spacing and the services in it from the solids
// that stand in its cells.
func (s *solver) frameVoid(h *horizontal, v *Void, cells []int32) {
	weight := map[Framing]float64{}
	lowest := math.Inf(1)         // underside of the framing
	ceilings := map[int]float64{} // plan area by height of the ceiling's top, millimetres
	layered, member := false, false
	inside, over := h.inside.reset(len(h.solids)), h.over.reset(len(h.cells))
	for _, ci := range cells {
		over.add(ci)
		c := &h.cells[ci]
		for e := range h.column(c) {
			if e.z1 < v.ZLo-0.2 || e.z0 > v.ZHi+0.05 {
				continue
			}
			inside.add(e.solid)
			if z := h.voidZone(ci); e.role == RoleCeiling && z != nil && math.Abs(e.z1-z.z0) < 0.01 {
				ceilings[int(math.Round(e.z1*1000))] += c.area
			}
		}
	}
	h.dividers(v, cells, inside)
	h.facetedServices(v, over, inside)
	groups := map[int]*geom.Box{}
	services := map[int]bool{}
	for _, k := range inside.list {
		sd := h.solids[k]
		if sd.role == roleRoom {
			continue
		}
		p := &s.in.Parts[sd.part]
		if sd.box.Min.Z > v.ZHi-0.005 || sd.box.Max.Z < v.ZLo+0.005 && sd.role != RoleFraming {
			continue
		}
		d := sd.box.Size()
		switch sd.role {
		case RoleChord, RoleWeb:
			weight[FramingTruss] += math.Max(d.X, d.Y)
			member = true
		case RoleJoist:
			fr := p.Framing
			if fr == "" || fr == FramingUnknown {
				fr = FramingSolid
			}
			weight[fr] += math.Max(d.X, d.Y)
			member = true
		case RoleRafter:
			weight[FramingRafter] += math.Max(d.X, d.Y)
			member = true
		case RoleFraming:
			if p.Framing != "" && (d.Z < 1.2 || v.Kind == KindAttic) {
				layered = true
				if !ofWall(p.Framing, d) {
					weight[p.Framing] += 1e-3 * d.X * d.Y
				}
			}
		case RoleService:
			if p.Element >= 0 {
				services[p.Element] = true
			}
		}
		switch sd.role {
		case RoleChord, RoleJoist, RoleRafter, RoleFraming:
			if sd.role != RoleFraming || d.Z < 1.2 && d.Z > 0.08 && p.Framing != "" && p.Framing != FramingUnknown && p.Framing != FramingNone && p.Framing != FramingStud {
				lowest = math.Min(lowest, sd.box.Min.Z)
			}
			if sd.role == RoleFraming {
				break
			}
			id := -sd.part - 2
			if p.Assembly >= 0 {
				id = p.Assembly
			}
			if b := groups[id]; b != nil {
				*b = b.Join(sd.box)
			} else {
				b := sd.box
				groups[id] = &b
			}
		}
	}
	v.Framing = FramingUnknown
	best := 0.0
	for _, f := range []Framing{FramingTruss, FramingI, FramingSolid, FramingRafter, FramingStud, FramingNone} {
		if weight[f] > best*(1+1e-9) {
			best, v.Framing = weight[f], f
		}
	}
	v.Layered = layered && !member
	ceiling, most := math.Inf(-1), 0.0
	for z, a := range ceilings {
		if a > most+1e-9 || a > most-1e-9 && float64(z)/1000 > ceiling {
			ceiling, most = float64(z)/1000, a
		}
	}
	v.Suspended = !math.IsInf(lowest, 1) && !math.IsInf(ceiling, -1) && lowest-ceiling > 0.03
	for e := range services {
		v.Services = append(v.Services, e)
	}
	sort.Ints(v.Services)
	v.SpacingM = spacing(groups)
}

// ofWall reports whether a layer is one of a wall that stands in a horizontal void, a gable or
// a wall between units in the attic: its studs or air space frame no floor and no roof.
func ofWall(f Framing, size geom.Vec3) bool {
	const thin = 0.3 // metres
	return f == FramingStud || f == FramingNone && math.Min(size.X, size.Y) < thin && size.Z > math.Min(size.X, size.Y)
}

// spacing returns the usual distance between parallel members, to a tenth of a millimetre;
// 0 when fewer than three stand side by side.
func spacing(groups map[int]*geom.Box) float64 {
	var across [2][]float64
	for _, b := range groups {
		d := b.Size()
		if d.X > 4*d.Y {
			across[0] = append(across[0], (b.Min.Y+b.Max.Y)/2)
		} else if d.Y > 4*d.X {
			across[1] = append(across[1], (b.Min.X+b.Max.X)/2)
		}
	}
	a := across[0]
	if len(across[1]) > len(a) {
		a = across[1]
	}
	sort.Float64s(a)
	var diffs []float64
	for i := 1; i < len(a); i++ {
		if d := a[i] - a[i-1]; d > 0.1 && d < 2 {
			diffs = append(diffs, d)
		}
	}
	if len(diffs) < 2 {
		return 0
	}
	sort.Float64s(diffs)
	return math.Round(diffs[len(diffs)/2]*1e4) / 1e4
}

// framedSquare is the side of the squares of the plan of which framing is noted, metres.
const framedSquare = 0.5

// inFraming reports whether framing of the level stands within a bay of a plan point.
func (h *horizontal) inFraming(u, v float64) bool {
	return h.framed()[[2]int32{floor32(u / framedSquare), floor32(v / framedSquare)}]
}

// framedSquares returns the squares of the plan within a bay of the framing of the level.
func (h *horizontal) framedSquares() map[[2]int32]bool {
	m := map[[2]int32]bool{}
	for _, i := range h.level.parts {
		switch h.s.in.Parts[i].Role {
		case RoleChord, RoleJoist, RoleRafter:
		default:
			continue
		}
		b := h.s.boxes[i]
		d := b.Size()
		if b.Max.Z > h.level.zt+0.05 { // its top chord lies under the deck
			continue
		}
		gu, gv := 0.35, 0.35
		if d.X > d.Y {
			gu = 0
		} else {
			gv = 0
		}
		for x := floor32((b.Min.X - gu) / framedSquare); x <= floor32((b.Max.X+gu)/framedSquare); x++ {
			for y := floor32((b.Min.Y - gv) / framedSquare); y <= floor32((b.Max.Y+gv)/framedSquare); y++ {
				m[[2]int32{x, y}] = true
			}
		}
	}
	return m
}
