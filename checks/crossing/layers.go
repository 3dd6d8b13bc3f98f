package crossing

import (
	"math"
	"sort"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// wallRoles are what stands across a unit separation, or above one in line with it.
var wallRoles = []void.Role{void.RoleFinish, void.RoleSolid, void.RolePlate, void.RoleRim, void.RoleBlock, void.RoleDraftstop}

// Tolerances, metres.
const (
	layerPlay = 0.02 // how far a board may stand out of the wall it is of
	onAnother = 0.01 // boards no further apart lie on each other
	nearer    = 0.02 // a seal that lies this much nearer to one layer than to another is of that one
)

// layers finds the layers of matter that services pass in unit separations.
type layers struct {
	solids []solid
	index  *geom.BoxIndex
}

func newLayers(in *void.Input) *layers {
	l := &layers{solids: collect(in, nil, wallRoles...)}
	boxes := make([]geom.Box, len(l.solids))
	for i, s := range l.solids {
		boxes[i] = s.box
	}
	l.index = geom.NewBoxIndex(boxes)
	return l
}

// of returns the layers that a service passes where it crosses a strip, each with its ring and
// the seals that are nearest to it.
func (l *layers) of(f *finder, c *Crossing, seals []solid) []*Crossing {
	half := geom.Vec3{X: 1, Y: 1, Z: 1}.Mul(c.WidthM/2 + 2*holeReach + (c.hi - c.lo))
	near := geom.Box{Min: c.Point.Sub(half), Max: c.Point.Add(half)}
	one := &finder{}
	for _, s := range f.services {
		if i := sort.SearchInts(c.Services, s.part.Element); i < len(c.Services) && c.Services[i] == s.part.Element {
			one.services = append(one.services, s)
		}
	}
	for _, i := range l.index.In(near) {
		b := c.frame.box(l.solids[i].part.Mesh)
		if b.Min.Z >= c.lo-layerPlay && b.Max.Z <= c.hi+layerPlay {
			one.barriers = append(one.barriers, l.solids[i])
		}
	}
	var r []*Crossing
	for i := range one.barriers {
		r = append(r, one.across(&one.barriers[i], c.frame, near)...)
	}
	r = merge(r, onAnother)
	for _, m := range r {
		m.Wall = c.Wall
	}
	for _, s := range seals {
		b := c.frame.box(s.part.Mesh)
		away := func(m *Crossing) float64 { return math.Max(0, math.Max(b.Min.Z-m.hi, m.lo-b.Max.Z)) }
		least := math.Inf(1)
		for _, m := range r {
			least = math.Min(least, away(m))
		}
		for _, m := range r {
			if away(m) <= least+nearer {
				m.seal([]solid{s})
			}
		}
	}
	return r
}
