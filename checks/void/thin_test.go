package void

import (
	"math"
	"testing"

	"voidcheck/ifcx/geom"
)

// A slit of 2 mm along the ends of three members: its cells begin and end where the bays do,
// and the plan keeps its area.
func TestSplitThin(t *testing.T) {
	rect := func(u0, v0, u1, v1 float64) [][2]geom.Vec2 {
		return [][2]geom.Vec2{{{X: u0, Y: v0}, {X: u1, Y: v0}}, {{X: u1, Y: v0}, {X: u1, Y: v1}}, {{X: u0, Y: v1}, {X: u1, Y: v1}}, {{X: u0, Y: v0}, {X: u0, Y: v1}}}
	}
	edges := rect(0, 0, 5.002, 3)
	for _, v := range []float64{0.5, 1.5, 2.5} {
		edges = append(edges, rect(0, v, 5, v+0.1)...)
	}
	p := newPlan(1, nil, edges, 0, &scratch{})
	area := func() float64 {
		a := 0.0
		for i := range p.cells {
			a += p.cells[i].area
		}
		return a
	}
	before := area()
	p = newPlan(1, nil, edges, 0.0127, &scratch{})
	if a := area(); math.Abs(a-before) > 1e-9 || math.Abs(a-5.002*3) > 1e-9 {
		t.Errorf("area %.9f, before %.9f", a, before)
	}
	slit := p.slabAt(5.001)
	from, to := p.row(slit)
	if n := to - from; n != 7 { // four bays and three members
		t.Errorf("the slit has %d cells, want 7", n)
	}
	for k := from; k < to; k++ {
		c := &p.cells[k]
		beside := p.at(4.9, c.cv)
		if b := &p.cells[beside]; math.Abs(b.lo1-c.lo0) > 1e-6 || math.Abs(b.hi1-c.hi0) > 1e-6 {
			t.Errorf("cell %.3f-%.3f of the slit lies beside one of %.3f-%.3f", c.lo0, c.hi0, b.lo1, b.hi1)
		}
	}
}

// A plan whose edges cut more cells than fit into memory has none and says so; one with as
// many edges that cross less is cut as ever.
func TestTooFine(t *testing.T) {
	fan := func(n int, spread float64) [][2]geom.Vec2 {
		var edges [][2]geom.Vec2
		for i := range n {
			a, x := float64(i)*spread, float64(i*7919%2003)/100
			edges = append(edges, [2]geom.Vec2{{X: x - 4*math.Cos(a), Y: 10 - 4*math.Sin(a)}, {X: x + 4*math.Cos(a), Y: 10 + 4*math.Sin(a)}})
		}
		return edges
	}
	p := newPlan(1, nil, fan(1500, 1), 0.0127, &scratch{})
	if !p.tooFine || len(p.cells) > 0 || p.slabs() != 0 || p.at(10, 10) >= 0 {
		t.Errorf("%d cells in %d slabs, tooFine is %v; want none", len(p.cells), p.slabs(), p.tooFine)
	}
	p.touches(func(touch) { t.Error("cells that touch") })
	if p := newPlan(1, nil, fan(1500, math.Pi), 0.0127, &scratch{}); p.tooFine {
		t.Error("parallel edges are too many")
	}
}
