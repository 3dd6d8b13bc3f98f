package separationboxes

import (
	"math"
	"slices"
	"sort"

	"voidcheck/checks"
	"voidcheck/checks/crossing"
	"voidcheck/checks/equipment"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// intoFace is how deep a body must reach into the face of a wall to stand in it rather than
// on it, metres: cover plates are modelled a few millimetres into the board.
const intoFace = 0.008

// box is one box in one face of a wall, in the frame of the wall.
type box struct {
	element int
	high    bool // stands in the face at Across.Hi
	s0, s1  float64
	z0, z1  float64
	deep    float64 // how far it reaches in, from its face
	area    float64 // of the opening in the face, m2
	centre  geom.Vec3
}

func (b *box) s() float64 { return (b.s0 + b.s1) / 2 }

// isBox reports whether a part is an outlet, box or other end of a service that may stand in
// a face: no run of pipe, duct or cable and no sprinkler.
func isBox(p *checks.Pass, part *void.Part) bool {
	if part.Role != void.RoleService {
		return false
	}
	kind := equipment.Of(p.Building, part.Element)
	return kind == equipment.Box || kind != equipment.Sprinkler && !crossing.Runs(p.Building)(part.Element)
}

// part is a part with its box in the building frame.
type part struct {
	*void.Part
	box geom.Box
}

// candidates are the boxes of the building and what may lie between two of them.
func candidates(p *checks.Pass) (boxes, between []part) {
	for i := range p.Building.Input.Parts {
		x := &p.Building.Input.Parts[i]
		switch {
		case x.Mesh == nil:
		case isBox(p, x):
			boxes = append(boxes, part{x, x.Mesh.Box()})
		case x.Role == void.RoleBlock || x.Role == void.RoleInsulation || x.Role == void.RoleSeal:
			between = append(between, part{x, x.Mesh.Box()})
		}
	}
	return boxes, between
}

// boxesIn returns the boxes that stand in a wall, from its start to its end.
func boxesIn(all []part, wall *void.Wall) []*box {
	near := wall.Box()
	by := map[[2]int]*box{}
	var list []*box
	for _, part := range all {
		if !part.box.Overlaps(near) {
			continue
		}
		for side := range 2 {
			b := boxIn(wall, part.Part, side == 1)
			if b == nil {
				continue
			}
			k := [2]int{part.Element, side}
			if o := by[k]; o != nil && part.Element >= 0 { // several solids are one box
				o.join(b)
				continue
			}
			by[k] = b
			list = append(list, b)
		}
	}
	sort.SliceStable(list, func(i, j int) bool {
		a, b := list[i], list[j]
		switch {
		case math.Abs(a.s()-b.s()) > 1e-4:
			return a.s() < b.s()
		case math.Abs(a.z0-b.z0) > 1e-4:
			return a.z0 < b.z0
		}
		return !a.high && b.high
	})
	return list
}

func (b *box) join(o *box) {
	b.s0, b.s1, b.z0, b.z1 = math.Min(b.s0, o.s0), math.Max(b.s1, o.s1), math.Min(b.z0, o.z0), math.Max(b.z1, o.z1)
	b.deep, b.area = math.Max(b.deep, o.deep), math.Max(b.area, o.area)
	b.centre = b.centre.Add(o.centre).Mul(0.5)
}

// boxIn returns the part of a body that stands in one face of a wall, nil when it does not,
// or when it passes the whole wall.
func boxIn(w *void.Wall, part *void.Part, high bool) *box {
	n, d := w.Norm(), w.Dir
	local := func(v geom.Vec3) (s, t float64) {
		q := v.Plan().Sub(w.Origin)
		return q.Dot(d), q.Dot(n)
	}
	face, sign := w.Across.Lo, 1.0
	if high {
		face, sign = w.Across.Hi, -1
	}
	out, deep := math.Inf(-1), math.Inf(-1) // how far it stands out of the face and into it
	for _, v := range part.Mesh.Verts {
		_, t := local(v)
		out, deep = math.Max(out, (face-t)*sign), math.Max(deep, (t-face)*sign)
	}
	if out < -intoFace/2 || deep < intoFace || deep > w.Across.Hi-w.Across.Lo-intoFace/2 {
		return nil
	}
	// What lies behind the face, less a hair so that a cover plate does not count.
	at := w.Origin.Add(n.Mul(face + sign*intoFace/2))
	m := geom.Clip(part.Mesh, geom.PlaneAt(geom.Vec3{X: at.X, Y: at.Y}, geom.Vec3{X: -sign * n.X, Y: -sign * n.Y}))
	if len(m.Verts) == 0 {
		return nil
	}
	b := &box{element: part.Element, high: high, deep: deep, s0: math.Inf(1), z0: math.Inf(1), s1: math.Inf(-1), z1: math.Inf(-1)}
	var flat []geom.Vec2
	for _, v := range m.Verts {
		s, _ := local(v)
		b.s0, b.s1, b.z0, b.z1 = math.Min(b.s0, s), math.Max(b.s1, s), math.Min(b.z0, v.Z), math.Max(b.z1, v.Z)
		flat = append(flat, geom.Vec2{X: s, Y: v.Z})
	}
	b.area = math.Abs(geom.ConvexHull(flat).Area())
	mid := w.At(b.s(), face)
	b.centre = geom.Vec3{X: mid.X, Y: mid.Y, Z: (b.z0 + b.z1) / 2}
	if b.s() < 0 || b.s() > w.Length || b.centre.Z < w.Z0 || b.centre.Z > w.Z1 {
		return nil
	}
	return b
}

// apart returns the horizontal distance of two boxes, between their centres and clear.
func apart(a, b *box) (centres, clear float64) {
	return math.Abs(a.s() - b.s()), math.Max(0, math.Max(a.s0-b.s1, b.s0-a.s1))
}

// between is what the model shows between two boxes in opposite faces.
type between struct {
	block    bool // solid fireblocking closes the cavity between them
	layer    bool // a solid layer divides the wall between their faces
	filled   bool // mineral wool or cellulose fills the cavity
	sealed   bool // a seal or pad lies at one of them
	elements []int
}

// look finds what stands between two boxes.
func look(p *checks.Pass, all []part, w *void.Wall, a, b *box) between {
	var r between
	r.layer = len(w.Cavities) > 1
	lo, hi := math.Min(a.s(), b.s()), math.Max(a.s(), b.s())
	z0, z1 := math.Max(a.z0, b.z0), math.Min(a.z1, b.z1)
	if z0 > z1 {
		z0, z1 = z1, z0
	}
	near := w.Box()
	pads := map[int]extents{}
	for _, part := range all {
		if !part.box.Overlaps(near) {
			continue
		}
		e := extent(w, part.Mesh)
		switch part.Role {
		case void.RoleBlock:
			if e.s0 > lo-1e-3 && e.s1 < hi+1e-3 && e.z0 < z0+0.05 && e.z1 > z1-0.05 && e.t1-e.t0 > 0.8*cavity(w) {
				r.block, r.elements = true, append(r.elements, part.Element)
			}
		case void.RoleInsulation:
			if e.s0 < lo+0.05 && e.s1 > hi-0.05 && e.z0 < z0 && e.z1 > z1 && e.t1-e.t0 > 0.8*cavity(w) && slag(p, part.Element) {
				r.filled, r.elements = true, append(r.elements, part.Element)
			}
		case void.RoleSeal: // its pieces together
			if o, ok := pads[part.Element]; ok && part.Element >= 0 {
				e = e.join(o)
			}
			pads[part.Element] = e
			for _, x := range []*box{a, b} {
				// One that only lies beside the box, round a pipe for example, is no pad.
				if e.s0 < x.s0+0.01 && e.s1 > x.s1-0.01 && e.z0 < x.z0+0.01 && e.z1 > x.z1-0.01 && !slices.Contains(r.elements, part.Element) {
					r.sealed, r.elements = true, append(r.elements, part.Element)
				}
			}
		}
	}
	return r
}

// cavity is the clear width of a wall between its faces' inner sides, metres.
func cavity(w *void.Wall) float64 {
	if n := len(w.Cavities); n > 0 {
		return w.Cavities[n-1].Hi - w.Cavities[0].Lo
	}
	return w.Across.Hi - w.Across.Lo
}

type extents struct{ s0, s1, t0, t1, z0, z1 float64 }

func (e extents) join(o extents) extents {
	return extents{min(e.s0, o.s0), max(e.s1, o.s1), min(e.t0, o.t0), max(e.t1, o.t1), min(e.z0, o.z0), max(e.z1, o.z1)}
}

// extent is the box of a mesh in the frame of a wall.
func extent(w *void.Wall, m *geom.Mesh) extents {
	e := extents{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)}
	n := w.Norm()
	for _, v := range m.Verts {
		q := v.Plan().Sub(w.Origin)
		s, t := q.Dot(w.Dir), q.Dot(n)
		e.s0, e.s1, e.t0, e.t1, e.z0, e.z1 = math.Min(e.s0, s), math.Max(e.s1, s), math.Min(e.t0, t), math.Max(e.t1, t), math.Min(e.z0, v.Z), math.Max(e.z1, v.Z)
	}
	return e
}
