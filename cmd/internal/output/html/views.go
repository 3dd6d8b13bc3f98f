package html

import (
	"math"
	"slices"

	"voidcheck/checks/finding"
)

// views makes one view of the voids on either side of each unit line, with the ways by which
// fire passes it.
func (m *maker) views() {
	for i := range m.r.Building.Separations {
		sep := &m.r.Building.Separations[i]
		v := viewData{Sep: sep.ID, Title: "Voids at " + m.lineName(sep), Units: sep.Units}
		m.lineOf(&v)
		for n := range m.out.Comps {
			if m.beside(&v, n) {
				v.Comps = append(v.Comps, n)
			}
		}
		in := func(c int) bool { return c >= 0 && slices.Contains(v.Comps, c) }
		for n := range m.out.Openings {
			if o := &m.out.Openings[n]; in(o.Comps[0]) && in(o.Comps[1]) {
				v.Opens = append(v.Opens, n)
			}
		}
		m.routes(&v)
		if len(v.Comps) > 0 {
			m.out.Views = append(m.out.Views, v)
		}
	}
}

// lineOf finds where the unit line stands: the longest of its walls.
func (m *maker) lineOf(v *viewData) {
	best := 0.0
	for i := range m.out.Walls {
		w := &m.out.Walls[i]
		if w.Sep != v.Sep || len(w.Ring) < 8 {
			continue
		}
		if n := math.Hypot(float64(w.Ring[2]-w.Ring[0]), float64(w.Ring[3]-w.Ring[1])); n > best {
			best = n
			v.Line = &[4]int{w.Ring[0], w.Ring[1], w.Ring[2], w.Ring[3]}
		}
	}
}

// beside reports whether a compartment belongs to a view: a horizontal void of one of the
// units, or a cavity of the unit line itself.
func (m *maker) beside(v *viewData, n int) bool {
	c := &m.out.Comps[n]
	d := &m.out.Voids[c.Void]
	if len(c.Rings) == 0 {
		return false
	}
	touches := func(list []string) bool {
		return slices.ContainsFunc(list, func(u string) bool { return slices.Contains(v.Units, u) })
	}
	switch d.Kind {
	case "wall":
		return len(d.Units) > 1 && sameUnits(d.Units, v.Units)
	case "floor", "attic", "crawl":
		return touches(c.Units) || len(c.Units) == 0 && touches(d.Units)
	}
	return false
}

func sameUnits(a, b []string) bool {
	if len(a) != len(b) {
		return false
	}
	for _, u := range a {
		if !slices.Contains(b, u) {
			return false
		}
	}
	return true
}

// routes traces the ways between the units of a view through the compartments that the items
// name, one opening from each to the next.
func (m *maker) routes(v *viewData) {
	for i := range m.r.Items {
		it := &m.r.Items[i]
		if it.Check != "separation-spread" || it.Outcome == finding.Meets || !sameUnits(it.Units, v.Units) || len(it.Spaces) == 0 {
			continue
		}
		r := routeData{Item: m.item[it.Key], Comps: []int{}, Opens: []int{}, Words: []string{}}
		for k, id := range it.Spaces {
			c, ok := m.comp[id]
			if !ok {
				c = -1
			}
			if k > 0 {
				o := m.between(r.Comps[k-1], c, it.Point)
				r.Opens = append(r.Opens, o)
				if o >= 0 {
					r.Words = append(r.Words, m.out.Openings[o].Kind+", "+m.out.Openings[o].Size)
				} else {
					r.Words = append(r.Words, "opening")
				}
			}
			r.Comps = append(r.Comps, c)
			word := id
			if c >= 0 {
				d := &m.out.Voids[m.out.Comps[c].Void]
				word = d.KindWord + " " + id
				if names := m.unitNames(either(m.out.Comps[c].Units, d.Units)); len(names) > 0 {
					word += " (" + names[0]
					for _, n := range names[1:] {
						word += ", " + n
					}
					word += ")"
				}
			}
			r.Words = append(r.Words, words(word))
			if c >= 0 && !slices.Contains(v.Comps, c) {
				v.Comps = append(v.Comps, c)
			}
		}
		v.Routes = append(v.Routes, r)
	}
}

func either(a, b []string) []string {
	if len(a) > 0 {
		return a
	}
	return b
}

// between is the opening between two compartments nearest to a point, -1 for none.
func (m *maker) between(a, b int, at [3]float64) int {
	best, least := -1, math.Inf(1)
	p := m.f.point3(at)
	for i := range m.out.Openings {
		o := &m.out.Openings[i]
		if a < 0 || b < 0 || !(o.Comps == [2]int{a, b} || o.Comps == [2]int{b, a}) {
			continue
		}
		d := math.Hypot(math.Hypot(float64(o.Point[0]-p[0]), float64(o.Point[1]-p[1])), float64(o.Point[2]-p[2]))
		if d < least {
			best, least = i, d
		}
	}
	return best
}
