package shape

import (
	"fmt"
	"math"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// Limits of one walk through an element's items, so that files that refer to themselves or
// share items in a doubling way end.
const (
	maxDepth  = 400     // items within items
	maxVisit  = 500_000 // items in all
	maxOps    = 2_000   // solids to take from one solid, theirs included
	maxParts  = 20_000  // solids of one element
	maxFaults = 1_000   // faults of one element
	// points of one outline; the work grows with their square
	maxOutline = 10_000
)

// fault says which instance could not be computed and why.
type fault struct {
	id   graph.ID
	what string // "IfcBooleanResult #12", or the label alone
	text string
}

func (f *fault) Error() string { return f.what + ": " + f.text }

// eval is one walk through the items of an element. It is used by one goroutine.
type eval struct {
	b      *Builder
	g      *graph.Graph
	unit   float64 // metres per length unit
	angle  float64 // radians per plane angle unit
	active []graph.ID
	visits int
	// operands of solid operations that have been read
	operands map[graph.ID]*part
	cycle    bool    // a limit was hit or an item found to be part of itself
	faults   []error // what was replaced or left out, for the log of the element
}

func (b *Builder) eval() *eval {
	return &eval{b: b, g: b.g, unit: b.unit, angle: b.angle}
}

func label(g *graph.Graph, id graph.ID) string {
	if t := g.Type(id); t != "" {
		return t + " " + g.Label(id)
	}
	return g.Label(id)
}

func (e *eval) bad(id graph.ID, format string, args ...any) error {
	return &fault{id, label(e.g, id), fmt.Sprintf(format, args...)}
}

// enter begins with an instance; leave must follow when it gives no error.
func (e *eval) enter(id graph.ID) error {
	if e.visits++; e.visits > maxVisit {
		e.cycle = true
		return e.bad(id, "more than %d items in one element", maxVisit)
	}
	if len(e.active) >= maxDepth {
		e.cycle = true
		return e.bad(id, "items are nested more than %d deep", maxDepth)
	}
	for _, a := range e.active {
		if a == id {
			e.cycle = true
			return e.bad(id, "the item is part of itself")
		}
	}
	e.active = append(e.active, id)
	return nil
}

func (e *eval) leave() { e.active = e.active[:len(e.active)-1] }

// need returns a referenced instance that must be there.
func (e *eval) need(id graph.ID, attr string) (graph.ID, error) {
	if r := e.g.Ref(id, attr); r != 0 {
		return r, nil
	}
	return 0, e.bad(id, "%s is missing", attr)
}

// number returns a plain number that must be there.
func (e *eval) number(id graph.ID, attr string) (float64, error) {
	f, ok := e.g.Float(id, attr)
	if !ok {
		return 0, e.bad(id, "%s is missing", attr)
	}
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return 0, e.bad(id, "%s is no finite number", attr)
	}
	return f, nil
}

// length returns a length in metres that must be there; it may be zero or negative.
func (e *eval) length(id graph.ID, attr string) (float64, error) {
	f, err := e.number(id, attr)
	return f * e.unit, err
}

// size returns a length in metres that must be there and positive.
func (e *eval) size(id graph.ID, attr string) (float64, error) {
	f, err := e.length(id, attr)
	if err == nil && !(f > 0) {
		return 0, e.bad(id, "%s is %g, a positive length is expected", attr, f/e.unit)
	}
	return f, err
}

// sizes reads several sizes at once.
func (e *eval) sizes(id graph.ID, attrs ...string) ([]float64, error) {
	out := make([]float64, len(attrs))
	for i, a := range attrs {
		f, err := e.size(id, a)
		if err != nil {
			return nil, err
		}
		out[i] = f
	}
	return out, nil
}

// optional returns a length in metres, 0 when it is not given or not usable.
func (e *eval) optional(id graph.ID, attr string) float64 {
	f, ok := e.g.Float(id, attr)
	if !ok || math.IsNaN(f) || math.IsInf(f, 0) {
		return 0
	}
	return f * e.unit
}

// vec makes a point or direction of two or three numbers times k.
func vec(f []float64, k float64) (geom.Vec3, bool) {
	var v geom.Vec3
	switch len(f) {
	case 2:
		v = geom.Vec3{X: f[0] * k, Y: f[1] * k}
	case 3:
		v = geom.Vec3{X: f[0] * k, Y: f[1] * k, Z: f[2] * k}
	default:
		return v, false
	}
	return v, v.IsFinite()
}

// point reads an IfcCartesianPoint in metres; a plane point has Z 0.
func (e *eval) point(id graph.ID) (geom.Vec3, error) {
	f, n, ok := e.g.Triple(id, "Coordinates")
	if ok && n <= 3 {
		if v, ok := vec(f[:n], e.unit); ok {
			return v, nil
		}
	}
	if !e.g.Is(id, "IfcCartesianPoint") {
		return geom.Vec3{}, e.bad(id, "an IfcCartesianPoint is expected here")
	}
	return geom.Vec3{}, e.bad(id, "two or three finite coordinates are expected")
}

// pointAt reads the point that an attribute names.
func (e *eval) pointAt(id graph.ID, attr string) (geom.Vec3, error) {
	p, err := e.need(id, attr)
	if err != nil {
		return geom.Vec3{}, err
	}
	return e.point(p)
}

// direction reads the direction that an attribute names, with length 1; ok is false when it
// is not given or has no length.
func (e *eval) direction(id graph.ID, attr string) (geom.Vec3, bool) {
	r := e.g.Ref(id, attr)
	if r == 0 {
		return geom.Vec3{}, false
	}
	return e.ratios(r)
}

// ratios reads an IfcDirection; false when it has no length or is none.
func (e *eval) ratios(r graph.ID) (geom.Vec3, bool) {
	f, n, ok := e.g.Triple(r, "DirectionRatios")
	if !ok || n > 3 {
		return geom.Vec3{}, false
	}
	v, ok := vec(f[:n], 1)
	if !ok || v.Len() < 1e-12 {
		return geom.Vec3{}, false
	}
	return v.Unit(), true
}

// pointList reads an IfcCartesianPointList2D or 3D in metres.
func (e *eval) pointList(id graph.ID) ([]geom.Vec3, error) {
	rows := e.g.List(id, "CoordList")
	if len(rows) == 0 {
		return nil, e.bad(id, "CoordList is missing or empty")
	}
	out := make([]geom.Vec3, len(rows))
	for i, r := range rows {
		f, ok := r.Floats()
		if ok {
			out[i], ok = vec(f, e.unit)
		}
		if !ok {
			return nil, e.bad(id, "point %d does not have two or three finite coordinates", i+1)
		}
	}
	return out, nil
}

// indices reads a list of 1-based indices and returns them 0-based, each below n.
func (e *eval) indices(id graph.ID, v graph.Value, n int) ([]int, error) {
	items := v.Items()
	out := make([]int, len(items))
	for i, x := range items {
		k, ok := x.AsInt()
		if !ok || k < 1 || k > n {
			return nil, e.bad(id, "an index is outside 1 to %d", n)
		}
		out[i] = k - 1
	}
	return out, nil
}
