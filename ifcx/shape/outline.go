package shape

import (
	"math"

	"voidcheck/ifcx/geom"
)

// corner is a corner of an outline, rounded with radius R metres when R is positive.
type corner struct{ x, y, r float64 }

// rounded returns the outline with its corners rounded by inscribed chords. A radius that
// does not fit between the neighbouring corners is made as large as fits.
func rounded(cs ...corner) geom.Ring {
	n := len(cs)
	var out geom.Ring
	at := func(i int) geom.Vec2 { c := cs[(i+n)%n]; return geom.Vec2{X: c.x, Y: c.y} }
	for i, c := range cs {
		p, a, b := at(i), at(i-1), at(i+1)
		da, db := a.Sub(p), b.Sub(p)
		la, lb := da.Len(), db.Len()
		if c.r <= 0 || la == 0 || lb == 0 {
			out = append(out, p)
			continue
		}
		da, db = da.Mul(1/la), db.Mul(1/lb)
		half := math.Acos(max(-1, min(1, da.Dot(db)))) / 2
		if half < 1e-6 || half > math.Pi/2-1e-6 {
			out = append(out, p)
			continue
		}
		t := c.r / math.Tan(half) // from the corner to where the rounding begins
		if cs[(i+n-1)%n].r > 0 {
			la /= 2
		}
		if cs[(i+1)%n].r > 0 {
			lb /= 2
		}
		t = min(t, la, lb)
		r := t * math.Tan(half)
		o := p.Add(da.Add(db).Unit().Mul(r / math.Sin(half)))
		from, to := p.Add(da.Mul(t)).Sub(o), p.Add(db.Mul(t)).Sub(o)
		sweep := math.Atan2(from.Cross(to), from.Dot(to))
		k := max(1, int(math.Ceil(math.Abs(sweep)/(2*math.Pi)*float64(geom.CircleSegments(r))-1e-9)))
		for j := 0; j <= k; j++ {
			s, co := math.Sincos(sweep * float64(j) / float64(k))
			out = append(out, o.Add(geom.Vec2{X: from.X*co - from.Y*s, Y: from.X*s + from.Y*co}))
		}
	}
	return out
}

func rectangle(x, y, r float64) geom.Ring {
	return rounded(corner{-x / 2, -y / 2, r}, corner{x / 2, -y / 2, r}, corner{x / 2, y / 2, r}, corner{-x / 2, y / 2, r})
}

// oval is an ellipse or circle of n chords, 0 for as many as the radius asks for.
func oval(a, b float64, n int) geom.Ring {
	if n == 0 {
		n = geom.CircleSegments(max(a, b))
	}
	r := make(geom.Ring, n)
	for i := range r {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		r[i] = geom.Vec2{X: a * c, Y: b * s}
	}
	return r
}

// flanges describes I shapes: width, thickness, fillet, edge radius and slope of the bottom
// and top flange.
type flange struct{ w, t, fillet, edge, slope float64 }

// iShape is centred on the middle of its depth. Flange thickness is that in the middle of
// the outstanding part, so a slope does not change the area.
func iShape(depth, web float64, lo, hi flange) geom.Ring {
	y, h := depth/2, web/2
	drop := func(f flange) float64 { return math.Tan(f.slope) * (f.w - web) / 4 }
	dl, dh := drop(lo), drop(hi)
	return rounded(
		corner{-lo.w / 2, -y, 0}, corner{lo.w / 2, -y, 0},
		corner{lo.w / 2, -y + lo.t - dl, lo.edge}, corner{h, -y + lo.t + dl, lo.fillet},
		corner{h, y - hi.t - dh, hi.fillet}, corner{hi.w / 2, y - hi.t + dh, hi.edge},
		corner{hi.w / 2, y, 0}, corner{-hi.w / 2, y, 0},
		corner{-hi.w / 2, y - hi.t + dh, hi.edge}, corner{-h, y - hi.t - dh, hi.fillet},
		corner{-h, -y + lo.t + dl, lo.fillet}, corner{-lo.w / 2, -y + lo.t - dl, lo.edge},
	)
}

// lShape has its legs at the bottom and at the left of the box width x depth.
func lShape(depth, width, t, fillet, edge, slope float64) geom.Ring {
	x, y, k := width/2, depth/2, math.Tan(slope)
	dx, dy := k*(depth-t)/2, k*(width-t)/2
	return rounded(
		corner{-x, -y, 0}, corner{x, -y, 0}, corner{x, -y + t - dy, edge},
		corner{-x + t + dx, -y + t + dy, fillet},
		corner{-x + t - dx, y, edge}, corner{-x, y, 0},
	)
}

// tShape has its flange at the top.
func tShape(depth, width, web, t, fillet, flangeEdge, webEdge, flangeSlope, webSlope float64) geom.Ring {
	x, y := width/2, depth/2
	df, dw := math.Tan(flangeSlope)*(width-web)/4, math.Tan(webSlope)*(depth-t)/2
	h := web / 2
	return rounded(
		corner{-h + dw, -y, webEdge}, corner{h - dw, -y, webEdge},
		corner{h + dw, y - t - df, fillet}, corner{x, y - t + df, flangeEdge},
		corner{x, y, 0}, corner{-x, y, 0},
		corner{-x, y - t + df, flangeEdge}, corner{-h - dw, y - t - df, fillet},
	)
}

// uShape has its web at the left and opens to the right.
func uShape(depth, width, web, t, fillet, edge, slope float64) geom.Ring {
	x, y := width/2, depth/2
	d := math.Tan(slope) * (width - web) / 2
	return rounded(
		corner{-x, -y, 0}, corner{x, -y, 0}, corner{x, -y + t - d, edge},
		corner{-x + web, -y + t + d, fillet}, corner{-x + web, y - t - d, fillet},
		corner{x, y - t + d, edge}, corner{x, y, 0}, corner{-x, y, 0},
	)
}

// cShape is a bent sheet: web at the left, lips of length girth at the right.
func cShape(depth, width, t, girth, inner float64) geom.Ring {
	x, y := width/2, depth/2
	outer := 0.0
	if inner > 0 {
		outer = inner + t
	}
	return rounded(
		corner{-x, -y, outer}, corner{x, -y, outer}, corner{x, -y + girth, 0}, corner{x - t, -y + girth, 0},
		corner{x - t, -y + t, inner}, corner{-x + t, -y + t, inner},
		corner{-x + t, y - t, inner}, corner{x - t, y - t, inner},
		corner{x - t, y - girth, 0}, corner{x, y - girth, 0}, corner{x, y, outer}, corner{-x, y, outer},
	)
}

// zShape has its bottom flange to the right and its top flange to the left.
func zShape(depth, width, web, t, fillet, edge float64) geom.Ring {
	x, h, y := width-web/2, web/2, depth/2
	return rounded(
		corner{-h, -y, 0}, corner{x, -y, 0}, corner{x, -y + t, edge}, corner{h, -y + t, fillet},
		corner{h, y, 0}, corner{-x, y, 0}, corner{-x, y - t, edge}, corner{-h, y - t, fillet},
	)
}
