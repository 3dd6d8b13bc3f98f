package separationcontinuity

import (
	"fmt"
	"math"
	"sort"

	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Along two rooms that face each other, metres.
const (
	leastGap = 0.03 // rooms and walls are drawn a little past each other
	pace     = 0.25 // what is narrower stands at an end
	inRoom   = 0.1  // from the face of a room into it
)

// between looks along two rooms of different units that face each other, a separation between
// them: where nothing at all stands between them over the height of the rooms, the separation
// ends short of the outer wall, or breaks off. Doors and other holes are not that high.
func (j judge) between(sep int, a, b *void.Room, told map[int]float64) {
	dir := j.Building.Input.Walls[j.Building.Input.Separations[sep].Walls[0]].Dir
	x, y := axes(a.Mesh, dir), axes(b.Mesh, dir)
	across := geom.Vec2{X: 1} // in the axes of the wall
	if x.Min.X < y.Max.X-0.05 && y.Min.X < x.Max.X-0.05 {
		across = geom.Vec2{Y: 1}
	}
	along := geom.Vec2{X: across.Y, Y: across.X}
	lo, hi := math.Max(x.Min.Plan().Dot(along), y.Min.Plan().Dot(along)), math.Min(x.Max.Plan().Dot(along), y.Max.Plan().Dot(along))
	if x.Min.Plan().Dot(across) > y.Min.Plan().Dot(across) {
		x, y, a, b = y, x, b, a
	}
	f := facing{judge: j, a: a, b: b, axisAlong: turned(along, dir), axisAcross: turned(across, dir)}
	f.from, f.to = x.Max.Plan().Dot(across)-inRoom, y.Min.Plan().Dot(across)+inRoom
	z0, z1 := math.Max(x.Min.Z, y.Min.Z), math.Min(x.Max.Z, y.Max.Z)
	for _, k := range []float64{0.25, 0.55, 0.93} {
		f.heights = append(f.heights, z0+k*(z1-z0))
	}
	strip := geom.EmptyBox()
	for _, s := range []float64{lo, hi} {
		for _, t := range []float64{f.from, f.to} {
			p := f.axisAlong.Mul(s).Add(f.axisAcross.Mul(t))
			strip = strip.Extend(geom.Vec3{X: p.X, Y: p.Y, Z: f.heights[1]})
		}
	}
	f.near = j.walls().In(strip.Grow(0.6))
	at := []float64{}
	for _, d := range []float64{leastGap / 2, leastGap, 0.06, 0.12} {
		at = append(at, lo+d, hi-d)
	}
	for s := lo + pace; s < hi; s += pace {
		at = append(at, s)
	}
	sort.Float64s(at)
	for i := 0; i < len(at); i++ {
		if !f.open(at[i]) {
			continue
		}
		k := i
		for k+1 < len(at) && f.open(at[k+1]) {
			k++
		}
		begin, end := lo, hi
		if i > 0 {
			begin = f.edge(at[i], at[i-1])
		}
		if k+1 < len(at) {
			end = f.edge(at[k], at[k+1])
		}
		i = k
		storey := j.w.StoreyAt(z0, false)
		if width := end - begin; width >= leastGap && width > j.gap && width > told[storey]+0.01 {
			told[storey] = width
			j.gapBetween(sep, storey, f.point((begin+end)/2, (z0+z1)/2), width)
		}
	}
}

func (j judge) gapBetween(sep, storey int, at geom.Vec3, width float64) {
	j.Report(checks.Report{
		Outcome: finding.Deficient, Evidence: finding.Modelled, Storey: storey, Units: j.w.UnitList(sep), Point: at, Aspect: "between rooms",
		Place: j.w.UnitLine(sep) + ", gap between rooms", At: j.w.Room(at), Cause: "rooms of two units open to each other",
		Measured: grade.Metres(width), Limit: grade.Metres(j.gap),
		Message: fmt.Sprintf("Nothing stands between rooms of the two units here, over the whole height and a length of %s: the separation ends short, or breaks off.", j.w.Length(width)),
		Remedy:  "Carry the separation tight to the exterior wall or to the next wall of it.",
	})
}

// facing is two rooms across a separation.
type facing struct {
	judge
	a, b                  *void.Room
	axisAlong, axisAcross geom.Vec2
	from, to              float64 // across
	heights               []float64
	near                  []int // walls, by number
}

func (f *facing) point(s, z float64) geom.Vec3 {
	p := f.axisAlong.Mul(s).Add(f.axisAcross.Mul((f.from + f.to) / 2))
	return geom.Vec3{X: p.X, Y: p.Y, Z: z}
}

// open reports whether both rooms are there and nothing stands between them.
func (f *facing) open(s float64) bool {
	base := f.axisAlong.Mul(s)
	p, q := base.Add(f.axisAcross.Mul(f.from)), base.Add(f.axisAcross.Mul(f.to))
	if !f.a.Mesh.Covers(p) || !f.b.Mesh.Covers(q) {
		return false
	}
	in := &f.Building.Input
	mid := p.Add(q).Mul(0.5)
	for _, i := range f.near {
		w := &in.Walls[i]
		m := mid.Sub(w.Origin)
		if along, t := m.Dot(w.Dir), m.Dot(w.Norm()); along > -1e-6 && along < w.Length+1e-6 && t > w.Across.Lo-0.5 && t < w.Across.Hi+0.5 && w.Z0 < f.heights[1] && f.heights[1] < w.Z1 {
			return false
		}
	}
	box := geom.EmptyBox()
	for _, z := range f.heights {
		box = box.Extend(geom.Vec3{X: p.X, Y: p.Y, Z: z}).Extend(geom.Vec3{X: q.X, Y: q.Y, Z: z})
	}
	for _, i := range f.parts().In(box) {
		part := &in.Parts[i]
		for _, z := range f.heights {
			if part.Mesh.Crossed(geom.Vec3{X: p.X, Y: p.Y, Z: z}, geom.Vec3{X: q.X - p.X, Y: q.Y - p.Y}, 0, 1) {
				return false
			}
		}
	}
	return true
}

// edge is where it stops being open between a place that is and one that is not.
func (f *facing) edge(open, shut float64) float64 {
	for math.Abs(open-shut) > 5e-4 {
		if m := (open + shut) / 2; f.open(m) {
			open = m
		} else {
			shut = m
		}
	}
	return open
}

// turned is a direction in the axes of a wall as one of the building.
func turned(v, dir geom.Vec2) geom.Vec2 {
	return dir.Mul(v.X).Add(geom.Vec2{X: -dir.Y, Y: dir.X}.Mul(v.Y))
}
