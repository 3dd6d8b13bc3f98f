package ifcxml

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/beevik/etree"

	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
	"voidcheck/ifcx/step"
)

const (
	open4 = `<?xml version="1.0" encoding="utf-8"?>
<ifc:ifcXML xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" xmlns:ifc="http://www.buildingsmart-tech.org/ifcXML/IFC4/Add2" xmlns="http://www.buildingsmart-tech.org/ifcXML/IFC4/Add2">
`
	close4 = "</ifc:ifcXML>"
	open2  = `<?xml version="1.0"?>
<doc:iso_10303_28 xmlns:exp="urn:oid:1.0.10303.28.2.1.1" xmlns:doc="urn:oid:1.0.10303.28.2.1.3" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<exp:iso_10303_28_header><exp:name>row</exp:name><exp:time_stamp>2026-01-02T03:04:05</exp:time_stamp><exp:author>Ada</exp:author><exp:organization/><exp:originating_system>tool 1</exp:originating_system></exp:iso_10303_28_header>
<ifc:uos id="u" xmlns:ifc="http://www.iai-tech.org/ifcXML/IFC2x3/FINAL" xmlns="http://www.iai-tech.org/ifcXML/IFC2x3/FINAL" configuration="i-ifc2x3">
`
	close2 = "</ifc:uos></doc:iso_10303_28>"
)

// show prints values: null, *, 3i, 1.5, 'x', .X., #7, (a b), IfcLabel(x).
func show(g *graph.Graph, v graph.Value) string {
	var parts []string
	for _, x := range v.List {
		parts = append(parts, show(g, x))
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
		return "#" + g.Label(v.Ref)
	case graph.List:
		return list
	case graph.Typed:
		return v.Type + list
	}
	return "null"
}

func read(text string) (instances, problems []string) {
	var log source.Log
	g, err := Read(&source.File{Name: "m", Data: []byte(text)}, &log)
	if err != nil {
		return nil, []string{err.Error()}
	}
	g.Verify()
	for _, id := range g.All() {
		v := show(g, graph.Value{Kind: graph.List, List: g.Attrs(id)})
		instances = append(instances, g.Label(id)+" "+g.Type(id)+" "+v)
	}
	for _, p := range log.All() {
		problems = append(problems, p.String())
	}
	return instances, problems
}

