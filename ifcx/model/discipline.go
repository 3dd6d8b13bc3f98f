package model

// Discipline guesses what a file models from its elements: services when most elements are
// distribution elements, structure when most are framing and foundations, architecture when
// most are walls, openings, finishes and furniture (a guess for the reader; no rule depends
// on it).
func Discipline(elements []*Element, spaces int) string {
	d := disciplines{architecture: spaces}
	for _, e := range elements {
		d.add(e.Is, 1)
	}
	return d.word()
}

// disciplines counts elements by what models them.
type disciplines struct{ services, structure, architecture int }

// add counts n elements of what is tells of.
func (d *disciplines) add(is func(entity string) bool, n int) {
	switch {
	case is("IfcDistributionElement"):
		d.services += n
	case is("IfcBeam"), is("IfcColumn"), is("IfcMember"), is("IfcPlate"), is("IfcFooting"), is("IfcPile"),
		is("IfcElementAssembly"), is("IfcReinforcingElement"), is("IfcFastener"), is("IfcMechanicalFastener"),
		is("IfcDiscreteAccessory"), is("IfcElementComponent"):
		d.structure += n
	case is("IfcBuildingElementProxy"), is("IfcProxy"):
	default:
		d.architecture += n
	}
}

func (d *disciplines) word() string {
	switch n := d.services + d.structure + d.architecture; {
	case n == 0:
		return "mixed"
	case d.services*2 > n:
		return "services"
	case d.structure*2 > n:
		return "structure"
	case d.architecture*2 > n:
		return "architecture"
	}
	return "mixed"
}
