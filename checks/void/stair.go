package void

import (
	"fmt"
	"math"
	"sort"

	"voidcheck/ifcx/geom"
)

// Sizes that tell the space between stringers, metres.
const (
	stringerThick = 0.10 // stringers are no thicker
	stringerDeep  = 0.50 // nor deeper
	stairBoard    = 0.05 // the board below them is no thicker
	stairReach    = 0.35 // nor further below the middle of a stringer
)

// slope is a stringer or a board in the building frame: along points up the run, across is
// level, up is square to both.
type slope struct {
	part              int
	centre            geom.Vec3
	along, across, up geom.Vec3
	long, wide, deep  float64 // sizes in these directions
}

// slopeOf reads a box that inclines along one of its axes and is level along another.
func slopeOf(part int, b geom.OBB) (slope, bool) {
	size := b.Size()
	a := -1
	for k := range 3 {
		if z := math.Abs(b.Axes[k].Z); z >= 0.2 && z <= 0.95 && (a < 0 || size[k] > size[a]) {
			a = k
		}
	}
	if a < 0 || size[a] < 1 {
		return slope{}, false
	}
	for k := range 3 {
		if k == a || math.Abs(b.Axes[k].Z) > 0.02 {
			continue
		}
		n := 3 - a - k
		x := slope{part: part, centre: b.Center, along: b.Axes[a], across: b.Axes[k], up: b.Axes[n], long: size[a], wide: size[k], deep: size[n]}
		if x.along.Z < 0 {
			x.along = x.along.Mul(-1)
		}
		if x.up.Z < 0 {
			x.up = x.up.Mul(-1)
		}
		return x, x.up.Z > 0.2
	}
	return slope{}, false
}

// stairs finds the concealed spaces between the stringers of stairs: where a board closes the
// underside of a run that has two stringers and more, what lies between the outer ones, from
// the board to the upper edges of the stringers. The ends of the run are no openings here:
// what closes them is asked by itself.
func (s *solver) stairs() {
	var stringers, boards []slope
	for i := range s.in.Parts {
		p := &s.in.Parts[i]
		if p.Mesh == nil || len(p.Mesh.Tris) == 0 {
			continue
		}
		switch p.Role {
		case RoleStair:
			if x, ok := slopeOf(i, p.Mesh.OBB()); ok && x.wide <= stringerThick && x.deep <= stringerDeep {
				stringers = append(stringers, x)
			}
		case RoleSoffitBoard, RoleCeiling, RoleFinish:
			if b := s.boxes[i].Size(); b.Z < 0.3 || min(b.X, b.Y) < 0.2 { // level, or upright
				continue
			}
			if x, ok := slopeOf(i, p.Mesh.OBB()); ok && x.deep <= stairBoard && x.wide >= 0.3 {
				boards = append(boards, x)
			}
		}
	}
	runs := map[string][]slope{} // boards by the stringers they lie under
	under := map[string][]slope{}
	var keys []string
	for _, b := range boards {
		var list []slope
		key := ""
		for _, x := range stringers {
			if b.covers(&x) {
				list = append(list, x)
				key += fmt.Sprint(x.part, " ")
			}
		}
		if len(list) < 2 {
			continue
		}
		if runs[key] == nil {
			keys = append(keys, key)
		}
		runs[key], under[key] = append(runs[key], b), list
	}
	for _, k := range keys {
		s.stair(under[k], runs[k])
	}
}

// covers reports whether a board lies below a stringer and closes its bay from there.
func (b *slope) covers(x *slope) bool {
	d := x.centre.Sub(b.centre)
	return math.Abs(b.along.Dot(x.along)) > 0.995 && math.Abs(d.Dot(b.across)) <= b.wide/2+x.wide && d.Dot(b.up) > 0 && d.Dot(b.up) < stairReach+x.deep/2 &&
		(x.long+b.long)/2-math.Abs(d.Dot(b.along)) > 0.5
}

// stair adds the void of one run.
func (s *solver) stair(stringers, boards []slope) {
	b := &boards[0]
	span := func(list []slope, dir geom.Vec3, half func(*slope) float64) (lo, hi float64) {
		lo, hi = math.Inf(1), math.Inf(-1)
		for i := range list {
			at := list[i].centre.Dot(dir)
			lo, hi = min(lo, at-half(&list[i])), max(hi, at+half(&list[i]))
		}
		return lo, hi
	}
	long := func(x *slope) float64 { return x.long / 2 }
	a0, a1 := span(stringers, b.along, long)
	c0, c1 := span(boards, b.along, long)
	a0, a1 = max(a0, c0), min(a1, c1)
	t0, t1 := span(stringers, b.across, func(x *slope) float64 { return -x.wide / 2 }) // inside faces of the outer ones
	bottom := b.centre.Dot(b.up) + b.deep/2
	_, top := span(stringers, b.up, func(x *slope) float64 { return x.deep / 2 })
	if a1-a0 < 0.5 || t1-t0 < 0.1 || top-bottom < s.gap {
		return
	}
	at := func(a, t, n float64) geom.Vec3 { return b.along.Mul(a).Add(b.across.Mul(t)).Add(b.up.Mul(n)) }
	ring := []geom.Vec2{at(a0, t0, bottom).Plan(), at(a1, t0, bottom).Plan(), at(a1, t1, bottom).Plan(), at(a0, t1, bottom).Plan()}
	area := ring[1].Sub(ring[0]).Cross(ring[2].Sub(ring[1]))
	if area < 0 {
		ring[1], ring[3] = ring[3], ring[1]
		area = -area
	}
	high := (top - bottom) / b.up.Z // straight up
	mid := at((a0+a1)/2, (t0+t1)/2, (bottom+top)/2)
	v := &Void{Kind: KindStair, Storey: s.storeyAt(at(a0, t0, bottom).Z + 0.3), Framing: FramingNone, Wall: -1, AreaM2: area, VolumeM3: area * high, HeightMaxM: high,
		ZLo: at(a0, t0, bottom).Z, ZHi: at(a1, t0, top).Z, Combustible: true}
	v.Units = s.unitsUnder(geom.Vec3{X: mid.X, Y: mid.Y, Z: mid.Z - high})
	c := &Compartment{Void: v, AreaM2: area, VolumeM3: v.VolumeM3, HeightMaxM: high, ZLo: v.ZLo, ZHi: v.ZHi, Outline: [][]geom.Vec2{ring}, Units: v.Units, Point: mid}
	v.Compartments = []*Compartment{c}
	s.res.Voids = append(s.res.Voids, v)
}

// unitsUnder returns the unit of the room at a point.
func (s *solver) unitsUnder(p geom.Vec3) []int {
	q := s.f.in(p.Plan())
	seen := map[int]bool{}
	var out []int
	for i, b := range s.roomBoxes {
		u := s.in.Rooms[i].Unit
		if u >= 0 && !seen[u] && q.X > b.Min.X && q.X < b.Max.X && q.Y > b.Min.Y && q.Y < b.Max.Y && p.Z > b.Min.Z-0.3 && p.Z < b.Max.Z {
			seen[u] = true
			out = append(out, u)
		}
	}
	sort.Ints(out)
	return out
}
