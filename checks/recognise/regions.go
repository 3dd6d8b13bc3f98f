package recognise

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// plan is the plan of one storey as cells between grid lines: where floor is, and which walls
// cut it.
type plan struct {
	storey int
	xs, ys []float64
	floor  []bool // per cell
	region []int  // per cell, -1 none
	z0, z1 float64
	areas  []float64
}

func (p *plan) cell(i, j int) int { return j*(len(p.xs)-1) + i }
func (p *plan) mid(i, j int) geom.Vec2 {
	return geom.Vec2{X: (p.xs[i] + p.xs[i+1]) / 2, Y: (p.ys[j] + p.ys[j+1]) / 2}
}

// regionMin is the least area of a dwelling unit on a storey, m2.
const regionMin = 8.0

// unitsByRegion makes units of the regions that separations cut each storey into. Without
// any separation the building is one unit.
func (r *reader) unitsByRegion() {
	cutters := r.cutters()
	var plans []*plan
	for s := range r.levels {
		if p := r.planOf(s, cutters); p != nil {
			plans = append(plans, p)
		}
	}
	if len(plans) == 0 {
		if len(r.rooms) > 0 {
			r.oneUnit()
		}
		return
	}
	unit := r.stackRegions(plans)
	if len(cutters) == 0 { // parts of one dwelling that only seem apart
		for _, us := range unit {
			clear(us)
		}
	}
	n := 0
	for _, us := range unit {
		for _, u := range us {
			n = max(n, u+1)
		}
	}
	why := Reason{"geometry", "region of the storeys between separations"}
	if len(cutters) == 0 {
		why.Value = "the model shows neither units nor separations; taken as one unit"
	}
	for u := 0; u < n; u++ {
		d := &DwellingUnit{Index: u, ID: fmt.Sprintf("U%d", u+1), Name: fmt.Sprintf("Unit %d", u+1), Reason: why, Assumed: true}
		if u < len(r.facts.Units) && len(r.facts.Units) == n && r.facts.Units[u].Name != "" {
			d.Name = r.facts.Units[u].Name
		}
		r.b.Units = append(r.b.Units, d)
	}
	if len(r.rooms) > 0 {
		r.roomsIntoRegions(plans, unit)
		return
	}
	r.inferRooms(plans, unit)
}

func (r *reader) oneUnit() {
	u := &DwellingUnit{ID: "U1", Name: "Unit 1", Assumed: true, Reason: Reason{"geometry", "the model shows neither units nor separations; taken as one unit"}}
	for _, m := range r.rooms {
		if m.common || m.outside {
			continue
		}
		m.unit = 0
		if m.space != nil {
			u.Spaces = append(u.Spaces, m.space)
		}
	}
	r.b.Units = append(r.b.Units, u)
}

// cutters returns the walls that part units: double and liner walls, walls called
// separations; failing these, walls inside the building with a fire rating.
func (r *reader) cutters() []*wall {
	var out []*wall
	for _, w := range r.walls {
		_, named := r.separationWord(w)
		if named || w.kind == void.WallDouble || w.kind == void.WallLiner {
			out = append(out, w)
		}
	}
	if len(out) > 0 {
		return out
	}
	for _, w := range r.walls {
		for _, k := range w.elems {
			if v, ok := r.m.Elements[k].Prop("", "FireRating"); ok && strings.ContainsAny(v.Text, "123469") {
				out = append(out, w)
				break
			}
		}
	}
	return out
}

// planOf draws the plan of a storey; nil when it has no floor or ceiling.
func (r *reader) planOf(s int, cutters []*wall) *plan {
	level := r.levels[s]
	top := level + 4
	if s+1 < len(r.levels) && r.levels[s+1] > level+1.5 {
		top = r.levels[s+1]
	}
	p := &plan{storey: s, z0: level, z1: math.Inf(1)}
	var sheets []*room // plan triangles of floors, ceilings or rooms
	add := func(m *geom.Mesh, b geom.Box) {
		t, a := planTriangles(m, r.turn)
		if a > 0.5 {
			sheets = append(sheets, &room{tris: t, box: b, area: a})
		}
	}
	for _, q := range r.ps {
		if q.skip && q.role == void.RoleUnknown || q.lie != flat {
			continue
		}
		switch {
		case q.role == void.RoleDeck && math.Abs(q.z1()-level) < 0.35:
			add(q.mesh, q.box)
		case q.role == void.RoleCeiling && q.z0() > level+1.8 && q.z0() < top+0.2:
			add(q.mesh, q.box)
			if q.box.Size().X*q.box.Size().Y > 1 {
				p.z1 = math.Min(p.z1, q.z0())
			}
		}
	}
	for _, m := range r.rooms {
		if m.storey == s && !m.outside && len(m.tris) > 0 {
			sheets = append(sheets, m)
			p.z0, p.z1 = math.Min(p.z0, m.box.Min.Z), math.Min(p.z1, m.box.Max.Z)
		}
	}
	if len(sheets) == 0 {
		return nil
	}
	if math.IsInf(p.z1, 1) {
		p.z1 = r.wallTop(s)
	}
	if p.z1-p.z0 < 1.5 {
		return nil
	}
	p.grid(sheets, r.wallsOf(s))
	p.fill(sheets, r.wallsOf(s), cuttersOf(cutters, p))
	return p
}

