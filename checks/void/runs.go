package void

import (
	"cmp"
	"slices"

	"voidcheck/ifcx/geom"
)

// runs tells what is free over cells once every free run narrower than the gap is closed,
// along z, u and v.
type runs struct {
	*field
	stack       []free // of the cells that are looked at, each beside the one before
	left, right []reach
	kept        []crosscut
	narrow      []free
	diagonals   [4][]diagonal
}

// wide appends the free intervals over a cell to out, without those that are too narrow.
func (r *runs) wide(out []free, ci int32) []free {
	c := &r.cells[ci]
	out = r.freeOver(out, c)
	if w := r.width(c); len(out) > 0 && w < r.gap {
		r.narrow = append(r.narrow[:0], out...)
		out = r.wideEnough(out[:0], ci, r.narrow, w, r.stepU)
	}
	if w := c.height(); len(out) > 0 && w < r.gap {
		r.narrow = append(r.narrow[:0], out...)
		out = r.wideEnough(out[:0], ci, r.narrow, w, r.stepV)
	}
	if len(out) > 0 && c.height() < r.gap && r.width(c) < r.gap {
		r.narrow = append(r.narrow[:0], out...)
		out = r.unpinched(out[:0], ci, r.narrow)
	}
	return out
}

// freeOver appends the free intervals over a cell to out.
func (f *field) freeOver(out []free, c *cell) []free {
	cur := free{z0: f.zlo}
	for e := range f.column(c) {
		if !e.role.closes() || e.z1 <= cur.z0 || e.z0 >= f.zhi {
			continue
		}
		if e.z0-cur.z0 >= f.gap {
			cur.z1, cur.g1 = e.z0, e.g0
			out = append(out, cur)
		}
		cur = free{z0: e.z1, g0: e.g1}
	}
	if f.zhi-cur.z0 >= f.gap {
		cur.z1 = f.zhi
		out = append(out, cur)
	}
	return out
}

// stepU and stepV return the neighbour of a cell in direction d (-1 or +1) and its width.
func (f *field) stepU(ci int32, at geom.Vec2, d int) (int32, float64) {
	s := int(f.cells[ci].slab) + d
	if s < 0 || s >= f.slabs() {
		return -1, 0
	}
	u := f.us[s] + 1e-9
	if d < 0 {
		u = f.us[s+1] - 1e-9
	}
	return f.inSlab(s, u, at.Y), f.us[s+1] - f.us[s]
}

func (f *field) stepV(ci int32, _ geom.Vec2, d int) (int32, float64) {
	c := &f.cells[ci]
	j := ci + int32(d)
	if from, to := f.row(int(c.slab)); j < from || j >= to {
		return -1, 0
	}
	n := &f.cells[j]
	if d > 0 && n.lo0-c.hi0 > 1e-7 || d < 0 && c.lo0-n.hi0 > 1e-7 {
		return -1, 0
	}
	return j, n.height()
}

// stepper finds the neighbour of a cell in a direction.
type stepper func(int32, geom.Vec2, int) (int32, float64)

// reach is part of a free interval with the free run on one side of its cell.
type reach struct{ z0, z1, run float64 }

// crosscut is a part of a free interval with the free runs on both sides of its cell.
type crosscut struct{ z0, z1, left, right float64 }

// corner keeps two parts of one free interval from meeting where the way from one to the
// other, round a corner, is narrower than the gap; metres.
const corner = 2e-6

// wideEnough appends the parts of the intervals of a thin cell whose free run along one
// direction is at least the gap to out.
func (r *runs) wideEnough(out []free, ci int32, in []free, w float64, step stepper) []free {
	at := geom.Vec2{X: r.cells[ci].cu, Y: r.cells[ci].cv}
	for _, iv := range in {
		r.left = r.from(r.left[:0], ci, at, -1, iv.z0, iv.z1, r.gap-w, step)
		r.right = r.from(r.right[:0], ci, at, +1, iv.z0, iv.z1, r.gap-w, step)
		kept := r.kept[:0]
		for _, a := range r.left {
			for _, b := range r.right {
				z0, z1 := max(a.z0, b.z0), min(a.z1, b.z1)
				if z1 > z0 && a.run+b.run+w >= r.gap {
					kept = append(kept, crosscut{z0, z1, a.run, b.run})
				}
			}
		}
		r.kept = kept
		slices.SortFunc(kept, func(a, b crosscut) int { return cmp.Compare(a.z0, b.z0) })
		for i := 0; i < len(kept); {
			j, wide := i+1, i
			z0, z1 := kept[i].z0, kept[i].z1
			for ; j < len(kept) && kept[j].z0 <= z1+1e-9; j++ {
				// A slit lower than the gap is no way round the corner: the next part meets the
				// one before the slit.
				if slit := kept[j].z1-kept[j].z0 < r.gap; !slit {
					x, y := kept[wide], kept[j]
					if y.z0-x.z1 < r.gap && min(x.left, y.left)+w+min(x.right, y.right) < r.gap {
						break
					}
					wide = j
				}
				z1 = max(z1, kept[j].z1)
			}
			if i > 0 && z0 <= kept[i-1].z1+1e-9 {
				z0 += corner
			}
			if z1-z0 >= r.gap {
				p := free{z0: z0, z1: z1}
				if p.z0-iv.z0 < 1e-6 {
					p.g0 = iv.g0
				}
				if iv.z1-p.z1 < 1e-6 {
					p.g1 = iv.g1
				}
				out = append(out, p)
			}
			i = j
		}
	}
	return out
}

// from splits [z0,z1] by how far the free space runs on beyond a cell, up to need, and appends
// the parts to out.
func (r *runs) from(out []reach, ci int32, at geom.Vec2, d int, z0, z1, need float64, step stepper) []reach {
	if need <= 0 {
		return append(out, reach{z0, z1, 0})
	}
	n, w := step(ci, at, d)
	if n < 0 { // the edge of the decomposition: nothing bounds the run there
		return append(out, reach{z0, z1, need})
	}
	cur, first := z0, len(r.stack)
	r.stack = r.freeOver(r.stack, &r.cells[n])
	for k, last := first, len(r.stack); k < last; k++ {
		a, b := r.stack[k].at(&r.cells[n], at)
		a, b = max(a, cur), min(b, z1)
		if b <= a {
			continue
		}
		if a > cur {
			out = append(out, reach{cur, a, 0})
		}
		beyond := len(out)
		out = r.from(out, n, at, d, a, b, need-w, step)
		for i := range out[beyond:] {
			x := &out[beyond+i]
			x.run = min(x.run+w, need)
		}
		cur = b
	}
	r.stack = r.stack[:first]
	if cur < z1 {
		out = append(out, reach{cur, z1, 0})
	}
	return out
}
