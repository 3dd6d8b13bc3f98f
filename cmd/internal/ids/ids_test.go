package ids

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/beevik/etree"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/catalogue"
	"voidcheck/checks/lexicon"
	"voidcheck/ifcx"
	"voidcheck/ifcx/express"
	"voidcheck/ifcx/model"
	"voidcheck/schema"
)

const root = "../../../"

func declared() []adoption.Declared { return checks.Declared(catalogue.Checks()) }

// adoptions are the defaults, the starters, and one with awkward texts.
func adoptions(t *testing.T) map[string]*adoption.Adoption {
	t.Helper()
	out := map[string]*adoption.Adoption{"defaults": adoption.Defaults(declared())}
	read := func(name string, data []byte) {
		a, err := adoption.Read(name, data, declared())
		if err != nil {
			t.Fatal(err)
		}
		out[name] = a
	}
	for _, name := range schema.Starters() {
		data, err := schema.Starter(name)
		if err != nil {
			t.Fatal(err)
		}
		read(name, data)
	}
	read("awkward", []byte(`{"format": "voidcheck-adoption-1", "name": "A <b>&\"x\" \u0001\u202e ]]> county", "edition": "<2026>", "effective": "2026-07-01",
		"checks": {"service-opening": {"on": false}, "separation-service": {"on": false},
		"floor-draftstop-area": {"exempt": [{"when": {"sprinklers": ["NFPA 13"], "storeys": {"max": 4}}, "because": "x"}]}}}`))
	return out
}

func written(t *testing.T, a *adoption.Adoption) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, a, lexicon.Default()); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// xmlSchema stands in for the schema of XML Schema itself, which the published IDS schema
// refers to for xs:restriction and the numbers of occurrences (XML Schema Part 1, 1.0).
const xmlSchema = `<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="http://www.w3.org/2001/XMLSchema" elementFormDefault="qualified">
<xs:attributeGroup name="occurs">
 <xs:attribute name="minOccurs" type="xs:nonNegativeInteger"/>
 <xs:attribute name="maxOccurs"><xs:simpleType><xs:union memberTypes="xs:nonNegativeInteger"><xs:simpleType><xs:restriction base="xs:NMTOKEN"><xs:enumeration value="unbounded"/></xs:restriction></xs:simpleType></xs:union></xs:simpleType></xs:attribute>
</xs:attributeGroup>
<xs:element name="restriction"><xs:complexType>
 <xs:choice maxOccurs="unbounded">
  <xs:element name="enumeration"><xs:complexType><xs:attribute name="value" type="xs:string" use="required"/></xs:complexType></xs:element>
  <xs:element name="pattern"><xs:complexType><xs:attribute name="value" type="xs:string" use="required"/></xs:complexType></xs:element>
 </xs:choice>
 <xs:attribute name="base" type="xs:QName" use="required"/>
</xs:complexType></xs:element>
</xs:schema>`

// Against the published schema.
func TestSchema(t *testing.T) {
	lint, err := exec.LookPath("xmllint")
	if err != nil {
		t.Skip("xmllint (Debian: libxml2-utils) is not here")
	}
	published, err := os.ReadFile(root + "../shared/reference/ids-1.0/ids.xsd")
	if err != nil {
		t.Skip("the published schema is not beside the repository")
	}
	text := strings.Replace(string(published), "http://www.w3.org/2001/XMLSchema.xsd", "xmlschema.xsd", 1)
	text = regexp.MustCompile(`<xs:import [^>]*(XML/1998/namespace|2001/XMLSchema-instance)[^>]*/>`).ReplaceAllString(text, "")
	dir := t.TempDir()
	put := func(name string, data []byte) string {
		file := filepath.Join(dir, name)
		if err := os.WriteFile(file, data, 0o644); err != nil {
			t.Fatal(err)
		}
		return file
	}
	put("xmlschema.xsd", []byte(xmlSchema))
	xsd := put("ids.xsd", []byte(text))
	valid := func(file string) (string, bool) {
		out, err := exec.Command(lint, "--noout", "--nonet", "--schema", xsd, file).CombinedOutput()
		return string(out), err == nil
	}
	for name, a := range adoptions(t) {
		data := written(t, a)
		if out, ok := valid(put(name+".ids", data)); !ok {
			t.Errorf("%s: %s\n%s", name, out, data)
		}
		broken := bytes.Replace(data, []byte(`ifcVersion="IFC2X3`), []byte(`ifcVersion="IFC2`), 1)
		if _, ok := valid(put(name+"-broken.ids", broken)); ok {
			t.Errorf("%s: the schema accepts a version that is none", name)
		}
	}
}

