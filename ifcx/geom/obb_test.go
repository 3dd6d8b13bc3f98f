package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

// prismMesh sweeps a ring along Z.
func prismMesh(r Ring, h float64) *Mesh {
	m := &Mesh{}
	n := int32(len(r))
	for _, z := range [2]float64{0, h} {
		for _, p := range r {
			m.Verts = append(m.Verts, Vec3{p.X, p.Y, z})
		}
	}
	for i := range n {
		j := (i + 1) % n
		m.Tris = append(m.Tris, [3]int32{i, j, n + j}, [3]int32{i, n + j, n + i})
	}
	for _, t := range Triangulate(Region{r}) {
		m.Tris = append(m.Tris, [3]int32{t[0], t[2], t[1]}, [3]int32{n + t[0], n + t[1], n + t[2]})
	}
	return m
}

func TestOBB(t *testing.T) {
	stud := box(0, 0, 0, 0.038, 0.089, 2.4)
	ends := Clip(Clip(box(-1, 0, 0, 3, 0.038, 0.14), PlaneAt(Vec3{2, 0, 0}, Vec3{1, 0, 0.7})), PlaneAt(Vec3{0, 0, 0}, Vec3{-1, 0, -0.4}))
	var pipe Ring
	for i := range 18 { // no facet is square to another
		s, c := math.Sincos(2 * math.Pi * float64(i) / 18)
		pipe = append(pipe, Vec2{0.02 * c, 0.02 * s})
	}
	h := Ring{{-0.05, 0}, {0.05, 0}, {0.05, 0.02}, {0.01, 0.02}, {0.01, 0.28}, {0.05, 0.28}, {0.05, 0.3}, {-0.05, 0.3}, {-0.05, 0.28}, {-0.01, 0.28}, {-0.01, 0.02}, {-0.05, 0.02}}
	// A cut by the plane x + 0.7 z = 2 and one by -x - 0.4 z = 0: the lower edge reaches from
	// 0 to 2 and the upper from -0.056 to 1.902.
	for name, c := range map[string]struct {
		m    *Mesh
		want [3]float64
	}{
		"stud":           {stud, [3]float64{2.4, 0.089, 0.038}},
		"square":         {box(0, 0, 0, 1, 1, 1), [3]float64{1, 1, 1}},
		"cut ends":       {ends, [3]float64{2 + 0.4*0.14, 0.14, 0.038}},
		"round pipe":     {prismMesh(pipe, 3), [3]float64{3, 0.04, 0.04 * math.Cos(math.Pi/18)}},
		"I section":      {prismMesh(h, 4), [3]float64{4, 0.3, 0.1}},
		"gable sheet":    {prismMesh(Ring{{0, 0}, {8, 0}, {4, 3}}, 0.012), [3]float64{8, 3, 0.012}},
		"hexagon column": {prismMesh(Ring{{2, 0}, {1, math.Sqrt(3)}, {-1, math.Sqrt(3)}, {-2, 0}, {-1, -math.Sqrt(3)}, {1, -math.Sqrt(3)}}, 9), [3]float64{9, 4, 2 * math.Sqrt(3)}},
	} {
		r := rand.New(rand.NewPCG(7, 8))
		for n := range 60 {
			m := c.m
			if n > 0 {
				m = m.Transform(turned(r.Float64()*6, r.Float64()*6, r.Float64()*6, Vec3{r.Float64() * 100, 30, 5}))
			}
			b := m.OBB()
			got := b.Size()
			for k := range got {
				near(t, name, got[k], c.want[k], 1e-9)
			}
			near(t, name+" handedness", b.Axes[0].Cross(b.Axes[1]).Dot(b.Axes[2]), 1, 1e-9)
			for _, v := range m.Verts {
				for k, a := range b.Axes {
					if math.Abs(v.Sub(b.Center).Dot(a)) > b.Half[k]+1e-9 {
						t.Fatalf("%s: a vertex is outside the box", name)
					}
				}
			}
		}
	}
	if (&Mesh{}).OBB() != (OBB{}) {
		t.Error("the box of nothing")
	}
}
