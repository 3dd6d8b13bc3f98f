package shape

import "voidcheck/ifcx/graph"

func (e *eval) revolution(id graph.ID) (*part, error) { return nil, e.bad(id, "this kind of item is not read") }
func (e *eval) disk(id graph.ID) (*part, error)       { return nil, e.bad(id, "this kind of item is not read") }
func (e *eval) swept(id graph.ID) (*part, error)      { return nil, e.bad(id, "this kind of item is not read") }

type tessellator struct{ e *eval }

func newTessellator(e *eval, s *soup) *tessellator    { return &tessellator{e} }
func (t *tessellator) face(f, surface graph.ID) error { return t.e.bad(f, "this kind of item is not read") }
