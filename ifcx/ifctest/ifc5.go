package ifctest

import (
	"fmt"
	"io"
	"strings"

	"voidcheck/ifcx/geom"
)

// WriteIFC5 writes the model as one IFC5 file (.ifcx): the same elements with the same
// GlobalIds, names, types, materials, properties, rooms and zones as WriteSTEP, their bodies
// as meshes. The unit of the disguise does not matter, since IFC5 is in metres, nor does the
// way it writes geometry. IFC5 has no material layers: a layered model is refused.
func (m *Model) WriteIFC5(w io.Writer, d Disguise) error {
	x, err := newIFC5Writer(m, d)
	if err != nil {
		return err
	}
	x.model()
	return writeLayer(w, layerHead{ID: x.w.s.FileName, Author: x.w.s.Tool}, append(x.base, x.over...))
}

// WriteIFC5Layers writes the model as two IFC5 files that only together make it: in the lower
// one, elements have wrong names, walls a wrong fire rating, and there is a wall too many; the
// upper one puts this right, removes that wall, and has the materials and types.
func (m *Model) WriteIFC5Layers(lower, upper io.Writer, d Disguise) error {
	x, err := newIFC5Writer(m, d)
	if err != nil {
		return err
	}
	x.wrong = true
	x.model()
	low, up := "lower-"+x.w.s.FileName, "upper-"+x.w.s.FileName
	if err := writeLayer(lower, layerHead{ID: low, Author: x.w.s.Tool}, x.base); err != nil {
		return err
	}
	return writeLayer(upper, layerHead{ID: up, Author: x.w.s.Tool, Imports: []string{low}}, x.over)
}

// ifc5Writer makes the nodes of one model.
type ifc5Writer struct {
	w     *modelWriter // for names, entities and places
	base  []ifc5Node   // structure, classes and geometry
	over  []ifc5Node   // names, materials, types and properties
	wrong bool         // put things into base that over corrects
	known map[string]bool
	at    map[*Part]geom.Mat
	rooms map[*Room]string
	kids  map[string][]ifc5Link
	order []string // parents in the order in which they got children
}

func newIFC5Writer(m *Model, d Disguise) (*ifc5Writer, error) {
	for _, p := range m.Parts {
		if len(p.Layers) > 0 {
			return nil, fmt.Errorf("house %q: IFC5 has no material layers; write a framed model", m.Name)
		}
	}
	d.Schema, d.Unit = "IFC4X3", "m"
	w, err := newModelWriter(m, d)
	if err != nil {
		return nil, err
	}
	w.s.FileName = strings.TrimSuffix(w.s.FileName, ".ifc") + ".ifcx"
	w.findFirst()
	return &ifc5Writer{w: w, known: map[string]bool{}, at: map[*Part]geom.Mat{}, rooms: map[*Room]string{}, kids: map[string][]ifc5Link{}}, nil
}

// path is the path of a thing: the UUID that its GlobalId stands for.
func (x *ifc5Writer) path(key string) string { return uuidOf(x.w.guid(key)) }

// node starts what the lower layer says of a path.
func (x *ifc5Writer) node(path, class string, at geom.Mat) {
	n := ifc5Node{path: path}
	n.set("bsi::ifc::class", ifc5Object{{"code", class}, {"uri", "https://identifier.buildingsmart.org/uri/buildingsmart/ifc/4.3/class/" + class}})
	if at != geom.Identity() {
		n.set("usd::xformop", ifc5Object{{"transform", rows(at)}})
	}
	x.base = append(x.base, n)
}

// say adds a text property, in the upper layer; nil is left out.
func (x *ifc5Writer) say(path, name string, v any) {
	if v == nil {
		return
	}
	n := ifc5Node{path: path}
	n.set("bsi::ifc::prop::"+name, v)
	x.over = append(x.over, n)
	if x.wrong && name == "Name" {
		n := ifc5Node{path: path}
		n.set("bsi::ifc::prop::Name", "not yet named")
		x.base = append(x.base, n)
	}
}

