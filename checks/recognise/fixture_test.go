package recognise_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"voidcheck/checks/adoption"
	"voidcheck/checks/lexicon"
	"voidcheck/checks/recognise"
	"voidcheck/ifcx"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/source"
)

func openFixture(t testing.TB, h ifctest.House, d ifctest.Disguise) (*ifctest.Model, *model.Building) {
	t.Helper()
	m, err := h.Build()
	if err != nil {
		t.Fatal(err)
	}
	files := []*source.File{}
	for i, x := range []*ifctest.Model{m, m.Services} {
		if x == nil {
			continue
		}
		var b bytes.Buffer
		if err := x.WriteSTEP(&b, d); err != nil {
			t.Fatal(err)
		}
		files = append(files, &source.File{Name: fmt.Sprintf("f%d.ifc", i), Data: b.Bytes(), Kind: source.STEP})
	}
	mb, err := ifcx.OpenFiles(context.Background(), files, ifcx.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return m, mb
}

func recogniseModel(t testing.TB, m *model.Building) *recognise.Building {
	t.Helper()
	b, err := recognise.Recognise(context.Background(), m, lexicon.Default(), adoption.Facts{})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// strip takes every word and type from the elements, so that geometry alone is left, and
// returns the names that told what they are.
func strip(m *model.Building, types bool) []string {
	names := make([]string, len(m.Elements))
	for i, e := range m.Elements {
		names[i] = e.Name
		e.Name, e.ObjectType, e.TypeName, e.Description, e.Tag = "", "", "", "", ""
		if types && !e.Is("IfcSpace") && !e.Is("IfcDistributionElement") && !e.Is("IfcWall") && e.Entity != "IfcElementAssembly" {
			e.Entity, e.Parents, e.Predefined, e.TypeEntity = "IfcBuildingElementProxy", []string{"IfcBuildingElement", "IfcElement"}, "", ""
			e.Materials = nil
		}
	}
	return names
}

func kindOfName(n string) string {
	n = strings.TrimSpace(n)
	for _, p := range []string{"Unit separation wall", "Exterior wall", "Bearing partition", "Fireblocking at level", "Fireblocking upright", "Attic draftstop", "Eave blocking board", "Roof sheathing", "Wall sheathing", "Slab on grade", "Gypsum ceiling", "Gypsum board"} {
		if strings.HasPrefix(n, p) {
			return p
		}
	}
	f := strings.Fields(n)
	var out []string
	for _, w := range f {
		if strings.ContainsAny(w, "0123456789") {
			break
		}
		out = append(out, w)
	}
	return strings.Join(out, " ")
}

func TestDump(t *testing.T) {
	if os.Getenv("DUMP") == "" {
		t.Skip("set DUMP")
	}
	h := ifctest.Larkspur()
	switch os.Getenv("DUMP") {
	case "layered":
		h = ifctest.LarkspurLayered()
	case "loose":
		h.LooseParts = true
	case "joist":
		h.Floor.Framing = "joist"
	case "i-joist":
		h.Floor.Framing = "i-joist"
	case "y":
		h = ifctest.Row(2)
		h.Floor.Along = "y"
	case "single":
		h = ifctest.Row(2)
		h.Separation.Kind = "single"
	case "two":
		h = ifctest.Row(2)
		h.Separation.Kind = "two-walls"
	}
	var mb *model.Building
	if f := os.Getenv("FILE"); f != "" {
		var err error
		mb, err = ifcx.Open(context.Background(), []string{f}, ifcx.Options{})
		if err != nil {
			t.Fatal(err)
		}
	} else {
		d := ifctest.Disguise{}
		if s := os.Getenv("ROT"); s != "" {
			fmt.Sscan(s, &d.RotateDeg)
		}
		if s := os.Getenv("OVERLAP"); s != "" {
			fmt.Sscan(s, &d.Overlap)
		}
		_, mb = openFixture(t, h, d)
	}
	names := make([]string, len(mb.Elements))
	for i, e := range mb.Elements {
		names[i] = e.Name
	}
	if os.Getenv("STRIP") != "" {
		names = strip(mb, os.Getenv("STRIP") == "2")
	}
	b := recogniseModel(t, mb)
	counts := map[string]int{}
	for i, th := range b.Things {
		k := kindOfName(names[i])
		if os.Getenv("FILE") != "" {
			k = th.Element.Entity + "." + th.Element.Predefined + " " + k
		}
		counts[fmt.Sprintf("%-45s -> %-12s [%s: %s]", k, th.Concept, th.Reason.Signal, kindOfName(th.Reason.Value))]++
	}
	var ks []string
	for k := range counts {
		ks = append(ks, k)
	}
	sort.Strings(ks)
	for _, k := range ks {
		fmt.Printf("%5d %s\n", counts[k], k)
	}
	fmt.Printf("trusses %d  content %+v\n", len(b.Trusses), b.Content)
	roles := map[string]int{}
	for _, p := range b.Input.Parts {
		roles[fmt.Sprintf("%d layered=%v %s", p.Role, p.Layered, p.Framing)]++
	}
	fmt.Println(roles)
	for i, w := range b.Input.Walls {
		fmt.Printf("W%d st%d sep%d %s len %.3f at (%.3f %.3f) dir (%.3f %.3f) z %.3f..%.3f across %.4f cav %.4f rows %.4f gaps %.4f comb=%v framed=%v n=%d\n", i, w.Storey, w.Separation, w.Kind, w.Length, w.Origin.X, w.Origin.Y, w.Dir.X, w.Dir.Y, w.Z0, w.Z1, w.Across, w.Cavities, w.Rows, w.Gaps, w.Combustible, w.Framed, len(w.Elements))
	}
	for _, u := range b.Units {
		fmt.Printf("%s %q area %.3f spaces %d assumed %v %v\n", u.ID, u.Name, u.AreaM2, len(u.Spaces), u.Assumed, u.Reason)
	}
	for _, s := range b.Separations {
		fmt.Printf("%s units %v walls %v %s %v\n", s.ID, s.Units, s.Walls, s.Kind, s.Reason)
	}
	fmt.Println("rooms", len(b.Input.Rooms), "levels", b.Input.Levels, "turn", b.Turn)
	for _, n := range b.Notes {
		fmt.Println("note:", n)
	}
}

func samplePath(name string) string {
	dir, _ := os.Getwd()
	for d := dir; ; d = filepath.Dir(d) {
		if _, err := os.Stat(filepath.Join(d, "go.mod")); err == nil {
			return filepath.Join(d, "..", "shared", "data", "models", name)
		}
		if d == filepath.Dir(d) {
			return name
		}
	}
}
