package step

import (
	"fmt"
	"strings"
	"testing"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/graph"
)

// show prints a value shortly: null, *, 3i, 1.5, 'x', .X., "0F", #7, (a b), IfcLabel(x).
func show(v graph.Value) string {
	var parts []string
	for _, x := range v.List {
		parts = append(parts, show(x))
	}
	list := "(" + strings.Join(parts, " ") + ")"
	switch v.Kind {
	case graph.Derived:
		return "*"
	case graph.Integer:
		return fmt.Sprintf("%gi", v.Num)
	case graph.Real:
		return fmt.Sprintf("%g", v.Num)
	case graph.String:
		return "'" + v.Text + "'"
	case graph.Enum:
		return "." + v.Text + "."
	case graph.Binary:
		return `"` + v.Text + `"`
	case graph.Ref:
		return fmt.Sprintf("#%d", v.Ref)
	case graph.List:
		return list
	case graph.Typed:
		return v.Type + list
	}
	return "null"
}

func TestValues(t *testing.T) {
	for _, c := range []struct{ in, want, fault string }{
		{"()", "()", ""},
		{"( $ , * )", "(null *)", ""},
		{"(1,-2,+3,0)", "(1i -2i 3i 0i)", ""},
		{"(1.,1.E-5,-.5,.5,1.5e+3,-0.)", "(1 1e-05 -0.5 0.5 1500 -0)", ""},
		{"(12345678901234567890)", "(1.2345678901234567e+19i)", ""},
		{"(.T.,.F.,.U.,.NOTDEFINED.,.metre.)", "(.T. .F. .U. .NOTDEFINED. .METRE.)", ""},
		{`("0F","1A3")`, `("0F" "1A3")`, ""},
		{"(#1,#4294967295)", "(#1 #4294967295)", ""},
		{"((1,2),((3.)),())", "((1i 2i) ((3)) ())", ""},
		{"(IFCLABEL('x'),IFCPOSITIVELENGTHMEASURE(2.),ifcboolean(.T.))", "(IfcLabel('x') IfcPositiveLengthMeasure(2) IfcBoolean(.T.))", ""},
		{"(IFCCOMPLEXNUMBER((1.,2.)))", "(IfcComplexNumber((1 2)))", ""},
		{"(NEWTYPE(1))", "(NEWTYPE(1i))", ""},
		{"(/* a ) */ 1 /* , */ , /**/ 2)", "(1i 2i)", ""},
		{"(\r\n1\t,\n2\r)", "(1i 2i)", ""},

		{"(1,,2)", "(1i null 2i)", "3: a value is missing before ,; it reads as not given"},
		{"(1,)", "(1i null)", "3: a value is missing before ); it reads as not given"},
		{"(,)", "(null null)", "1: a value is missing before ,; it reads as not given"},
		{"(NAN,2)", "(null 2i)", "1: NAN is not a number; it reads as not given"},
		{"(-1.#IND,1.#QNAN)", "(null null)", "1: -1.#IND is not a number; it reads as not given"},
		{"(-INF)", "(null)", "1: -INF is not a number; it reads as not given"},
		{"(1.E400)", "(null)", "1: 1.E400 is not a number; it reads as not given"},
		{"(1.2.3)", "(null)", "1: 1.2.3 is not a number; it reads as not given"},
		{"(TRUE)", "(null)", "1: TRUE is no value; it reads as not given"},
		{"(IFCLABEL())", "(null)", "1: IFCLABEL holds 0 values where 1 was expected; it reads as not given"},
		{"(#0)", "(null)", "1: #0 is no possible instance number; the reference is left out"},
		{"(#4294967296)", "(null)", "1: #4294967296 is no possible instance number; the reference is left out"},

		{"(1 2)", "", "3: , or ) was expected, found '2'; the instance is left out"},
		{"(1", "", "2: the file ends inside the instance; the instance is left out"},
		{"('x", "", "3: the file ends inside the instance; the instance is left out"},
		{"(.X", "", "3: the file ends inside the instance; the instance is left out"},
		{"(.X,1)", "", "3: an enumeration item between dots was expected; the instance is left out"},
		{`("0G")`, "", `3: hexadecimal digits and " were expected; the instance is left out`},
		{"(#)", "", "2: a number was expected behind #; the instance is left out"},
		{"(&1)", "", "1: a value was expected, found '&'; the instance is left out"},
		{"(1/*", "", "4: the file ends inside the instance; the instance is left out"},
		{strings.Repeat("(", 200), "", "100: lists nest deeper than 100; the instance is left out"},
	} {
		p := parser{text: c.in, schema: express.ForName("IFC4")}
		vals, ok := p.list()
		got := ""
		if ok {
			got = show(graph.Value{Kind: graph.List, List: vals})
		}
		if got != c.want {
			t.Errorf("%s: got %s, want %s", c.in, got, c.want)
		}
		fault := ""
		if len(p.faults) > 0 {
			fault = fmt.Sprintf("%d: %s", p.faults[0].Off, p.faults[0].Text)
		}
		if fault != c.fault {
			t.Errorf("%s: fault %q, want %q", c.in, fault, c.fault)
		}
	}
}
