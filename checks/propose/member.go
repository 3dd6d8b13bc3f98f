package propose

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// member is one truss, joist or rafter in plan.
type member struct {
	element int // the truss's assembly, or the member itself
	dir     geom.Vec2
	pts     []geom.Vec2 // of its bodies
	length  float64
}

// members returns the framing that stands in a void and over or near an area.
func (m *maker) members(v *void.Void, rings [][]geom.Vec2) []member {
	in := &m.Building.Input
	var out []member
	at := map[int]int{} // truss -> index in out
	for _, i := range m.framing.In(about(rings, void.Span{Lo: v.ZLo + 0.005, Hi: v.ZHi - 0.005})) {
		p := &in.Parts[i]
		k := len(out)
		if p.Assembly >= 0 {
			if j, seen := at[p.Assembly]; seen {
				k = j
			} else {
				at[p.Assembly] = k
			}
		}
		if k == len(out) {
			one := member{element: p.Element}
			if p.Assembly >= 0 && p.Assembly < len(m.Building.Trusses) {
				t := m.Building.Trusses[p.Assembly]
				one.dir = t.Line[1].Sub(t.Line[0]).Unit()
				if t.Element != nil {
					one.element = t.Element.Index
				}
			}
			out = append(out, one)
		}
		for _, q := range p.Mesh.Verts {
			out[k].pts = append(out[k].pts, q.Plan())
		}
		if out[k].dir == (geom.Vec2{}) {
			out[k].dir = longWay(p.Mesh)
		}
	}
	for i := range out {
		a := axes{dir: out[i].dir}
		s, _ := extent(out[i].pts, a)
		out[i].length = s.Hi - s.Lo
	}
	return out
}

// about is the box of rings between two heights, a little larger in plan.
func about(rings [][]geom.Vec2, z void.Span) geom.Box {
	b := geom.EmptyBox()
	for _, r := range rings {
		for _, p := range r {
			b = b.Join(upright(z, p.Sub(geom.Vec2{X: 0.1, Y: 0.1}), p.Add(geom.Vec2{X: 0.1, Y: 0.1})))
		}
	}
	return b
}

// upright is the box of what stands over plan points between two heights.
func upright(z void.Span, pts ...geom.Vec2) geom.Box {
	b := geom.EmptyBox()
	for _, p := range pts {
		b = b.Extend(geom.Vec3{X: p.X, Y: p.Y, Z: z.Lo}).Extend(geom.Vec3{X: p.X, Y: p.Y, Z: z.Hi})
	}
	return b
}

// extent is how far points reach along and across.
func extent(pts []geom.Vec2, a axes) (s, t void.Span) {
	s, t = void.Span{Lo: math.Inf(1), Hi: math.Inf(-1)}, void.Span{Lo: math.Inf(1), Hi: math.Inf(-1)}
	for _, p := range pts {
		x, y := a.in(p)
		s = void.Span{Lo: math.Min(s.Lo, x), Hi: math.Max(s.Hi, x)}
		t = void.Span{Lo: math.Min(t.Lo, y), Hi: math.Max(t.Hi, y)}
	}
	return s, t
}

// longWay is the direction in plan of the longest edges of a stick.
func longWay(m *geom.Mesh) geom.Vec2 {
	best, thin := geom.Vec2{X: 1}, math.Inf(1)
	pts := make([]geom.Vec2, len(m.Verts))
	for i, v := range m.Verts {
		pts[i] = v.Plan()
	}
	for _, t := range m.Tris {
		for k := range t {
			d := pts[t[(k+1)%3]].Sub(pts[t[k]])
			if d.Len() < 0.05 {
				continue
			}
			a := axes{dir: d.Unit()}
			if s, w := extent(pts, a); s.Hi-s.Lo > w.Hi-w.Lo && w.Hi-w.Lo < thin-1e-6 {
				thin, best = w.Hi-w.Lo, a.dir
			}
		}
	}
	return best
}

// parallel is the sine below which two directions are one.
const parallel = 0.035

// direction is the way most of the framing runs, ok false without any. It points to +x, or
// to +y.
func direction(ms []member) (dir geom.Vec2, ok bool) {
	most := 0.0
	for i := range ms {
		sum := 0.0
		for k := range ms {
			if math.Abs(ms[i].dir.Cross(ms[k].dir)) < parallel {
				sum += ms[k].length
			}
		}
		if sum > most*(1+1e-9) {
			most, dir = sum, ms[i].dir
		}
	}
	if dir.X < -1e-9 || math.Abs(dir.X) <= 1e-9 && dir.Y < 0 {
		dir = dir.Mul(-1)
	}
	return dir, most > 0
}

// samePlane is how far apart faces of two members lie that carry one stop, metres.
const samePlane = 0.002

// faces returns both faces of every member that runs along a's s direction, as lines for the
// middle of a sheet; members in one plane share a line. A face hidden by a neighbour is none.
func faces(ms []member, a axes) []face {
	type bar struct {
		s, t    void.Span
		element int
	}
	var bars []bar
	for i := range ms {
		if math.Abs(ms[i].dir.Cross(a.dir)) < parallel {
			s, t := extent(ms[i].pts, a)
			bars = append(bars, bar{s, t, ms[i].element})
		}
	}
	sort.SliceStable(bars, func(i, j int) bool { return bars[i].t.Lo < bars[j].t.Lo })
	widest := 0.0
	for _, b := range bars {
		widest = math.Max(widest, b.t.Hi-b.t.Lo)
	}
	hidden := func(k int, at float64) bool {
		lo, hi := at-sheetM/2+5e-4, at+sheetM/2-5e-4
		first := sort.Search(len(bars), func(i int) bool { return bars[i].t.Lo >= lo-widest })
		for i := first; i < len(bars) && bars[i].t.Lo < hi; i++ {
			both := math.Min(bars[i].s.Hi, bars[k].s.Hi) - math.Max(bars[i].s.Lo, bars[k].s.Lo)
			if i != k && bars[i].t.Hi > lo && both > 0.3 {
				return true
			}
		}
		return false
	}
	var out []face
	for k, b := range bars {
		for _, at := range []float64{b.t.Lo - sheetM/2, b.t.Hi + sheetM/2} {
			if !hidden(k, at) {
				out = append(out, face{at: at, spans: []span{{b.s.Lo, b.s.Hi, b.element}}})
			}
		}
	}
	slices.SortStableFunc(out, func(x, y face) int { return cmp.Compare(x.at, y.at) })
	merged := out[:0]
	for _, f := range out {
		if n := len(merged); n > 0 && f.at-merged[n-1].at < samePlane {
			merged[n-1].spans = append(merged[n-1].spans, f.spans...)
			continue
		}
		merged = append(merged, f)
	}
	return merged
}