// Each case stands inside the outer element; its first line is line 3 (IFC4) or 5 (IFC2X3).
func TestElements(t *testing.T) {
	for _, c := range []struct{ name, dialect, body, instances, problems string }{
		{"XML attributes", "4", `<IfcCartesianPoint id="a" Coordinates="0 1.5 -2E3"/>`, "a IfcCartesianPoint ((0 1.5 -2000))", ""},
		{"attribute element is the instance", "4", `<IfcLocalPlacement id="a"><PlacementRelTo xsi:type="IfcLocalPlacement" id="b"/><RelativePlacement><IfcAxis2Placement3D id="c"><Location id="d" Coordinates="0 0 0"/></IfcAxis2Placement3D></RelativePlacement></IfcLocalPlacement>`,
			"a IfcLocalPlacement (#b #c)\nb IfcLocalPlacement (null null)\nc IfcAxis2Placement3D (#d null null)\nd IfcCartesianPoint ((0 0 0))", ""},
		{"instance seen by its children", "4", `<IfcOwnerHistory id="a"><OwningUser><ThePerson id="p" FamilyName="N"/></OwningUser></IfcOwnerHistory>`,
			"a IfcOwnerHistory (#(no id) null null null null null null null)\n(no id) IfcPersonAndOrganization (#p null null)\np IfcPerson (null 'N' null null null null null null)", ""},
		{"reference before the instance", "4", `<IfcVector id="v" Magnitude="2"><Orientation xsi:nil="true" href="d"/></IfcVector><IfcDirection id="d" DirectionRatios="0 1"/>`,
			"v IfcVector (#d 2)\nd IfcDirection ((0 1))", ""},
		{"inverse nesting, list and single", "4", `<IfcWall id="w" GlobalId="g"><HasOpenings><IfcRelVoidsElement id="v"><RelatedOpeningElement xsi:type="IfcOpeningElement" id="o"/></IfcRelVoidsElement></HasOpenings>` +
			`<IsDefinedBy><IfcRelDefinesByProperties id="p"/></IsDefinedBy></IfcWall><IfcWall id="x"><IsDefinedBy><IfcRelDefinesByProperties xsi:nil="true" href="p"/></IsDefinedBy></IfcWall>`,
			"w IfcWall ('g' null null null null null null null null)\nv IfcRelVoidsElement (null null null null #w #o)\no IfcOpeningElement (null null null null null null null null null)\n" +
				"p IfcRelDefinesByProperties (null null null null (#w #x) null)\nx IfcWall (null null null null null null null null null)", ""},
		{"explicit and nested say the same", "4", `<IfcWall id="w"><IsDefinedBy><IfcRelDefinesByProperties id="p"><RelatedObjects><IfcWall xsi:nil="true" href="w"/></RelatedObjects></IfcRelDefinesByProperties></IsDefinedBy></IfcWall>`,
			"w IfcWall (null null null null null null null null null)\np IfcRelDefinesByProperties (null null null null (#w) null)", ""},
		{"typed values", "4", `<IfcPropertySingleValue id="a" Name="n"><NominalValue><IfcBoolean-wrapper>true</IfcBoolean-wrapper></NominalValue></IfcPropertySingleValue>` +
			`<IfcPropertySingleValue id="b" Name="n"><NominalValue xsi:type="ifc:IfcLabel">x &amp; y</NominalValue></IfcPropertySingleValue>` +
			`<IfcPropertySingleValue id="c" Name="n"><NominalValue><IfcCompoundPlaneAngleMeasure-wrapper>1 2 3</IfcCompoundPlaneAngleMeasure-wrapper></NominalValue></IfcPropertySingleValue>`,
			"a IfcPropertySingleValue ('n' null IfcBoolean(.T.) null)\nb IfcPropertySingleValue ('n' null IfcLabel('x & y') null)\nc IfcPropertySingleValue ('n' null IfcCompoundPlaneAngleMeasure((1i 2i 3i)) null)", ""},
		{"lists of lists", "4", `<IfcCartesianPointList3D id="a" CoordList="0 0 0 1 0 0"/><IfcIndexedPolyCurve id="c" SelfIntersect="false"><Points xsi:nil="true" xsi:type="IfcCartesianPointList3D" href="a"/><Segments><IfcLineIndex-wrapper>1 2</IfcLineIndex-wrapper><IfcArcIndex-wrapper>2 3 1</IfcArcIndex-wrapper></Segments></IfcIndexedPolyCurve>`,
			"a IfcCartesianPointList3D (((0 0 0) (1 0 0)) null)\nc IfcIndexedPolyCurve (#a (IfcLineIndex((1i 2i)) IfcArcIndex((2i 3i 1i))) .F.)", ""},
		{"lists of numbers in lists", "4", `<IfcIndexedPolygonalFaceWithVoids id="f" CoordIndex="1 2 3 4"><InnerCoordIndices><Seq-IfcPositiveInteger-wrapper>5 6 7</Seq-IfcPositiveInteger-wrapper></InnerCoordIndices></IfcIndexedPolygonalFaceWithVoids>`, "f IfcIndexedPolygonalFaceWithVoids ((1i 2i 3i 4i) ((5i 6i 7i)))", ""},
		{"lists of lists of instances", "4", `<IfcBezierSurface0/><IfcBSplineSurfaceWithKnots id="s" UDegree="1"><ControlPointsList arraySize="2 1"><IfcCartesianPoint id="p" Coordinates="0 0 0"/><IfcCartesianPoint id="q" Coordinates="1 0 0"/></ControlPointsList></IfcBSplineSurfaceWithKnots>` +
			`<IfcBSplineSurfaceWithKnots id="t"><ControlPointsList><Seq-IfcCartesianPoint-wrapper><IfcCartesianPoint xsi:nil="true" href="p"/><IfcCartesianPoint xsi:nil="true" href="q"/></Seq-IfcCartesianPoint-wrapper></ControlPointsList></IfcBSplineSurfaceWithKnots>`,
			"(no id) IfcBezierSurface0 ()\ns IfcBSplineSurfaceWithKnots (1i null ((#p) (#q)) null null null null null null null null null)\np IfcCartesianPoint ((0 0 0))\nq IfcCartesianPoint ((1 0 0))\n" +
				"t IfcBSplineSurfaceWithKnots (null null ((#p #q)) null null null null null null null null null)",
			"m:3:1: no IFC schema known here has an entity IfcBezierSurface0; such instances are kept without meaning"},
		{"derived", "4", `<IfcSIUnit id="a" UnitType="lengthunit" Name="metre"/>`, "a IfcSIUnit (* .LENGTHUNIT. null .METRE.)", ""},
		{"comma", "4", `<IfcVector id="a" Magnitude="0,25"/>`, "a IfcVector (null 0.25)", `m:3:1: a IfcVector: "0,25" has a comma where XML has a point; it is read as 0.25`},
		{"not numbers", "4", `<IfcDirection id="a" DirectionRatios="NaN INF 0x1p-2"/>`, "a IfcDirection ((null null null))",
			`m:3:1: a IfcDirection: "0x1p-2" is not a number; it reads as not given` + "\n" + `m:3:1: a IfcDirection: "INF" is not a number; it reads as not given` + "\n" + `m:3:1: a IfcDirection: "NaN" is not a number; it reads as not given`},
		{"unknown attribute and element", "4", `<IfcDirection id="a" Foo="1"><Bar><IfcPerson id="p"/></Bar></IfcDirection>`, "a IfcDirection (null)\np IfcPerson (null null null null null null null null)",
			"m:3:1: a IfcDirection: IfcDirection has no attribute Foo; it is left out\nm:3:30: a IfcDirection: IfcDirection has no attribute Bar; it is left out"},
		{"dangling", "4", `<IfcWall id="w" GlobalId="g" Name="W-1"><OwnerHistory xsi:nil="true" href="o"/></IfcWall>`, "w IfcWall ('g' null 'W-1' null null null null null null)",
			`m:3:41: w IfcWall "W-1" (g): "o" is not in the file; references to it are left out`},
		{"doubled id", "4", `<IfcDirection id="a" DirectionRatios="1 0"/><IfcDirection id="a" DirectionRatios="0 1"/><IfcVector id="v"><Orientation href="a"/></IfcVector>`,
			"a IfcDirection ((1 0))\na IfcDirection ((0 1))\nv IfcVector (#a null)", `m:3:45: a IfcDirection: the id "a" is already used on line 3; references go to the first one; export the file again`},
		{"entity of a later schema", "4", `<IfcBuiltElement id="a" GlobalId="g"/>`, "a IfcBuiltElement ('g' null null null null null null null)",
			"m:3:1: IFC4 has no entity IfcBuiltElement; it is read as IFC4X3 defines it"},
		{"abstract without a type", "4", `<IfcLocalPlacement id="a"><PlacementRelTo id="b"/></IfcLocalPlacement>`, "a IfcLocalPlacement (#b null)\nb IfcObjectPlacement ()",
			"m:3:27: a IfcLocalPlacement: IfcObjectPlacement is abstract and no xsi:type says what the instance is"},

		{"elements by name", "2", `<IfcPropertySingleValue id="a"><Name>n</Name><NominalValue><IfcLengthMeasure>2.5</IfcLengthMeasure></NominalValue></IfcPropertySingleValue>` +
			`<IfcPropertySingleValue id="b"><Name>n</Name><NominalValue><ifclabel-wrapper>x</ifclabel-wrapper></NominalValue></IfcPropertySingleValue>`,
			"a IfcPropertySingleValue ('n' null IfcLengthMeasure(2.5) null)\nb IfcPropertySingleValue ('n' null IfcLabel('x') null)", ""},
		{"references", "2", `<IfcAxis2Placement3D id="a"><Location><IfcCartesianPoint xsi:nil="true" ref="p"/></Location></IfcAxis2Placement3D><IfcCartesianPoint id="p"><Coordinates exp:cType="list">0. 1. 2.</Coordinates></IfcCartesianPoint>`,
			"a IfcAxis2Placement3D (#p null null)\np IfcCartesianPoint ((0 1 2))", ""},
		{"order by pos", "2", `<IfcCartesianPoint id="p"><Coordinates exp:cType="list"><IfcLengthMeasure exp:pos="1">1</IfcLengthMeasure><IfcLengthMeasure exp:pos="0">0</IfcLengthMeasure></Coordinates></IfcCartesianPoint>`,
			"p IfcCartesianPoint ((0 1))", ""},
		{"basic wrappers", "2", `<IfcDirection id="d"><DirectionRatios><exp:double-wrapper pos="0">0</exp:double-wrapper><exp:double-wrapper pos="1">1</exp:double-wrapper></DirectionRatios></IfcDirection>`,
			"d IfcDirection ((0 1))", ""},
		{"enumerations and logicals", "2", `<IfcOwnerHistory id="o"><ChangeAction>nochange</ChangeAction><CreationDate>12</CreationDate></IfcOwnerHistory><IfcBSplineCurveForm/><IfcPolyLoop id="l"/>`,
			"o IfcOwnerHistory (null null null .NOCHANGE. null null null 12i)\n(no id) IfcBSplineCurveForm ()\nl IfcPolyLoop (null)",
			"m:5:111: no IFC schema known here has an entity IfcBSplineCurveForm; such instances are kept without meaning"},
		{"two places", "2", `<IfcBezierCurve id="b"/><IfcRationalBezierCurve id="c"><ControlPointsList><IfcCartesianPoint id="p" pos="1"/><IfcCartesianPoint id="q" pos="0"/></ControlPointsList></IfcRationalBezierCurve>`,
			"b IfcBezierCurve (null null null null null)\nc IfcRationalBezierCurve (null (#q #p) null null null null)\np IfcCartesianPoint (null)\nq IfcCartesianPoint (null)", ""},
		{"spaces in text are kept", "2", "<IfcMaterial id=\"m\"><Name> a\nb </Name></IfcMaterial><IfcMaterial id=\"n\"><Name/></IfcMaterial>", "m IfcMaterial (' a\nb ')\nn IfcMaterial ('')", ""},
		{"too many values", "2", `<IfcVector id="v"><Orientation><IfcDirection id="a"/><IfcDirection id="b"/></Orientation></IfcVector>`, "v IfcVector (#a null)\na IfcDirection (null)\nb IfcDirection (null)",
			"m:5:76: v IfcVector: Orientation holds 2 values where 1 was expected; the first is kept"},
	} {
		text := open4 + c.body + close4
		if c.dialect == "2" {
			text = open2 + c.body + close2
		}
		inst, prob := read(text)
		if got := strings.Join(inst, "\n"); got != c.instances {
			t.Errorf("%s: got\n%s\nwant\n%s", c.name, got, c.instances)
		}
		if got := strings.Join(prob, "\n"); got != c.problems {
			t.Errorf("%s: problems\n%s\nwant\n%s", c.name, got, c.problems)
		}
	}
}

