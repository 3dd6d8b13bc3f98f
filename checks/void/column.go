package void

import (
	"cmp"
	"iter"
	"math"
	"slices"
	"sort"

	"voidcheck/ifcx/geom"
)

// entry is one solid over a cell: z at the cell's centroid and the slopes of its two faces.
type entry struct {
	z0, z1 float64
	g0, g1 geom.Vec2 // dz/du, dz/dv of the lower and upper face
	solid  int32     // index into the field's solids
	role   Role
}

// hit is one crossing of the vertical line with a face.
type hit struct {
	cell int32 // number in the row
	z    float64
	g    geom.Vec2
}

// column goes over the solids over a cell, by z0.
func (p *plan) column(c *cell) iter.Seq[*entry] {
	return func(yield func(*entry) bool) {
		for _, k := range p.columns[c.column : c.column+c.solids] {
			if !yield(&p.entries[k]) {
				return
			}
		}
	}
}

// over is an entry over one of the cells of a slab, by the number of the cell in its row.
type over struct{ cell, entry int32 }

// filler computes the columns of the cells of some slabs, one slab after another.
type filler struct {
	p        *plan
	from, to int32 // cells
	solids   []*solid
	groups   [2]group
	sv       []float64 // sample points of the row
	hits     []hit
	found    []over
	entries  []entry // of solids that are no boxes, numbered after those of the plan
	lie      int32   // how much higher their numbers are once all fillers' entries lie together
	columns  []int32
}

// group is a number of solids with those of them that lie over the slab.
type group struct {
	order  []int32 // by their low ends along u
	next   int
	active []int32
}

// lowEnd is the low end of a solid along u.
type lowEnd struct {
	u float64
	k int32
}

// byLowEnd appends the numbers of solids, counted from base, by their low ends along u.
func (b *scratch) byLowEnd(order []int32, solids []*solid, base int) []int32 {
	lows := b.lows[:0]
	for i, s := range solids {
		lows = append(lows, lowEnd{s.box.Min.X, int32(base + i)})
	}
	b.lows = lows
	slices.SortFunc(lows, func(a, b lowEnd) int {
		if a.u != b.u {
			return cmp.Compare(a.u, b.u)
		}
		return int(a.k) - int(b.k)
	})
	for _, x := range lows {
		order = append(order, x.k)
	}
	return order
}

// to moves the group on to a line across the plan.
func (g *group) to(su float64, solids []*solid) {
	g.active = slices.DeleteFunc(g.active, func(k int32) bool { return solids[k].box.Max.X <= su })
	for ; g.next < len(g.order) && solids[g.order[g.next]].box.Min.X < su; g.next++ {
		if k := g.order[g.next]; solids[k].box.Max.X > su {
			g.active = append(g.active, k)
		}
	}
}

// fill computes the column of every cell for the given solids and rooms, clipped to nothing:
// the caller chose those near the height it looks at. Rooms are numbered after the solids,
// and of two that begin and end alike the room comes last.
func (p *plan) fill(cores int, solids, rooms []*solid) {
	all := append(slices.Clip(solids), rooms...)
	p.entries = p.buf.entries[:0]
	for k, s := range all {
		p.entries = append(p.entries, entry{z0: s.box.Min.Z, z1: s.box.Max.Z, solid: int32(k), role: s.role})
	}
	p.buf.order = p.buf.byLowEnd(p.buf.byLowEnd(p.buf.order[:0], solids, 0), rooms, len(solids))
	order := [2][]int32{p.buf.order[:len(solids)], p.buf.order[len(solids):]}
	fillers := atLeast(p.buf.fillers, cores)
	inPieces(cores, p.slabs(), func(k, from, to int) {
		f := &fillers[k]
		f.p, f.solids, f.from, f.to = p, all, p.first[from], p.first[to]
		f.entries, f.columns = f.entries[:0], f.columns[:0]
		for g := range f.groups {
			f.groups[g] = group{order: order[g], active: f.groups[g].active[:0]}
		}
		for i := from; i < to; i++ {
			f.entries = roomFor(f.entries, i-from, to-from, 256)
			f.columns = roomFor(f.columns, i-from, to-from, 256)
			if a, b := p.row(i); a < b {
				f.slab(i, p.cells[a:b])
			}
		}
	})
	p.gather(fillers[:cores])
	p.buf.fillers, p.buf.entries, p.buf.columns = fillers, p.entries, p.columns
}

// gather puts together what several fillers found in consecutive pieces of the plan. Entries
// go first and leave the fillers, columns after them: both together are large.
func (p *plan) gather(fillers []filler) {
	own, entries, columns := int32(len(p.entries)), 0, 0
	for k := range fillers {
		entries, columns = entries+len(fillers[k].entries), columns+len(fillers[k].columns)
	}
	p.entries = slices.Grow(p.entries, entries)
	for k := range fillers {
		f := &fillers[k]
		f.lie = int32(len(p.entries)) - own
		p.entries = append(p.entries, f.entries...)
		if len(fillers) > 1 {
			f.entries = nil
		}
	}
	p.columns = slices.Grow(p.buf.columns[:0], columns)
	for k := range fillers {
		f, at := &fillers[k], int32(len(p.columns))
		for i := f.from; i < f.to; i++ {
			p.cells[i].column += at
		}
		for _, e := range f.columns {
			if e >= own {
				e += f.lie
			}
			p.columns = append(p.columns, e)
		}
	}
}

