package geom

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

func BenchmarkTriangulate(b *testing.B) {
	for _, n := range []int{10, 100, 1000, 10000} {
		r := rand.New(rand.NewPCG(1, 1))
		g := Region{star(r, n)}
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Triangulate(g)
			}
		})
	}
}

func BenchmarkCombine(b *testing.B) {
	for _, n := range []int{4, 40, 400, 4000} {
		r := rand.New(rand.NewPCG(1, 1))
		p := star(r, n)
		q := Ring{{4, 4}, {6, 4}, {6, 6}, {4, 6}}
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Combine([]Ring{p}, []Ring{q}, Difference)
			}
		})
	}
}

func BenchmarkCombineSolids(b *testing.B) {
	for _, n := range []int{4, 16, 64, 256} {
		var ring Ring
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			ring = append(ring, Vec2{2 + c, 1.3 + s})
		}
		tool := prismMesh(ring, 1).Transform(Mat{X: Vec3{1, 0, 0}, Y: Vec3{0, 0, 1}, Z: Vec3{0, -1, 0}, O: Vec3{0, 0.5, 0}})
		wall := box(0, 0, 0, 4, 0.3, 2.7)
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := CombineSolids(wall, tool, Difference); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkClip(b *testing.B) {
	m := box(0, 0, 0, 4, 0.3, 2.7)
	p := PlaneAt(Vec3{2, 0, 2}, Vec3{1, 0, 2})
	for b.Loop() {
		Clip(m, p)
	}
}
