package ifctest

import (
	"bufio"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"math/rand"
	"strings"

	"voidcheck/ifcx/geom"
)

// modelWriter writes one model in one disguise.
type modelWriter struct {
	s        *Step
	m        *Model
	d        Disguise
	owner    any // owner history, nil where optional
	body     Ref // Body context
	axis     Ref // Axis context
	placed   map[*Part]place
	refs     map[*Part]Ref
	storeys  []Ref
	stPlace  []place
	building Ref
	bPlace   place
	children map[*Part][]Ref
	inStorey [][]Ref
	ofMat    map[string][]Ref // material or layer usage key -> parts
	matOrder []string
	matRef   map[string]Ref
	ofType   map[string][]Ref
	typOrder []string
	typRef   map[string]Ref
	shapes   map[string]Ref
	first    map[*Part]*Part // the first child with a solid
}

// place is a written placement with its transform from the building's frame.
type place struct {
	ref Ref
	mat geom.Mat // in the building's frame
}

// WriteSTEP writes the model as an IFC STEP file under the disguise. Equal models and
// disguises give equal bytes.
func (m *Model) WriteSTEP(w io.Writer, d Disguise) error {
	s, err := m.Step(d)
	if err != nil {
		return err
	}
	_, err = s.WriteTo(w)
	return err
}

// STEP returns the file as bytes and panics on a disguise that does not exist; for tests.
func (m *Model) STEP(d Disguise) []byte {
	var b strings.Builder
	if err := m.WriteSTEP(&b, d); err != nil {
		panic(err)
	}
	return []byte(b.String())
}

// newModelWriter checks the disguise and starts an empty file.
func newModelWriter(m *Model, d Disguise) (*modelWriter, error) {
	unit, err := d.unitMetres()
	if err != nil {
		return nil, err
	}
	schema := map[string]string{"": "IFC4", "IFC2X3": "IFC2X3", "IFC4": "IFC4", "IFC4X3": "IFC4X3_ADD2"}[d.Schema]
	if schema == "" {
		return nil, fmt.Errorf("disguise: schema is %q, expected IFC2X3, IFC4 or IFC4X3", d.Schema)
	}
	switch d.Naming {
	case "", NamesEnglish, NamesTerse, NamesGerman, NamesFrench, NamesNone:
	default:
		return nil, fmt.Errorf("disguise: naming is %q", d.Naming)
	}
	w := &modelWriter{s: NewStep(schema), m: m, d: d, placed: map[*Part]place{}, refs: map[*Part]Ref{}, children: map[*Part][]Ref{},
		ofMat: map[string][]Ref{}, matRef: map[string]Ref{}, ofType: map[string][]Ref{}, typRef: map[string]Ref{}, shapes: map[string]Ref{}, first: map[*Part]*Part{}}
	w.s.Unit = unit
	w.s.FileName = strings.ToLower(strings.ReplaceAll(m.Name, " ", "-")) + ".ifc"
	return w, nil
}

// Step returns the instances of the model under the disguise.
func (m *Model) Step(d Disguise) (*Step, error) {
	w, err := newModelWriter(m, d)
	if err != nil {
		return nil, err
	}
	w.all()
	if d.Seed != 0 {
		w.s.scramble(rand.New(rand.NewSource(d.Seed)))
	}
	return w.s, nil
}

// StreamSTEP is WriteSTEP for large models: instances are written as they are made and not
// kept, so that the text is never in memory as a whole. A disguise with a Seed needs them all
// and is refused.
func (m *Model) StreamSTEP(out io.Writer, d Disguise) error {
	if d.Seed != 0 {
		return errors.New("disguise: instances cannot be shuffled while they are streamed")
	}
	w, err := newModelWriter(m, d)
	if err != nil {
		return err
	}
	w.s.out = &stream{w: bufio.NewWriterSize(out, 1<<20)}
	w.s.out.put(w.s.head())
	w.all()
	w.s.out.put(stepTail)
	return w.s.out.w.Flush()
}

// all writes the whole model.
func (w *modelWriter) all() {
	w.project()
	w.spaces()
	w.findFirst()
	for _, p := range w.m.Parts {
		w.part(p)
	}
	w.relations()
}

// findFirst finds the first child with a solid of every assembly.
func (w *modelWriter) findFirst() {
	for _, p := range w.m.Parts {
		if q := p.Parent; q != nil && w.first[q] == nil && len(p.Solids) > 0 {
			w.first[q] = p
		}
	}
}

const guidAlphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$"

// GUID returns a GlobalId that follows from a text: 22 digits of base 64, 128 bits.
func GUID(key string) string {
	h := sha256.Sum256([]byte(key))
	out := make([]byte, 22)
	out[0] = guidAlphabet[h[0]>>6]
	bit := 2
	for i := 1; i < 22; i++ {
		v := 0
		for range 6 {
			v = v<<1 | int(h[bit/8]>>(7-bit%8))&1
			bit++
		}
		out[i] = guidAlphabet[v]
	}
	return string(out)
}

// guid returns the GlobalId of a thing of this model.
func (w *modelWriter) guid(key string) string { return w.m.guid(w.d, key) }

func (m *Model) guid(d Disguise, key string) string {
	if d.Seed != 0 {
		key = fmt.Sprintf("%d/%s", d.Seed, key)
	}
	return GUID(m.Name + "/" + key)
}

// GlobalID returns the GlobalId that a part has in the file written under the disguise.
func (m *Model) GlobalID(p *Part, d Disguise) string { return m.guid(d, p.key) }

