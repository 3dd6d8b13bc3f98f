package shape

import "voidcheck/ifcx/graph"

type tessellator struct{ e *eval }

func newTessellator(e *eval, s *soup) *tessellator { return &tessellator{e} }
func (t *tessellator) face(f, surface graph.ID) error {
	return t.e.bad(f, "this kind of face is not read")
}
