// Package crossing finds where services pass through barriers: decks, ceilings, plates,
// blocks, draftstops and the walls between dwelling units. It works on the solids: a service
// crosses a barrier when it stands out on both sides of it, and the ring round it is what is
// left between the two. It judges nothing.
//
//	        | pipe |
//	   deck | ring |      RingM is the widest clear place between pipe and deck, NarrowM the
//	########_|    |_####  narrowest; without a modelled hole the pipe just stands in the deck
//	        |    |
//
// The width of a ring at a place is the distance from the outline of the service to the nearest
// edge of its hole. Limits speak of the widest place, whichever it is: fire passes there. Of a
// pipe that lies against one side of its hole that is the other side, of a round duct in a
// square hole a corner.
//
// A service that only reaches into a barrier, an outlet box for example, crosses nothing.
package crossing

import (
	"math"
	"sort"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Tolerances, metres.
const (
	standOut   = 0.002 // how far a service must stand out beyond a face to have passed it
	endsMeet   = 0.005 // how far apart the ends of two lengths of pipe may lie and still meet
	layersGap  = 0.06  // barriers no further apart are one: double plates, deck and bottom plate
	samePlace  = 0.05  // middles no further apart are the same service
	holeReach  = 0.3   // a hole wider than this round a service is a shaft or a stair well
	jointReach = 0.05  // how far beside a sheet a service in the joint to the next may stand
	sealReach  = 0.1   // how far above or below a barrier its seal may lie
)

// Crossing is one service, or a bundle, through one barrier.
type Crossing struct {
	Services []int // element indices, ascending
	Barriers []int // element indices, ascending
	Roles    []void.Role
	Normal   geom.Vec3 // across the barrier
	Point    geom.Vec3 // in the middle of the service, halfway through the barrier
	WidthM   float64   // of the service, the larger way across
	Hole     bool      // a hole is modelled
	RingM    float64   // widest clear place between the service and the edge of its hole
	NarrowM  float64   // narrowest clear place there
	Seals    []int     // element indices of seals round it
	Wall     int       // index into Input.Walls for a crossing of a unit separation, -1
	lo, hi   float64   // extent along Normal
	centre   geom.Vec2 // in the barrier's plane
	frame    frame
}

// Open reports whether a hole is modelled that leaves a place at least gap metres wide open
// round the service, and no seal.
func (c *Crossing) Open(gap float64) bool {
	return len(c.Seals) == 0 && c.Hole && c.RingM >= gap*(1-1e-6)
}

// Has reports whether one of the barriers has a role.
func (c *Crossing) Has(r void.Role) bool {
	for _, x := range c.Roles {
		if x == r {
			return true
		}
	}
	return false
}

// solid is a part with its box.
type solid struct {
	index int
	part  *void.Part
	box   geom.Box
}

// collect returns the parts of the roles for which keep holds (nil: all).
func collect(in *void.Input, keep func(element int) bool, roles ...void.Role) []solid {
	var r []solid
	for i := range in.Parts {
		p := &in.Parts[i]
		for _, role := range roles {
			if p.Role == role && p.Mesh != nil && len(p.Mesh.Tris) > 0 && (keep == nil || keep(p.Element)) {
				r = append(r, solid{i, p, p.Mesh.Box()})
			}
		}
	}
	return r
}

// barrierRoles are what fire must not pass round a service.
var barrierRoles = []void.Role{void.RoleDeck, void.RoleCeiling, void.RolePlate, void.RoleBlock, void.RoleDraftstop}

// Barriers returns the crossings of decks, ceilings, plates, blocks and draftstops by the
// services for whose element keep holds (nil: all), in a fixed order.
func Barriers(in *void.Input, keep func(element int) bool) []*Crossing {
	services := collect(in, keep, void.RoleService)
	barriers := collect(in, nil, barrierRoles...)
	seals := collect(in, nil, void.RoleSeal)
	if len(services) == 0 {
		return nil
	}
	f := newFinder(services, barriers)
	var all []*Crossing
	for i := range barriers {
		all = append(all, f.through(&barriers[i])...)
	}
	all = merge(all, layersGap)
	for _, c := range all {
		c.seal(seals)
	}
	order(all)
	return all
}

// order sorts crossings by height, then place, so that the result does not depend on the
// order of the parts.
func order(cs []*Crossing) {
	mm := func(v float64) float64 { return math.Round(v * 1000) }
	sort.SliceStable(cs, func(i, j int) bool {
		a, b := cs[i].Point, cs[j].Point
		switch {
		case mm(a.Z) != mm(b.Z):
			return mm(a.Z) < mm(b.Z)
		case mm(a.X) != mm(b.X):
			return mm(a.X) < mm(b.X)
		}
		return mm(a.Y) < mm(b.Y)
	})
}

// merge joins crossings of the same service through barriers that lie on each other, or no
// more than gap apart.
func merge(cs []*Crossing, gap float64) []*Crossing {
	sort.SliceStable(cs, func(i, j int) bool { return cs[i].lo < cs[j].lo })
	var r []*Crossing
next:
	for _, c := range cs {
		for _, m := range r {
			if m.same(c, gap) {
				m.join(c)
				continue next
			}
		}
		r = append(r, c)
	}
	return r
}

func (c *Crossing) same(d *Crossing, gap float64) bool {
	if math.Abs(c.Normal.Dot(d.Normal)) < 0.999 || d.lo > c.hi+gap || c.lo > d.hi+gap {
		return false
	}
	off := d.Point.Sub(c.Point)
	off = off.Sub(c.Normal.Mul(off.Dot(c.Normal)))
	return off.Len() <= samePlace
}

// join adds the barrier of d, which lies on that of c: fire must pass both, so the
// narrower ring counts.
func (c *Crossing) join(d *Crossing) {
	c.lo, c.hi = math.Min(c.lo, d.lo), math.Max(c.hi, d.hi)
	c.Services, c.Barriers = ascending(append(c.Services, d.Services...)), ascending(append(c.Barriers, d.Barriers...))
	for _, r := range d.Roles {
		if !c.Has(r) {
			c.Roles = append(c.Roles, r)
		}
	}
	sort.Slice(c.Roles, func(i, j int) bool { return c.Roles[i] < c.Roles[j] })
	c.WidthM = math.Max(c.WidthM, d.WidthM)
	c.Hole = c.Hole && d.Hole
	if d.RingM < c.RingM {
		c.RingM, c.NarrowM = d.RingM, d.NarrowM
	}
	c.Point = c.frame.world(geom.Vec3{X: c.centre.X, Y: c.centre.Y, Z: (c.lo + c.hi) / 2})
}

// seal looks for seals in or beside the ring.
func (c *Crossing) seal(seals []solid) {
	reach := c.WidthM/2 + math.Max(c.RingM, 0.03)
	for _, s := range seals {
		b := c.frame.box(s.part.Mesh)
		if b.Min.Z > c.hi+sealReach || b.Max.Z < c.lo-sealReach {
			continue
		}
		dx := math.Max(0, math.Max(b.Min.X-c.centre.X, c.centre.X-b.Max.X))
		dy := math.Max(0, math.Max(b.Min.Y-c.centre.Y, c.centre.Y-b.Max.Y))
		if math.Hypot(dx, dy) <= reach {
			c.Seals = append(c.Seals, s.part.Element)
		}
	}
	c.Seals = ascending(c.Seals)
}

// ascending sorts indices and drops doubles.
func ascending(v []int) []int {
	sort.Ints(v)
	u := v[:0]
	for i, x := range v {
		if i == 0 || x != v[i-1] {
			u = append(u, x)
		}
	}
	return u
}
