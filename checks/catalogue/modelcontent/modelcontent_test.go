package modelcontent

import (
	"slices"
	"testing"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/beyond"
	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/source"
)

// full is a house that shows everything.
func full() *checktest.Hand {
	h := checktest.NewHand(2)
	h.Separation(0)
	h.Void(void.KindFloor, 1, []int{0}, 60)
	h.Void(void.KindAttic, 1, []int{0}, 60)
	for _, r := range []void.Role{void.RoleRoof, void.RoleBlock, void.RoleService, void.RoleSeal} {
		h.Part(r, -1, 0, 0, 0, 1, 1, 1)
	}
	h.F.Sprinklers = "none"
	return h
}

// items runs the check and leaves out the notes on what no model decides; their own package
// tests them.
func items(t *testing.T, h *checktest.Hand) []checks.Report {
	t.Helper()
	return slices.DeleteFunc(h.Run(t, Check), func(r checks.Report) bool { return r.Cause == beyond.Cause })
}

func TestBeyond(t *testing.T) {
	n := 0
	for _, r := range full().Run(t, Check) {
		if r.Cause == beyond.Cause {
			n++
		}
	}
	if n < 5 {
		t.Errorf("%d notes on what no model decides, want several", n)
	}
}

func TestNothingMissing(t *testing.T) {
	checktest.Want(t, items(t, full()), "meets modelled | submittal")
}

func TestMissing(t *testing.T) {
	without := func(r void.Role) func(*checktest.Hand) {
		return func(h *checktest.Hand) {
			kept := h.B.Input.Parts[:0]
			for _, p := range h.B.Input.Parts {
				if p.Role != r {
					kept = append(kept, p)
				}
			}
			h.B.Input.Parts = kept
		}
	}
	for _, tt := range []struct {
		name   string
		change func(*checktest.Hand)
		want   string
	}{
		{"no rooms", func(h *checktest.Hand) { h.B.Input.Rooms = nil }, "not-shown modelled | rooms"},
		{"no attic below the roof", func(h *checktest.Hand) { h.R.Voids = h.R.Voids[:1] }, "not-shown modelled | attic"},
		{"no units", func(h *checktest.Hand) { h.B.Units = nil }, "not-shown modelled | dwelling units"},
		{"units assumed", func(h *checktest.Hand) { h.B.Units[0].Assumed = true }, "not-shown modelled | dwelling units"},
		{"no separations", func(h *checktest.Hand) { h.B.Input.Separations = nil }, "not-shown modelled | unit separations"},
		{"no ceilings", func(h *checktest.Hand) { h.R.Voids[0].CeilingAssumed = true }, "not-shown modelled | ceilings"},
		{"bare walls", func(h *checktest.Hand) { h.B.Input.Walls[0].Cavities = nil }, "not-shown modelled | walls without layers"},
		{"floor framing unknown", func(h *checktest.Hand) { h.R.Voids[0].Framing = void.FramingUnknown }, "not-shown modelled | floor framing"},
		{"bare floors", func(h *checktest.Hand) { h.R.Voids[0].Kind = void.KindAttic }, "not-shown modelled | floors"},
		{"no roof", without(void.RoleRoof), "not-shown modelled | roof"},
		{"no stops", without(void.RoleBlock), "not-shown modelled | draftstops and fireblocks"},
		{"no seals", without(void.RoleSeal), "not-shown modelled | seals"},
		{"no services", without(void.RoleService), "not-shown modelled | services"},
		{"more storeys than rooms", func(h *checktest.Hand) { h.F.Storeys = 3 }, "not-shown modelled | number of storeys"},
		{"as many storeys", func(h *checktest.Hand) { h.F.Storeys = 2 }, "meets modelled | submittal"},
		{"one storey and a basement", func(h *checktest.Hand) { h.F.Storeys = 1 }, "meets modelled | submittal"},
		{"other units listed", func(h *checktest.Hand) { h.F.Units = make([]adoption.UnitFact, 3) }, "not-shown modelled | dwelling units"},
		{"as many units listed", func(h *checktest.Hand) { h.F.Units = make([]adoption.UnitFact, 2) }, "meets modelled | submittal"},
		{"no sprinkler information", func(h *checktest.Hand) { h.F.Sprinklers = "" }, "not-shown modelled | sprinkler protection"},
	} {
		h := full()
		tt.change(h)
		t.Run(tt.name, func(t *testing.T) { checktest.Want(t, items(t, h), tt.want) })
	}
	for _, tt := range []struct{ occupancy, want string }{
		{"townhouse", "not-shown modelled | kind of dwelling"}, {"two-family", "meets modelled | submittal"}, {"Two Family", "meets modelled | submittal"},
		{"one-family", "not-shown modelled | kind of dwelling"}, {"R-2", "meets modelled | submittal"},
	} {
		h := full() // of two units
		h.F.Occupancy = tt.occupancy
		t.Run(tt.occupancy, func(t *testing.T) { checktest.Want(t, items(t, h), tt.want) })
		h.B.Units[0].Assumed = true // then nothing is known of their number
		t.Run(tt.occupancy+", units assumed", func(t *testing.T) {
			checktest.Want(t, items(t, h), "not-shown modelled | dwelling units")
		})
	}
	wet := full()
	wet.Element(recognise.Sprinkler, "IfcFireSuppressionTerminal", "SP-1")
	checktest.Want(t, items(t, wet), "not-shown modelled | sprinkler protection")
	h := full()
	h.F.Sprinklers = ""
	h.Element(recognise.Sprinkler, "IfcFireSuppressionTerminal", "SP-1")
	checktest.Want(t, items(t, h), "meets modelled | submittal")
}

func TestProblemsInFiles(t *testing.T) {
	h := full()
	h.B.Model.Log = &source.Log{}
	for i, e := range []string{"#12", "#13"} {
		h.B.Model.Log.Add(source.Problem{Severity: source.Skipped, File: "a.ifc", Line: i + 1, Col: 1, Entity: e, Code: "bad-solid", Text: "the solid has no depth"})
	}
	h.B.Model.Log.Add(source.Problem{File: "a.ifc", Code: "odd", Text: "the header is empty"})
	h.B.Notes = []string{"the two stud rows of W-1 are one wall"}
	r := items(t, h)
	checktest.Want(t, r, "not-shown modelled | files: bad solid", "note modelled | files: odd", "note assumed | what was recognised")
	if want := "2 problems of one kind in the files, the first of them: a.ifc:1:1: #12: the solid has no depth."; r[0].Message != want {
		t.Errorf("message %q", r[0].Message)
	}
	if r[0].Outcome != finding.NotShown {
		t.Errorf("outcome %s", r[0].Outcome)
	}
}
