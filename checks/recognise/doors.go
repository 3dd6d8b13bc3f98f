package recognise

import "voidcheck/checks/void"

// stopDoors returns the doors and hatches that fill openings in draftstops, as parts of the
// draftstop: closed, they divide the void as the sheet does.
func (r *reader) stopDoors() []void.Part {
	var out []void.Part
	seen := map[int]bool{}
	for _, p := range r.ps {
		if p.role != void.RoleDraftstop || p.skip || seen[p.elem] {
			continue
		}
		seen[p.elem] = true
		for _, o := range r.element(p).Openings {
			for _, f := range o.Fillings {
				body := f.Body()
				if body == nil || !r.hints[f.Index].out {
					continue // what is not set aside is among the pieces already
				}
				for _, s := range body.Solids {
					if s.Mesh != nil && len(s.Mesh.Tris) > 0 {
						out = append(out, void.Part{Mesh: s.Mesh, Role: void.RoleDraftstop, Element: f.Index, Assembly: -1})
					}
				}
			}
		}
	}
	return out
}
