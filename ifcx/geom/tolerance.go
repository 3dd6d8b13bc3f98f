package geom

import "math"

// The tolerances of the project. Every comparison of computed coordinates uses one of them.
const (
	// Weld is the distance in metres under which two points are the same point. Authoring
	// tools write six significant decimals of a millimetre at best, and a chain of placements
	// moves a point by less than 1e-9 m within a kilometre of the origin.
	Weld = 1e-6
	// LooseWeld is Weld in metres for meshes that do not close otherwise: files that round
	// coordinates to a tenth of a millimetre draw corners apart by that.
	LooseWeld = 1e-4
	// OnPlane is the distance in metres under which a point lies in a plane. It equals Weld so
	// that a point welded onto an edge of a face stays in that face.
	OnPlane = Weld
	// Parallel is the sine of the angle under which two directions are parallel when faces are
	// gathered into an oriented box: 0.2 degrees, 3 mm over a metre, is less than a saw cut.
	Parallel = 3.5e-3
	// SliverArea is the area in square metres under which a ring is numerical dust: a micrometre
	// along a metre.
	SliverArea = 1e-6 * 1.0
	// Flush is the distance in metres within which an opening reaches the face of its host.
	// Exports round the two apart by up to a tenth of a millimetre; a skin of that thickness
	// is no material.
	Flush = 1e-4
	// ChordError is the greatest distance in metres between a curve and the chords that
	// stand for it. A tenth of the smallest opening that is looked for (1/2 in).
	ChordError = 1e-3
	// MinCircleSegments is the least number of chords of a full circle, so that small pipes
	// keep 98.9 % of their section area.
	MinCircleSegments = 24
	// MaxCircleSegments bounds the chords of a full circle whatever its radius.
	MaxCircleSegments = 360
)

// CircleSegments returns the number of chords for a full circle of radius r metres: a
// multiple of four (so that the quadrant points are hit exactly) with a chord error of at
// most ChordError, between MinCircleSegments and MaxCircleSegments.
func CircleSegments(r float64) int {
	if !(r > ChordError) {
		return MinCircleSegments
	}
	n := int(math.Ceil(math.Pi/math.Acos(1-ChordError/r)/4)) * 4
	return min(max(n, MinCircleSegments), MaxCircleSegments)
}
