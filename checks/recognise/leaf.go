package recognise

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"voidcheck/ifcx/geom"
)

// band is an interval across a wall.
type band struct {
	lo, hi float64
	kind   bandKind
}

// leaf is one wall, or one row of studs, as a strip in the turned frame: s along dir, t along
// norm (dir turned left), both measured from the frame's origin. Parallel leaves have the
// same dir whatever way they were drawn.
type leaf struct {
	dir, norm   geom.Vec2
	s0, s1      float64
	z0, z1      float64
	bands       []band
	elems       []int
	framing     bool // holds a framing layer or studs
	framed      bool // studs and plates are modelled one by one
	bare        bool // a solid without layers
	staggered   bool
	combustible bool
	rowZ        []rowHeight // of the stud rows modelled one by one
	members     []extent    // of their studs and plates
	uprights    []extent    // its studs; kept where a wall is cut along its length
	boards      []boardOn   // on them
	storey      int
}

// extent is where along a wall and from where to where in height a member stands.
type extent struct{ s0, s1, z0, z1 float64 }

// boardOn is a board on a wall, and the stretch that it covers.
type boardOn struct {
	band
	extent
}

// boardsOver returns the boards that cover a fair part of a stretch: sheathing where a wall stands
// outside is none where it goes on beside another unit, and boards may differ in thickness.
func (l *leaf) boardsOver(s0, s1 float64) []band {
	var out []band
	for _, o := range l.boards {
		if overlap(o.s0, o.s1, s0, s1) >= 0.3*math.Min(o.s1-o.s0, s1-s0) {
			out = append(out, o.band)
		}
	}
	if len(l.boards) > 0 {
		return out
	}
	for _, b := range l.bands {
		if b.kind == bandBoard {
			out = append(out, b)
		}
	}
	return out
}

// between returns the bands of a wall from z0 to z1: a sheet in the gap between two rows that covers only some
// of that height, over the roof next door, or of the length, on the weather side of a unit that stands out
// a little, does not divide the gap.
func (l *leaf) between(z0, z1 float64) []band {
	frame := func(lo, hi float64) bool { // a row lies within these bounds
		return slices.ContainsFunc(l.bands, func(b band) bool { return b.kind == bandFrame && b.lo > lo && b.hi < hi })
	}
	var out []band
	for _, b := range l.bands {
		if b.kind == bandBoard && frame(math.Inf(-1), b.lo+0.01) && frame(b.hi-0.01, math.Inf(1)) {
			z, cover, known := z0, 0.0, false
			var along []extent
			for _, o := range l.boards { // in the order of place, one over the other
				if overlap(o.lo, o.hi, b.lo, b.hi) > 0 {
					cover, z, known = cover+math.Max(0, math.Min(o.z1, z1)-math.Max(o.z0, z)), math.Max(z, o.z1), true
					if overlap(o.z0, o.z1, z0, z1) > 0 {
						along = append(along, o.extent)
					}
				}
			}
			if known && (cover < 0.5*(z1-z0) || covered(along, l.s0, l.s1) < 0.5*(l.s1-l.s0)) {
				continue
			}
		}
		out = append(out, b)
	}
	return out
}

// covered returns how much of a stretch of a wall some of its parts cover.
func covered(parts []extent, s0, s1 float64) float64 {
	slices.SortFunc(parts, func(a, b extent) int { return cmp.Compare(a.s0, b.s0) })
	sum := 0.0
	for _, o := range parts {
		sum, s0 = sum+math.Max(0, math.Min(o.s1, s1)-math.Max(o.s0, s0)), math.Max(s0, o.s1)
	}
	return sum
}

// over returns from where to where a wall stands over a stretch of it: a row that goes on into
// the attic need not do so over its whole length.
func (l *leaf) over(s0, s1 float64) (z0, z1 float64) {
	z0, z1 = math.Inf(1), math.Inf(-1)
	for _, m := range l.members {
		if overlap(m.s0, m.s1, s0, s1) > 0.03 {
			z0, z1 = math.Min(z0, m.z0), math.Max(z1, m.z1)
		}
	}
	if z0 > z1 {
		return l.z0, l.z1
	}
	return z0, z1
}

// raise lifts the top of a wall, and of its rows that reach it.
func (l *leaf) raise(z float64) {
	for i := range l.rowZ {
		if l.rowZ[i].z1 > l.z1-0.001 {
			l.rowZ[i].z1 = z
		}
	}
	for i := range l.members {
		if l.members[i].z1 > l.z1-0.001 {
			l.members[i].z1 = z
		}
	}
	l.z1 = z
}

// underPlates is the least height of the studs below those that stand on the plates of a wall, metres.
const underPlates = 1.8

