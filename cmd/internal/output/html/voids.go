package html

import (
	"fmt"
	"slices"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
)

// kindWord names a kind of void.
func kindWord(kind string) string {
	w := map[string]string{
		"floor": "Floor void", "attic": "Attic", "wall": "Wall cavity", "soffit": "Soffit", "stair": "Space under a stair",
		"chase": "Chase", "crawl": "Crawl space",
	}
	if s := w[kind]; s != "" {
		return s
	}
	return words(kind)
}

// framingWord names what is built into a void.
func framingWord(s *finding.Space, sys measure.System) string {
	w := map[string]string{
		"open-web-truss": "open-web trusses", "solid-joist": "solid joists", "i-joist": "I-joists", "rafter": "rafters", "stud": "studs",
		"none": "none", "unknown": "not known",
	}[s.Framing]
	if w == "" {
		w = words(s.Framing)
	}
	if s.SpacingM > 0 {
		w += " at " + measure.FormatLength(s.SpacingM, sys) + " on centre"
	}
	return w
}

// voids lists voids and compartments with their figures, and what the area checks said.
func (m *maker) voids() {
	drawn := map[string]*finding.DrawnVoid{}
	for i := range m.d.Voids {
		drawn[m.d.Voids[i].ID] = &m.d.Voids[i]
	}
	for i := range m.r.Spaces {
		s := &m.r.Spaces[i]
		v := voidData{ID: s.ID, Kind: s.Kind, KindWord: kindWord(s.Kind), Level: m.storey(s.Storey), Units: s.Units, Facts: m.facts(s), Sheet: -1}
		d := drawn[s.ID]
		inside := map[string]*finding.DrawnCompartment{}
		if d != nil {
			v.Z = m.f.z(d.Z)
			for k := range d.Compartments {
				inside[d.Compartments[k].ID] = &d.Compartments[k]
			}
			for _, rib := range d.Ribs {
				var flat []int
				for _, p := range rib {
					q := m.f.point3(p)
					flat = append(flat, q[0], q[1], q[2])
				}
				v.Ribs = append(v.Ribs, flat)
			}
		}
		for k := range s.Compartments {
			c := &s.Compartments[k]
			n := len(m.out.Comps)
			x := compartmentData{ID: c.ID, Void: i, Units: c.Units, Area: words(measure.FormatArea(c.AreaM2, m.sys)), Rings: m.f.rings(c.Outline), Z: v.Z}
			if c.HeightMaxM > 0 {
				x.Height = measure.FormatLength(c.HeightMaxM, m.sys)
			}
			if c.VolumeM3 > 0 {
				x.Volume = words(measure.FormatVolume(c.VolumeM3, m.sys))
			}
			if in := inside[c.ID]; in != nil {
				p := m.f.point3(in.Point)
				x.Point, x.Z = &p, m.f.z(in.Z)
			}
			m.comp[c.ID] = n
			m.out.Comps = append(m.out.Comps, x)
			v.Comps = append(v.Comps, n)
		}
		m.void[s.ID] = i
		m.out.Voids = append(m.out.Voids, v)
	}
	m.areas()
}

// areas takes the limits of compartments from the items of the area checks.
func (m *maker) areas() {
	for i := range m.r.Items {
		it := &m.r.Items[i]
		if it.Check != "floor-draftstop-area" && it.Check != "attic-draftstop-area" || it.Limit == nil || it.Limit.Unit != "m2" || it.Measured == nil {
			continue
		}
		area, limit := measure.FormatPair(it.Measured.Value, it.Limit.Value, "m2", m.sys)
		for _, id := range it.Spaces {
			n, ok := m.comp[id]
			if !ok {
				continue
			}
			c := &m.out.Comps[n]
			c.Limit = words(limit)
			switch {
			case it.Outcome == finding.Deficient && len(it.Spaces) > 1:
				if c.State != "over" {
					c.State = "joined"
				}
				c.Joined = words(area)
			case it.Outcome == finding.Deficient:
				c.State = "over"
			case c.State == "" && it.Outcome == finding.Meets:
				c.State = "within"
			case c.State == "":
				c.State = string(it.Outcome)
			}
		}
	}
}

