package model

import (
	"voidcheck/ifcx/graph"
)

// relations are the objectified relationships of one file, read once, as look-ups by
// instance. Lists are in the order of the relationships' GlobalIds, so they do not depend
// on the order of instances in the file.
type relations struct {
	whole      map[graph.ID]graph.ID   // part -> whole: IfcRelAggregates, IfcRelNests
	container  map[graph.ID]graph.ID   // element -> spatial structure
	referenced map[graph.ID][]graph.ID // element -> spatial structure or zone that only names it
	typeOf     map[graph.ID]graph.ID
	material   map[graph.ID][]graph.ID // object or type -> IfcMaterialSelect
	classes    map[graph.ID][]graph.ID // object or type -> classification reference
	groups     map[graph.ID][]graph.ID // member -> group
	host       map[graph.ID]graph.ID   // opening or projection -> element
	fills      map[graph.ID][]graph.ID // opening -> what fills it
	filledBy   map[graph.ID]graph.ID   // filling -> opening
	bounds     map[graph.ID][]graph.ID // space -> bounding elements, both levels
	coverings  map[graph.ID][]graph.ID // element or space -> coverings
	second     []conflict
}

// conflict is a partner that is left out because the object has another one already.
type conflict struct {
	object, first, second graph.ID
	says                  string
	spatial               bool
}

// The relationships that link one thing to many, by their attribute names. Names are the
// same in IFC2X3, IFC4 and IFC4X3 where the relationship exists.
func readRelations(v *view) *relations {
	r := &relations{
		whole: map[graph.ID]graph.ID{}, container: map[graph.ID]graph.ID{}, referenced: map[graph.ID][]graph.ID{},
		typeOf: map[graph.ID]graph.ID{}, material: map[graph.ID][]graph.ID{}, classes: map[graph.ID][]graph.ID{},
		groups: map[graph.ID][]graph.ID{}, host: map[graph.ID]graph.ID{}, fills: map[graph.ID][]graph.ID{},
		filledBy: map[graph.ID]graph.ID{}, bounds: map[graph.ID][]graph.ID{}, coverings: map[graph.ID][]graph.ID{},
	}
	r.one(v, "IfcRelAggregates", "RelatingObject", "RelatedObjects", r.whole, "is part of")
	r.one(v, "IfcRelNests", "RelatingObject", "RelatedObjects", r.whole, "is part of")
	r.one(v, "IfcRelContainedInSpatialStructure", "RelatingStructure", "RelatedElements", r.container, "is contained in")
	r.one(v, "IfcRelDefinesByType", "RelatingType", "RelatedObjects", r.typeOf, "is typed by")
	r.one(v, "IfcRelVoidsElement", "RelatingBuildingElement", "RelatedOpeningElement", r.host, "is cut into")
	r.one(v, "IfcRelProjectsElement", "RelatingElement", "RelatedFeatureElement", r.host, "is added to")
	r.one(v, "IfcRelFillsElement", "RelatingOpeningElement", "RelatedBuildingElement", r.filledBy, "fills")
	many(v, "IfcRelFillsElement", "RelatedBuildingElement", "RelatingOpeningElement", r.fills)
	many(v, "IfcRelReferencedInSpatialStructure", "RelatingStructure", "RelatedElements", r.referenced)
	many(v, "IfcRelAssociatesMaterial", "RelatingMaterial", "RelatedObjects", r.material)
	many(v, "IfcRelAssociatesClassification", "RelatingClassification", "RelatedObjects", r.classes)
	many(v, "IfcRelAssignsToGroup", "RelatingGroup", "RelatedObjects", r.groups)
	many(v, "IfcRelSpaceBoundary", "RelatedBuildingElement", "RelatingSpace", r.bounds)
	many(v, "IfcRelCoversBldgElements", "RelatedCoverings", "RelatingBuildingElement", r.coverings)
	many(v, "IfcRelCoversSpaces", "RelatedCoverings", "RelatedSpace", r.coverings)  // IFC2X3
	many(v, "IfcRelCoversSpaces", "RelatedCoverings", "RelatingSpace", r.coverings) // IFC4
	return r
}

// one reads a relationship in which each object may have only one partner; the first, by
// GlobalId of the relationship, stands.
func (rel *relations) one(v *view, entity, to, objects string, m map[graph.ID]graph.ID, says string) {
	for _, r := range v.rows(entity) {
		partner := r.ref(to)
		if partner == 0 {
			continue
		}
		for _, o := range r.refs(objects) {
			if first, ok := m[o]; ok {
				if first != partner {
					rel.second = append(rel.second, conflict{o, first, partner, says, entity == "IfcRelContainedInSpatialStructure"})
				}
				continue
			}
			m[o] = partner
		}
	}
}

// reportSecond logs the partners that were left out, except a second room of the same
// storey: doors are often listed in both rooms they join.
func (c *content) reportSecond() {
	for _, x := range c.rel.second {
		if x.spatial && c.climb(x.first, "IfcBuildingStorey") == c.climb(x.second, "IfcBuildingStorey") {
			continue
		}
		c.v.warn(c.v.row(x.object), "two-partners", x.says+" both "+c.v.g.Label(x.first)+" and "+c.v.g.Label(x.second)+"; the first is taken",
			"keep one of the two relationships")
	}
}

// many collects the partners of each object without doubles.
func many(v *view, entity, to, objects string, m map[graph.ID][]graph.ID) {
	for _, r := range v.rows(entity) {
		partners := r.refs(to)
		for _, o := range r.refs(objects) {
			for _, p := range partners {
				if !contains(m[o], p) {
					m[o] = append(m[o], p)
				}
			}
		}
	}
}

func contains(l []graph.ID, id graph.ID) bool {
	for _, x := range l {
		if x == id {
			return true
		}
	}
	return false
}
