package shown_test

import (
	"encoding/json"
	"slices"
	"testing"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/shown"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/schema"
)

// Every thing that the schema of adoption files names is looked for, and no other.
func TestNamesOfTheSchema(t *testing.T) {
	text, err := schema.Text("adoption")
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Definitions struct {
			When struct {
				Properties struct {
					Shown struct {
						Items struct {
							Enum []string `json:"enum"`
						} `json:"items"`
					} `json:"shown"`
				} `json:"properties"`
			} `json:"when"`
		} `json:"definitions"`
	}
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	names := doc.Definitions.When.Properties.Shown.Items.Enum
	slices.Sort(names)
	if got := shown.Things(); !slices.Equal(got, names) {
		t.Errorf("the schema names %v, looked for are %v", names, got)
	}
}

func ask(h *checktest.Hand, thing string, rep *checks.Report) adoption.Answer {
	return shown.In(&h.B, &h.R)(thing, rep)
}

// twoFamily is the attic over two units with an open wall, or a sheet in line with it; its
// ceilings are mm thick and of a material.
func twoFamily(sheet bool, material string, mm float64) (*checktest.Hand, *checks.Report) {
	h := checktest.NewHand(2)
	w := h.Separation(0)
	v := h.Void(void.KindAttic, 1, []int{0, 1}, 110, 110)
	v.ZLo = 5.4
	l := h.Line(void.LineSeparation, v, 0, w, 0, 0)
	rep := &checks.Report{Elements: h.B.Input.Walls[w].Elements}
	if sheet {
		e := h.Element(recognise.Draftstop, "IfcPlate", "AD")
		h.Part(void.RoleDraftstop, e, 9.9, 0, 5.4, 9.9127, 11, 8)
		l.Elements = []int{e}
	} else {
		rep.Openings = []*void.Opening{h.Open(void.OpenLine, v.Compartments[0], v.Compartments[1], l, 11, 2)}
	}
	c := h.Element(recognise.Ceiling, "IfcCovering", "GC")
	h.B.Things[c].Element.Materials = []string{material}
	h.Part(void.RoleCeiling, c, 0, 0, 5.4-mm/1000, 19.8, 11, 5.4)
	g := h.Element(recognise.Finish, "IfcCovering", "GB")
	h.B.Things[g].Element.Materials = []string{"Gypsum board"}
	h.Part(void.RoleFinish, g, 9.7873, 0, 3, 9.8, 11, 5.4)
	h.Part(void.RoleFinish, g, 9.9873, 0, 3, 10, 11, 5.4)
	return h, rep
}

// The two-family attic exception wants all three: 5/8 in Type X, a draftstop in line, 1/2 in
// gypsum on the framing (seen in a published binding interpretation of R302.3).
func TestTwoFamilyAttic(t *testing.T) {
	h, rep := twoFamily(true, "Gypsum board Type X", 15.9)
	for _, thing := range []string{"attic-draftstop-in-line", "ceiling-type-x", "ceiling-framing-covered"} {
		if got := ask(h, thing, rep); got != adoption.Yes {
			t.Errorf("%s: %v, want yes", thing, got)
		}
	}
	h, rep = twoFamily(false, "Gypsum board Type X", 15.9)
	if got := ask(h, "attic-draftstop-in-line", rep); got != adoption.No {
		t.Errorf("open line: %v, want no", got)
	}
	h, rep = twoFamily(true, "Gypsum board Type X", 12.7)
	if got := ask(h, "ceiling-type-x", rep); got != adoption.No {
		t.Errorf("1/2 in ceiling: %v, want no", got)
	}
	h, rep = twoFamily(true, "Gypsum board", 15.9)
	if got := ask(h, "ceiling-type-x", rep); got != adoption.Unknown {
		t.Errorf("ceiling not called Type X: %v, want unknown", got)
	}
	o := h.Element(recognise.Finish, "IfcPlate", "SH") // wall sheathing outside covers nothing from a room
	h.B.Things[o].Element.Materials = []string{"OSB"}
	h.Part(void.RoleFinish, o, -0.113, 0, 3, -0.102, 11, 5.4)
	if got := ask(h, "ceiling-framing-covered", rep); got != adoption.Yes {
		t.Errorf("sheathing outside: %v, want yes", got)
	}
	h.B.Input.Parts = h.B.Input.Parts[:len(h.B.Input.Parts)-1]
	bare := h.B.Input.Parts
	h.B.Input.Parts = bare[:len(bare)-1]
	if got := ask(h, "ceiling-framing-covered", rep); got != adoption.Unknown {
		t.Errorf("no board in the second unit: %v, want unknown", got)
	}
	h.B.Input.Parts = bare
	h.B.Input.Parts[len(h.B.Input.Parts)-1].Mesh = geom.BoxMesh(geom.Box{Min: geom.Vec3{X: 9.79, Z: 3}, Max: geom.Vec3{X: 9.799, Y: 11, Z: 5.4}})
	if got := ask(h, "ceiling-framing-covered", rep); got != adoption.No {
		t.Errorf("3/8 in wall board: %v, want no", got)
	}
	if got := ask(h, "attic-draftstop-in-line", &checks.Report{}); got != adoption.Unknown {
		t.Errorf("no line: %v, want unknown", got)
	}
	if got := ask(h, "something else", rep); got != adoption.Unknown {
		t.Errorf("unknown thing: %v", got)
	}
}

// Of two corridor walls one needs the draftstop (780 CMR 717.4.2 exception 1).
func TestCorridor(t *testing.T) {
	build := func(other bool) (*checktest.Hand, *checks.Report) {
		h := checktest.NewHand(2)
		v := h.Void(void.KindAttic, 1, []int{0, 1}, 110, 110)
		h.B.Input.Separations = []void.Separation{{Units: [2]int{0, -1}}, {Units: [2]int{-1, 1}}}
		l := &void.Line{Kind: void.LineSeparation, Void: v, Separation: 0, Wall: -1, A: geom.Vec2{X: 9}, B: geom.Vec2{X: 9, Y: 11}}
		m := &void.Line{Kind: void.LineSeparation, Void: v, Separation: 1, Wall: -1, A: geom.Vec2{X: 10.8}, B: geom.Vec2{X: 10.8, Y: 11}}
		h.R.Lines = []*void.Line{l, m}
		o := h.Open(void.OpenLine, v.Compartments[0], v.Compartments[1], l, 11, 2)
		if !other {
			h.Open(void.OpenLine, v.Compartments[0], v.Compartments[1], m, 11, 2)
		}
		return h, &checks.Report{Openings: []*void.Opening{o}}
	}
	const thing = "corridor-other-side-stopped"
	h, rep := build(true)
	if got := ask(h, thing, rep); got != adoption.Yes {
		t.Errorf("other side stopped: %v, want yes", got)
	}
	h, rep = build(false)
	if got := ask(h, thing, rep); got != adoption.No {
		t.Errorf("both open: %v, want no", got)
	}
	h, rep = build(true)
	h.B.Input.Separations[0].Units = [2]int{0, 1}
	if got := ask(h, thing, rep); got != adoption.No {
		t.Errorf("between two units: %v, want no", got)
	}
}
