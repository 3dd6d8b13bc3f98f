package step

import (
	"fmt"
	"strings"
	"sync"
	"testing"

	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

const head = "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION(('ViewDefinition [CoordinationView]'),'2;1');\n" +
	"FILE_NAME('row.ifc','2026-01-02T03:04:05',('Ada'),('Office'),'pre','tool 1','');\nFILE_SCHEMA(('IFC4'));\nENDSEC;\nDATA;\n"
const tail = "ENDSEC;\nEND-ISO-10303-21;\n"

// read reads text and returns one line an instance, and one line a problem.
func read(t *testing.T, text string) (instances, problems []string, g *graph.Graph) {
	t.Helper()
	var log source.Log
	g, err := Read(&source.File{Name: "m.ifc", Data: []byte(text)}, &log)
	if err != nil {
		return nil, []string{err.Error()}, nil
	}
	g.Verify()
	for _, id := range g.All() {
		instances = append(instances, fmt.Sprintf("#%d %s %s", id, g.Type(id), show(graph.Value{Kind: graph.List, List: g.Attrs(id)})))
	}
	for _, p := range log.All() {
		problems = append(problems, p.String())
	}
	return instances, problems, g
}

func TestHeader(t *testing.T) {
	_, problems, g := read(t, head+"#1=IFCPERSON($,$,$,$,$,$,$,$);\n"+tail)
	h := g.Header
	got := fmt.Sprint(h.Schema, "|", h.Description, "|", h.Name, "|", h.TimeStamp, "|", h.Author, "|", h.Organization, "|", h.Preprocessor, "|", h.Originating)
	want := "IFC4|[ViewDefinition [CoordinationView]]|row.ifc|2026-01-02T03:04:05|[Ada]|[Office]|pre|tool 1"
	if got != want || len(problems) > 0 || g.Schema.Name != "IFC4" {
		t.Errorf("got %s, problems %v, want %s", got, problems, want)
	}
}

// Each case is the DATA section; the header has 7 lines, so that its first line is line 8.
func TestInstances(t *testing.T) {
	for _, c := range []struct{ name, data, instances, problems string }{
		{"spaces and comments", "#1 = IFCPERSON ( $,$,/* ; ' */$,$,$,$,$,$ ) ;\n/* #2=IFCWALL(); */ #3= IFCORGANIZATION($,'a;''b',$,$,$);",
			"#1 IfcPerson (null null null null null null null null)\n#3 IfcOrganization (null 'a;'b' null null null)", ""},
		{"carriage returns", "#1=IFCDIRECTION((0.,0.,1.));\r#2=IFCDIRECTION((1.,0.,0.));\r\n",
			"#1 IfcDirection ((0 0 1))\n#2 IfcDirection ((1 0 0))", ""},
		{"all on one line", "#1=IFCDIRECTION((0.,0.,1.));#2=IFCDIRECTION((1.,0.,0.));",
			"#1 IfcDirection ((0 0 1))\n#2 IfcDirection ((1 0 0))", ""},
		{"lower case", "#1=ifcdirection((0.,0.,1.));", "#1 IfcDirection ((0 0 1))", ""},
		{"two data sections", "#1=IFCDIRECTION((0.,0.,1.));\nENDSEC;\nDATA('b',('IFC4'));\n#2=IFCDIRECTION((1.,0.,0.));",
			"#1 IfcDirection ((0 0 1))\n#2 IfcDirection ((1 0 0))", ""},
		{"sparse numbers", "#4294967295=IFCDIRECTION((0.,0.,1.));\n#1=IFCVECTOR(#4294967295,1.);",
			"#4294967295 IfcDirection ((0 0 1))\n#1 IfcVector (#4294967295 1)", ""},
		{"complex instance", "#1=(IFCREPRESENTATIONITEM()IFCGEOMETRICREPRESENTATIONITEM()IFCDIRECTION((0.,0.,1.)));",
			"#1 IfcDirection ((0 0 1))", ""},
		{"complex instance, attributes on several levels", "#1=(IFCPROFILEDEF(.AREA.,'P')IFCPARAMETERIZEDPROFILEDEF($)IFCCIRCLEPROFILEDEF(2.));",
			"#1 IfcCircleProfileDef (.AREA. 'P' null 2)", ""},
		{"complex instance of no one entity", "#1=(IFCWALL($)IFCSLAB($));", "#1 (IFCWALL IFCSLAB) (IFCWALL(null) IFCSLAB(null))",
			"m.ifc:8:1: #1 (IFCWALL IFCSLAB): no IFC schema known here has an entity (IFCWALL IFCSLAB); its one instance is kept without meaning; check that the header names the schema that the file was written in"},

		{"dangling", "#1=IFCVECTOR(#9,1.);", "#1 IfcVector (null 1)",
			"m.ifc:8:1: #1 IfcVector: #9 is not in the file; the reference is left out"},
		{"dangling, in an element", "#1=IFCWALL('2O2Fr$t4X7Zf8NOew3FLOH',#9,'W-1',$,$,$,$,$,$);", "#1 IfcWall ('2O2Fr$t4X7Zf8NOew3FLOH' null 'W-1' null null null null null null)",
			`m.ifc:8:1: #1 IfcWall "W-1" (2O2Fr$t4X7Zf8NOew3FLOH): #9 is not in the file; the reference is left out`},
		{"too many attributes", "#1=IFCDIRECTION((0.,0.,1.),$,$);", "#1 IfcDirection ((0 0 1))",
			"m.ifc:8:1: #1 IfcDirection: 3 attributes where IFC4 has 1; those after DirectionRatios are left out; check that the schema named in the file's header is the one it was written in"},
		{"number too large", "#4294967296=IFCDIRECTION((0.,0.,1.));\n#2=IFCDIRECTION((1.,0.,0.));", "#2 IfcDirection ((1 0 0))",
			"m.ifc:8:1: an instance number from 1 to 4294967295 was expected behind #; the instance is left out; export the file again"},
		{"no equals sign", "#1 IFCDIRECTION((0.,0.,1.));\n#2=IFCDIRECTION((1.,0.,0.));", "#2 IfcDirection ((1 0 0))",
			"m.ifc:8:1: #1: = was expected behind the instance number; the instance is left out; export the file again"},
		{"no name", "#1=;\n#2=IFCDIRECTION((1.,0.,0.));", "#2 IfcDirection ((1 0 0))",
			"m.ifc:8:1: #1: an entity name was expected behind =; the instance is left out; export the file again"},
		{"no semicolon", "#1=IFCDIRECTION((0.,0.,1.))\n#2=IFCDIRECTION((1.,0.,0.));", "#2 IfcDirection ((1 0 0))",
			"m.ifc:8:1: #1: no ; at the end of this instance; it is left out; export the file again"},
		{"no closing parenthesis", "#1=IFCDIRECTION((0.,0.,1.);\n#2=IFCDIRECTION((1.,0.,0.));", "#1 IfcDirection ()\n#2 IfcDirection ((1 0 0))",
			"m.ifc:8:27: #1 IfcDirection: , or ) was expected, found ';'; the instance is left out"},
		{"text behind the attributes", "#1=IFCDIRECTION((0.,0.,1.)) x;", "#1 IfcDirection ()",
			"m.ifc:8:29: #1 IfcDirection: ; was expected behind the attributes, found 'x'; the instance is left out"},
		{"quote missing", "#1=IFCORGANIZATION($,'a,$,$,$);\n#2=IFCORGANIZATION($,'b',$,$,$);\n#3=IFCDIRECTION((1.,0.,0.));",
			"#2 IfcOrganization (null 'b' null null null)\n#3 IfcDirection ((1 0 0))",
			"m.ifc:8:1: #1: a string in this instance is not closed; the instance is left out; export the file again"},
		{"last quote missing", "#1=IFCORGANIZATION($,'a,$,$,$);\n#3=IFCDIRECTION((1.,0.,0.));",
			"#3 IfcDirection ((1 0 0))",
			"m.ifc:8:1: #1: a string in this instance is not closed; the instance is left out; export the file again"},
		{"junk", "hello world\n#2=IFCDIRECTION((1.,0.,0.));", "#2 IfcDirection ((1 0 0))",
			"m.ifc:8:1: \"HELLO\" belongs to nothing; skipped up to the next instance; export the file again"},
		{"NUL bytes", "\x00\x00\x00\x00\n#2=IFCDIRECTION((1.,0.,0.));", "#2 IfcDirection ((1 0 0))",
			"m.ifc:8:1: a NUL byte where an instance or a section was expected; skipped up to the next instance; export the file again"},
		{"three doubles", "#1=IFCDIRECTION((1.,0.));\n#1=IFCDIRECTION((2.,0.));\n#1=IFCDIRECTION((3.,0.));", "#1 IfcDirection ((1 0))",
			"m.ifc:9:1: #1 IfcDirection: this number is already used on line 8; the first instance is kept and this one is left out; export the file again, or give one of them another number\n" +
				"m.ifc:10:1: #1 IfcDirection: this number is already used on line 8; the first instance is kept and this one is left out; export the file again, or give one of them another number"},
	} {
		inst, prob, _ := read(t, head+c.data+"\n"+tail)
		if got := strings.Join(inst, "\n"); got != c.instances {
			t.Errorf("%s: got\n%s\nwant\n%s", c.name, got, c.instances)
		}
		if got := strings.Join(prob, "\n"); got != c.problems {
			t.Errorf("%s: problems\n%s\nwant\n%s", c.name, got, c.problems)
		}
	}
}

// What stands around the instances may be missing or odd.
func TestStructure(t *testing.T) {
	one := "#1=IFCDIRECTION((0.,0.,1.));\n"
	for _, c := range []struct {
		name, text string
		n          int
		problems   string
	}{
		{"byte order mark", "\xef\xbb\xbf" + head + one + tail, 1, ""},
		{"text before", "Content-Type: text\n\n" + head + one + tail, 1, "m.ifc:1:1: 20 bytes before ISO-10303-21; are passed over"},
		{"no end", head + one, 1, "m.ifc:9:1: the file ends without END-ISO-10303-21; and may have been cut off; compare its size with the original, or export it again"},
		{"cut in an instance", head + one + "#2=IFCDIRECTION((0.,", 1, "m.ifc:9:1: #2: the file ends inside this instance; it is left out; the file was cut off: export or copy it again"},
		{"cut in a number", head + one + "#2", 1, "m.ifc:9:1: #2: the file ends inside this instance; it is left out; the file was cut off: export or copy it again"},
		{"open comment", head + one + "/* #2=IFCDIRECTION((0.,0.,1.));\n" + tail, 1, "m.ifc:9:1: a comment is not closed; what follows cannot be read; close the comment with */"},
		{"open comment in an instance", head + one + "#2=IFCDIRECTION(/*(0.,0.,1.));\n" + tail, 1,
			"m.ifc:9:1: #2: a comment that begins in this instance is not closed; the rest of the file cannot be read; close the comment with */"},
		{"no DATA line", strings.Replace(head, "DATA;\n", "", 1) + one + tail, 1, "m.ifc:1:1: no DATA; line before the instances; they are read all the same"},
		{"DATA without semicolon", strings.Replace(head, "DATA;\n", "DATA\n", 1) + one + tail, 1, "m.ifc:7:1: ; was expected behind DATA"},
		{"signature section", head + one + "ENDSEC;\nSIGNATURE;\nMIIB#9=x\nENDSEC;\nEND-ISO-10303-21;", 1, "m.ifc:10:1: the SIGNATURE section is not read"},
		{"older schema", strings.Replace(head, "IFC4", "IFC2X2_FINAL", 1) + one + tail, 1, "m.ifc:1:1: IFC2X2_FINAL is read by the definitions of IFC2X3"},
		{"no instances", head + tail, 0, ""},

		{"other schema", strings.Replace(head, "IFC4", "AUTOMOTIVE_DESIGN", 1) + one + tail, -1,
			"m.ifc: the schema is AUTOMOTIVE_DESIGN, which is no IFC schema; expected IFC2X3, IFC4 or IFC4X3: export the model as IFC"},
		{"no schema to be found", "DATA;\n#1=FOO();\n" + tail, -1,
			"m.ifc: no schema is named in the header and no instance has an IFC type; expected FILE_SCHEMA(('IFC4')); or the like"},
		{"empty", "", -1, "m.ifc: the file is empty; export or copy it again"},
		{"blank", " \r\n", -1, "m.ifc: the file is empty; export or copy it again"},
		{"not STEP", "Dear all, hello", -1, "m.ifc: no DATA section and no instance found; it is not a STEP file, or it was cut off in its header: export it again as IFC"},
		{"header only", head[:40], -1, "m.ifc: no DATA section and no instance found; it is not a STEP file, or it was cut off in its header: export it again as IFC"},
		{"UTF-16", "\xff\xfeI\x00S\x00O\x00", -1, "m.ifc: the text is UTF-16, which STEP files never are; save it as UTF-8 or plain ASCII"},
		{"UTF-32", "I\x00\x00\x00S\x00\x00\x00O\x00\x00\x00", -1, "m.ifc: the text is UTF-32, which STEP files never are; save it as UTF-8 or plain ASCII"},
	} {
		inst, prob, g := read(t, c.text)
		n := len(inst)
		if g == nil {
			n = -1
		}
		if n != c.n {
			t.Errorf("%s: got %d instances, want %d", c.name, n, c.n)
		}
		if got := strings.Join(prob, "\n"); got != c.problems {
			t.Errorf("%s: problems\n%s\nwant\n%s", c.name, got, c.problems)
		}
	}
}

func TestBytesThatAreNotUTF8AreToldOnce(t *testing.T) {
	_, prob, _ := read(t, head+"#1=IFCORGANIZATION($,'B\xfcro',$,$,$);\n#2=IFCORGANIZATION($,'B\xfcro',$,$,$);\n"+tail)
	want := "m.ifc: text holds bytes that are not UTF-8; they are read as Windows-1252 and may come out wrong; export the file with standard string encoding"
	if got := strings.Join(prob, "\n"); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestManyGoroutines(t *testing.T) {
	var log source.Log
	g, err := Read(&source.File{Name: "m", Data: synthetic(1 << 17)}, &log)
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			g.Verify()
			for _, id := range g.ByType("IfcMember", true) {
				if p := g.Inverse(g.Ref(id, "ObjectPlacement"), "IfcMember", "ObjectPlacement"); len(p) != 1 || p[0] != id || !strings.HasPrefix(g.Str(id, "Name"), "Wähle '") {
					t.Errorf("#%d: got %v, %q", id, p, g.Str(id, "Name"))
					return
				}
			}
		})
	}
	wg.Wait()
	if l := log.All(); len(l) > 0 {
		t.Errorf("problems: %v", l)
	}
}