// onPlates reports whether a member is a stud that stands on the plates of a wall.
func (l *leaf) onPlates(m extent) bool {
	return m.z0 > l.z0+underPlates && m.z1-m.z0 > plateMax
}

// plateTop returns the height at which studs stand on the plates of a wall, the lowest foot of such a
// stud; +Inf where none do.
func (l *leaf) plateTop() float64 {
	top := math.Inf(1)
	for _, m := range l.members {
		if l.onPlates(m) {
			top = math.Min(top, m.z0)
		}
	}
	return top
}

// upper returns the stretch of a wall over which studs stand on its top plates; ok is false
// when none do.
func (l *leaf) upper() (s0, s1 float64, ok bool) {
	runs := l.upperRuns()
	if len(runs) == 0 {
		return 0, 0, false
	}
	return runs[0].lo, runs[len(runs)-1].hi, true
}

// upperRuns returns the stretches over which studs stand on the top plates of a wall, in order: where it faces a
// higher roof at both its ends alone, say, they leave out what lies between.
func (l *leaf) upperRuns() []band {
	plate := l.plateTop()
	var up []band
	for _, m := range l.members {
		if m.z1 > plate+0.02 && m.z0 > l.z0+underPlates {
			up = append(up, band{lo: m.s0, hi: m.s1})
		}
	}
	sort.Slice(up, func(i, j int) bool { return up[i].lo < up[j].lo })
	var out []band
	for _, b := range up {
		if n := len(out); n > 0 && b.lo-out[n-1].hi < studGap {
			out[n-1].hi = math.Max(out[n-1].hi, b.hi)
			continue
		}
		out = append(out, b)
	}
	return out
}

// runsOut reports whether the studs on the plates of a wall end at s, on the way to its end d away,
// because the roof comes down there: over a stretch that is not short the last must be a stub, and those before it
// are taller and taller. Where the roof keeps its height they end for a corner, however low the eaves.
func (l *leaf) runsOut(s, d float64) bool {
	const corner, low, flat = 0.45, 0.85, 2.5 // too near to the end, for one or two studs, for several under a flat roof
	const stub, apart, share = 0.5, 1.5, 0.3
	if d <= corner || d > flat {
		return d <= corner
	}
	plate := l.plateTop()
	var last, before extent // the stud nearest to s, and one further in
	for _, m := range l.members {
		if math.Abs(m.z0-plate) > 0.02 || m.z1-m.z0 < plateMax {
			continue
		}
		off := func(o extent) float64 { return math.Abs((o.s0+o.s1)/2 - s) }
		if last == (extent{}) || off(m) < off(last) {
			last = m
		}
		if off(m) < apart && (before == (extent{}) || off(m) > off(before)) {
			before = m
		}
	}
	run := math.Abs(before.s0 - last.s0)
	if run < 0.2 {
		return d <= low
	}
	down := (before.z1-last.z1)/run*d > share*(last.z1-plate)
	return down && (d <= low || last.z1-plate < stub)
}

// rowHeight is from where to where a stud row stands; plate is the top of its plates where studs
// stand on them, +Inf where none do.
type rowHeight struct{ lo, hi, z0, z1, plate float64 }

// canonicalDir turns a direction so that parallel ones come out equal: towards +x, or +y.
func canonicalDir(d geom.Vec2) geom.Vec2 {
	d = d.Unit()
	if math.Abs(d.X) < 1e-6 {
		return geom.Vec2{X: 0, Y: 1}
	}
	if math.Abs(d.Y) < 1e-6 {
		return geom.Vec2{X: 1, Y: 0}
	}
	if d.X < 0 {
		return d.Mul(-1)
	}
	return d
}

// newLeaf makes the strip of a mesh whose faces look along norm.
func newLeaf(m *geom.Mesh, t turn, norm geom.Vec2) *leaf {
	l := &leaf{dir: canonicalDir(geom.Vec2{X: norm.Y, Y: -norm.X}), storey: -1}
	l.norm = geom.Vec2{X: -l.dir.Y, Y: l.dir.X}
	l.s0, l.s1, l.z0, l.z1 = math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, v := range m.Verts {
		p := t.in(v)
		s := p.Plan().Dot(l.dir)
		l.s0, l.s1 = math.Min(l.s0, s), math.Max(l.s1, s)
		l.z0, l.z1 = math.Min(l.z0, p.Z), math.Max(l.z1, p.Z)
	}
	return l
}

// emptyLeaf makes a strip of nothing whose faces look along norm.
func emptyLeaf(norm geom.Vec2) *leaf { return newLeaf(&geom.Mesh{}, turn{1, 0}, norm) }