// under makes a node the child of another.
func (x *ifc5Writer) under(parent, path string, name any) {
	key := path
	if name != nil {
		key = fmt.Sprint(name, " - ", path)
	}
	if len(x.kids[parent]) == 0 {
		x.order = append(x.order, parent)
	}
	x.kids[parent] = append(x.kids[parent], ifc5Link{key, path})
}

func (x *ifc5Writer) model() {
	w, m := x.w, x.w.m
	project, site, building := x.path("project"), x.path("site"), x.path("building")
	x.node(project, "IfcProject", geom.Identity())
	x.say(project, "Name", m.Name)
	move := w.d.move()
	if w.d.Baked {
		move = geom.Identity()
	}
	x.node(site, "IfcSite", move)
	x.say(site, "Name", "Site")
	x.node(building, "IfcBuilding", geom.Identity())
	x.say(building, "Name", m.Name)
	x.under(project, site, "Site")
	x.under(site, building, m.Name)
	for k, st := range m.Storeys {
		at := geom.Identity()
		at.O.Z = st.Elevation
		if w.d.Baked {
			at.O.Z += w.d.Shift[2]
		}
		w.stPlace = append(w.stPlace, place{mat: at})
		p, name := x.storey(k), storeyName(w.d.Naming, k)
		x.node(p, "IfcBuildingStorey", at)
		x.say(p, "Name", name)
		x.under(building, p, name)
	}
	x.spaces(building)
	for _, p := range m.Parts {
		x.part(p)
	}
	for _, parent := range x.order {
		x.base = append(x.base, ifc5Node{path: parent, children: x.kids[parent]})
	}
	if x.wrong {
		x.spare()
	}
}

// spare adds a wall to the lower layer that the upper one removes.
func (x *ifc5Writer) spare() {
	p, top := x.path("spare wall"), x.storey(0)
	x.node(p, "IfcWall", geom.Identity())
	x.base = append(x.base, ifc5Node{path: top, children: []ifc5Link{{"spare wall", p}}})
	x.body(p, []Prism{Box(Span{0, 3}, Span{0, 0.1}, Span{0, 2}, Z)})
	x.over = append(x.over, ifc5Node{path: top, children: []ifc5Link{{"spare wall", ""}}})
}

func (x *ifc5Writer) storey(k int) string { return x.path(fmt.Sprint("storey/", k)) }

func (x *ifc5Writer) spaces(building string) {
	w := x.w
	scheme, zones := "letter", false
	if h := w.m.House; h != nil {
		scheme, zones = h.RoomNames, h.Zones && !w.d.NoZones
	}
	for i, r := range w.m.Rooms {
		p := x.path(fmt.Sprintf("space/%d/%d/%d", r.Unit, r.Storey, r.N))
		x.rooms[r] = p
		st := w.stPlace[r.Storey]
		var solids []Prism
		for _, s := range r.Solids {
			solids = append(solids, w.toModel(s))
		}
		at := solids[0].Frame
		for j := range solids {
			solids[j] = relative(solids[j], at)
		}
		number, use := roomName(w.d.Naming, scheme, r, i+1)
		x.node(p, "IfcSpace", inverse(st.mat).Then(at))
		x.say(p, "Name", number)
		x.say(p, "LongName", use)
		x.say(p, "PredefinedType", "INTERNAL")
		x.body(p, solids)
		x.under(x.storey(r.Storey), p, number)
	}
	if !zones {
		return
	}
	for _, z := range w.m.Zones {
		p, name := x.path(fmt.Sprint("zone/", z.Unit)), zoneName(w.d.Naming, z.Unit)
		x.node(p, "IfcZone", geom.Identity())
		x.say(p, "Name", name)
		if w.d.Naming != NamesNone {
			x.say(p, "ObjectType", "Dwelling unit")
		}
		for _, r := range z.Rooms {
			x.under(p, x.rooms[r], nil)
		}
		x.under(building, p, name)
	}
}

