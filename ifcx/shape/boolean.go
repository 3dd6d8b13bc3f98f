package shape

import (
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// boolean reads IfcBooleanResult and IfcBooleanClippingResult. Exporters write long chains of
// clippings, each the first operand of the next, so the chain is walked in a loop.
func (e *eval) boolean(id graph.ID) (*part, error) {
	var chain []graph.ID
	base := len(e.active)
	defer func() { e.active = e.active[:base] }()
	first := id
	for e.g.Is(first, "IfcBooleanResult") && e.operands[first] == nil {
		if err := e.enter(first); err != nil {
			return nil, err
		}
		chain = append(chain, first)
		var err error
		if first, err = e.need(first, "FirstOperand"); err != nil {
			return nil, err
		}
	}
	p, err := e.operand(first)
	if err != nil {
		return nil, err
	}
	for k := len(chain) - 1; k >= 0; k-- {
		e.active = e.active[:base+k+1] // a second operand may use what is further down again
		if p, err = e.apply(chain[k], p); err != nil {
			return nil, err
		}
		e.remember(chain[k], p)
	}
	q := *p
	q.item, q.kind = id, e.g.Type(id)
	return &q, nil
}

// operand reads one operand as a single part; one that is used again is computed once.
func (e *eval) operand(id graph.ID) (*part, error) {
	if p := e.operands[id]; p != nil {
		return p, nil
	}
	if e.g.Is(id, "IfcHalfSpaceSolid") {
		return nil, e.bad(id, "a half-space cannot be the first operand")
	}
	parts, err := e.item(id)
	if err != nil {
		return nil, err
	}
	if len(parts) != 1 {
		return nil, e.bad(id, "a solid is expected as operand")
	}
	e.remember(id, parts[0])
	return parts[0], nil
}

func (e *eval) remember(id graph.ID, p *part) {
	if e.operands == nil {
		e.operands = map[graph.ID]*part{}
	}
	e.operands[id] = p
}

// apply combines the first operand's solid with the second operand.
func (e *eval) apply(id graph.ID, first *part) (*part, error) {
	op := e.g.Enum(id, "Operator")
	second, err := e.need(id, "SecondOperand")
	if err != nil {
		return nil, err
	}
	p := *first
	if e.g.Is(second, "IfcHalfSpaceSolid") {
		c, err := e.halfSpace(second)
		if err != nil {
			return nil, err
		}
		switch {
		case op == "DIFFERENCE":
		case op == "INTERSECTION" && len(c.area) == 0:
			c.plane = c.plane.Flipped()
		default:
			return nil, e.bad(id, "%s with a half-space is not read", op)
		}
		p.cuts = append(p.cuts[:len(p.cuts):len(p.cuts)], c)
		return &p, nil
	}
	tool, err := e.operand(second)
	if err != nil {
		return nil, err
	}
	if op == "DIFFERENCE" {
		if first.weight()+tool.weight() > maxOps {
			return nil, e.bad(id, "more than %d solids are to be taken away", maxOps)
		}
		return first.without([]*part{tool}), nil
	}
	ops := map[string]geom.Op{"UNION": geom.Union, "INTERSECTION": geom.Intersection}
	o, ok := ops[op]
	if !ok {
		return nil, e.bad(id, "the operator is %q, UNION, INTERSECTION or DIFFERENCE is expected", op)
	}
	a, t1 := first.solid()
	b, t2 := tool.solid()
	for _, t := range append(t1, t2...) {
		e.faults = append(e.faults, e.bad(id, "%s", t))
	}
	m, err := combine(a, b, o)
	if err != nil {
		return nil, e.bad(id, "%v", err)
	}
	return &part{item: id, kind: e.g.Type(id), mesh: m}, nil
}
