package crossing

import (
	"math"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// finder looks for the services that stand out on both sides of a barrier.
type finder struct {
	services, barriers []solid
}

func newFinder(services, barriers []solid) *finder { return &finder{services, barriers} }

// passage is a service, or two lengths that meet, on both sides of a barrier.
type passage struct {
	parts   []*solid
	segs    []segment // its section, halfway through where it has one there
	element []int
}

// passages returns what passes the layer between lo and hi of a frame, near the box near.
func (f *finder) passages(fr frame, lo, hi float64, near geom.Box) []passage {
	type half struct {
		s    *solid
		segs []segment
		box  box2
	}
	var below, above []half
	var r []passage
	for i := range f.services {
		s := &f.services[i]
		if !s.box.Overlaps(near) {
			continue
		}
		under, over := fr.section(s.part.Mesh, lo-standOut), fr.section(s.part.Mesh, hi+standOut)
		switch {
		case len(under) > 0 && len(over) > 0:
			mid := fr.section(s.part.Mesh, (lo+hi)/2)
			if len(mid) == 0 {
				mid = under
			}
			r = append(r, passage{[]*solid{s}, mid, []int{s.part.Element}})
		case len(under) > 0:
			below = append(below, half{s, under, boxOf(under)})
		case len(over) > 0:
			above = append(above, half{s, over, boxOf(over)})
		}
	}
	// Two lengths that end in the barrier and meet there: both must reach into it.
	reaches := func(s *solid, up bool) bool {
		b := fr.box(s.part.Mesh)
		if up {
			return b.Max.Z >= lo-endsMeet
		}
		return b.Min.Z <= hi+endsMeet
	}
	for _, b := range below {
		for _, a := range above {
			if !b.box.overlaps(a.box, endsMeet) || !reaches(b.s, true) || !reaches(a.s, false) {
				continue
			}
			if fr.box(a.s.part.Mesh).Min.Z > fr.box(b.s.part.Mesh).Max.Z+endsMeet {
				continue
			}
			r = append(r, passage{[]*solid{b.s, a.s}, append(append([]segment(nil), b.segs...), a.segs...), []int{b.s.part.Element, a.s.part.Element}})
		}
	}
	return r
}

// any reports whether some service is near a box.
func (f *finder) any(near geom.Box) bool {
	for i := range f.services {
		if f.services[i].box.Overlaps(near) {
			return true
		}
	}
	return false
}

// through returns the crossings of one barrier.
func (f *finder) through(b *solid) []*Crossing {
	near := b.box.Grow(holeReach)
	if !f.any(near) {
		return nil
	}
	return f.across(b, frameOf(b), near)
}

// across returns the crossings of one barrier by the services near it, in a frame that is given.
func (f *finder) across(b *solid, fr frame, near geom.Box) []*Crossing {
	lb := fr.box(b.part.Mesh)
	lo, hi := lb.Min.Z, lb.Max.Z
	var r []*Crossing
	for _, p := range f.passages(fr, lo, hi, near) {
		sb := boxOf(p.segs)
		if !sb.overlaps(plane(lb), jointReach) {
			continue
		}
		ring, ok := f.ring(fr, p.segs, sb, (lo+hi)/2)
		if !ok {
			continue
		}
		c := sb.centre()
		r = append(r, &Crossing{
			Services: ascending(append([]int(nil), p.element...)), Barriers: []int{b.part.Element}, Roles: []void.Role{b.part.Role},
			Normal: fr.w, Point: fr.world(geom.Vec3{X: c.X, Y: c.Y, Z: (lo + hi) / 2}),
			WidthM: math.Max(sb.hi.X-sb.lo.X, sb.hi.Y-sb.lo.Y), Hole: ring.hole, RingM: ring.wide, NarrowM: ring.narrow, Wall: -1,
			lo: lo, hi: hi, centre: c, frame: fr,
		})
	}
	return r
}

// space is what is left between a service and the material round it.
type space struct {
	hole         bool    // a hole is modelled
	wide, narrow float64 // its widest and its narrowest place, metres
}

// ring measures what is left between a service and the material round it at height z of the
// frame. It returns false when the material does not surround the service there.
func (f *finder) ring(fr frame, segs []segment, sb box2, z float64) (space, bool) {
	var around [][]segment
	grown := box2{sb.lo.Sub(geom.Vec2{X: holeReach, Y: holeReach}), sb.hi.Add(geom.Vec2{X: holeReach, Y: holeReach})}
	c := fr.world(geom.Vec3{X: sb.centre().X, Y: sb.centre().Y, Z: z})
	ball := geom.Box{Min: c, Max: c}.Grow(sb.hi.Sub(sb.lo).Len()/2 + 2*holeReach)
	for i := range f.barriers {
		if !f.barriers[i].box.Overlaps(ball) {
			continue
		}
		b := fr.box(f.barriers[i].part.Mesh)
		if b.Min.Z > z || b.Max.Z < z || !grown.overlaps(plane(b), 0) {
			continue
		}
		if s := fr.section(f.barriers[i].part.Mesh, z); len(s) > 0 {
			around = append(around, s)
		}
	}
	in := func(p geom.Vec2) bool {
		for _, s := range around {
			if inside(s, p) {
				return true
			}
		}
		return false
	}
	outline := hull(segs)
	within, outside := 0, 0
	left := space{hole: true, narrow: math.Inf(1)}
	for _, p := range samples(outline) {
		if in(p) {
			within++
			left.narrow = 0
			continue
		}
		outside++
		near := math.Inf(1)
		for _, ss := range around {
			for _, s := range ss {
				near = math.Min(near, geom.DistToSegment(p, s.a, s.b))
			}
		}
		left.wide, left.narrow = math.Max(left.wide, near), math.Min(left.narrow, near)
	}
	switch {
	case within > outside:
		return space{}, true // it stands in the material
	case !surrounded(around, in, sb):
		return space{}, false
	}
	return left, true
}

// sampleStep is the distance between the points of a service's outline that are measured, metres.
const sampleStep = 0.005

// samples are points along an outline, its corners among them.
func samples(outline []geom.Vec2) []geom.Vec2 {
	var r []geom.Vec2
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		n := min(int(math.Ceil(b.Sub(a).Len()/sampleStep)), 64)
		for k := 0; k < max(n, 1); k++ {
			r = append(r, a.Add(b.Sub(a).Mul(float64(k)/float64(max(n, 1)))))
		}
	}
	return r
}

// surrounded reports whether material lies round a service on most sides, within reach.
func surrounded(around [][]segment, in func(geom.Vec2) bool, sb box2) bool {
	const rays = 16
	c, r := sb.centre(), sb.hi.Sub(sb.lo).Len()/2
	hits := 0
	for i := range rays {
		d := geom.Vec2{X: math.Cos(2 * math.Pi * float64(i) / rays), Y: math.Sin(2 * math.Pi * float64(i) / rays)}
		end := c.Add(d.Mul(r + holeReach))
		hit := in(end)
		for _, ss := range around {
			for _, s := range ss {
				hit = hit || crosses(c, end, s)
			}
		}
		if hit {
			hits++
		}
	}
	return hits >= rays*3/4
}

// crosses reports whether the way from a to b meets a segment.
func crosses(a, b geom.Vec2, s segment) bool {
	d, e := b.Sub(a), s.b.Sub(s.a)
	den := d.Cross(e)
	if den == 0 {
		return false
	}
	t, u := s.a.Sub(a).Cross(e)/den, s.a.Sub(a).Cross(d)/den
	return t >= 0 && t <= 1 && u >= 0 && u <= 1
}
