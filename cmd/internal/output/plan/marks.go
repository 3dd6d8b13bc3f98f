package plan

import "math"

const (
	markSize  = 2.5 // of the number
	markRound = 2.1 // radius of the mark
)

// box is a place on paper that is taken: its middle and half its sizes.
type box struct{ x, y, w, h float64 }

// label writes a text on white ground that marks keep clear of.
func (v *view) label(at Point, size float64, s string) {
	v.p.label(at, size, s)
	if s != "" {
		v.labels = append(v.labels, box{at.X, at.Y, TextWidth(s, size)/2 + 0.4, size * 0.62})
	}
}

// marks draws numbers at their places. Where one would cover another or a label it moves
// aside, and a line leads to its place.
func (v *view) marks(list []Mark) {
	taken := v.labels
	free := func(b box) bool {
		if b.x-b.w < 0.3 || b.x+b.w > v.p.W-0.3 || b.y < b.h+0.3 || b.y > v.p.H-v.low+2-b.h {
			return false
		}
		for _, t := range taken {
			if math.Abs(b.x-t.x) < b.w+t.w+0.25 && math.Abs(b.y-t.y) < b.h+t.h+0.25 {
				return false
			}
		}
		return true
	}
	type placed struct {
		m      Mark
		at, to Point
		w      float64
	}
	var out []placed
	for _, m := range list {
		to := v.at([2]float64{m.Point[0], m.Point[1]})
		if to.X < 0 || to.X > v.p.W || to.Y < 0 || to.Y > v.p.H {
			continue
		}
		w := max(markRound, TextWidth(m.Text, markSize)/2+0.6)
		best := box{to.X, to.Y, w, markRound}
		for r := 0.0; r < 60; r += 1.7 {
			found := false
			steps := max(1, int(r*2))
			for k := range steps {
				// Upwards first, then to either side.
				a := -math.Pi/2 + float64((k+1)/2)*float64(1-2*(k%2))*2*math.Pi/float64(steps)
				if b := (box{to.X + r*math.Cos(a), to.Y + r*math.Sin(a), w, markRound}); free(b) {
					best, found = b, true
					break
				}
			}
			if found {
				break
			}
		}
		taken = append(taken, best)
		out = append(out, placed{m, Point{best.x, best.y}, to, w})
	}
	for _, q := range out {
		if math.Hypot(q.at.X-q.to.X, q.at.Y-q.to.Y) > 0.5 && !v.labelled(q.to) {
			v.p.line(Leader, q.at, q.to)
			v.p.add(Shape{Look: Stop, At: q.to, R: 0.45})
		}
	}
	for _, q := range out {
		v.p.mark(q.at, q.w, q.m)
	}
}

// labelled reports whether a label stands at a place: a mark beside it needs no line.
func (v *view) labelled(p Point) bool {
	for _, b := range v.labels {
		if math.Abs(p.X-b.x) < b.w && math.Abs(p.Y-b.y) < b.h {
			return true
		}
	}
	return false
}

// mark draws one number: in a round field what is to be corrected or shown, in a square one
// what is to be looked at.
func (p *Picture) mark(at Point, w float64, m Mark) {
	switch {
	case m.Look == Check:
		p.area(m.Look, []Point{{at.X - w, at.Y - markRound}, {at.X + w, at.Y - markRound}, {at.X + w, at.Y + markRound}, {at.X - w, at.Y + markRound}})
	case w <= markRound:
		p.add(Shape{Look: m.Look, At: at, R: markRound})
	default:
		var ring []Point
		for k := range 24 {
			a := float64(k) / 24 * 2 * math.Pi
			x := w - markRound
			if math.Cos(a) < 0 {
				x = -x
			}
			ring = append(ring, Point{at.X + x + markRound*math.Cos(a), at.Y + markRound*math.Sin(a)})
		}
		p.area(m.Look, ring)
	}
	look := Ink
	if m.Look.Light() {
		look = Ground
	}
	p.add(Shape{Look: look, At: at, Size: markSize, Bold: true, Text: m.Text})
}
