// Package critical tells what fire in a concealed space can reach, by which ways it gets from
// one dwelling unit into another, and which stops matter most: those that alone, or with one
// other, keep two units apart. It judges nothing.
//
// Stops are ranked for the framing inspector: first those whose loss alone joins units in the
// building as modelled, then those that will be the only ones once the open places are closed,
// then those of which two have to be missing. A sound double wall has none of the first kinds:
// its two rows of blocks stand in for each other.
package critical

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/checks/place"
	"voidcheck/checks/recognise"
	"voidcheck/checks/spread"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Input is what the spread section of findings is made from.
type Input struct {
	Building *recognise.Building
	Voids    *void.Result
	Items    []finding.Item
	Reports  map[string]*checks.Report // what the items were made from, by key
	Units    measure.System
}

// maker makes the section for one review.
type maker struct {
	Input
	w     *place.Words
	graph *spread.Graph
}

// Make works out groups, routes and critical stops.
func Make(in Input) *finding.Spread {
	m := &maker{Input: in, w: place.New(in.Building, in.Voids, in.Units), graph: spread.New(in.Voids, 0)}
	return &finding.Spread{Groups: m.groups(), Routes: m.routes(), Bridges: m.bridges(), Stops: m.stops()}
}

func (m *maker) unitIDs(us []int) []string {
	var out []string
	for _, u := range us {
		if u >= 0 && u < len(m.Building.Units) {
			out = append(out, m.Building.Units[u].ID)
		}
	}
	return out
}

// areas sums compartments: floor voids, attics and the like; wall cavities only where there is
// nothing else.
func areas(cs []*void.Compartment) float64 {
	flat, walls := 0.0, 0.0
	for _, c := range cs {
		if c.Void != nil && (c.Void.Kind == void.KindWall || c.Void.Kind == void.KindChase) {
			walls += c.AreaM2
		} else {
			flat += c.AreaM2
		}
	}
	if flat == 0 {
		flat = walls
	}
	return checks.Round(flat, 1e-4)
}

// groups are the compartments that openings join, two or more together.
func (m *maker) groups() []finding.Reach {
	members := map[int][]*void.Compartment{}
	var order []int
	for i, k := range m.graph.Groups() {
		if members[k] == nil {
			order = append(order, k)
		}
		members[k] = append(members[k], m.graph.Compartments[i])
	}
	var out []finding.Reach
	for _, k := range order {
		cs := members[k]
		if len(cs) < 2 {
			continue
		}
		g := finding.Reach{ID: fmt.Sprintf("G%d", len(out)+1), AreaM2: areas(cs)}
		var us []int
		for _, c := range cs {
			g.Spaces = append(g.Spaces, place.CompartmentID(c))
			us = append(us, spread.Units(c)...)
		}
		slices.Sort(us)
		g.Units = m.unitIDs(slices.Compact(us))
		out = append(out, g)
	}
	return out
}

// routes are the ways that items report.
func (m *maker) routes() []finding.Route {
	var out []finding.Route
	for i := range m.Items {
		it := &m.Items[i]
		r := m.Reports[it.Key]
		if it.Check != "separation-spread" || r == nil || it.Outcome == finding.Meets || len(r.Spaces) == 0 {
			continue
		}
		way := finding.Route{Item: it.Key, Units: it.Units, Storey: it.Storey}
		for _, c := range r.Spaces {
			way.Spaces = append(way.Spaces, place.CompartmentID(c))
		}
		clear := math.Inf(1)
		for _, o := range r.Openings {
			way.Openings = append(way.Openings, finding.OpeningID(o.Index))
			clear = math.Min(clear, math.Min(o.WidthM, o.HeightM))
		}
		if !math.IsInf(clear, 1) {
			way.ClearM = checks.Round(clear, 1e-4)
		}
		out = append(out, way)
	}
	return out
}

// bridges are the openings whose closing alone parts what is joined, in groups over several
// units.
func (m *maker) bridges() []string {
	units := map[int]map[int]bool{}
	for _, c := range m.Voids.Compartments {
		for _, u := range spread.Units(c) {
			if units[c.Joined] == nil {
				units[c.Joined] = map[int]bool{}
			}
			units[c.Joined][u] = true
		}
	}
	var out []string
	for _, o := range m.graph.Bridges() {
		if o.A.Joined == o.B.Joined && len(units[o.A.Joined]) > 1 {
			out = append(out, finding.OpeningID(o.Index))
		}
	}
	return out
}

// line is stops of one place together: the blocks of one side of a unit line, one draftstop.
type line struct {
	finding.CriticalStop
	role   void.Role
	cut    spread.Cut // the gravest
	stops  []*stop    // those as grave
	joined []*void.Compartment
}

