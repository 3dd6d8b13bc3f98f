package recognise

import (
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

// squares lists boxes by the squares of the plan that they cover.
type squares struct {
	side  float64            // metres: one, unless the boxes are so large that they would fill too many
	at    map[[2]int32]int32 // index of a square into first
	first []int32            // first[k]..first[k+1] is the range of a square in list
	list  []int32
}

func newSquares(boxes []geom.Box) *squares {
	q := &squares{side: 1, at: map[[2]int32]int32{}}
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
	var n []int32 // boxes of each square
	for _, b := range boxes {
		if b.IsEmpty() {
			continue
		}
		q.each(b, func(c [2]int32) {
			k, ok := q.at[c]
			if !ok {
				k = int32(len(n))
				q.at[c] = k
				n = append(n, 0)
			}
			n[k]++
		})
	}
	q.first = make([]int32, len(n)+1)
	for k, m := range n {
		q.first[k+1] = q.first[k] + m
	}
	q.list = make([]int32, q.first[len(n)])
	copy(n, q.first)
	for i, b := range boxes {
		if b.IsEmpty() {
			continue
		}
		q.each(b, func(c [2]int32) {
			k := q.at[c]
			q.list[n[k]] = int32(i)
			n[k]++
		})
	}
	return q
}

// count is about how many squares a box covers.
func (q *squares) count(b geom.Box) float64 {
	s := b.Size()
	return (s.X/q.side + 1) * (s.Y/q.side + 1)
}

func (q *squares) each(b geom.Box, f func([2]int32)) {
	x0, x1 := q.line(b.Min.X), q.line(b.Max.X)
	y0, y1 := q.line(b.Min.Y), q.line(b.Max.Y)
	for x := x0; x <= x1; x++ {
		for y := y0; y <= y1; y++ {
			f([2]int32{x, y})
		}
	}
}

// line is the row or column of squares in which a coordinate lies; all beyond a million
// kilometres is one.
func (q *squares) line(v float64) int32 {
	return int32(math.Max(-1e9, math.Min(1e9, math.Floor(v/q.side))))
}

// boxIndex finds boxes by place. It is for one goroutine.
type boxIndex struct {
	squares *squares
	boxes   []geom.Box
	mark    []int32 // the last search that found a box
	turn    int32
	found   []int
}

func newBoxIndex(boxes []geom.Box) *boxIndex {
	return &boxIndex{squares: newSquares(boxes), boxes: boxes, mark: make([]int32, len(boxes))}
}

// in returns the indices of the boxes that meet b, ascending.
func (x *boxIndex) in(b geom.Box) []int {
	if b.IsEmpty() {
		return nil
	}
	x.turn++
	x.found = x.found[:0]
	if x.squares.count(b) > float64(len(x.boxes)) { // more squares than boxes
		for i := range x.boxes {
			if x.boxes[i].Overlaps(b) {
				x.found = append(x.found, i)
			}
		}
		return slices.Clone(x.found)
	}
	x.squares.each(b, func(c [2]int32) {
		k, ok := x.squares.at[c]
		if !ok {
			return
		}
		for _, i := range x.squares.list[x.squares.first[k]:x.squares.first[k+1]] {
			if x.mark[i] != x.turn && x.boxes[i].Overlaps(b) {
				x.mark[i] = x.turn
				x.found = append(x.found, int(i))
			}
		}
	})
	slices.Sort(x.found)
	return slices.Clone(x.found)
}

// newNear finds pieces by place.
func newNear(ps []*piece) *boxIndex {
	boxes := make([]geom.Box, len(ps))
	for i, p := range ps {
		boxes[i] = p.box
	}
	return newBoxIndex(boxes)
}

// overlap returns the common length of two intervals, negative when they are apart.
func overlap(a0, a1, b0, b1 float64) float64 { return math.Min(a1, b1) - math.Max(a0, b0) }

// planOverlap returns the common plan extents of two boxes, negative when apart.
func planOverlap(a, b geom.Box) (dx, dy float64) {
	return overlap(a.Min.X, a.Max.X, b.Min.X, b.Max.X), overlap(a.Min.Y, a.Max.Y, b.Min.Y, b.Max.Y)
}