// Every entity is one of the standard in each version that a specification is for, or in a
// list where another is; attributes and relations too.
func TestEntitiesAreOfTheStandard(t *testing.T) {
	for _, s := range specsOf(adoption.Defaults(declared()), lexicon.Default()) {
		for _, v := range strings.Fields(s.versions) {
			sch := express.ForName(v)
			if sch == nil {
				t.Fatalf("no schema %s", v)
			}
			known := 0
			for _, e := range s.entity {
				if sch.Entity(e) != nil {
					known++
				}
			}
			if known == 0 || len(s.entity) == 1 && known != 1 {
				t.Errorf("%s: none of %v is in %s", s.id, s.entity, v)
			}
		}
	}
}

// Which specifications there are hangs on which checks are on.
func TestFollowsTheAdoption(t *testing.T) {
	ids := func(a *adoption.Adoption) []string {
		var out []string
		for _, s := range specsOf(a, lexicon.Default()) {
			out = append(out, s.id)
		}
		return out
	}
	all := adoptions(t)
	if got := ids(all["defaults"]); !slices.Contains(got, "seals") || !slices.Contains(got, "units") {
		t.Errorf("with every check on there are only %v", got)
	}
	if got := ids(all["awkward"]); slices.Contains(got, "seals") {
		t.Errorf("seals are asked for and no check needs them: %v", got)
	}
	text := string(written(t, all["awkward"]))
	for _, want := range []string{"exceptions here ask for: sprinklers, storeys.", "<date>2026-07-01</date>", "<version>&lt;2026&gt;</version>", "A &lt;b&gt;&amp;", "approves and rejects nothing"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in it", want)
		}
	}
	if strings.ContainsAny(text, "\x01\u202e") {
		t.Error("a control character got in")
	}
	none := adoption.Defaults(declared())
	for _, c := range catalogue.Checks() {
		none.Rule(c.Name).On = false
	}
	if got := ids(none); !slices.Equal(got, []string{"storeys"}) {
		t.Errorf("with every check off: %v", got)
	}
}

// Whatever the program finds missing in a submittal, the specification asks for beforehand, or
// it belongs in the submittal file.
func TestCoversWhatIsAskedFor(t *testing.T) {
	asked := map[string]string{
		"rooms": "rooms", "units": "units", "units assumed": "rooms-in-units", "separations": "rooms-in-units", "ceilings": "ceilings", "walls": "walls", "floors": "floors",
		"floor framing": "floors", "roof": "roof", "attic": "ceilings", "stops": "stops", "seals": "seals", "services": "services", "sprinklers": "submittal file",
		"sprinklers contradict": "submittal file", "units contradict": "submittal file", "storeys contradict": "submittal file", "occupancy": "submittal file", "floors between units": "seals",
		"boxes not shown": "boxes", "stringers not shown": "stringers", "door not described": "stops", "fireblocking not shown": "chimneys",
		"too many oblique edges": "geometry",
	}
	ids := map[string]bool{"submittal file": true, "geometry": true} // no specification can ask for sound geometry
	for _, s := range specsOf(adoption.Defaults(declared()), lexicon.Default()) {
		ids[s.id] = true
	}
	n := 0
	for _, check := range []string{"modelcontent", "separationboxes", "stairfireblock", "draftstopdoor", "chimneyfireblock"} {
		files, err := filepath.Glob(root + "checks/catalogue/" + check + "/*.go")
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: %v, %d files", check, err, len(files))
		}
		for _, name := range files {
			text, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range regexp.MustCompile(`(?:gap\{\{|gap\{)?cause: "([^"]+)", storey|finding\.NotShown, "((?:boxes|stringers|door|fireblocking) [^"]+)"`).FindAllStringSubmatch(string(text), -1) {
				cause := m[1] + m[2]
				if n++; !ids[asked[cause]] {
					t.Errorf("%s finds %q missing, and no specification asks for it", check, cause)
				}
			}
		}
	}
	if n < 15 {
		t.Errorf("only %d causes were found in the checks", n)
	}
}

