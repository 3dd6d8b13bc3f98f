package ifcjson

import (
	"fmt"
	"sort"
	"strings"
	"sync"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/source"
)

// builder turns the composed tree into a part of a building.
type builder struct {
	c      *content
	origin geom.Vec3
	schema *express.Schema
	part   *model.Part
	byPath map[string]*model.Element // by node path, the first instance
	used   map[string]int            // GlobalIds given
	next   graph.ID
	bounds []boundary
	placed map[string]bool // paths that stand outside zones
	zoned  []zoned
}

type boundary struct{ space, element string }

// where is what a node stands in.
type where struct {
	storey *model.Storey
	whole  *model.Element
	zone   *model.Zone
	place  geom.Mat // of the parent
	chain  string   // path of names from the root
	hidden bool
}

// Build implements model.Content.
func (c *content) Build(origin geom.Vec3) *model.Part {
	b := &builder{c: c, origin: origin, schema: express.ForName("IFC4X3"), part: &model.Part{}, byPath: map[string]*model.Element{}, used: map[string]int{}}
	for _, d := range c.docs {
		b.part.Files = append(b.part.Files, c.files[d].File)
	}
	start := geom.Identity()
	start.O = start.O.Sub(origin)
	b.placed = map[string]bool{}
	for _, r := range c.roots {
		r.outsideZones(b.placed)
	}
	for _, r := range c.roots {
		b.visit(r, where{place: start})
	}
	b.finish()
	return b.part
}

// visit makes what a node stands for and goes on to its children. A child of a zone that
// stands in a storey too is the same thing and not a second one.
func (b *builder) visit(n *node, w where) {
	if w.zone != nil && b.placed[n.class] {
		b.zoned = append(b.zoned, zoned{w.zone, n.class})
		return
	}
	w.chain += "/" + n.name
	m := n.transform(w.place)
	w.hidden = w.hidden || n.invisible()
	if n.has(boundaryAttr) {
		b.boundary(n)
	}
	if ent, words := b.entity(n); ent != nil {
		b.product(n, ent, words, m, &w)
	}
	w.place = m
	for _, k := range n.children {
		b.visit(k, w)
	}
}

// entity resolves a class code. Codes may end in a predefined type, as in
// IfcEarthworksFillSUBGRADE.
func (b *builder) entity(n *node) (*express.Entity, string) {
	code := n.code()
	if code == "" {
		if n.has(classAttr) {
			b.problem(n, source.Skipped, "class-without-code", "its class has no code; it is not read as an element", "export the model again")
		}
		return nil, ""
	}
	for i := len(code); i > 3; i-- {
		if e := b.schema.Entity(code[:i]); e != nil && strings.EqualFold(e.Name, code[:i]) {
			return e, code[i:]
		}
	}
	b.problem(n, source.Warning, "unknown-class", fmt.Sprintf("class %q is not in IFC4X3; it is taken as IfcBuildingElementProxy", code), "")
	return b.schema.Entity("IfcBuildingElementProxy"), ""
}

func (b *builder) product(n *node, ent *express.Entity, words string, m geom.Mat, w *where) {
	switch {
	case ent.Is("IfcProject"):
		if b.part.Project == "" {
			b.part.Project = title(n)
		}
	case ent.Is("IfcBuildingStorey"):
		w.storey = &model.Storey{GlobalID: b.id(n, w.chain), Name: title(n), ElevationM: m.O.Z}
		b.part.Storeys = append(b.part.Storeys, w.storey)
	case ent.Is("IfcZone"), ent.Is("IfcSpatialZone"):
		w.zone = b.zone(n, ent, words, m, w)
	case ent.Is("IfcProduct"):
		b.occurrence(n, ent, words, m, w)
	}
}

