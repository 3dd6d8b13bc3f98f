package model

import (
	"sort"
	"strings"
	"sync"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/shape"
)

// Role says what a product is to the building.
type Role int

// The roles of products.
const (
	NoRole      Role = iota // annotation, port, structural analysis item, alignment
	ElementRole             // matter, or what stands for it
	SpaceRole
	OpeningRole
	SpatialRole // site, building, storey, spatial zone
	GridRole
)

// RoleOf sorts the products of every schema.
func RoleOf(e *express.Entity) Role {
	switch {
	case e.Is("IfcFeatureElementSubtraction"):
		return OpeningRole
	case e.Is("IfcSpace"):
		return SpaceRole
	case e.Is("IfcSpatialElement"), e.Is("IfcSpatialStructureElement"):
		return SpatialRole
	case e.Is("IfcGrid"):
		return GridRole
	case e.Is("IfcAnnotation"), e.Is("IfcPort"), e.Is("IfcPositioningElement"), e.Is("IfcLinearElement"),
		e.Is("IfcStructuralActivity"), e.Is("IfcStructuralItem"), e.Is("IfcSurfaceFeature"):
		return NoRole
	}
	return ElementRole
}

// readProducts makes elements, spaces and openings with everything that needs no other product.
func (c *content) readProducts() {
	seen := map[string]row{}
	roles := map[*express.Entity]Role{}
	for _, r := range c.v.rows("IfcProduct") {
		k, ok := roles[r.ent]
		if !ok {
			k = RoleOf(r.ent)
			roles[r.ent] = k
		}
		if k == NoRole || k == GridRole {
			continue
		}
		gid := r.str("GlobalId")
		if gid == "" {
			c.reportNoGUID(r)
		} else if first, dup := seen[gid]; dup {
			c.reportDouble(r, first)
		}
		seen[gid] = r
		switch k {
		case ElementRole:
			e := c.element(r)
			c.byID[r.id] = e
			c.part.Elements = append(c.part.Elements, e)
		case SpaceRole:
			e := c.element(r)
			c.byID[r.id] = e
			c.part.Spaces = append(c.part.Spaces, &Space{Element: e})
		case OpeningRole:
			c.part.Openings = append(c.part.Openings, c.opening(r))
		}
	}
}

func (c *content) reportNoGUID(r row) {
	c.v.warn(r, "no-globalid", "has no GlobalId", "export the model with GlobalIds, or comments cannot point to the element")
}

func (c *content) reportDouble(r, first row) {
	c.v.warn(r, "duplicate-globalid", "has the same GlobalId as "+c.v.g.Label(first.id)+" "+first.ent.Name+"; both are kept", "give every element its own GlobalId")
}

func (c *content) reportNoHost(id graph.ID) {
	c.v.warn(c.v.row(id), "opening-without-host", "is cut into nothing; it is kept without effect", "export the relationship of the opening to its element (IfcRelVoidsElement)")
}

// element reads one product occurrence.
func (c *content) element(r row) *Element {
	e := &Element{GlobalID: r.str("GlobalId"), Entity: r.ent.Name, Parents: c.parents(r.ent), Name: r.str("Name"), LongName: r.str("LongName"),
		Description: r.str("Description"), ObjectType: r.str("ObjectType"), Tag: r.str("Tag"), File: c.file, ID: r.id,
		Storey: c.storeyOf(r.id), Placement: c.moved(c.place(r.id)), HasShape: r.ref("Representation") != 0}
	typ := c.v.row(c.rel.typeOf().of(r.id))
	if typ.ent != nil {
		e.TypeEntity, e.TypeName = typ.ent.Name, typ.str("Name")
	}
	e.Predefined = predefined(r, typ)
	e.Classes = c.classifications(r.id, typ.id)
	e.Groups = c.groupNames(r.id)
	usage := c.readMaterials(e, r.id, typ.id)
	if whole := c.v.row(c.rel.whole().of(r.id)); len(e.Materials) == 0 && e.Layers == nil && whole.ent != nil && e.Is("IfcSlab") && whole.ent.Is("IfcRoof") {
		// The slabs of a roof are built up as the roof says.
		usage = c.readMaterials(e, whole.id, c.rel.typeOf().of(whole.id))
	}
	if e.Layers != nil {
		c.declareLayers(e, usage)
	}
	e.props = sync.OnceValue(func() PropSets { return c.objectProps(r.id) })
	if e.HasShape {
		e.body = sync.OnceValue(func() *shape.Body {
			b := c.body(r.id, e.Placement)
			c.settleLayers(e, usage, b)
			return b
		})
	} else {
		e.body = func() *shape.Body { return nil }
	}
	return e
}

