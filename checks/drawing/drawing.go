// Package drawing takes from the building and its voids what plans, sections and views are
// drawn from: finding.Drawing. It judges nothing and draws nothing.
package drawing

import (
	"math"
	"slices"

	"voidcheck/checks/finding"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// Make returns the drawing of a building. Items say where sections across the unit lines
// cut best; there may be none.
func Make(b *recognise.Building, r *void.Result, items []finding.Item) *finding.Drawing {
	m := newMaker(b, r, items)
	d := &finding.Drawing{Axis: direction(m.dir), North: m.north()}
	d.Grid = m.grid()
	d.Rooms, d.Walls, d.Doors = m.rooms(), m.walls(), m.doors()
	d.Framing = m.framing()
	d.Stops, d.Services = m.stops(), m.services()
	d.Voids = m.voids()
	d.Openings, d.Lines = m.openings(), m.lines()
	d.Sections = m.sections()
	d.Elements = m.named()
	return d
}

// maker has the building frame's origin at hand: findings are in the first model's coordinates.
type maker struct {
	b     *recognise.Building
	r     *void.Result
	items []finding.Item
	o     geom.Vec3
	dir   geom.Vec2
	boxes []geom.Box     // of the parts
	index *geom.BoxIndex // of the parts
	roofs *geom.BoxIndex // of the roofs among the parts

	ribsOf  map[*void.Compartment][][][3]float64 // made on first use
	roomsOf map[int][]geom.Box                   // by unit
	bySep   map[int][]int                        // openings in the lines of a separation
	byWall  map[int][]int                        // openings of the cavity of a wall
}

func newMaker(b *recognise.Building, r *void.Result, items []finding.Item) *maker {
	m := &maker{b: b, r: r, items: items, o: b.Model.Origin, dir: b.Turn}
	if m.dir.Len() < 0.5 {
		m.dir = geom.Vec2{X: 1}
	}
	m.boxes = make([]geom.Box, len(b.Input.Parts))
	roofs := make([]geom.Box, len(b.Input.Parts))
	for i := range b.Input.Parts {
		p := &b.Input.Parts[i]
		m.boxes[i], roofs[i] = geom.EmptyBox(), geom.EmptyBox()
		if p.Mesh != nil {
			m.boxes[i] = p.Mesh.Box()
		}
		if p.Role == void.RoleRoof {
			roofs[i] = m.boxes[i]
		}
	}
	m.index, m.roofs = geom.NewBoxIndex(m.boxes), geom.NewBoxIndex(roofs)
	m.ribsOf = map[*void.Compartment][][][3]float64{}
	m.roomsOf = map[int][]geom.Box{}
	for i := range b.Input.Rooms {
		if room := &b.Input.Rooms[i]; room.Mesh != nil && room.Unit >= 0 {
			m.roomsOf[room.Unit] = append(m.roomsOf[room.Unit], room.Mesh.Box())
		}
	}
	m.bySep, m.byWall = map[int][]int{}, map[int][]int{}
	for i, o := range r.Openings {
		if o.Line != nil && o.Line.Separation >= 0 {
			m.bySep[o.Line.Separation] = append(m.bySep[o.Line.Separation], i)
		}
		for _, c := range []*void.Compartment{o.A, o.B} {
			if c != nil && c.Void != nil && c.Void.Kind == void.KindWall {
				m.byWall[c.Void.Wall] = append(m.byWall[c.Void.Wall], i)
			}
		}
	}
	return m
}

// round rounds to millimetres, without a negative zero.
func round(v float64) float64 {
	r := math.Round(v*1000) / 1000
	if r == 0 || math.IsNaN(r) || math.IsInf(r, 0) {
		return 0
	}
	return r
}

// direction keeps six places of a unit vector: a millimetre over a kilometre.
func direction(d geom.Vec2) [2]float64 {
	return [2]float64{math.Round(d.X*1e6)/1e6 + 0, math.Round(d.Y*1e6)/1e6 + 0}
}

func (m *maker) plan(p geom.Vec2) [2]float64 {
	return [2]float64{round(p.X + m.o.X), round(p.Y + m.o.Y)}
}

func (m *maker) point(p geom.Vec3) [3]float64 {
	return [3]float64{round(p.X + m.o.X), round(p.Y + m.o.Y), round(p.Z + m.o.Z)}
}

func (m *maker) z(lo, hi float64) [2]float64 { return [2]float64{round(lo + m.o.Z), round(hi + m.o.Z)} }

func (m *maker) ring(r []geom.Vec2) [][2]float64 {
	out := make([][2]float64, len(r))
	for i, p := range r {
		out[i] = m.plan(p)
	}
	return out
}

func (m *maker) storey(i int) string {
	return m.b.Model.StoreyName(i)
}

func (m *maker) unit(i int) string {
	if i < 0 || i >= len(m.b.Units) {
		return ""
	}
	return m.b.Units[i].ID
}

func (m *maker) separation(i int) string {
	if i < 0 || i >= len(m.b.Separations) {
		return ""
	}
	return m.b.Separations[i].ID
}

func (m *maker) element(i int) *model.Element {
	if i < 0 || i >= len(m.b.Model.Elements) {
		return nil
	}
	return m.b.Model.Elements[i]
}

func (m *maker) grid() []finding.GridLine {
	var out []finding.GridLine
	for _, g := range m.b.Model.Grids {
		for _, a := range g.Axes {
			out = append(out, finding.GridLine{Name: finding.Clean(a.Tag), Line: [2][2]float64{m.plan(a.A), m.plan(a.B)}})
		}
	}
	return out
}

// north is true north where a file gives it.
func (m *maker) north() *[2]float64 {
	d, ok := m.b.Model.TrueNorth()
	if !ok {
		return nil
	}
	n := direction(d)
	return &n
}

func (m *maker) rooms() []finding.DrawnRoom {
	var out []finding.DrawnRoom
	for i := range m.b.Input.Rooms {
		r := &m.b.Input.Rooms[i]
		if r.Mesh == nil || len(r.Mesh.Tris) == 0 {
			continue
		}
		box := r.Mesh.Box()
		// Just off the middle: the middle may be where two bodies meet.
		rings := flat(r.Mesh, (box.Min.Z+box.Max.Z)/2+0.0037)
		d := finding.DrawnRoom{Unit: m.unit(r.Unit), Z: m.z(box.Min.Z, box.Max.Z)}
		for _, ring := range rings {
			d.Outline = append(d.Outline, m.ring(ring))
		}
		if r.Element >= 0 && r.Element < len(m.b.Model.Spaces) {
			e := m.b.Model.Spaces[r.Element]
			d.Name = finding.Clean(e.LongName)
			if d.Name == "" {
				d.Name = finding.Clean(e.Name)
			}
			if e.Storey != nil {
				d.Storey = e.Storey.Name
			}
		}
		if d.Storey == "" {
			d.Storey = m.storey(m.level(box.Min.Z))
		}
		if len(d.Outline) > 0 {
			out = append(out, d)
		}
	}
	return out
}

// level is the storey on which something stands whose underside is at z.
func (m *maker) level(z float64) int {
	at := 0
	for i, s := range m.b.Model.Storeys {
		if s.ElevationM <= z+0.3 {
			at = i
		}
	}
	return at
}

func (m *maker) walls() []finding.DrawnWall {
	var out []finding.DrawnWall
	for i := range m.b.Input.Walls {
		w := &m.b.Input.Walls[i]
		d := finding.DrawnWall{
			Storey: m.storey(w.Storey), Origin: m.plan(w.Origin), Dir: direction(w.Dir), LengthM: round(w.Length),
			Across: span(w.Across), Z: m.z(w.Z0, w.Z1), Kind: string(w.Kind), Separation: m.separation(w.Separation),
		}
		if d.Kind == "" {
			d.Kind = string(void.WallUnknown)
		}
		if d.Storey == "" { // in no storey: drawn where it stands
			d.Storey = m.storey(m.level(w.Z0))
		}
		if len(w.Rows) > 1 || w.Separation >= 0 {
			for _, s := range w.Rows {
				d.Rows = append(d.Rows, span(s))
			}
		}
		out = append(out, d)
	}
	return out
}

func span(s void.Span) [2]float64 { return [2]float64{round(s.Lo), round(s.Hi)} }

// doors are the openings of walls, so that plans show the way in.
func (m *maker) doors() []finding.DrawnPart {
	var out []finding.DrawnPart
	for _, o := range m.b.Model.Openings {
		if o.Host == nil || !o.Host.Is("IfcWall") || o.Body == nil {
			continue
		}
		body := o.Body()
		if body == nil {
			continue
		}
		kind := "hole"
		if f := o.Filling; f != nil {
			switch {
			case f.Is("IfcDoor"):
				kind = "door"
			case f.Is("IfcWindow"):
				kind = "window"
			}
		}
		for _, s := range body.Solids {
			if s.Mesh == nil || len(s.Mesh.Tris) == 0 {
				continue
			}
			if p, ok := m.part(s.Mesh); ok {
				p.Kind = kind
				out = append(out, p)
			}
		}
	}
	return out
}

// part outlines a mesh in plan by its oriented box.
func (m *maker) part(mesh *geom.Mesh) (finding.DrawnPart, bool) {
	ring := footprint(mesh)
	if len(ring) < 3 {
		return finding.DrawnPart{}, false
	}
	box := mesh.Box()
	return finding.DrawnPart{Outline: m.ring(ring), Z: m.z(box.Min.Z, box.Max.Z)}, true
}

// footprint is the convex outline of a mesh in plan.
func footprint(mesh *geom.Mesh) geom.Ring {
	pts := make([]geom.Vec2, len(mesh.Verts))
	for i, v := range mesh.Verts {
		pts[i] = v.Plan()
	}
	return geom.ConvexHull(pts).Cleaned(0.0005)
}

func (m *maker) framing() []finding.DrawnMember {
	var out []finding.DrawnMember
	for _, t := range m.b.Trusses {
		d := finding.DrawnMember{Kind: "floor-truss", Mark: finding.Clean(t.Mark), Line: [2][2]float64{m.plan(t.Line[0]), m.plan(t.Line[1])}}
		if t.Concept == recognise.RoofTruss {
			d.Kind = "roof-truss"
		}
		box := geom.EmptyBox()
		for _, i := range t.Members {
			if e := m.element(i); e != nil {
				if body := e.Body(); body != nil {
					box = box.Join(body.Box)
				}
			}
		}
		if box.IsEmpty() {
			continue
		}
		d.Z = m.z(box.Min.Z, box.Max.Z)
		out = append(out, d)
	}
	for i := range m.b.Input.Parts {
		p := &m.b.Input.Parts[i]
		if p.Role != void.RoleJoist && p.Role != void.RoleRafter || p.Mesh == nil || p.Layered || p.Assembly >= 0 {
			continue
		}
		box := p.Mesh.OBB()
		axis := box.Axes[0].Mul(box.Half[0])
		z := m.boxes[i]
		d := finding.DrawnMember{Kind: "joist", Line: [2][2]float64{m.plan(box.Center.Sub(axis).Plan()), m.plan(box.Center.Add(axis).Plan())}, Z: m.z(z.Min.Z, z.Max.Z)}
		if p.Role == void.RoleRafter {
			d.Kind = "rafter"
		}
		if e := m.element(p.Element); e != nil {
			d.Mark = finding.Clean(e.Tag)
		}
		out = append(out, d)
	}
	return out
}

func (m *maker) openings() []finding.DrawnOpen {
	var out []finding.DrawnOpen
	for _, o := range m.r.Openings {
		if o.A == nil || o.B == nil || o.A.Void == nil || o.B.Void == nil || o.Line == nil {
			continue
		}
		if d := o.Line.B.Sub(o.Line.A).Unit(); d.Len() > 0.5 {
			out = append(out, finding.DrawnOpen{ID: finding.OpeningID(o.Index), Along: direction(d)})
		}
	}
	return out
}

func (m *maker) lines() []finding.DrawnLine {
	var out []finding.DrawnLine
	for _, l := range m.r.Lines {
		d := finding.DrawnLine{Kind: string(l.Kind), Separation: m.separation(l.Separation),
			Line: [2][2]float64{m.plan(l.A), m.plan(l.B)}, Z: m.z(l.Z0, l.Z1), Bounds: l.Bounds}
		if l.Void != nil {
			d.Space = finding.VoidID(l.Void.Index)
		}
		for _, o := range l.Openings {
			if o.A != nil && o.B != nil && o.A.Void != nil && o.B.Void != nil {
				d.Openings = append(d.Openings, finding.OpeningID(o.Index))
			}
		}
		slices.SortFunc(d.Openings, finding.Natural)
		out = append(out, d)
	}
	return out
}
