package crossing

import (
	"math"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Strip is what stands between two units along one wall: the wall itself, or what closes
// the voids above it in line with it.
type Strip struct {
	Wall   int // index into Input.Walls
	Z0, Z1 float64
	Above  bool // above the wall's own top
}

// Strips are the walls of the separations, and the voids above them in line with them.
func Strips(in *void.Input, lines []*void.Line) []Strip {
	var r []Strip
	for i := range in.Walls {
		wall := &in.Walls[i]
		if wall.Separation < 0 {
			continue
		}
		r = append(r, Strip{Wall: i, Z0: wall.Z0, Z1: wall.Z1})
		top := wall.Z1
		for _, l := range lines {
			if l.Kind == void.LineSeparation && l.Wall == i && l.Z1 > top {
				top = l.Z1
			}
		}
		if top > wall.Z1 {
			r = append(r, Strip{Wall: i, Z0: wall.Z1, Z1: top, Above: true})
		}
	}
	return r
}

// Walls returns the crossings of unit separations: services that pass the whole wall
// within a strip, and those that pass one face of it into its cavity (Membrane).
func Walls(in *void.Input, strips []Strip, keep func(element int) bool) []*WallCrossing {
	f := newFinder(collect(in, keep, void.RoleService), nil)
	seals := collect(in, nil, void.RoleSeal)
	l := newLayers(in)
	var r []*WallCrossing
	for _, s := range strips {
		if s.Wall < 0 || s.Wall >= len(in.Walls) {
			continue
		}
		w := &in.Walls[s.Wall]
		through := f.strip(w, s, w.Across)
		for _, c := range through {
			c.seal(seals)
			r = append(r, &WallCrossing{Crossing: c, Strip: s, Layers: l.of(f, c, seals)})
		}
		if s.Above || len(w.Cavities) == 0 {
			continue
		}
		first, last := w.Cavities[0], w.Cavities[len(w.Cavities)-1]
		for _, face := range []void.Span{{Lo: w.Across.Lo, Hi: first.Lo}, {Lo: last.Hi, Hi: w.Across.Hi}} {
			for _, c := range f.strip(w, s, face) {
				if known(through, c) {
					continue
				}
				c.seal(seals)
				r = append(r, &WallCrossing{Crossing: c, Strip: s, Membrane: true, Layers: l.of(f, c, seals)})
			}
		}
	}
	cs := make([]*Crossing, len(r))
	of := map[*Crossing]*WallCrossing{}
	for i, c := range r {
		cs[i], of[c.Crossing] = c.Crossing, c
	}
	order(cs)
	for i, c := range cs {
		r[i] = of[c]
	}
	return r
}

// WallCrossing is a service through a unit separation.
type WallCrossing struct {
	*Crossing
	Strip    Strip
	Membrane bool // through one face only
	// Layers are what the service passes there one after the other: boards, liners, plates,
	// blocks and sheets, those that lie on each other taken as one. None where the wall is not
	// modelled that far.
	Layers []*Crossing
}

// known reports whether a service passes the whole wall at the same place.
func known(through []*Crossing, c *Crossing) bool {
	for _, t := range through {
		if t.centre.Sub(c.centre).Len() <= samePlace {
			return true
		}
	}
	return false
}

// strip returns what passes a layer of a wall.
func (f *finder) strip(w *void.Wall, s Strip, layer void.Span) []*Crossing {
	fr := wallFrame(w.Dir)
	o := fr.local(geom.Vec3{X: w.Origin.X, Y: w.Origin.Y})
	lo, hi := o.Z+layer.Lo, o.Z+layer.Hi
	rect := box2{geom.Vec2{X: o.X, Y: s.Z0}, geom.Vec2{X: o.X + w.Length, Y: s.Z1}}
	near := geom.EmptyBox()
	for _, u := range []float64{rect.lo.X, rect.hi.X} {
		for _, t := range []float64{lo, hi} {
			near = near.Extend(fr.world(geom.Vec3{X: u, Y: s.Z0, Z: t})).Extend(fr.world(geom.Vec3{X: u, Y: s.Z1, Z: t}))
		}
	}
	var r []*Crossing
	for _, p := range f.passages(fr, lo, hi, near.Grow(standOut)) {
		sb := boxOf(p.segs)
		c := sb.centre()
		if c.X < rect.lo.X || c.X > rect.hi.X || c.Y < rect.lo.Y || c.Y > rect.hi.Y {
			continue
		}
		r = append(r, &Crossing{
			Services: ascending(append([]int(nil), p.element...)), Barriers: append([]int(nil), w.Elements...),
			Normal: fr.w, Point: fr.world(geom.Vec3{X: c.X, Y: c.Y, Z: (lo + hi) / 2}),
			WidthM: math.Max(sb.hi.X-sb.lo.X, sb.hi.Y-sb.lo.Y), Wall: s.Wall, lo: lo, hi: hi, centre: c, frame: fr,
		})
	}
	return merge(r, layersGap)
}
