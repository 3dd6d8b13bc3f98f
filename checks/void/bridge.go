package void

import (
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

// bridgeJoints carries a void across the joints between sheets of a deck, a roof or a
// ceiling: a cell narrower than the gap takes the zone of the cells on both its sides.
func (h *horizontal) bridgeJoints() {
	zone1 := func(ci int32) *zone {
		if ci < 0 {
			return nil
		}
		for k := range h.zonesAt(ci) {
			if z := &h.zonesAt(ci)[k]; z.class == classVoid || z.class == classBand {
				return z
			}
		}
		return nil
	}
	for i := range h.cells {
		ci := int32(i)
		c := &h.cells[i]
		if zone1(ci) != nil || h.wallOf[i] >= 0 {
			continue
		}
		at := geom.Vec2{X: c.cu, Y: c.cv}
		for k, step := range []stepper{h.stepU, h.stepV} {
			if k == 0 && h.width(c) >= h.gap || k == 1 && c.height() >= h.gap {
				continue
			}
			a, _ := step(ci, at, -1)
			b, _ := step(ci, at, 1)
			x, y := zone1(a), zone1(b)
			if x == nil || y == nil {
				continue
			}
			x0, x1 := x.at(&h.cells[a], at)
			y0, y1 := y.at(&h.cells[b], at)
			if math.Abs(x0-y0) > 0.05 || math.Abs(x1-y1) > 0.05 {
				continue
			}
			z := *x
			z.z0, z.z1 = math.Max(x0, y0), math.Min(x1, y1)
			if x.class == classBand {
				z.class, z.ref = y.class, y.ref
			}
			h.setZones(ci, append(slices.Clone(h.zonesAt(ci)), z))
			break
		}
	}
}

// bridgeBoards carries a void across walls that the model shows by their boards alone: nothing
// is drawn between them, ceilings end at them, and the void above goes on over them.
func (h *horizontal) bridgeBoards() {
	const widest, foot = 0.45, 0.05 // of such a wall; between the top of a board and the void, metres
	bare := func(ci int32) bool {
		return ci >= 0 && h.wallOf[ci] < 0 && h.voidZone(ci) == nil && h.bandZone(ci) == nil
	}
	board := func(ci int32, z float64) bool {
		for e := range h.column(&h.cells[ci]) {
			if e.role == RoleFinish && math.Abs(e.z1-z) < foot {
				return true
			}
		}
		return false
	}
	through := func(ci int32, top float64) bool { // a board that runs on to the deck or roof
		for e := range h.column(&h.cells[ci]) {
			if e.role == RoleFinish && e.z0 < top-h.gap && e.z1 > top-h.gap {
				return true
			}
		}
		return false
	}
	type side struct {
		cell int32 // of the void, -1
		far  float64
		seen []int32
	}
	walk := func(ci int32, d int, step stepper) side {
		x, at := side{cell: -1}, geom.Vec2{X: h.cells[ci].cu, Y: h.cells[ci].cv}
		for x.far < widest {
			next, w := step(ci, at, d)
			if next >= 0 && h.voidZone(next) != nil {
				x.cell = next
				return x
			}
			if !bare(next) {
				return x
			}
			x.far, x.seen, ci = x.far+w, append(x.seen, next), next
		}
		return x
	}
	over := map[int32]zone{}
	var order []int32
	for i := range h.cells {
		ci, c := int32(i), &h.cells[i]
		if !bare(ci) {
			continue
		}
		if _, ok := h.topOver(c, nil); !ok {
			continue
		}
		at := geom.Vec2{X: c.cu, Y: c.cv}
		for k, step := range []stepper{h.stepU, h.stepV} {
			a, b := walk(ci, -1, step), walk(ci, 1, step)
			wide := h.width(c)
			if k == 1 {
				wide = c.height()
			}
			if a.cell < 0 || b.cell < 0 || a.far+b.far+wide > widest {
				continue
			}
			x, y := h.voidZone(a.cell), h.voidZone(b.cell)
			x0, x1 := x.at(&h.cells[a.cell], at)
			y0, y1 := y.at(&h.cells[b.cell], at)
			own := append(append([]int32{ci}, a.seen...), b.seen...)
			if math.Abs(x0-y0) > foot || math.Abs(x1-y1) > foot ||
				!slices.ContainsFunc(own, func(ci int32) bool { return board(ci, x0) }) || slices.ContainsFunc(own, func(ci int32) bool { return through(ci, math.Min(x1, y1)) }) {
				continue
			}
			z := *x
			z.z0, z.z1 = math.Max(x0, y0), math.Min(x1, y1)
			over[ci] = z
			order = append(order, ci)
			break
		}
	}
	for _, ci := range order {
		h.setZones(ci, append(slices.Clone(h.zonesAt(ci)), over[ci]))
	}
}

// How large a hole in a deck or a ceiling may be to be that round a chimney or a service,
// metres and square metres: the well of a stair is larger.
const (
	holeSide = 1.2
	holeArea = 1.0
)

// bridgeHoles carries a void over the holes that chimneys and services leave in its deck or
// its ceiling: what stands inside a void is not deducted from it.
func (h *horizontal) bridgeHoles() {
	bare := make([]bool, len(h.cells)) // cells without a void that no wall stands under
	any := false
	for i := range h.cells {
		bare[i] = h.wallOf[i] < 0 && h.voidZone(int32(i)) == nil && h.bandZone(int32(i)) == nil
		if bare[i] && h.pierced(int32(i)) {
			any = true
		}
	}
	if !any {
		return
	}
	uf := newUnion(len(h.cells))
	beside := map[int32]int32{} // a cell of the void beside a bare one, by bare cell
	h.touches(func(t touch) {
		switch {
		case bare[t.a] && bare[t.b]:
			uf.join(t.a, t.b)
		case bare[t.a] && h.voidZone(t.b) != nil:
			beside[t.a] = t.b
		case bare[t.b] && h.voidZone(t.a) != nil:
			beside[t.b] = t.a
		}
	})
	type hole struct {
		cells   []int32
		box     geom.Box
		area    float64
		pierced bool
		from    int32 // a cell of the void beside it
	}
	holes := map[int32]*hole{}
	var order []int32
	for i := range h.cells {
		ci := int32(i)
		if !bare[i] {
			continue
		}
		r := uf.find(ci)
		x := holes[r]
		if x == nil {
			x = &hole{box: geom.EmptyBox(), from: -1}
			holes[r] = x
			order = append(order, r)
		}
		x.cells = append(x.cells, ci)
		x.area += h.cells[i].area
		x.pierced = x.pierced || h.pierced(ci)
		for _, p := range h.corners(&h.cells[i]) {
			x.box = x.box.Extend(geom.Vec3{X: p.X, Y: p.Y})
		}
		if b, ok := beside[ci]; ok && x.from < 0 {
			x.from = b
		}
	}
	for _, r := range order {
		x := holes[r]
		if d := x.box.Size(); !x.pierced || x.from < 0 || x.area > holeArea || math.Max(d.X, d.Y) > holeSide {
			continue
		}
		z := *h.voidZone(x.from)
		for _, ci := range x.cells {
			c := &h.cells[ci]
			y := z
			y.z0, y.z1 = z.at(&h.cells[x.from], geom.Vec2{X: c.cu, Y: c.cv})
			p := h.f.out(geom.Vec2{X: c.cu, Y: c.cv})
			if k := slices.IndexFunc(h.lines, func(b *bandLine) bool { return b.has(p) }); k >= 0 && !h.lines[k].open {
				y.class, y.ref = classBand, int32(k) // a hole beside a stop leads to both its sides
			}
			h.setZones(ci, append(slices.Clone(h.zonesAt(ci)), y))
		}
	}
}

// pierced reports whether a chimney or a service stands over a cell through the level.
func (h *horizontal) pierced(ci int32) bool {
	for e := range h.column(&h.cells[ci]) {
		if (e.role == RoleChimney || e.role == RoleService) && e.z0 < h.zhi && e.z1 > h.zlo {
			return true
		}
	}
	return false
}
