// Package ids writes what a submittal must carry, so that the checks of an adoption can be
// decided, as an Information Delivery Specification 1.0 (buildingSMART): a designer can
// check a model with any program that reads the standard before submitting it. It is made
// from which checks are on, from the adoption's lists, and from the lexicon's words.
package ids

import (
	"cmp"
	"io"
	"regexp"
	"strings"

	"github.com/beevik/etree"

	"voidcheck/checks/adoption"
	"voidcheck/checks/catalogue"
	"voidcheck/checks/finding"
	"voidcheck/checks/lexicon"
	"voidcheck/cmd/internal/output/archive"
)

// Write writes the specification of an adoption.
func Write(w io.Writer, a *adoption.Adoption, l *lexicon.Lexicon) error {
	doc := archive.Document()
	root := doc.CreateElement("ids")
	root.CreateAttr("xmlns", "http://standards.buildingsmart.org/IDS")
	root.CreateAttr("xmlns:xs", "http://www.w3.org/2001/XMLSchema")
	root.CreateAttr("xmlns:xsi", "http://www.w3.org/2001/XMLSchema-instance")
	root.CreateAttr("xsi:schemaLocation", "http://standards.buildingsmart.org/IDS http://standards.buildingsmart.org/IDS/1.0/ids.xsd")
	info(root.CreateElement("info"), a)
	in := root.CreateElement("specifications")
	for _, s := range specsOf(a, l) {
		s.write(in)
	}
	doc.Indent(1)
	_, err := doc.WriteTo(w)
	return err
}

var isDate = regexp.MustCompile(`^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$`)

func info(e *etree.Element, a *adoption.Adoption) {
	put := func(name, s string) {
		if s != "" {
			e.CreateElement(name).SetText(archive.Text(s))
		}
	}
	put("title", "What a submittal must show for the review of concealed spaces: "+cmp.Or(a.Name, "model-code defaults"))
	put("version", a.Edition)
	put("description", strings.Join(append([]string{
		"Without this information the requirements cannot be decided and are reported as not shown. Meeting it says nothing about whether they are met. " +
			"What no model carries (sprinkler standard, occupancy, type of construction, number of storeys) belongs in the submittal file" + facts(a) + ".",
	}, finding.Cautions...), " "))
	if isDate.MatchString(a.Effective) {
		put("date", a.Effective)
	}
	put("purpose", "Plan review of concealed combustible spaces")
	put("milestone", "Permit submittal")
}

// facts names what the adoption's exemptions ask about.
func facts(a *adoption.Adoption) string {
	asked := map[string]bool{}
	for _, c := range catalogue.Checks() {
		r := a.Rule(c.Name)
		if r == nil || !r.On {
			continue
		}
		for _, x := range r.Exempt {
			w := x.When
			asked["sprinklers"] = asked["sprinklers"] || len(w.Sprinklers) > 0
			asked["sprinklers in concealed spaces"] = asked["sprinklers in concealed spaces"] || w.SprinklersInVoids != nil
			asked["occupancy"] = asked["occupancy"] || len(w.Occupancy) > 0
			asked["construction"] = asked["construction"] || len(w.Construction) > 0
			asked["storeys"] = asked["storeys"] || w.Storeys != nil
		}
	}
	var list []string
	for _, f := range []string{"sprinklers", "sprinklers in concealed spaces", "occupancy", "construction", "storeys"} {
		if asked[f] {
			list = append(list, f)
		}
	}
	if len(list) == 0 {
		return ""
	}
	return "; exceptions here ask for: " + strings.Join(list, ", ")
}

func (s *spec) write(in *etree.Element) {
	e := in.CreateElement("specification")
	e.CreateAttr("name", s.name)
	e.CreateAttr("ifcVersion", s.versions)
	e.CreateAttr("identifier", s.id)
	e.CreateAttr("description", archive.Text(s.why))
	e.CreateAttr("instructions", archive.Text(s.how))
	a := e.CreateElement("applicability")
	a.CreateAttr("minOccurs", map[bool]string{true: "1", false: "0"}[s.must])
	a.CreateAttr("maxOccurs", "unbounded")
	ent := a.CreateElement("entity")
	names := ent.CreateElement("name")
	if len(s.entity) == 1 {
		names.CreateElement("simpleValue").SetText(s.entity[0])
	} else {
		enumeration(names, s.entity)
	}
	if s.predefined != "" {
		ent.CreateElement("predefinedType").CreateElement("simpleValue").SetText(s.predefined)
	}
	if s.which != nil {
		s.which.write(a, false)
	}
	if s.carry != nil {
		s.carry.write(e.CreateElement("requirements"), true)
	}
}

// write writes facets in the order of the schema.
func (f *facets) write(in *etree.Element, required bool) {
	facet := func(name string) *etree.Element {
		e := in.CreateElement(name)
		if required {
			e.CreateAttr("cardinality", "required")
		}
		return e
	}
	if f.group != "" {
		e := facet("partOf")
		e.CreateAttr("relation", "IFCRELASSIGNSTOGROUP")
		e.CreateElement("entity").CreateElement("name").CreateElement("simpleValue").SetText(f.group)
	}
	if f.name != "" {
		e := facet("attribute")
		e.CreateElement("name").CreateElement("simpleValue").SetText("Name")
		if f.name != named {
			r := e.CreateElement("value").CreateElement("xs:restriction")
			r.CreateAttr("base", "xs:string")
			r.CreateElement("xs:pattern").CreateAttr("value", f.name)
		}
	}
	if f.material {
		facet("material")
	}
}

func enumeration(in *etree.Element, list []string) {
	r := in.CreateElement("xs:restriction")
	r.CreateAttr("base", "xs:string")
	for _, s := range list {
		r.CreateElement("xs:enumeration").CreateAttr("value", s)
	}
}