// stops ranks the stops.
func (m *maker) stops() []finding.CriticalStop {
	found := stops(&m.Building.Input, m.Voids)
	var barriers []spread.Barrier
	var of []*stop // of each barrier
	for i := range found {
		for _, b := range found[i].pairs {
			barriers, of = append(barriers, b), append(of, &found[i])
		}
	}
	now, repaired := m.graph.Cuts(barriers), m.graph.CutsRepaired(barriers)
	n := newNamer(m)
	at := map[string]*line{}
	var order []*line
	lines := make([]*line, len(barriers))
	for k := range barriers {
		if now[k].Size == 0 && repaired[k].Size == 0 {
			continue
		}
		name, storey := n.name(of[k])
		key := fmt.Sprint(of[k].role, storey, "\x00", name)
		l := at[key]
		if l == nil {
			l = &line{role: of[k].role}
			l.Place, l.Storey, l.Kind = name, storey, kindOf[of[k].role]
			at[key] = l
			order = append(order, l)
		}
		lines[k] = l
		l.Alone, l.Repaired = fewer(l.Alone, now[k].Size), fewer(l.Repaired, repaired[k].Size)
	}
	for k, l := range lines {
		if l != nil {
			l.add(of[k], now[k], repaired[k], lines)
		}
	}
	for _, l := range order {
		m.finish(l)
	}
	slices.SortStableFunc(order, compare)
	out := make([]finding.CriticalStop, len(order))
	for i, l := range order {
		l.ID = fmt.Sprintf("C%d", i+1)
		out[i] = l.CriticalStop
	}
	return out
}

// fewer is the smaller of two sizes, 0 being none.
func fewer(a, b int) int {
	if a == 0 || b != 0 && b < a {
		return b
	}
	return a
}

// mostWith is how many partners of a stop are named.
const mostWith = 4

var kindOf = map[void.Role]string{void.RoleBlock: "block", void.RoleDraftstop: "draftstop", void.RolePlate: "plate"}

// add puts a stop into its line if none of the line is graver.
func (l *line) add(s *stop, now, repaired spread.Cut, lines []*line) {
	cut := now
	if l.Alone == 0 || l.Repaired == 1 && l.Alone > 1 {
		cut = repaired
		if cut.Size != l.Repaired {
			return
		}
	} else if cut.Size != l.Alone {
		return
	}
	if !slices.Contains(l.stops, s) {
		l.stops = append(l.stops, s)
	}
	if l.joined == nil {
		l.cut, l.joined = cut, cut.Joined
	}
	for _, j := range cut.With {
		if j < len(lines) && lines[j] != nil && lines[j] != l && !slices.Contains(l.With, lines[j].Place) && len(l.With) < mostWith {
			l.With = append(l.With, lines[j].Place)
		}
	}
}

// finish writes what a line's stops come to.
func (m *maker) finish(l *line) {
	var sum geom.Vec3
	for _, s := range l.stops {
		sum = sum.Add(s.box.Center())
		if e := m.w.ModelElement(s.element); e != nil && e.GlobalID != "" && !slices.Contains(l.Elements, e.GlobalID) {
			l.Elements = append(l.Elements, e.GlobalID)
		}
	}
	p := sum.Mul(1 / float64(max(len(l.stops), 1)))
	if b := m.Building.Model; b != nil {
		p = p.Add(b.Origin)
	}
	l.Point = [3]float64{checks.Round(p.X, 1e-4), checks.Round(p.Y, 1e-4), checks.Round(p.Z, 1e-4)}
	l.Units = m.unitIDs(l.cut.Units)
	l.Joins = &finding.Joins{Units: len(l.Units), AreaM2: areas(l.joined)}
}

// compare ranks lines: as modelled, once repaired, what is joined, stops before plates.
func compare(a, b *line) int {
	size := func(n int) int {
		if n == 0 {
			return 3
		}
		return n
	}
	grave := func(l *line) int {
		switch {
		case l.Alone == 1:
			return 0
		case l.Repaired == 1:
			return 1
		}
		return 2
	}
	return cmp.Or(
		cmp.Compare(grave(a), grave(b)),
		cmp.Compare(size(a.Alone), size(b.Alone)),
		cmp.Compare(b.Joins.Units, a.Joins.Units),
		cmp.Compare(plate(a.role), plate(b.role)),
		compareArea(b.Joins.AreaM2, a.Joins.AreaM2),
		cmp.Compare(a.Storey, b.Storey),
		finding.Natural(a.Place, b.Place),
	)
}

func plate(r void.Role) int {
	if r == void.RolePlate {
		return 1
	}
	return 0
}

func compareArea(a, b float64) int {
	if math.Abs(a-b) < 1e-2 {
		return 0
	}
	return cmp.Compare(a, b)
}
