package geom

import (
	"math"
	"math/rand"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The index against looking at every box.
func TestBoxIndex(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.Float64Range(-20, 20)
		size := rapid.OneOf(rapid.Float64Range(0, 2), rapid.Float64Range(0, 60), rapid.SampledFrom([]float64{0, 1, 2}))
		box := func(name string) Box {
			p := Vec3{X: at.Draw(t, name+" x"), Y: at.Draw(t, name+" y"), Z: at.Draw(t, name+" z")}
			if rapid.Bool().Draw(t, name+" on a line") {
				p = Vec3{X: math.Floor(p.X), Y: math.Floor(p.Y), Z: p.Z}
			}
			return Box{Min: p, Max: p.Add(Vec3{X: size.Draw(t, name+" dx"), Y: size.Draw(t, name+" dy"), Z: size.Draw(t, name+" dz")})}
		}
		boxes := []Box{EmptyBox()}
		for range rapid.IntRange(0, 40).Draw(t, "boxes") {
			boxes = append(boxes, box("box"))
		}
		x := NewBoxIndex(boxes)
		for range 5 {
			b := box("looked for")
			var want []int
			for i := range boxes {
				if !boxes[i].IsEmpty() && boxes[i].Overlaps(b) {
					want = append(want, i)
				}
			}
			if got := x.In(b); !slices.Equal(got, want) {
				t.Fatalf("found %v, want %v", got, want)
			}
		}
		if got := x.In(EmptyBox()); got != nil {
			t.Fatalf("an empty box meets %v", got)
		}
	})
}

// Boxes of absurd size and place take bounded memory and are found.
func TestBoxIndexAbsurd(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	var boxes []Box
	for range 100 {
		p := Vec3{X: (r.Float64() - 0.5) * 1e12, Y: (r.Float64() - 0.5) * 1e12}
		boxes = append(boxes, Box{Min: p, Max: p.Add(Vec3{X: r.Float64() * 1e6, Y: r.Float64() * 1e6, Z: 1})})
	}
	x := NewBoxIndex(boxes)
	if len(x.list) > 2_000_000 {
		t.Errorf("%d squares for 100 boxes", len(x.list))
	}
	for i := range boxes {
		if got := x.In(boxes[i]); !slices.Contains(got, i) {
			t.Errorf("box %d is not found in its own place", i)
		}
	}
}

// A mesh with a corner that is no place has no bounds that anything could lie within.
func TestBoxOfNowhere(t *testing.T) {
	m := BoxMesh(Box{Vec3{}, Vec3{1, 1, 1}})
	m.Verts[3].Y = math.NaN()
	b := m.Box()
	for _, v := range []float64{b.Min.X, b.Min.Y, b.Min.Z, b.Max.X, b.Max.Y, b.Max.Z} {
		if math.Abs(v) <= 1e9 {
			t.Fatalf("the box is %v", b)
		}
	}
}