var compiled = map[string]*regexp.Regexp{}

// pattern compiles a pattern of XML Schema, in which a match is of the whole text, with Go.
func pattern(t *testing.T, p string) *regexp.Regexp {
	t.Helper()
	if re := compiled[p]; re != nil {
		return re
	}
	re, err := regexp.Compile(`^(?s:` + p + `)$`)
	if err != nil {
		t.Fatal(err)
	}
	compiled[p] = re
	return re
}

// What the lexicon knows by name the pattern accepts, as names are written; and a name that
// says nothing it refuses.
func TestPatternAcceptsWhatTheLexiconKnows(t *testing.T) {
	l := lexicon.Default()
	names := []string{
		"Draftstop U3 4", "DRAFT-STOP", "draughtStop_02", "Draft stopping", "Fireblocking upright U1/U2 1", "FireBlock", "Cavity barrier 12", "Blocking 2x10", "BLKG",
		"Brandschott 3", "Rauchschürze", "Hohlraumsperre", "Écran de cantonnement", "Recoupement des combles", "Entretoise", "Barrera de humo", "Fire seal P-1", "Firestop collar",
		"Brandschutzmanschette", "Durchführungsdichtung", "Collier coupe-feu", "Brannmansjett", "Unit 1", "Apartment B", "Wohnung 3", "Logement 12", "Vivienda 4", "Leilighet 2",
	}
	for _, m := range demo(t) {
		for _, e := range m.Elements {
			names = append(names, e.Name)
		}
	}
	for _, concept := range []string{"draftstop", "fireblock", "seal"} {
		re := pattern(t, namePattern(l.Matchers(concept)))
		known := 0
		for _, n := range names {
			for _, e := range l.Concepts(lexicon.Subject{Names: []string{n}}) {
				if e.Concept == concept && e.Signal == "name" {
					known++
					if !re.MatchString(n) {
						t.Errorf("%s: the lexicon knows %q and the pattern does not", concept, n)
					}
				}
			}
		}
		if known < 3 {
			t.Errorf("%s: only %d names were looked at", concept, known)
		}
		for _, n := range []string{"", "Floor truss 12", "Living", "Pipe 3"} {
			if re.MatchString(n) {
				t.Errorf("%s: the pattern accepts %q", concept, n)
			}
		}
	}
	units := pattern(t, namePattern(l.ZoneMatchers("unit")))
	for _, n := range []string{"Unit 1", "Apartment B", "Wohnung 3", "Leilighet 2"} {
		if !units.MatchString(n) {
			t.Errorf("the pattern for zones refuses %q", n)
		}
	}
}

