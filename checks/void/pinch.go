package void

import (
	"math"
	"sort"
)

// diagonal is a cell beyond a corner of a small one, as far off as the two distances say.
type diagonal struct {
	du, dv float64
	cell   int32
}

// unpinched appends to out what is left of the free intervals of a small cell where two solids
// stand beyond opposite corners of it, closer to each other than the gap: each run along u or v
// passes one of them and is wide, but nothing passes between the two.
//
//	 one |
//	-----+ c
//	       +------
//	       | other
func (r *runs) unpinched(out []free, ci int32, in []free) []free {
	c := &r.cells[ci]
	w, h := r.width(c), c.height()
	if w >= r.gap || h >= r.gap {
		return append(out, in...)
	}
	var beyond [4][]diagonal // low u and low v, low and high, high and low, high and high
	for q := range beyond {
		beyond[q] = r.beyond(r.diagonals[q][:0], c, w, h, q>>1 == 1, q&1 == 1, in)
		r.diagonals[q] = beyond[q]
	}
	first := len(out)
	out = append(out, in...)
	for q := range 2 {
		for _, a := range beyond[q] {
			for _, b := range beyond[3-q] {
				if math.Hypot(a.du+w+b.du, a.dv+h+b.dv) < r.gap {
					out = r.without(out, first, a.cell, b.cell)
				}
			}
		}
	}
	return out
}

// beyond appends the cells beyond a corner of c, nearer than the gap, over which something is solid beside one
// of the free intervals.
func (r *runs) beyond(out []diagonal, c *cell, w, h float64, highU, highV bool, in []free) []diagonal {
	step, u := -1, r.us[c.slab]
	if highU {
		step, u = 1, r.us[c.slab+1]
	}
	for s := int(c.slab) + step; s >= 0 && s < r.slabs(); s += step {
		v, du := c.lo0, u-r.us[s+1]
		if highU {
			v, du = c.lo1, r.us[s]-u
		}
		if highV {
			v += h
		}
		if w+du >= r.gap {
			break
		}
		from, to := r.row(s)
		facing := func(i int32, high bool) float64 { // the end of a cell at the side that looks to c
			x := &r.cells[i]
			switch {
			case highU && high:
				return x.hi0
			case highU:
				return x.lo0
			case high:
				return x.hi1
			}
			return x.lo1
		}
		if highV {
			i := from + int32(sort.Search(int(to-from), func(k int) bool { return facing(from+int32(k), false) > v-besideLine }))
			for ; i < to; i++ {
				dv := math.Max(0, facing(i, false)-v)
				if h+dv >= r.gap {
					break
				}
				if r.solidBeside(i, in) {
					out = append(out, diagonal{du, dv, i})
				}
			}
			continue
		}
		i := from + int32(sort.Search(int(to-from), func(k int) bool { return facing(from+int32(k), true) > v+besideLine })) - 1
		for ; i >= from; i-- {
			dv := math.Max(0, v-facing(i, true))
			if h+dv >= r.gap {
				break
			}
			if r.solidBeside(i, in) {
				out = append(out, diagonal{du, dv, i})
			}
		}
	}
	return out
}

// solidBeside reports whether something solid stands over a cell at the height of free intervals.
func (r *runs) solidBeside(ci int32, in []free) bool {
	for e := range r.column(&r.cells[ci]) {
		if !e.role.closes() {
			continue
		}
		for i := range in {
			if e.z0 < in[i].z1 && e.z1 > in[i].z0 {
				return true
			}
		}
	}
	return false
}

// without takes the heights at which both of two cells are solid off the intervals from first on;
// what is left lower than the gap goes too.
func (r *runs) without(out []free, first int, a, b int32) []free {
	for x := range r.column(&r.cells[a]) {
		if !x.role.closes() {
			continue
		}
		for y := range r.column(&r.cells[b]) {
			if !y.role.closes() {
				continue
			}
			z0, z1 := math.Max(x.z0, y.z0), math.Min(x.z1, y.z1)
			if z0 >= z1 {
				continue
			}
			for i := first; i < len(out); i++ {
				iv := out[i]
				if iv.z0 >= z1 || iv.z1 <= z0 {
					continue
				}
				lower, upper := iv, iv
				lower.z1, upper.z0 = math.Min(iv.z1, z0), math.Max(iv.z0, z1)
				if lower.z1 < iv.z1 {
					lower.g1.X, lower.g1.Y = 0, 0
				}
				if upper.z0 > iv.z0 {
					upper.g0.X, upper.g0.Y = 0, 0
				}
				switch low, high := lower.z1-lower.z0 >= r.gap, upper.z1-upper.z0 >= r.gap; {
				case low && high:
					out[i] = lower
					out = append(out, free{})
					copy(out[i+2:], out[i+1:])
					out[i+1] = upper
					i++
				case low:
					out[i] = lower
				case high:
					out[i] = upper
				default:
					out = append(out[:i], out[i+1:]...)
					i--
				}
			}
		}
	}
	return out
}
