package shape

import (
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// mapped reads IfcMappedItem: the parts of its source, which are computed once, moved by its
// target.
func (e *eval) mapped(id graph.ID) ([]*part, error) {
	source, err := e.need(id, "MappingSource")
	if err != nil {
		return nil, err
	}
	target, err := e.need(id, "MappingTarget")
	if err != nil {
		return nil, err
	}
	m, err := e.operator(target)
	if err != nil {
		return nil, err
	}
	parts, err := e.source(source)
	if err != nil {
		return nil, err
	}
	if len(parts) > maxParts {
		return nil, e.bad(id, "it comes to more than %d solids", maxParts)
	}
	out := make([]*part, len(parts))
	for i, p := range parts {
		out[i] = p.placed(m)
	}
	return out, nil
}

// mapEntry is what a representation map came to.
type mapEntry struct {
	parts  []*part
	faults []error
	err    error
}

// source returns the parts of an IfcRepresentationMap in the frame of its users. Two
// goroutines may compute the same map at once; both get the same, and neither waits for the
// other, so maps that name each other cannot lock up.
func (e *eval) source(id graph.ID) ([]*part, error) {
	e.b.mu.Lock()
	m, ok := e.b.maps[id]
	e.b.mu.Unlock()
	if !ok {
		if err := e.enter(id); err != nil {
			return nil, err
		}
		before, cycle := len(e.faults), e.cycle
		e.cycle = false
		m.parts, m.err = e.readSource(id)
		e.leave()
		m.faults = append(m.faults, e.faults[before:]...)
		e.faults = e.faults[:before]
		if !e.cycle { // what a cycle or a limit came to depends on where it was entered
			e.b.mu.Lock()
			e.b.maps[id] = m
			e.b.mu.Unlock()
		}
		e.cycle = e.cycle || cycle
	}
	if len(e.faults) < maxFaults { // maps in maps would double them
		e.faults = append(e.faults, m.faults...)
	}
	return m.parts, m.err
}

func (e *eval) readSource(id graph.ID) ([]*part, error) {
	rep, err := e.need(id, "MappedRepresentation")
	if err != nil {
		return nil, err
	}
	origin, err := e.axesAt(id, "MappingOrigin")
	if err != nil {
		return nil, err
	}
	var out []*part
	for _, p := range e.representation(rep) {
		out = append(out, e.settled(p.placed(origin)))
	}
	return out, nil
}

// settled makes the mesh of a part once for all users. A prism also stays a prism, for those
// users that have openings to take from it.
func (e *eval) settled(p *part) *part {
	m, trouble := p.solid()
	for _, t := range trouble {
		e.faults = append(e.faults, e.bad(p.item, "%s", t))
	}
	q := *p
	if p.prism != nil {
		q.whole, q.wholeAt = m, geom.Identity()
	} else {
		q.mesh, q.cuts, q.minus = m, nil, nil
	}
	return &q
}
