package model

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"sync"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/shape"
	"voidcheck/ifcx/source"
)

// Content is one file that has been read and can be built into a building's frame.
type Content interface {
	// Anchor returns a point near the file's geometry in metres, in whole metres, zero
	// along every axis where the file stays within FarAway of its origin; false when the
	// file places nothing.
	Anchor() (geom.Vec3, bool)
	// Build makes the file's part of the building with origin subtracted from every coordinate.
	Build(origin geom.Vec3) *Part
}

// Part is what one Content contributes before federation: one file, or the layers of a
// composed model. Lists are ordered by GlobalId. That of an outline has no elements, openings
// and grids but counts them.
type Part struct {
	Files    []*File
	Project  string
	Storeys  []*Storey
	Spaces   []*Space
	Zones    []*Zone
	Elements []*Element
	Openings []*Opening
	Grids    []*Grid

	groups []Group
	guids  *guids
}

// FarAway is the distance in metres from its own origin beyond which a model is moved to a
// local origin: float64 keeps 1e-10 m at 1,000 km, but products of coordinates lose digits.
const FarAway = 1000

// content builds from an instance graph.
type content struct {
	v       *view
	file    *File
	rel     *relations
	builder *shape.Builder
	places  *shape.Placements
	hash    source.Group // works out the hash of the file
	origin  geom.Vec3
	part    *Part
	made    []*Element // by rank of the instance (graph.Roots)
	placed  []place    // by rank; nil when Anchor was not asked for
	// By entity, for all products.
	roles  map[*express.Entity]Role
	cols   map[*express.Entity]*columns
	supers map[*express.Entity][]string

	lock   sync.Mutex // for what follows
	usages map[*Element]layerUsage
	kinds  map[string]*Kind // by what tells them apart
	turned map[[3]geom.Vec3]*[3]geom.Vec3
	// products are all instances of IfcProduct, ordered as rows.
	products func() []row
	storeys  map[graph.ID]*Storey
}

// FromGraph prepares a file that is an instance graph (STEP or ifcXML).
func FromGraph(g *graph.Graph) Content {
	c := newContent(g)
	c.hash.Go(func() { c.file.SHA256 = g.File.SHA256() }) // takes as long as the index of the file
	return c
}

func newContent(g *graph.Graph) *content {
	v := &view{g: g}
	v.units = v.readUnits()
	c := &content{v: v, kinds: map[string]*Kind{}, turned: map[[3]geom.Vec3]*[3]geom.Vec3{}, rel: readRelations(v), builder: shape.New(g, g.Log), places: shape.NewPlacements(g, v.units.length().factor)}
	l := v.units.length()
	c.file = &File{Name: g.File.Name, Schema: g.Schema.Name, Tool: v.tool(), Entities: g.Len(),
		LengthUnitM: l.factor, LengthUnit: l.name, Graph: g, Map: v.mapConversion()}
	c.products = sync.OnceValue(func() []row { return v.rows("IfcProduct") })
	c.file.matProps = sync.OnceValue(c.readMaterialProps)
	c.prepare()
	return c
}

// tool names the authoring tool: the application of the project's owner history, else the
// header's (some tools swap the two program names of the header).
func (v *view) tool() string {
	for _, p := range v.rows("IfcProject") {
		app := v.row(v.row(p.ref("OwnerHistory")).ref("OwningApplication"))
		if n := strings.TrimSpace(app.str("ApplicationFullName")); n != "" {
			if ver := strings.TrimSpace(app.str("Version")); ver != "" && !strings.Contains(n, ver) {
				n += " " + ver
			}
			return n
		}
	}
	if t := strings.TrimSpace(v.g.Header.Originating); t != "" {
		return t
	}
	return strings.TrimSpace(v.g.Header.Preprocessor)
}

func (v *view) mapConversion() *MapConversion {
	all := v.rows("IfcMapConversion")
	if len(all) == 0 {
		return nil
	}
	r := all[0]
	m := &MapConversion{CRS: v.row(r.ref("TargetCRS")).str("Name"), AbscissaX: 1, Scale: 1}
	m.Eastings, _ = r.num("Eastings")
	m.Northings, _ = r.num("Northings")
	m.Height, _ = r.num("OrthogonalHeight")
	if x, ok := r.num("XAxisAbscissa"); ok {
		m.AbscissaX = x
	}
	m.OrdinateX, _ = r.num("XAxisOrdinate")
	if x, ok := r.num("Scale"); ok {
		m.Scale = x
	}
	return m
}

// place returns the placement of a product in the file's own metres. What cannot be read of
// it is in the log.
func (c *content) place(id graph.ID) geom.Mat {
	return c.placeOf(c.v.g.Ref(id, "ObjectPlacement"))
}

// placeOf is place for a placement.
func (c *content) placeOf(placement graph.ID) geom.Mat {
	m, _ := c.places.Of(placement)
	return m
}

