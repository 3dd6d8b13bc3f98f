package propose

import (
	"math"

	"voidcheck/checks"
	"voidcheck/checks/crossing"
	"voidcheck/checks/finding"
	"voidcheck/ifcx/geom"
)

// seal answers an item about a service through a floor, ceiling, plate or separation: the ring
// to fill.
func (m *maker) seal(r *checks.Report) *finding.Proposal {
	if !m.looked {
		in := &m.Building.Input
		runs := crossing.Runs(m.Building)
		m.barriers = crossing.Barriers(in, runs)
		m.walls = crossing.Walls(in, crossing.Strips(in, m.Voids.Lines), runs)
		m.looked = true
	}
	var c *crossing.Crossing
	for _, x := range m.barriers {
		if x.Point == r.Point {
			c = x
		}
	}
	for _, x := range m.walls {
		if x.Point == r.Point {
			c = x.Crossing
		}
	}
	if c == nil {
		return nil
	}
	half := c.WidthM/2 + c.RingM
	side := geom.Vec2{X: -c.Normal.Y, Y: c.Normal.X} // along a wall; along x for a floor
	if side.Len() < 0.5 {
		side = geom.Vec2{X: 1}
	}
	side = side.Unit().Mul(half)
	p := c.Point.Plan()
	s := finding.ProposedStop{
		Kind: "seal", Line: [2][2]float64{m.plan(p.Sub(side)), m.plan(p.Add(side))}, LengthM: checks.Round(2*half, 1e-4),
		Z:      m.heights(c.Point.Z-math.Abs(c.Normal.Plan().Len())*half, c.Point.Z+math.Abs(c.Normal.Plan().Len())*half),
		WidthM: checks.Round(c.WidthM, 1e-4), RingM: checks.Round(c.RingM, 1e-4), Services: m.ids(c.Services),
	}
	for _, b := range c.Barriers {
		if id := m.id(b); id != "" {
			s.Attach, s.AttachName = id, finding.Clean(m.w.Element(b))
			break
		}
	}
	return &finding.Proposal{Kind: "seals", Stops: []finding.ProposedStop{s}}
}
