package ifctest

import "voidcheck/ifcx/geom"

// Model is a building as parts with the truth beside it.
type Model struct {
	Name    string
	House   *House // what it was built from
	Storeys []Storey
	Parts   []*Part // in building order
	Rooms   []*Room
	Zones   []Zone
	Truth   Truth
	// Services is the second model (pipes, ducts, cables); nil when there are none.
	Services *Model
	cells    *cells // what is open to what, for features added later
}

// Storey is a level.
type Storey struct {
	Name      string // English; other styles name it by its number
	Elevation float64
}

// Part is one element: solids of its own, or an assembly of other parts, or both.
type Part struct {
	Role     Role
	N        int    // running number within the role
	Mark     string // extra words for the name, for example "U1/U2"
	Storey   int
	Parent   *Part // the assembly or wall it is part of
	Solids   []Prism
	Frame    *geom.Mat // its own placement; nil takes the frame of the first solid
	Openings []Opening // cut out of the solids
	Layers   []Layer   // material layers, nil for one material
	LayerSet LayerUse
	Material Material
	Thick    float64 // board thickness or member size told in names, 0 for none
	// Linear parts may grow into or stay clear of what they abut: see Disguise.
	Linear bool
	// Free is a linear part with an end that stands free (in the gap of a double wall): it
	// never grows.
	Free  bool
	Props []Prop
	key   string // stable identity for GlobalIds
}

// Opening is a hole cut through a part.
type Opening struct {
	Solid Prism
	Name  string
	Door  *Door // what fills it, nil for nothing
}

// Layer is one material layer, outermost first in the direction of the layer set.
type Layer struct {
	Material  Material
	Thickness float64
	Air       bool
}

// LayerUse tells how a layer set lies in the solid of a wall, slab or roof.
type LayerUse struct {
	Axis   int // 2 across a wall, 3 through a slab
	Neg    bool
	Offset float64
	Line   []geom.Vec2 // axis of a wall in its own plan, for the Axis representation
}

// Prop is one property of a property set.
type Prop struct {
	Set, Name string
	Value     any // string, float64 (length in metres when Length), bool
	Type      string
}

// Room is an IfcSpace.
type Room struct {
	Unit   int
	Storey int
	N      int // within unit and storey, from 1
	Use    string
	Solids []Prism
}

// Zone is one dwelling unit.
type Zone struct {
	Unit  int
	Rooms []*Room
}

// Role says what a part is in the trade; entity, names and materials follow from it.
type Role string

// The roles.
const (
	FloorTruss   Role = "floor truss"
	RoofTruss    Role = "roof truss"
	TopChord     Role = "top chord"
	BottomChord  Role = "bottom chord"
	Web          Role = "web"
	EndPost      Role = "end post"
	Joist        Role = "joist"
	IJoist       Role = "I-joist"
	Rim          Role = "rim board"
	Header       Role = "header"
	Trimmer      Role = "trimmer"
	Deck         Role = "subfloor"
	Ceiling      Role = "ceiling"
	Block        Role = "fireblock"
	LevelBlock   Role = "cavity block level"
	RunBlock     Role = "cavity block upright"
	Draftstop    Role = "draftstop"
	AtticStop    Role = "attic draftstop"
	WallSep      Role = "unit separation wall"
	WallExt      Role = "exterior wall"
	WallPart     Role = "partition"
	Stud         Role = "stud"
	BottomPlate  Role = "bottom plate"
	TopPlate     Role = "top plate"
	Gypsum       Role = "gypsum board"
	Sheathing    Role = "wall sheathing"
	Slab         Role = "slab on grade"
	RoofWhole    Role = "roof"
	RoofPanel    Role = "roof sheathing"
	EaveBoard    Role = "eave board"
	GableStud    Role = "gable stud"
	SoffitBoard  Role = "soffit board"
	FloorWhole   Role = "floor"
	PipeSeg      Role = "pipe"
	DuctSeg      Role = "duct"
	CableSeg     Role = "cable"
	Seal         Role = "seal"
	ChimneyStack Role = "chimney"
	OutletBox    Role = "outlet box"
	StairFlight  Role = "stair flight"
	Stringer     Role = "stair stringer"
	StairBoard   Role = "stair soffit board"
	BodyTruss    Role = "truss body"
	Rafter       Role = "rafter"
	RidgeBoard   Role = "ridge board"
	WallCore     Role = "masonry wall"
)

// Material is what a part is made of.
type Material string

// The materials.
const (
	Lumber      Material = "lumber"
	OSB         Material = "osb"
	Plywood     Material = "plywood"
	GypsumBd    Material = "gypsum"
	GypsumX     Material = "gypsum type x"
	MineralWool Material = "mineral wool"
	Concrete    Material = "concrete"
	Steel       Material = "steel"
	PVC         Material = "pvc"
	Copper      Material = "copper"
	FireSealant Material = "fire sealant"
	AirGap      Material = "air"
	WoodTruss   Material = "wood truss"
	StudLayer   Material = "stud layer"
	Cladding    Material = "cladding"
	Shingles    Material = "shingles"
	Carpet      Material = "flooring"
	Masonry     Material = "concrete masonry"
)

// builder collects the parts of one model.
type builder struct {
	*layout
	m     *Model
	n     map[Role]int
	cells *cells
	seeds []*seedState
	walls map[string]*Part
	err   error
}

// add appends a part and numbers it within its role.
func (b *builder) add(role Role, storey int, parent *Part, mat Material, solids ...Prism) *Part {
	b.n[role]++
	p := &Part{Role: role, N: b.n[role], Storey: storey, Parent: parent, Material: mat, Solids: solids}
	b.m.Parts = append(b.m.Parts, p)
	return p
}

// stick is add for a linear member.
func (b *builder) stick(role Role, storey int, parent *Part, solid Prism) *Part {
	p := b.add(role, storey, parent, Lumber, solid)
	p.Linear = true
	return p
}

// Find returns the parts of a role.
func (m *Model) Find(role Role) []*Part {
	var out []*Part
	for _, p := range m.Parts {
		if p.Role == role {
			out = append(out, p)
		}
	}
	return out
}

// Bounds returns the box of all solids of the part.
func (p *Part) Bounds() geom.Box {
	b := geom.EmptyBox()
	for _, s := range p.Solids {
		b = b.Join(s.Bounds())
	}
	return b
}

// Volume returns the volume of the solids in cubic metres, openings not deducted.
func (p *Part) Volume() float64 {
	v := 0.0
	for _, s := range p.Solids {
		v += s.Volume()
	}
	return v
}
