package recognise

import (
	"math"
	"sort"
)

// sections cuts a set of leaves along the wall where its build-up changes.
func sections(ls []*leaf) []*leaf {
	const short = 0.2  // a leaf that runs on this little past the other is still one wall
	const drawn = 0.03 // a plate may be drawn this far into the one that it meets
	var cuts, upper []float64
	for _, l := range ls {
		cuts = append(cuts, l.s0, l.s1)
		s0, s1, ok := l.upper()
		if !ok {
			continue
		}
		upper = append(upper, s0, s1)
		runs := l.upperRuns()
		for i := 1; i < len(runs); i++ {
			cuts, upper = append(cuts, runs[i-1].hi, runs[i].lo), append(upper, runs[i-1].hi, runs[i].lo)
		}
		if !l.runsOut(s0, s0-l.s0) {
			cuts = append(cuts, s0)
		}
		if !l.runsOut(s1, l.s1-s1) {
			cuts = append(cuts, s1)
		}
	}
	if len(cuts) == 2 {
		return ls
	}
	sort.Float64s(cuts)
	var at []float64
	for _, c := range cuts {
		if len(at) == 0 || c-at[len(at)-1] > short {
			at = append(at, c)
		} else if c == cuts[len(cuts)-1] {
			at[len(at)-1] = c
		}
	}
	for i, c := range at { // studs end where they are drawn, plates somewhat further
		for _, u := range upper {
			if math.Abs(u-c) < drawn {
				at[i] = u
			}
		}
	}
	if len(at) < 2 {
		at = []float64{cuts[0], cuts[len(cuts)-1]}
	}
	at[0], at[len(at)-1] = cuts[0], cuts[len(cuts)-1]
	var out []*leaf
	for i := 0; i+1 < len(at); i++ {
		m := joinLeaves(ls, at[i], at[i+1])
		if m == nil {
			continue
		}
		if n := len(out); n > 0 && sameBands(out[n-1].bands, m.bands) && math.Abs(out[n-1].s1-m.s0) < 0.01 && math.Abs(out[n-1].z1-m.z1) < 0.15 {
			p := out[n-1]
			p.s1 = m.s1
			p.z0, p.z1 = math.Min(p.z0, m.z0), math.Max(p.z1, m.z1)
			p.elems = mergeInts(p.elems, m.elems)
			continue
		}
		out = append(out, m)
	}
	return out
}

// joinLeaves makes one leaf of those that stand over most of a stretch.
func joinLeaves(ls []*leaf, s0, s1 float64) *leaf {
	m := &leaf{s0: math.Inf(1), s1: math.Inf(-1), z0: math.Inf(1), z1: math.Inf(-1), storey: -1, bare: true, framed: false}
	n := 0
	for _, l := range ls {
		if overlap(l.s0, l.s1, s0, s1) < 0.5*(s1-s0) {
			continue
		}
		n++
		m.dir, m.norm = l.dir, l.norm
		m.s0, m.s1 = math.Min(m.s0, math.Max(l.s0, s0)), math.Max(m.s1, math.Min(l.s1, s1))
		z0, z1 := l.over(s0, s1)
		m.z0, m.z1 = math.Min(m.z0, z0), math.Max(m.z1, z1)
		for _, b := range l.boardsOver(s0, s1) {
			m.addBoard(b)
		}
		for _, o := range l.boards {
			if overlap(o.s0, o.s1, s0, s1) > 0 {
				m.boards = append(m.boards, o)
			}
		}
		for _, b := range l.bands {
			if b.kind != bandBoard {
				m.bands = append(m.bands, b)
			}
		}
		m.elems = mergeInts(m.elems, l.elems)
		for _, u := range l.uprights {
			if u.s1 > s0 && u.s0 < s1 {
				m.uprights = append(m.uprights, u)
			}
		}
		for _, h := range l.rowZ {
			m.rowZ = append(m.rowZ, rowHeight{h.lo, h.hi, math.Max(h.z0, z0), math.Min(h.z1, z1), h.plate})
		}
		m.framing = m.framing || l.framing
		m.framed = m.framed || l.framed
		m.bare = m.bare && l.bare
		m.staggered = m.staggered || l.staggered
		m.combustible = m.combustible || l.combustible
	}
	if n == 0 {
		return nil
	}
	m.sortBands()
	sort.SliceStable(m.boards, func(i, j int) bool { return m.boards[i].z0 < m.boards[j].z0 })
	m.bands = mergeFrames(m.bands)
	return m
}

// mergeFrames joins frame bands that repeat each other: rows of one strip that stand end to
// end or were modelled twice.
func mergeFrames(bs []band) []band {
	var out []band
	for _, b := range bs {
		if n := len(out); n > 0 && b.kind == bandFrame && out[n-1].kind == bandFrame && overlap(out[n-1].lo, out[n-1].hi, b.lo, b.hi) > 0.8*math.Min(b.hi-b.lo, out[n-1].hi-out[n-1].lo) {
			out[n-1].hi = math.Max(out[n-1].hi, b.hi)
			continue
		}
		out = append(out, b)
	}
	return out
}
