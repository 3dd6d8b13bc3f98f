package place

import (
	"cmp"
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

// Spot says where in plan a point lies, by the room it is in, or above or below it, and by
// that room's nearer walls: "in Kitchen of U2, 5'-2\" from its west wall and 3'-1\" from its
// north wall"; in a wall by the rooms beside it; where no room tells by
// the sides of the building.
func (w *Words) Spot(p geom.Vec3) string {
	u, v := w.axes()
	x, y := p.Plan().Dot(u), p.Plan().Dot(v)
	s, r := w.nearRoom(p)
	if r == nil {
		s, r = w.between(p)
		switch {
		case r == nil:
			return w.corner(p.Plan())
		case !r.square:
			return s
		case x < r.lo.X || x > r.hi.X:
			return s + ", " + w.wall(y, r.lo.Y, r.hi.Y, v, "the")
		}
		return s + ", " + w.wall(x, r.lo.X, r.hi.X, u, "the")
	}
	if !r.square {
		return s
	}
	return s + ", " + w.wall(x, r.lo.X, r.hi.X, u, "its") + " and " + w.wall(y, r.lo.Y, r.hi.Y, v, "its")
}

// Room says in, above or below which room a point lies, or between which: "in Kitchen of U2";
// "" for none.
func (w *Words) Room(p geom.Vec3) string {
	s, r := w.nearRoom(p)
	if r == nil {
		s, _ = w.between(p)
	}
	return s
}

// nearRoom is the room that covers a point in plan and is nearest in height.
func (w *Words) nearRoom(p geom.Vec3) (string, *room) {
	w.surveyed.Do(w.survey)
	u, v := w.axes()
	x, y := p.Plan().Dot(u), p.Plan().Dot(v)
	var best *room
	word, least := "", ownStorey
	for i := range w.rooms {
		r := &w.rooms[i]
		d := r.off(p.Z)
		if d < least && x >= r.lo.X && x <= r.hi.X && y >= r.lo.Y && y <= r.hi.Y && r.mesh.Covers(p.Plan()) {
			best, least, word = r, d, "in "
			switch {
			case p.Z > r.z[1] && d > 0:
				word = "above "
			case d > 0:
				word = "below "
			}
		}
	}
	if best == nil {
		return "", nil
	}
	return word + w.roomOf(best), best
}

// off is how far above or below a room a height lies, 0 within it; the room under it first.
func (r *room) off(z float64) float64 {
	switch {
	case z > r.z[1]+withinRoom:
		return z - r.z[1]
	case z < r.z[0]-withinRoom:
		return r.z[0] - z + 0.01
	}
	return 0
}

// inWall is how far from a room, in metres, a point in a wall beside it lies at most.
const inWall = 0.6

// between names the rooms beside a point in a wall, the nearest two of those nearest in
// height, and returns the first.
func (w *Words) between(p geom.Vec3) (string, *room) {
	w.surveyed.Do(w.survey)
	u, v := w.axes()
	x, y := p.Plan().Dot(u), p.Plan().Dot(v)
	type near struct {
		r         *room
		off, away float64
	}
	var list []near
	for i := range w.rooms {
		r := &w.rooms[i]
		away := math.Hypot(max(r.lo.X-x, x-r.hi.X, 0), max(r.lo.Y-y, y-r.hi.Y, 0))
		if off := r.off(p.Z); off < ownStorey && away <= inWall {
			list = append(list, near{r, off, away})
		}
	}
	if len(list) == 0 {
		return "", nil
	}
	slices.SortStableFunc(list, func(a, b near) int { return cmp.Or(cmp.Compare(a.off, b.off), cmp.Compare(a.away, b.away)) })
	first := list[0].r
	word := "beside "
	switch {
	case list[0].off > 0 && p.Z > first.z[1]:
		word = "above the wall beside "
	case list[0].off > 0:
		word = "below the wall beside "
	}
	if len(list) < 2 || list[1].off != list[0].off {
		return word + w.roomOf(first), first
	}
	// In order of their names, so that a mirrored model reads the same.
	second := list[1].r
	names := Sorted([]string{w.roomOf(first), w.roomOf(second)})
	if first.unit == second.unit {
		names = Sorted([]string{first.name, second.name})
		if of := w.ofUnit(first); of != "" {
			names[1] += of
		}
	}
	if word == "beside " {
		return "between " + names[0] + " and " + names[1], first
	}
	return word[:len("above the wall ")] + "between " + names[0] + " and " + names[1], first
}

func (w *Words) roomOf(r *room) string { return r.name + w.ofUnit(r) }

func (w *Words) ofUnit(r *room) string {
	if r.unit >= 0 && len(w.units) > 1 {
		return " of " + w.Unit(r.unit)
	}
	return ""
}

// wall words the distance from the nearer of a room's two walls across a direction.
func (w *Words) wall(x, lo, hi float64, dir geom.Vec2, whose string) string {
	if x-lo < hi-x {
		return w.Tape(max(x-lo, 0)) + " from " + whose + " " + w.Compass(dir.Mul(-1)) + " wall"
	}
	return w.Tape(max(hi-x, 0)) + " from " + whose + " " + w.Compass(dir) + " wall"
}
