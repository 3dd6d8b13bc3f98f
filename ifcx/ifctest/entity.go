package ifctest

// entityOf tells how a role is written: entity, predefined type of the occurrence (IFC4) and
// the type entity with its own predefined type.
type entityOf struct {
	entity, predefined string
	typeEntity         string // "" when parts of this role get no type
	typePredefined     string // "" uses predefined
}

var roleEntity = map[Role]entityOf{
	FloorTruss:   {entity: "IfcElementAssembly", predefined: "TRUSS"},
	RoofTruss:    {entity: "IfcElementAssembly", predefined: "TRUSS"},
	TopChord:     {"IfcMember", "CHORD", "IfcMemberType", ""},
	BottomChord:  {"IfcMember", "CHORD", "IfcMemberType", ""},
	Web:          {"IfcMember", "MEMBER", "IfcMemberType", ""},
	EndPost:      {"IfcMember", "POST", "IfcMemberType", ""},
	Joist:        {"IfcBeam", "JOIST", "IfcBeamType", ""},
	IJoist:       {"IfcBeam", "JOIST", "IfcBeamType", ""},
	Rim:          {"IfcBeam", "BEAM", "IfcBeamType", ""},
	Header:       {"IfcBeam", "BEAM", "IfcBeamType", ""},
	Trimmer:      {"IfcBeam", "BEAM", "IfcBeamType", ""},
	Deck:         {"IfcSlab", "FLOOR", "IfcSlabType", ""},
	Ceiling:      {"IfcCovering", "CEILING", "IfcCoveringType", ""},
	Block:        {"IfcMember", "MEMBER", "IfcMemberType", ""},
	LevelBlock:   {entity: "IfcBuildingElementProxy", predefined: "ELEMENT"},
	RunBlock:     {entity: "IfcBuildingElementProxy", predefined: "ELEMENT"},
	Draftstop:    {"IfcPlate", "SHEET", "IfcPlateType", ""},
	AtticStop:    {"IfcPlate", "SHEET", "IfcPlateType", ""},
	WallSep:      {entity: "IfcWall", predefined: "ELEMENTEDWALL"},
	WallExt:      {entity: "IfcWall", predefined: "ELEMENTEDWALL"},
	WallPart:     {entity: "IfcWall", predefined: "ELEMENTEDWALL"},
	Stud:         {"IfcMember", "STUD", "IfcMemberType", ""},
	GableStud:    {"IfcMember", "STUD", "IfcMemberType", ""},
	BottomPlate:  {"IfcMember", "PLATE", "IfcMemberType", ""},
	TopPlate:     {"IfcMember", "PLATE", "IfcMemberType", ""},
	Gypsum:       {"IfcCovering", "CLADDING", "IfcCoveringType", ""},
	Sheathing:    {"IfcPlate", "SHEET", "IfcPlateType", ""},
	Slab:         {entity: "IfcSlab", predefined: "BASESLAB"},
	RoofWhole:    {entity: "IfcRoof", predefined: "GABLE_ROOF"},
	RoofPanel:    {"IfcSlab", "ROOF", "IfcSlabType", ""},
	EaveBoard:    {"IfcMember", "MEMBER", "IfcMemberType", ""},
	SoffitBoard:  {entity: "IfcCovering", predefined: "CLADDING"},
	FloorWhole:   {"IfcSlab", "FLOOR", "IfcSlabType", ""},
	PipeSeg:      {"IfcPipeSegment", "RIGIDSEGMENT", "IfcPipeSegmentType", ""},
	DuctSeg:      {"IfcDuctSegment", "RIGIDSEGMENT", "IfcDuctSegmentType", ""},
	CableSeg:     {"IfcCableSegment", "CABLESEGMENT", "IfcCableSegmentType", ""},
	Seal:         {entity: "IfcBuildingElementProxy", predefined: "ELEMENT"},
	ChimneyStack: {entity: "IfcChimney", predefined: "NOTDEFINED"},
	OutletBox:    {"IfcOutlet", "POWEROUTLET", "IfcOutletType", ""},
	StairFlight:  {entity: "IfcStairFlight", predefined: "STRAIGHT"},
	Stringer:     {"IfcMember", "STRINGER", "IfcMemberType", ""},
	StairBoard:   {entity: "IfcCovering", predefined: "CLADDING"},
	BodyTruss:    {"IfcBeam", "BEAM", "IfcBeamType", ""},
	Rafter:       {"IfcMember", "RAFTER", "IfcMemberType", ""},
	RidgeBoard:   {"IfcBeam", "BEAM", "IfcBeamType", ""},
	WallCore:     {entity: "IfcWall", predefined: "SOLIDWALL"},
}

// kindOf returns how a part is written in this house and schema.
func (w *modelWriter) kindOf(p *Part) entityOf {
	e := roleEntity[p.Role]
	h := w.m.House
	if h != nil {
		switch {
		case p.Role == Deck && h.BoardsAs == "plate":
			e = entityOf{"IfcPlate", "SHEET", "IfcPlateType", ""}
		case (p.Role == Draftstop || p.Role == AtticStop) && h.StopsAs == "covering":
			e = entityOf{"IfcCovering", "CLADDING", "IfcCoveringType", ""}
		case p.Role == Block && h.BlocksAs == "proxy":
			e = entityOf{entity: "IfcBuildingElementProxy", predefined: "ELEMENT"}
		case e.entity == "IfcWall" && len(p.Layers) > 0:
			e.predefined, e.typeEntity, e.typePredefined = "STANDARD", "IfcWallType", "STANDARD"
			if w.s.Schema == "IFC2X3" {
				e.entity = "IfcWallStandardCase"
			}
		case e.entity == "IfcWall" && h.WallsAs == "assembly" && p.Role != WallCore:
			e = entityOf{entity: "IfcElementAssembly", predefined: "USERDEFINED"}
		}
	}
	if w.s.Schema == "IFC2X3" {
		switch e.entity {
		case "IfcPipeSegment", "IfcDuctSegment", "IfcCableSegment":
			e.entity = "IfcFlowSegment"
		case "IfcChimney":
			e.entity = "IfcBuildingElementProxy"
		case "IfcOutlet":
			e.entity = "IfcFlowTerminal"
		}
	}
	return e
}

// own returns the attributes that follow Tag, in the order of the schema.
func (w *modelWriter) own(e entityOf) []any {
	old := w.s.Schema == "IFC2X3"
	pre := Enum(e.predefined)
	switch e.entity {
	case "IfcElementAssembly":
		return []any{Enum("FACTORY"), pre}
	case "IfcSlab", "IfcCovering":
		return []any{pre}
	case "IfcStairFlight":
		if old {
			return []any{nil, nil, nil, nil} // numbers of risers and treads, their sizes
		}
		return []any{nil, nil, nil, nil, pre}
	case "IfcRoof":
		return []any{pre} // ShapeType in IFC2X3, with the same word
	case "IfcBuildingElementProxy":
		if old {
			return []any{nil} // CompositionType
		}
		return []any{pre}
	}
	if old {
		return nil
	}
	return []any{pre}
}
