package recognise

import (
	"math"
	"sort"

	"voidcheck/ifcx/geom"
)

// squares lists boxes by the squares of the plan that they cover.
type squares struct {
	side  float64 // metres: one, unless the boxes are so large that they would fill too many
	cells map[[2]int][]int
}

func newSquares(boxes []geom.Box) *squares {
	q := &squares{side: 1, cells: map[[2]int][]int{}}
	for most := float64(1_000_000 + 64*len(boxes)); ; q.side *= 2 {
		total := 0.0
		for _, b := range boxes {
			if !b.IsEmpty() {
				total += q.count(b)
			}
		}
		if !(total > most) {
			break
		}
	}
	for i, b := range boxes {
		if !b.IsEmpty() {
			q.each(b, func(c [2]int) { q.cells[c] = append(q.cells[c], i) })
		}
	}
	return q
}

// count is about how many squares a box covers.
func (q *squares) count(b geom.Box) float64 {
	s := b.Size()
	return (s.X/q.side + 1) * (s.Y/q.side + 1)
}

func (q *squares) each(b geom.Box, f func([2]int)) {
	x0, x1 := int(math.Floor(b.Min.X/q.side)), int(math.Floor(b.Max.X/q.side))
	y0, y1 := int(math.Floor(b.Min.Y/q.side)), int(math.Floor(b.Max.Y/q.side))
	for x := x0; x <= x1; x++ {
		for y := y0; y <= y1; y++ {
			f([2]int{x, y})
		}
	}
}

// candidates calls f for boxes that may meet b, of n in all, some of them more than once.
func (q *squares) candidates(b geom.Box, n int, f func(i int)) {
	if b.IsEmpty() {
		return
	}
	if q.count(b) > float64(n) { // more squares than boxes
		for i := range n {
			f(i)
		}
		return
	}
	q.each(b, func(c [2]int) {
		for _, i := range q.cells[c] {
			f(i)
		}
	})
}

// near finds pieces by place.
type near struct {
	squares *squares
	ps      []*piece
	mark    []int
	turn    int
}

func newNear(ps []*piece) *near {
	boxes := make([]geom.Box, len(ps))
	for i, p := range ps {
		boxes[i] = p.box
	}
	return &near{squares: newSquares(boxes), ps: ps, mark: make([]int, len(ps))}
}

// in returns the indices of the pieces whose box meets b, ascending.
func (n *near) in(b geom.Box) []int {
	n.turn++
	var r []int
	n.squares.candidates(b, len(n.ps), func(i int) {
		if n.mark[i] != n.turn && n.ps[i].box.Overlaps(b) {
			n.mark[i] = n.turn
			r = append(r, i)
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
