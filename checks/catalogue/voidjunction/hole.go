package voidjunction

import (
	"math"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// hole is one opening in the side of a wall. Behind it studs and blocks may part the cavity, and it
// then leads into several compartments.
type hole struct{ parts []*void.Opening }

// addTo adds an opening to the hole that it is part of, or as one of its own.
func addTo(holes []*hole, o *void.Opening) []*hole {
	for _, h := range holes {
		for _, x := range h.parts {
			if goesOn(x, o) {
				h.parts = append(h.parts, o)
				return holes
			}
		}
	}
	return append(holes, &hole{[]*void.Opening{o}})
}

// goesOn reports whether two openings between the same two voids in the side of a wall differ in the part of its cavity
// alone and have no more than a stud or a block between them. Widths are clear ones: the studs within a part come on top.
func goesOn(a, b *void.Opening) bool {
	const stud, studs = 0.3, 1.3 // with what is lost on its two sides, metres; length by clear width
	if a.Kind != void.OpenJunction || b.Kind != void.OpenJunction || a.A.Void != b.A.Void || a.A == b.A || a.B != b.B || a.A.Void.Kind != void.KindWall {
		return false
	}
	d := a.Point.Sub(b.Point)
	return math.Abs(d.Z) < 0.05 && d.Plan().Len() < studs*(a.WidthM+b.WidthM)/2+stud
}

// whole returns the hole as one opening: the sum of its widths, in the middle of its parts.
func (h *hole) whole() *void.Opening {
	o := *h.parts[0]
	if len(h.parts) == 1 {
		return &o
	}
	o.WidthM, o.AreaM2, o.Point = 0, 0, geom.Vec3{}
	for _, x := range h.parts {
		o.WidthM, o.AreaM2 = o.WidthM+x.WidthM, o.AreaM2+x.AreaM2
		o.Point = o.Point.Add(x.Point.Mul(x.WidthM))
	}
	o.Point = o.Point.Mul(1 / o.WidthM)
	return &o
}
