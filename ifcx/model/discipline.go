package model

// Discipline guesses what a file models from its elements: services when most elements are
// distribution elements, structure when most are framing and foundations, architecture when
// most are walls, openings, finishes and furniture (a guess for the reader; no rule depends
// on it).
func Discipline(elements []*Element, spaces int) string {
	services, structure, architecture := 0, 0, spaces
	for _, e := range elements {
		switch {
		case e.Is("IfcDistributionElement"):
			services++
		case e.Is("IfcBeam"), e.Is("IfcColumn"), e.Is("IfcMember"), e.Is("IfcPlate"), e.Is("IfcFooting"), e.Is("IfcPile"),
			e.Is("IfcElementAssembly"), e.Is("IfcReinforcingElement"), e.Is("IfcFastener"), e.Is("IfcMechanicalFastener"),
			e.Is("IfcDiscreteAccessory"), e.Is("IfcElementComponent"):
			structure++
		case e.Is("IfcBuildingElementProxy"), e.Is("IfcProxy"):
		default:
			architecture++
		}
	}
	switch n := services + structure + architecture; {
	case n == 0:
		return "mixed"
	case services*2 > n:
		return "services"
	case structure*2 > n:
		return "structure"
	case architecture*2 > n:
		return "architecture"
	}
	return "mixed"
}
