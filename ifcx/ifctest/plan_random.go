package ifctest

import (
	"math/rand"
	"slices"
)

// PlanForms are the forms of plan that RandomPlan draws.
var PlanForms = []string{"row", "depths", "ell", "court", "back", "flats", "half-step", "small-step", "set-back"}

// RandomPlan draws a sound building of a form; equal seeds give equal buildings.
func RandomPlan(seed int64, form string) Plan {
	r := rand.New(rand.NewSource(seed*1000003 + 7919*int64(slices.Index(PlanForms, form))))
	p := Plan{Style: Row(2), Wall: "double", Gap: Inch, Attic: "wall"}
	h := &p.Style
	h.Name = "Plan"
	h.Units = nil
	h.StudGap = []float64{16 * Inch, 24 * Inch}[r.Intn(2)]
	h.BoardsAs = []string{"slab", "plate"}[r.Intn(2)]
	h.BlocksAs = []string{"member", "member", "proxy"}[r.Intn(3)]
	h.StopsAs = []string{"plate", "covering"}[r.Intn(2)]
	h.WallsAs = []string{"wall", "wall", "assembly"}[r.Intn(3)]
	h.Zones = r.Intn(4) > 0
	h.Floor.Depth = []float64{14, 16, 18}[r.Intn(3)] * Inch
	if r.Intn(4) == 0 && slices.Contains([]string{"row", "depths", "back"}, form) {
		p.Attic = "sheet"
	}
	switch w := r.Intn(8); {
	case form == "set-back": // walls of two rows
	case w == 0 && form != "flats":
		p.Wall, p.Gap = "furred", core+2*Inch
	case w == 1 && form != "flats":
		p.Wall, p.Gap = "masonry", core
	case w < 4 && form == "row":
		p.Wall = "staggered"
	}
	framing := []string{"truss", "truss", "truss", "joist", "i-joist", "solid-truss"}[r.Intn(6)]
	if framing == "joist" {
		h.Floor.Depth = 11.25 * Inch
	}
	along := []string{"x", "x", "y"}[r.Intn(3)]
	storeys := 2 + r.Intn(6)/5
	side := func(lo, hi float64) float64 { return lo + float64(r.Intn(int((hi-lo)*20)))/20 }
	gap := p.Gap
	if p.shared() {
		gap = -TwoBy
	}
	unit := 0
	box := func(x, y Span, base float64) {
		d := Dwelling{X: x, Y: y, Base: base, Stud: FourWide, Along: along, Framing: framing}
		if r.Intn(5) == 0 && p.Wall == "double" {
			d.Stud = SixWide // the rows of a wall then differ
		}
		for range storeys {
			d.Units = append(d.Units, unit)
		}
		unit++
		p.Boxes = append(p.Boxes, d)
	}
	at := func(lo, length float64) Span { return Span{lo, lo + length} }
	w, d := side(5, 7), side(6.5, 8.5)
	switch form {
	case "row":
		x := 0.0
		for range 2 + r.Intn(2) {
			box(at(x, w), at(0, d), 0)
			x += w + gap
			if !p.shared() {
				w = side(5, 7)
			}
		}
	case "depths":
		x := 0.0
		for range 2 + r.Intn(2) {
			lo := []float64{0, 0.3, 0.6, 1.2, 1.8}[r.Intn(5)]
			box(at(x, w), Span{lo, 7.8 + []float64{0, 0.3, 0.6, 1.2}[r.Intn(4)]}, 0)
			x += w + gap
			w = side(5, 7)
		}
	case "set-back": // by less than the depth of a wall
		x := 0.0
		for range 2 + r.Intn(2) {
			box(at(x, w), at([]float64{0, 0.05, 0.1, 0.15}[r.Intn(4)], d), 0)
			x += w + gap
			w = side(5, 7)
		}
	case "ell", "court":
		box(at(0, w), at(0, d), 0)
		c := at(w+gap, side(5.5, 7))
		box(c, at(0, d), 0)
		box(c, at(d+gap, side(5, 6.5)), 0)
		if form == "court" {
			box(Span{-gap - w, -gap}, at(0, d), 0)
			box(Span{-gap - w, -gap}, at(d+gap, side(5, 6.5)), 0)
		}
	case "back":
		for _, y := range []Span{at(0, d), at(d+gap, side(6, 7.5))} {
			for _, x := range []Span{at(0, w), at(w+gap, w)} {
				box(x, y, 0)
			}
		}
	case "flats":
		x := 0.0
		for i, l := range []float64{w, 1.8, side(5, 7)} {
			box(at(x, l), at(0, d), 0)
			q := &p.Boxes[i]
			unit--
			for k := range q.Units {
				q.Units[k] = unit
				unit++
			}
			if i == 1 {
				unit -= storeys
				for k := range q.Units {
					q.Units[k] = -1
				}
			}
			x += l + gap
		}
		if r.Intn(2) == 0 { // a second stack behind the first
			box(at(0, w), at(d+gap, side(5, 6.5)), 0)
			q := &p.Boxes[3]
			unit--
			for k := range q.Units {
				q.Units[k] = unit
				unit++
			}
		}
	default:
		x, z := 0.0, 0.0
		step := 1.2
		if form == "small-step" {
			step = []float64{0.2, 0.3, 0.45, 0.6}[r.Intn(4)]
		}
		for range 2 + r.Intn(2) {
			box(at(x, w), at(0, d), z)
			x += w + gap
			w = side(5, 7)
			z += step
		}
	}
	p.roofOver(r, form)
	p.fitOut(r)
	return p
}