func TestWholeFiles(t *testing.T) {
	one := `<IfcDirection id="d" DirectionRatios="0 1"/>`
	for _, c := range []struct {
		name, text string
		n          int // -1: refused
		problem    string
	}{
		{"cut", open4 + one + `<IfcVector id="v"><Orient`, 2, "m:3:70: not well-formed XML (unexpected EOF); what follows is not read; export or copy the file again"},
		{"cut between elements", open4 + one + `<IfcVector id="v">`, 2, "m:3:63: the file ends inside <IfcVector>; what is missing is left out; export or copy the file again"},
		{"wrong end tag", open4 + one + `<IfcVector id="v"></IfcVektor>`, 2, "m:3:63: </IfcVektor> closes no open element; what follows is not read; export or copy the file again"},
		{"entity declared in the file", `<!DOCTYPE x [<!ENTITY e "eeee">]>` + strings.TrimPrefix(open4, `<?xml version="1.0" encoding="utf-8"?>`) + one + `<IfcMaterial id="m" Name="&e;"/>`, 1,
			"m:1:1: the document type declaration is passed over; entities it defines are not expanded"},
		{"no schema", `<ifcXML>` + one + `</ifcXML>`, 1, "m:1:9: no schema is named; by its outermost element the file is read as IFC4; export the file again"},
		{"Latin 1", `<?xml version="1.0" encoding="ISO-8859-1"?><ifcXML xmlns="x/IFC4/y"><IfcMaterial Name="B` + "\xfc" + `ro"/></ifcXML>`, 1, ""},
		{"wrong bytes", `<ifcXML xmlns="x/IFC4/y"><IfcMaterial Name="B` + "\xfc" + `ro"/></ifcXML>`, 1,
			"m: text holds bytes that are not UTF-8; they are read as Windows-1252 and may come out wrong; export the file again"},
		{"UTF-16", utf16(open4 + one + close4), 1, ""},
		{"byte order mark", "\xef\xbb\xbf" + open4 + one + close4, 1, ""},
		{"deep", open4 + strings.Repeat("<a>", 600), -1, "m: elements nest deeper than 500; this is not a building model"},
		{"empty", "", -1, "m: the file is empty; export or copy it again"},
		{"HTML", "<html><body>hello</body></html>", -1, "m: the outermost element is <html> and holds no IFC instance; expected <ifcXML> or <iso_10303_28>: export the model as ifcXML"},
		{"not XML", "<ifcXML", -1, "m:1:8: not well-formed XML (unexpected EOF) before any IFC instance; export the model again"},
		{"other encoding", `<?xml version="1.0" encoding="Shift_JIS"?><ifcXML/>`, -1, `m: the encoding "shift_jis" is not read; save the file as UTF-8`},
	} {
		inst, prob := read(c.text)
		n := len(inst)
		if n == 0 {
			n = -1
		}
		if n != c.n {
			t.Errorf("%s: got %d instances, want %d", c.name, n, c.n)
		}
		if got := strings.Join(prob, "\n"); got != c.problem && !strings.HasPrefix(got, c.problem+"\n") {
			t.Errorf("%s: problems\n%s\nwant\n%s", c.name, got, c.problem)
		}
		for _, x := range inst {
			if strings.Contains(x, "IfcMaterial") && !strings.Contains(x, "Büro") && c.name != "entity declared in the file" {
				t.Errorf("%s: got %s", c.name, x)
			}
		}
	}
}

