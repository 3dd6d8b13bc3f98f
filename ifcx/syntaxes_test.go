package ifcx_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"voidcheck/ifcx"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/source"
)

// Instances in another order and with other numbers give the same building: the same
// elements in the same order, with the same geometry and layers.
func TestSampleShuffled(t *testing.T) {
	path := shared(t, "models/us-house-2x-layers.ifc")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	print := func(data []byte) []string {
		files, err := source.FromBytes("us-house.ifc", data)
		if err != nil {
			t.Fatal(err)
		}
		b, err := ifcx.OpenFiles(context.Background(), files, ifcx.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := b.Bodies(context.Background(), 0); err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, e := range b.Elements {
			s := fmt.Sprintf("%s %s %s %v %v", e.GlobalID, e.Entity, e.Name, e.Materials, e.Classes)
			if body := e.Body(); body != nil {
				v := 0.0
				for _, x := range body.Solids {
					v += x.Mesh.Volume()
				}
				s += fmt.Sprintf(" %d solids %.6f m3 %.6f", len(body.Solids), v, body.Box)
			}
			if e.Layers != nil {
				s += fmt.Sprintf(" %+v", *e.Layers)
			}
			out = append(out, s)
		}
		return out
	}
	want := print(data)
	if d := cmp.Diff(want, print(shuffled(data))); d != "" {
		t.Error(d)
	}
}

// shuffled reverses the instances, which stand one to a line, and renumbers them.
func shuffled(data []byte) []byte {
	head, rest, _ := bytes.Cut(data, []byte("DATA;"))
	body, _, _ := bytes.Cut(rest, []byte("ENDSEC;"))
	var lines []string
	for _, l := range strings.Split(strings.ReplaceAll(string(body), "\r", ""), "\n") {
		if strings.HasPrefix(l, "#") {
			lines = append(lines, regexp.MustCompile(`#\d+`).ReplaceAllStringFunc(l, func(s string) string {
				n, _ := strconv.Atoi(s[1:])
				return "#" + strconv.Itoa(1_000_000-n)
			}))
		}
	}
	slices.Reverse(lines)
	return []byte(string(head) + "DATA;\n" + strings.Join(lines, "\n") + "\nENDSEC;\nEND-ISO-10303-21;\n")
}

// Both ifcXML dialects and the zips hold small buildings; the counts were read off the files
// with a text search: 12 walls, 6 doors, 6 windows, 5 proxies, 3 slabs in the first.
func TestSampleOtherSyntaxes(t *testing.T) {
	for name, want := range map[string]struct{ elements, spaces, openings int }{
		"sixspaces-ifc2x3.ifcxml":             {32, 6, 12},
		"wall-opening-window-ifc4add2.ifcxml": {2, 0, 1},
		"wall-opening-window-ifcxml.ifczip":   {2, 0, 1},
		"four-walls-step.ifczip":              {5, 0, -1},
	} {
		b := openSample(t, name)
		if err := b.Bodies(context.Background(), 0); err != nil {
			t.Fatal(err)
		}
		if n := len(b.Elements); n != want.elements {
			t.Errorf("%s: %d elements, want %d", name, n, want.elements)
		}
		if n := len(b.Spaces); n != want.spaces {
			t.Errorf("%s: %d spaces, want %d", name, n, want.spaces)
		}
		if n := len(b.Openings); want.openings >= 0 && n != want.openings {
			t.Errorf("%s: %d openings, want %d", name, n, want.openings)
		}
		bodies := 0
		for _, e := range b.Elements {
			if e.Body() != nil {
				bodies++
			}
		}
		if bodies == 0 {
			t.Errorf("%s: no element has a body", name)
		}
	}
}

func TestSampleIFC5AndSTEPAgree(t *testing.T) {
	// One building in two syntaxes: boxes of the elements that both name alike.
	a := openSample(t, "pcert-architecture.ifc")
	b := openSample(t, "pcert-architecture.ifcx")
	boxes := map[string]*model.Element{}
	for _, e := range a.Elements {
		if e.Body() != nil {
			boxes[e.Name] = e
		}
	}
	n := 0
	for _, e := range b.Elements {
		s := boxes[e.Name]
		if e.Body() == nil || s == nil {
			continue
		}
		n++
		if d := e.Body().Box.Min.Sub(s.Body().Box.Min).Len() + e.Body().Box.Max.Sub(s.Body().Box.Max).Len(); d > 0.001 {
			t.Errorf("%s: %v in STEP, %v in IFC5", e.Name, s.Body().Box, e.Body().Box)
		}
		if s.Entity != e.Entity && e.Name != "sand bedding" { // IFC4 has no earthworks, so a proxy there
			t.Errorf("%s is %s in STEP and %s in IFC5", e.Name, s.Entity, e.Entity)
		}
	}
	if n < 6 {
		t.Errorf("only %d elements of the two files have one name", n)
	}
}
