package geom

import (
	"math"
	"slices"
)

// BoxIndex finds boxes by their place in plan. It is safe for several goroutines.
type BoxIndex struct {
	boxes []Box
	side  float64 // of a square, metres: one, unless the boxes would fill too many
	// The squares from x0, y0 on, nx by ny, lie row by row in first; where that would be many
	// more than there are boxes, nx is 0 and at tells the place of those that a box meets.
	x0, y0, nx, ny int32
	at             map[[2]int32]int32
	first          []int32 // first[k]..first[k+1] is the range of a square in list
	list           []listed
}

// listed is a box in a square, with its height to the outside of what float32 tells: most boxes
// of a square lie at other heights than what is looked for, and are not looked at.
type listed struct {
	box    int32
	z0, z1 float32
}

// outside returns heights as float32, rounded apart.
func outside(z0, z1 float64) (lo, hi float32) {
	if lo = float32(z0); float64(lo) > z0 {
		lo = math.Nextafter32(lo, float32(math.Inf(-1)))
	}
	if hi = float32(z1); float64(hi) < z1 {
		hi = math.Nextafter32(hi, float32(math.Inf(1)))
	}
	return lo, hi
}

// NewBoxIndex returns an index of boxes, which it keeps; empty ones are never found.
func NewBoxIndex(boxes []Box) *BoxIndex {
	x := &BoxIndex{boxes: boxes, side: 1}
	for most := float64(1_000_000 + 64*len(boxes)); ; x.side *= 2 {
		total := 0.0
		for i := range boxes {
			if !boxes[i].IsEmpty() {
				total += x.squares(&boxes[i])
			}
		}
		if !(total > most) {
			break
		}
	}
	x.lay()
	var n []int32 // boxes of each square
	if x.nx > 0 {
		n = make([]int32, int(x.nx)*int(x.ny))
	}
	for i := range boxes {
		if boxes[i].IsEmpty() {
			continue
		}
		x.each(&boxes[i], func(i, j int32) {
			k, ok := x.place(i, j)
			if !ok {
				k = int32(len(n))
				x.at[[2]int32{i, j}] = k
				n = append(n, 0)
			}
			n[k]++
		})
	}
	x.first = make([]int32, len(n)+1)
	for k, m := range n {
		x.first[k+1] = x.first[k] + m
	}
	x.list = make([]listed, x.first[len(n)])
	copy(n, x.first)
	for i := range boxes {
		if boxes[i].IsEmpty() {
			continue
		}
		z0, z1 := outside(boxes[i].Min.Z, boxes[i].Max.Z)
		x.each(&boxes[i], func(a, b int32) {
			k, _ := x.place(a, b)
			x.list[n[k]] = listed{int32(i), z0, z1}
			n[k]++
		})
	}
	return x
}

// lay decides whether the squares lie row by row.
func (x *BoxIndex) lay() {
	all := EmptyBox()
	for i := range x.boxes {
		if b := &x.boxes[i]; !b.IsEmpty() {
			all = all.Join(*b)
		}
	}
	if all.IsEmpty() || !(x.squares(&all) <= float64(4*len(x.boxes)+1024)) {
		x.at = map[[2]int32]int32{}
		return
	}
	x.x0, x.y0 = x.square(all.Min.X), x.square(all.Min.Y)
	x.nx, x.ny = x.square(all.Max.X)-x.x0+1, x.square(all.Max.Y)-x.y0+1
}

// place returns where a square stands in first; false where no box can be.
func (x *BoxIndex) place(i, j int32) (int32, bool) {
	if x.nx > 0 {
		return (j-x.y0)*x.nx + i - x.x0, true
	}
	k, ok := x.at[[2]int32{i, j}]
	return k, ok
}

// squares is about how many squares a box meets.
func (x *BoxIndex) squares(b *Box) float64 {
	return ((b.Max.X-b.Min.X)/x.side + 1) * ((b.Max.Y-b.Min.Y)/x.side + 1)
}

// square is the row or column of squares in which a coordinate lies; all beyond a million
// kilometres is one.
func (x *BoxIndex) square(v float64) int32 {
	return int32(max(-1e9, min(1e9, math.Floor(v/x.side))))
}

// each calls f with the squares that a box meets and that boxes may lie in.
func (x *BoxIndex) each(b *Box, f func(i, j int32)) {
	x0, x1 := x.square(b.Min.X), x.square(b.Max.X)
	y0, y1 := x.square(b.Min.Y), x.square(b.Max.Y)
	if x.nx > 0 {
		x0, x1 = max(x0, x.x0), min(x1, x.x0+x.nx-1)
		y0, y1 = max(y0, x.y0), min(y1, x.y0+x.ny-1)
	}
	for i := x0; i <= x1; i++ {
		for j := y0; j <= y1; j++ {
			f(i, j)
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
	if x.squares(&b) > float64(len(x.boxes)) { // more squares than boxes
		for i := range x.boxes {
			if !x.boxes[i].IsEmpty() && x.boxes[i].Overlaps(b) {
				out = append(out, i)
			}
		}
		return out
	}
	x0, x1 := x.square(b.Min.X), x.square(b.Max.X)
	y0, y1 := x.square(b.Min.Y), x.square(b.Max.Y)
	i0, i1, j0, j1 := x0, x1, y0, y1
	if x.nx > 0 {
		i0, i1 = max(x0, x.x0), min(x1, x.x0+x.nx-1)
		j0, j1 = max(y0, x.y0), min(y1, x.y0+x.ny-1)
	}
	z0, z1 := outside(b.Min.Z, b.Max.Z)
	for j := j0; j <= j1; j++ {
		for i := i0; i <= i1; i++ {
			k, ok := x.place(i, j)
			if !ok {
				continue
			}
			for _, n := range x.list[x.first[k]:x.first[k+1]] {
				if n.z0 > z1 || n.z1 < z0 {
					continue
				}
				o := &x.boxes[n.box]
				// Of the squares that both meet the first one counts.
				if o.Min.X <= b.Max.X && b.Min.X <= o.Max.X && o.Min.Y <= b.Max.Y && b.Min.Y <= o.Max.Y && o.Min.Z <= b.Max.Z && b.Min.Z <= o.Max.Z &&
					(i == x0 || i == x.square(o.Min.X)) && (j == y0 || j == x.square(o.Min.Y)) {
					out = append(out, int(n.box))
				}
			}
		}
	}
	slices.Sort(out)
	return out
}
