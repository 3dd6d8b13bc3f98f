package void

import (
	"sort"

	"voidcheck/ifcx/geom"
)

// grid finds boxes by plan position: squares of one metre, each with the boxes that meet it.
type grid struct {
	boxes []geom.Box
	sq    map[[2]int32][]int32
}

func newGrid(boxes []geom.Box) *grid {
	g := &grid{boxes: boxes, sq: map[[2]int32][]int32{}}
	for i, b := range boxes {
		if b.IsEmpty() {
			continue
		}
		g.each(b, func(k [2]int32) { g.sq[k] = append(g.sq[k], int32(i)) })
	}
	return g
}

func (g *grid) each(b geom.Box, f func([2]int32)) {
	for x := floor32(b.Min.X); x <= floor32(b.Max.X); x++ {
		for y := floor32(b.Min.Y); y <= floor32(b.Max.Y); y++ {
			f([2]int32{x, y})
		}
	}
}

func floor32(x float64) int32 {
	i := int32(x)
	if float64(i) > x {
		i--
	}
	return i
}

// overlapping returns the indices of the boxes that meet b, ascending.
func (g *grid) overlapping(b geom.Box) []int {
	seen := map[int32]bool{}
	var out []int
	g.each(b, func(k [2]int32) {
		for _, i := range g.sq[k] {
			if !seen[i] && g.boxes[i].Overlaps(b) {
				seen[i] = true
				out = append(out, int(i))
			}
		}
	})
	sort.Ints(out)
	return out
}
