// Package equipment says what the elements of services are: cables, pipes, ducts, boxes,
// lights, machines; and which of them may start a fire unseen. By the types of the standard
// first, by words where the type says nothing. It judges nothing.
package equipment

import (
	"strings"

	"voidcheck/checks/lexicon"
	"voidcheck/checks/recognise"
	"voidcheck/ifcx/model"
)

// Kind is what a service element is, in the words of an item.
type Kind string

// The kinds.
const (
	Box       Kind = "outlet or box" // outlet, switch, junction box, panel
	Light     Kind = "light"
	Cable     Kind = "cable"
	Machine   Kind = "machine" // fan, pump, boiler, heater, unit
	Appliance Kind = "appliance"
	Pipe      Kind = "pipe"
	Duct      Kind = "duct"
	Sprinkler Kind = "sprinkler"
	Other     Kind = "service"
)

// Electrical reports whether a kind carries current, and so may start a fire.
func (k Kind) Electrical() bool {
	return k == Box || k == Light || k == Cable || k == Machine || k == Appliance
}

// entities maps the types of the standard, without their prefix and without "Type", to kinds.
var entities = map[string]Kind{
	"Outlet": Box, "JunctionBox": Box, "SwitchingDevice": Box, "ElectricDistributionBoard": Box, "ElectricDistributionPoint": Box,
	"ProtectiveDevice": Box, "CommunicationsAppliance": Box, "AudioVisualAppliance": Box,
	"LightFixture": Light, "Lamp": Light,
	"CableSegment": Cable, "CableFitting": Cable, "CableCarrierSegment": Cable, "CableCarrierFitting": Cable,
	"Fan": Machine, "Pump": Machine, "Compressor": Machine, "Boiler": Machine, "Burner": Machine, "Chiller": Machine, "UnitaryEquipment": Machine,
	"AirToAirHeatRecovery": Machine, "ElectricMotor": Machine, "ElectricGenerator": Machine, "Transformer": Machine, "MotorConnection": Machine,
	"SpaceHeater": Machine, "Coil": Machine, "Humidifier": Machine, "FlowMovingDevice": Machine, "EnergyConversionDevice": Machine,
	"ElectricAppliance": Appliance, "ElectricFlowStorageDevice": Appliance,
	"PipeSegment": Pipe, "PipeFitting": Pipe, "Valve": Pipe, "SanitaryTerminal": Pipe, "WasteTerminal": Pipe, "Tank": Pipe,
	"DuctSegment": Duct, "DuctFitting": Duct, "Damper": Duct, "AirTerminal": Duct, "AirTerminalBox": Duct, "DuctSilencer": Duct, "Filter": Duct,
	"FireSuppressionTerminal": Sprinkler,
}

// words tell the kind where the type says only "flow terminal" and the like, and correct it
// where tools are known to type loosely: light switches typed as light fixtures.
var words = []struct {
	kind Kind
	any  []string
}{
	{Box, []string{"receptacle", "outlet", "junction box", "switch", "panelboard", "panel board", "distribution board", "steckdose", "schalter", "abzweigdose", "verteiler",
		"prise de courant", "interrupteur", "boite de derivation", "enchufe", "interruptor", "caja de derivacion", "stopcontact", "schakelaar", "stikkontakt", "bryter", "koblingsboks"}},
	{Light, []string{"luminaire", "light", "downlight", "leuchte", "luminaria", "armatuur", "lampe"}},
	{Cable, []string{"cable", "conduit", "wire", "kabel", "leitung", "gaine electrique", "ledning"}},
	{Machine, []string{"fan", "furnace", "heater", "boiler", "pump", "air handler", "ventilator", "kessel", "chaudiere", "caldera", "ketel", "vifte"}},
	{Duct, []string{"duct", "vent", "kanal", "gaine", "conducto", "luchtkanaal"}},
	{Pipe, []string{"pipe", "drain", "rohr", "tuyau", "tuberia", "buis", "ror"}},
}

// compound is the length from which a word may stand inside a longer one: kanal in
// Lüftungskanal.
const compound = 5

// KindOf returns the kind of a service element.
func KindOf(e *model.Element) Kind {
	if e == nil {
		return Other
	}
	kind := Other
	for _, name := range []string{e.Entity, e.TypeEntity} {
		if k, ok := entities[strings.TrimSuffix(strings.TrimPrefix(name, "Ifc"), "Type")]; ok {
			kind = k
		}
	}
	name := " " + lexicon.Fold(e.Name+" "+e.TypeName+" "+e.ObjectType) + " "
	for _, w := range words {
		if kind != Other && !(kind == Light && w.kind == Box) {
			continue
		}
		for _, s := range w.any {
			if strings.Contains(name, " "+s) || len(s) >= compound && strings.Contains(name, s) {
				return w.kind
			}
		}
	}
	return kind
}

// Of returns the kind of an element by its index.
func Of(b *recognise.Building, i int) Kind {
	if i < 0 || i >= len(b.Things) {
		return Other
	}
	return KindOf(b.Things[i].Element)
}