// newStrip makes a strip without extent whose faces look along norm.
func newStrip(norm geom.Vec2) leaf {
	d := canonicalDir(geom.Vec2{X: norm.Y, Y: -norm.X})
	return leaf{dir: d, norm: geom.Vec2{X: -d.Y, Y: d.X}, storey: -1}
}

// across returns the extent of a mesh across the strip.
func (l *leaf) across(m *geom.Mesh, t turn) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, v := range m.Verts {
		d := t.in(v).Plan().Dot(l.norm)
		lo, hi = math.Min(lo, d), math.Max(hi, d)
	}
	return lo, hi
}

// span returns the extent of a piece's box along and across the strip; exact for pieces
// parallel to the frame's axes or to the strip.
func (l *leaf) span(p *piece) (s0, s1, t0, t1 float64) {
	if math.Abs(l.dir.X) > 1-1e-9 || math.Abs(l.dir.Y) > 1-1e-9 {
		a, b := p.box.Min.Plan(), p.box.Max.Plan()
		s0, s1, t0, t1 = a.Dot(l.dir), b.Dot(l.dir), a.Dot(l.norm), b.Dot(l.norm)
		return min(s0, s1), max(s0, s1), min(t0, t1), max(t0, t1)
	}
	s0, t0 = math.Inf(1), math.Inf(1)
	s1, t1 = math.Inf(-1), math.Inf(-1)
	for i := range 8 {
		q := p.corner(i).Plan()
		s, t := q.Dot(l.dir), q.Dot(l.norm)
		s0, s1 = min(s0, s), max(s1, s)
		t0, t1 = min(t0, t), max(t1, t)
	}
	return
}

// edges returns the outer faces.
func (l *leaf) edges() (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, b := range l.bands {
		lo, hi = math.Min(lo, b.lo), math.Max(hi, b.hi)
	}
	return lo, hi
}

func (l *leaf) sortBands() {
	sort.SliceStable(l.bands, func(i, j int) bool { return l.bands[i].lo < l.bands[j].lo })
}

// joinFrames makes one band of framing layers that lie against each other.
func (l *leaf) joinFrames() {
	out := l.bands[:0]
	for _, b := range l.bands {
		if n := len(out); n > 0 && b.kind == bandFrame && out[n-1].kind == bandFrame && b.lo-out[n-1].hi < 0.003 {
			out[n-1].hi = b.hi
			continue
		}
		out = append(out, b)
	}
	l.bands = out
}

// parallel reports whether two strips run the same way.
func (l *leaf) parallel(m *leaf) bool { return l.dir.Dot(m.dir) > 0.9999 }

// dropCorners forgets studs that stand on the plates at one place alone, and do not go on along the
// wall: those at the end of a gable wall that meets this one.
func (l *leaf) dropCorners() {
	const corner, apart = 0.5, 1.3
	lone := func(m extent) bool {
		s0, s1 := m.s0, m.s1
		for grew := true; grew; {
			grew = false
			for _, o := range l.members {
				if l.onPlates(o) && o.s0 < s1+apart && o.s1 > s0-apart && (o.s0 < s0 || o.s1 > s1) {
					s0, s1, grew = math.Min(s0, o.s0), math.Max(s1, o.s1), true
				}
			}
		}
		return s1-s0 < corner
	}
	top := math.Inf(-1)
	var kept []extent
	for _, m := range l.members {
		if l.onPlates(m) && lone(m) {
			continue
		}
		kept = append(kept, m)
		top = math.Max(top, m.z1)
	}
	if len(kept) < len(l.members) && len(kept) > 0 {
		l.members, l.z1 = kept, top
	}
}

// lining reports whether a board covers a wall in the attic alone, where the storey below has boards
// but none in its plane there: sheathing over the roof next door, say, that is none in the gap further
// down, though the wall is sheathed again where it goes on past the corner of that house.
func lining(boards []*piece, near []int, l *leaf, p *piece, t0, t1 float64) bool {
	other := false
	for _, k := range near {
		q := boards[k]
		s0, s1, u0, u1 := l.span(q)
		if q == p || q.z0() > l.z0+underPlates || overlap(s0, s1, l.s0, l.s1) < 0.3*math.Min(s1-s0, l.s1-l.s0) || overlap(q.z0(), q.z1(), l.z0, l.z1) < 0.5 {
			continue
		}
		if math.Abs(q.axes[2].Plan().Dot(l.norm)) < 0.999 {
			continue
		}
		lo, hi := l.edges()
		if u1 < lo-0.05 || u0 > hi+0.05 {
			continue
		}
		p0, p1, _, _ := l.span(p)
		if overlap(t0, t1, u0, u1) > 0 && overlap(s0, s1, p0, p1) > 0.3*math.Min(s1-s0, p1-p0) {
			return false
		}
		other = true
	}
	return other
}
