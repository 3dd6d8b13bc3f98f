package drawing

import (
	"voidcheck/checks/finding"
	"voidcheck/checks/void"
	"voidcheck/ifcx/model"
)

// stops are the modelled draftstops, blocks and seals.
func (m *maker) stops() []finding.DrawnPart {
	kinds := map[void.Role]string{void.RoleDraftstop: "draftstop", void.RoleBlock: "block", void.RoleSeal: "seal"}
	return m.parts(func(p *void.Part, e *model.Element) string { return kinds[p.Role] })
}

// services are pipes, ducts, cables and equipment that touch a concealed space or pass
// through a floor, ceiling, roof or separation: those that matter to a review. With nothing
// of the kind modelled there are none.
func (m *maker) services() []finding.DrawnPart {
	matters := map[int]bool{}
	for _, v := range m.r.Voids {
		for _, e := range v.Services {
			matters[e] = true
		}
	}
	for _, o := range m.r.Openings {
		if o.Service >= 0 {
			matters[o.Service] = true
		}
	}
	named := map[string]bool{}
	for i := range m.items {
		for _, id := range m.items[i].Elements {
			named[id] = true
		}
	}
	return m.parts(func(p *void.Part, e *model.Element) string {
		switch {
		case p.Role == void.RoleChimney:
			return "chimney"
		case p.Role != void.RoleService || e == nil || !matters[p.Element] && !named[e.GlobalID]:
			return ""
		}
		return serviceKind(e)
	})
}

// serviceKind sorts a service by its entity, which carries the word, or by that of its type:
// in IFC2X3 only the types tell pipes from ducts.
func serviceKind(e *model.Element) string {
	for _, k := range []struct{ kind, entity string }{
		{"pipe", "IfcPipeSegment"}, {"pipe", "IfcPipeFitting"}, {"duct", "IfcDuctSegment"}, {"duct", "IfcDuctFitting"},
		{"cable", "IfcCableSegment"}, {"cable", "IfcCableCarrierSegment"}, {"cable", "IfcCableFitting"}, {"cable", "IfcCableCarrierFitting"},
	} {
		if e.Is(k.entity) || e.TypeEntity == k.entity+"Type" {
			return k.kind
		}
	}
	if e.Is("IfcFlowSegment") || e.Is("IfcFlowFitting") {
		return "run"
	}
	return "equipment"
}

func (m *maker) parts(kind func(p *void.Part, e *model.Element) string) []finding.DrawnPart {
	var out []finding.DrawnPart
	for i := range m.b.Input.Parts {
		p := &m.b.Input.Parts[i]
		if p.Mesh == nil || len(p.Mesh.Tris) == 0 {
			continue
		}
		e := m.element(p.Element)
		k := kind(p, e)
		if k == "" {
			continue
		}
		d, ok := m.part(p.Mesh)
		if !ok {
			continue
		}
		d.Kind = k
		if e != nil {
			d.ID, d.Name = e.GlobalID, finding.Clean(e.Name)
		}
		out = append(out, d)
	}
	return out
}
