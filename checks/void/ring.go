package void

import (
	"math"

	"voidcheck/ifcx/geom"
)

// serviceIn returns the element of a service that stands in or beside a group, or -1.
func (h *horizontal) serviceIn(nodes []int32) int {
	box := geom.EmptyBox()
	for _, ni := range nodes {
		n := &h.nodes[ni]
		for _, p := range h.corners(&h.cells[n.cell]) {
			box = box.Extend(geom.Vec3{X: p.X, Y: p.Y, Z: n.z0})
			box = box.Extend(geom.Vec3{X: p.X, Y: p.Y, Z: n.z1})
		}
	}
	if d := box.Size(); math.Max(d.X, d.Y) > 0.8 {
		return -1
	}
	for _, sd := range h.services {
		if sd.box.Overlaps(box) {
			return h.s.in.Parts[sd.part].Element
		}
	}
	return -1
}
