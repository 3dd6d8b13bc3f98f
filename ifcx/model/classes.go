package model

import (
	"sort"

	"voidcheck/ifcx/graph"
)

// classifications reads the references of an occurrence and of its type, ordered by system,
// code and name.
func (c *content) classifications(ids ...graph.ID) []Classification {
	var out []Classification
	seen := map[Classification]bool{}
	for _, id := range ids {
		for _, ref := range c.rel.classes().of(id) {
			k, ok := c.classification(ref)
			if ok && !seen[k] {
				seen[k] = true
				out = append(out, k)
			}
		}
	}
	sort.Slice(out, func(i, j int) bool {
		a, b := out[i], out[j]
		if a.System != b.System {
			return a.System < b.System
		}
		if a.Code != b.Code {
			return a.Code < b.Code
		}
		return a.Name < b.Name
	})
	return out
}

// classification reads an IfcClassificationReference (IFC2X3: ItemReference, IFC4:
// Identification) or an IfcClassification as a whole. The system is the name of the
// classification at the end of the chain of sources.
func (c *content) classification(id graph.ID) (Classification, bool) {
	r := c.v.row(id)
	if r.ent == nil {
		return Classification{}, false
	}
	if r.ent.Is("IfcClassification") {
		return Classification{System: r.str("Name")}, true
	}
	k := Classification{Code: r.str("Identification"), Name: r.str("Name")}
	if k.Code == "" {
		k.Code = r.str("ItemReference")
	}
	src := c.v.row(r.ref("ReferencedSource"))
	for range 32 {
		if src.ent == nil || src.ent.Is("IfcClassification") {
			break
		}
		src = c.v.row(src.ref("ReferencedSource"))
	}
	if k.System = src.str("Name"); k.System == "" {
		k.System = r.str("Location")
	}
	return k, k != Classification{}
}

// groupNames lists the groups and systems of an object, sorted.
func (c *content) groupNames(id graph.ID) []string {
	var out []string
	for _, g := range c.rel.groups().of(id) {
		r := c.v.row(g)
		n := r.str("Name")
		if n == "" {
			n = r.str("LongName")
		}
		if n == "" {
			n = r.str("ObjectType")
		}
		if n != "" {
			out = append(out, n)
		}
	}
	sort.Strings(out)
	return out
}
