package recognise

import "math"

// stubs takes up what stands on the plates of a wall as its studs do and is hardly taller than wide, or
// less: under low eaves the first studs of a wall that goes on into the attic. By itself such a
// piece is no stud.
func (r *reader) stubs() {
	const thin, thick, play = 0.025, 0.06, 0.01 // along the wall, metres; across it
	for i, w := range r.rows {
		plate := w.leaf.plateTop()
		if math.IsInf(plate, 1) {
			continue
		}
		lo, hi := w.leaf.edges()
		area := w.leaf.stretch(w.leaf.s0, w.leaf.s1, lo, hi)
		area.Min.Z, area.Max.Z = plate, plate+studMin
		found := false
		for _, k := range r.near.In(area) {
			p := r.ps[k]
			if p.known() || p.skip || p.row >= 0 || p.truss >= 0 || p.round || math.Abs(p.z0()-plate) > endClear || p.height() < plateMax {
				continue
			}
			s0, s1, t0, t1 := w.leaf.span(p)
			if s1-s0 < thin || s1-s0 > thick || p.height() > 1.5*(t1-t0) {
				continue
			}
			switch r.hint(p).first() {
			case "stair", "service", "chimney", "seal", "draftstop", "fireblock", "insulation", "sprinkler", "joist", "rim", "beam":
				continue
			}
			for _, b := range w.leaf.bands {
				if math.Abs(b.lo-t0) < play && math.Abs(b.hi-t1) < play {
					p.row, found = i, true
					w.studs = append(w.studs, p)
					break
				}
			}
		}
		if found {
			w.measure()
		}
	}
}
