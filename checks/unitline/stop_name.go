package unitline

import (
	"cmp"
	"math"
	"slices"

	"voidcheck/checks/place"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Stops are the parts of a building that stop fire, by element.
type Stops map[int][]*void.Part

// StopsOf collects the sheets, liners and blocks of a building.
func StopsOf(in *void.Input) Stops {
	s := Stops{}
	for i := range in.Parts {
		p := &in.Parts[i]
		if p.Element < 0 || p.Mesh == nil {
			continue
		}
		switch p.Role {
		case void.RoleDraftstop, void.RoleSolid, void.RoleBlock:
			s[p.Element] = append(s[p.Element], p)
		}
	}
	return s
}

// Sheet reports whether an element is a draftstop.
func (s Stops) Sheet(element int) bool {
	return slices.ContainsFunc(s[element], func(p *void.Part) bool { return p.Role == void.RoleDraftstop })
}

// name names a draftstop by its element and the void it stands in: at an opening the stop that
// is short there, else (nil) the first of the line.
func (s Stops) name(w *place.Words, l *void.Line, o *void.Opening) string {
	in := w.Void(l.Void)
	if l.Kind == void.LineSeparation {
		in = w.UnitLine(l.Separation)
	}
	for _, e := range s.at(l, o) {
		if n := w.Element(e); n != "" {
			return place.Named("draftstop", n) + ", " + in
		}
	}
	return "draftstop, " + in
}

// standing is how one element of a line stands in the line's own plane, in the order in which
// elements are taken for the stop that an opening is a gap in.
type standing struct {
	element int
	away    int // 0 beside the opening, 1 elsewhere
	rank    int // sheets and liners, blocks, anything else
	less    int // the smaller its face, in steps of 2 %
	off     int // along the line from the middle of the opening, millimetres
}

// at orders the elements of a line: of what stands beside an opening that which takes most of
// the section comes first, since a strip of mineral wool on a short liner is not what should
// have reached the deck.
func (s Stops) at(l *void.Line, o *void.Opening) []int {
	const beside = 0.06 // metres between a stop and the gap that it leaves
	along := l.B.Sub(l.A).Unit()
	var list []standing
	for _, e := range l.Elements { // ascending
		x := standing{element: e, rank: 2}
		b := geom.EmptyBox() // along the line, up
		for _, p := range s[e] {
			for _, v := range p.Mesh.Verts {
				b = b.Extend(geom.Vec3{X: v.Plan().Sub(l.A).Dot(along), Z: v.Z})
			}
			if p.Role == void.RoleBlock {
				x.rank = min(x.rank, 1)
			} else {
				x.rank = 0
			}
		}
		if o != nil && len(s[e]) > 0 {
			mid := geom.Vec3{X: o.Point.Plan().Sub(l.A).Dot(along), Z: o.Point.Z}
			half := geom.Vec3{X: o.WidthM/2 + beside, Z: o.HeightM/2 + beside}
			if !b.Overlaps(geom.Box{Min: mid.Sub(half), Max: mid.Add(half)}) {
				x.away = 1
			}
			d := b.Size()
			x.less = -int(math.Round(math.Log(max(d.X*d.Z, 1e-6)) / 0.02))
			x.off = int(math.Round(1000 * math.Max(0, math.Max(b.Min.X-mid.X, mid.X-b.Max.X))))
		}
		list = append(list, x)
	}
	slices.SortStableFunc(list, func(a, b standing) int {
		return cmp.Or(a.away-b.away, a.rank-b.rank, a.less-b.less, a.off-b.off)
	})
	var r []int
	for _, x := range list {
		r = append(r, x.element)
	}
	return r
}
