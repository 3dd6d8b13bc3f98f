package propose

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"voidcheck/ifcx/geom"
)

const (
	inch = 0.0254
	foot = 0.3048
	ft2  = foot * foot
)

func ring(pts ...float64) []geom.Vec2 {
	var r []geom.Vec2
	for i := 0; i+1 < len(pts); i += 2 {
		r = append(r, geom.Vec2{X: pts[i] * foot, Y: pts[i+1] * foot})
	}
	return r
}

// divide divides rings in feet, with members along x and faces every spacing inches across
// them from y = 0; spacing 0 lets lines stand anywhere.
func divide(rings [][]geom.Vec2, spacingIn, limitFt2 float64) *division {
	a := axes{dir: geom.Vec2{X: 1}}
	if spacingIn == 0 {
		return anywhere(rings, a, limitFt2*ft2)
	}
	var faces []face
	var at []float64
	for t := spacingIn * inch; t < 400*foot; t += spacingIn * inch {
		faces = append(faces, face{at: t})
		at = append(at, t)
	}
	return newTask(newRegion(rings, a, at), faces, limitFt2*ft2).solve()
}

func inFt2(d *division) []float64 {
	var out []float64
	for _, a := range d.parts {
		out = append(out, math.Round(a/ft2*10)/10)
	}
	return out
}

func cuts(d *division) []float64 {
	var out []float64
	for i := range d.runs {
		out = append(out, math.Round(d.runs[i].at/inch*1000)/1000)
	}
	return out
}

// The worked examples of dividing one simple void: N = ceil(A / limit), draftstops N - 1,
// on truss lines as near to equal parts as they allow. The figures are arithmetic on the
// 1,000 ft2 of 24 CFR 3280.216 and the 3,000 ft2 of 780 CMR 717.4.3.
func TestWorkedExamples(t *testing.T) {
	floor := [][]geom.Vec2{ring(0, 0, 48, 0, 48, 50, 0, 50)} // 50 ft across the trusses
	for _, c := range []struct {
		name    string
		rings   [][]geom.Vec2
		spacing float64 // inches
		limit   float64 // ft2
		parts   []float64
		cuts    []float64 // inches
	}{
		{"1: 50 x 48 ft, 16 in", floor, 16, 1000, []float64{832, 800, 768}, []float64{192, 400}},
		{"1: 50 x 48 ft, 19.2 in", floor, 19.2, 1000, []float64{844.8, 787.2, 768}, []float64{192, 403.2}},
		{"1: 50 x 48 ft, 24 in", floor, 24, 1000, []float64{864, 768, 768}, []float64{192, 408}},
		{"2: the same at 500 ft2, 24 in", floor, 24, 500, []float64{480, 480, 480, 480, 480}, []float64{120, 240, 360, 480}},
		{"3: 25 x 40 ft is not over", [][]geom.Vec2{ring(0, 0, 40, 0, 40, 25, 0, 25)}, 24, 1000, []float64{1000}, nil},
		{"3: 25 x 40.01 ft is", [][]geom.Vec2{ring(0, 0, 40, 0, 40, 25.00625, 0, 25.00625)}, 24, 1000, []float64{520.3, 480}, []float64{144}},
		{"4: attic 60 x 80 ft", [][]geom.Vec2{ring(0, 0, 60, 0, 60, 80, 0, 80)}, 24, 3000, []float64{2400, 2400}, []float64{480}},
		{"8: 20 x 40 ft", [][]geom.Vec2{ring(0, 0, 20, 0, 20, 40, 0, 40)}, 24, 1000, []float64{800}, nil},
		{"8: 24 x 45 ft, anywhere", [][]geom.Vec2{ring(0, 0, 45, 0, 45, 24, 0, 24)}, 0, 1000, []float64{540, 540}, []float64{144}},
		{"9: L-shape, anywhere", [][]geom.Vec2{ring(0, 0, 40, 0, 40, 30, 20, 30, 20, 45, 0, 45)}, 0, 1000, []float64{750, 750}, []float64{225}}, // 18.75 ft
		{"9: L-shape, 24 in", [][]geom.Vec2{ring(0, 0, 40, 0, 40, 30, 20, 30, 20, 45, 0, 45)}, 24, 1000, []float64{780, 720}, []float64{216}},
	} {
		d := divide(c.rings, c.spacing, c.limit)
		if d == nil {
			t.Errorf("%s: no division", c.name)
			continue
		}
		if got := inFt2(d); fmt.Sprint(got) != fmt.Sprint(c.parts) {
			t.Errorf("%s: parts %v ft2, want %v", c.name, got, c.parts)
		}
		if got := cuts(d); fmt.Sprint(got) != fmt.Sprint(c.cuts) {
			t.Errorf("%s: lines at %v in, want %v", c.name, got, c.cuts)
		}
	}
}

