package model

import (
	"sort"

	"voidcheck/ifcx/graph"
)

// MaterialProps returns the property sets of a material of this file by name; nil when it
// has none.
func (f *File) MaterialProps(material string) PropSets {
	if f == nil || f.matProps == nil {
		return nil
	}
	return f.matProps()[material]
}

// readMaterialProps reads IfcMaterialProperties (IFC4) and the IFC2X3 kinds
// (IfcExtendedMaterialProperties and the ones with fixed attributes) by material name.
func (c *content) readMaterialProps() map[string]PropSets {
	out := map[string]PropSets{}
	rows := c.v.rows("IfcMaterialProperties")
	sort.SliceStable(rows, func(i, j int) bool { return rows[i].str("Name") < rows[j].str("Name") })
	for _, r := range rows {
		mat := c.v.row(r.ref("Material")).str("Name")
		set := r.str("Name")
		m := map[string]PropValue{}
		ids := r.refs("Properties")
		ids = append(ids, r.refs("ExtendedProperties")...)
		for _, p := range ids {
			c.v.addProperty(m, "", p, 0)
		}
		if set == "" || len(ids) == 0 { // IFC2X3: IfcGeneralMaterialProperties.MassDensity and such
			if set == "" {
				set = r.ent.Name
			}
			vals := r.vals()
			for i, a := range r.ent.Attrs {
				if i >= len(vals) || vals[i].Kind == graph.Ref || a.Name == "Name" || a.Name == "Description" {
					continue
				}
				if p, ok := c.v.propValue(typedAs(vals[i], a.Type), 0); ok {
					m[a.Name] = p
				}
			}
		}
		if len(m) == 0 {
			continue
		}
		if out[mat] == nil {
			out[mat] = PropSets{}
		}
		if out[mat][set] == nil {
			out[mat][set] = m
			continue
		}
		for k, p := range m {
			if _, dup := out[mat][set][k]; !dup {
				out[mat][set][k] = p
			}
		}
	}
	return out
}
