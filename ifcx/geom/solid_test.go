package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tol {
		t.Errorf("%s: got %.9g, want %.9g", what, got, want)
	}
}

// turned returns a rotation about all three axes with a shift.
func turned(a, b, c float64, o Vec3) Mat {
	rz := Mat{X: Vec3{math.Cos(a), math.Sin(a), 0}, Y: Vec3{-math.Sin(a), math.Cos(a), 0}, Z: Vec3{0, 0, 1}}
	rx := Mat{X: Vec3{1, 0, 0}, Y: Vec3{0, math.Cos(b), math.Sin(b)}, Z: Vec3{0, -math.Sin(b), math.Cos(b)}}
	ry := Mat{X: Vec3{math.Cos(c), 0, -math.Sin(c)}, Y: Vec3{0, 1, 0}, Z: Vec3{math.Sin(c), 0, math.Cos(c)}}
	m := rz.Then(rx).Then(ry)
	m.O = o
	return m
}

func box(x0, y0, z0, x1, y1, z1 float64) *Mesh {
	return BoxMesh(Box{Vec3{x0, y0, z0}, Vec3{x1, y1, z1}})
}

// shared is the volume that two axis-aligned boxes have in common.
func shared(a, b Box) float64 {
	v := 1.0
	for _, k := range [][4]float64{{a.Min.X, a.Max.X, b.Min.X, b.Max.X}, {a.Min.Y, a.Max.Y, b.Min.Y, b.Max.Y}, {a.Min.Z, a.Max.Z, b.Min.Z, b.Max.Z}} {
		v *= math.Max(0, math.Min(k[1], k[3])-math.Max(k[0], k[2]))
	}
	return v
}

// Boxes on a coarse grid coincide in faces, edges and corners all the time; the answer is
// known whatever they do.
func TestCombineSolidsBoxes(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for n := range 600 {
		random := func() Box {
			p := Vec3{float64(r.IntN(4)), float64(r.IntN(4)), float64(r.IntN(4))}
			return Box{p, p.Add(Vec3{1 + float64(r.IntN(3)), 1 + float64(r.IntN(3)), 1 + float64(r.IntN(3))})}
		}
		a, b := random(), random()
		turn := Identity()
		if n%2 == 1 {
			turn = turned(r.Float64()*6, r.Float64()*6, r.Float64()*6, Vec3{r.Float64() * 50, -20, 7})
		}
		ma, mb := BoxMesh(a).Transform(turn), BoxMesh(b).Transform(turn)
		va, vb, in := ma.Volume(), mb.Volume(), shared(a, b)
		for op, want := range map[Op]float64{Union: va + vb - in, Intersection: in, Difference: va - in} {
			m, err := CombineSolids(ma, mb, op)
			if err != nil {
				t.Fatalf("case %d op %d: %v (%v %v)", n, op, err, a, b)
			}
			near(t, "volume", m.Volume(), want, 1e-6)
		}
	}
}

// Three cuts one after another, with edges at odd angles: volumes must add up and stay closed.
func TestCombineSolidsChain(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for n := range 150 {
		whole := box(0, 0, 0, 4, 0.3, 2.7)
		rest, gone := whole, 0.0
		for k := range 3 {
			tool := box(-0.4, -0.5, -0.6, 0.4, 0.5, 0.6).Transform(turned(r.Float64()*6, r.Float64()*6, r.Float64()*6, Vec3{r.Float64() * 4, r.Float64() * 0.3, r.Float64() * 2.7}))
			piece, err := CombineSolids(rest, tool, Intersection)
			if err != nil {
				t.Fatalf("case %d cut %d: intersection: %v", n, k, err)
			}
			if rest, err = CombineSolids(rest, tool, Difference); err != nil {
				t.Fatalf("case %d cut %d: difference: %v", n, k, err)
			}
			gone += piece.Volume()
			near(t, "rest and pieces", rest.Volume()+gone, whole.Volume(), 1e-6)
		}
	}
}

func TestClip(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		m := box(0, 0, 0, 3, 0.2, 2)
		if hole, err := CombineSolids(m, box(1, -1, 0.5, 2, 1, 1.5), Difference); err != nil {
			t.Fatal(err)
		} else {
			m = hole
		}
		want := m.Volume()
		p := PlaneAt(Vec3{r.Float64() * 3, 0.1, r.Float64() * 2}, Vec3{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()})
		a, b := Clip(m, p), Clip(m, p.Flipped())
		if !a.IsClosed() || !b.IsClosed() {
			t.Fatalf("open after %v", p)
		}
		near(t, "both halves", a.Volume()+b.Volume(), want, 1e-9)
	}
	m := box(0, 0, 0, 1, 1, 1)
	if got := Clip(m, Plane{Vec3{0, 0, 1}, 1}); got != m {
		t.Error("a plane along a face must change nothing")
	}
	if got := Clip(m, Plane{Vec3{0, 0, -1}, -1}); len(got.Tris) != 0 {
		t.Error("a plane along a face must leave nothing on the other side")
	}
}
