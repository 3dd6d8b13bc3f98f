package rounds

import (
	"cmp"
	"math"
	"slices"

	"voidcheck/checks/finding"
)

// sameLevel is how far apart, metres, the elevations of one storey may be once the two
// buildings stand on one level: floors get thicker and ceilings higher between rounds.
const sameLevel = 0.8

// storeys pairs the storeys by how high they stand, names deciding where several ways fit:
// "Level 1" of one round may be the ground floor and of the next the floor above it.
func (m *matcher) storeys() {
	a, b := m.last.Building.Storeys, m.this.Building.Storeys
	best, most := 0.0, -1.0
	for i := range a {
		for j := range b {
			lift := b[j].ElevationM - a[i].ElevationM
			n := -0.001 * math.Abs(lift)
			if a[i].Name == b[j].Name {
				n += 0.1
			}
			for _, p := range pairStoreys(a, b, lift) {
				n++
				if a[p[0]].Name == b[p[1]].Name {
					n += 0.4
				}
			}
			if most < 0 && n > -1 || n > most {
				best, most = lift, n
			}
		}
	}
	pairs := pairStoreys(a, b, best)
	if len(a) == len(b) && len(pairs) < len(a) { // as many as before: by order
		pairs = pairs[:0]
		for i := range a {
			pairs = append(pairs, [2]int{i, i})
		}
	}
	for _, p := range pairs {
		m.storey[a[p[0]].Name] = b[p[1]].Name
		m.lift[a[p[0]].Name] = b[p[1]].ElevationM - a[p[0]].ElevationM
	}
	m.storey[""] = ""
	if m.lift[""] = best; len(pairs) > 0 {
		m.lift[""] = b[pairs[0][1]].ElevationM - a[pairs[0][0]].ElevationM
	}
}

// pairStoreys pairs each storey with the nearest one once the last building is lifted.
func pairStoreys(a, b []finding.Storey, lift float64) [][2]int {
	type candidate struct {
		i, j int
		off  float64
	}
	var list []candidate
	for i := range a {
		for j := range b {
			if off := math.Abs(a[i].ElevationM + lift - b[j].ElevationM); off <= sameLevel {
				list = append(list, candidate{i, j, off})
			}
		}
	}
	slices.SortStableFunc(list, func(p, q candidate) int { return cmp.Compare(p.off, q.off) })
	var out [][2]int
	usedA, usedB := map[int]bool{}, map[int]bool{}
	for _, c := range list {
		if !usedA[c.i] && !usedB[c.j] {
			usedA[c.i], usedB[c.j] = true, true
			out = append(out, [2]int{c.i, c.j})
		}
	}
	slices.SortFunc(out, func(p, q [2]int) int { return cmp.Compare(p[0], q[0]) })
	return out
}

// units pairs the dwelling units by name, and by id where names were inferred or changed.
func (m *matcher) units() {
	taken := map[string]bool{}
	for _, u := range m.last.Building.Units {
		for _, v := range m.this.Building.Units {
			if u.Name != "" && u.Name == v.Name && !u.Assumed && !v.Assumed && !taken[v.ID] {
				m.unit[u.ID] = v.ID
				taken[v.ID] = true
			}
		}
	}
	for _, u := range m.last.Building.Units {
		for _, v := range m.this.Building.Units {
			if m.unit[u.ID] == "" && u.ID == v.ID && !taken[v.ID] {
				m.unit[u.ID] = v.ID
				taken[v.ID] = true
			}
		}
	}
}

// unitsByPlace pairs the dwelling units anew by where their rooms and spaces lie, once the two
// rounds lie over each other: a unit is the same when it stands in the same place, whatever
// it is called now. Units of which nothing is found keep their pair.
func (m *matcher) unitsByPlace() {
	a, b := m.placesOfUnits(m.last), m.placesOfUnits(m.this)
	for i := range a {
		a[i].tag = a[i].kind + "|" + m.storey[a[i].storey]
	}
	for i := range b {
		b[i].tag = b[i].kind + "|" + b[i].storey
	}
	index := indexOf(b)
	votes := map[[2]string]float64{}
	for i := range a {
		x, y := m.move.plan(a[i].x, a[i].y)
		unit, least := "", 1.0
		index.near(a[i].label(), x, y, 0.9, func(q *anchor, off float64) {
			if off < least {
				unit, least = q.unit, off
			}
		})
		if unit != "" {
			votes[[2]string{a[i].unit, unit}] += a[i].size
		}
	}
	type candidate struct {
		last, this string
		n          float64
	}
	var list []candidate
	for _, u := range m.last.Building.Units {
		for _, v := range m.this.Building.Units {
			if n := votes[[2]string{u.ID, v.ID}]; n > 0 {
				list = append(list, candidate{u.ID, v.ID, n})
			}
		}
	}
	slices.SortStableFunc(list, func(p, q candidate) int { return cmp.Compare(q.n, p.n) })
	old := m.unit
	m.unit = map[string]string{}
	taken := map[string]bool{}
	for _, c := range list {
		if m.unit[c.last] == "" && !taken[c.this] {
			m.unit[c.last], taken[c.this] = c.this, true
		}
	}
	for _, u := range m.last.Building.Units {
		if v := old[u.ID]; v != "" && m.unit[u.ID] == "" && !taken[v] {
			m.unit[u.ID], taken[v] = v, true
		}
	}
}

// placesOfUnits are the rooms of units and the spaces that touch one unit alone.
func (m *matcher) placesOfUnits(r *finding.Report) []anchor {
	var out []anchor
	if r.Drawing != nil {
		for i := range r.Drawing.Rooms {
			x := &r.Drawing.Rooms[i]
			if area, px, py := middle(x.Outline); area > 1e-6 && x.Unit != "" {
				out = append(out, anchor{kind: "room", storey: x.Storey, unit: x.Unit, size: area, x: px, y: py})
			}
		}
	}
	for i := range r.Spaces {
		s := &r.Spaces[i]
		for k := range s.Compartments {
			c := &s.Compartments[k]
			if area, px, py := middle(c.Outline); area > 1e-6 && len(c.Units) == 1 && s.Kind != "wall" {
				out = append(out, anchor{kind: "space " + s.Kind, storey: s.Storey, unit: c.Units[0], size: area, x: px, y: py})
			}
		}
	}
	return out
}