// A void shaped like a U: trusses along x, legs up from the base. One line across one leg is
// one stop; one across both legs is two pieces.
func TestUShape(t *testing.T) {
	u := [][]geom.Vec2{ring(0, 0, 60, 0, 60, 40, 40, 40, 40, 20, 20, 20, 20, 40, 0, 40)} // 60 x 20 and two legs of 20 x 20
	d := divide(u, 24, 1600)
	// Through the base 16 ft up: 960 ft2 below; what is left of the base still joins the legs.
	if got := inFt2(d); len(d.runs) != 1 || fmt.Sprint(got) != "[1040 960]" {
		t.Errorf("parts %v by %d runs at %v", got, len(d.runs), cuts(d))
	}
	if d.lines != 1 {
		t.Errorf("%d lines, want 1", d.lines)
	}
	d = divide(u, 24, 700) // the base alone is 1,200 ft2: two lines, both legs off
	if d.lines != 2 || d.parts[0] > 700*ft2*(1+1e-9) {
		t.Errorf("parts %v by %d lines at %v", inFt2(d), d.lines, cuts(d))
	}
}

// A stair well interrupts the line that would divide a void most evenly: the stop stands in
// two pieces beside it.
func TestStairHole(t *testing.T) {
	with := [][]geom.Vec2{ring(0, 0, 40, 0, 40, 30, 0, 30), ring(25, 10, 25, 21, 29, 21, 29, 10)}
	d := divide(with, 24, 1000)
	if d.lines != 1 || len(d.runs) != 2 {
		t.Fatalf("%d lines in %d pieces at %v, want 1 in 2", d.lines, len(d.runs), cuts(d))
	}
	// 1,156 ft2; lines are 2 ft apart: 14 ft up there are 544 ft2 below and 612 above, 16 ft up 616 and 540.
	if got := inFt2(d); fmt.Sprint(got) != "[612 544]" {
		t.Errorf("parts %v", got)
	}
	if l := d.length() / foot; math.Abs(l-36) > 1e-6 {
		t.Errorf("%.3f ft of stops, want 36: the well takes 4", l)
	}
}

// Against trying every set of lines: as few lines and as small a ratio.
func TestStraightAgainstEverySet(t *testing.T) {
	r := rand.New(rand.NewSource(11))
	for n := range 60 {
		// Steps of different width: one cell a slab, so that every line is one run.
		var left, right []float64
		y := 0.0
		for range 2 + r.Intn(3) {
			w := 20 + float64(r.Intn(30))
			left = append([]float64{0, y}, left...)
			right = append(right, w, y)
			y += 8 + float64(r.Intn(20))
			left = append([]float64{0, y}, left...)
			right = append(right, w, y)
		}
		rings := [][]geom.Vec2{ring(append(right, left...)...)}
		limit := 300 + float64(r.Intn(600))
		d := divide(rings, 24, limit)
		lines, ratio := everySet(rings, 24, limit)
		switch {
		case (d == nil) != (lines < 0):
			t.Fatalf("%d: division %v, trying all gives %d lines", n, d, lines)
		case d != nil && (d.lines != lines || lines <= 3 && math.Abs(d.ratio()-ratio) > 1e-6):
			t.Errorf("%d: %d lines with ratio %.6f, trying all gives %d with %.6f", n, d.lines, d.ratio(), lines, ratio)
		}
	}
}

// everySet tries every set of up to three lines.
func everySet(rings [][]geom.Vec2, spacingIn, limitFt2 float64) (lines int, ratio float64) {
	var at []float64
	top := 0.0
	for _, p := range rings[0] {
		top = math.Max(top, p.Y)
	}
	for t := spacingIn * inch; t < top-1e-9; t += spacingIn * inch {
		at = append(at, t)
	}
	r := newRegion(rings, axes{dir: geom.Vec2{X: 1}}, at)
	try := func(set ...float64) (float64, bool) {
		last, lo, hi := 0.0, math.Inf(1), 0.0
		for _, t := range append(set, top) {
			a := r.below(t) - last
			last += a
			lo, hi = math.Min(lo, a), math.Max(hi, a)
		}
		return hi / lo, hi <= limitFt2*ft2*(1+1e-9)
	}
	ratio = math.Inf(1)
	note := func(set ...float64) {
		if x, ok := try(set...); ok {
			ratio = math.Min(ratio, x)
		}
	}
	if note(); !math.IsInf(ratio, 1) {
		return 0, 1
	}
	for _, a := range at {
		note(a)
	}
	if !math.IsInf(ratio, 1) {
		return 1, ratio
	}
	for i, a := range at {
		for _, b := range at[i+1:] {
			note(a, b)
		}
	}
	if !math.IsInf(ratio, 1) {
		return 2, ratio
	}
	for i, a := range at {
		for j, b := range at[i+1:] {
			for _, c := range at[i+j+2:] {
				note(a, b, c)
			}
		}
	}
	if !math.IsInf(ratio, 1) {
		return 3, ratio
	}
	d := divide(rings, spacingIn, limitFt2) // four and more: only that none fewer will do
	if d == nil {
		return -1, 0
	}
	return max(4, d.lines), 0
}
