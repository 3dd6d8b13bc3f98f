package equipment

import (
	"testing"

	"voidcheck/ifcx/model"
)

func TestKindOf(t *testing.T) {
	for _, tt := range []struct {
		entity, typ, name string
		want              Kind
	}{
		{"IfcOutlet", "", "", Box},
		{"IfcFlowTerminal", "IfcOutletType", "Duplex Receptacle", Box},
		{"IfcFlowTerminal", "IfcLightFixtureType", "Lighting Switches:Single Pole", Box}, // as an open sample types its switches
		{"IfcFlowTerminal", "IfcLightFixtureType", "Pendant Light", Light},
		{"IfcFlowTerminal", "", "Steckdose 2-fach", Box},
		{"IfcCableSegment", "", "C-1", Cable},
		{"IfcFlowSegment", "IfcPipeSegmentType", "", Pipe},
		{"IfcFlowSegment", "", "Lüftungskanal", Duct},
		{"IfcDuctSegment", "", "Conduit", Duct}, // the type counts
		{"IfcFan", "", "", Machine},
		{"IfcEnergyConversionDevice", "IfcBoilerType", "", Machine},
		{"IfcFireSuppressionTerminal", "", "", Sprinkler},
		{"IfcBuildingElementProxy", "", "Thing", Other},
	} {
		if got := KindOf(&model.Element{Kind: &model.Kind{Entity: tt.entity, TypeEntity: tt.typ}, Name: tt.name}); got != tt.want {
			t.Errorf("%s %s %q: %s, want %s", tt.entity, tt.typ, tt.name, got, tt.want)
		}
	}
	if KindOf(nil) != Other || !Box.Electrical() || Duct.Electrical() {
		t.Error("no element, or what carries current")
	}
}
