package model

import (
	"sort"
	"sync"

	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/shape"
)

// readZones makes zones of IfcZone, IfcSpatialZone and of plain groups that hold spaces.
// A zone inside a zone gives its members to the outer one too.
func (c *content) readZones() {
	members := map[graph.ID][]graph.ID{}
	join := func(m, g graph.ID) { members[g] = append(members[g], m) }
	c.rel.groups().each(join)
	c.rel.referenced().each(join)
	if len(c.v.g.ByType("IfcSpatialZone", true)) > 0 {
		for _, of := range []*single{c.rel.container(), c.rel.whole()} {
			of.each(func(m, g graph.ID) {
				if c.v.g.Is(g, "IfcSpatialZone") {
					join(m, g)
				}
			})
		}
	}
	spaces := map[graph.ID]*Space{}
	for _, s := range c.part.Spaces {
		spaces[s.ID] = s
	}
	var rows []row
	rows = append(rows, c.v.rows("IfcGroup")...)
	rows = append(rows, c.v.rows("IfcSpatialZone")...)
	for _, r := range rows {
		ids := map[graph.ID]bool{}
		collect(members, r.id, ids, 0)
		z := c.zone(r)
		for id := range ids {
			if s := spaces[id]; s != nil {
				z.Spaces = append(z.Spaces, s)
			} else if e := c.elementOf(id); e != nil {
				z.Elements = append(z.Elements, e)
			}
		}
		plain := r.ent.Name == "IfcGroup" && len(z.Spaces) > 0
		if !r.ent.Is("IfcZone") && !r.ent.Is("IfcSpatialZone") && !plain {
			continue
		}
		sort.Slice(z.Spaces, func(i, j int) bool { return before(z.Spaces[i].Element, z.Spaces[j].Element) })
		sort.Slice(z.Elements, func(i, j int) bool { return before(z.Elements[i], z.Elements[j]) })
		for _, s := range z.Spaces {
			s.Zones = append(s.Zones, z)
		}
		c.part.Zones = append(c.part.Zones, z)
	}
}

// collect gathers the members of a group and of the groups in it.
func collect(members map[graph.ID][]graph.ID, g graph.ID, into map[graph.ID]bool, depth int) {
	for _, m := range members[g] {
		if !into[m] {
			into[m] = true
			if depth < 32 {
				collect(members, m, into, depth+1)
			}
		}
	}
}

func (c *content) zone(r row) *Zone {
	z := &Zone{GlobalID: r.str("GlobalId"), Name: r.str("Name"), LongName: r.str("LongName"), ObjectType: r.str("ObjectType"), Entity: r.ent.Name,
		Predefined: predefined(r, c.v.row(c.rel.typeOf().of(r.id))), File: c.file, Classes: c.classifications(r.id)}
	if z.LongName == "" && r.ent.Index("LongName") < 0 { // IFC2X3 zones have only a description
		z.LongName = r.str("Description")
	}
	z.Body = func() *shape.Body { return nil }
	if r.ref("Representation") != 0 {
		place := c.moved(c.place(r.id))
		z.Body = sync.OnceValue(func() *shape.Body { return c.body(r.id, place) })
	}
	return z
}

// before orders elements of one file.
func before(a, b *Element) bool {
	if a.GlobalID != b.GlobalID {
		return a.GlobalID < b.GlobalID
	}
	return a.ID < b.ID
}
