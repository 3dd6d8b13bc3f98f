package ifctest

import (
	"voidcheck/ifcx/geom"
)

// CoarseTrusses makes one solid of every truss of a built model, without openings between
// chords and webs, as models of little detail show them: bars for floor trusses, plates with
// the outline of the roof for roof trusses. The truth stays.
func (m *Model) CoarseTrusses() {
	hull := map[*Part]geom.Box{}
	for _, p := range m.Parts {
		if p.Parent != nil && (p.Parent.Role == FloorTruss || p.Parent.Role == RoofTruss) {
			b, ok := hull[p.Parent]
			if !ok {
				b = geom.EmptyBox()
			}
			hull[p.Parent] = b.Join(p.Bounds())
		}
	}
	at := m.House.Layout()
	for t, b := range hull {
		x, y, z := Span{b.Min.X, b.Max.X}, Span{b.Min.Y, b.Max.Y}, Span{b.Min.Z, b.Max.Z}
		if t.Role == FloorTruss {
			along := X
			if y.Len() > x.Len() {
				along = Y
			}
			t.Solids = []Prism{Box(x, y, z, along)}
			continue
		}
		mid := m.House.Depth / 2
		t.Solids = []Prism{SheetX(x, []geom.Vec2{{X: y.Lo, Y: z.Lo}, {X: y.Hi, Y: z.Lo}, {X: y.Hi, Y: at.Roof(y.Hi)}, {X: mid, Y: at.Roof(mid)}, {X: y.Lo, Y: at.Roof(y.Lo)}})}
	}
	m.Remove(func(p *Part) bool { _, ok := hull[p.Parent]; return p.Parent != nil && ok })
}
