package plan

import (
	"fmt"
	"math"

	"voidcheck/checks/measure"
)

// grid draws named axes with their names at the upper and left ends.
func (v *view) grid() {
	for _, g := range v.s.d.Grid {
		a, b := v.at(g.Line[0]), v.at(g.Line[1])
		v.p.line(Hair, a, b)
		top := a
		if b.Y < a.Y-0.1 || math.Abs(a.Y-b.Y) <= 0.1 && b.X < a.X {
			top = b
		}
		top.X, top.Y = min(max(top.X, 2), v.p.W-2), max(top.Y, 2)
		v.label(top, 2.2, fit(g.Name, 6))
	}
}

// bar draws the scale bar below the plan.
func (v *view) bar() {
	type bar struct {
		m    float64
		text string
	}
	bars := []bar{{1, "1 m"}, {2, "2 m"}, {5, "5 m"}, {10, "10 m"}, {20, "20 m"}, {50, "50 m"}}
	if v.s.us() {
		f := measure.MetresPerFoot
		bars = []bar{{4 * f, "4 ft"}, {8 * f, "8 ft"}, {16 * f, "16 ft"}, {32 * f, "32 ft"}, {64 * f, "64 ft"}, {160 * f, "160 ft"}}
	}
	b := bars[0]
	for _, c := range bars {
		if c.m*1000/v.scale <= 32 {
			b = c
		}
	}
	w, y := b.m*1000/v.scale, v.p.H-3.2
	const h = 0.9
	v.p.area(Ink, []Point{{border, y}, {border + w, y}, {border + w, y + h}, {border, y + h}})
	v.p.area(Stop, []Point{{border, y}, {border + w/2, y}, {border + w/2, y + h}, {border, y + h}})
	v.p.text(Point{border + w + 1.2, y + h/2}, 2.2, Start, false, fmt.Sprintf("%s   about 1:%.0f", b.text, round(v.scale)))
}

// round gives two digits to a scale.
func round(f float64) float64 {
	step := 5.0
	if f > 500 {
		step = 50
	}
	return math.Round(f/step) * step
}

// north draws an arrow to true north where the model tells it, and otherwise the direction
// of the model's y, which texts call plan north.
func (v *view) north() {
	d, name := [2]float64{0, 1}, "plan north"
	if n := v.s.d.North; n != nil {
		d, name = *n, "N"
	}
	t := v.s.turn(d)
	l := math.Hypot(t[0], t[1])
	if l == 0 {
		return
	}
	x, y := t[0]/l, -t[1]/l
	c := Point{v.p.W - 9, v.p.H - 3.6}
	if math.Abs(y) > 0.5 {
		c.Y = v.p.H - 5
	}
	tip, tail := Point{c.X + x*3, c.Y + y*3}, Point{c.X - x*3, c.Y - y*3}
	v.p.line(Ink, tail, tip)
	v.p.area(Stop, []Point{tip, {tip.X - x*1.6 - y*0.7, tip.Y - y*1.6 + x*0.7}, {tip.X - x*1.6 + y*0.7, tip.Y - y*1.6 - x*0.7}})
	v.p.text(Point{c.X - 4.2, c.Y}, 2.2, End, false, name)
}
