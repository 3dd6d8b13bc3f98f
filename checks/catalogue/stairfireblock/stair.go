package stairfireblock

import (
	"math"
	"sort"

	"voidcheck/checks"
	"voidcheck/checks/materials"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Sizes that tell stringers and the boards below them, metres.
const (
	stringerMax  = 0.10 // thickness of a stringer
	stringerDeep = 0.50 // depth of a stringer
	boardMax     = 0.05 // thickness of a board that closes the underside
	underReach   = 0.35 // how far below the middle of a stringer the board may lie
	endReach     = 0.60 // how far along the run from its end a block may stand
	join         = 0.08 // parts of one stair are no further apart
	wideMax      = 1.60 // stringers of one run stand no further apart
)

// stair is one run with its parts.
type stair struct {
	elements  []int
	box       geom.Box
	stringers []stringer // across the run
	solid     bool       // of concrete, masonry or metal
	parts     []*void.Part
}

// stringer is one inclined member.
type stringer struct {
	obb       geom.OBB
	low, high geom.Vec3 // middles of its ends
}

// around are the boards and blocks of the building that may close a run or its ends.
type around struct{ boards, blocks []placed }

type placed struct {
	*void.Part
	box geom.Box
}

func newAround(in *void.Input) *around {
	a := &around{}
	for i := range in.Parts {
		p := &in.Parts[i]
		if p.Mesh == nil {
			continue
		}
		switch p.Role {
		case void.RoleSoffitBoard, void.RoleCeiling, void.RoleFinish, void.RoleRoof, void.RoleDeck, void.RoleStair:
			a.boards = append(a.boards, placed{p, p.Mesh.Box()})
		case void.RoleBlock:
			a.blocks = append(a.blocks, placed{p, p.Mesh.Box()})
		}
	}
	return a
}

// find groups the stair parts of the building into stairs, lowest first.
func find(p *checks.Pass) []*stair {
	var list []*stair
	for i := range p.Building.Input.Parts {
		part := &p.Building.Input.Parts[i]
		if part.Role != void.RoleStair || part.Mesh == nil || len(part.Mesh.Tris) == 0 {
			continue
		}
		s := &stair{box: part.Mesh.Box(), parts: []*void.Part{part}}
		kept := list[:0]
		for _, o := range list {
			if o.box.Overlaps(s.box.Grow(join)) || sameWhole(p, o.parts[0].Element, part.Element) || beside(o.parts, part) {
				s.box, s.parts = s.box.Join(o.box), append(o.parts, s.parts...)
				continue
			}
			kept = append(kept, o)
		}
		list = append(kept, s)
	}
	for _, s := range list {
		s.read(p)
	}
	mm := func(v float64) float64 { return math.Round(v * 100) }
	sort.SliceStable(list, func(i, j int) bool {
		a, b := list[i].box.Min, list[j].box.Min
		switch {
		case mm(a.Z) != mm(b.Z):
			return mm(a.Z) < mm(b.Z)
		case mm(a.X) != mm(b.X):
			return mm(a.X) < mm(b.X)
		}
		return mm(a.Y) < mm(b.Y)
	})
	return list
}

// beside reports whether a part is a stringer of the same run as one of the others: level
// with it, parallel, and no further apart than a stair is wide.
func beside(list []*void.Part, part *void.Part) bool {
	b := part.Mesh.OBB()
	if !isStringer(b) {
		return false
	}
	for _, o := range list {
		a := o.Mesh.OBB()
		if !isStringer(a) || math.Abs(a.Axes[0].Dot(b.Axes[0])) < 0.999 {
			continue
		}
		d := b.Center.Sub(a.Center)
		along := a.Axes[0].Plan().Unit()
		if math.Abs(d.Z) < 0.1 && math.Abs(d.Plan().Dot(along)) < 0.1 && d.Len() < wideMax {
			return true
		}
	}
	return false
}

// isStringer reports whether a box is that of an inclined member of a stringer's size.
func isStringer(b geom.OBB) bool {
	size, up := b.Size(), math.Abs(b.Axes[0].Z)
	return up >= 0.2 && up <= 0.95 && size[2] <= stringerMax && size[1] <= stringerDeep && size[0] >= 1
}

// sameWhole reports whether two elements are parts of one stair.
func sameWhole(p *checks.Pass, a, b int) bool {
	if a < 0 || b < 0 || a >= len(p.Building.Things) || b >= len(p.Building.Things) {
		return false
	}
	x, y := p.Building.Things[a].Element, p.Building.Things[b].Element
	return x != nil && y != nil && x.Whole != nil && x.Whole == y.Whole && x.Whole.Is("IfcStair")
}

// read finds the stringers of a stair and what it is made of.
func (s *stair) read(p *checks.Pass) {
	seen := map[int]bool{-1: true}
	solid, other := 0, 0
	for _, part := range s.parts {
		if !seen[part.Element] {
			seen[part.Element] = true
			s.elements = append(s.elements, part.Element)
		}
		if mineral(p, part.Element) {
			solid++
		} else {
			other++
		}
		b := part.Mesh.OBB()
		d := b.Axes[0]
		if !isStringer(b) {
			continue
		}
		if d.Z < 0 {
			d = d.Mul(-1)
		}
		s.stringers = append(s.stringers, stringer{b, b.Center.Sub(d.Mul(b.Half[0])), b.Center.Add(d.Mul(b.Half[0]))})
	}
	s.solid = solid > other
	sort.Ints(s.elements)
	if len(s.stringers) > 1 {
		across := s.across()
		sort.SliceStable(s.stringers, func(i, j int) bool {
			return s.stringers[i].obb.Center.Dot(across) < s.stringers[j].obb.Center.Dot(across)
		})
	}
}

// mineral reports whether an element is of concrete, masonry or metal.
func mineral(p *checks.Pass, element int) bool {
	if element < 0 || element >= len(p.Building.Things) || p.Building.Things[element].Element == nil {
		return false
	}
	for _, m := range p.Building.Things[element].Element.Materials {
		r, ok := materials.Default().Class(m)
		if ok && (r.Class == "masonry" || r.Class == "sheet steel" || len(r.MayBe) == 1 && r.MayBe[0] == "sheet steel") {
			return true
		}
	}
	return false
}

// up is the plan direction of a run, from its bottom to its top.
func (s *stair) up() geom.Vec2 {
	return s.stringers[0].high.Sub(s.stringers[0].low).Plan().Unit()
}

// across is the level direction square to the run, towards +x, or +y.
func (s *stair) across() geom.Vec3 {
	u := s.up()
	a := geom.Vec3{X: -u.Y, Y: u.X}
	if a.X < -1e-9 || math.Abs(a.X) <= 1e-9 && a.Y < 0 {
		a = a.Mul(-1)
	}
	return a
}

// closed reports whether a board closes the underside of the run.
func (s *stair) closed(in *around) bool {
	var area float64
	for _, part := range in.boards {
		if !part.box.Overlaps(s.box.Grow(0.1)) {
			continue
		}
		b := part.Mesh.OBB()
		n := b.Axes[2]
		size := b.Size()
		slope := s.stringers[0].obb.Axes[0]
		if size[2] > boardMax || size[1] < 0.3 || math.Abs(n.Dot(slope)) > 0.1 || math.Abs(n.Z) < 0.2 || math.Abs(n.Z) > 0.98 {
			continue
		}
		if n.Z < 0 {
			n = n.Mul(-1)
		}
		if d := s.stringers[0].obb.Center.Sub(b.Center).Dot(n); d > 0 && d < underReach+size[2] {
			area += size[0] * size[1]
		}
	}
	first, last := s.stringers[0].obb, s.stringers[len(s.stringers)-1].obb
	wide := math.Abs(last.Center.Sub(first.Center).Dot(s.across()))
	return area > 0.5*wide*first.Size()[0]
}

// bays returns for one end of the run the number of bays between stringers, and how many of
// them a block closes.
func (s *stair) bays(in *around, top bool) (n, shut int, blocks []int) {
	a := s.across()
	u := s.up()
	for k := 1; k < len(s.stringers); k++ {
		l, r := s.stringers[k-1], s.stringers[k]
		n++
		lo, hi := l.obb.Center.Dot(a), r.obb.Center.Dot(a)
		end := l.low
		if top {
			end = l.high
		}
		found := false
		for _, part := range in.blocks {
			b := part.box
			if !b.Overlaps(s.box.Grow(0.3)) {
				continue
			}
			c := b.Center()
			t := c.Dot(a)
			d := c.Plan().Sub(end.Plan()).Dot(u)
			if t < lo || t > hi || math.Abs(d) > endReach || math.Abs(c.Z-end.Z) > endReach {
				continue
			}
			if span(part.Mesh, a) < 0.85*(hi-lo-l.obb.Size()[2]) {
				continue
			}
			found, blocks = true, append(blocks, part.Element)
		}
		if found {
			shut++
		}
	}
	return n, shut, blocks
}

// span is the extent of a mesh along a direction.
func span(m *geom.Mesh, d geom.Vec3) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range m.Verts {
		x := v.Dot(d)
		lo, hi = math.Min(lo, x), math.Max(hi, x)
	}
	return hi - lo
}