func utf16(s string) string {
	var b strings.Builder
	b.WriteString("\xff\xfe")
	for _, r := range strings.Replace(s, "utf-8", "UTF-16", 1) {
		b.WriteByte(byte(r))
		b.WriteByte(byte(r >> 8))
	}
	return b.String()
}

// The same small model in STEP and in both dialects gives the same values.
func TestSameAsStep(t *testing.T) {
	stepText := func(schema, last string) string {
		return "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('','',(''),(''),'','','');\nFILE_SCHEMA(('" + schema + "'));\nENDSEC;\nDATA;\n" +
			"#1=IFCWALL('g1',$,'W \\X\\E4 <1>',$,$,#2,$,'7'" + last + ");\n#2=IFCLOCALPLACEMENT($,#3);\n#3=IFCAXIS2PLACEMENT3D(#4,$,$);\n#4=IFCCARTESIANPOINT((0.,1.5,-2.));\n" +
			"#5=IFCRELVOIDSELEMENT('g2',$,$,$,#1,#6);\n#6=IFCOPENINGELEMENT('g3',$,$,$,$,$,$,$" + last + ");\n" +
			"#7=IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.);\n#8=IFCPROPERTYSINGLEVALUE('P',$,IFCBOOLEAN(.T.),$);\nENDSEC;\nEND-ISO-10303-21;\n"
	}
	xml4 := open4 + `<IfcWall id="i1" GlobalId="g1" Name="W ä &lt;1>" Tag="7"><ObjectPlacement xsi:type="IfcLocalPlacement" id="i2"><RelativePlacement><IfcAxis2Placement3D id="i3"><Location id="i4" Coordinates="0 1.5 -2"/></IfcAxis2Placement3D></RelativePlacement></ObjectPlacement>` +
		`<HasOpenings><IfcRelVoidsElement id="i5" GlobalId="g2"><RelatedOpeningElement xsi:type="IfcOpeningElement" id="i6" GlobalId="g3"/></IfcRelVoidsElement></HasOpenings></IfcWall>` +
		`<IfcSIUnit id="i7" UnitType="lengthunit" Prefix="milli" Name="metre"/><IfcPropertySingleValue id="i8" Name="P"><NominalValue><IfcBoolean-wrapper>true</IfcBoolean-wrapper></NominalValue></IfcPropertySingleValue>` + close4
	xml2 := open2 + `<IfcWall id="i1"><GlobalId>g1</GlobalId><Name>W ä &lt;1&gt;</Name><ObjectPlacement><IfcLocalPlacement xsi:nil="true" ref="i2"/></ObjectPlacement><Tag>7</Tag></IfcWall>` +
		`<IfcLocalPlacement id="i2"><RelativePlacement><IfcAxis2Placement3D id="i3"><Location><IfcCartesianPoint id="i4"><Coordinates exp:cType="list">0. 1.5 -2.</Coordinates></IfcCartesianPoint></Location></IfcAxis2Placement3D></RelativePlacement></IfcLocalPlacement>` +
		`<IfcRelVoidsElement id="i5"><GlobalId>g2</GlobalId><RelatingBuildingElement><IfcWall xsi:nil="true" ref="i1"/></RelatingBuildingElement><RelatedOpeningElement><IfcOpeningElement id="i6"><GlobalId>g3</GlobalId></IfcOpeningElement></RelatedOpeningElement></IfcRelVoidsElement>` +
		`<IfcSIUnit id="i7"><UnitType>lengthunit</UnitType><Prefix>milli</Prefix><Name>metre</Name></IfcSIUnit><IfcPropertySingleValue id="i8"><Name>P</Name><NominalValue><IfcBoolean>true</IfcBoolean></NominalValue></IfcPropertySingleValue>` + close2
	for _, c := range []struct{ name, step, xml string }{{"IFC4", stepText("IFC4", ",$"), xml4}, {"IFC2X3", stepText("IFC2X3", ""), xml2}} {
		var log source.Log
		a, err := step.Read(&source.File{Name: "a", Data: []byte(c.step)}, &log)
		if err != nil {
			t.Fatal(err)
		}
		z, err := Read(&source.File{Name: "z", Data: []byte(c.xml)}, &log)
		if err != nil {
			t.Fatal(err)
		}
		if a.Schema != z.Schema || a.Len() != z.Len() {
			t.Fatalf("%s: %s with %d instances, STEP has %s with %d", c.name, z.Schema.Name, z.Len(), a.Schema.Name, a.Len())
		}
		same := func(g *graph.Graph) []string {
			var r []string
			for _, id := range g.All() {
				s := g.Label(id) + " " + g.Type(id) + " " + show(g, graph.Value{Kind: graph.List, List: g.Attrs(id)})
				r = append(r, strings.NewReplacer("##", "#", "#i", "#").Replace("#"+s))
			}
			slices.Sort(r)
			return r
		}
		if got, want := strings.Join(same(z), "\n"), strings.Join(same(a), "\n"); got != want {
			t.Errorf("%s: got\n%s\nwant, as in STEP,\n%s", c.name, got, want)
		}
		a.Verify()
		if l := log.All(); len(l) > 0 {
			t.Errorf("%s: %v", c.name, l)
		}
	}
}

