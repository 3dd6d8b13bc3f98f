package recognise

import (
	"math"
	"sort"

	"voidcheck/checks/lexicon"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// room is one space people use, in the turned frame.
type room struct {
	space   *model.Space // nil when inferred
	meshes  []*geom.Mesh // building frame
	box     geom.Box     // turned frame
	tris    [][3]geom.Vec2
	area    float64 // plan
	unit    int
	storey  int
	outside bool
	common  bool
	// corridor is set for common space between the doors of two units and more.
	corridor bool
	why      Reason
}

// holds reports whether a point of the turned frame lies in the room.
func (m *room) holds(p geom.Vec3) bool {
	if p.Z < m.box.Min.Z || p.Z > m.box.Max.Z || p.X < m.box.Min.X || p.X > m.box.Max.X || p.Y < m.box.Min.Y || p.Y > m.box.Max.Y {
		return false
	}
	return m.covers(p.Plan())
}

// covers reports whether the plan of the room contains a point.
func (m *room) covers(p geom.Vec2) bool {
	for _, t := range m.tris {
		if inTriangle(p, t) {
			return true
		}
	}
	return false
}

func inTriangle(p geom.Vec2, t [3]geom.Vec2) bool {
	a := t[1].Sub(t[0]).Cross(p.Sub(t[0]))
	b := t[2].Sub(t[1]).Cross(p.Sub(t[1]))
	c := t[0].Sub(t[2]).Cross(p.Sub(t[2]))
	const e = -1e-9
	return a >= e && b >= e && c >= e || a <= -e && b <= -e && c <= -e
}

// planTriangles returns the upward faces of a mesh in plan, turned, and their area.
func planTriangles(m *geom.Mesh, t turn) (tris [][3]geom.Vec2, area float64) {
	for _, x := range m.Tris {
		a, b, c := t.in(m.Verts[x[0]]).Plan(), t.in(m.Verts[x[1]]).Plan(), t.in(m.Verts[x[2]]).Plan()
		if s := b.Sub(a).Cross(c.Sub(a)) / 2; s > 1e-9 {
			tris = append(tris, [3]geom.Vec2{a, b, c})
			area += s
		}
	}
	return tris, area
}

func spaceSubject(s *model.Space) lexicon.Subject {
	return lexicon.Subject{Entity: s.Entity, Parents: s.Parents, Predefined: s.Predefined, Names: []string{s.LongName, s.Name, s.ObjectType, s.Description, s.TypeName}}
}

// spaceOutside reports whether a space is open to the weather.
func (r *reader) spaceOutside(s *model.Space) (lexicon.Evidence, bool) {
	return r.lex.Space("outside", spaceSubject(s))
}

// readRooms measures the spaces that people use.
func (r *reader) readRooms() {
	for _, s := range r.m.Spaces {
		if _, yes := r.lex.Space("shaft", spaceSubject(s)); yes && r.readShaft(s) {
			continue
		}
		if _, no := r.lex.Space("not-room", spaceSubject(s)); no {
			continue
		}
		m := &room{space: s, unit: -1, storey: -1, box: geom.EmptyBox()}
		if b := s.Body(); b != nil {
			for _, sol := range b.Solids {
				if sol.Mesh == nil || len(sol.Mesh.Tris) == 0 {
					continue
				}
				m.meshes = append(m.meshes, sol.Mesh)
				tris, area := planTriangles(sol.Mesh, r.turn)
				m.tris = append(m.tris, tris...)
				m.area += area
				for _, v := range sol.Mesh.Verts {
					m.box = m.box.Extend(r.turn.in(v))
				}
			}
		}
		if len(m.meshes) > 1 { // prisms above each other count once
			var rings []geom.Ring
			for _, t := range m.tris {
				rings = append(rings, geom.Ring(t[:]))
			}
			m.area = geom.UnionOf(rings...).Area()
		}
		if len(m.meshes) > 0 {
			m.storey = r.storeyFrom(m.box.Min.Z, m.box.Size().Z)
		} else if s.Storey != nil {
			m.storey = s.Storey.Index
		}
		if _, out := r.spaceOutside(s); out {
			m.outside = true
		}
		_, m.common = r.lex.Space("common", spaceSubject(s))
		r.rooms = append(r.rooms, m)
	}
	sort.SliceStable(r.rooms, func(i, j int) bool { return roomBefore(r.rooms[i], r.rooms[j]) })
}

func roomBefore(a, b *room) bool {
	if a.box.IsEmpty() != b.box.IsEmpty() {
		return b.box.IsEmpty()
	}
	q := func(v float64) float64 { return math.Floor(v*1000 + 0.37) }
	for _, d := range [...][2]float64{{q(a.box.Min.Z), q(b.box.Min.Z)}, {q(a.box.Min.Y), q(b.box.Min.Y)}, {q(a.box.Min.X), q(b.box.Min.X)}, {q(a.area), q(b.area)}} {
		if d[0] != d[1] && !math.IsInf(d[0], 0) {
			return d[0] < d[1]
		}
	}
	if a.space != nil && b.space != nil {
		return a.space.Name < b.space.Name
	}
	return false
}

// roomGrid finds the enclosed rooms by place, as they are now.
func (r *reader) roomGrid() *geom.BoxIndex {
	boxes := make([]geom.Box, len(r.rooms))
	for i, m := range r.rooms {
		boxes[i] = m.box
		if m.outside {
			boxes[i] = geom.EmptyBox()
		}
	}
	return geom.NewBoxIndex(boxes)
}

// unitAt returns the unit of the first of some rooms that holds a point, and whether one does.
func (r *reader) unitAt(p geom.Vec3, rooms []int) (unit int, found bool) {
	for _, i := range rooms {
		if m := r.rooms[i]; m.holds(p) {
			return m.unit, true
		}
	}
	return -1, false
}