// roofOver draws the roofs: one over all, or one over each box.
func (p *Plan) roofOver(r *rand.Rand, form string) {
	x, y := p.Boxes[0].X, p.Boxes[0].Y
	for _, d := range p.Boxes {
		x, y = Span{min(x.Lo, d.X.Lo), max(x.Hi, d.X.Hi)}, Span{min(y.Lo, d.Y.Lo), max(y.Hi, d.Y.Hi)}
	}
	plate := func(i int) float64 { return p.Boxes[i].Base + storeyRise(p, &p.Boxes[i]) }
	roof := PlanRoof{Kind: "gable", Ridge: "x", Attic: "truss", X: x, Y: y, Plate: plate(0), Pitch: []float64{0.25, 1.0 / 3, 0.5, 2.0 / 3}[r.Intn(4)], Heel: []float64{8, 12}[r.Intn(2)] * Inch}
	draw := func(q *PlanRoof, kinds ...string) {
		q.Kind = kinds[r.Intn(len(kinds))]
		switch q.Kind {
		case "flat":
			q.Heel, q.Pitch, q.Attic = 14*Inch, 0, "chords"
		case "mono":
			q.Pitch = []float64{1.0 / 12, 0.25}[r.Intn(2)]
		case "gable":
			q.Attic = []string{"truss", "truss", "scissor", "rafter", "cathedral"}[r.Intn(5)]
			if (p.Wall == "furred" || p.Wall == "masonry") && (q.Attic == "scissor" || q.Attic == "cathedral") {
				q.Attic = "truss" // nothing but the masonry goes on above the plates: rooms would be open there
			}
			if q.Attic == "cathedral" {
				q.Heel = rafterDepth*1.25 + 0.03
			}
			if q.Attic == "scissor" {
				q.Pitch = max(q.Pitch, 0.5)
			}
		case "cross":
			mid := p.Boxes[0].X.Mid()
			q.Gable = Span{mid - 1.6, mid + 1.6}
		}
	}
	own := func(kinds ...string) {
		for i := range p.Boxes {
			d := &p.Boxes[i]
			q := roof
			q.X, q.Y, q.Plate = d.X, d.Y, plate(i)
			q.Ridge = []string{"x", "y"}[r.Intn(2)]
			draw(&q, kinds...)
			d.Roof = i
			p.Roofs = append(p.Roofs, q)
		}
	}
	switch form {
	case "row":
		draw(&roof, "gable", "gable", "hip", "mono", "flat", "cross")
	case "back":
		draw(&roof, "gable", "hip", "mono", "flat")
	case "flats":
		draw(&roof, "flat", "hip", "gable")
		if len(p.Boxes) > 3 {
			draw(&roof, "flat")
		}
	case "ell":
		if r.Intn(2) == 0 {
			own("gable", "hip", "mono", "flat")
			return
		}
		c := p.Boxes[1]
		roof.Kind, roof.Y, roof.Wing = "ell", c.Y, [2]Span{c.X, {c.Y.Lo, p.Boxes[2].Y.Hi}}
	case "court":
		if r.Intn(2) == 0 {
			own("gable", "hip", "mono", "flat")
			return
		}
		draw(&roof, "flat")
	default:
		own("gable", "gable", "mono", "flat", "hip")
		return
	}
	p.Roofs = []PlanRoof{roof}
}

// fitOut draws draftstops, stair wells and rooms whose ceilings are not modelled.
func (p *Plan) fitOut(r *rand.Rand) {
	for i := range p.Boxes {
		d := &p.Boxes[i]
		if d.Units[0] < 0 {
			continue
		}
		across := d.Y.Len()
		if d.Along == "y" {
			across = d.X.Len()
		}
		switch f := d.Framing; {
		case (f == "truss" || f == "solid-truss") && r.Intn(2) == 0:
			d.Stops = []float64{across / 2}
		case r.Intn(4) == 0 && d.Units[0] == d.Units[len(d.Units)-1]: // beside the unit line now and then
			d.Well = &StairHole{X: []float64{0.05, 1, d.X.Len() - 1.2}[r.Intn(3)], Y: 1.5, LX: 0.9, LY: 2.6}
		}
		if q := p.Roofs[d.Roof]; q.Attic != "cathedral" && q.Attic != "rafter" && r.Intn(3) == 0 {
			along := d.X.Len()
			if q.Ridge == "y" {
				along = d.Y.Len()
			}
			d.AtticStops = []float64{along / 2}
		}
		if r.Intn(8) == 0 && !p.sloped(i) {
			p.Bare = append(p.Bare, [2]int{i, r.Intn(len(d.Units))})
		}
	}
}
