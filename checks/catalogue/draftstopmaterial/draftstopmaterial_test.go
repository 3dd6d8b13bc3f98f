package draftstopmaterial

import (
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/model"
)

// sheet adds a draftstop across a floor void, mm thick, of a material ("" for none).
func sheet(h *checktest.Hand, l *void.Line, name, material string, mm float64) {
	e := h.Element(recognise.Draftstop, "IfcPlate", name)
	if material != "" {
		h.B.Model.Elements[e].Materials = []string{material}
	}
	h.Part(void.RoleDraftstop, e, 1, 4, 2.5, 7, 4+mm/1000, 2.9)
	l.Elements = append(l.Elements, e)
}

func one(material string, mm float64) *checktest.Hand {
	h := checktest.NewHand(1)
	sheet(h, h.Line(void.LineDraftstop, h.Void(void.KindFloor, 1, []int{0}, 60, 60), -1, -1, 0, 0), "DS-1", material, mm)
	return h
}

const at = "floor void of U1, draftstop DS-1"

// Thicknesses of HUD 24 CFR 3280.216 and of European boards, from either side.
func TestThickness(t *testing.T) {
	for _, tt := range []struct {
		material string
		mm       float64
		want     string
	}{
		{"Gypsum board", 12.7, "meets declared | " + at},
		{"Gypsum board", 15.9, "meets declared | " + at},
		{"Gypsum board", 12.5, "not-shown declared | " + at + " | 0.0125 m"},
		{"Gypsum board", 9.5, "deficient declared | " + at + " | 0.0095 m"},
		{"OSB/3", 9.525, "meets declared | " + at},
		{"OSB/3", 9, "deficient declared | " + at + " | 0.009 m"},
		{"OSB/3", 10, "meets declared | " + at},
		{"Polystyrene", 50, "deficient declared | " + at},
		{"SPF lumber", 19.05, "not-shown declared | " + at},
		{"Mineral wool", 100, "not-shown declared | " + at},
		{"Insulation", 100, "not-shown declared | " + at},
		{"", 12.7, "not-shown declared | " + at},
	} {
		t.Run(tt.material, func(t *testing.T) { checktest.Want(t, one(tt.material, tt.mm).Run(t, Check), tt.want) })
	}
}

// A material that stands in a property alone is read where none is associated; properties that
// differ tell none, and an associated material goes first.
func TestMaterialInProperty(t *testing.T) {
	for _, tt := range []struct {
		material string
		props    model.PropSets
		want     string
	}{
		{"", model.PropSets{"Materials and Finishes": {"Structural Material": {Text: "Gypsum board"}}}, "meets declared | " + at},
		{"", model.PropSets{"Werte": {"Werkstoff": {Text: "Polystyrene"}}}, "deficient declared | " + at},
		{"", model.PropSets{"A": {"Material": {Text: "Gypsum board"}}, "B": {"StructuralMaterial": {Text: "gypsum board"}}}, "meets declared | " + at},
		{"", model.PropSets{"A": {"Material": {Text: "Gypsum board"}}, "B": {"Material": {Text: "Polystyrene"}}}, "not-shown declared | " + at},
		{"", model.PropSets{"A": {"Material": {Text: "<By Category>"}}}, "not-shown declared | " + at},
		{"", model.PropSets{"A": {"Material": {Text: "12", Num: 12, IsNum: true}, "Finish Material": {Text: "Gypsum board"}}}, "not-shown declared | " + at},
		{"Polystyrene", model.PropSets{"A": {"Material": {Text: "Gypsum board"}}}, "deficient declared | " + at},
	} {
		h := one(tt.material, 12.7)
		for _, e := range h.B.Model.Elements {
			if e.Name == "DS-1" {
				e.SetProps(func() model.PropSets { return tt.props })
			}
		}
		checktest.Want(t, h.Run(t, Check), tt.want)
	}
}

func TestNominalEquivalent(t *testing.T) {
	r := one("Gipskartonplatte", 12.5).Run(t, Check)
	if len(r) != 1 || !strings.Contains(r[0].Message, "nominal equivalent, reviewer decides") {
		t.Errorf("%+v", r)
	}
}

// An adoption file may replace the list; a class that it leaves out is on no list then.
func TestList(t *testing.T) {
	lumber := one("SPF lumber", 19.05)
	checktest.Want(t, lumber.RunList(t, Check, "materials", "sawn lumber 3/4 in", "gypsum board 5/8 in"), "meets declared | "+at)
	gypsum := one("Gypsum board", 12.7)
	checktest.Want(t, gypsum.RunList(t, Check, "materials", "sawn lumber 3/4 in", "gypsum board 5/8 in"), "deficient declared | "+at+" | 0.0127 m")
	checktest.Want(t, gypsum.RunList(t, Check, "materials", "sawn lumber 3/4 in"), "deficient declared | "+at)
}

// Boards of one kind are one item, boards that fail are told for each void.
func TestGroups(t *testing.T) {
	h := checktest.NewHand(2)
	for u := range 2 {
		l := h.Line(void.LineDraftstop, h.Void(void.KindFloor, 1, []int{u}, 60, 60), -1, -1, 0, 0)
		sheet(h, l, "DS", "OSB", 11.1125)
		sheet(h, l, "DS", "OSB", 11.1125)
		sheet(h, l, "DT", "Gypsum board", 9.5)
		sheet(h, l, "DX", "", 12.7)
	}
	checktest.Want(t, h.Run(t, Check),
		`meets declared | draftstops of OSB, 7/16"`,
		"deficient declared | floor void of U1, draftstop DT | 0.0095 m",
		"not-shown declared | draftstops of unnamed material",
		"deficient declared | floor void of U2, draftstop DT | 0.0095 m")
}

func TestNone(t *testing.T) {
	checktest.Want(t, checktest.NewHand(1).Run(t, Check), "note modelled | draftstops")
}

// Layers of the element count where it has some.
func TestLayers(t *testing.T) {
	h := one("", 20)
	ls := []model.Layer{{Material: "EPS", ThicknessM: 0.0073}, {Material: "Gypsum board", ThicknessM: 0.0127}}
	h.B.Model.Elements[0].Layers = &model.LayerSet{Layers: ls}
	checktest.Want(t, h.Run(t, Check), "meets declared | "+at)
	ls[1].ThicknessM = 0.0095
	checktest.Want(t, h.Run(t, Check), "deficient declared | "+at+" | 0.0095 m")
}

// A type name tells the material where none is given.
func TestByName(t *testing.T) {
	h := one("", 12.7)
	h.B.Model.Elements[0].TypeName = "Draftstop 1/2 in gypsum board"
	r := h.Run(t, Check)
	checktest.Want(t, r, "meets declared | "+at)
	if !strings.Contains(r[0].Message, "told by the name") {
		t.Error(r[0].Message)
	}
}