func (m *maker) facts(s *finding.Space) [][2]string {
	rows := [][2]string{
		{"Level", words(s.Storey)},
		{"Dwelling units", words(strings.Join(m.unitNames(s.Units), ", "))},
		{"Framing", framingWord(s, m.sys)},
		{"Area in plan", words(measure.FormatArea(s.AreaM2, m.sys))},
		{"Volume", words(measure.FormatVolume(s.VolumeM3, m.sys))},
		{"Greatest height", measure.FormatLength(s.HeightMaxM, m.sys)},
		{"Services inside", m.servicesIn(s)},
	}
	if !s.Combustible {
		rows = append(rows, [2]string{"Combustible", "nothing combustible is shown in it"})
	}
	if s.CeilingAssumed {
		rows = append(rows, [2]string{"Ceiling", "none is modelled; the underside of the framing was taken for it"})
	}
	if s.Layered {
		rows = append(rows, [2]string{"Known from", "material layers, not from framing modelled one by one"})
	}
	return slices.DeleteFunc(rows, func(r [2]string) bool { return r[1] == "" })
}

// unitNames are names of units by id.
func (m *maker) unitNames(ids []string) []string {
	return unitNames(m.r, ids)
}

func unitNames(r *finding.Report, ids []string) []string {
	var out []string
	for _, id := range ids {
		name := id
		for _, u := range r.Building.Units {
			if u.ID == id && u.Name != "" && u.Name != id {
				name = u.Name
			}
		}
		out = append(out, name)
	}
	return out
}

// servicesIn names the services of a void, the first few of many.
func (m *maker) servicesIn(s *finding.Space) string {
	if len(s.Services) == 0 {
		return "none modelled"
	}
	name := map[string]string{}
	for i := range m.d.Services {
		name[m.d.Services[i].ID] = m.d.Services[i].Name
	}
	var names []string
	for _, id := range s.Services {
		if n := words(name[id]); n != "" && len(names) < 6 {
			names = append(names, n)
		}
	}
	text := fmt.Sprint(len(s.Services))
	if len(names) > 0 {
		text += ": " + strings.Join(names, ", ")
		if len(names) < len(s.Services) {
			text += ", …"
		}
	}
	return text
}

// spaceGroup is one table of the list of concealed spaces.
type spaceGroup struct {
	Title string
	Note  string
	Rows  []spaceRow
}

type spaceRow struct {
	ID, Storey, Units, UnitIDs, Framing, Area, Height, Volume, Parts, Services string
}

// spaceGroups lists the voids by kind; cavities of ordinary walls come last, they are many.
func spaceGroups(r *finding.Report, sys measure.System) []spaceGroup {
	groups := []spaceGroup{
		{Title: "Floor voids"}, {Title: "Attics"}, {Title: "Cavities of unit separations"},
		{Title: "Soffits, chases, crawl spaces and spaces under stairs"},
		{Title: "Cavities of other walls", Note: "Ordinary stud walls, each bay closed by its studs and plates unless an opening says otherwise."},
	}
	for i := range r.Spaces {
		s := &r.Spaces[i]
		g := 3
		switch {
		case s.Kind == "floor":
			g = 0
		case s.Kind == "attic":
			g = 1
		case s.Kind == "wall" && len(s.Units) > 1:
			g = 2
		case s.Kind == "wall":
			g = 4
		}
		row := spaceRow{ID: s.ID, Storey: s.Storey, Units: strings.Join(unitNames(r, s.Units), ", "), UnitIDs: strings.Join(s.Units, " "), Framing: framingWord(s, sys),
			Area: measure.FormatArea(s.AreaM2, sys), Volume: measure.FormatVolume(s.VolumeM3, sys), Height: measure.FormatLength(s.HeightMaxM, sys),
			Services: fmt.Sprint(len(s.Services)), Parts: fmt.Sprint(max(1, len(s.Compartments)))}
		if g == 3 {
			row.Framing = kindWord(s.Kind) + ", " + row.Framing
		}
		groups[g].Rows = append(groups[g].Rows, row)
	}
	return slices.DeleteFunc(groups, func(g spaceGroup) bool { return len(g.Rows) == 0 })
}
