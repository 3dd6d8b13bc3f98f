package shape

import (
	"fmt"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// part is one solid on its way from an item to a mesh. What is to be taken away from it is
// only noted until the mesh is made, because the order does not matter and a prism that is
// still a prism can lose its openings exactly. A part is never changed once it is made.
type part struct {
	item  graph.ID
	kind  string
	prism *prism     // set for prisms; then mesh is made from it
	mesh  *geom.Mesh // set for everything else
	cuts  []cut      // half-spaces to take away
	minus []*part    // solids to take away
	load  int        // how many solids minus stands for, up to maxOps
	boxed bool
	open  bool
	// opening is set for what IfcRelVoidsElement takes away.
	opening bool

	// whole is the finished mesh, cuts and all, of a prism that several elements share, and
	// wholeAt moves it into the part's frame.
	whole   *geom.Mesh
	wholeAt geom.Mat
}

// placed returns the part moved by a transform.
func (p *part) placed(m geom.Mat) *part {
	if m == geom.Identity() {
		return p
	}
	q := *p
	if p.prism != nil {
		q.prism, q.wholeAt = p.prism.placed(m), m.Then(p.wholeAt)
	} else {
		q.mesh = p.mesh.Transform(m)
	}
	q.cuts = nil
	for _, c := range p.cuts {
		q.cuts = append(q.cuts, c.placed(m))
	}
	q.minus = nil
	for _, o := range p.minus {
		q.minus = append(q.minus, o.placed(m))
	}
	return &q
}

// weight counts the solids that are to be taken from the part, and from those, and itself.
func (p *part) weight() int { return 1 + p.load }

// without returns the part with more to be taken away.
func (p *part) without(tools []*part) *part {
	if len(tools) == 0 {
		return p
	}
	q := *p
	q.minus = append(p.minus[:len(p.minus):len(p.minus)], tools...)
	q.whole = nil
	for _, t := range tools {
		q.load = min(q.load+t.weight(), maxOps)
	}
	return &q
}

// solid makes the mesh of the part with all that is to be taken away gone. It also tells
// what could not be taken away.
func (p *part) solid() (*geom.Mesh, []string) {
	if p.whole != nil {
		if p.wholeAt == geom.Identity() {
			return p.whole, nil
		}
		return p.whole.Transform(p.wholeAt), nil
	}
	var trouble []string
	m, left := p.mesh, p.minus
	if p.prism != nil {
		m, left = p.prism.without(left)
	}
	most := maxClipped
	if m != nil {
		most += 2 * len(m.Tris)
	}
	for i, c := range p.cuts {
		if m != nil && len(m.Tris) > most {
			trouble = append(trouble, fmt.Sprintf("is cut into %d faces by %d half-spaces, the other %d are left out", len(m.Tris), i, len(p.cuts)-i))
			break
		}
		var err error
		if m, err = c.from(m); err != nil {
			trouble = append(trouble, fmt.Sprintf("cannot be cut by the half-space: %v", err))
		}
	}
	for _, o := range left {
		if o.opening && o.prism != nil {
			o = o.longer(geom.Flush) // so that no skin of export rounding closes it
		}
		tool, t := o.solid()
		trouble = append(trouble, t...)
		r, err := combine(m, tool, geom.Difference)
		if err != nil {
			trouble = append(trouble, fmt.Sprintf("cannot lose the solid of %s: %v", o.kind, err))
		}
		m = r
	}
	return m, trouble
}

// longer returns a prism part prolonged by d metres at both ends.
func (p *part) longer(d float64) *part {
	q, r := *p, *p.prism
	d /= max(r.frame.Z.Len(), 1e-9)
	r.frame.O = r.frame.O.Sub(r.frame.Z.Mul(d))
	r.depth += 2 * d
	q.prism, q.whole = &r, nil
	return &q
}

// maxClipped is to how many faces half-spaces may cut a solid that had few: each cuts the faces
// that those before it made.
const maxClipped = 10_000

// maxPairs bounds the work of one solid operation: the product of both face counts.
const maxPairs = 60_000_000

// combine is geom.CombineSolids that always returns a usable mesh: that of a when the
// operation is not possible.
func combine(a, b *geom.Mesh, op geom.Op) (*geom.Mesh, error) {
	if len(a.Tris)*len(b.Tris) > maxPairs {
		return a, fmt.Errorf("%d and %d faces are too many", len(a.Tris), len(b.Tris))
	}
	m, err := geom.CombineSolids(a, b, op)
	if m == nil {
		return a, err
	}
	if err != nil && !plausible(a, b, m, op) {
		return a, err
	}
	return m, err
}

// plausible tells whether an operation whose result did not close gave a volume that it can have.
func plausible(a, b, m *geom.Mesh, op geom.Op) bool {
	const slack = 1e-6 // cubic metres: what unclosed slits can be worth
	va, vb, v := a.Volume(), b.Volume(), m.Volume()
	switch op {
	case geom.Union:
		return v >= max(va, vb)-slack && v <= va+vb+slack
	case geom.Intersection:
		return v >= -slack && v <= min(va, vb)+slack
	}
	return v >= va-vb-slack && v <= va+slack
}
