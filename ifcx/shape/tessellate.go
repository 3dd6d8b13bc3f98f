package shape

import (
	"math"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// tessellator cuts faces on curved surfaces into triangles. A face keeps the points of its
// edges, which its neighbours have too, so the shell closes; points are added inside only.
// The work is done in the parameter plane of the surface, where the outline of a face that
// runs round (a whole cylinder) is unrolled.
type tessellator struct {
	e        *eval
	into     *soup
	surfaces map[graph.ID]*surface
}

func newTessellator(e *eval, s *soup) *tessellator {
	return &tessellator{e, s, map[graph.ID]*surface{}}
}

// flatPoint is a point of a face in the parameter plane, scaled to metres, and its number in
// the soup.
type flatPoint struct {
	p  geom.Vec2
	id int32
}

func (t *tessellator) face(id, on graph.ID) error {
	e := t.e
	s := t.surfaces[on]
	if s == nil {
		var err error
		if s, err = e.surface(on); err != nil {
			return err
		}
		t.surfaces[on] = s
	}
	var closed, round [][]flatPoint
	for _, b := range e.g.Refs(id, "Bounds") {
		bound, err := e.need(b, "Bound")
		if err != nil {
			return err
		}
		pts, err := e.loop(bound)
		if err != nil {
			return err
		}
		if len(pts) < 2 {
			continue // a vertex loop: the pole of a sphere or cone
		}
		if same, known := e.g.Bool(b, "Orientation"); known && !same {
			for i, j := 0, len(pts)-1; i < j; i, j = i+1, j-1 {
				pts[i], pts[j] = pts[j], pts[i]
			}
		}
		loop, runs := t.unroll(s, pts)
		if runs {
			round = append(round, loop)
		} else {
			closed = append(closed, loop)
		}
	}
	loops, err := t.joinRound(id, s, closed, round)
	if err != nil {
		return err
	}
	return t.fill(id, s, loops)
}

// unroll maps a loop to the parameter plane without jumps; runs is true when it ends a
// period away from where it began.
func (t *tessellator) unroll(s *surface, pts []geom.Vec3) (loop []flatPoint, runs bool) {
	var u, v float64
	add := func(p geom.Vec3, u, v float64) {
		loop = append(loop, flatPoint{geom.Vec2{X: u * s.su, Y: v * s.sv}, t.into.weld.Add(p)})
	}
	start := 0
	for i, p := range pts { // begin off the poles, where u is known
		if _, v := s.find(p, 0, 0, false); !s.pole(v) {
			start = i
			break
		}
	}
	var u0, v0 float64
	for k := 0; k <= len(pts); k++ {
		p := pts[(start+k)%len(pts)]
		a, b := s.find(p, u, v, k > 0)
		if k > 0 {
			a, b = nearTo(a, u, s.pu), nearTo(b, v, s.pv)
		} else {
			u0, v0 = a, b
		}
		if s.pole(b) { // one point for all u: come in along the last and leave along the next
			n, _ := s.find(pts[(start+k+1)%len(pts)], u, v, true)
			add(p, u, b)
			a = nearTo(n, u, s.pu)
		}
		u, v = a, b
		if k < len(pts) {
			add(p, u, v)
		}
	}
	runs = s.pu > 0 && math.Abs(u-u0) > s.pu/2 || s.pv > 0 && math.Abs(v-v0) > s.pv/2
	if runs {
		add(pts[start], u, v)
	}
	return loop, runs
}

func (s *surface) pole(v float64) bool {
	for _, p := range s.poles {
		if math.Abs(v-p)*s.sv <= geom.Weld {
			return true
		}
	}
	return false
}

// nearTo returns t moved by whole periods to within half a period of ref.
func nearTo(t, ref, period float64) float64 {
	if period == 0 {
		return t
	}
	return t - period*math.Round((t-ref)/period)
}

// joinRound makes outlines of loops that run round the surface: two of them bound a band; one
// alone bounds a cap up to the pole on its left.
func (t *tessellator) joinRound(id graph.ID, s *surface, closed, round [][]flatPoint) ([][]flatPoint, error) {
	switch len(round) {
	case 0:
		return closed, nil
	case 1:
		if len(s.poles) == 0 {
			return nil, t.e.bad(id, "the outline runs round the surface once and nothing bounds the other side")
		}
		l := round[0]
		first, last := l[0].p, l[len(l)-1].p
		pole := s.poles[0]
		if last.X > first.X { // inside on the left: upwards
			pole = s.poles[len(s.poles)-1]
		}
		tip := t.into.weld.Add(s.at(0, pole))
		l = append(l, flatPoint{geom.Vec2{X: last.X, Y: pole * s.sv}, tip}, flatPoint{geom.Vec2{X: first.X, Y: pole * s.sv}, tip})
		return append(closed, l), nil
	case 2:
		a, b := round[0], round[1]
		// The second runs the other way; bring its start under the end of the first.
		period := geom.Vec2{X: s.pu * s.su, Y: s.pv * s.sv}
		end, from := a[len(a)-1].p, b[0].p
		shift := geom.Vec2{}
		if math.Abs(end.X-a[0].p.X) > period.X/2 && period.X > 0 {
			shift.X = period.X * math.Round((end.X-from.X)/period.X)
		} else if period.Y > 0 {
			shift.Y = period.Y * math.Round((end.Y-from.Y)/period.Y)
		}
		out := append([]flatPoint{}, a...)
		for _, q := range b {
			out = append(out, flatPoint{q.p.Add(shift), q.id})
		}
		return append(closed, out), nil
	}
	return nil, t.e.bad(id, "%d outlines run round the surface", len(round))
}

// fill triangulates the outlines in the parameter plane, refines, and adds the triangles.
func (t *tessellator) fill(id graph.ID, s *surface, loops [][]flatPoint) error {
	if len(loops) == 0 {
		return t.e.bad(id, "a whole closed surface without an edge is not read")
	}
	outer, area := 0, 0.0
	rings := make([]geom.Ring, len(loops))
	for i, l := range loops {
		for _, q := range l {
			rings[i] = append(rings[i], q.p)
		}
		if a := rings[i].Area(); math.Abs(a) > math.Abs(area) {
			outer, area = i, a
		}
	}
	if math.Abs(area) < 1e-12 {
		t.into.lost++
		return nil
	}
	m := &flatMesh{s: s}
	var g geom.Region
	for i, r := range rings {
		want := i == outer
		l := loops[i]
		if (r.Area() > 0) != want {
			r = r.Reversed()
			l = append([]flatPoint{l[0]}, reversed(l[1:])...)
		}
		g = append(g, r)
		m.pts = append(m.pts, l...)
	}
	m.tris = geom.Triangulate(g)
	before := len(m.pts)
	m.refine(t.into)
	if t.e.visits += len(m.pts) - before; t.e.visits > maxVisit {
		return t.e.bad(id, "more than %d points in one element", maxVisit)
	}
	for _, x := range m.tris {
		a, b, c := m.pts[x[0]].id, m.pts[x[1]].id, m.pts[x[2]].id
		if area < 0 { // the outline ran clockwise: the face looks against the surface
			b, c = c, b
		}
		t.into.triangle(a, b, c)
	}
	return nil
}

func reversed(l []flatPoint) []flatPoint {
	out := make([]flatPoint, len(l))
	for i, q := range l {
		out[len(l)-1-i] = q
	}
	return out
}
