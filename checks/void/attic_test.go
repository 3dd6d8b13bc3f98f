package void

import (
	"math"
	"testing"

	"voidcheck/ifcx/geom"
)

// gable is code-facts.md 2.8, example 7: span 36 ft, 8:12, here with the sheathing's underside
// as the roof plane and an extrusion of 80 ft along y. heel is the height of the sheathing
// over the ceiling at the inside of the wall.
type gable struct {
	in    Input
	n     int
	stops []float64 // y of attic draftstops
	gap   float64   // how far they end below the sheathing
	heel  float64
}

const ft = 0.3048

func (g *gable) add(m *geom.Mesh, role Role) {
	g.in.Parts = append(g.in.Parts, Part{Mesh: m, Role: role, Element: g.n, Assembly: -1})
	g.n++
}

// prism extrudes a polygon in the x-z plane along y.
func prism(poly []geom.Vec2, y0, y1 float64) *geom.Mesh {
	n := len(poly)
	m := &geom.Mesh{}
	for _, y := range []float64{y0, y1} {
		for _, p := range poly {
			m.Verts = append(m.Verts, geom.Vec3{X: p.X, Y: y, Z: p.Y})
		}
	}
	for i := 1; i+1 < n; i++ {
		m.Tris = append(m.Tris, [3]int32{0, int32(i), int32(i + 1)}, [3]int32{int32(n), int32(n + i + 1), int32(n + i)})
	}
	for i := 0; i < n; i++ {
		j := (i + 1) % n
		m.Tris = append(m.Tris, [3]int32{int32(i), int32(n + i), int32(j)}, [3]int32{int32(j), int32(n + i), int32(n + j)})
	}
	return m
}

func (g *gable) build() *Input {
	const span, long, pitch = 36 * ft, 80 * ft, 8.0 / 12
	h := g.heel
	rise := span / 2 * pitch
	t := 0.012
	for _, sg := range []float64{-1, 1} {
		over := 0.4
		poly := []geom.Vec2{{X: 0, Y: h + rise}, {X: sg * (span/2 + over), Y: h - over*pitch}, {X: sg * (span/2 + over), Y: h - over*pitch + t}, {X: 0, Y: h + rise + t}}
		m := prism(poly, -0.3, long+0.3)
		if m.Volume() < 0 {
			for i := range m.Tris {
				m.Tris[i][1], m.Tris[i][2] = m.Tris[i][2], m.Tris[i][1]
			}
		}
		g.add(m, RoleRoof)
		// eave board on the wall line
		g.add(geom.BoxMesh(box(math.Min(sg*span/2, sg*(span/2+0.02)), math.Max(sg*span/2, sg*(span/2+0.02)), -0.02, long+0.02, -0.2, h)), RoleRim)
	}
	for _, y := range []float64{-0.02, long} { // gable sheathing
		g.add(prism([]geom.Vec2{{X: -span/2 - 0.02, Y: -0.2}, {X: span/2 + 0.02, Y: -0.2}, {X: span/2 + 0.02, Y: h}, {X: 0, Y: h + rise}, {X: -span/2 - 0.02, Y: h}}, y, y+0.02), RoleFinish)
	}
	g.add(geom.BoxMesh(box(-span/2, span/2, 0, long, -0.0127, 0)), RoleCeiling)
	for _, y := range g.stops {
		poly := []geom.Vec2{{X: -span / 2, Y: 0}, {X: span / 2, Y: 0}, {X: span / 2, Y: h - g.gap}, {X: 0, Y: h + rise - g.gap}, {X: -span / 2, Y: h - g.gap}}
		g.add(prism(poly, y, y+0.0127), RoleDraftstop)
	}
	g.in.Levels = []float64{-2.7}
	g.in.MaxGap = 0.0127
	return &g.in
}

func box(x0, x1, y0, y1, z0, z1 float64) geom.Box {
	return geom.Box{Min: geom.Vec3{X: x0, Y: y0, Z: z0}, Max: geom.Vec3{X: x1, Y: y1, Z: z1}}
}

func TestGableAttic(t *testing.T) {
	for _, deg := range []float64{0, 90, 37} {
		g := &gable{heel: 0.3048}
		r := mustSolve(t, disguise(g.build(), deg, 12, 7, false))
		if len(r.Voids) != 1 || len(r.Voids[0].Compartments) != 1 {
			t.Fatalf("want one attic\n%s", describe(r))
		}
		v := r.Voids[0]
		// Section area 36 + 216 = 252 ft2, 80 ft long: 20,160 ft3 = 570.868 m3 (code-facts.md 2.8, 7).
		check(t, "area", v.AreaM2, 36*80*ft*ft, 1e-3)
		check(t, "volume", v.VolumeM3, 570.868, 1e-3)
		check(t, "height", v.HeightMaxM, 13*ft, 1e-3)
	}
}

func TestAtticDraftstops(t *testing.T) {
	for _, c := range []struct {
		gap  float64
		open int
	}{{0, 0}, {0.003, 0}, {0.02, 1}, {0.15, 1}} {
		for _, deg := range []float64{0, 90, 200} {
			g := &gable{heel: 0.3048, stops: []float64{20 * ft, 50 * ft}, gap: c.gap}
			r := mustSolve(t, disguise(g.build(), deg, 0, 0, false))
			if len(r.Voids) != 1 || len(r.Voids[0].Compartments) != 3 {
				t.Fatalf("gap %g: want one attic in three\n%s", c.gap, describe(r))
			}
			if want := c.open * 2; len(r.Openings) != want {
				t.Fatalf("gap %g: openings %d want %d\n%s", c.gap, len(r.Openings), want, describe(r))
			}
			for _, o := range r.Openings {
				if o.Kind != OpenTop || math.Abs(o.HeightM-c.gap) > 0.002 {
					t.Errorf("gap %g: %s of %.4f", c.gap, o.Kind, o.HeightM)
				}
			}
		}
	}
}

// A roof that comes down to the ceiling: the attic ends where they meet.
func TestAtticWithoutHeel(t *testing.T) {
	g := &gable{heel: -0.5}
	r := mustSolve(t, g.build())
	v := r.Voids[0]
	half := (18*ft*8/12 - 0.5) / (8.0 / 12)
	check(t, "area", v.AreaM2, 2*half*80*ft, 1e-3)
}

func check(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if math.Abs(got-want) > rel*math.Abs(want) {
		t.Errorf("%s %.5f want %.5f", what, got, want)
	}
}
