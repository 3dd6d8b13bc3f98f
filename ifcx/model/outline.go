package model

import (
	"cmp"
	"slices"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// outline is the content of a file that is only looked over: it counts elements where they
// lie in the index and reads the few attributes that tell them apart.
type outline struct {
	*content
	kinds  map[*express.Entity]*sorting
	build  map[graph.ID]buildUp // by what a material association names
	parts  map[graph.ID]bool    // walls and slabs that have parts
	tally  tally
	above  map[graph.ID]*Storey // storey of what directly holds elements
	last   *Storey              // of lastUp
	lastUp graph.ID
	loose  int // elements with geometry in no storey
}

// sorting is what is known of an entity.
type sorting struct {
	role                          Role
	predefined, buildUp, addition bool
}

// buildUp is what a material association comes to: named is false when it names nothing, and
// layers is how many layers it has, 0 when it is no layer set.
type buildUp struct {
	named  bool
	layers int
}

// OutlineOf prepares a file that is an instance graph for a look at what is in it: its Part
// has storeys, spaces and zones, and elements are counted and not made. Nothing is placed but
// the storeys.
func OutlineOf(g *graph.Graph) Content {
	return &outline{content: newContent(g), kinds: map[*express.Entity]*sorting{},
		build: map[graph.ID]buildUp{}, parts: map[graph.ID]bool{}, tally: tally{}, above: map[graph.ID]*Storey{}}
}

// Anchor implements Content: an outline has no coordinates that could suffer from being far
// from the origin.
func (o *outline) Anchor() (geom.Vec3, bool) { return geom.Vec3{}, false }

// Build implements Content.
func (o *outline) Build(origin geom.Vec3) *Part {
	o.begin(origin)
	o.reportSecond()
	o.readStoreys()
	o.readParts()
	o.readLayerSets()
	openings := o.count()
	o.readZones()
	o.part.groups = o.tally.groups()
	d := disciplines{architecture: len(o.part.Spaces)}
	for _, g := range o.part.groups {
		d.add(g.Is, g.N)
	}
	o.file.Discipline = d.word()
	if openings > 0 {
		o.part.groups = append(o.part.groups, Group{Sort{Entity: "IfcOpeningElement", is: func(e string) bool { return e == "IfcOpeningElement" }}, openings})
	}
	reportLoose(o.v.g.Log, o.file, o.loose)
	return o.part
}

// sorting returns what is known of an entity.
func (o *outline) sorting(e *express.Entity) *sorting {
	s := o.kinds[e]
	if s == nil {
		s = &sorting{role: RoleOf(e), predefined: asksPredefined(e.Is), buildUp: asksBuildUp(e.Is), addition: e.Is("IfcFeatureElementAddition")}
		o.kinds[e] = s
	}
	return s
}

// readParts notes the walls and slabs that have parts.
func (o *outline) readParts() {
	last := graph.ID(0)
	note := func(part, whole graph.ID) {
		if whole == last {
			return
		}
		if e := o.v.g.Entity(whole); e != nil && o.sorting(e).buildUp && o.sorting(o.v.g.Entity(part)).role == ElementRole {
			o.parts[whole] = true
			last = whole
		}
	}
	o.rel.whole().each(note)
	for _, id := range o.v.g.ByType("IfcFeatureElementAddition", true) {
		if o.rel.whole().of(id) == 0 {
			note(id, o.rel.host().of(id))
		}
	}
}

// readLayerSets reads the layer sets that anything is made of, so that what is wrong with
// them is told.
func (o *outline) readLayerSets() {
	last := graph.ID(0)
	o.rel.material().each(func(_, m graph.ID) {
		if m != last {
			last = m
			o.buildUp(m)
		}
	})
}

func (o *outline) buildUp(m graph.ID) buildUp {
	b, ok := o.build[m]
	if !ok {
		e := Element{Kind: &Kind{}}
		o.addMaterial(&e, o.v.row(m), layerUsage{}, 0)
		b.named = len(e.Materials) > 0 || e.Layers != nil
		if e.Layers != nil {
			b.layers = len(e.Layers.Layers)
		}
		o.build[m] = b
	}
	return b
}

// layered is what readMaterials says of the layers of an element.
func (o *outline) layered(id, typ graph.ID) buildUp {
	var b buildUp
	for _, from := range []graph.ID{id, typ} {
		for _, m := range o.rel.material().of(from) {
			x := o.buildUp(m)
			b.named = b.named || x.named
			if b.layers == 0 {
				b.layers = x.layers
			}
		}
		if b.named {
			break
		}
	}
	return b
}

// products returns which kinds of instance are products that count, by kind.
func (o *outline) products() (wanted []bool, of []*sorting) {
	for _, e := range o.v.g.Kinds() {
		s := o.sorting(e)
		wanted = append(wanted, e.Is("IfcProduct") && s.role != NoRole && s.role != GridRole)
		of = append(of, s)
	}
	return wanted, of
}

// count counts the elements and makes the spaces; it returns how many openings there are.
func (o *outline) count() (openings int) {
	g := o.v.g
	wanted, of := o.products()
	counts := make([]int, len(of))
	o.part.guids = &guids{file: o.file, hashes: make([]uint64, 0, g.CountOf(func(e *express.Entity) bool { return e.Is("IfcProduct") }))}
	g.Walk(wanted, func(place, kind int) {
		if !g.ReadableAt(place) {
			return
		}
		id, s := g.At(place), of[kind]
		gid := g.StrAt(place, "GlobalId")
		if gid == "" {
			o.reportNoGUID(o.v.row(id))
		} else {
			o.part.guids.add(gid, s.role == ElementRole)
		}
		switch s.role {
		case ElementRole:
			o.hold(id, place)
			if s.predefined || s.buildUp {
				o.tally.add(o.sort(id, g.Kinds()[kind], s), 1)
			} else {
				counts[kind]++
			}
		case SpaceRole:
			o.part.Spaces = append(o.part.Spaces, o.space(id, gid))
		case OpeningRole:
			openings++
			if h := g.Entity(o.rel.host().at(place)); h == nil || o.sorting(h).role != ElementRole && o.sorting(h).role != SpaceRole {
				o.reportNoHost(id)
			}
		}
	})
	for kind, n := range counts {
		if e := g.Kinds()[kind]; n > 0 {
			o.tally.add(Sort{Entity: e.Name, is: e.Is}, n)
		}
	}
	o.reportDoubles(wanted)
	slices.SortFunc(o.part.Spaces, func(a, b *Space) int { return cmp.Or(cmp.Compare(a.GlobalID, b.GlobalID), cmp.Compare(a.ID, b.ID)) })
	return openings
}

// space makes a space without placement, materials and geometry.
func (o *outline) space(id graph.ID, gid string) *Space {
	r := o.v.row(id)
	return &Space{Element: &Element{Kind: &Kind{Entity: r.ent.Name, Parents: o.supers[r.ent], LongName: r.str("LongName"), File: o.file},
		GlobalID: gid, Name: r.str("Name"), ID: id, Storey: o.storeyOf(id)}}
}

// hold counts an element in its storey.
func (o *outline) hold(id graph.ID, place int) {
	up := o.rel.container().at(place)
	if up == 0 {
		up = o.rel.whole().at(place)
	}
	if up == 0 {
		up = o.up(id)
	}
	s := o.last
	if up != o.lastUp || up == 0 {
		known := false
		if s, known = o.above[up]; !known {
			s = o.storeys[o.climb(up, "IfcBuildingStorey")]
			o.above[up] = s
		}
		o.last, o.lastUp = s, up
	}
	if s == nil {
		s = o.storeyOf(id)
	}
	if s != nil {
		s.held++
		return
	}
	if o.v.g.Ref(id, "Representation") != 0 {
		o.loose++
	}
	for w, n := o.rel.whole().of(id), 0; w != 0 && n < 64; w, n = o.rel.whole().of(w), n+1 {
		if w == id {
			o.v.warn(o.v.row(id), "part-of-itself", "is part of something that is part of it; the relationship is left out", "")
			break
		}
	}
}

// sort tells what group an element belongs to.
func (o *outline) sort(id graph.ID, e *express.Entity, s *sorting) Sort {
	out := Sort{Entity: e.Name, is: e.Is}
	typ := o.v.row(o.rel.typeOf().of(id))
	if s.predefined {
		out.Predefined = predefined(row{id, e, o.v.g}, typ)
	}
	if !s.buildUp {
		return out
	}
	b := o.layered(id, typ.id)
	whole := o.rel.whole().of(id)
	if w := o.v.g.Entity(whole); w != nil {
		out.PartOfWall = w.Is("IfcWall") && e.Is("IfcWall")
		if !b.named && e.Is("IfcSlab") && w.Is("IfcRoof") { // the slabs of a roof are built up as the roof says
			b = o.layered(whole, o.rel.typeOf().of(whole))
		}
	}
	out.Layered, out.HasParts = b.layers > 1, o.parts[id]
	return out
}
