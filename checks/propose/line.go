package propose

import (
	"math"
	"slices"
	"sort"

	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// narrowBay is the width below which what lies between two members is no bay, metres.
const narrowBay = 0.03

// line answers an item about a unit line that is open: a block for each open bay of a floor
// void, a draftstop for the opening along an attic.
func (m *maker) line(r *checks.Report) *finding.Proposal {
	p := &finding.Proposal{Kind: "bays"}
	for _, o := range r.Openings {
		l := o.Line
		if l == nil || l.Void == nil || l.B.Sub(l.A).Len() < 1e-6 {
			continue
		}
		a := axes{o: l.A, dir: l.B.Sub(l.A).Unit()}
		switch {
		case o.Kind == void.OpenBay:
			s, _ := a.in(o.Point.Plan())
			p.Stops = append(p.Stops, m.bay(l, a, void.Span{Lo: s - o.WidthM/2, Hi: s + o.WidthM/2}, o.HeightM, o.Members))
		case o.Kind != void.OpenLine:
			return nil // a gap at a stop is closed there, as its remedy says
		case l.Void.Kind == void.KindAttic:
			p.Kind = "draftstops"
			for _, x := range m.open(l, a, o) {
				s := m.sheet(a.out(x.Lo, 0), a.out(x.Hi, 0), void.Span{Lo: l.Void.ZLo, Hi: l.Void.ZHi}, m.carrier(l))
				m.inLine(&s, l.Separation)
				p.Stops = append(p.Stops, s)
			}
		default:
			for _, x := range m.open(l, a, o) {
				for _, b := range m.between(l, a, x) {
					p.Stops = append(p.Stops, m.bay(l, a, b.Span, o.HeightM, b.members))
				}
			}
		}
	}
	return p
}

// bay is a block between two members over a wall.
func (m *maker) bay(l *void.Line, a axes, s void.Span, height float64, members []int) finding.ProposedStop {
	z := void.Span{Lo: math.Min(l.Z0, l.Z1), Hi: math.Max(l.Z0, l.Z1)}
	if z.Hi-z.Lo < height {
		z.Lo = z.Hi - height
	}
	from, to := a.out(s.Lo, 0), a.out(s.Hi, 0)
	b := finding.ProposedStop{
		Kind: "block", Line: [2][2]float64{m.plan(from), m.plan(to)}, LengthM: checks.Round(s.Hi-s.Lo, 1e-4), HeightM: checks.Round(height, 1e-4),
		Z: m.heights(z.Lo, z.Hi), Services: m.ids(m.through(from, to, z)),
	}
	m.inLine(&b, l.Separation)
	for _, e := range members {
		if id := m.id(e); id != "" {
			b.Attach, b.AttachName = id, finding.Clean(m.w.Member(e))
			break
		}
	}
	return b
}

// open returns the stretches along a line that its opening leaves open: where the
// compartments at its ends reach it.
func (m *maker) open(l *void.Line, a axes, o *void.Opening) []void.Span {
	length := l.B.Sub(l.A).Len()
	for _, off := range []float64{0, 0.03, -0.03, 0.06, -0.06, 0.1, -0.1, 0.2, -0.2} {
		for _, c := range []*void.Compartment{o.A, o.B} {
			if c == nil || c.Void == nil || c.Void.Kind == void.KindWall {
				continue
			}
			r := newRegion(c.Outline, a, []float64{off})
			var out []void.Span
			for _, p := range r.places([]face{{at: off}}) {
				for _, x := range p.runs {
					if x.hi > 0 && x.lo < length {
						out = append(out, void.Span{Lo: math.Max(x.lo, -beyond), Hi: math.Min(x.hi, length+beyond)})
					}
				}
			}
			if len(out) > 0 {
				return out
			}
		}
	}
	s, _ := a.in(o.Point.Plan())
	return []void.Span{{Lo: s - o.WidthM/2, Hi: s + o.WidthM/2}}
}

// bay is a stretch between members that cross a line.
type bay struct {
	void.Span
	members []int
}

// between divides a stretch of a line into bays by the members that cross it. Where the
// wall is double, members of either side count only where they reach this line.
func (m *maker) between(l *void.Line, a axes, x void.Span) []bay {
	type bar struct {
		void.Span
		element int
	}
	var bars []bar
	ends := [][]geom.Vec2{{a.out(x.Lo, 0), a.out(x.Hi, 0)}}
	for _, k := range m.members(l.Void, ends) {
		if math.Abs(k.dir.Cross(a.dir)) < parallel {
			continue // runs along the line
		}
		s, t := extent(k.pts, a)
		if t.Lo < 0.02 && t.Hi > -0.02 && s.Hi-s.Lo < 0.3 {
			bars = append(bars, bar{s, k.element})
		}
	}
	sort.SliceStable(bars, func(i, j int) bool { return bars[i].Lo < bars[j].Lo })
	var out []bay
	at, before := x.Lo, -1
	put := func(to float64, after int) {
		if to-at < narrowBay {
			return
		}
		b := bay{Span: void.Span{Lo: at, Hi: to}}
		for _, e := range []int{before, after} {
			if e >= 0 && !slices.Contains(b.members, e) {
				b.members = append(b.members, e)
			}
		}
		out = append(out, b)
	}
	for _, b := range bars {
		if b.Lo > x.Hi {
			break
		}
		put(math.Min(b.Lo, x.Hi), b.element)
		if b.Hi > at {
			at, before = b.Hi, b.element
		}
	}
	put(x.Hi, -1)
	return out
}

// reach is how far beside a line the framing may stand that carries a stop in it, metres.
const reach = 0.3

// carrier returns the member that runs along a line within reach, or an element of the wall
// below it; -1 when there is neither.
func (m *maker) carrier(l *void.Line) int {
	a := axes{o: l.A, dir: l.B.Sub(l.A).Unit()}
	length := l.B.Sub(l.A).Len()
	best, far := -1, reach
	for _, k := range m.members(l.Void, [][]geom.Vec2{{l.A, l.B}}) {
		if math.Abs(k.dir.Cross(a.dir)) > parallel {
			continue
		}
		s, t := extent(k.pts, a)
		off := math.Max(0, math.Max(t.Lo, -t.Hi))
		if off < far-1e-6 && math.Min(s.Hi, length)-math.Max(s.Lo, 0) > carried*length {
			best, far = k.element, off
		}
	}
	if best < 0 && l.Wall >= 0 && l.Wall < len(m.Building.Input.Walls) {
		best = m.wall(l.Wall)
	}
	return best
}

// wall is the element that stands for a wall: the wall itself before its members.
func (m *maker) wall(i int) int {
	elements := m.Building.Input.Walls[i].Elements
	for _, e := range elements {
		if x := m.w.ModelElement(e); x != nil && x.Is("IfcWall") {
			return e
		}
	}
	if len(elements) > 0 {
		return elements[0]
	}
	return -1
}
