package propose

import (
	"slices"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// nearby finds parts of some roles by place.
type nearby struct {
	parts []int // indices into Input.Parts, ascending
	index *geom.BoxIndex
}

func newNearby(in *void.Input, roles ...void.Role) *nearby {
	x := &nearby{}
	var boxes []geom.Box
	for i := range in.Parts {
		if p := &in.Parts[i]; p.Mesh != nil && slices.Contains(roles, p.Role) {
			x.parts, boxes = append(x.parts, i), append(boxes, p.Mesh.Box())
		}
	}
	x.index = geom.NewBoxIndex(boxes)
	return x
}

// in returns the parts whose boxes meet a box, ascending.
func (x *nearby) in(b geom.Box) []int {
	out := x.index.In(b)
	for k, i := range out {
		out[k] = x.parts[i]
	}
	return out
}

// upright is the box of what stands over plan points between two heights.
func upright(z void.Span, pts ...geom.Vec2) geom.Box {
	b := geom.EmptyBox()
	for _, p := range pts {
		b = b.Extend(geom.Vec3{X: p.X, Y: p.Y, Z: z.Lo}).Extend(geom.Vec3{X: p.X, Y: p.Y, Z: z.Hi})
	}
	return b
}
