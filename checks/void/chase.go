package void

import (
	"math"
	"sort"

	"voidcheck/ifcx/geom"
)

// Sizes of chases.
const (
	chaseLeast  = 0.01 // plan area, square metres
	chaseApart  = 1.2  // a floor between two spaces of one chase is no thicker, metres
	chaseShare  = 0.5  // of the smaller plan lies over the other where two spaces are one chase
	chaseClosed = 0.9  // of the plan that something closes where a chase is closed at a floor
	chaseGrid   = 16   // places looked at along each side
)

// shaft is one space for services in the solver's frame.
type shaft struct {
	room    int
	tris    [][3]geom.Vec2
	points  []geom.Vec2 // places within it
	box     geom.Box
	area    float64
	outline [][]geom.Vec2
}

func (x *shaft) holds(p geom.Vec2) bool {
	for _, t := range x.tris {
		a, b, c := t[1].Sub(t[0]).Cross(p.Sub(t[0])), t[2].Sub(t[1]).Cross(p.Sub(t[1])), t[0].Sub(t[2]).Cross(p.Sub(t[2]))
		if a >= -1e-9 && b >= -1e-9 && c >= -1e-9 {
			return true
		}
	}
	return false
}

// chases makes voids of the shafts and chases that are modelled as spaces: one for spaces that
// stand on one another, a compartment for each storey, and an opening where nothing closes it
// at a floor between two.
func (s *solver) chases() {
	var list []*shaft
	for i := range s.in.Shafts {
		if x := s.shaft(i); x != nil {
			list = append(list, x)
		}
	}
	sort.SliceStable(list, func(i, j int) bool {
		a, b := list[i].box.Min, list[j].box.Min
		if math.Abs(a.Z-b.Z) > 1e-3 {
			return a.Z < b.Z
		}
		return a.X < b.X-1e-3 || a.X < b.X+1e-3 && a.Y < b.Y
	})
	uf := newUnion(len(list))
	for i, a := range list {
		for j := i + 1; j < len(list); j++ {
			if b := list[j]; b.box.Min.Z >= a.box.Max.Z-0.1 && b.box.Min.Z <= a.box.Max.Z+chaseApart && a.over(b) {
				uf.join(int32(i), int32(j))
			}
		}
	}
	stacks := map[int32][]*shaft{}
	var order []int32
	for i, x := range list {
		r := uf.find(int32(i))
		if stacks[r] == nil {
			order = append(order, r)
		}
		stacks[r] = append(stacks[r], x)
	}
	for _, r := range order {
		s.chase(stacks[r])
	}
}

// over reports whether two plans lie over each other.
func (x *shaft) over(y *shaft) bool {
	if x.area > y.area {
		x, y = y, x
	}
	n := 0
	for _, p := range x.points {
		if y.holds(p) {
			n++
		}
	}
	return float64(n) > chaseShare*float64(len(x.points))
}

// shaft reads one space; nil when it has no plan.
func (s *solver) shaft(i int) *shaft {
	m := s.in.Shafts[i].Mesh
	if m == nil {
		return nil
	}
	x := &shaft{room: i, box: geom.EmptyBox()}
	var rings []geom.Ring
	for _, t := range m.Tris {
		var p [3]geom.Vec2
		for k := range 3 {
			v := m.Verts[t[k]]
			p[k] = s.f.in(v.Plan())
			x.box = x.box.Extend(geom.Vec3{X: p[k].X, Y: p[k].Y, Z: v.Z})
		}
		if a := p[1].Sub(p[0]).Cross(p[2].Sub(p[0])) / 2; a > 1e-9 {
			x.tris = append(x.tris, p)
			x.area += a
			rings = append(rings, geom.Ring{s.f.out(p[0]), s.f.out(p[1]), s.f.out(p[2])})
		}
	}
	if x.area < chaseLeast || x.box.Size().Z < 0.5 {
		return nil
	}
	for _, r := range geom.UnionOf(rings...) {
		x.outline = append(x.outline, r)
	}
	d := x.box.Size()
	for i := range chaseGrid {
		for j := range chaseGrid {
			p := geom.Vec2{X: x.box.Min.X + (float64(i)+0.5)/chaseGrid*d.X, Y: x.box.Min.Y + (float64(j)+0.5)/chaseGrid*d.Y}
			if x.holds(p) {
				x.points = append(x.points, p)
			}
		}
	}
	if len(x.points) == 0 {
		return nil
	}
	return x
}

// piece is a part of a chase between two floors.
type piece struct {
	of     *shaft
	z0, z1 float64
}

