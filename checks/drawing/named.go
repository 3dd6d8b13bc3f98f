package drawing

import (
	"voidcheck/checks/finding"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// named gives the bounds of the elements that commented items name, in the order in which
// they are named: so that a reader of findings can look at them.
func (m *maker) named() []finding.DrawnElement {
	wanted := map[string]bool{}
	for i := range m.items {
		if m.items[i].Comment > 0 {
			for _, id := range m.items[i].Elements {
				wanted[id] = true
			}
		}
	}
	if len(wanted) == 0 {
		return nil
	}
	var out []finding.DrawnElement
	for _, e := range m.b.Model.Elements {
		if !wanted[e.GlobalID] {
			continue
		}
		delete(wanted, e.GlobalID) // the first of two with one id
		if b := bounds(e); !b.IsEmpty() {
			out = append(out, finding.DrawnElement{ID: e.GlobalID, Box: [2][3]float64{m.point(b.Min), m.point(b.Max)}})
		}
	}
	return out
}

// bounds is the box of an element or of what it is put together from.
func bounds(e *model.Element) geom.Box {
	b := geom.EmptyBox()
	if body := e.Body(); body != nil {
		b = b.Join(body.Box)
	}
	for _, p := range e.Parts {
		b = b.Join(bounds(p))
	}
	return b
}
