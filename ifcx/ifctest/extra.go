package ifctest

import "fmt"

// Add puts one more part into a model that is built: what the house description does not
// know, an outlet box or a stair for example. It tells the truth nothing.
func (m *Model) Add(role Role, storey int, mat Material, solids ...Prism) *Part {
	n := 1
	for _, p := range m.Parts {
		if p.Role == role {
			n = max(n, p.N+1)
		}
	}
	p := &Part{Role: role, N: n, Storey: storey, Material: mat, Solids: solids, key: fmt.Sprintf("%s/%s/%d/added/%d", m.Name, role, storey, n)}
	m.Parts = append(m.Parts, p)
	return p
}

// Remove takes parts out of a model that is built.
func (m *Model) Remove(out func(*Part) bool) {
	kept := m.Parts[:0]
	for _, p := range m.Parts {
		if !out(p) {
			kept = append(kept, p)
		}
	}
	m.Parts = kept
}

// Door is what fills an opening.
type Door struct {
	Name  string
	Leaf  Prism
	Props []Prop
}

// door writes the door of an opening.
func (w *modelWriter) door(p *Part, o Opening, opening Ref, key string) {
	in := w.stPlace[p.Storey]
	leaf := w.toModel(o.Door.Leaf)
	at := w.s.Placement(in.ref, inverse(in.mat).Then(leaf.Frame))
	rep := w.s.Add("IfcProductDefinitionShape", nil, nil, []Ref{w.representation([]Prism{relative(leaf, leaf.Frame)})})
	size := o.Door.Leaf.Bounds().Size()
	args := []any{nil, at, rep, nil, w.s.Len(size.Z), w.s.Len(max(size.X, size.Y))}
	if w.s.Schema != "IFC2X3" {
		args = append(args, Enum("DOOR"), nil, nil)
	}
	var name any
	if w.d.Naming != NamesNone {
		name = o.Door.Name
	}
	ref := w.root("IfcDoor", key, name, args...)
	w.root("IfcRelFillsElement", key+"/fills", nil, opening, ref)
	w.inStorey[p.Storey] = append(w.inStorey[p.Storey], ref)
	w.properties(&Part{Props: o.Door.Props}, key, ref)
}

// Flag is a yes or no property, for doors and the like.
func Flag(set, name string, value bool) Prop { return Prop{set, name, value, "IfcBoolean"} }

// Hole cuts a rectangular access opening through a sheet that is upright along an axis of
// the house, with a door in it when one is given: the leaf fills the opening.
func (p *Part) Hole(x, y, z Span, name string, door *Door) {
	b := p.Bounds()
	through := func(s Span, lo, hi float64) Span {
		if s.Len() > 0 {
			return s
		}
		return Span{lo - 0.02, hi + 0.02}
	}
	o := Opening{Solid: Box(through(x, b.Min.X, b.Max.X), through(y, b.Min.Y, b.Max.Y), z, Z), Name: name}
	if door != nil {
		fill := func(s Span, lo, hi float64) Span {
			if s.Len() > 0 {
				return s.grow(-0.002) // play of the leaf
			}
			mid := (lo + hi) / 2
			return Span{mid - 0.02, mid + 0.02}
		}
		d := *door
		d.Leaf = Box(fill(x, b.Min.X, b.Max.X), fill(y, b.Min.Y, b.Max.Y), z.grow(-0.002), Z)
		o.Door = &d
	}
	p.Openings = append(p.Openings, o)
}

// Layout returns the places of a house that added parts refer to.
func (h House) Layout() *Places { return &Places{newLayout(&h)} }

// Places tells where things of a house stand, in metres in its frame.
type Places struct{ l *layout }

// Floor returns the height of the top of the floor of a storey.
func (p *Places) Floor(k int) float64 { return p.l.floorZ(k) }

// Plate returns the height of the top of the walls of a storey.
func (p *Places) Plate(k int) float64 { return p.l.plateZ(k) }

// Void returns the extent of a unit's floor voids.
func (p *Places) Void(u int) (x, y Span) { return p.l.voids[u], p.l.depthY() }

// Depth returns the height of the floor void of level k, from ceiling to deck.
func (p *Places) Depth(k int) Span { return p.l.depthSpan(k) }

// Separation returns the strip of a unit separation between the outer faces of its boards.
func (p *Places) Separation(i int) Span {
	g := p.l.h.Separation.Gypsum
	s := p.l.seps[i]
	return Span{s.rows[0].Lo - g, s.rows[len(s.rows)-1].Hi + g}
}

// Roof returns the height of the underside of the roof sheathing over a place.
func (p *Places) Roof(y float64) float64 { return p.l.roofZ(y) }

// Outer returns the depth of the house over the outer faces of its studs.
func (p *Places) Outer() Span { return p.l.outerY() }
