// Package propose says where stops would go: for a concealed space that is too large the
// fewest draftstops at real framing that leave parts within the limit and as equal as the
// framing allows; for an open unit line the bays to block; for the cavity of a double wall
// the places of its blocks; for a service the ring to seal. It judges nothing: it answers
// the items that checks reported.
//
// A draftstop stands on the face of a truss, in the plane of the members, from side to side of
// the space:
//
//	    s (along the members)
//	  +----------------+
//	  |================|  truss        candidate lines: both faces of every truss
//	  |----------------|  <- stop      parts: what hangs together between the lines
//	  |================|  truss
//	t +----------------+
//
// Only where no choice of such lines will do, lines across the members are proposed: those
// have to be cut round every chord and web, and codes leave them to the building official.
package propose

import (
	"cmp"
	"slices"

	"voidcheck/checks"
	"voidcheck/checks/crossing"
	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/checks/place"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// sheetM is the thickness of a draftstop: 1/2 in gypsum board (24 CFR 3280.216).
const sheetM = 0.0127

// Input is what proposals are made from.
type Input struct {
	Building *recognise.Building
	Voids    *void.Result
	Items    []finding.Item
	Reports  map[string]*checks.Report // what the items were made from, by key
	Units    measure.System
}

// maker makes the proposals of one review.
type maker struct {
	Input
	w        *place.Words
	framing  *void.PartIndex // trusses, joists and rafters
	uprights *void.PartIndex // studs
	services *void.PartIndex
	barriers []*crossing.Crossing
	walls    []*crossing.WallCrossing
	looked   bool // services were looked at
}

// Make returns the proposals for items that are deficient or not shown, in the order of the
// items. Items that follow from others get none: the others' remedies are theirs.
func Make(in Input) []finding.Proposal {
	sys := in.Units
	if sys == "" {
		sys = measure.US
	}
	parts := &in.Building.Input
	m := &maker{
		Input: in, w: place.New(in.Building, in.Voids, sys), uprights: parts.PartsOf(void.RoleStud), services: parts.PartsOf(void.RoleService),
		framing: parts.PartsOf(void.RoleChord, void.RoleWeb, void.RoleJoist, void.RoleRafter),
	}
	var out []finding.Proposal
	for i := range in.Items {
		it := &in.Items[i]
		r := in.Reports[it.Key]
		if r == nil || r.Consequence || it.Outcome != finding.Deficient && it.Outcome != finding.NotShown {
			continue
		}
		var p *finding.Proposal
		switch it.Check {
		case "floor-draftstop-area", "attic-draftstop-area":
			p = m.area(it, r)
		case "floor-draftstop-line", "attic-draftstop-line":
			p = m.line(r)
		case "wall-fireblock-run":
			p = m.run(it, r)
		case "service-opening", "separation-service":
			p = m.seal(r)
		}
		if p == nil || len(p.Stops) == 0 {
			continue
		}
		p.For = it.Key
		p.Text = p.Words(sys)
		out = append(out, *p)
	}
	return out
}

// plan is a point in plan as findings carry it.
func (m *maker) plan(p geom.Vec2) [2]float64 {
	if b := m.Building.Model; b != nil {
		p = p.Add(b.Origin.Plan())
	}
	return [2]float64{checks.Round(p.X, 1e-4), checks.Round(p.Y, 1e-4)}
}

// heights are two heights as findings carry them.
func (m *maker) heights(lo, hi float64) *[2]float64 {
	o := 0.0
	if b := m.Building.Model; b != nil {
		o = b.Origin.Z
	}
	return &[2]float64{checks.Round(lo+o, 1e-4), checks.Round(hi+o, 1e-4)}
}

// id is the GlobalId of an element, "" for none.
func (m *maker) id(element int) string {
	if e := m.w.ModelElement(element); e != nil {
		return e.GlobalID
	}
	return ""
}

// ids are the GlobalIds of elements, each once, sorted.
func (m *maker) ids(elements []int) []string {
	var out []string
	for _, e := range elements {
		if id := m.id(e); id != "" {
			out = append(out, id)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// sheet is a draftstop in findings: from a to b, between the heights of its void.
func (m *maker) sheet(a, b geom.Vec2, z void.Span, element int) finding.ProposedStop {
	s := finding.ProposedStop{
		Kind: "draftstop", Line: [2][2]float64{m.plan(a), m.plan(b)}, LengthM: checks.Round(b.Sub(a).Len(), 1e-4),
		Z: m.heights(z.Lo, z.Hi), Attach: m.id(element), AttachName: finding.Clean(m.w.Member(element)),
		Services: m.ids(m.through(a, b, z)),
	}
	if s.Attach == "" {
		s.AttachName = ""
	}
	return s
}

// inLine says that a stop stands over the walls of a unit separation.
func (m *maker) inLine(s *finding.ProposedStop, separation int) {
	if separation >= 0 && separation < len(m.Building.Separations) {
		s.Separation, s.AttachName = m.Building.Separations[separation].ID, m.w.UnitLine(separation)
	}
}

// through lists the services whose bodies pass the upright rectangle over a-b.
func (m *maker) through(a, b geom.Vec2, z void.Span) []int {
	dir := b.Sub(a).Unit()
	length := b.Sub(a).Len()
	in := &m.Building.Input
	var out []int
	for _, i := range m.services.In(upright(z, a, b)) {
		p := &in.Parts[i]
		if p.Element < 0 || slices.Contains(out, p.Element) {
			continue
		}
		if passes(p.Mesh, a, dir, length, z) {
			out = append(out, p.Element)
		}
	}
	slices.Sort(out)
	return out
}

// passes reports whether a triangle of a mesh goes through the rectangle.
func passes(mesh *geom.Mesh, a, dir geom.Vec2, length float64, z void.Span) bool {
	type point struct{ s, t, z float64 }
	for _, tri := range mesh.Tris {
		var p [3]point
		for k, i := range tri {
			v := mesh.Verts[i]
			d := v.Plan().Sub(a)
			p[k] = point{d.Dot(dir), dir.Cross(d), v.Z}
		}
		slices.SortFunc(p[:], func(x, y point) int { return cmp.Compare(x.t, y.t) })
		if p[0].t > 0 || p[2].t < 0 || p[2].t-p[0].t < 1e-9 {
			continue
		}
		f := -p[0].t / (p[2].t - p[0].t)
		s, h := p[0].s+(p[2].s-p[0].s)*f, p[0].z+(p[2].z-p[0].z)*f
		if s > 0 && s < length && h > z.Lo && h < z.Hi {
			return true
		}
	}
	return false
}
