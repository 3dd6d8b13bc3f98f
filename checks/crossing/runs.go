package crossing

import (
	"voidcheck/checks/recognise"
	"voidcheck/ifcx/model"
)

// endpoints are the entities of services that sit in a barrier and do not run through it:
// outlets, boxes, lights, grilles, fixtures, equipment. What a check asks about pipes, ducts,
// cables and vents is not asked about them.
var endpoints = []string{
	"IfcFlowTerminal", "IfcFlowController", "IfcEnergyConversionDevice", "IfcFlowMovingDevice", "IfcFlowStorageDevice",
	"IfcFlowTreatmentDevice", "IfcDistributionControlElement", "IfcElectricDistributionPoint", "IfcJunctionBox", "IfcDistributionChamberElement",
}

// Runs returns the test whether an element is a run of pipe, duct, cable or vent, for
// Barriers and Walls. What is recognised as a service by its words alone counts as a run.
func Runs(b *recognise.Building) func(element int) bool {
	return func(i int) bool {
		if i < 0 || i >= len(b.Things) || b.Things[i].Element == nil {
			return true
		}
		return !endpoint(b.Things[i].Element)
	}
}

func endpoint(e *model.Element) bool {
	for _, x := range endpoints {
		if e.Is(x) {
			return true
		}
	}
	return false
}