// wallTop returns the height at which the walls of a storey end, for want of a ceiling.
func (r *reader) wallTop(s int) float64 {
	z := math.Inf(-1)
	for _, w := range r.walls {
		if w.storey == s && w.z1-w.z0 > 1.8 && w.z1-w.z0 < 4.5 {
			z = math.Max(z, w.z1)
		}
	}
	return z
}

func (r *reader) wallsOf(s int) []*wall {
	var out []*wall
	for _, w := range r.walls {
		if w.storey == s {
			out = append(out, w)
		}
	}
	return out
}

// cuttersOf returns the cutters that stand at the height of a plan.
func cuttersOf(ws []*wall, p *plan) []*wall {
	z := (p.z0 + p.z1) / 2
	var out []*wall
	for _, w := range ws {
		if w.z0 < z && w.z1 > z {
			out = append(out, w)
		}
	}
	return out
}

// grid lays the grid lines: edges of floors and of walls, and at most gridMax between two.
func (p *plan) grid(sheets []*room, walls []*wall) {
	const gridMax = 1.0
	var xs, ys []float64
	for _, s := range sheets {
		for _, t := range s.tris {
			for _, v := range t {
				xs, ys = append(xs, v.X), append(ys, v.Y)
			}
		}
	}
	fine := false
	for _, w := range walls {
		lo, hi := w.edges()
		for _, s := range []float64{w.s0, w.s1} {
			for _, t := range []float64{lo, hi} {
				v := w.dir.Mul(s).Add(w.norm.Mul(t))
				xs, ys = append(xs, v.X), append(ys, v.Y)
			}
		}
		fine = fine || math.Abs(w.dir.X*w.dir.Y) > 1e-4
	}
	step := gridMax
	if fine {
		step = 0.15
	}
	p.xs, p.ys = gridLines(xs, step), gridLines(ys, step)
}

func gridLines(v []float64, step float64) []float64 {
	sort.Float64s(v)
	var out []float64
	for _, x := range v {
		if n := len(out); n > 0 {
			if x-out[n-1] < 0.002 {
				continue
			}
			for k := math.Ceil((x - out[n-1]) / step); k > 1; k-- {
				out = append(out, out[len(out)-1]+(x-out[len(out)-1])/k)
			}
		}
		out = append(out, x)
	}
	return out
}

// fill marks the cells with floor and floods them between the cutters.
func (p *plan) fill(sheets []*room, walls, cut []*wall) {
	nx, ny := len(p.xs)-1, len(p.ys)-1
	p.floor, p.region = make([]bool, nx*ny), make([]int, nx*ny)
	for j := 0; j < ny; j++ {
		for i := 0; i < nx; i++ {
			c := p.mid(i, j)
			k := p.cell(i, j)
			p.region[k] = -1
			for _, s := range sheets {
				if c.X > s.box.Min.X && c.X < s.box.Max.X && c.Y > s.box.Min.Y && c.Y < s.box.Max.Y && s.covers(c) {
					p.floor[k] = true
					break
				}
			}
			// Walls within a unit, and outer walls, belong to the floor they stand on.
			for _, w := range walls {
				p.floor[k] = p.floor[k] || w.z1-w.z0 > 1 && w.under(c, 0)
			}
			for _, w := range cut {
				// A separation that ends at an outer wall is drawn out through it.
				if p.floor[k] && w.under(c, 0.6) {
					p.floor[k] = false
				}
			}
		}
	}
	p.flood()
}

// under reports whether a plan point lies in the strip of a wall, drawn out at its ends.
func (w *wall) under(c geom.Vec2, more float64) bool {
	lo, hi := w.edges()
	s, t := c.Dot(w.dir), c.Dot(w.norm)
	return s > w.s0-more && s < w.s1+more && t > lo && t < hi
}

// flood numbers the connected floor cells and drops regions too small for a dwelling.
func (p *plan) flood() {
	nx, ny := len(p.xs)-1, len(p.ys)-1
	g := newGroups(nx * ny)
	for j := 0; j < ny; j++ {
		for i := 0; i < nx; i++ {
			k := p.cell(i, j)
			if !p.floor[k] {
				continue
			}
			if i > 0 && p.floor[k-1] {
				g.join(k, k-1)
			}
			if j > 0 && p.floor[k-nx] {
				g.join(k, k-nx)
			}
		}
	}
	area := map[int]float64{}
	for j := 0; j < ny; j++ {
		for i := 0; i < nx; i++ {
			if k := p.cell(i, j); p.floor[k] {
				area[g.find(k)] += (p.xs[i+1] - p.xs[i]) * (p.ys[j+1] - p.ys[j])
			}
		}
	}
	at := map[int]int{}
	for k := range p.floor {
		if !p.floor[k] {
			continue
		}
		root := g.find(k)
		if area[root] < regionMin {
			continue
		}
		if _, ok := at[root]; !ok {
			at[root] = len(p.areas)
			p.areas = append(p.areas, area[root])
		}
		p.region[k] = at[root]
	}
}

// at returns the region at a plan point, -1 for none.
func (p *plan) at(c geom.Vec2) int {
	i := sort.SearchFloat64s(p.xs, c.X) - 1
	j := sort.SearchFloat64s(p.ys, c.Y) - 1
	if i < 0 || j < 0 || i >= len(p.xs)-1 || j >= len(p.ys)-1 {
		return -1
	}
	return p.region[p.cell(i, j)]
}
