package html

import (
	"math"

	"voidcheck/checks/finding"
)

// frame is the paper's frame in plan: turned so that the building's main walls lie along the
// paper's edges, its long side lies across and north is up, from the building's own corner, in millimetres.
type frame struct {
	ux, uy float64 // direction of the paper's x, in the first model's coordinates
	ox, oy float64 // metres, turned
	z0     float64
	box    [4]int // x0, y0, x1, y1 of everything in plan, mm
}

func newFrame(r *finding.Report) frame {
	d := r.Drawing
	f := frame{ux: 1}
	if d != nil {
		if n := math.Hypot(d.Axis[0], d.Axis[1]); n > 0.5 {
			f.ux, f.uy = d.Axis[0]/n, d.Axis[1]/n
		}
	}
	lo, hi := bounds(r, f)
	if hi[1]-lo[1] > 1.05*(hi[0]-lo[0]) {
		f.ux, f.uy = -f.uy, f.ux
		lo, hi = bounds(r, f)
	}
	if f.upsideDown(d) {
		f.ux, f.uy = -f.ux, -f.uy
		lo, hi = bounds(r, f)
	}
	f.ox, f.oy = math.Floor(lo[0]), math.Floor(lo[1])
	f.box = [4]int{mm(lo[0] - f.ox), mm(lo[1] - f.oy), mm(hi[0] - f.ox), mm(hi[1] - f.oy)}
	return f
}

// upsideDown reports whether north, or the model's y where north is not known, would point
// down on paper; where it lies across, whether the model's x would.
func (f frame) upsideDown(d *finding.Drawing) bool {
	up := [2]float64{0, 1}
	if d != nil && d.North != nil {
		up = *d.North
	}
	if _, y := f.turn(up); math.Abs(y) > 0.1 {
		return y < 0
	}
	_, y := f.turn([2]float64{1, 0})
	return y < -0.1
}

// bounds are the corners of walls, rooms and compartments, turned.
func bounds(r *finding.Report, f frame) (lo, hi [2]float64) {
	lo, hi = [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	put := func(p [2]float64) {
		x, y := f.turn(p)
		lo[0], lo[1], hi[0], hi[1] = min(lo[0], x), min(lo[1], y), max(hi[0], x), max(hi[1], y)
	}
	for _, s := range r.Spaces {
		for _, c := range s.Compartments {
			for _, ring := range c.Outline {
				for _, p := range ring {
					put(p)
				}
			}
		}
	}
	if r.Drawing != nil {
		for _, room := range r.Drawing.Rooms {
			for _, ring := range room.Outline {
				for _, p := range ring {
					put(p)
				}
			}
		}
		for i := range r.Drawing.Walls {
			for _, p := range strip(&r.Drawing.Walls[i], r.Drawing.Walls[i].Across) {
				put(p)
			}
		}
	}
	if lo[0] > hi[0] {
		return [2]float64{}, [2]float64{}
	}
	return lo, hi
}

// strip is the outline of a wall, or of a part of it across.
func strip(w *finding.DrawnWall, across [2]float64) [4][2]float64 {
	at := func(s, t float64) [2]float64 {
		return [2]float64{w.Origin[0] + s*w.Dir[0] - t*w.Dir[1], w.Origin[1] + s*w.Dir[1] + t*w.Dir[0]}
	}
	return [4][2]float64{at(0, across[0]), at(w.LengthM, across[0]), at(w.LengthM, across[1]), at(0, across[1])}
}

func (f frame) turn(p [2]float64) (x, y float64) {
	return p[0]*f.ux + p[1]*f.uy, -p[0]*f.uy + p[1]*f.ux
}

// point is a plan point on paper.
func (f frame) point(p [2]float64) [2]int {
	x, y := f.turn(p)
	return [2]int{mm(x - f.ox), mm(y - f.oy)}
}

func (f frame) point3(p [3]float64) [3]int {
	q := f.point([2]float64{p[0], p[1]})
	return [3]int{q[0], q[1], mm(p[2] - f.z0)}
}

// ring flattens a ring: x, y, x, y, ...
func (f frame) ring(r [][2]float64) []int {
	out := make([]int, 0, 2*len(r))
	for _, p := range r {
		q := f.point(p)
		out = append(out, q[0], q[1])
	}
	return out
}

func (f frame) rings(list [][][2]float64) [][]int {
	out := make([][]int, 0, len(list))
	for _, r := range list {
		out = append(out, f.ring(r))
	}
	return out
}

func (f frame) line(l [2][2]float64) [4]int {
	a, b := f.point(l[0]), f.point(l[1])
	return [4]int{a[0], a[1], b[0], b[1]}
}

// gridReach is how far grid lines run out beyond the building, mm.
const gridReach = 2200

// onPaper fits a grid line to the building: what runs on far beyond is cut off, and a line of
// the length of a unit, as which endless lines are written, is drawn out. False when it misses
// the building.
func (f frame) onPaper(l [4]int) ([4]int, bool) {
	x, y := float64(l[0]), float64(l[1])
	dx, dy := float64(l[2]-l[0]), float64(l[3]-l[1])
	length := math.Hypot(dx, dy)
	if length < 1 {
		return l, false
	}
	t0, t1 := 0.0, 1.0
	if length <= 1001 {
		t0, t1 = math.Inf(-1), math.Inf(1)
	}
	for _, e := range [][2]float64{
		{-dx, x - float64(f.box[0]-gridReach)}, {dx, float64(f.box[2]+gridReach) - x},
		{-dy, y - float64(f.box[1]-gridReach)}, {dy, float64(f.box[3]+gridReach) - y},
	} {
		switch p, q := e[0], e[1]; {
		case p == 0 && q < 0:
			return l, false
		case p < 0:
			t0 = max(t0, q/p)
		case p > 0:
			t1 = min(t1, q/p)
		}
	}
	if t0 >= t1 {
		return l, false
	}
	at := func(t float64) (int, int) { return int(math.Round(x + t*dx)), int(math.Round(y + t*dy)) }
	var out [4]int
	out[0], out[1] = at(t0)
	out[2], out[3] = at(t1)
	return out, true
}

// along turns a direction; thousandths.
func (f frame) along(d [2]float64) [2]int {
	x, y := f.turn(d)
	return [2]int{int(math.Round(x * 1000)), int(math.Round(y * 1000))}
}

func (f frame) z(z [2]float64) [2]int { return [2]int{mm(z[0] - f.z0), mm(z[1] - f.z0)} }

// mm rounds metres to whole millimetres.
func mm(m float64) int {
	if math.IsNaN(m) || math.Abs(m) > 1e6 {
		return 0
	}
	return int(math.Round(m * 1000))
}