// part writes a part with its body, openings, material, type and properties, and the copies
// that the disguise asks for.
func (x *ifc5Writer) part(p *Part) {
	w := x.w
	in, parent := w.stPlace[p.Storey].mat, x.storey(p.Storey)
	if p.Parent != nil {
		in, parent = x.at[p.Parent], x.path(p.Parent.key)
	}
	var own []Prism
	for _, s := range w.d.dress(p) {
		own = append(own, w.toModel(s))
	}
	at := in
	switch {
	case p.Frame != nil:
		at = w.toModel(Prism{Frame: *p.Frame}).Frame
	case len(own) > 0:
		at = own[0].Frame
	default:
		at.O = w.assemblyOrigin(p, in.O)
	}
	x.at[p] = at
	var cuts []Prism
	for _, o := range p.Openings {
		cuts = append(cuts, relative(w.toModel(o.Solid), at))
	}
	for i := range own {
		own[i] = relative(own[i], at)
	}
	keys := []string{p.key}
	if n := w.d.Duplicate; n > 0 && p.Linear && p.N%n == 0 {
		keys = append(keys, p.key+"/copy")
	}
	for _, key := range keys {
		path, e, name := x.path(key), w.kindOf(p), partName(w.d.Naming, p)
		x.node(path, e.entity, inverse(in).Then(at))
		x.say(path, "Name", name)
		x.say(path, "PredefinedType", e.predefined)
		x.say(path, "ObjectType", w.objectType(e, p))
		x.say(path, "Tag", w.tag(p))
		x.body(path, own, cuts...)
		for i := range cuts {
			if o := p.Openings[i]; o.Door != nil {
				x.door(path, fmt.Sprintf("%s/opening/%d", key, i), o, cuts[i], relative(w.toModel(o.Door.Leaf), at))
				continue
			}
			x.opening(path, fmt.Sprintf("%s/opening/%d", key, i), p.Openings[i], cuts[i])
		}
		x.inherit(p, path, e)
		for _, q := range p.Props {
			x.say(path, q.Name, q.Value)
			if x.wrong && q.Name == "FireRating" {
				n := ifc5Node{path: path}
				n.set("bsi::ifc::prop::FireRating", "none")
				x.base = append(x.base, n)
			}
		}
		x.under(parent, path, name)
	}
}

// inherit gives a part its material and type.
func (x *ifc5Writer) inherit(p *Part, path string, e entityOf) {
	n := ifc5Node{path: path}
	if len(p.Solids) > 0 {
		name := materialName(x.w.d.Naming, p.Material)
		to := x.path("material/" + name)
		if !x.known[to] {
			x.known[to] = true
			m := ifc5Node{path: to}
			m.set("bsi::ifc::material", ifc5Object{{"code", name}})
			x.over = append(x.over, m)
		}
		n.inherits = append(n.inherits, ifc5Link{"material", to})
	}
	if name := typeName(x.w.d.Naming, p, sizeOf(p)); e.typeEntity != "" && name != nil {
		to := x.path(fmt.Sprint("type/", e.typeEntity, name))
		if !x.known[to] {
			x.known[to] = true
			t := ifc5Node{path: to}
			t.set("bsi::ifc::prop::Name", name)
			x.over = append(x.over, t)
		}
		n.inherits = append(n.inherits, ifc5Link{"TypeProduct", to})
	}
	if len(n.inherits) > 0 {
		x.over = append(x.over, n)
	}
}

func (x *ifc5Writer) opening(host, key string, o Opening, solid Prism) {
	p := x.path(key)
	at := solid.Frame
	x.node(p, "IfcOpeningElement", at)
	if x.w.d.Naming != NamesNone {
		x.say(p, "Name", o.Name)
	}
	x.say(p, "PredefinedType", "OPENING")
	hidden := ifc5Node{path: p}
	hidden.set("usd::usdgeom::visibility", ifc5Object{{"visibility", "invisible"}})
	x.base = append(x.base, hidden)
	x.body(p, []Prism{relative(solid, at)})
	x.under(host, p, nil)
}