// slab computes the columns of a row of cells.
func (f *filler) slab(i int, row []cell) {
	p := f.p
	// The sample line lies a little off the middle, so that it meets no diagonal of a
	// triangulated rectangle.
	su := p.us[i] + 0.50031*(p.us[i+1]-p.us[i])
	t := (su - p.us[i]) / (p.us[i+1] - p.us[i])
	f.sv, f.found = f.sv[:0], f.found[:0]
	for j := range row {
		c := &row[j]
		lo, hi := c.lo0*(1-t)+c.lo1*t, c.hi0*(1-t)+c.hi1*t
		f.sv = append(f.sv, lo+0.49917*(hi-lo))
	}
	for g := range f.groups {
		f.groups[g].to(su, f.solids)
		for _, k := range f.groups[g].active {
			s := f.solids[k]
			if !s.isBox {
				f.hits = s.cross(f.hits[:0], su, f.sv, row)
				f.pair(k, s.role)
				continue
			}
			for j := sort.SearchFloat64s(f.sv, s.box.Min.Y); j < len(row) && f.sv[j] < s.box.Max.Y; j++ {
				f.found = append(f.found, over{int32(j), k})
			}
		}
	}
	f.place(row)
}

// place writes what was found over a row of cells into their columns.
func (f *filler) place(row []cell) {
	for _, o := range f.found {
		row[o.cell].solids++
	}
	at := int32(len(f.columns))
	for j := range row {
		row[j].column = at
		at += row[j].solids
		row[j].solids = 0
	}
	f.columns = slices.Grow(f.columns, len(f.found))[:at]
	for _, o := range f.found {
		c, e := &row[o.cell], f.entry(o.entry)
		col := f.columns[c.column:]
		j := c.solids
		for ; j > 0 && e.under(f.entry(col[j-1])); j-- {
			col[j] = col[j-1]
		}
		col[j] = o.entry
		c.solids++
	}
}

func (f *filler) entry(k int32) *entry {
	if own := int32(len(f.p.entries)); k >= own {
		return &f.entries[k-own]
	}
	return &f.p.entries[k]
}

// under reports whether an entry comes before another in a column.
func (e *entry) under(o *entry) bool { return e.z0 < o.z0 || e.z0 == o.z0 && e.z1 < o.z1 }

// cross collects the crossings of the plane u = su with the solid at the sample points.
func (s *solid) cross(hits []hit, su float64, sv []float64, row []cell) []hit {
	for _, t := range s.tris {
		a, b, c := s.verts[t[0]], s.verts[t[1]], s.verts[t[2]]
		if (a.X <= su) == (b.X <= su) && (b.X <= su) == (c.X <= su) {
			continue
		}
		n := b.Sub(a).Cross(c.Sub(a))
		if math.Abs(n.Z) < 1e-9*n.Len() || n.Z == 0 {
			continue
		}
		var v [2]float64
		k := 0
		for _, e := range [3][2]geom.Vec3{{a, b}, {b, c}, {c, a}} {
			p, q := e[0], e[1]
			if (p.X <= su) == (q.X <= su) {
				continue
			}
			if p.X > q.X { // one order for the edge shared by two triangles
				p, q = q, p
			}
			if k < 2 {
				v[k] = p.Y + (q.Y-p.Y)*(su-p.X)/(q.X-p.X)
			}
			k++
		}
		if k != 2 {
			continue
		}
		if v[0] > v[1] {
			v[0], v[1] = v[1], v[0]
		}
		g := geom.Vec2{X: -n.X / n.Z, Y: -n.Y / n.Z}
		for j := sort.SearchFloat64s(sv, v[0]); j < len(row) && sv[j] < v[1]; j++ {
			c := &row[j]
			hits = append(hits, hit{int32(j), a.Z + g.X*(c.cu-a.X) + g.Y*(c.cv-a.Y), g})
		}
	}
	return hits
}

// pair turns the crossings with a solid into solid intervals.
func (f *filler) pair(k int32, role Role) {
	hits := f.hits
	slices.SortStableFunc(hits, func(a, b hit) int { return cmp.Or(cmp.Compare(a.cell, b.cell), cmp.Compare(a.z, b.z)) })
	for i := 0; i < len(hits); {
		j := i
		for j < len(hits) && hits[j].cell == hits[i].cell {
			j++
		}
		put := func(a, b hit) {
			f.found = append(f.found, over{a.cell, int32(len(f.p.entries) + len(f.entries))})
			f.entries = append(f.entries, entry{z0: a.z, z1: b.z, g0: a.g, g1: b.g, solid: k, role: role})
		}
		if (j-i)%2 == 1 { // not closed here: the whole height it spans counts
			put(hits[i], hits[j-1])
		} else {
			for m := i; m < j; m += 2 {
				put(hits[m], hits[m+1])
			}
		}
		i = j
	}
}