func (b *builder) occurrence(n *node, ent *express.Entity, words string, m geom.Mat, w *where) {
	role := model.RoleOf(ent)
	switch role {
	case model.OpeningRole:
		b.opening(n, words, m, w)
		return
	case model.ElementRole, model.SpaceRole:
	default:
		return
	}
	e := b.element(n, ent, words, m, w)
	if _, ok := b.byPath[n.class]; !ok {
		b.byPath[n.class] = e
	}
	if role == model.SpaceRole {
		s := &model.Space{Element: e}
		b.part.Spaces = append(b.part.Spaces, s)
		if w.zone != nil {
			w.zone.Spaces = append(w.zone.Spaces, s)
			s.Zones = append(s.Zones, w.zone)
		}
		return
	}
	if w.zone != nil {
		w.zone.Elements = append(w.zone.Elements, e)
	}
	switch host := w.whole; {
	case host == nil:
	case (e.Is("IfcDoor") || e.Is("IfcWindow")) && !host.Is("IfcElementAssembly"):
		b.filling(n, e, m, host)
	default:
		e.Whole = host
		host.Parts = append(host.Parts, e)
	}
	w.whole = e
	b.part.Elements = append(b.part.Elements, e)
}

// element reads an occurrence. Its File is that of the first layer that names it.
func (b *builder) element(n *node, ent *express.Entity, words string, m geom.Mat, w *where) *model.Element {
	b.next++
	e := &model.Element{Kind: &model.Kind{Entity: ent.Name, Predefined: n.predefined(words), LongName: n.prop("LongName"), Description: n.prop("Description"),
		ObjectType: n.prop("ObjectType"), File: b.file(n), Classes: n.classes()},
		GlobalID: b.id(n, w.chain), Name: title(n), Tag: n.prop("Tag"), ID: b.next, Storey: w.storey}
	e.SetPlacement(m)
	for p := ent.Parent; p != nil; p = p.Parent {
		e.Parents = append(e.Parents, p.Name)
	}
	for _, t := range n.types {
		if t.has(materialAttr) || t.code() == "" && t.prop("Name") == "" && t.prop("TypeName") == "" {
			continue // a material or a style
		}
		if e.TypeName = t.prop("TypeName"); e.TypeName == "" {
			e.TypeName = t.prop("Name")
		}
	}
	solids := n.solids(m)
	if w.hidden {
		solids = nil
	}
	e.Materials = b.materials(n)
	e.SetProps(sync.OnceValue(n.props))
	e.HasShape = len(solids) > 0
	e.SetBody(b.body(n, solids, func() []geom.Vec3 { return n.axisLine(m) }))
	return e
}

// file returns the file of the first layer that describes a node.
func (b *builder) file(n *node) *model.File {
	if f := b.c.files[n.origin]; f != nil {
		return f.File
	}
	return b.part.Files[0]
}

// materials lists the codes of the element's own material and of those of its geometry.
func (b *builder) materials(n *node) []string {
	var out []string
	var look func(*node)
	look = func(k *node) {
		if code := k.field(materialAttr, "code"); code != "" {
			found := false
			for _, x := range out {
				found = found || x == code
			}
			if !found {
				out = append(out, code)
			}
			b.noteMaterial(k, code, b.c.files[n.origin])
		}
		for _, c := range k.children {
			if c.code() == "" && !c.has(boundaryAttr) {
				look(c)
			}
		}
	}
	look(n)
	return out
}

