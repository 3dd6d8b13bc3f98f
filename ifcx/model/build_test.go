package model_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"text/template"

	"voidcheck/ifcx/model"
	"voidcheck/ifcx/source"
	"voidcheck/ifcx/step"
)

// open builds a building from STEP texts.
func open(t testing.TB, texts ...string) *model.Building {
	t.Helper()
	log := &source.Log{}
	var contents []model.Content
	for i, text := range texts {
		files, err := source.FromBytes(fmt.Sprintf("file%d.ifc", i+1), []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		g, err := step.Read(files[0], log)
		if err != nil {
			t.Fatal(err)
		}
		contents = append(contents, model.FromGraph(g))
	}
	return model.Federate(contents, log)
}

// site is where the template house stands, in metres.
type site struct{ East, North, Up float64 }

// lengthUnits are the units the template is written in, with their size in metres.
var lengthUnits = []struct {
	name  string
	metre float64
	rows  string
}{
	{"metre", 1, "#4=IFCSIUNIT(*,.LENGTHUNIT.,$,.METRE.);"},
	{"millimetre", 0.001, "#4=IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.);"},
	{"foot", 0.3048, "#4=IFCCONVERSIONBASEDUNIT(#10,.LENGTHUNIT.,'FOOT',#5);\n#5=IFCMEASUREWITHUNIT(IFCLENGTHMEASURE(0.3048),#18);\n#18=IFCSIUNIT(*,.LENGTHUNIT.,$,.METRE.);"},
	{"inch", 0.0254, "#4=IFCCONVERSIONBASEDUNIT(#10,.LENGTHUNIT.,'inch',#5);\n#5=IFCMEASUREWITHUNIT(IFCRATIOMEASURE(25.4),#18);\n#18=IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.);"},
}

// small writes testdata/small-ifc4.ifc.tmpl in a unit, at a place.
func small(t testing.TB, unit int, at site) string {
	t.Helper()
	u := lengthUnits[unit]
	tm := template.New("small").Funcs(template.FuncMap{
		"m":        func(x float64) string { return real(x / u.metre) },
		"units":    func() string { return "#4,#6,#9" },
		"unitrows": func() string { return u.rows },
	})
	text, err := os.ReadFile("testdata/small-ifc4.ifc.tmpl")
	if err != nil {
		t.Fatal(err)
	}
	if tm, err = tm.Parse(string(text)); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := tm.Execute(&b, at); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// real prints a number as STEP wants it, with a point.
func real(x float64) string {
	s := fmt.Sprintf("%.12f", x)
	return strings.TrimRight(s, "0")
}

func element(t testing.TB, b *model.Building, name string) *model.Element {
	t.Helper()
	for _, e := range b.Elements {
		if e.Name == name {
			return e
		}
	}
	t.Fatalf("no element %q", name)
	return nil
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-6 }

func problems(b *model.Building, code string) []source.Problem {
	var l []source.Problem
	for _, p := range b.Log.All() {
		if p.Code == code {
			l = append(l, p)
		}
	}
	return l
}
