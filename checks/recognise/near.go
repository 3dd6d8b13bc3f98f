package recognise

import "voidcheck/ifcx/geom"

// newNear finds pieces by place.
func newNear(ps []*piece) *geom.BoxIndex {
	boxes := make([]geom.Box, len(ps))
	for i, p := range ps {
		boxes[i] = p.box
	}
	return geom.NewBoxIndex(boxes)
}

// overlap returns the common length of two intervals, negative when they are apart.
func overlap(a0, a1, b0, b1 float64) float64 { return min(a1, b1) - max(a0, b0) }

// planOverlap returns the common plan extents of two boxes, negative when apart.
func planOverlap(a, b geom.Box) (dx, dy float64) {
	return overlap(a.Min.X, a.Max.X, b.Min.X, b.Max.X), overlap(a.Min.Y, a.Max.Y, b.Min.Y, b.Max.Y)
}