// Anchor implements Content: from the placements of all shapes, and from the geometry
// itself where that lies far from its placement.
func (c *content) Anchor() (geom.Vec3, bool) {
	all := c.v.g.ByType("IfcProduct", true)
	c.placed = make([]place, c.v.g.Roots().Len())
	shown := make([]bool, len(all)) // has a place and a representation
	stretches(len(all), 0, func() func(from, to int) {
		return func(from, to int) {
			for i := from; i < to; i++ {
				r := c.v.row(all[i])
				if r.ent == nil {
					continue
				}
				p := c.product(r)
				if k, ok := c.v.rank(r.id); ok && (p.placement != 0 || c.roles[r.ent] == ElementRole || c.roles[r.ent] == SpaceRole) {
					c.placed[k] = c.placeAt(c.placeOf(p.placement))
				}
				shown[i] = p.representation != 0 && p.placement != 0
			}
		}
	})
	var pts, far []geom.Vec3
	for i, id := range all {
		if k, ok := c.v.rank(id); ok && shown[i] {
			pts = append(pts, c.placed[k].at)
		}
	}
	peeked := 0
	for _, r := range c.products() {
		if peeked == 5 { // a few tell: a file that draws one element far away draws all so
			break
		}
		if p := c.product(r); p.representation != 0 && p.placement != 0 {
			peeked++
			if q, ok := c.farPoint(p.representation); ok {
				far = append(far, c.placeOf(p.placement).Point(q))
			}
		}
	}
	if 2*len(far) > peeked {
		return AnchorOf(far)
	}
	return AnchorOf(pts)
}

// farPoint looks for the first point of a representation and returns it when it lies
// further than FarAway from the element's own origin.
func (c *content) farPoint(rep graph.ID) (geom.Vec3, bool) {
	g := c.v.g
	next, seen := []graph.ID{rep}, map[graph.ID]bool{rep: true}
	for len(next) > 0 && len(seen) < 400 {
		id := next[len(next)-1]
		next = next[:len(next)-1]
		x, ok := g.Floats(id, "Coordinates")
		if rows := g.List(id, "CoordList"); len(rows) > 0 {
			x, ok = rows[0].Floats()
		}
		if p, isPoint := c.scaled(x); ok && isPoint {
			if p.Len() > FarAway && p.IsFinite() {
				return p, true
			}
			continue
		}
		for _, v := range g.Attrs(id) {
			for _, ref := range v.Refs() {
				if !seen[ref] && !g.Is(ref, "IfcRepresentationContext") {
					seen[ref] = true
					next = append(next, ref)
				}
			}
		}
	}
	return geom.Vec3{}, false
}

// allNear reports whether there are points and all are within FarAway along every axis.
func allNear(pts []geom.Vec3) bool {
	for _, p := range pts {
		if !(math.Abs(p.X) < FarAway && math.Abs(p.Y) < FarAway && math.Abs(p.Z) < FarAway) {
			return false
		}
	}
	return len(pts) > 0
}

// AnchorOf returns the middle one of the points along each axis in whole metres, or zero
// along axes where that is within FarAway; false when there is no point.
func AnchorOf(pts []geom.Vec3) (geom.Vec3, bool) {
	if allNear(pts) {
		return geom.Vec3{}, true
	}
	var by [3][]float64
	for _, p := range pts {
		if p.IsFinite() {
			by[0], by[1], by[2] = append(by[0], p.X), append(by[1], p.Y), append(by[2], p.Z)
		}
	}
	if len(by[0]) == 0 {
		return geom.Vec3{}, false
	}
	var a [3]float64
	for i := range by {
		sort.Float64s(by[i])
		if m := by[i][len(by[i])/2]; math.Abs(m) >= FarAway {
			a[i] = math.Floor(m)
		}
	}
	return geom.Vec3{X: a[0], Y: a[1], Z: a[2]}, true
}

// body computes a body with its openings taken away, and turns a panic on hostile geometry
// into a problem.
func (c *content) body(id graph.ID, place geom.Mat) *shape.Body {
	return c.guarded(id, func() *shape.Body { return c.builder.Body(id, place) })
}

// rawBody computes a body as it is without openings.
func (c *content) rawBody(id graph.ID, place geom.Mat) *shape.Body {
	return c.guarded(id, func() *shape.Body { return c.builder.RawBody(id, place) })
}

func (c *content) guarded(id graph.ID, compute func() *shape.Body) (b *shape.Body) {
	defer func() {
		if x := recover(); x != nil {
			b = nil
			c.v.skip(c.v.row(id), "geometry-failed", fmt.Sprintf("its geometry could not be computed (%v)", x), "export the element as a boundary representation or a face set")
		}
	}()
	if b = compute(); b != nil && len(b.Solids) == 0 {
		return nil // an axis alone is no body
	}
	if b != nil && !Near(b) {
		c.v.skip(c.v.row(id), "geometry-far", "its geometry reaches further than any building stands from it, or has no finite size; it is left out", "look at the element in the authoring tool and export it again")
		return nil
	}
	return b
}

// Build implements Content.
func (c *content) Build(origin geom.Vec3) *Part {
	c.begin(origin)
	c.rel.prepare()
	c.reportSecond()
	c.readStoreys()
	c.readProducts()
	c.linkElements()
	c.readZones()
	c.readGrids()
	c.file.Discipline = Discipline(c.part.Elements, len(c.part.Spaces))
	c.hash.Wait()
	c.products, c.made, c.placed, c.kinds, c.turned = nil, nil, nil, nil, nil // memory for what comes
	c.rel = &relations{typeOf: c.rel.typeOf, defs: c.rel.defs}                // what properties are read by
	return c.part
}

// begin starts the file's part.
func (c *content) begin(origin geom.Vec3) {
	c.origin = origin
	c.storeys, c.usages = map[graph.ID]*Storey{}, map[*Element]layerUsage{}
	c.part = &Part{Files: []*File{c.file}}
	if all := c.v.rows("IfcProject"); len(all) > 0 {
		if c.part.Project = all[0].str("LongName"); c.part.Project == "" {
			c.part.Project = all[0].str("Name")
		}
	}
}

// moved subtracts the building's origin from a transform in the file's metres.
func (c *content) moved(m geom.Mat) geom.Mat {
	m.O = m.O.Sub(c.origin)
	return m
}
