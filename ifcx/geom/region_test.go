package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
)

func star(r *rand.Rand, n int) Ring {
	c, a := Vec2{r.Float64() * 10, r.Float64() * 10}, r.Float64()*7
	var q Ring
	for i := range n {
		s, co := math.Sincos(a + 2*math.Pi*float64(i)/float64(n))
		q = append(q, c.Add(Vec2{co, s}.Mul(1+r.Float64()*4)))
	}
	return q
}

func toSF(t *testing.T, r Ring) sf.Geometry {
	t.Helper()
	var c []float64
	for i := range len(r) + 1 {
		c = append(c, r[i%len(r)].X, r[i%len(r)].Y)
	}
	p := sf.NewPolygon([]sf.LineString{sf.NewLineString(sf.NewSequence(c, sf.DimXY))})
	if err := p.Validate(); err != nil {
		t.Fatal(err)
	}
	return p.AsGeometry()
}

// Areas by github.com/peterstace/simplefeatures v0.59.0, a port of the JTS overlay.
func TestCombineAgainstSimplefeatures(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for n := range 300 {
		a, b := star(r, 3+n%20), star(r, 3+n%7)
		ga, gb := toSF(t, a), toSF(t, b)
		for op, f := range map[Op]func(a, b sf.Geometry) (sf.Geometry, error){Union: sf.Union, Intersection: sf.Intersection, Difference: sf.Difference} {
			want, err := f(ga, gb)
			if err != nil {
				t.Fatal(err)
			}
			got := Combine([]Ring{a}, []Ring{b}, op)
			near(t, "area", got.Area(), want.Area(), 1e-5) // Weld times the length of the boundary
			for _, part := range got.Parts() {
				for _, h := range part[1:] {
					if !part[0].Contains(h[0]) && !part[0].OnBoundary(h[0], 2*Weld) {
						t.Fatal("a hole outside its outer ring")
					}
				}
			}
		}
	}
}

// The laws of sets hold for areas whatever the rings do.
func TestCombineLaws(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	for range 300 {
		a, b := star(r, 12), star(r, 5)
		i, u := Combine([]Ring{a}, []Ring{b}, Intersection).Area(), Combine([]Ring{a}, []Ring{b}, Union).Area()
		d := Combine([]Ring{a}, []Ring{b}, Difference)
		near(t, "union and intersection", u+i, math.Abs(a.Area())+math.Abs(b.Area()), 1e-5)
		near(t, "difference", d.Area(), math.Abs(a.Area())-i, 1e-5)
		near(t, "difference again", Combine(d, []Ring{b}, Difference).Area(), d.Area(), 1e-5)
		near(t, "back together", Combine(d, Combine([]Ring{a}, []Ring{b}, Intersection), Union).Area(), math.Abs(a.Area()), 1e-5)
	}
}

// The trap of touching parts: a floor 9 x 12 m with 15 trusses and a row of 14 blocks between
// them falls into 30 compartments, however it is turned and however its corners are rounded.
func TestTouchingPartsSeparate(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	for n := range 60 {
		a := r.Float64() * 7
		s, c := math.Sincos(a)
		turn := func(x, y float64) Vec2 {
			p := Vec2{x*c - y*s, x*s + y*c}
			if n%2 == 1 { // export rounding to a tenth of a micrometre
				p = Vec2{math.Round(p.X*1e7) / 1e7, math.Round(p.Y*1e7) / 1e7}
			}
			return p
		}
		rect := func(x0, y0, x1, y1 float64) Ring {
			return Ring{turn(x0, y0), turn(x1, y0), turn(x1, y1), turn(x0, y1)}
		}
		var parts []Ring
		pitch := 9.0 / 15
		for k := range 15 {
			x := pitch * (float64(k) + 0.5)
			parts = append(parts, rect(x-0.02, 0, x+0.02, 12))
			if k > 0 {
				parts = append(parts, rect(x-pitch+0.02, 6, x-0.02, 6.04))
			}
		}
		rest := Combine([]Ring{rect(0, 0, 9, 12)}, UnionOf(parts...), Difference)
		if got := len(rest.Parts()); got != 30 {
			t.Errorf("turned by %.3f: %d compartments, want 30", a, got)
		}
	}
}

func TestCleaned(t *testing.T) {
	for name, c := range map[string]struct {
		r    Ring
		want int
	}{
		"spike":         {Ring{{0, 0}, {2, 0}, {2, 2}, {2, 5}, {2, 2}, {0, 2}}, 4},
		"repeated":      {Ring{{0, 0}, {0, 0}, {2, 0}, {2, 2}, {2, 2 + 1e-8}, {0, 2}}, 4},
		"on an edge":    {Ring{{0, 0}, {1, 0}, {2, 0}, {2, 2}, {1, 2 + 1e-8}, {0, 2}}, 4},
		"no area":       {Ring{{0, 0}, {1, 1}, {2, 2}}, 0},
		"sliver":        {Ring{{0, 0}, {1, 0}, {1, 1e-7}, {0, 1e-7}}, 0},
		"not finite":    {Ring{{0, 0}, {1, 0}, {math.NaN(), 1}}, 0},
		"nothing to do": {Ring{{0, 0}, {1, 0}, {0, 1}}, 3},
	} {
		if got := len(c.r.Cleaned(Weld)); got != c.want {
			t.Errorf("%s: %d points, want %d", name, got, c.want)
		}
	}
}

func TestContains(t *testing.T) {
	g := Region{{{0, 0}, {4, 0}, {4, 4}, {0, 4}}, {{1, 1}, {1, 3}, {3, 3}, {3, 1}}}
	for p, want := range map[Vec2]bool{{0.5, 0.5}: true, {2, 2}: false, {5, 1}: false, {3.5, 1}: true, {-1, 0}: false, {2, 0.5}: true} {
		if g.Contains(p) != want {
			t.Errorf("%v: %v", p, !want)
		}
	}
	near(t, "area", g.Area(), 12, 0)
	near(t, "distance", DistToSegment(Vec2{3, 4}, Vec2{0, 0}, Vec2{0, 0}), 5, 1e-12)
}

func TestOriented(t *testing.T) {
	m := box(0, 0, 0, 1, 2, 3)
	for i := range m.Tris {
		if i%3 == 0 {
			m.Tris[i][0], m.Tris[i][1] = m.Tris[i][1], m.Tris[i][0]
		}
	}
	if m.IsClosed() {
		t.Fatal("the faces look every way")
	}
	o := m.Oriented()
	if !o.IsClosed() {
		t.Error("does not close")
	}
	near(t, "volume", o.Volume(), 6, 1e-12)
	near(t, "area", o.Area(), 22, 1e-12)
}

func TestCircleSegments(t *testing.T) {
	for _, r := range []float64{0, 0.001, 0.02, 0.1, 1, 5, 20, 1e6} {
		n := CircleSegments(r)
		if n%4 != 0 || n < MinCircleSegments || n > MaxCircleSegments {
			t.Errorf("r=%g: %d", r, n)
		}
		if sag := r * (1 - math.Cos(math.Pi/float64(n))); sag > ChordError && n < MaxCircleSegments {
			t.Errorf("r=%g: %d chords are %g m off", r, n, sag)
		}
	}
	if CircleSegments(math.NaN()) != MinCircleSegments {
		t.Error("no radius")
	}
}
