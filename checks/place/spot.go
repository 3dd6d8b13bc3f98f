package place

import (
	"math"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// room is an enclosed room with its extent along the main walls of the building.
type room struct {
	name   string
	unit   int
	mesh   *geom.Mesh
	lo, hi geom.Vec2 // in the building's main directions
	z      [2]float64
	square bool // it fills that extent, so that its sides are walls
}

const (
	withinRoom = 0.15 // metres above or below a room that still count as in it: its boards and its floor
	ownStorey  = 1.5  // metres from a room's floor or ceiling beyond which it says nothing of a place
	square     = 0.95 // share of its rectangle that a room fills whose sides are walls
	onTape     = 0.01 // metres to which places are told in SI; whole inches otherwise
)

// survey reads the rooms and the extent of the building, by which places are told.
func (w *Words) survey() {
	u, v := w.axes()
	lo, hi := geom.Vec2{X: math.Inf(1), Y: math.Inf(1)}, geom.Vec2{X: math.Inf(-1), Y: math.Inf(-1)}
	for i := range w.Building.Input.Walls {
		o := &w.Building.Input.Walls[i]
		for _, s := range []float64{0, o.Length} {
			for _, t := range []float64{o.Across.Lo, o.Across.Hi} {
				q := o.At(s, t)
				lo.X, lo.Y, hi.X, hi.Y = min(lo.X, q.Dot(u)), min(lo.Y, q.Dot(v)), max(hi.X, q.Dot(u)), max(hi.Y, q.Dot(v))
			}
		}
	}
	w.lo, w.hi = lo, hi
	m := w.Building.Model
	if m == nil {
		return
	}
	for i := range w.Building.Input.Rooms {
		r := &w.Building.Input.Rooms[i]
		if r.Mesh == nil || len(r.Mesh.Tris) == 0 || r.Outside || r.Element < 0 || r.Element >= len(m.Spaces) {
			continue
		}
		e := m.Spaces[r.Element]
		x := room{name: roomName(e.LongName, e.Name), unit: r.Unit, mesh: r.Mesh, lo: geom.Vec2{X: math.Inf(1), Y: math.Inf(1)}, hi: geom.Vec2{X: math.Inf(-1), Y: math.Inf(-1)}}
		if x.name == "" {
			continue
		}
		b := r.Mesh.Box()
		x.z = [2]float64{b.Min.Z, b.Max.Z}
		for _, p := range r.Mesh.Verts {
			s, t := p.Plan().Dot(u), p.Plan().Dot(v)
			x.lo.X, x.lo.Y, x.hi.X, x.hi.Y = min(x.lo.X, s), min(x.lo.Y, t), max(x.hi.X, s), max(x.hi.Y, t)
		}
		x.square = shadow(r.Mesh) >= square*(x.hi.X-x.lo.X)*(x.hi.Y-x.lo.Y)
		w.rooms = append(w.rooms, x)
	}
}

// shadow is the area of a closed mesh seen from above.
func shadow(m *geom.Mesh) float64 {
	sum := 0.0
	for _, t := range m.Tris {
		a, b, c := m.Verts[t[0]].Plan(), m.Verts[t[1]].Plan(), m.Verts[t[2]].Plan()
		sum += math.Abs(b.Sub(a).Cross(c.Sub(a))) / 2
	}
	return sum / 2
}

// roomName is a room's name with its number: "Kitchen A103", "Kitchen".
func roomName(long, short string) string {
	long, short = strings.Join(strings.Fields(finding.Clean(long)), " "), strings.Join(strings.Fields(finding.Clean(short)), " ")
	switch {
	case long == "" || strings.EqualFold(long, short):
		long, short = short, ""
	case strings.Contains(strings.ToLower(short), strings.ToLower(long)):
		long, short = short, ""
	case len(short) > 8 || strings.Contains(strings.ToLower(long), strings.ToLower(short)):
		short = ""
	}
	if r := []rune(long); len(r) > longestName {
		long = strings.TrimSpace(string(r[:longestName-1])) + "…"
	}
	return strings.TrimSpace(long + " " + short)
}

// axes are the building's main directions.
func (w *Words) axes() (u, v geom.Vec2) {
	u = w.Building.Turn
	if u.Len() < 0.5 {
		u = geom.Vec2{X: 1}
	}
	return u, geom.Vec2{X: -u.Y, Y: u.X}
}

// Compass names a direction in plan by the eight winds. Where no model tells true north, the
// model's y is taken for it, and the word says so: "plan north".
func (w *Words) Compass(d geom.Vec2) string {
	if d.Len() == 0 {
		return ""
	}
	east := geom.Vec2{X: w.north.Y, Y: -w.north.X}
	n := int(math.Round(math.Atan2(d.Dot(east), d.Dot(w.north))/(math.Pi/4))+8) % 8
	wind := []string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"}[n]
	if w.byPlan {
		return "plan " + wind
	}
	return wind
}

// Tape prints a distance as it is measured out on site: to the inch, or to the centimetre.
func (w *Words) Tape(m float64) string {
	step := measure.MetresPerInch
	if w.System == measure.SI {
		step = onTape
	}
	return w.Length(math.Round(m/step) * step)
}

// Below prints a distance as Tape does, rounded down: blocks so far apart are never farther.
func (w *Words) Below(m float64) string {
	step := measure.MetresPerInch
	if w.System == measure.SI {
		step = onTape
	}
	return w.Length(math.Floor(m/step+1e-6) * step)
}

// Along says how far a point of a line is from the nearer end, and which end that is:
// "11'-4" from the north end"; "at the north end" for less than a foot.
func (w *Words) Along(a, b, p geom.Vec2) string {
	dir := b.Sub(a)
	l := dir.Len()
	if l == 0 {
		return ""
	}
	s := min(max(p.Sub(a).Dot(dir)/l, 0), l)
	end := dir
	if s < l-s {
		end = dir.Mul(-1)
	}
	d := min(s, l-s)
	if d < measure.MetresPerFoot {
		return "at the " + w.Compass(end) + " end"
	}
	return w.Tape(d) + " from the " + w.Compass(end) + " end"
}

// AlongWall says where along the wall of a unit line a point lies, by its nearer end; of
// other walls beside which room, or how far from the sides of the building. It is "" for something of
// nearly the whole length of a unit line, and where the wall is not known.
func (w *Words) AlongWall(i int, p geom.Vec3, width float64) string {
	if i < 0 || i >= len(w.Building.Input.Walls) {
		return ""
	}
	wall := &w.Building.Input.Walls[i]
	if wall.Separation < 0 {
		if s := w.Room(p); s != "" {
			return s
		}
		return w.corner(p.Plan())
	}
	if width >= wholeLine*wall.Length {
		return ""
	}
	return w.Along(wall.At(0, 0), wall.At(wall.Length, 0), p.Plan())
}

// corner says where in plan a point lies by the nearer sides of the building: "12'-4" from the
// west side and 30'-1" from the south side of the building"; "" without walls.
func (w *Words) corner(p geom.Vec2) string {
	w.surveyed.Do(w.survey)
	u, v := w.axes()
	lo, hi := w.lo, w.hi
	if lo.X > hi.X {
		return ""
	}
	side := func(x, lo, hi float64, dir geom.Vec2) string {
		d := hi - x
		if x-lo < hi-x {
			d, dir = x-lo, dir.Mul(-1)
		}
		return w.Tape(max(d, 0)) + " from the " + w.Compass(dir) + " side"
	}
	return side(p.Dot(u), lo.X, hi.X, u) + " and " + side(p.Dot(v), lo.Y, hi.Y, v) + " of the building"
}

// From says how far from an end of a wall a stretch of it begins, "" when it begins there.
func (w *Words) From(wall *void.Wall, s0, s1 float64) string {
	d, end := s0, wall.Dir.Mul(-1)
	if wall.Length-s1 < s0 {
		d, end = wall.Length-s1, wall.Dir
	}
	if d <= onTape {
		return ""
	}
	return w.Tape(d) + " from the " + w.Compass(end) + " end"
}
