package catalogue

import (
	"fmt"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/ifcx/ifctest"
)

// disguises are the ways in which one building is written. Each must give the same items
// with the same keys.
var disguises = map[string]ifctest.Disguise{
	"metres, turned 33 degrees, shuffled":   {Unit: "m", RotateDeg: 33, Seed: 7},
	"feet, a million metres away":           {Unit: "ft", Shift: [3]float64{1e6, -1e6, 120}},
	"inches, baked, turned, overlapping":    {Unit: "in", RotateDeg: -115, Baked: true, Overlap: 0.02},
	"mirrored, IFC2X3, clear by 2 mm":       {Schema: "IFC2X3", Mirror: true, Clearance: 0.002},
	"IFC4X3, breps, every fifth part twice": {Schema: "IFC4X3", Geometry: "brep", Duplicate: 5},
	"mapped, terse names":                   {Geometry: "mapped", Naming: ifctest.NamesTerse},
	"German names":                          {Naming: ifctest.NamesGerman},
	"French names":                          {Naming: ifctest.NamesFrench},
}

// shorter are the disguises that run in short mode.
var shorter = map[string]bool{"metres, turned 33 degrees, shuffled": true, "mirrored, IFC2X3, clear by 2 mm": true}

// mistaken is a row with mistakes of several kinds and services.
func mistaken() ifctest.House {
	h := ifctest.Row(2)
	h.Name = "Mistaken"
	h.Depth = 24 * ifctest.Foot
	h.Units[1].Width = 20 * ifctest.Foot
	h.Services = []ifctest.Service{
		{Kind: "pipe", Through: "floor", Unit: 0, Level: 1, At: 10 * ifctest.Foot, Diameter: 2 * ifctest.Inch, Ring: 0.25 * ifctest.Inch, Sealed: true},
		{Kind: "pipe", Through: "floor", Unit: 1, Level: 1, At: 12 * ifctest.Foot, Diameter: 2 * ifctest.Inch, Ring: 0.625 * ifctest.Inch},
		{Kind: "cable", Through: "separation", Separation: 0, Level: 0, At: 15 * ifctest.Foot, Diameter: 0.5 * ifctest.Inch, Ring: 0.25 * ifctest.Inch},
	}
	h.Defects = []ifctest.Seed{
		{Kind: "block-missing", Side: "low", Level: 1, Bay: 4},
		{Kind: "block-missing", Side: "high", Level: 1, Bay: 7},
		{Kind: "run-block-missing", Level: 0, Index: 0},
	}
	return h
}

func TestDisguises(t *testing.T) {
	want := checktest.Review(t, mistaken(), ifctest.Disguise{}, Checks()...)
	want.CheckTruth(t)
	for name, d := range disguises {
		if testing.Short() && !shorter[name] {
			continue
		}
		t.Run(name, func(t *testing.T) {
			got := checktest.Review(t, mistaken(), d, Checks()...)
			got.CheckTruth(t)
			// Storeys are named in the model's language, and keys hold their names.
			checktest.Compare(t, got, want, d.Naming == "" || d.Naming == ifctest.NamesEnglish)
		})
	}
}

// The list of places must not hang on the order of maps or goroutines.
func TestSameTwice(t *testing.T) {
	a := checktest.Review(t, mistaken(), ifctest.Disguise{}, Checks()...)
	b := checktest.Review(t, mistaken(), ifctest.Disguise{}, Checks()...)
	if x, y := fmt.Sprintf("%+v", a.Items), fmt.Sprintf("%+v", b.Items); len(x) != len(y) {
		t.Errorf("two runs differ:\n%s\n%s", checktest.Lines(a.Items), checktest.Lines(b.Items))
	}
}
