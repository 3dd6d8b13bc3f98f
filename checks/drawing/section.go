package drawing

import (
	"math"
	"slices"
	"strconv"

	"voidcheck/checks/finding"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// How far sections reach, metres.
const (
	margin   = 0.6  // beyond the building or the unit line
	reach    = 1.6  // to either side of a unit line, in the section across it
	near     = 0.75 // of the plane: stops there that run along it are seen behind it
	nudge    = 0.0007
	sameLine = 0.15 // walls of one line stand no farther apart across it
)

// roles names what sections show, in the order in which they are drawn.
var roles = []struct {
	role void.Role
	name string
}{
	{void.RoleFraming, "space"}, {void.RoleInsulation, "insulation"}, {void.RoleSolid, "solid"}, {void.RoleStair, "stair"},
	{void.RoleCeiling, "board"}, {void.RoleFinish, "board"}, {void.RoleSoffitBoard, "board"},
	{void.RoleDeck, "deck"}, {void.RoleRoof, "roof"},
	{void.RoleWeb, "web"}, {void.RoleChord, "chord"}, {void.RoleJoist, "joist"}, {void.RoleRafter, "rafter"},
	{void.RoleStud, "stud"}, {void.RolePlate, "plate"}, {void.RoleRim, "rim"}, {void.RoleBeam, "beam"},
	{void.RoleChimney, "chimney"}, {void.RoleService, "service"},
	{void.RoleBlock, "block"}, {void.RoleDraftstop, "draftstop"}, {void.RoleSeal, "seal"},
}

var roleName = func() map[void.Role]string {
	names := map[void.Role]string{}
	for _, r := range roles {
		names[r.role] = r.name
	}
	return names
}()

// sections cuts the building: once along it and once across, and at each unit line along
// either side and across.
func (m *maker) sections() []finding.Section {
	if len(m.b.Input.Parts) == 0 {
		return nil
	}
	var out []finding.Section
	n := 0
	add := func(s finding.Section, p plane) {
		s.Cuts = m.cuts(p, s.Kind == "along")
		if len(s.Cuts) == 0 {
			return
		}
		n++
		s.ID = strconv.Itoa(n)
		s.Line = [2][2]float64{m.plan(p.origin), m.plan(p.at(p.length))}
		out = append(out, s)
	}
	long, cross := m.whole()
	add(finding.Section{Kind: "long"}, long)
	add(finding.Section{Kind: "cross"}, cross)
	for i := range m.b.Input.Separations {
		id := m.separation(i)
		for _, l := range m.unitLines(i) {
			for _, side := range l.sides() {
				add(finding.Section{Kind: "along", Separation: id, Side: side.unit}, side.plane)
			}
			add(finding.Section{Kind: "across", Separation: id}, m.across(i, l))
		}
	}
	return out
}

// whole lays the two sections through the building: the first crosses most unit lines, or
// runs along the building; both pass where an attic is highest.
func (m *maker) whole() (long, cross plane) {
	box := geom.EmptyBox()
	for _, b := range m.boxes {
		box = box.Join(b)
	}
	u, v := m.dir, geom.Vec2{X: -m.dir.Y, Y: m.dir.X}
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, b := range m.boxes {
		if b.IsEmpty() {
			continue
		}
		for _, q := range []geom.Vec2{{X: b.Min.X, Y: b.Min.Y}, {X: b.Max.X, Y: b.Min.Y}, {X: b.Max.X, Y: b.Max.Y}, {X: b.Min.X, Y: b.Max.Y}} {
			lo[0], hi[0], lo[1], hi[1] = min(lo[0], q.Dot(u)), max(hi[0], q.Dot(u)), min(lo[1], q.Dot(v)), max(hi[1], q.Dot(v))
		}
	}
	alongV := 0.0 // length of separations that run along v, less those along u
	for i := range m.b.Input.Walls {
		if w := &m.b.Input.Walls[i]; w.Separation >= 0 {
			alongV += w.Length * (math.Abs(w.Dir.Dot(v)) - math.Abs(w.Dir.Dot(u)))
		}
	}
	if alongV == 0 {
		alongV = (hi[0] - lo[0]) - (hi[1] - lo[1])
	}
	at := m.highest(box)
	pu, pv := at.Dot(u)+0.0037, at.Dot(v)+0.0037
	first := plane{origin: u.Mul(lo[0] - margin).Add(v.Mul(pv)), dir: u, length: hi[0] - lo[0] + 2*margin}
	second := plane{origin: u.Mul(pu).Add(v.Mul(lo[1] - margin)), dir: v, length: hi[1] - lo[1] + 2*margin}
	if alongV >= 0 {
		return first, second
	}
	return second, first
}

// highest is a place in plan for the sections through the building: where the highest attic
// stands highest, or the middle of the building.
func (m *maker) highest(box geom.Box) geom.Vec2 {
	at, z := box.Center().Plan(), math.Inf(-1)
	for _, v := range m.r.Voids {
		if v.Kind != void.KindAttic {
			continue
		}
		for _, c := range v.Compartments {
			for _, rib := range m.ribs(c) {
				for _, p := range rib {
					if p[2] > z+0.001 {
						z = p[2]
						at = geom.Vec2{X: p[0] - m.o.X, Y: p[1] - m.o.Y}
					}
				}
			}
		}
	}
	return at
}

// unitLine is the walls of one separation that stand in one line.
type unitLine struct {
	m      *maker
	sep    int
	dir    geom.Vec2
	origin geom.Vec2
	walls  []int
	s0, s1 float64
}

func (m *maker) unitLines(sep int) []*unitLine {
	var out []*unitLine
	for _, i := range m.b.Input.Separations[sep].Walls {
		if i < 0 || i >= len(m.b.Input.Walls) {
			continue
		}
		w := &m.b.Input.Walls[i]
		mid := (w.Across.Lo + w.Across.Hi) / 2
		k := slices.IndexFunc(out, func(l *unitLine) bool {
			p := plane{origin: l.origin, dir: l.dir}
			return math.Abs(l.dir.Cross(w.Dir)) < 0.01 && math.Abs(p.off(w.At(0, mid))) < sameLine
		})
		if k < 0 {
			dir := w.Dir
			if dir.X < -1e-9 || math.Abs(dir.X) <= 1e-9 && dir.Y < 0 {
				dir = dir.Mul(-1)
			}
			out = append(out, &unitLine{m: m, sep: sep, dir: dir, origin: w.At(0, mid), s0: math.Inf(1), s1: math.Inf(-1)})
			k = len(out) - 1
		}
		l := out[k]
		p := plane{origin: l.origin, dir: l.dir}
		for _, q := range []geom.Vec2{w.At(0, mid), w.At(w.Length, mid)} {
			l.s0, l.s1 = min(l.s0, p.s(q)), max(l.s1, p.s(q))
		}
		l.walls = append(l.walls, i)
	}
	return out
}

type side struct {
	plane
	unit string
}

// sides are the planes along the line: through the stud row of either unit, or through the
// middle of a wall that has no two rows.
func (l *unitLine) sides() []side {
	base := plane{origin: l.origin.Add(l.dir.Mul(l.s0 - margin)), dir: l.dir, length: l.s1 - l.s0 + 2*margin}
	var offs []float64
	for _, i := range l.walls {
		w := &l.m.b.Input.Walls[i]
		if len(w.Rows) < 2 {
			continue
		}
		for _, r := range []void.Span{w.Rows[0], w.Rows[len(w.Rows)-1]} {
			offs = append(offs, base.off(w.At(0, (r.Lo+r.Hi)/2)))
		}
		break
	}
	if len(offs) == 0 {
		return []side{{plane: base.moved(nudge)}}
	}
	slices.Sort(offs)
	var out []side
	for _, o := range offs {
		out = append(out, side{plane: base.moved(o + nudge), unit: l.unitBeside(base, o)})
	}
	return out
}

// unitBeside is the unit whose rooms lie to the side of the line where the offset points.
func (l *unitLine) unitBeside(p plane, off float64) string {
	best, at := 0.0, -1
	for _, u := range l.m.b.Input.Separations[l.sep].Units {
		weight := 0.0
		for _, box := range l.m.roomsOf[u] {
			c := box.Center().Plan()
			if d, s := p.off(c), p.s(c); d*off > 0 && s > 0 && s < p.length {
				weight += box.Size().X * box.Size().Y / (1 + math.Abs(d))
			}
		}
		if weight > best*(1+1e-9) {
			best, at = weight, u
		}
	}
	return l.m.unit(at)
}

// across is the plane across a unit line: through the place on it that asks for most, or
// its middle.
func (m *maker) across(sep int, l *unitLine) plane {
	p := plane{origin: l.origin, dir: l.dir}
	s := (l.s0+l.s1)/2 + 0.137 // rarely in the face of a member
	best := 0.0
	for _, i := range m.openingsOf(sep, l.walls) {
		o := m.r.Openings[i]
		q := o.Point.Plan()
		if at := p.s(q); at > l.s0 && at < l.s1 && math.Abs(p.off(q)) < 1 && o.AreaM2 > best*(1+1e-6) {
			best, s = o.AreaM2, at+0.0037
		}
	}
	n := geom.Vec2{X: l.dir.Y, Y: -l.dir.X}
	if n.X < -1e-9 || math.Abs(n.X) <= 1e-9 && n.Y < 0 {
		n = n.Mul(-1)
	}
	return plane{origin: p.at(s).Sub(n.Mul(reach)), dir: n, length: 2 * reach}
}

// openingsOf are the openings in the lines of a separation, and those that lead into the
// cavity of one of the walls.
func (m *maker) openingsOf(sep int, walls []int) []int {
	out := slices.Clone(m.bySep[sep])
	for _, w := range walls {
		out = append(out, m.byWall[w]...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}