func sample(t testing.TB, name string) *source.File {
	t.Helper()
	p := filepath.Join("..", "..", "..", "shared", "data", name)
	if _, err := os.Stat(p); err != nil {
		t.Skipf("no sample data at ../shared/data/%s", name)
	}
	files, err := source.Load(p)
	if err != nil {
		t.Fatal(err)
	}
	files[0].Name = filepath.Base(files[0].Name)
	return files[0]
}

// The samples are compared with a count of elements by a general XML library: every element
// with an id inside uos is an instance in IFC2X3 files; in the IFC4 one every element named
// after an entity, or with GlobalId or Coordinates (124), and 3 placements with a reference alone.
func TestSamples(t *testing.T) {
	for _, c := range []struct {
		name     string
		n        int
		problems int
		count    func(*etree.Element) string // what an element counts as
	}{
		{"models/sixspaces-ifc2x3.ifcxml", 4278, 0, byID},
		{"malformed/nan-values.ifcxml", 468, 6, byID},
		{"models/wall-opening-window-ifc4add2.ifcxml", 127, 5, byAttr},
		{"models/wall-opening-window-ifcxml.ifczip", 127, 5, byAttr},
	} {
		f := sample(t, c.name)
		var log source.Log
		g, err := Read(f, &log)
		if err != nil {
			t.Error(err)
			continue
		}
		g.Verify()
		if g.Len() != c.n {
			t.Errorf("%s: %d instances, want %d", c.name, g.Len(), c.n)
		}
		if l := log.All(); len(l) != c.problems {
			t.Errorf("%s: %d problems, want %d: %v", c.name, len(l), c.problems, l)
		}
		doc := etree.NewDocument()
		if err := doc.ReadFromBytes(f.Data); err != nil {
			t.Fatal(err)
		}
		want := map[string]int{}
		for _, e := range doc.FindElements("//*") {
			if k := c.count(e); k != "" {
				want[k]++
			}
		}
		for k, n := range want {
			got := 0
			switch k {
			case "GlobalId":
				got = len(g.ByType("IfcRoot", true))
			case "Coordinates":
				got = len(g.ByType("IfcCartesianPoint", true))
			default:
				got = len(g.ByType(k, false))
			}
			if got != n {
				t.Errorf("%s: %d %s, want %d", c.name, got, k, n)
			}
		}
	}
}