// chase adds the void of the spaces that stand on one another.
func (s *solver) chase(stack []*shaft) {
	var pieces []piece
	for _, x := range stack {
		z := x.box.Min.Z
		for _, l := range s.in.Levels {
			if l > z+0.5 && l < x.box.Max.Z-0.5 {
				pieces = append(pieces, piece{x, z, l})
				z = l
			}
		}
		pieces = append(pieces, piece{x, z, x.box.Max.Z})
	}
	sort.SliceStable(pieces, func(i, j int) bool { return pieces[i].z0 < pieces[j].z0 })
	v := &Void{Kind: KindChase, Storey: s.storeyAt(pieces[0].z0), Framing: FramingNone, Wall: -1, ZLo: math.Inf(1), ZHi: math.Inf(-1), Combustible: true}
	for _, p := range pieces {
		mid := p.of.points[len(p.of.points)/2]
		c := &Compartment{Void: v, AreaM2: p.of.area, VolumeM3: p.of.area * (p.z1 - p.z0), HeightMaxM: p.z1 - p.z0, ZLo: p.z0, ZHi: p.z1, Outline: p.of.outline, Units: s.unitsBeside(p.of.box, p.z0, p.z1)}
		xy := s.f.out(mid)
		c.Point = geom.Vec3{X: xy.X, Y: xy.Y, Z: (p.z0 + p.z1) / 2}
		v.Compartments = append(v.Compartments, c)
		v.AreaM2, v.VolumeM3 = max(v.AreaM2, c.AreaM2), v.VolumeM3+c.VolumeM3
		v.ZLo, v.ZHi = min(v.ZLo, p.z0), max(v.ZHi, p.z1)
		for _, u := range c.Units {
			if !containsInt(v.Units, u) {
				v.Units = append(v.Units, u)
			}
		}
	}
	sort.Ints(v.Units)
	v.HeightMaxM = v.ZHi - v.ZLo
	for k := 1; k < len(pieces); k++ {
		if o := s.through(&pieces[k-1], &pieces[k]); o != nil {
			o.A, o.B = v.Compartments[k-1], v.Compartments[k]
			s.res.Openings = append(s.res.Openings, o)
		}
	}
	for i := range s.in.Parts {
		if p := &s.in.Parts[i]; p.Role == RoleService && p.Element >= 0 && !containsInt(v.Services, p.Element) {
			for _, x := range stack {
				if b := s.boxes[i]; b.Overlaps(x.box) && x.holds(b.Center().Plan()) {
					v.Services = append(v.Services, p.Element)
					break
				}
			}
		}
	}
	sort.Ints(v.Services)
	s.res.Voids = append(s.res.Voids, v)
}

// through returns the opening between two pieces of a chase, nil where a deck or a stop
// closes it. What stands in it, services above all, counts as closed.
func (s *solver) through(lower, upper *piece) *Opening {
	z0, z1 := min(lower.z1, upper.z0)-0.5, max(lower.z1, upper.z0)+0.1
	if lower.of != upper.of { // a floor lies between the two spaces
		z0 = min(lower.z1, upper.z0) - 0.1
	}
	var in []int
	between := geom.Box{Min: lower.of.box.Min, Max: upper.of.box.Max}
	for _, i := range s.index.In(lower.of.box.Join(upper.of.box).Join(between)) {
		b := s.boxes[i]
		if !b.Overlaps(lower.of.box) && !b.Overlaps(upper.of.box) && !b.Overlaps(between) {
			continue
		}
		switch s.in.Parts[i].Role {
		case RoleFinish, RoleStud, RoleInsulation, RoleFraming, RoleUnknown:
			continue
		}
		if b.Max.Z > z0 && b.Min.Z < z1 {
			in = append(in, i)
		}
	}
	solids := s.placeAll(in, s.part)
	open := geom.EmptyBox()
	n, free := 0, 0
	for _, p := range upper.of.points {
		if !lower.of.holds(p) {
			continue
		}
		n++
		if !stopped(solids, p, z0, z1) {
			free++
			open = open.Extend(geom.Vec3{X: p.X, Y: p.Y})
		}
	}
	if n == 0 || float64(free) <= (1-chaseClosed)*float64(n) {
		return nil
	}
	d := upper.of.box.Size()
	w := min(open.Size().X+d.X/chaseGrid, d.X)
	h := min(open.Size().Y+d.Y/chaseGrid, d.Y)
	xy := s.f.out(open.Center().Plan())
	return &Opening{Kind: OpenLevel, WidthM: max(w, h), HeightM: min(w, h), AreaM2: upper.of.area * float64(free) / float64(n), Point: geom.Vec3{X: xy.X, Y: xy.Y, Z: upper.z0}, Service: -1}
}

// stopped reports whether a solid lies over a plan point between two heights.
func stopped(list []*solid, p geom.Vec2, z0, z1 float64) bool {
	for _, sd := range list {
		if p.X < sd.box.Min.X || p.X > sd.box.Max.X || p.Y < sd.box.Min.Y || p.Y > sd.box.Max.Y {
			continue
		}
		if sd.isBox {
			if z := sd.box; z.Min.Z > z0 && z.Min.Z < z1 || z.Max.Z > z0 && z.Max.Z < z1 {
				return true
			}
			continue
		}
		for _, t := range sd.tris {
			a, b, c := sd.verts[t[0]], sd.verts[t[1]], sd.verts[t[2]]
			area := b.Plan().Sub(a.Plan()).Cross(c.Plan().Sub(a.Plan()))
			if math.Abs(area) < 1e-12 {
				continue
			}
			u := p.Sub(a.Plan()).Cross(c.Plan().Sub(a.Plan())) / area
			v := b.Plan().Sub(a.Plan()).Cross(p.Sub(a.Plan())) / area
			if u < -1e-9 || v < -1e-9 || u+v > 1+1e-9 {
				continue
			}
			if z := a.Z + u*(b.Z-a.Z) + v*(c.Z-a.Z); z > z0 && z < z1 {
				return true
			}
		}
	}
	return false
}

// unitsBeside returns the units of the rooms within a wall's thickness of a box.
func (s *solver) unitsBeside(b geom.Box, z0, z1 float64) []int {
	var out []int
	near := b.Grow(0.4)
	for i, r := range s.roomBoxes {
		if u := s.in.Rooms[i].Unit; u >= 0 && !containsInt(out, u) && r.Overlaps(near) && r.Min.Z < z1-0.3 && r.Max.Z > z0+0.3 {
			out = append(out, u)
		}
	}
	sort.Ints(out)
	return out
}
