package kept

import (
	"sync"

	"github.com/go-json-experiment/json"

	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/cmd/internal/review"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/shape"
	"voidcheck/ifcx/source"
)

func freezeBody(b *shape.Body) *body {
	if b == nil {
		return nil
	}
	x := &body{Box: b.Box}
	for _, s := range b.Solids {
		var bits byte
		if s.Boxed {
			bits |= 1
		}
		if s.Open {
			bits |= 2
		}
		x.Solid = append(x.Solid, bits)
	}
	return x
}

// thaw makes a body of what is kept of it: its box and how its solids came out; its meshes
// are those of the recognised parts.
func (x *body) thaw() *shape.Body {
	if x == nil {
		return nil
	}
	b := &shape.Body{Box: x.Box}
	for _, bits := range x.Solid {
		b.Solids = append(b.Solids, shape.Solid{Boxed: bits&1 != 0, Open: bits&2 != 0})
	}
	return b
}

// at returns the things of a list by their indices; those out of range are left out.
func at[T any](list []T, indices []int) []T {
	var out []T
	for _, i := range indices {
		if i >= 0 && i < len(list) {
			out = append(out, list[i])
		}
	}
	return out
}

func one[T any](list []*T, i int) *T {
	if i < 0 || i >= len(list) {
		return nil
	}
	return list[i]
}

// thaw puts a model together again.
func (f *building) thaw() (*review.Model, error) {
	log := &source.Log{}
	for _, p := range f.Problems {
		log.Add(p)
	}
	m := &model.Building{Origin: f.Origin, Project: f.Project, Log: log}
	for i, s := range f.Storeys {
		m.Storeys = append(m.Storeys, &model.Storey{Index: i, GlobalID: s.GlobalID, Name: s.Name, ElevationM: s.ElevationM})
	}
	f.elements(m)
	b := &recognise.Building{Model: m, Input: f.Input, Turn: f.Turn, Content: f.Content, Notes: f.Notes}
	if len(f.Concepts) != len(m.Elements) || len(f.Reasons) != len(m.Elements) {
		return nil, errShort
	}
	for i, e := range m.Elements {
		b.Things = append(b.Things, recognise.Thing{Element: e, Concept: f.Concepts[i], Reason: f.Reasons[i]})
	}
	for i, u := range f.Units {
		b.Units = append(b.Units, &recognise.DwellingUnit{Index: i, ID: u.ID, Name: u.Name, AreaM2: u.AreaM2, PlanM2: u.PlanM2, Reason: u.Reason, Assumed: u.Assumed, Spaces: at(m.Spaces, u.Spaces)})
	}
	for i := range f.Seps {
		b.Separations = append(b.Separations, &f.Seps[i])
	}
	for i, t := range f.Trusses {
		b.Trusses = append(b.Trusses, &recognise.Truss{
			Index: i, Concept: t.Concept, Mark: t.Mark, Element: one(m.Elements, t.Element), Members: t.Members, Line: t.Line, DepthM: t.DepthM, Reason: t.Reason,
		})
	}
	list, err := f.Meshes.all()
	if err != nil {
		return nil, err
	}
	if len(list) != len(b.Input.Parts) {
		return nil, errShort
	}
	for i := range list {
		b.Input.Parts[i].Mesh = list[i]
	}
	results := map[float64]*void.Result{}
	for i := range f.Solved {
		if results[f.Solved[i].Gap], err = f.Solved[i].thaw(); err != nil {
			return nil, err
		}
	}
	return review.Restore(b, f.Facts, log, results), nil
}

// elements makes elements, spaces and openings, and joins them.
func (f *building) elements(m *model.Building) {
	sets := make([]func() model.PropSets, len(f.Props))
	for i, text := range f.Props {
		sets[i] = sync.OnceValue(func() model.PropSets {
			var p model.PropSets
			if json.Unmarshal([]byte(text), &p) != nil {
				return nil // it was written from property sets
			}
			return p
		})
	}
	make1 := func(x *element, index int) *model.Element {
		e := &model.Element{
			Kind: &model.Kind{Entity: x.Entity, Predefined: x.Predefined, LongName: x.LongName, Description: x.Description, ObjectType: x.ObjectType,
				TypeEntity: x.TypeEntity, TypeName: x.TypeName, Parents: x.Parents, Materials: x.Materials, Groups: x.Groups, Classes: x.Classes},
			Index: index, GlobalID: x.GlobalID, Name: x.Name, Tag: x.Tag, Layers: x.Layers, HasShape: x.HasShape, Storey: one(m.Storeys, x.Storey),
		}
		e.SetPlacement(x.Placement)
		if x.Props >= 0 && x.Props < len(sets) {
			e.SetProps(sets[x.Props])
		}
		if b := x.Body.thaw(); b != nil {
			e.SetBody(func() *shape.Body { return b })
		}
		return e
	}
	for i := range f.Elements {
		m.Elements = append(m.Elements, make1(&f.Elements[i], i))
	}
	for i := range f.Spaces {
		m.Spaces = append(m.Spaces, &model.Space{Element: make1(&f.Spaces[i], i)})
	}
	for i := range f.Openings {
		x := &f.Openings[i]
		o := &model.Opening{GlobalID: x.GlobalID, Name: x.Name, Predefined: x.Predefined, Host: one(m.Elements, x.Host), Fillings: at(m.Elements, x.Fillings), Placement: x.Placement}
		if len(o.Fillings) > 0 {
			o.Filling = o.Fillings[0]
		}
		if b := x.Body.thaw(); b != nil {
			o.Body = func() *shape.Body { return b }
		}
		m.Openings = append(m.Openings, o)
	}
	join := func(e *model.Element, x *element) {
		e.Whole, e.Parts, e.Coverings, e.Openings = one(m.Elements, x.Whole), at(m.Elements, x.Parts), at(m.Elements, x.Coverings), at(m.Openings, x.Openings)
	}
	for i := range f.Elements {
		join(m.Elements[i], &f.Elements[i])
	}
	for i := range f.Spaces {
		join(m.Spaces[i].Element, &f.Spaces[i])
	}
}
