package shape

import (
	"math"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// net is the control net of a B-spline surface, rows along u.
type net struct {
	pts            [][]geom.Vec3
	weights        [][]float64 // nil when not rational
	du, dv         int
	knotsU, knotsV []float64
}

func (n *net) at(u, v float64) geom.Vec3 {
	iu, bu := basis(n.knotsU, n.du, u)
	iv, bv := basis(n.knotsV, n.dv, v)
	var p geom.Vec3
	sum := 0.0
	for i, a := range bu {
		for j, b := range bv {
			r, c := iu-n.du+i, iv-n.dv+j
			w := a * b
			if n.weights != nil {
				w *= n.weights[r][c]
			}
			p, sum = p.Add(n.pts[r][c].Mul(w)), sum+w
		}
	}
	return p.Mul(1 / sum)
}

func (e *eval) bsplineSurface(id graph.ID) (*surface, error) {
	n, err := e.controlNet(id)
	if err != nil {
		return nil, err
	}
	lu, hu := n.knotsU[n.du], n.knotsU[len(n.pts)]
	lv, hv := n.knotsV[n.dv], n.knotsV[len(n.pts[0])]
	s := &surface{}
	gu, gv := grid(n.knotsU, lu, hu, n.du), grid(n.knotsV, lv, hv, n.dv)
	pts := make([][]geom.Vec3, len(gu))
	for i, u := range gu {
		for _, v := range gv {
			pts[i] = append(pts[i], n.at(u, v))
		}
	}
	s.su, s.sv = stride(pts, hu-lu, hv-lv)
	s.pu, s.pv = hu-lu, hv-lv
	last := len(gu) - 1
	for j := range gv {
		if pts[0][j].Sub(pts[last][j]).Len() > geom.Weld {
			s.pu = 0
		}
	}
	for i := range gu {
		if pts[i][0].Sub(pts[i][len(gv)-1]).Len() > geom.Weld {
			s.pv = 0
		}
	}
	s.at = func(u, v float64) geom.Vec3 { return n.at(wrap(u, lu, hu, s.pu), wrap(v, lv, hv, s.pv)) }
	s.find = func(p geom.Vec3, u, v float64, near bool) (float64, float64) {
		if near {
			u, v = wrap(u, lu, hu, s.pu), wrap(v, lv, hv, s.pv)
			if a, b := n.descend(p, u, v, lu, hu, lv, hv); n.at(a, b).Sub(p).Len() < 1e-5 {
				return a, b
			}
		}
		bi, bj := 0, 0
		for i := range pts {
			for j := range pts[i] {
				if pts[i][j].Sub(p).Len() < pts[bi][bj].Sub(p).Len() {
					bi, bj = i, j
				}
			}
		}
		return n.descend(p, gu[bi], gv[bj], lu, hu, lv, hv)
	}
	return s, nil
}

func wrap(t, lo, hi, period float64) float64 {
	if period > 0 {
		return lo + math.Mod(math.Mod(t-lo, period)+period, period)
	}
	return max(lo, min(hi, t))
}

// descend walks from a guess to the nearest point of the surface (Gauss-Newton with
// differences for derivatives).
func (n *net) descend(p geom.Vec3, u, v, lu, hu, lv, hv float64) (float64, float64) {
	for range 25 {
		q := n.at(u, v)
		hu0, hv0 := (hu-lu)*1e-5, (hv-lv)*1e-5
		if u+hu0 > hu {
			hu0 = -hu0
		}
		if v+hv0 > hv {
			hv0 = -hv0
		}
		su, sv := n.at(u+hu0, v).Sub(q).Mul(1/hu0), n.at(u, v+hv0).Sub(q).Mul(1/hv0)
		d := p.Sub(q)
		a, b, c := su.Dot(su), su.Dot(sv), sv.Dot(sv)
		det := a*c - b*b
		if det <= 1e-14*a*c {
			break
		}
		x, y := su.Dot(d), sv.Dot(d)
		nu := max(lu, min(hu, u+(c*x-b*y)/det))
		nv := max(lv, min(hv, v+(a*y-b*x)/det))
		done := math.Abs(nu-u) < (hu-lu)*1e-10 && math.Abs(nv-v) < (hv-lv)*1e-10
		u, v = nu, nv
		if done {
			break
		}
	}
	return u, v
}

// grid returns parameters over the knot spans, a few in each, no more than 60.
func grid(knots []float64, lo, hi float64, degree int) []float64 {
	marks := append(append([]float64{lo}, spans(knots, lo, hi)...), hi)
	per := max(1, min(degree+1, 60/len(marks)))
	var out []float64
	for i := 1; i < len(marks); i++ {
		for k := range per {
			out = append(out, marks[i-1]+(marks[i]-marks[i-1])*float64(k)/float64(per))
		}
	}
	return append(out, hi)
}

// stride returns metres per unit of u and v from a grid of points.
func stride(pts [][]geom.Vec3, ru, rv float64) (su, sv float64) {
	for i := range pts {
		for j := range pts[i] {
			if i > 0 {
				su += pts[i][j].Sub(pts[i-1][j]).Len() / float64(len(pts[i]))
			}
			if j > 0 {
				sv += pts[i][j].Sub(pts[i][j-1]).Len() / float64(len(pts))
			}
		}
	}
	return max(su/ru, 1e-9), max(sv/rv, 1e-9)
}

func (e *eval) controlNet(id graph.ID) (*net, error) {
	n := &net{}
	n.du, _ = e.g.Int(id, "UDegree")
	n.dv, _ = e.g.Int(id, "VDegree")
	rows := e.g.List(id, "ControlPointsList")
	if n.du < 1 || n.dv < 1 || n.du > maxSplineDegree || n.dv > maxSplineDegree || len(rows) <= n.du || len(rows) > maxSplinePoints {
		return nil, e.bad(id, "degrees %d and %d with %d rows of control points are no B-spline surface", n.du, n.dv, len(rows))
	}
	for _, r := range rows {
		var row []geom.Vec3
		for _, q := range r.Refs() {
			p, err := e.point(q)
			if err != nil {
				return nil, err
			}
			row = append(row, p)
		}
		if len(row) <= n.dv || len(row) != len(rows[0].Refs()) || len(row) > maxSplinePoints {
			return nil, e.bad(id, "a row of control points has %d points", len(row))
		}
		n.pts = append(n.pts, row)
	}
	for i, r := range e.g.List(id, "WeightsData") {
		w, ok := r.Floats()
		if !ok || i >= len(n.pts) || len(w) != len(n.pts[i]) {
			return nil, e.bad(id, "the weights do not match the control points")
		}
		n.weights = append(n.weights, w)
	}
	if n.weights != nil && len(n.weights) != len(n.pts) {
		return nil, e.bad(id, "the weights do not match the control points")
	}
	var err error
	if n.knotsU, err = e.knots(id, "UKnots", "UMultiplicities", n.du, len(n.pts)); err != nil {
		return nil, err
	}
	n.knotsV, err = e.knots(id, "VKnots", "VMultiplicities", n.dv, len(n.pts[0]))
	return n, err
}
