package model

import (
	"encoding/binary"
	"slices"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/shape"
)

// making makes elements; each goroutine has one.
type making struct {
	c     *content
	room  []Element // where the next elements go
	kind  Kind      // of the element that is being made, before it is known to be new
	key   []byte
	known map[string]*Kind
	up    graph.ID // what directly holds the element before
	above *Storey  // its storey
}

func (c *content) making() *making { return &making{c: c, known: map[string]*Kind{}} }

// product makes the element or space of a product, and returns the hash of its GlobalId, 0
// when that does not count.
func (m *making) product(id graph.ID) uint64 {
	c := m.c
	r := c.v.row(id)
	if r.ent == nil {
		return 0
	}
	k := c.roles[r.ent]
	if k == NoRole || k == GridRole {
		return 0
	}
	p := c.product(r)
	if k == ElementRole || k == SpaceRole {
		if at, ok := c.v.rank(id); ok {
			c.made[at] = m.element(p)
		}
	}
	if p.guid == "" {
		c.reportNoGUID(r)
		return 0
	}
	return guidHash(p.guid) | 1
}

// element reads one product occurrence.
func (m *making) element(r product) *Element {
	if len(m.room) == 0 {
		m.room = make([]Element, 64)
	}
	e := &m.room[0]
	m.room = m.room[1:]
	c, k := m.c, &m.kind
	*k = Kind{Entity: r.ent.Name, Parents: c.supers[r.ent], LongName: r.longName, Description: r.description, ObjectType: r.objectType, File: c.file,
		Materials: k.Materials[:0], from: c}
	e.Kind = k
	e.GlobalID, e.Name, e.Tag, e.ID, e.HasShape = r.guid, r.name, r.tag, r.id, r.representation != 0
	e.Storey = m.storeyOf(r.id)
	c.put(e, r)
	typ := c.v.row(c.rel.typeOf().of(r.id))
	if typ.ent != nil {
		k.TypeEntity, k.TypeName = typ.ent.Name, typ.str("Name")
	}
	k.Predefined = predefined(r.row, typ)
	k.Classes = c.classifications(r.id, typ.id)
	k.Groups = c.groupNames(r.id)
	usage := c.readMaterials(e, r.id, typ.id)
	if len(e.Materials) == 0 && e.Layers == nil && e.Is("IfcSlab") {
		if whole := c.v.row(c.rel.whole().of(r.id)); whole.ent != nil && whole.ent.Is("IfcRoof") {
			// The slabs of a roof are built up as the roof says.
			usage = c.readMaterials(e, whole.id, c.rel.typeOf().of(whole.id))
		}
	}
	e.Kind = m.shared(typ.id)
	if e.Layers != nil {
		c.declareLayers(e, usage)
		c.lock.Lock()
		c.usages[e] = usage
		c.lock.Unlock()
	}
	return e
}

// storeyOf is content.storeyOf; what follows each other in a file mostly hangs together.
func (m *making) storeyOf(id graph.ID) *Storey {
	up := m.c.up(id)
	if up != m.up || up == 0 {
		m.up, m.above = up, m.c.storeys[m.c.climb(up, "IfcBuildingStorey")]
	}
	if m.above != nil {
		return m.above
	}
	return m.c.namedBy(id)
}

// shared returns the kind as all elements of that kind share it.
func (m *making) shared(typ graph.ID) *Kind {
	k := &m.kind
	key := binary.LittleEndian.AppendUint32(m.key[:0], uint32(typ))
	put := func(s string) {
		key = append(binary.AppendUvarint(key, uint64(len(s))), s...)
	}
	for _, s := range [...]string{k.Entity, k.Predefined, k.LongName, k.Description, k.ObjectType, k.TypeName} {
		put(s)
	}
	key = append(key, byte(len(k.Materials)), byte(len(k.Classes)))
	for _, s := range k.Materials {
		put(s)
	}
	for _, x := range k.Classes {
		put(x.System)
		put(x.Code)
		put(x.Name)
	}
	for _, s := range k.Groups {
		put(s)
	}
	m.key = key
	if own := m.known[string(key)]; own != nil {
		return own
	}
	m.c.lock.Lock()
	defer m.c.lock.Unlock()
	own := m.c.kinds[string(key)]
	if own == nil {
		own = new(Kind)
		*own = *k
		if own.Materials = slices.Clone(k.Materials); len(own.Materials) == 0 {
			own.Materials = nil
		}
		m.c.kinds[string(key)] = own
	}
	m.known[string(key)] = own
	return own
}

// place is where a product stands: its axes, nil for those of the building, and its origin.
type place struct {
	axes *[3]geom.Vec3
	at   geom.Vec3
}

// put gives an element its placement.
func (c *content) put(e *Element, r product) {
	if c.placed != nil {
		if k, ok := c.v.rank(r.id); ok {
			e.axes, e.at = c.placed[k].axes, c.placed[k].at.Sub(c.origin)
			return
		}
	}
	p := c.placeAt(c.placeOf(r.placement))
	e.axes, e.at = p.axes, p.at.Sub(c.origin)
}

// placeAt shares the axes of what is turned alike.
func (c *content) placeAt(m geom.Mat) place {
	if upright(m) {
		return place{at: m.O}
	}
	a := [3]geom.Vec3{m.X, m.Y, m.Z}
	c.lock.Lock()
	defer c.lock.Unlock()
	own := c.turned[a]
	if own == nil {
		own = &a
		c.turned[a] = own
	}
	return place{own, m.O}
}

// prepare works out what is asked of every product by its entity.
func (c *content) prepare() {
	c.roles, c.cols, c.supers = map[*express.Entity]Role{}, map[*express.Entity]*columns{}, map[*express.Entity][]string{}
	for _, e := range c.v.g.Kinds() {
		if !e.Is("IfcProduct") {
			continue
		}
		c.roles[e] = RoleOf(e)
		c.cols[e] = &columns{e.Index("GlobalId"), e.Index("Name"), e.Index("LongName"), e.Index("Description"), e.Index("ObjectType"), e.Index("Tag"),
			e.Index("ObjectPlacement"), e.Index("Representation")}
		var above []string
		for p := e.Parent; p != nil; p = p.Parent {
			above = append(above, p.Name)
		}
		c.supers[e] = above
	}
}

// elementProps implements maker.
func (c *content) elementProps(e *Element) PropSets { return c.objectProps(e.ID) }

// elementBody implements maker.
func (c *content) elementBody(e *Element) *shape.Body {
	if !e.HasShape {
		return nil
	}
	b := c.body(e.ID, e.Placement())
	if e.Layers != nil {
		c.settleLayers(e, c.usages[e], b)
	}
	return b
}
