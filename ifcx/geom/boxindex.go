package geom

import (
	"math"
	"slices"
)

// BoxIndex finds boxes by their place in plan. It is safe for several goroutines.
type BoxIndex struct {
	boxes []Box
	side  float64            // of a square, metres: one, unless the boxes would fill too many
	at    map[[2]int32]int32 // index of a square into first
	first []int32            // first[k]..first[k+1] is the range of a square in list
	list  []int32
}

// NewBoxIndex returns an index of boxes, which it keeps; empty ones are never found.
func NewBoxIndex(boxes []Box) *BoxIndex {
	x := &BoxIndex{boxes: boxes, side: 1, at: map[[2]int32]int32{}}
	for most := float64(1_000_000 + 64*len(boxes)); ; x.side *= 2 {
		total := 0.0
		for _, b := range boxes {
			if !b.IsEmpty() {
				total += x.squares(b)
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
		x.each(b, func(c [2]int32) {
			k, ok := x.at[c]
			if !ok {
				k = int32(len(n))
				x.at[c] = k
				n = append(n, 0)
			}
			n[k]++
		})
	}
	x.first = make([]int32, len(n)+1)
	for k, m := range n {
		x.first[k+1] = x.first[k] + m
	}
	x.list = make([]int32, x.first[len(n)])
	copy(n, x.first)
	for i, b := range boxes {
		if b.IsEmpty() {
			continue
		}
		x.each(b, func(c [2]int32) {
			k := x.at[c]
			x.list[n[k]] = int32(i)
			n[k]++
		})
	}
	return x
}

// squares is about how many squares a box meets.
func (x *BoxIndex) squares(b Box) float64 {
	s := b.Size()
	return (s.X/x.side + 1) * (s.Y/x.side + 1)
}

// square is the row or column of squares in which a coordinate lies; all beyond a million
// kilometres is one.
func (x *BoxIndex) square(v float64) int32 {
	return int32(math.Max(-1e9, math.Min(1e9, math.Floor(v/x.side))))
}

func (x *BoxIndex) each(b Box, f func([2]int32)) {
	x0, x1 := x.square(b.Min.X), x.square(b.Max.X)
	y0, y1 := x.square(b.Min.Y), x.square(b.Max.Y)
	for i := x0; i <= x1; i++ {
		for j := y0; j <= y1; j++ {
			f([2]int32{i, j})
		}
	}
}

// In returns the indices of the boxes that meet b, ascending.
func (x *BoxIndex) In(b Box) []int { return x.Append(nil, b) }

// Append appends the indices of the boxes that meet b to out, which is empty, ascending.
func (x *BoxIndex) Append(out []int, b Box) []int {
	if b.IsEmpty() {
		return out
	}
	if x.squares(b) > float64(len(x.boxes)) { // more squares than boxes
		for i := range x.boxes {
			if !x.boxes[i].IsEmpty() && x.boxes[i].Overlaps(b) {
				out = append(out, i)
			}
		}
		return out
	}
	x0, y0 := x.square(b.Min.X), x.square(b.Min.Y)
	x.each(b, func(c [2]int32) {
		k, ok := x.at[c]
		if !ok {
			return
		}
		for _, i := range x.list[x.first[k]:x.first[k+1]] {
			o := &x.boxes[i]
			// Of the squares that both meet the first one counts.
			if o.Overlaps(b) && (c[0] == x0 || c[0] == x.square(o.Min.X)) && (c[1] == y0 || c[1] == x.square(o.Min.Y)) {
				out = append(out, int(i))
			}
		}
	})
	slices.Sort(out)
	return out
}
