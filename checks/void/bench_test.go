package void

import (
	"context"
	"fmt"
	"testing"

	"voidcheck/ifcx/geom"
)

// rowOf repeats the two-unit example along x.
func rowOf(pairs int) *Input {
	h := &twoUnits{wide: 6, deep: 11, depth: 0.40, spacing: 0.61}
	one := *h.build()
	out := one
	out.Parts, out.Rooms, out.Walls, out.Separations = nil, nil, nil, nil
	for k := 0; k < pairs; k++ {
		d := geom.Identity()
		d.O.X = float64(k) * 14.013
		for _, p := range one.Parts {
			p.Mesh = p.Mesh.Transform(d)
			out.Parts = append(out.Parts, p)
		}
		for _, r := range one.Rooms {
			r.Mesh = r.Mesh.Transform(d)
			r.Unit += 2 * k
			out.Rooms = append(out.Rooms, r)
		}
		for _, w := range one.Walls {
			w.Origin.X += d.O.X
			w.Separation = k
			out.Walls = append(out.Walls, w)
		}
		out.Separations = append(out.Separations, Separation{Units: [2]int{2 * k, 2*k + 1}, Walls: []int{2 * k, 2*k + 1}, Kind: WallDouble})
	}
	out.Units = 2 * pairs
	return &out
}

func BenchmarkSolve(b *testing.B) {
	for _, n := range []int{2, 10, 50, 100} {
		in := rowOf(n)
		b.Run(fmt.Sprintf("units=%d", 2*n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Solve(context.Background(), in); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
