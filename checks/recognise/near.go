package recognise

import (
	"math"
	"sort"

	"voidcheck/ifcx/geom"
)

// near finds pieces by place: a grid over the plan whose cells list the pieces above them.
type near struct {
	cells map[[2]int][]int
	ps    []*piece
	mark  []int
	turn  int
}

const nearCell = 1.0 // metres

func newNear(ps []*piece) *near {
	n := &near{cells: map[[2]int][]int{}, ps: ps, mark: make([]int, len(ps))}
	for i, p := range ps {
		eachSquare(p.box, func(c [2]int) { n.cells[c] = append(n.cells[c], i) })
	}
	return n
}

// eachSquare calls f for every square of the grid that a box covers in plan.
func eachSquare(b geom.Box, f func([2]int)) {
	x0, x1 := int(math.Floor(b.Min.X/nearCell)), int(math.Floor(b.Max.X/nearCell))
	y0, y1 := int(math.Floor(b.Min.Y/nearCell)), int(math.Floor(b.Max.Y/nearCell))
	for x := x0; x <= x1; x++ {
		for y := y0; y <= y1; y++ {
			f([2]int{x, y})
		}
	}
}

// in returns the indices of the pieces whose box meets b, ascending.
func (n *near) in(b geom.Box) []int {
	n.turn++
	var r []int
	eachSquare(b, func(c [2]int) {
		for _, i := range n.cells[c] {
			if n.mark[i] != n.turn && n.ps[i].box.Overlaps(b) {
				n.mark[i] = n.turn
				r = append(r, i)
			}
		}
	})
	sort.Ints(r)
	return r
}

// overlap returns the common length of two intervals, negative when they are apart.
func overlap(a0, a1, b0, b1 float64) float64 { return math.Min(a1, b1) - math.Max(a0, b0) }

// planOverlap returns the common plan extents of two boxes, negative when apart.
func planOverlap(a, b geom.Box) (dx, dy float64) {
	return overlap(a.Min.X, a.Max.X, b.Min.X, b.Max.X), overlap(a.Min.Y, a.Max.Y, b.Min.Y, b.Max.Y)
}
