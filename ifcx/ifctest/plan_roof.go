package ifctest

import (
	"cmp"
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

// PlanRoof is a roof over one box or several.
type PlanRoof struct {
	Kind  string // "gable", "hip", "mono", "flat", "cross" (a gable across the front), "ell" (two hips)
	Ridge string // "x" or "y": the way its ridge runs, or its highest edge
	// Attic tells what stands below the sheathing: "truss", "scissor", "rafter" (ceiling joists below
	// rafters and a ridge board), "cathedral" (ceiling boards on the rafters), "chords" (trusses with parallel chords).
	Attic string
	X, Y  Span    // outer stud faces of all that it covers
	Wing  [2]Span // ell: the plan of the second wing, x and y
	Plate float64 // top of the walls
	Pitch float64
	Heel  float64
	Gable Span // cross: where the gable stands along the ridge
}

// plane is z = a + b*x + c*y.
type plane struct{ a, b, c float64 }

func (p plane) at(x, y float64) float64 { return p.a + p.b*x + p.c*y }

// roofPart is a part of a roof: the lowest of its planes over its plan.
type roofPart struct {
	x, y   Span
	planes []plane
}

// roofField is the underside of a roof: the highest of its parts.
type roofField []roofPart

// slope is the plane that rises from z at a place along an axis.
func slope(a Axis, at, z, pitch float64) plane {
	if a == X {
		return plane{z - pitch*at, pitch, 0}
	}
	return plane{z - pitch*at, 0, pitch}
}

func newRoofField(r *PlanRoof) roofField {
	z := r.Plate + r.Heel
	in := func(s Span) Span { return s.grow(-TwoBy) } // the heel is that at the inside of the eave board
	pair := func(a Axis, s Span) []plane {
		return []plane{slope(a, in(s).Lo, z, r.Pitch), slope(a, in(s).Hi, z, -r.Pitch)}
	}
	over := func(x, y Span, planes ...plane) roofPart {
		return roofPart{x.grow(0.4), y.grow(0.4), planes}
	}
	axis := Y
	if r.Ridge == "y" {
		axis = X
	}
	side := map[Axis]Span{X: r.X, Y: r.Y}
	switch r.Kind {
	case "flat":
		return roofField{over(r.X, r.Y, plane{z, 0, 0})}
	case "mono":
		return roofField{over(r.X, r.Y, slope(axis, in(side[axis]).Lo, z, r.Pitch))}
	case "hip":
		return roofField{over(r.X, r.Y, append(pair(X, r.X), pair(Y, r.Y)...)...)}
	case "ell":
		w := r.Wing
		return roofField{over(r.X, r.Y, append(pair(X, r.X), pair(Y, r.Y)...)...), over(w[0], w[1], append(pair(X, w[0]), pair(Y, w[1])...)...)}
	case "cross":
		f := roofField{over(r.X, r.Y, pair(axis, side[axis])...)}
		g := r.Gable
		mid := Span{side[axis].Lo, side[axis].Mid()}
		if axis == Y {
			return append(f, roofPart{g, Span{mid.Lo - 0.2, mid.Hi}, []plane{slope(X, g.Lo, z, r.Pitch), slope(X, g.Hi, z, -r.Pitch)}})
		}
		return append(f, roofPart{Span{mid.Lo - 0.2, mid.Hi}, g, []plane{slope(Y, g.Lo, z, r.Pitch), slope(Y, g.Hi, z, -r.Pitch)}})
	}
	return roofField{over(r.X, r.Y, pair(axis, side[axis])...)}
}

// z returns the height of the underside over a place.
func (f roofField) z(x, y float64) float64 {
	best := math.Inf(-1)
	for _, p := range f {
		if x < p.x.Lo-1e-9 || x > p.x.Hi+1e-9 || y < p.y.Lo-1e-9 || y > p.y.Hi+1e-9 {
			continue
		}
		low := math.Inf(1)
		for _, q := range p.planes {
			low = min(low, q.at(x, y))
		}
		best = max(best, low)
	}
	return best
}

// profile returns the underside along a line at a place across an axis, as points (along, z)
// in ascending order; over a strip, the lower of its two edges.
func (f roofField) profile(a Axis, across, run Span) []geom.Vec2 {
	type line struct{ a, b float64 } // z = a + b*t
	var lines []line
	cuts := []float64{run.Lo, run.Hi}
	for _, at := range []float64{across.Lo, across.Hi} {
		for _, p := range f {
			for _, q := range p.planes {
				if a == X {
					lines = append(lines, line{q.a + q.b*at, q.c})
				} else {
					lines = append(lines, line{q.a + q.c*at, q.b})
				}
			}
			if a == X {
				cuts = append(cuts, p.y.Lo, p.y.Hi)
			} else {
				cuts = append(cuts, p.x.Lo, p.x.Hi)
			}
		}
	}
	for i, l := range lines {
		for _, m := range lines[:i] {
			if math.Abs(l.b-m.b) > 1e-9 {
				cuts = append(cuts, (m.a-l.a)/(l.b-m.b))
			}
		}
	}
	slices.SortFunc(cuts, cmp.Compare[float64])
	z := func(t float64) float64 {
		p, q := spot(a, across.Lo, t, 0), spot(a, across.Hi, t, 0)
		return min(f.z(p.X, p.Y), f.z(q.X, q.Y))
	}
	var out []geom.Vec2
	for _, t := range cuts {
		if t < run.Lo-1e-9 || t > run.Hi+1e-9 || len(out) > 0 && t-out[len(out)-1].X < 1e-6 {
			continue
		}
		out = append(out, geom.Vec2{X: t, Y: z(t)})
	}
	kept := out[:1]
	for i := 1; i+1 < len(out); i++ { // points on a straight line go
		l, r := kept[len(kept)-1], out[i+1]
		if math.Abs(l.Y+(r.Y-l.Y)*(out[i].X-l.X)/(r.X-l.X)-out[i].Y) > 1e-6 {
			kept = append(kept, out[i])
		}
	}
	return append(kept, out[len(out)-1])
}

// under returns the outline of a sheet that stands on base and ends drop below a profile; where the profile is lower, at base.
func under(profile []geom.Vec2, base, drop float64) []geom.Vec2 {
	out := []geom.Vec2{{X: profile[0].X, Y: base}, {X: profile[len(profile)-1].X, Y: base}}
	for _, p := range slices.Backward(profile) {
		out = append(out, geom.Vec2{X: p.X, Y: max(base, p.Y-drop)})
	}
	return out
}

// highest returns the greatest height of a profile.
func highest(profile []geom.Vec2) float64 {
	z := profile[0].Y
	for _, p := range profile {
		z = max(z, p.Y)
	}
	return z
}

// clipBelow cuts a convex polygon to where a plane over it lies below another.
func clipBelow(ring []geom.Vec2, p, q plane) []geom.Vec2 {
	d := func(v geom.Vec2) float64 { return q.at(v.X, v.Y) - p.at(v.X, v.Y) }
	var out []geom.Vec2
	for i, v := range ring {
		w := ring[(i+1)%len(ring)]
		a, b := d(v), d(w)
		if a >= -1e-9 {
			out = append(out, v)
		}
		if a > 1e-9 && b < -1e-9 || a < -1e-9 && b > 1e-9 {
			out = append(out, v.Add(w.Sub(v).Mul(a/(a-b))))
		}
	}
	return out
}

// faces returns the plane faces of the roof over a rectangle, as convex rings in plan.
func (f roofField) faces(x, y Span) (rings [][]geom.Vec2, planes []plane) {
	for j, p := range f {
		for i, q := range p.planes {
			ring := rectRing(Span{max(x.Lo, p.x.Lo), min(x.Hi, p.x.Hi)}, Span{max(y.Lo, p.y.Lo), min(y.Hi, p.y.Hi)})
			for k, o := range p.planes {
				if k != i && len(ring) > 2 {
					ring = clipBelow(ring, q, o)
				}
			}
			left := [][]geom.Vec2{ring}
			for l, o := range f { // where another part is higher, it is the roof
				if l == j {
					continue
				}
				var next [][]geom.Vec2
				for _, r := range left {
					next = append(next, outsideOf(r, q, o, l < j)...)
				}
				left = next
			}
			for _, r := range left {
				if len(r) > 2 && math.Abs(ringArea(r)) > 1e-4 {
					rings, planes = append(rings, r), append(planes, q)
				}
			}
		}
	}
	return rings, planes
}

// outsideOf cuts from a convex ring under a plane what a part of the roof rises above, and
// returns the rest in convex pieces. Where both are one plane it belongs to the first part.
func outsideOf(ring []geom.Vec2, q plane, part roofPart, first bool) [][]geom.Vec2 {
	var out [][]geom.Vec2
	limit := append([]plane(nil), part.planes...)
	for _, o := range []plane{{-part.x.Lo, 1, 0}, {part.x.Hi, -1, 0}, {-part.y.Lo, 0, 1}, {part.y.Hi, 0, -1}} {
		limit = append(limit, plane{q.a + o.a, q.b + o.b, q.c + o.c}) // above q within the plan of the part
	}
	for _, o := range limit {
		if len(ring) < 3 {
			break
		}
		if math.Abs(o.a-q.a)+math.Abs(o.b-q.b)+math.Abs(o.c-q.c) < 1e-9 {
			if !first {
				return append(out, ring)
			}
			continue
		}
		if r := clipBelow(ring, o, q); len(r) > 2 { // the part is lower here: it is not in the way
			out = append(out, r)
		}
		ring = clipBelow(ring, q, o)
	}
	return out
}

// roofSheets lays the sheathing of roof i, each face of it over every box in panels.
func (b *planBuilder) roofSheets(i int) {
	var whole *Part
	for d := range b.p.Boxes {
		if b.p.Boxes[d].Roof != i {
			continue
		}
		top := b.storey(d, b.topOf(d))
		if whole == nil {
			whole = b.add(RoofWhole, top, nil, OSB)
		}
		x, y := b.roofReach(d)
		rings, planes := b.roofs[i].faces(x, y)
		for n, ring := range rings {
			p := b.add(RoofPanel, top, whole, OSB, slantSheet(ring, planes[n], b.h.Roof.Sheathing))
			p.Thick = b.h.Roof.Sheathing
		}
	}
}

// roofReach is the plan that the roof of a box covers: over the outer sheathing, and over the
// strips to its neighbours.
func (b *planBuilder) roofReach(d int) (x, y Span) {
	q := &b.p.Boxes[d]
	out := [2]Span{q.X.grow(SidePanel), q.Y.grow(SidePanel)}
	for _, s := range b.p.Parties {
		a := int(s.Axis)
		switch {
		case s.A == d && b.p.Boxes[s.B].Roof == q.Roof:
			out[a].Hi = s.Gap.Mid() // the neighbour's panels go on there
		case s.B == d && b.p.Boxes[s.A].Roof == q.Roof:
			out[a].Lo = s.Gap.Mid()
		case s.A == d:
			out[a].Hi = max(s.Gap.Hi, s.Gap.Lo)
		case s.B == d:
			out[a].Lo = min(s.Gap.Lo, s.Gap.Hi)
		}
	}
	return out[0], out[1]
}

// slantSheet returns a sheet whose underside is a plane over a convex ring in plan.
func slantSheet(ring []geom.Vec2, q plane, thick float64) Prism {
	n := geom.Vec3{X: -q.b, Y: -q.c, Z: 1}.Unit()
	o := pt(ring[0].X, ring[0].Y, q.at(ring[0].X, ring[0].Y))
	side := geom.Vec3{X: 1}
	x := side.Sub(n.Mul(side.Dot(n))).Unit()
	f := geom.Mat{X: x, Y: n.Cross(x), Z: n, O: o}
	outline := make([]geom.Vec2, len(ring))
	for i, v := range ring {
		d := pt(v.X, v.Y, q.at(v.X, v.Y)).Sub(o)
		outline[i] = geom.Vec2{X: d.Dot(f.X), Y: d.Dot(f.Y)}
	}
	if ringArea(outline) < 0 {
		slices.Reverse(outline)
	}
	return Prism{f, Profile{Kind: Poly, Outline: outline}, thick}
}
