package model

import (
	"slices"
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
	g := c.v.g
	// In the order of the file, where what belongs together lies together; then listed in order.
	all := g.ByType("IfcProduct", true)
	c.made = make([]*Element, g.Roots().Len())
	ids := &guids{file: c.file, hashes: make([]uint64, len(all))}
	stretches(len(all), 0, func() func(from, to int) {
		m := c.making()
		return func(from, to int) {
			for i := from; i < to; i++ {
				ids.hashes[i] = m.product(all[i])
			}
		}
	})
	ids.hashes = slices.DeleteFunc(ids.hashes, func(h uint64) bool { return h == 0 })
	for _, r := range c.products() {
		switch c.roles[r.ent] {
		case ElementRole:
			c.part.Elements = append(c.part.Elements, c.elementOf(r.id))
		case SpaceRole:
			c.part.Spaces = append(c.part.Spaces, &Space{Element: c.elementOf(r.id)})
		case OpeningRole:
			c.part.Openings = append(c.part.Openings, c.opening(r))
		}
	}
	if twice := ids.twice(); len(twice) > 0 {
		var before row
		for _, r := range c.products() { // by GlobalId, so that doubles stand together
			if k := c.roles[r.ent]; k == NoRole || k == GridRole {
				continue
			}
			if gid := r.str("GlobalId"); gid != "" && twice[guidHash(gid)] {
				if before.ent != nil && before.str("GlobalId") == gid {
					c.reportDouble(r, before)
				}
				before = r
			}
		}
	}
}

// elementOf returns the element or space of an instance, nil when it is none.
func (c *content) elementOf(id graph.ID) *Element {
	if c.made == nil || id == 0 {
		return nil
	}
	if k, ok := c.v.rank(id); ok {
		return c.made[k]
	}
	return nil
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

// product is a product with the attributes that all have.
type product struct {
	row
	guid, name, longName, description, objectType, tag string
	placement, representation                          graph.ID
}

// columns are the places of those attributes in an entity, -1 where it has none.
type columns struct {
	guid, name, longName, description, objectType, tag, placement, representation int
}

// product reads a product; where its record is plain, in one go.
func (c *content) product(r row) product {
	place, _ := c.v.g.Find(r.id)
	var room [24]graph.Text
	f, plain := c.v.g.Split(room[:0], place)
	if !plain {
		return product{r, r.str("GlobalId"), r.str("Name"), r.str("LongName"), r.str("Description"), r.str("ObjectType"), r.str("Tag"),
			r.ref("ObjectPlacement"), r.ref("Representation")}
	}
	at := func(i int) graph.Text {
		if i < 0 || i >= len(f) {
			return ""
		}
		return f[i]
	}
	k := c.cols[r.ent]
	return product{r, at(k.guid).Str(), at(k.name).Str(), at(k.longName).Str(), at(k.description).Str(), at(k.objectType).Str(), at(k.tag).Str(),
		at(k.placement).Ref(), at(k.representation).Ref()}
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
		w := c.elementOf(up)
		switch {
		case w == nil || w.Is("IfcSpace"):
		case !below(w, e):
			e.Whole = w
			w.Parts = append(w.Parts, e)
		default:
			c.v.warn(c.v.row(e.ID), "part-of-itself", "is part of something that is part of it; the relationship is left out", "")
		}
	}
	for i, e := range c.part.Elements {
		e.Index = i
	}
	pick := func(ids []graph.ID) []*Element {
		var l []*Element
		for _, id := range ids {
			if e := c.elementOf(id); e != nil {
				l = append(l, e)
			}
		}
		sort.SliceStable(l, func(i, j int) bool { return l[i].Index < l[j].Index })
		return l
	}
	for _, o := range c.part.Openings {
		o.Host = c.elementOf(c.rel.host().of(o.ID))
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
