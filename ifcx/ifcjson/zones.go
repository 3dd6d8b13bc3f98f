package ifcjson

import (
	"sort"
	"strings"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// zoned is a node that a zone names and that stands elsewhere in the tree.
type zoned struct {
	zone *model.Zone
	path string
}

// outsideZones gathers the paths of the nodes that are in no zone.
func (n *node) outsideZones(into map[string]bool) {
	if code := n.code(); code == "IfcZone" || strings.HasPrefix(code, "IfcSpatialZone") {
		return
	}
	into[n.class] = true
	for _, k := range n.children {
		k.outsideZones(into)
	}
}

func (b *builder) zone(n *node, ent *express.Entity, words string, m geom.Mat, w *where) *model.Zone {
	z := &model.Zone{GlobalID: b.id(n, w.chain), Name: title(n), LongName: n.prop("LongName"), ObjectType: n.prop("ObjectType"), Entity: ent.Name,
		Predefined: n.predefined(words), File: b.file(n), Classes: n.classes()}
	solids := n.solids(m)
	if w.hidden {
		solids = nil
	}
	z.Body = b.body(n, solids, nil)
	b.part.Zones = append(b.part.Zones, z)
	return z
}

// linkZones gives zones the spaces and elements that they name and that stand elsewhere.
func (b *builder) linkZones(spaces map[*model.Element]*model.Space) {
	for _, x := range b.zoned {
		e := b.byPath[x.path]
		switch s := spaces[e]; {
		case s != nil:
			x.zone.Spaces = append(x.zone.Spaces, s)
			s.Zones = append(s.Zones, x.zone)
		case e != nil:
			x.zone.Elements = append(x.zone.Elements, e)
		}
	}
	for _, z := range b.part.Zones {
		sort.SliceStable(z.Spaces, func(i, j int) bool { return z.Spaces[i].GlobalID < z.Spaces[j].GlobalID })
		sort.SliceStable(z.Elements, func(i, j int) bool { return z.Elements[i].GlobalID < z.Elements[j].GlobalID })
	}
}
