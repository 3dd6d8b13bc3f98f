package void

import "math"

// passes reports whether a contact is at least as wide as the gap, together with the contacts
// beside it in the same line. Two cells may each be part of a wide run and meet round a corner
// where less than the gap is open: past the end of a board that ends just beyond a stud.
func (f *field) passes(l link) bool {
	if l.length >= f.gap {
		return true
	}
	a, b := f.nodes[l.a].cell, f.nodes[l.b].cell
	lower, upper := &f.cells[a], &f.cells[b]
	run := l.length
	for _, d := range []float64{-1, 1} {
		if lower.slab == upper.slab {
			run = f.alongU(l, int(lower.slab), int(d), run)
		} else {
			run = f.alongV(l, int(max(lower.slab, upper.slab)), d, run)
		}
	}
	return run >= f.gap
}

// besideLine is how far from the line of a contact the cells on its two sides are looked up, metres.
const besideLine = 1e-6

// alongU follows a contact between two cells of one slab into the slabs beside it.
func (f *field) alongU(l link, slab, d int, run float64) float64 {
	for s := slab + d; run < f.gap; s += d {
		if s < 0 || s >= f.slabs() {
			return math.Inf(1) // the edge of the plan: nothing bounds the contact there
		}
		u := (f.us[s] + f.us[s+1]) / 2
		if !f.freeAt(f.inSlab(s, u, l.mid.Y-besideLine), l) || !f.freeAt(f.inSlab(s, u, l.mid.Y+besideLine), l) {
			break
		}
		run += f.us[s+1] - f.us[s]
	}
	return run
}

// alongV follows a contact between a slab and the one before it along their border.
func (f *field) alongV(l link, slab int, d, run float64) float64 {
	u := f.us[slab]
	for v := l.mid.Y + d*(l.length/2+besideLine); run < f.gap; {
		x, y := f.inSlab(slab-1, u-besideLine, v), f.inSlab(slab, u+besideLine, v)
		if !f.freeAt(x, l) || !f.freeAt(y, l) {
			break
		}
		a, b := &f.cells[x], &f.cells[y]
		end := math.Min(a.hi1, b.hi0)
		if d < 0 {
			end = math.Max(a.lo1, b.lo0)
		}
		if step := math.Abs(end - v); step > 0 {
			run += step
		}
		v = end + d*besideLine
	}
	return run
}

// freeAt reports whether a cell is free at the height of a contact.
func (f *field) freeAt(cell int32, l link) bool {
	if cell < 0 {
		return false
	}
	for i := f.nodesOf[cell]; i < f.nodesOf[cell+1]; i++ {
		n := &f.nodes[i]
		if math.Min(n.z1, l.z1)-math.Max(n.z0, l.z0) >= math.Min(f.gap, l.z1-l.z0)-1e-9 {
			return true
		}
	}
	return false
}