// parents lists the supertypes, nearest first; elements of one entity share the list.
func (c *content) parents(ent *express.Entity) []string {
	if l, ok := c.supers[ent]; ok {
		return l
	}
	var l []string
	for p := ent.Parent; p != nil; p = p.Parent {
		l = append(l, p.Name)
	}
	c.supers[ent] = l
	return l
}

// predefined resolves the predefined type: of the occurrence, else of the type; a user-defined
// one is the ObjectType of the occurrence or the ElementType of the type.
func predefined(r, typ row) string {
	for _, x := range []struct {
		r    row
		word string
	}{{r, "ObjectType"}, {typ, "ElementType"}} {
		p := x.r.enum("PredefinedType")
		if p == "" {
			p = x.r.enum("ShapeType") // IFC2X3 roofs, stairs and ramps
		}
		if p == "" && x.r.ent != nil && x.r.ent.Is("IfcDoorStyle") || p == "" && x.r.ent != nil && x.r.ent.Is("IfcWindowStyle") {
			p = x.r.enum("OperationType")
		}
		switch p {
		case "", "NOTDEFINED":
		case "USERDEFINED":
			w := x.r.str(x.word)
			if w == "" {
				w = r.str("ObjectType")
			}
			if w = strings.TrimSpace(w); w != "" {
				return strings.ToUpper(w)
			}
			if x.r.id == typ.id {
				return p
			}
			if t := strings.TrimSpace(typ.str("ElementType")); t != "" {
				return strings.ToUpper(t)
			}
			return p
		default:
			return strings.ToUpper(p)
		}
	}
	return ""
}

// opening reads a subtraction feature; host and filling are linked later.
func (c *content) opening(r row) *Opening {
	place := c.moved(c.place(r.id))
	o := &Opening{GlobalID: r.str("GlobalId"), Name: r.str("Name"), Predefined: r.enum("PredefinedType"), File: c.file, ID: r.id, Placement: place}
	if o.Predefined == "USERDEFINED" || o.Predefined == "" { // IFC2X3 has only ObjectType: "Opening", "Recess"
		if w := strings.ToUpper(strings.TrimSpace(r.str("ObjectType"))); w != "" {
			o.Predefined = w
		}
	}
	o.Body = func() *shape.Body { return nil }
	if r.ref("Representation") != 0 {
		o.Body = sync.OnceValue(func() *shape.Body { return c.rawBody(r.id, place) })
	}
	return o
}

// linkElements joins parts, openings, coverings and space boundaries.
func (c *content) linkElements() {
	for _, e := range c.part.Elements { // in order, so that parts are in order
		up := c.rel.whole().of(e.ID)
		if up == 0 && e.Is("IfcFeatureElementAddition") {
			up = c.rel.host().of(e.ID)
		}
		w := c.byID[up]
		switch {
		case w == nil || w.Is("IfcSpace"):
		case !below(w, e):
			e.Whole = w
			w.Parts = append(w.Parts, e)
		default:
			c.v.warn(c.v.row(e.ID), "part-of-itself", "is part of something that is part of it; the relationship is left out", "")
		}
	}
	order := map[*Element]int{}
	for i, e := range c.part.Elements {
		order[e] = i
	}
	pick := func(ids []graph.ID) []*Element {
		var l []*Element
		for _, id := range ids {
			if e := c.byID[id]; e != nil {
				l = append(l, e)
			}
		}
		sort.SliceStable(l, func(i, j int) bool { return order[l[i]] < order[l[j]] })
		return l
	}
	for _, o := range c.part.Openings {
		o.Host = c.byID[c.rel.host().of(o.ID)]
		o.Fillings = pick(c.rel.fills().of(o.ID))
		if len(o.Fillings) > 0 {
			o.Filling = o.Fillings[0]
		}
		if o.Host != nil {
			o.Host.Openings = append(o.Host.Openings, o)
		} else {
			c.reportNoHost(o.ID)
		}
	}
	for _, e := range c.part.Elements {
		e.Coverings = pick(c.rel.coverings().of(e.ID))
	}
	for _, s := range c.part.Spaces {
		s.Coverings = pick(c.rel.coverings().of(s.ID))
		s.Bounds = pick(c.rel.bounds().of(s.ID))
	}
}

// below reports whether e is w or one of the wholes above w.
func below(w, e *Element) bool {
	for range 64 {
		if w == nil {
			return false
		}
		if w == e {
			return true
		}
		w = w.Whole
	}
	return true
}
