package void

import (
	"sort"

	"voidcheck/ifcx/geom"
)

// grid finds boxes by plan position: squares, each with the boxes that meet it.
type grid struct {
	boxes []geom.Box
	side  float64 // metres: one, unless the boxes are so large that they would fill too many
	sq    map[[2]int32][]int32
}

func newGrid(boxes []geom.Box) *grid {
	g := &grid{boxes: boxes, side: 1, sq: map[[2]int32][]int32{}}
	for most := float64(1_000_000 + 64*len(boxes)); ; g.side *= 2 {
		total := 0.0
		for _, b := range boxes {
			if !b.IsEmpty() {
				total += g.count(b)
			}
		}
		if !(total > most) {
			break
		}
	}
	for i, b := range boxes {
		if b.IsEmpty() {
			continue
		}
		g.each(b, func(k [2]int32) { g.sq[k] = append(g.sq[k], int32(i)) })
	}
	return g
}

// count is about how many squares a box meets.
func (g *grid) count(b geom.Box) float64 {
	s := b.Size()
	return (s.X/g.side + 1) * (s.Y/g.side + 1)
}

func (g *grid) each(b geom.Box, f func([2]int32)) {
	for x := floor32(b.Min.X / g.side); x <= floor32(b.Max.X/g.side); x++ {
		for y := floor32(b.Min.Y / g.side); y <= floor32(b.Max.Y/g.side); y++ {
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
	var out []int
	if b.IsEmpty() {
		return nil
	}
	if g.count(b) > float64(len(g.boxes)) { // more squares than boxes
		for i, c := range g.boxes {
			if !c.IsEmpty() && c.Overlaps(b) {
				out = append(out, i)
			}
		}
		return out
	}
	seen := map[int32]bool{}
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