// root writes an instance whose first attributes are GlobalId, OwnerHistory, Name, Description.
func (w *modelWriter) root(entity, key string, name any, rest ...any) Ref {
	return w.s.Add(entity, append([]any{w.guid(key), w.owner, name, nil}, rest...)...)
}

// project writes units, contexts, project, site, building and storeys.
func (w *modelWriter) project() {
	s := w.s
	if s.Schema == "IFC2X3" {
		org := s.Add("IfcOrganization", nil, "Fixture workshop", nil, nil, nil)
		person := s.Add("IfcPerson", nil, "Builder", nil, nil, nil, nil, nil, nil)
		app := s.Add("IfcApplication", org, "1", s.Tool, "fixture")
		w.owner = s.Add("IfcOwnerHistory", s.Add("IfcPersonAndOrganization", person, org, nil), app, nil, Enum("ADDED"), nil, nil, nil, 1769853600)
	}
	world := s.Axes(geom.Identity())
	ctx := s.Add("IfcGeometricRepresentationContext", nil, "Model", 3, 1e-5, world, nil)
	sub := func(id string) Ref {
		return s.Add("IfcGeometricRepresentationSubContext", id, "Model", Star, Star, Star, Star, ctx, nil, Enum("MODEL_VIEW"), nil)
	}
	w.body, w.axis = sub("Body"), sub("Axis")
	proj := w.root("IfcProject", "project", w.m.Name, nil, nil, nil, []Ref{ctx}, w.units())
	move := w.d.move()
	site := place{mat: geom.Identity()}
	if w.d.Baked {
		site.ref = s.Placement(0, geom.Identity())
	} else {
		site.ref = s.Placement(0, move)
	}
	w.bPlace = place{ref: s.Placement(site.ref, geom.Identity()), mat: geom.Identity()}
	sr := w.root("IfcSite", "site", "Site", nil, site.ref, nil, nil, Enum("ELEMENT"), nil, nil, nil, nil, nil)
	w.building = w.root("IfcBuilding", "building", w.m.Name, nil, w.bPlace.ref, nil, nil, Enum("ELEMENT"), nil, nil, nil)
	for k, st := range w.m.Storeys {
		at := geom.Identity()
		at.O.Z = st.Elevation
		elev := st.Elevation
		if w.d.Baked {
			at.O.Z += w.d.Shift[2]
			elev += w.d.Shift[2]
		}
		pl := place{s.Placement(w.bPlace.ref, at), at}
		w.stPlace = append(w.stPlace, pl)
		w.storeys = append(w.storeys, w.root("IfcBuildingStorey", fmt.Sprint("storey/", k), storeyName(w.d.Naming, k), nil, pl.ref, nil, nil, Enum("ELEMENT"), s.Len(elev)))
	}
	w.inStorey = make([][]Ref, len(w.storeys))
	w.aggregate("project", proj, []Ref{sr})
	w.aggregate("site", sr, []Ref{w.building})
	w.aggregate("building", w.building, w.storeys)
}

func (w *modelWriter) aggregate(key string, whole Ref, parts []Ref) {
	w.root("IfcRelAggregates", "aggregates/"+key, nil, whole, parts)
}

// units writes the unit assignment.
func (w *modelWriter) units() Ref {
	s := w.s
	si := func(kind string, prefix any, name string) Ref {
		return s.Add("IfcSIUnit", Star, Enum(kind), prefix, Enum(name))
	}
	var length Ref
	if w.d.Unit != "" && w.d.Unit != "mm" {
		length = si("LENGTHUNIT", nil, "METRE")
	}
	area, vol := si("AREAUNIT", nil, "SQUARE_METRE"), si("VOLUMEUNIT", nil, "CUBIC_METRE")
	dims := func(l int) Ref { return s.Once("IfcDimensionalExponents", l, 0, 0, 0, 0, 0, 0) }
	conv := func(kind, name string, exp int, value float64, of Ref) Ref {
		measure := map[int]string{1: "IfcLengthMeasure", 2: "IfcAreaMeasure", 3: "IfcVolumeMeasure", 0: "IfcPlaneAngleMeasure"}[exp]
		return s.Add("IfcConversionBasedUnit", dims(exp), Enum(kind), name, s.Add("IfcMeasureWithUnit", Typed{measure, value}, of))
	}
	switch w.d.Unit {
	case "", "mm":
		length = si("LENGTHUNIT", Enum("MILLI"), "METRE")
	case "ft":
		length, area, vol = conv("LENGTHUNIT", "FOOT", 1, Foot, length), conv("AREAUNIT", "SQUARE FOOT", 2, Foot*Foot, area), conv("VOLUMEUNIT", "CUBIC FOOT", 3, 0.028316846592, vol)
	case "in":
		length, area = conv("LENGTHUNIT", "INCH", 1, Inch, length), conv("AREAUNIT", "SQUARE FOOT", 2, Foot*Foot, area)
	}
	deg := conv("PLANEANGLEUNIT", "DEGREE", 0, 0.017453292519943295, si("PLANEANGLEUNIT", nil, "RADIAN"))
	return s.Add("IfcUnitAssignment", []Ref{length, area, vol, deg})
}

// toModel returns the solid as it stands in the building's frame of this disguise.
func (w *modelWriter) toModel(p Prism) Prism {
	if w.d.Mirror {
		p = p.place(w.d.mirror())
	}
	if w.d.Baked {
		p = p.place(w.d.move())
	}
	return p
}
