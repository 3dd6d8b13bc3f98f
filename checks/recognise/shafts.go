package recognise

import (
	"voidcheck/checks/void"
	"voidcheck/ifcx/model"
)

// readShaft hands a space that is called a shaft or a chase to the solver; false where its
// words say that people use it, or that it is a lift's.
func (r *reader) readShaft(s *model.Space) bool {
	if _, no := r.lex.Space("common", spaceSubject(s)); no { // elevator shafts
		return false
	}
	b := s.Body()
	if b == nil {
		return true
	}
	for _, x := range b.Solids {
		if x.Mesh != nil && len(x.Mesh.Tris) > 0 {
			r.b.Input.Shafts = append(r.b.Input.Shafts, void.Room{Mesh: x.Mesh, Unit: -1, Element: s.Index})
		}
	}
	return true
}
