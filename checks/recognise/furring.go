package recognise

import (
	"math"
	"slices"

	"voidcheck/checks/void"
)

// furringReach is how far furring may stand off the wall that it lines, metres.
const furringReach = 0.06

// furr marks stud rows and single walls that stand right at a whole wall as furring. A row set
// off from it has an air space behind it, which runs past its studs.
func (r *reader) furr() {
	grid := r.wallGrid()
	for _, w := range r.walls[:len(r.walls):len(r.walls)] {
		if w.kind != void.WallSingle {
			continue
		}
		o := r.lined(w, grid, false)
		if o == nil {
			continue
		}
		r.cutBeyond(w, o)
		w.kind = void.WallFurred
		lo, hi := w.edges()
		a, b := o.edges()
		air := band{hi, a, bandAir}
		if math.Abs(lo-b) < furringReach {
			air = band{b, lo, bandAir}
		}
		if w.framed && air.hi-air.lo > minCavity {
			w.bands = append(slices.Clone(w.bands), air)
			w.sortBands()
		}
	}
}

// behindFurring reports whether a piece lies in the air space between a stud row and the wall without
// framing that it lines, beside both: what closes that space, whatever it is called.
func (r *reader) behindFurring(p *piece) bool {
	const play = 0.005
	for _, row := range r.rowsNear(p, furringReach) {
		s0, s1, t0, t1 := row.span(p)
		lo, hi := row.edges()
		if overlap(s0, s1, row.s0, row.s1) < 0.9*(s1-s0) || p.z1() < row.z0 || p.z0() > row.z1+floorDeep {
			continue
		}
		for _, o := range r.grid().in(p.box.Grow(furringReach)) {
			if o.framing || !o.parallel(row) || overlap(o.s0, o.s1, s0, s1) < 0.9*(s1-s0) || overlap(o.z0, o.z1, p.z0(), p.z1()) < 0.9*(p.z1()-p.z0()) {
				continue
			}
			a, b := o.edges()
			if a-hi > minCavity && a-hi < furringReach && t0 > hi-play && t1 < a+play || lo-b > minCavity && lo-b < furringReach && t0 > b-play && t1 < lo+play {
				return true
			}
		}
	}
	return false
}

// cutBeyond makes walls of their own of what runs on past the ends of the wall that a wall lines.
func (r *reader) cutBeyond(w, o *wall) {
	const short = 0.2 // as in sections
	if !w.framed {
		return
	}
	if o.s0 > w.s0+short {
		c := *w
		c.s1, w.s0 = o.s0, o.s0
		r.walls = append(r.walls, &c)
	}
	if o.s1 < w.s1-short {
		c := *w
		c.s0, w.s1 = o.s1, o.s1
		r.walls = append(r.walls, &c)
	}
}

// lined returns the whole wall that a wall lines over most of it, nil for none; with alike,
// only one between the same units.
func (r *reader) lined(w *wall, grid *leafGrid, alike bool) *wall {
	lo, hi := w.edges()
	for _, k := range grid.ids(w.box().Grow(0.1)) {
		o := r.walls[k]
		if o == w || alike && o.pair != w.pair || !o.parallel(&w.leaf) || o.kind != void.WallSolid && (o.kind != void.WallFurred || alike) || overlap(o.s0, o.s1, w.s0, w.s1) < 0.5*(w.s1-w.s0) || overlap(o.z0, o.z1, w.z0, w.z1) < 0.5*(w.z1-w.z0) {
			continue
		}
		a, b := o.edges()
		if math.Abs(a-hi) < furringReach || math.Abs(lo-b) < furringReach {
			return o
		}
	}
	return nil
}

// dropLinings leaves the furring on both sides of a masonry wall between two units out of their
// separation: the wall that they line separates.
func (r *reader) dropLinings(found map[pair][]int) {
	grid := r.wallGrid()
	for p, list := range found {
		found[p] = slices.DeleteFunc(list, func(i int) bool {
			w := r.walls[i]
			if w.kind != void.WallFurred || !w.framed || kindOf(&w.leaf) != void.WallSingle || r.lined(w, grid, true) == nil {
				return false
			}
			w.lining = true
			return true
		})
	}
	for _, w := range r.walls {
		if w.lining {
			w.pair = pair{-1, -1}
		}
	}
}
