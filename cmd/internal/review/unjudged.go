package review

import (
	"fmt"

	"voidcheck/checks/void"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/shape"
)

// unjudged says that next to nothing of a model could be judged, since it was lost on the way or
// shows no concealed space; "" when that is not so. A run over such a model ends with status 0
// as soon as nothing is seen to be deficient, and must not be taken for more than it is.
func unjudged(m *model.Building, r *void.Result) string {
	shaped, lost := 0, 0
	for _, e := range m.Elements {
		if !e.HasShape {
			continue
		}
		shaped++
		if b := e.Body(); b == nil || !computed(b) {
			lost++
		}
	}
	places := 0 // placements and shapes that were left out, where elements keep nothing of them
	if m.Log != nil {
		places = m.Log.Count("placement", "attribute")
	}
	const (
		nothing = "What is not listed as deficient was not judged."
		rest    = "What is said here is of what is left alone."
	)
	switch {
	case shaped > 0 && lost == shaped:
		return fmt.Sprintf("The model could not be judged: the geometry of none of its %d elements can be read. %s", shaped, nothing)
	case 2*lost >= shaped && lost > 0:
		return fmt.Sprintf("Most of the model could not be judged: the geometry of %d of its %d elements cannot be read. %s", lost, shaped, rest)
	case shaped > 0 && places >= shaped:
		return fmt.Sprintf("Most of the model could not be judged: %d statements about its %d elements cannot be read, such as where they stand. %s", places, shaped, rest)
	case len(r.Voids) == 0:
		return "The model could not be judged: no concealed space could be worked out from it. Nothing but its content was looked at. " + nothing
	}
	return ""
}

// computed reports whether a body has a solid that is no bounding box in place of another.
func computed(b *shape.Body) bool {
	for i := range b.Solids {
		if !b.Solids[i].Boxed {
			return true
		}
	}
	return false
}
