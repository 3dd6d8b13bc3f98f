package critical

import (
	"math"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// bucket is the side of the squares by which compartments are looked up, metres.
const bucket = 2.0

// locator finds the compartment at a point.
type locator struct {
	rings [][]geom.Ring
	at    map[[2]int][]int // compartments by square
	list  []*void.Compartment
}

func newLocator(list []*void.Compartment) *locator {
	l := &locator{list: list, at: map[[2]int][]int{}, rings: make([][]geom.Ring, len(list))}
	for i, c := range list {
		lo, hi := geom.Vec2{X: math.Inf(1), Y: math.Inf(1)}, geom.Vec2{X: math.Inf(-1), Y: math.Inf(-1)}
		for _, r := range c.Outline {
			l.rings[i] = append(l.rings[i], geom.Ring(r))
			for _, p := range r {
				lo = geom.Vec2{X: math.Min(lo.X, p.X), Y: math.Min(lo.Y, p.Y)}
				hi = geom.Vec2{X: math.Max(hi.X, p.X), Y: math.Max(hi.Y, p.Y)}
			}
		}
		if len(c.Outline) == 0 {
			continue
		}
		a, b := square(lo), square(hi)
		for x := a[0]; x <= b[0]; x++ {
			for y := a[1]; y <= b[1]; y++ {
				l.at[[2]int{x, y}] = append(l.at[[2]int{x, y}], i)
			}
		}
	}
	return l
}

func square(p geom.Vec2) [2]int {
	return [2]int{int(math.Floor(p.X / bucket)), int(math.Floor(p.Y / bucket))}
}

// slack is how far above or below a compartment a point may lie and still be in it: outlines
// and heights are those of cells, and a clearance is no distance.
const slack = 0.002

// find returns the compartment at a point, nil when there is none. Where the depth of a wall
// and a horizontal void overlap, over a plate for example, the horizontal void has the place.
func (l *locator) find(p geom.Vec3) *void.Compartment {
	var best *void.Compartment
	q := p.Plan()
	for _, i := range l.at[square(q)] {
		c := l.list[i]
		if p.Z < c.ZLo-slack || p.Z > c.ZHi+slack {
			continue
		}
		inside := false
		for _, r := range l.rings[i] {
			if r.Contains(q) {
				inside = !inside
			}
		}
		if inside && (best == nil || wall(best) && !wall(c)) {
			best = c
		}
	}
	return best
}

func wall(c *void.Compartment) bool { return c.Void != nil && c.Void.Kind == void.KindWall }
