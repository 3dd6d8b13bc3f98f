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

// Part is what one file contributes before federation. Lists are ordered by GlobalId.
type Part struct {
	File     *File
	Project  string
	Storeys  []*Storey
	Spaces   []*Space
	Zones    []*Zone
	Elements []*Element
	Openings []*Opening
	Grids    []*Grid
}

// FarAway is the distance in metres from its own origin beyond which a model is moved to a
// local origin: float64 keeps 1e-10 m at 1,000 km, but products of coordinates lose digits.
const FarAway = 1000

// content builds from an instance graph.
type content struct {
	v       *view
	file    *File
	rel     *relations
	builder *bodyBuilder
	origin  geom.Vec3
	defs    func() map[graph.ID][]graph.ID
	part    *Part
	byID    map[graph.ID]*Element
	storeys map[graph.ID]*Storey
	supers  map[*express.Entity][]string
}

// FromGraph prepares a file that is an instance graph (STEP or ifcXML).
func FromGraph(g *graph.Graph) Content {
	v := &view{g: g}
	v.units = v.readUnits()
	c := &content{v: v, rel: readRelations(v), builder: newBuilder(g)}
	c.defs = sync.OnceValue(c.readDefs)
	l := v.units.length()
	c.file = &File{Name: g.File.Name, SHA256: g.File.SHA256, Schema: g.Schema.Name, Tool: v.tool(), Entities: g.Len(),
		LengthUnitM: l.factor, LengthUnit: l.name, Graph: g, Map: v.mapConversion()}
	c.file.matProps = sync.OnceValue(c.readMaterialProps)
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
	for _, r := range v.rows("IfcMapConversion") {
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
	return nil
}

// place returns the placement of a product in the file's own metres.
func (c *content) place(id graph.ID) geom.Mat {
	return placementOf(c.v.g, c.v.units.length().factor, c.v.g.Ref(id, "ObjectPlacement"))
}

// Anchor implements Content: the middle one, along each axis, of all placed shapes. When all
// stand at one point near the origin, the geometry itself may be far away and one body is tried.
func (c *content) Anchor() (geom.Vec3, bool) {
	var pts [3][]float64
	var first graph.ID
	for _, r := range c.v.rows("IfcProduct") {
		if r.ref("Representation") == 0 || r.ref("ObjectPlacement") == 0 {
			continue
		}
		if first == 0 {
			first = r.id
		}
		o := c.place(r.id).O
		for i, x := range [3]float64{o.X, o.Y, o.Z} {
			if !math.IsNaN(x) && !math.IsInf(x, 0) {
				pts[i] = append(pts[i], x)
			}
		}
	}
	if len(pts[0]) == 0 || len(pts[1]) == 0 || len(pts[2]) == 0 {
		return geom.Vec3{}, false
	}
	var a [3]float64
	spread := 0.0
	for i := range pts {
		sort.Float64s(pts[i])
		a[i] = pts[i][len(pts[i])/2]
		spread = math.Max(spread, pts[i][len(pts[i])-1]-pts[i][0])
	}
	p := geom.Vec3{X: a[0], Y: a[1], Z: a[2]}
	if spread < 1 {
		if b := c.body(first, c.place(first)); b != nil && !b.Box.IsEmpty() {
			p = b.Box.Center()
		}
	}
	return geom.Vec3{X: wholeIfFar(p.X), Y: wholeIfFar(p.Y), Z: wholeIfFar(p.Z)}, true
}

func wholeIfFar(x float64) float64 {
	if math.Abs(x) < FarAway {
		return 0
	}
	return math.Floor(x)
}

// body computes a body and turns a panic on hostile geometry into a problem.
func (c *content) body(id graph.ID, place geom.Mat) (b *shape.Body) {
	defer func() {
		if x := recover(); x != nil {
			b = nil
			c.v.skip(c.v.row(id), "geometry-failed", fmt.Sprintf("its geometry could not be computed (%v)", x), "export the element as a boundary representation or a face set")
		}
	}()
	return c.builder.Body(id, place)
}

// Build implements Content.
func (c *content) Build(origin geom.Vec3) *Part {
	c.origin = origin
	c.byID, c.storeys, c.supers = map[graph.ID]*Element{}, map[graph.ID]*Storey{}, map[*express.Entity][]string{}
	c.part = &Part{File: c.file}
	for _, r := range c.v.rows("IfcProject") {
		if c.part.Project = r.str("LongName"); c.part.Project == "" {
			c.part.Project = r.str("Name")
		}
		break
	}
	c.reportSecond()
	c.readStoreys()
	c.readProducts()
	c.linkElements()
	c.readZones()
	c.readGrids()
	c.file.Discipline = discipline(c.part.Elements, len(c.part.Spaces))
	return c.part
}

// moved subtracts the building's origin from a transform in the file's metres.
func (c *content) moved(m geom.Mat) geom.Mat {
	m.O = m.O.Sub(c.origin)
	return m
}
