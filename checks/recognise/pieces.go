package recognise

import (
	"slices"

	"voidcheck/ifcx/geom"
)

// geomTol is the length below which two coordinates are one, metres.
const geomTol = 1e-5

// body is a connected solid of an element.
type body struct {
	elem int
	mesh *geom.Mesh
}

// cutPieces measures every solid of every element that may matter, splits solids that hold
// several, and sorts the pieces by place so that nothing later depends on file order.
func (r *reader) cutPieces() {
	bodies := r.bodies()
	var matter []*geom.Mesh
	for _, b := range bodies {
		if !r.m.Elements[b.elem].Is("IfcDistributionElement") {
			matter = append(matter, b.mesh)
		}
	}
	r.turn = dominant(matter)
	room := make([]piece, len(bodies)) // one place for all of them: they go together
	parallel(len(bodies), func(from, to int) {
		for i := from; i < to; i++ {
			room[i].take(bodies[i].elem, bodies[i].mesh, &r.turn)
		}
	})
	r.ps = make([]*piece, 0, len(room))
	for i := range room {
		if room[i].size[1] > 0 {
			r.ps = append(r.ps, &room[i])
		}
	}
	r.sortPieces()
	sideBySide(r.byElement, r.byPlace)
	for _, s := range r.m.Spaces {
		if _, out := r.spaceOutside(s); out {
			continue
		}
		if body := s.Body(); body != nil {
			b := geom.EmptyBox()
			for _, sol := range body.Solids {
				for _, v := range sol.Mesh.Verts {
					b = b.Extend(r.turn.in(v))
				}
			}
			r.spaceBoxes = append(r.spaceBoxes, b)
		}
	}
	r.b.Turn = geom.Vec2{X: r.turn.c, Y: r.turn.s}
}

// bodies returns the connected solids of the elements that may matter, in their order.
func (r *reader) bodies() []body {
	cut := make([][]body, len(r.m.Elements)/bodyStretch+1)
	parallel(len(cut), func(from, to int) {
		for k := from; k < to; k++ {
			at := k * bodyStretch
			for i, e := range r.m.Elements[at:min(at+bodyStretch, len(r.m.Elements))] {
				if r.hints[at+i].out {
					continue
				}
				if b := e.Body(); b != nil {
					for _, s := range b.Solids {
						if s.Mesh != nil && len(s.Mesh.Tris) > 0 {
							cut[k] = appendParts(cut[k], at+i, s.Mesh)
						}
					}
				}
			}
		}
	})
	return slices.Concat(cut...)
}

// bodyStretch is how many elements are looked at in one go.
const bodyStretch = 256

func appendParts(to []body, elem int, m *geom.Mesh) []body {
	if len(m.Tris) < 8 || connected(m) {
		return append(to, body{elem, m})
	}
	for _, p := range parts(m) {
		to = append(to, body{elem, p})
	}
	return to
}

// connected reports whether a mesh of few corners is seen to be one at once.
func connected(m *geom.Mesh) bool {
	var group [64]uint8
	if len(m.Verts) > len(group) {
		return false
	}
	for i := range m.Verts {
		group[i] = uint8(i)
	}
	find := func(i int32) uint8 {
		k := uint8(i)
		for group[k] != k {
			k = group[k]
		}
		return k
	}
	for _, t := range m.Tris {
		for _, v := range t[1:] {
			if a, b := find(t[0]), find(v); a < b {
				group[b] = a
			} else {
				group[a] = b
			}
		}
	}
	root := find(m.Tris[0][0])
	for _, t := range m.Tris {
		if find(t[0]) != root {
			return false
		}
	}
	return true
}

// sortPieces puts the pieces in the order of place.
func (r *reader) sortPieces() {
	// The corner that mostly decides lies beside each other, so that sorting needs little memory
	// from elsewhere.
	type placed struct {
		min geom.Vec3
		p   *piece
	}
	list := make([]placed, len(r.ps))
	for i, p := range r.ps {
		list[i] = placed{p.box.Min, p}
	}
	sortStable(list, func(a, b *placed) bool {
		for _, d := range [...][2]float64{{a.min.Z, b.min.Z}, {a.min.Y, b.min.Y}, {a.min.X, b.min.X}} {
			if d[0] < d[1]-geomTol {
				return true
			}
			if d[0] > d[1]+geomTol {
				return false
			}
		}
		return before(a.p, b.p)
	})
	for i := range list {
		r.ps[i] = list[i].p
	}
}

func (r *reader) byPlace() { r.near = newNear(r.ps) }

// byElement lists the pieces of each element, in the order of place.
func (r *reader) byElement() {
	first := make([]int32, len(r.m.Elements)+1)
	for _, p := range r.ps {
		first[p.elem+1]++
	}
	for i := range r.m.Elements {
		first[i+1] += first[i]
	}
	all := make([]*piece, len(r.ps))
	r.of = make([][]*piece, len(r.m.Elements))
	for i := range r.of {
		r.of[i] = all[first[i]:first[i]:first[i+1]]
	}
	for _, p := range r.ps {
		r.of[p.elem] = append(r.of[p.elem], p)
	}
}

// before orders pieces by place and size; equal pieces (duplicates) keep their order.
func before(a, b *piece) bool {
	for _, d := range [...][2]float64{
		{a.box.Min.Z, b.box.Min.Z}, {a.box.Min.Y, b.box.Min.Y}, {a.box.Min.X, b.box.Min.X},
		{a.box.Max.Z, b.box.Max.Z}, {a.box.Max.Y, b.box.Max.Y}, {a.box.Max.X, b.box.Max.X}} {
		if d[0] < d[1]-geomTol {
			return true
		}
		if d[0] > d[1]+geomTol {
			return false
		}
	}
	return false
}

// which returns the pieces of which something holds, in order; it is asked of several at once.
func (r *reader) which(holds func(*piece) bool) []*piece {
	is := make([]bool, len(r.ps))
	parallel(len(r.ps), func(from, to int) {
		for i := from; i < to; i++ {
			is[i] = holds(r.ps[i])
		}
	})
	var out []*piece
	for i, p := range r.ps {
		if is[i] {
			out = append(out, p)
		}
	}
	return out
}

// absorbSliced takes the solids cut from layered elements into the pieces.
func (r *reader) absorbSliced() {
	if len(r.sliced) == 0 {
		return
	}
	r.ps = append(r.ps, r.sliced...)
	for _, p := range r.sliced {
		r.of[p.elem] = append(r.of[p.elem], p)
	}
	r.sliced = nil
	r.sortPieces()
	r.byPlace()
}