// The patterns are of the language of XML Schema: libxml2 compiles them and says of names
// what Go's engine says.
func TestPatternsInXMLSchema(t *testing.T) {
	lint, err := exec.LookPath("xmllint")
	if err != nil {
		t.Skip("xmllint (Debian: libxml2-utils) is not here")
	}
	dir := t.TempDir()
	for _, s := range specsOf(adoption.Defaults(declared()), lexicon.Default()) {
		if s.which == nil || s.which.name == "" {
			continue
		}
		doc := etree.NewDocument()
		sch := doc.CreateElement("xs:schema")
		sch.CreateAttr("xmlns:xs", "http://www.w3.org/2001/XMLSchema")
		e := sch.CreateElement("xs:element")
		e.CreateAttr("name", "n")
		r := e.CreateElement("xs:simpleType").CreateElement("xs:restriction")
		r.CreateAttr("base", "xs:string")
		r.CreateElement("xs:pattern").CreateAttr("value", s.which.name)
		xsd := filepath.Join(dir, s.id+".xsd")
		if err := doc.WriteToFile(xsd); err != nil {
			t.Fatal(err)
		}
		re := pattern(t, s.which.name)
		for i, n := range []string{"Draftstop U3 4", "Rauchschürze", "fire_seal-02", "Unit 1", "Wohnung 3", "Floor truss 12"} {
			file := filepath.Join(dir, "n.xml")
			if err := os.WriteFile(file, []byte("<n>"+n+"</n>"), 0o644); err != nil {
				t.Fatal(err)
			}
			out, err := exec.Command(lint, "--noout", "--nonet", "--schema", xsd, file).CombinedOutput()
			if bytes.Contains(out, []byte("compile")) {
				t.Fatalf("%s: %s", s.id, out)
			}
			if want := re.MatchString(n); (err == nil) != want {
				t.Errorf("%s, name %d %q: xmllint says %v, want %v: %s", s.id, i, n, err == nil, want, out)
			}
		}
	}
}

func demo(t *testing.T) map[string]*model.Building {
	t.Helper()
	out := map[string]*model.Building{}
	for name, files := range map[string][]string{"framed": {"row-architecture.ifc", "row-services.ifc"}, "layered": {"row-layered.ifc"}} {
		for i := range files {
			files[i] = root + "testdata/demo/" + files[i]
		}
		m, err := ifcx.Open(context.Background(), files, ifcx.Options{})
		if err != nil {
			t.Fatal(err)
		}
		out[name] = m
	}
	return out
}

// The demo carries what is asked for, but for what it leaves out on purpose.
func TestDemoMeetsIt(t *testing.T) {
	want := map[string][]string{"framed": {"boxes", "chimneys", "stringers"}, "layered": {"boxes", "chimneys", "seals", "services", "stringers", "trusses"}}
	for name, m := range demo(t) {
		var missing []string
		for _, s := range specsOf(adoption.Defaults(declared()), lexicon.Default()) {
			n, bad := count(t, m, s)
			if n == 0 && !strings.HasSuffix(s.id, "-ifc2x3") {
				missing = append(missing, s.id)
			}
			if bad != "" {
				t.Errorf("%s: %s: %s", name, s.id, bad)
			}
		}
		slices.Sort(missing)
		if !slices.Equal(missing, want[name]) {
			t.Errorf("%s: nothing found for %v, want %v", name, missing, want[name])
		}
	}
}

// count looks by our own reader how many entities a specification is about, and names one
// that does not carry what it must.
func count(t *testing.T, m *model.Building, s spec) (n int, bad string) {
	t.Helper()
	has := func(f *facets, name string, materials int, grouped bool) bool {
		return f == nil || (f.name == "" || pattern(t, f.name).MatchString(name)) && (!f.material || materials > 0) && (f.group == "" || grouped)
	}
	look := func(entity, predefined, name string, materials int, grouped bool) {
		if !slices.Contains(s.entity, strings.ToUpper(entity)) || s.predefined != "" && s.predefined != predefined || !has(s.which, name, materials, grouped) {
			return
		}
		n++
		if !has(s.carry, name, materials, grouped) {
			bad = entity + " " + name
		}
	}
	for _, st := range m.Storeys {
		look("IfcBuildingStorey", "", st.Name, 0, false)
	}
	for _, z := range m.Zones {
		look("IfcZone", "", z.Name, 0, false)
	}
	for _, e := range m.Spaces {
		look(e.Entity, e.Predefined, e.Name, 0, len(e.Zones) > 0)
	}
	for _, e := range m.Elements {
		look(e.Entity, e.Predefined, e.Name, len(e.Materials), false)
	}
	return n, bad
}
