package shape

import (
	"math"
	"slices"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// maxSpline bounds control points and degrees, so that evaluation stays bounded.
const (
	maxSplinePoints = 20_000
	maxSplineDegree = 25
)

// knots expands knots and multiplicities; without them a uniform clamped vector (also that
// of a single Bézier segment) is made.
func (e *eval) knots(id graph.ID, knotAttr, multAttr string, degree, points int) ([]float64, error) {
	want := points + degree + 1
	values, ok := e.g.Floats(id, knotAttr)
	if !ok || len(values) == 0 {
		return clampedKnots(degree, points), nil
	}
	mults := e.g.List(id, multAttr)
	if len(mults) != len(values) {
		return nil, e.bad(id, "%d knots have %d multiplicities", len(values), len(mults))
	}
	out := make([]float64, 0, want)
	for i, m := range mults {
		k, ok := m.AsInt()
		if !ok || k < 1 || len(out)+k > want {
			return nil, e.bad(id, "the multiplicities of the knots do not add up to %d", want)
		}
		for range k {
			out = append(out, values[i])
		}
	}
	if len(out) != want {
		return nil, e.bad(id, "the multiplicities of the knots add up to %d and not to %d", len(out), want)
	}
	if !slices.IsSorted(out) || math.IsNaN(out[0]) || !(out[points] > out[degree]) {
		return nil, e.bad(id, "the knots do not ascend")
	}
	return out, nil
}

// clampedKnots makes the knots of a chain of Bézier segments when the points allow it, and
// of a uniform spline otherwise.
func clampedKnots(degree, points int) []float64 {
	out := make([]float64, 0, points+degree+1)
	for range degree + 1 {
		out = append(out, 0)
	}
	step, last := 1, points-degree
	if (points-1)%degree == 0 {
		step, last = degree, (points-1)/degree
	}
	for k := 1; k < last; k++ {
		for range step {
			out = append(out, float64(k))
		}
	}
	for len(out) < points+degree+1 {
		out = append(out, float64(max(last, 1)))
	}
	return out
}

// basis returns the index of the knot span of t and the degree+1 values of the basis
// functions that are not zero there (The NURBS Book, algorithms A2.1 and A2.2).
func basis(knots []float64, degree int, t float64) (span int, values []float64) {
	n := len(knots) - degree - 2
	t = max(knots[degree], min(knots[n+1], t))
	span = n
	if t < knots[n+1] {
		lo, hi := degree, n+1
		for hi-lo > 1 {
			if mid := (lo + hi) / 2; t < knots[mid] {
				hi = mid
			} else {
				lo = mid
			}
		}
		span = lo
	}
	values = make([]float64, degree+1)
	left, right := make([]float64, degree+1), make([]float64, degree+1)
	values[0] = 1
	for j := 1; j <= degree; j++ {
		left[j], right[j] = t-knots[span+1-j], knots[span+j]-t
		saved := 0.0
		for r := range j {
			x := 0.0
			if d := right[r+1] + left[j-r]; d != 0 {
				x = values[r] / d
			}
			values[r] = saved + right[r+1]*x
			saved = left[j-r] * x
		}
		values[j] = saved
	}
	return span, values
}

func (e *eval) bsplineCurve(id graph.ID) (*curve, error) {
	degree, _ := e.g.Int(id, "Degree")
	refs := e.g.Refs(id, "ControlPointsList")
	n := len(refs)
	if degree < 1 || degree > maxSplineDegree || n <= degree || n > maxSplinePoints {
		return nil, e.bad(id, "degree %d with %d control points is no B-spline", degree, n)
	}
	pts := make([]geom.Vec3, n)
	for i, r := range refs {
		var err error
		if pts[i], err = e.point(r); err != nil {
			return nil, err
		}
	}
	weights, ok := e.g.Floats(id, "WeightsData")
	if ok && len(weights) != n {
		return nil, e.bad(id, "%d weights for %d control points", len(weights), n)
	}
	knots, err := e.knots(id, "Knots", "KnotMultiplicities", degree, n)
	if err != nil {
		return nil, err
	}
	at := func(t float64) geom.Vec3 {
		span, b := basis(knots, degree, t)
		var p geom.Vec3
		sum := 0.0
		for i, v := range b {
			k := span - degree + i
			if weights != nil {
				v *= weights[k]
			}
			p, sum = p.Add(pts[k].Mul(v)), sum+v
		}
		return p.Mul(1 / sum)
	}
	lo, hi := knots[degree], knots[n]
	c := &curve{lo: lo, hi: hi, at: at}
	c.between = func(a, b float64) []float64 { return refine(at, a, b, spans(knots, a, b)) }
	c.find = func(p geom.Vec3) float64 {
		return nearest(at, p, append(append([]float64{lo}, c.between(lo, hi)...), hi))
	}
	return c, nil
}

// spans returns the distinct knots strictly between a and b.
func spans(knots []float64, a, b float64) []float64 {
	var out []float64
	for _, k := range knots {
		if k > a && k < b && (len(out) == 0 || k > out[len(out)-1]) {
			out = append(out, k)
		}
	}
	return out
}

// refine adds parameters between a and b until every chord is within the chord error.
func refine(at func(float64) geom.Vec3, a, b float64, start []float64) []float64 {
	ts := append(append([]float64{a}, start...), b)
	var out []float64
	var walk func(t0, t1 float64, p0, p1 geom.Vec3, depth int)
	walk = func(t0, t1 float64, p0, p1 geom.Vec3, depth int) {
		if depth >= 10 {
			return
		}
		tm := (t0 + t1) / 2
		pm := at(tm)
		bent := depth < 2 // a first look at the quarters finds an S that crosses its chord
		if !bent {
			for _, f := range [3]float64{0.25, 0.5, 0.75} {
				bent = bent || distToChord(at(t0+(t1-t0)*f), p0, p1) > geom.ChordError/2
			}
		}
		if !bent || p0.Sub(p1).Len() <= geom.Weld && p0.Sub(pm).Len() <= geom.Weld {
			return
		}
		walk(t0, tm, p0, pm, depth+1)
		out = append(out, tm)
		walk(tm, t1, pm, p1, depth+1)
	}
	for i := 1; i < len(ts); i++ {
		if i > 1 {
			out = append(out, ts[i-1])
		}
		if len(out) > maxSplinePoints {
			continue
		}
		walk(ts[i-1], ts[i], at(ts[i-1]), at(ts[i]), 0)
	}
	return out
}

func distToChord(p, a, b geom.Vec3) float64 {
	d := b.Sub(a)
	l2 := d.Dot(d)
	if l2 == 0 {
		return p.Sub(a).Len()
	}
	return p.Sub(a.Add(d.Mul(max(0, min(1, p.Sub(a).Dot(d)/l2))))).Len()
}

// nearest returns the parameter whose point is nearest to p: the best of the samples, then
// narrowed by thirds.
func nearest(at func(float64) geom.Vec3, p geom.Vec3, ts []float64) float64 {
	best := 0
	for i, t := range ts {
		if at(t).Sub(p).Len() < at(ts[best]).Sub(p).Len() {
			best = i
		}
	}
	lo, hi := ts[max(best-1, 0)], ts[min(best+1, len(ts)-1)]
	for range 60 {
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		if at(a).Sub(p).Len() < at(b).Sub(p).Len() {
			hi = b
		} else {
			lo = a
		}
	}
	return (lo + hi) / 2
}
