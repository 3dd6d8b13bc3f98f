package shape

import (
	"fmt"
	"sync"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

// Placement returns the frame of an object placement (IfcLocalPlacement, IfcGridPlacement,
// IfcLinearPlacement) in the file's own coordinates, in metres; unit is the metres per length
// unit. 0 is the identity. What cannot be read is reported in the graph's log, and ok is
// false: the transform then leaves that step of the chain out.
func Placement(g *graph.Graph, id graph.ID, unit float64) (m geom.Mat, ok bool) {
	return NewPlacements(g, unit).Of(id)
}

// Placements reads the placements of one file. Those that others are relative to are kept, so
// that a chain is walked once and not for every product at its end. It may be used by several
// goroutines.
type Placements struct {
	g           *graph.Graph
	unit, angle float64
	above       sync.Map // graph.ID to placed
}

// placed is the frame of a placement in the file's own coordinates.
type placed struct {
	m  geom.Mat
	ok bool
}

// NewPlacements returns the placements of a file; unit is the metres per length unit.
func NewPlacements(g *graph.Graph, unit float64) *Placements {
	radians, _ := AngleUnit(g)
	return &Placements{g: g, unit: unit, angle: radians}
}

// Of is Placement.
func (p *Placements) Of(id graph.ID) (m geom.Mat, ok bool) {
	if x, ends := p.of(id, 0, false); ends {
		return x.m, x.ok
	}
	return relative(p.g, id, 0, p.unit, p.angle) // which reports where the chain does not end
}

// of returns the frame of a placement and keeps it when asked to; ends is false when the
// chain is too long or a ring.
func (p *Placements) of(id graph.ID, depth int, keep bool) (x placed, ends bool) {
	if id == 0 {
		return placed{geom.Identity(), true}, true
	}
	if keep {
		if x, known := p.above.Load(id); known {
			return x.(placed), true
		}
	}
	if depth >= maxDepth {
		return placed{}, false
	}
	if x, ends = p.of(p.g.Ref(id, "PlacementRelTo"), depth+1, true); !ends {
		return x, false
	}
	step, ok := (&eval{g: p.g, unit: p.unit, angle: p.angle}).reportedStep(id)
	x = placed{x.m.Then(step), x.ok && ok}
	if keep {
		p.above.Store(id, x)
	}
	return x, true
}

// relative returns the frame of a placement as seen from one of the placements above it; 0
// is the file's own coordinates.
func relative(g *graph.Graph, id, above graph.ID, unit, angle float64) (m geom.Mat, ok bool) {
	e := &eval{g: g, unit: unit, angle: angle}
	m, ok = geom.Identity(), true
	for id != 0 && id != above {
		if err := e.enter(id); err != nil {
			g.Report(source.Skipped, id, "placement", fmt.Sprintf("the chain of placements does not end: %v; what lies above is left out", err), "export the model again")
			return m, false
		}
		step, read := e.reportedStep(id)
		ok = ok && read
		m = step.Then(m)
		id = g.Ref(id, "PlacementRelTo")
	}
	return m, ok
}

// reportedStep is step with what cannot be read in the log; the step is then the identity.
func (e *eval) reportedStep(id graph.ID) (geom.Mat, bool) {
	step, err := e.step(id)
	if err != nil {
		e.g.Report(source.Skipped, id, "placement", fmt.Sprintf("the placement is not read: %v; this step is left out", err), "")
		return step, false
	}
	return step, true
}

// step reads one placement relative to the one above.
func (e *eval) step(id graph.ID) (geom.Mat, error) {
	switch {
	case e.g.Is(id, "IfcLocalPlacement"):
		m, err := e.axesAt(id, "RelativePlacement")
		if err != nil {
			return geom.Identity(), err
		}
		return m, nil
	case e.g.Is(id, "IfcGridPlacement"):
		m, err := e.gridStep(id)
		if err != nil {
			return geom.Identity(), err
		}
		return m, nil
	case e.g.Is(id, "IfcLinearPlacement"):
		if c := e.g.Ref(id, "CartesianPosition"); c != 0 { // the fallback that the standard provides
			if m, err := e.axes(c); err == nil {
				return m, nil
			}
		}
		return geom.Identity(), e.bad(id, "a placement along an alignment without CartesianPosition is not read")
	}
	return geom.Identity(), e.bad(id, "this kind of placement is not read")
}

// gridStep reads a placement on the crossing of two grid axes. In IFC2X3 and IFC4 the
// result is in the grid's own frame; the grid's placement is put above it.
func (e *eval) gridStep(id graph.ID) (geom.Mat, error) {
	loc, err := e.need(id, "PlacementLocation")
	if err != nil {
		return geom.Mat{}, err
	}
	o, dir, grid, err := e.crossing(loc)
	if err != nil {
		return geom.Mat{}, err
	}
	if ref := e.g.Ref(id, "PlacementRefDirection"); ref != 0 {
		if e.g.Is(ref, "IfcVirtualGridIntersection") {
			if p, _, _, err := e.crossing(ref); err == nil {
				dir = p.Sub(o)
			}
		} else if f, ok := e.g.Floats(ref, "DirectionRatios"); ok {
			if v, ok := vec(f, 1); ok {
				dir = v
			}
		}
	}
	m := axesFrom(o, axisZ, dir)
	if grid == 0 || e.g.Ref(id, "PlacementRelTo") != 0 {
		return m, nil
	}
	above, ok := relative(e.g, e.g.Ref(grid, "ObjectPlacement"), 0, e.unit, e.angle)
	if !ok {
		return m, e.bad(grid, "the grid has no readable placement")
	}
	return above.Then(m), nil
}

// crossing reads an IfcVirtualGridIntersection: the crossing of two grid axes moved by its
// offsets, the direction of the first axis there, and the grid.
func (e *eval) crossing(id graph.ID) (o, dir geom.Vec3, grid graph.ID, err error) {
	axes := e.g.Refs(id, "IntersectingAxes")
	if len(axes) != 2 {
		return o, dir, 0, e.bad(id, "%d grid axes are named, two are expected", len(axes))
	}
	offsets, _ := e.g.Floats(id, "OffsetDistances")
	var lines [2][]geom.Vec3
	for k, a := range axes {
		c, err := e.need(a, "AxisCurve")
		if err != nil {
			return o, dir, 0, err
		}
		if lines[k], err = e.polyline(c); err != nil {
			return o, dir, 0, err
		}
		if same, known := e.g.Bool(a, "SameSense"); known && !same {
			n := len(lines[k])
			for i := range n / 2 {
				lines[k][i], lines[k][n-1-i] = lines[k][n-1-i], lines[k][i]
			}
		}
		if k < len(offsets) && offsets[k] != 0 {
			if moved := offset(lines[k], offsets[k]*e.unit, axisZ); moved != nil {
				lines[k] = moved
			}
		}
	}
	p, d, ok := meet(lines[0], lines[1])
	if !ok {
		return o, dir, 0, e.bad(id, "the grid axes do not cross")
	}
	o, dir = geom.Vec3{X: p.X, Y: p.Y}, geom.Vec3{X: d.X, Y: d.Y}
	if len(offsets) > 2 {
		o.Z = offsets[2] * e.unit
	}
	for _, attr := range []string{"UAxes", "VAxes", "WAxes"} {
		if g := e.g.Inverse(axes[0], "IfcGrid", attr); len(g) > 0 {
			grid = g[0]
		}
	}
	return o, dir, grid, nil
}

// meet returns where two chains of points cross in plan, prolonged at their ends, and the
// direction of the first one there.
func meet(a, b []geom.Vec3) (p, dir geom.Vec2, ok bool) {
	for i := 1; i < len(a); i++ {
		for j := 1; j < len(b); j++ {
			p0, d := a[i-1].Plan(), a[i].Plan().Sub(a[i-1].Plan())
			q0, f := b[j-1].Plan(), b[j].Plan().Sub(b[j-1].Plan())
			den := d.Cross(f)
			if den == 0 {
				continue
			}
			s, t := q0.Sub(p0).Cross(f)/den, q0.Sub(p0).Cross(d)/den
			inA := (s >= 0 || i == 1) && (s <= 1 || i == len(a)-1)
			inB := (t >= 0 || j == 1) && (t <= 1 || j == len(b)-1)
			if inA && inB {
				return p0.Add(d.Mul(s)), d.Unit(), true
			}
		}
	}
	return p, dir, false
}
