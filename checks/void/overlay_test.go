package void

import (
	"math"
	"math/rand"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"

	"voidcheck/ifcx/geom"
)

// extrude makes a vertical prism of a convex polygon.
func extrude(poly []geom.Vec2, z0, z1 float64) *geom.Mesh {
	n := len(poly)
	m := &geom.Mesh{}
	for _, z := range []float64{z0, z1} {
		for _, p := range poly {
			m.Verts = append(m.Verts, geom.Vec3{X: p.X, Y: p.Y, Z: z})
		}
	}
	for i := 1; i+1 < n; i++ {
		m.Tris = append(m.Tris, [3]int32{0, int32(i + 1), int32(i)}, [3]int32{int32(n), int32(n + i), int32(n + i + 1)})
	}
	for i := 0; i < n; i++ {
		j := (i + 1) % n
		m.Tris = append(m.Tris, [3]int32{int32(i), int32(j), int32(n + i)}, [3]int32{int32(j), int32(n + j), int32(n + i)})
	}
	return m
}

func polygon(pts []geom.Vec2) sf.Geometry {
	var c []float64
	for i := range pts {
		c = append(c, pts[i].X, pts[i].Y)
	}
	c = append(c, pts[0].X, pts[0].Y)
	return sf.NewPolygon([]sf.LineString{sf.NewLineString(sf.NewSequence(c, sf.DimXY))}).AsGeometry()
}

// Compartments between oblique walls, against polygon overlay by simplefeatures v0.59.0 (a
// port of the JTS overlay): a ceiling and a deck, cut by random straight walls.
func TestObliqueAgainstOverlay(t *testing.T) {
	rng := rand.New(rand.NewSource(11))
	for k := 0; k < 40; k++ {
		const w, d = 14.0, 9.0
		in := &Input{Levels: []float64{0, 3}, MaxGap: 0.0127}
		add := func(role Role, m *geom.Mesh) {
			in.Parts = append(in.Parts, Part{Mesh: m, Role: role, Element: len(in.Parts), Assembly: -1})
		}
		add(RoleDeck, geom.BoxMesh(box(0, w, 0, d, 3, 3.02)))
		add(RoleCeiling, geom.BoxMesh(box(0, w, 0, d, 2.6, 2.613)))
		rest := polygon([]geom.Vec2{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: d}, {X: 0, Y: d}})
		for i := 0; i < 1+rng.Intn(3); i++ {
			a := geom.Vec2{X: rng.Float64() * w, Y: -1}
			b := geom.Vec2{X: rng.Float64() * w, Y: d + 1}
			n := b.Sub(a).Unit()
			n = geom.Vec2{X: -n.Y, Y: n.X}.Mul(0.05 + 0.1*rng.Float64())
			quad := []geom.Vec2{a.Sub(n), a.Add(n), b.Add(n), b.Sub(n)}
			if quad[0].Sub(quad[1]).Cross(quad[2].Sub(quad[1])) > 0 {
				quad[1], quad[3] = quad[3], quad[1]
			}
			add(RoleSolid, extrude(quad, 2.5, 3.0))
			var err error
			if rest, err = sf.Difference(rest, polygon(quad)); err != nil {
				t.Fatal(err)
			}
		}
		r := mustSolve(t, disguise(in, rng.Float64()*360, 50, -20, k%2 == 0))
		area, parts := 0.0, 0
		for _, v := range r.Voids {
			area += v.AreaM2
			parts += len(v.Compartments)
			for _, c := range v.Compartments {
				ring := 0.0
				for _, o := range c.Outline {
					ring += ringArea(o)
				}
				if math.Abs(ring-c.AreaM2) > 1e-3*c.AreaM2+0.002 {
					t.Errorf("case %d: outline encloses %.4f, area is %.4f", k, ring, c.AreaM2)
				}
			}
		}
		want := 0
		for _, p := range rest.Dump() {
			if p.Area() >= minCompartment {
				want++
			}
		}
		if math.Abs(area-rest.Area()) > 0.005*rest.Area() || parts != want {
			t.Errorf("case %d: area %.4f in %d compartments, overlay says %.4f in %d", k, area, parts, rest.Area(), want)
		}
	}
}
