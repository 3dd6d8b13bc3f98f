package ifctest

import (
	"fmt"

	"voidcheck/ifcx/geom"
)

// Fragment is a small hand-made file: project, site, building and one storey at level 0 are
// there, products are added one by one. Its Step gives every other instance.
type Fragment struct {
	*Step
	Storey  Ref // the IfcBuildingStorey
	Context Ref // the Body context
	w       *modelWriter
	at      place
	inside  []Ref
	n       int
}

// NewFragment starts a fragment in the schema and unit of the disguise; it panics on a
// disguise that does not exist.
func NewFragment(d Disguise) *Fragment {
	w, err := newModelWriter(&Model{Name: "Fragment", Storeys: []Storey{{Name: "Level 1"}}}, d)
	if err != nil {
		panic(err)
	}
	w.project()
	return &Fragment{Step: w.s, Storey: w.storeys[0], Context: w.body, w: w, at: w.stPlace[0]}
}

// GUID returns the next GlobalId.
func (f *Fragment) GUID() string {
	f.n++
	return GUID(fmt.Sprint("fragment/", f.n))
}

// Product adds a product to the storey with its solids as extrusions; name is a string or nil,
// own are the attributes after Tag (for IfcSpace and others without one: after Representation).
func (f *Fragment) Product(entity string, name any, solids []Prism, own ...any) Ref {
	at := geom.Identity()
	var rep any
	if len(solids) > 0 {
		at = solids[0].Frame
		var items []Ref
		for _, s := range solids {
			items = append(items, f.Extrusion(relative(s, at)))
		}
		rep = f.Shape("SweptSolid", items...)
	}
	args := []any{nil, f.Placement(f.at.ref, at), rep}
	if entity != "IfcSpace" {
		args = append(args, nil)
	}
	r := f.Add(entity, append(append([]any{f.GUID(), f.w.owner, name, nil}, args...), own...)...)
	f.inside = append(f.inside, r)
	return r
}

// Shape wraps representation items into a product definition shape.
func (f *Fragment) Shape(kind string, items ...Ref) Ref {
	return f.Add("IfcProductDefinitionShape", nil, nil, []Ref{f.Add("IfcShapeRepresentation", f.Context, "Body", kind, items)})
}

// Relate adds a relationship: its attributes after Description.
func (f *Fragment) Relate(entity string, args ...any) Ref {
	return f.Add(entity, append([]any{f.GUID(), f.w.owner, nil, nil}, args...)...)
}

// Bytes closes the fragment: products that Product added are contained in the storey, spaces
// decompose it.
func (f *Fragment) Bytes() []byte {
	var spaces, others []Ref
	for _, r := range f.inside {
		if f.insts[r-1].entity == "IfcSpace" {
			spaces = append(spaces, r)
		} else {
			others = append(others, r)
		}
	}
	f.inside = nil
	if len(spaces) > 0 {
		f.Relate("IfcRelAggregates", f.Storey, spaces)
	}
	if len(others) > 0 {
		f.Relate("IfcRelContainedInSpatialStructure", others, f.Storey)
	}
	return []byte(f.String())
}
