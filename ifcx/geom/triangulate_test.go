package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

// checkTriangles checks that triangles fill a region: no negative one, areas add up, and each edge of
// the boundary is used once while inner edges pair off.
func checkTriangles(t *testing.T, name string, g Region) {
	t.Helper()
	var pts []Vec2
	count := map[[2]Vec2]int{} // by place: rings may touch in points that have two numbers
	for _, r := range g {
		pts = append(pts, r...)
		for k := range r {
			count[[2]Vec2{r[k], r[(k+1)%len(r)]}]--
		}
	}
	area := 0.0
	for _, x := range Triangulate(g) {
		a := Ring{pts[x[0]], pts[x[1]], pts[x[2]]}.Area()
		if a < -1e-12 {
			t.Errorf("%s: a triangle of area %g", name, a)
		}
		area += a
		for k := range x {
			count[[2]Vec2{pts[x[k]], pts[x[(k+1)%3]]}]++
		}
	}
	near(t, name+": area", area, g.Area(), 1e-9)
	for e, n := range count {
		if n-count[[2]Vec2{e[1], e[0]}] != 0 {
			t.Errorf("%s: edge %v is used %d times", name, e, n)
			return
		}
	}
}

func TestTriangulateCases(t *testing.T) {
	square := Ring{{0, 0}, {4, 0}, {4, 4}, {0, 4}}
	for name, g := range map[string]Region{
		"square":                    {square},
		"points on straight edges":  {{{0, 0}, {1, 0}, {2, 0}, {4, 0}, {4, 1}, {4, 4}, {2, 4}, {0, 4}, {0, 3}, {0, 2}}},
		"hole":                      {square, {{1, 1}, {1, 3}, {3, 3}, {3, 1}}},
		"hole touching in a corner": {square, {{0, 0}, {1, 2}, {2, 1}}},
		"hole touching an edge":     {{{0, 0}, {2, 0}, {4, 0}, {4, 4}, {0, 4}}, {{2, 0}, {1, 2}, {3, 2}}},
		"holes touching each other": {square, {{1, 1}, {1, 2}, {2, 2}, {2, 1}}, {{2, 2}, {2, 3}, {3, 3}, {3, 2}}},
		"two parts":                 {square, {{5, 0}, {6, 0}, {6, 1}, {5, 1}}, {{1, 1}, {1, 3}, {3, 3}, {3, 1}}},
		"comb":                      {{{0, 0}, {7, 0}, {7, 3}, {6, 3}, {6, 1}, {5, 1}, {5, 3}, {4, 3}, {4, 1}, {3, 1}, {3, 3}, {2, 3}, {2, 1}, {1, 1}, {1, 3}, {0, 3}}},
		"island in a hole":          {square, {{1, 1}, {1, 3}, {3, 3}, {3, 1}}, {{1.5, 1.5}, {2.5, 1.5}, {2.5, 2.5}, {1.5, 2.5}}},
	} {
		checkTriangles(t, name, g)
	}
}

func TestTriangulateRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for n := range 1000 {
		g := Region{{{0, 0}, {4, 0}, {4, 2.7}, {0, 2.7}}}
		for range 1 + n%5 {
			c, a := Vec2{r.Float64() * 4, r.Float64() * 2.7}, r.Float64()*6
			var q Ring
			for i := range 3 + n%3 {
				q = append(q, c.Add(Vec2{math.Cos(a + float64(i)*2), math.Sin(a + float64(i)*2)}.Mul(0.1+r.Float64()*0.6)))
			}
			g = Combine(g, []Ring{q}, Difference)
		}
		checkTriangles(t, "random", g)
	}
}