// noteMaterial keeps the material properties that come with a material: all attributes of
// the inherited material node but its code and presentation.
func (b *builder) noteMaterial(n *node, code string, f *layerFile) {
	if f == nil {
		return
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.mats[code] != nil {
		return
	}
	for _, t := range n.types {
		if t.field(materialAttr, "code") == code {
			f.mats[code] = t.props()
			return
		}
	}
}

// id gives the node's GlobalId; later instances of one node get one of their own.
func (b *builder) id(n *node, chain string) string {
	b.used[n.class]++
	if b.used[n.class] == 1 {
		return globalID(n.class)
	}
	return globalID(chain)
}

// title is the Name property, else the node's name under its parent, without the path that
// some tools append to it.
func title(n *node) string {
	if s := n.prop("Name"); s != "" {
		return s
	}
	return strings.TrimSuffix(strings.TrimSuffix(n.name, n.class), " - ")
}

func (b *builder) opening(n *node, words string, m geom.Mat, w *where) {
	if w.whole == nil {
		b.problem(n, source.Warning, "opening-without-host", "the opening stands in no element; it is left out", "make it a child of the element it is cut into")
		return
	}
	b.next++
	solids := n.solids(m)
	b.addOpening(&model.Opening{GlobalID: b.id(n, w.chain), Name: title(n), Predefined: n.predefined(words), Host: w.whole, ID: b.next, Placement: m,
		File: b.file(n), Body: b.body(n, solids, nil)})
}

// filling is a door or window below a wall: its invisible solid is the opening.
func (b *builder) filling(n *node, e *model.Element, m geom.Mat, host *model.Element) {
	b.next++
	o := &model.Opening{GlobalID: globalID(n.class + "/opening"), Name: e.Name, Predefined: "OPENING", Host: host, Filling: e, Fillings: []*model.Element{e},
		ID: b.next, Placement: m, File: e.File}
	var solids []placed
	for _, k := range n.children {
		if k.invisible() {
			solids = append(solids, k.solids(k.transform(m))...)
		}
	}
	o.Body = b.body(n, solids, nil)
	b.addOpening(o)
}

func (b *builder) addOpening(o *model.Opening) {
	o.Host.Openings = append(o.Host.Openings, o)
	b.part.Openings = append(b.part.Openings, o)
}

func (b *builder) boundary(n *node) {
	var x boundary
	for _, m := range members(n.attrs[boundaryAttr].val) {
		for _, r := range members(m.val) {
			if r.name != "ref" || r.val.Kind() != '"' {
				continue
			}
			switch strings.ToLower(m.name) {
			case "relatedelement":
				x.element = head(stringOf(r.val))
			case "relatingspace":
				x.space = head(stringOf(r.val))
			}
		}
	}
	b.bounds = append(b.bounds, x)
}

// finish links boundaries and puts every list in order.
func (b *builder) finish() {
	p := b.part
	sort.SliceStable(p.Storeys, func(i, j int) bool { return p.Storeys[i].GlobalID < p.Storeys[j].GlobalID })
	sort.SliceStable(p.Elements, func(i, j int) bool { return p.Elements[i].GlobalID < p.Elements[j].GlobalID })
	sort.SliceStable(p.Spaces, func(i, j int) bool { return p.Spaces[i].GlobalID < p.Spaces[j].GlobalID })
	sort.SliceStable(p.Zones, func(i, j int) bool { return p.Zones[i].GlobalID < p.Zones[j].GlobalID })
	sort.SliceStable(p.Openings, func(i, j int) bool { return p.Openings[i].GlobalID < p.Openings[j].GlobalID })
	for _, e := range p.Elements {
		sort.SliceStable(e.Parts, func(i, j int) bool { return e.Parts[i].GlobalID < e.Parts[j].GlobalID })
	}
	spaces := map[*model.Element]*model.Space{}
	for _, s := range p.Spaces {
		spaces[s.Element] = s
	}
	b.linkZones(spaces)
	for _, x := range b.bounds {
		s, e := spaces[b.byPath[x.space]], b.byPath[x.element]
		if s == nil || e == nil || spaces[e] != nil {
			continue
		}
		s.Bounds = append(s.Bounds, e)
	}
	for _, s := range p.Spaces {
		sort.SliceStable(s.Bounds, func(i, j int) bool { return s.Bounds[i].GlobalID < s.Bounds[j].GlobalID })
	}
	if b.c.guest {
		return
	}
	for _, f := range p.Files {
		var own []*model.Element
		for _, e := range p.Elements {
			if e.File == f {
				own = append(own, e)
			}
		}
		f.Discipline = model.Discipline(own, 0)
	}
}

func (b *builder) problem(n *node, sev source.Severity, code, text, fix string) {
	p := source.Problem{Severity: sev, Entity: n.class, Name: title(n), Code: code, Text: text, Fix: fix}
	if n.origin != nil {
		p.File = n.origin.file.Name
		p.Line, p.Col = n.origin.file.Position(n.off)
	}
	b.c.log.Add(p)
}
