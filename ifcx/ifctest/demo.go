package ifctest

import (
	"bytes"
	"encoding/json"
	"fmt"
)

//go:generate go run ./demo

// Larkspur returns the row of five townhouses of the demonstration. Name, plan and mistakes
// are invented. Two units are 28 ft wide, so that their floor voids need a draftstop.
func Larkspur() House {
	h := Row(5)
	h.Name = "Larkspur Row"
	for i, w := range []float64{24, 24, 28, 24, 28} {
		h.Units[i].Width = w * Foot
	}
	h.Units[2].Draftstops = []float64{20 * Foot}
	h.Units[4].Draftstops = []float64{20 * Foot}
	for i := range h.Units {
		h.Units[i].Stair = &StairHole{X: h.Units[i].Width - 6.5*Foot, Y: 6 * Foot, LX: 3.5 * Foot, LY: 11 * Foot}
	}
	h.Soffits = []Soffit{{Unit: 3, Level: 0, Width: 14 * Inch, Height: 12 * Inch, Start: 4 * Foot, Length: 8 * Foot}}
	h.Services = []Service{
		{Kind: "pipe", Through: "floor", Unit: 0, Level: 1, At: 22 * Foot, Diameter: 2 * Inch, Ring: 0.25 * Inch, Sealed: true},
		{Kind: "pipe", Through: "floor", Unit: 1, Level: 1, At: 22 * Foot, Diameter: 2 * Inch, Ring: 0.625 * Inch},
		{Kind: "pipe", Through: "floor", Unit: 2, Level: 1, At: 30 * Foot, Diameter: 2 * Inch, Ring: 0.25 * Inch, Sealed: true},
		{Kind: "pipe", Through: "floor", Unit: 3, Level: 1, At: 22 * Foot, Diameter: 2 * Inch, Ring: 0.25 * Inch, Sealed: true},
		{Kind: "pipe", Through: "floor", Unit: 4, Level: 1, At: 22 * Foot, Diameter: 2 * Inch, Ring: 0.25 * Inch, Sealed: true},
		{Kind: "duct", Through: "draftstop", Unit: 2, Level: 1, Diameter: 6 * Inch, Ring: 1 * Inch},
		{Kind: "duct", Through: "void", Unit: 0, Level: 1, At: 20 * Foot, Diameter: 6 * Inch},
		{Kind: "cable", Through: "separation", Separation: 2, Level: 0, At: 15 * Foot, Diameter: 0.5 * Inch, Ring: 0.25 * Inch, Sealed: true},
	}
	h.Defects = []Seed{
		{Kind: "block-missing", Separation: 0, Side: "low", Level: 1, Bay: 6},
		{Kind: "block-missing", Separation: 0, Side: "high", Level: 1, Bay: 6},
		{Kind: "block-missing", Separation: 2, Side: "low", Level: 1, Bay: 12},
		{Kind: "draftstop-missing", Unit: 4, Level: 1, Index: 0},
		{Kind: "attic-short", Separation: 1, Size: 5 * Inch},
		{Kind: "level-block-missing", Separation: 3, Level: 1, Part: "floor", At: 10 * Foot, Size: 6 * Foot},
		{Kind: "run-block-missing", Separation: 1, Level: 0, Index: 1},
		{Kind: "soffit-open", Index: 0},
	}
	return h
}

// LarkspurAgain returns the row as it comes back for the second round: six mistakes are gone,
// one is half mended, one wall ends 2 in short where it ended 5 in short, and one is new.
func LarkspurAgain() House {
	h := Larkspur()
	h.Services[1].Sealed = true
	h.Defects = []Seed{
		{Kind: "block-missing", Separation: 0, Side: "high", Level: 1, Bay: 6},
		{Kind: "block-missing", Separation: 1, Side: "low", Level: 1, Bay: 15},
		{Kind: "attic-short", Separation: 1, Size: 2 * Inch},
		{Kind: "run-block-missing", Separation: 1, Level: 0, Index: 1},
	}
	return h
}

// LarkspurLayered returns the same row with layered walls, floors and roofs.
func LarkspurLayered() House {
	h := Larkspur()
	h.Name = "Larkspur Row layered"
	h.Layered = true
	h.LayerPlan = LayerPlan{NegSense: true}
	h.Soffits, h.Services = nil, nil
	h.Defects = []Seed{
		{Kind: "line-open", Separation: 2, Level: 1},
		{Kind: "attic-open", Separation: 1},
		{Kind: "draftstop-missing", Unit: 4, Level: 1, Index: 0},
		{Kind: "draftstop-short", Unit: 2, Level: 1, Index: 0, Size: 3 * Inch},
	}
	return h
}

// DemoFiles returns the files of the demonstration by name, as they stand in testdata/demo.
func DemoFiles() (map[string][]byte, error) {
	out := map[string][]byte{}
	put := func(name string, m *Model, d Disguise) error {
		var b bytes.Buffer
		if err := m.WriteSTEP(&b, d); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		out[name] = b.Bytes()
		return nil
	}
	framed, err := Larkspur().Build()
	if err != nil {
		return nil, err
	}
	layered, err := LarkspurLayered().Build()
	if err != nil {
		return nil, err
	}
	again, err := LarkspurAgain().Build()
	if err != nil {
		return nil, err
	}
	feet := Disguise{Unit: "ft"}
	// Another export: new GlobalIds, another order, another unit of length, another origin.
	export := Disguise{Unit: "mm", Seed: 2, Shift: [3]float64{1250, -430, 12.5}}
	for _, f := range []struct {
		name string
		m    *Model
		d    Disguise
	}{
		{"row-architecture.ifc", framed, feet},
		{"row-services.ifc", framed.Services, feet},
		{"round2/row-architecture.ifc", again, export},
		{"round2/row-services.ifc", again.Services, export},
		{"row-layered.ifc", layered, Disguise{Unit: "mm", Schema: "IFC2X3"}},
	} {
		if err := put(f.name, f.m, f.d); err != nil {
			return nil, err
		}
	}
	for name, m := range map[string]*Model{"row-truth.json": framed, "round2/row-truth.json": again, "row-layered-truth.json": layered} {
		t, err := json.MarshalIndent(m.Truth, "", " ")
		if err != nil {
			return nil, err
		}
		out[name] = append(t, '\n')
	}
	for round, name := range map[int]string{1: "submittal.json", 2: "round2/submittal.json"} {
		submittal, err := json.MarshalIndent(map[string]any{
			"format": "voidcheck-submittal-1", "project": "Larkspur Row", "permit": "B-2026-0117", "occupancy": "townhouse",
			"applicant": "Alder and Finch Design\n4 Mill Lane\nLarkspur", "address": "12 to 20 Larkspur Row", "examiner": "M. Okafor",
			"department": "Larkspur County, Plan Review\n1 Court Street, Larkspur", "contact": "plan.review@larkspur.example",
			"construction": "VB", "sprinklers": "none", "storeys": 2, "round": round,
		}, "", "  ")
		if err != nil {
			return nil, err
		}
		out[name] = append(submittal, '\n')
	}
	return out, nil
}
