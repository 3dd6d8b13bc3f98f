package drawing

import (
	"math"
	"slices"

	"voidcheck/checks/finding"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

func (m *maker) voids() []finding.DrawnVoid {
	var out []finding.DrawnVoid
	for _, v := range m.r.Voids {
		d := finding.DrawnVoid{ID: finding.VoidID(v.Index), Z: m.z(v.ZLo, v.ZHi)}
		for _, c := range v.Compartments {
			lo, hi := v.ZLo, v.ZHi
			if v.Kind == void.KindWall && c.HeightMaxM > 0 {
				// The point stands at mid-height of the largest part of the compartment.
				lo = max(lo, c.Point.Z-c.HeightMaxM/2)
				hi = min(hi, lo+c.HeightMaxM)
				lo = max(v.ZLo, hi-c.HeightMaxM)
			}
			d.Compartments = append(d.Compartments, finding.DrawnCompartment{
				ID: finding.CompartmentID(v.Index, c.Number), Point: m.point(c.Point), Z: m.z(lo, hi),
			})
			if v.Kind == void.KindAttic {
				d.Ribs = append(d.Ribs, m.ribs(c)...)
			}
		}
		out = append(out, d)
	}
	return out
}

// ribCount is how many lines show the shape of a roof over one compartment.
const ribCount = 5

// ribs are lines along the underside of the roof over an attic compartment, across its ridge.
func (m *maker) ribs(c *void.Compartment) [][][3]float64 {
	if r, ok := m.ribsOf[c]; ok {
		return r
	}
	best := [][][3]float64(nil)
	most := -1.0
	for _, dir := range []geom.Vec2{m.dir, {X: -m.dir.Y, Y: m.dir.X}} {
		ribs, rise := m.ribsAlong(c, dir)
		if rise > most+0.01 {
			best, most = ribs, rise
		}
	}
	m.ribsOf[c] = best
	return best
}

func (m *maker) ribsAlong(c *void.Compartment, dir geom.Vec2) (ribs [][][3]float64, rise float64) {
	base := plane{dir: dir}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, ring := range c.Outline {
		for _, p := range ring {
			lo, hi = min(lo, base.off(p)), max(hi, base.off(p))
		}
	}
	for k := range ribCount {
		// The end ribs stay a little inside, clear of gable boards.
		t := 0.02 + 0.96*float64(k)/float64(ribCount-1)
		p := base.moved(lo + (hi-lo)*t)
		within := chords(c.Outline, p)
		if len(within) == 0 {
			continue
		}
		roof := m.underside(p, within[0].Lo, within[len(within)-1].Hi)
		for _, in := range within {
			rib, up := m.rib(p, roof, in)
			if len(rib) > 1 {
				ribs, rise = append(ribs, rib), max(rise, up)
			}
		}
	}
	return ribs, rise
}

func (m *maker) rib(p plane, roof []geom.Vec2, in void.Span) (rib [][3]float64, rise float64) {
	lo, hi := math.Inf(1), math.Inf(-1)
	add := func(s, z float64) {
		q := p.at(s)
		rib = append(rib, m.point(geom.Vec3{X: q.X, Y: q.Y, Z: z}))
		lo, hi = min(lo, z), max(hi, z)
	}
	for i := 1; i < len(roof); i++ {
		a, b := roof[i-1], roof[i]
		if math.IsNaN(a.Y) || math.IsNaN(b.Y) || b.X < in.Lo || a.X > in.Hi {
			continue
		}
		at := func(s float64) float64 {
			if b.X-a.X < 1e-9 {
				return a.Y
			}
			return a.Y + (b.Y-a.Y)*(s-a.X)/(b.X-a.X)
		}
		if s := max(a.X, in.Lo); len(rib) == 0 {
			add(s, at(s))
		}
		s := min(b.X, in.Hi)
		add(s, at(s))
	}
	return rib, hi - lo
}

// chords are the intervals of s in which a plane runs inside rings.
func chords(rings [][]geom.Vec2, p plane) []void.Span {
	var s []float64
	for _, ring := range rings {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			da, db := p.off(a), p.off(b)
			if (da >= 0) != (db >= 0) {
				s = append(s, p.s(a.Add(b.Sub(a).Mul(da/(da-db)))))
			}
		}
	}
	slices.Sort(s)
	var out []void.Span
	for i := 0; i+1 < len(s); i += 2 {
		if s[i+1]-s[i] > 0.05 {
			out = append(out, void.Span{Lo: s[i], Hi: s[i+1]})
		}
	}
	return out
}

// underside is the lowest roof surface along a stretch of a plane and some way beyond, as a
// line in (s, z); z is not a number where there is no roof.
func (m *maker) underside(p plane, s0, s1 float64) []geom.Vec2 {
	var edges [][2]geom.Vec2
	var stops []float64
	for _, i := range m.roofs.In(p.bounds(s0, s1).Grow(1)) {
		for _, ring := range upright(m.b.Input.Parts[i].Mesh, p) {
			for k, a := range ring {
				b := ring[(k+1)%len(ring)]
				if a.X > b.X {
					a, b = b, a
				}
				stops = append(stops, a.X, b.X)
				if b.X-a.X > 1e-6 {
					edges = append(edges, [2]geom.Vec2{a, b})
				}
			}
		}
	}
	slices.Sort(stops)
	stops = slices.CompactFunc(stops, func(a, b float64) bool { return math.Abs(b-a) < 1e-4 })
	var out []geom.Vec2
	put := func(q geom.Vec2) {
		n := len(out)
		if n >= 2 && onLine(out[n-2], out[n-1], q) {
			out[n-1] = q
			return
		}
		if n == 0 || out[n-1] != q {
			out = append(out, q)
		}
	}
	for i := 1; i < len(stops); i++ {
		a, b := stops[i-1], stops[i]
		z0, z1 := lowest(edges, a+1e-5, b-1e-5)
		put(geom.Vec2{X: a, Y: z0})
		put(geom.Vec2{X: b, Y: z1})
	}
	return out
}

// lowest gives the heights at s0 and s1 of the lowest edge between them.
func lowest(edges [][2]geom.Vec2, s0, s1 float64) (z0, z1 float64) {
	z0, z1 = math.NaN(), math.NaN()
	mid, best := (s0+s1)/2, math.Inf(1)
	for _, e := range edges {
		if e[0].X > s0 || e[1].X < s1 {
			continue
		}
		at := func(s float64) float64 { return e[0].Y + (e[1].Y-e[0].Y)*(s-e[0].X)/(e[1].X-e[0].X) }
		if z := at(mid); z < best {
			best, z0, z1 = z, at(s0), at(s1)
		}
	}
	return z0, z1
}

func onLine(a, b, c geom.Vec2) bool {
	if math.IsNaN(a.Y) || math.IsNaN(b.Y) || math.IsNaN(c.Y) || c.X-a.X < 1e-9 || b.X-a.X < 1e-9 {
		return false
	}
	return math.Abs(a.Y+(c.Y-a.Y)*(b.X-a.X)/(c.X-a.X)-b.Y) < 0.0008
}
