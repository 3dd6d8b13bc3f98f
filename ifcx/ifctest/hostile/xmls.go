package hostile

import (
	"bytes"
	"fmt"
	"strings"

	"voidcheck/ifcx/ifctest"
)

const xmlHead = `<?xml version="1.0" encoding="UTF-8"?>` + "\n"
const xmlRoot = `<ifcXML xmlns="http://www.buildingsmart-tech.org/ifcXML/IFC4/Add2" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">`

// xmlHouse is a sound small model in ifcXML.
func xmlHouse() string {
	m, err := ifctest.Row(1).Build()
	if err != nil {
		panic(err) // the row is a constant
	}
	var b bytes.Buffer
	if err := m.WriteXML(&b, ifctest.Disguise{}); err != nil {
		panic(err)
	}
	return b.String()
}

// inside is an ifcXML file with a project and the caller's elements.
func inside(body string) func() []byte {
	return text(xmlHead + xmlRoot + "\n<IfcProject id=\"p\" GlobalId=\"" + guid(1) + "\" Name=\"P\"/>\n" + body + "\n</ifcXML>\n")
}

// xmls are hostile ifcXML files.
func xmls() []File {
	laughs := "<!DOCTYPE x [\n<!ENTITY l0 \"ha\">\n" + repeat(30, "\n", func(i int) string { return fmt.Sprintf(`<!ENTITY l%d "&l%d;&l%d;&l%d;&l%d;">`, i+1, i, i, i, i) }) + "\n]>\n"
	return []File{
		{"laughs.ifcxml", "entities that expand four-fold thirty times", Named, "doctype", text(xmlHead + laughs + xmlRoot + "<IfcProject id=\"p\" GlobalId=\"" + guid(1) + "\"/><IfcWall id=\"w\" GlobalId=\"" + guid(2) + "\"><Name>&l30;</Name></IfcWall></ifcXML>")},
		{"external.ifcxml", "an entity that names a file of the reader's machine", Named, "doctype", text(xmlHead + "<!DOCTYPE x [<!ENTITY f SYSTEM \"file:///etc/hostname\">]>\n" + xmlRoot + "<IfcProject id=\"p\" GlobalId=\"" + guid(1) + "\"/><IfcWall id=\"w\" GlobalId=\"" + guid(2) + "\" Name=\"&f;\"/></ifcXML>")},
		{"deep.ifcxml", "elements nested three hundred thousand deep", Refused, "nest deeper", text(xmlHead + xmlRoot + strings.Repeat("<a>", 3e5) + strings.Repeat("</a>", 3e5) + "</ifcXML>")},
		{"cut.ifcxml", "cut off after two thirds", Named, "truncated", func() []byte { s := xmlHouse(); return []byte(s[:len(s)*2/3]) }},
		{"cut-head.ifcxml", "cut off before any instance", Refused, "not well-formed", text(xmlHead + xmlRoot[:40])},
		{"none.ifcxml", "no instance", Refused, "holds no IFC instance", text(xmlHead + xmlRoot + "</ifcXML>")},
		{"crossed.ifcxml", "end tags in the wrong order", Named, "truncated", inside("<IfcWall id=\"w\" GlobalId=\"" + guid(2) + "\"><ObjectPlacement></IfcWall></ObjectPlacement>")},
		{"two-roots.ifcxml", "a second root element", Named, "no-length-unit", text(string(inside("")()) + string(xmlRoot) + "<IfcWall id=\"w\" GlobalId=\"" + guid(2) + "\"/></ifcXML>")},
		{"utf16.ifcxml", "XML in UTF-16", Read, "", func() []byte { return wide(strings.Replace(xmlHouse(), "UTF-8", "UTF-16", 1)) }},
		{"marked.ifcxml", "a byte order mark", Read, "", func() []byte { return []byte("\xef\xbb\xbf" + xmlHouse()) }},
		{"crlf.ifc", "XML with other line ends, named as STEP", Read, "", func() []byte { return []byte(strings.ReplaceAll(xmlHouse(), "\n", "\r\n")) }},
		{"lies.ifcxml", "an encoding that the text is not in", Named, "not-utf8", inside("<IfcWall id=\"w\" GlobalId=\"" + guid(2) + "\" Name=\"Trennw\xe4nde\"/>")},
		{"encoding.ifcxml", "an encoding that nobody has", Refused, "encoding", text(strings.Replace(xmlHead, "UTF-8", "KLINGON-1", 1) + xmlRoot + "<IfcProject/></ifcXML>")},
		{"double-id.ifcxml", "an id used twice", Named, "duplicate-id", inside(`<IfcCartesianPoint id="a" Coordinates="0 0 0"/><IfcCartesianPoint id="a" Coordinates="1 0 0"/>`)},
		{"nowhere.ifcxml", "references to ids that are not there", Named, "dangling-reference", inside("<IfcWall id=\"w\" GlobalId=\"" + guid(2) + "\"><ObjectPlacement xsi:nil=\"true\" href=\"gone\"/></IfcWall>")},
		{"nan.ifcxml", "NaN, INF, hexadecimal and decimal commas where numbers belong", Named, "not-a-number", inside(`<IfcCartesianPoint id="a" Coordinates="NaN -INF 0x10"/><IfcCartesianPoint id="b" Coordinates="1,5 2 1e999"/>`)},
		{"ring.ifcxml", "a placement relative to itself", Named, "placement", inside("<IfcWall id=\"w\" GlobalId=\"" + guid(2) + "\"><ObjectPlacement xsi:type=\"IfcLocalPlacement\" id=\"l\"><PlacementRelTo xsi:type=\"IfcLocalPlacement\" href=\"l\" xsi:nil=\"true\"/><RelativePlacement><IfcAxis2Placement3D id=\"x\"><Location id=\"o\" Coordinates=\"0 0 0\"/></IfcAxis2Placement3D></RelativePlacement></ObjectPlacement></IfcWall>")},
		{"sizes.ifcxml", "list sizes and places beyond all bounds", Named, "list-length", inside(`<IfcCartesianPointList3D id="a"><CoordList exp:arraySize="99999999999 99999999999">1 2 3 4</CoordList></IfcCartesianPointList3D><IfcPolyline id="q"><Points><IfcCartesianPoint pos="2147483647" id="r" Coordinates="0 0"/><IfcCartesianPoint pos="-5" id="s" Coordinates="0 0"/></Points></IfcPolyline>`)},
		{"attributes.ifcxml", "two hundred thousand attributes on one element", Named, "unknown-attribute", inside("<IfcWall id=\"w\" GlobalId=\"" + guid(2) + "\" " + repeat(2e5, " ", func(i int) string { return fmt.Sprintf(`a%d="1"`, i) }) + "/>")},
		{"unknown.ifcxml", "fifty thousand entities that no schema has", Named, "unknown-entity", inside(repeat(5e4, "\n", func(i int) string { return fmt.Sprintf("<IfcFlying%d id=\"u%d\"/>", i, i) }))},
		{"kinds.ifcxml", "texts, lists and instances in each other's places", Named, "no-globalid", inside("<IfcWall id=\"w\" GlobalId=\"" + guid(2) + "\"><Name><IfcWall><Name>x</Name></IfcWall></Name><ObjectPlacement>text</ObjectPlacement><GlobalId xsi:type=\"IfcLocalPlacement\"/><Representation xsi:type=\"IfcLabel\">x</Representation></IfcWall>")},
	}
}