func byID(e *etree.Element) string {
	if e.SelectAttr("id") != nil && strings.HasPrefix(e.Tag, "Ifc") {
		return e.Tag
	}
	return ""
}

func byAttr(e *etree.Element) string {
	for _, k := range []string{"GlobalId", "Coordinates"} {
		if e.SelectAttr(k) != nil {
			return k
		}
	}
	return ""
}

func TestNaN(t *testing.T) {
	f := sample(t, "malformed/nan-values.ifcxml")
	var log source.Log
	g, err := Read(f, &log)
	if err != nil {
		t.Fatal(err)
	}
	want := `nan-values.ifcxml:599:29: i86 IfcGeometricRepresentationSubContext: "NAN(SNAN)" is not a number; it reads as not given`
	if got := log.All()[0].String(); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if g.Header.Originating != "23.1.10.4 - Exporter 23.2.3.0 - Alternate UI 23.2.3.0" || g.Header.Name != "001-00" || g.Schema.Name != "IFC2X3" {
		t.Errorf("got header %+v", g.Header)
	}
}

// FuzzRead: nothing may panic or hang, every reference leads to an instance, and every
// problem has a text.
func FuzzRead(f *testing.F) {
	f.Add([]byte(open4 + `<IfcWall id="w" GlobalId="g"><HasOpenings><IfcRelVoidsElement id="v" href="x"/></HasOpenings><ObjectPlacement xsi:type="IfcLocalPlacement" href="p"/></IfcWall>` + close4))
	f.Add([]byte(open2 + `<IfcCartesianPoint id="p"><Coordinates exp:cType="list"><IfcLengthMeasure exp:pos="1 0">1</IfcLengthMeasure>2</Coordinates></IfcCartesianPoint>` + close2))
	f.Add([]byte(open4 + `<IfcBSplineSurfaceWithKnots><ControlPointsList arraySize="2 0"><Seq-x><IfcCartesianPoint Coordinates="1 NaN"/></Seq-x></ControlPointsList></IfcBSplineSurfaceWithKnots>`))
	for _, n := range []string{"models/wall-opening-window-ifc4add2.ifcxml"} {
		if d, err := os.ReadFile("../../../shared/data/" + n); err == nil {
			f.Add(d)
		}
	}
	f.Fuzz(func(t *testing.T, d []byte) {
		var log source.Log
		g, err := Read(&source.File{Name: "f", Data: d}, &log)
		if err != nil {
			return
		}
		g.Verify()
		for _, id := range g.All() {
			for _, v := range g.Attrs(id) {
				for _, r := range v.Refs() {
					if !g.Has(r) {
						t.Errorf("%d leads nowhere", r)
					}
				}
			}
		}
		for _, p := range log.All() {
			if p.Text == "" || p.Code == "" || p.File != "f" {
				t.Errorf("problem without text, code or file: %+v", p)
			}
		}
	})
}

func BenchmarkRead(b *testing.B) {
	f := sample(b, "models/sixspaces-ifc2x3.ifcxml")
	b.SetBytes(int64(len(f.Data)))
	b.ReportAllocs()
	for b.Loop() {
		var log source.Log
		if _, err := Read(f, &log); err != nil {
			b.Fatal(err)
		}
	}
}
