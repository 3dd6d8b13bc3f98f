package ifctest

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
)

// schemaTable is what the published EXPRESS file says of one schema: explicit attributes and
// enumerations. It is read here by a few lines of its own, apart from the product's reader.
type schemaTable struct {
	parent map[string]string
	attrs  map[string][]string // "Name : Type"
	enums  map[string]map[string]bool
}

var expressFile = map[string]string{"IFC2X3": "IFC2X3_TC1.exp", "IFC4": "IFC4_ADD2.exp", "IFC4X3_ADD2": "IFC4X3_ADD2.exp"}

// repoRoot walks up to go.mod.
func repoRoot(t testing.TB) string {
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		if dir == filepath.Dir(dir) {
			t.Fatal("no go.mod above the test")
		}
		dir = filepath.Dir(dir)
	}
}

var (
	tablesMu sync.Mutex
	tables   = map[string]*schemaTable{}
)

func loadSchema(t testing.TB, schema string) *schemaTable {
	tablesMu.Lock()
	defer tablesMu.Unlock()
	if s := tables[schema]; s != nil {
		return s
	}
	path := filepath.Join(repoRoot(t), "..", "shared", "reference", expressFile[schema])
	data, err := os.ReadFile(path)
	if err != nil {
		t.Skipf("the published EXPRESS schema is not there: %v", err)
	}
	s := &schemaTable{map[string]string{}, map[string][]string{}, map[string]map[string]bool{}}
	text := string(data)
	enum := regexp.MustCompile(`(?s)TYPE (\w+) = ENUMERATION OF\s*\(([^)]*)\)`)
	for _, m := range enum.FindAllStringSubmatch(text, -1) {
		set := map[string]bool{}
		for _, v := range strings.Split(m[2], ",") {
			set[strings.TrimSpace(v)] = true
		}
		s.enums[m[1]] = set
	}
	entity := regexp.MustCompile(`(?s)ENTITY (\w+)(.*?)END_ENTITY;`)
	sub := regexp.MustCompile(`SUBTYPE OF \((\w+)\)`)
	attr := regexp.MustCompile(`^\s*(\w+) : ([^;]*);`)
	for _, m := range entity.FindAllStringSubmatch(text, -1) {
		if p := sub.FindStringSubmatch(m[2]); p != nil {
			s.parent[m[1]] = p[1]
		}
		s.attrs[m[1]] = []string{}
		body := m[2]
		for _, stop := range []string{"\n DERIVE", "\n INVERSE", "\n WHERE", "\n UNIQUE"} {
			if i := strings.Index(body, stop); i >= 0 {
				body = body[:i]
			}
		}
		for _, line := range strings.Split(body, "\n") {
			if a := attr.FindStringSubmatch(line); a != nil {
				s.attrs[m[1]] = append(s.attrs[m[1]], a[1]+" : "+a[2])
			}
		}
	}
	tables[schema] = s
	return s
}

// all returns the attributes of an entity given in capitals, inherited ones first.
func (s *schemaTable) all(upper string) ([]string, bool) {
	for name := range s.attrs {
		if strings.ToUpper(name) == upper {
			var out []string
			for e := name; e != ""; e = s.parent[e] {
				out = append(append([]string{}, s.attrs[e]...), out...)
			}
			return out, true
		}
	}
	return nil, false
}

var instance = regexp.MustCompile(`^#(\d+)=([A-Z0-9]+)\((.*)\);$`)

// splitArgs cuts the attribute list of an instance at its top-level commas.
func splitArgs(text string) []string {
	var out []string
	depth, quoted, from := 0, false, 0
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case c == '\'':
			quoted = !quoted
		case quoted:
		case c == '(':
			depth++
		case c == ')':
			depth--
		case c == ',' && depth == 0:
			out = append(out, text[from:i])
			from = i + 1
		}
	}
	return append(out, text[from:])
}

// wellFormed checks a written file against the published schema: header, numbering, dangling
// references, number of attributes, mandatory ones, enumeration words, unique GlobalIds.
func wellFormed(t *testing.T, data []byte) {
	t.Helper()
	text := string(data)
	schema := regexp.MustCompile(`FILE_SCHEMA\(\('([^']+)'\)\)`).FindStringSubmatch(text)
	if schema == nil || !strings.HasPrefix(text, "ISO-10303-21;\n") || !strings.HasSuffix(text, "END-ISO-10303-21;\n") {
		t.Fatal("header or end of the file is wrong")
	}
	s := loadSchema(t, schema[1])
	_, body, _ := strings.Cut(text, "DATA;\n")
	body, _, _ = strings.Cut(body, "ENDSEC;")
	have := map[string]bool{}
	guids := map[string]bool{}
	type use struct{ in, ref string }
	var uses []use
	ref := regexp.MustCompile(`#\d+`)
	str := regexp.MustCompile(`'(?:[^']|'')*'`)
	known := map[string][]string{}
	bad := 0
	fail := func(format string, args ...any) {
		if bad++; bad < 10 {
			t.Errorf(format, args...)
		}
	}
	for _, line := range strings.Split(strings.TrimSpace(body), "\n") {
		m := instance.FindStringSubmatch(line)
		if m == nil {
			fail("not an instance: %q", line)
			continue
		}
		if have["#"+m[1]] {
			fail("#%s stands twice", m[1])
		}
		have["#"+m[1]] = true
		for _, r := range ref.FindAllString(str.ReplaceAllString(m[3], "''"), -1) {
			uses = append(uses, use{m[1], r})
		}
		attrs, seen := known[m[2]]
		if !seen {
			a, ok := s.all(m[2])
			if !ok {
				fail("#%s: %s is not an entity of %s", m[1], m[2], schema[1])
				continue
			}
			attrs, known[m[2]] = a, a
		}
		args := splitArgs(m[3])
		if len(args) != len(attrs) {
			fail("#%s %s has %d attributes, the schema %d %v", m[1], m[2], len(args), len(attrs), attrs)
			continue
		}
		for i, a := range args {
			name, typ, _ := strings.Cut(attrs[i], " : ")
			if a == "$" && !strings.HasPrefix(typ, "OPTIONAL") {
				fail("#%s %s: %s must not be empty", m[1], m[2], name)
			}
			if e := s.enums[strings.TrimPrefix(typ, "OPTIONAL ")]; e != nil && a != "$" && !e[strings.Trim(a, ".")] {
				fail("#%s %s: %s is no word of %s", m[1], m[2], a, typ)
			}
			if name == "GlobalId" {
				if len(a) != 24 || guids[a] || a[1] > '3' {
					fail("#%s: GlobalId %s is doubled or malformed", m[1], a)
				}
				guids[a] = true
			}
		}
	}
	for _, u := range uses {
		if !have[u.ref] {
			fail("#%s names %s, which is not in the file", u.in, u.ref)
		}
	}
	if bad > 10 {
		t.Errorf("and %d more", bad-10)
	}
}

func TestFilesAreWellFormed(t *testing.T) {
	row := Row(2)
	row.Units[0].Stair = &StairHole{X: 4.5, Y: 2, LX: 1, LY: 3}
	row.Soffits = []Soffit{{Unit: 1, Level: 0, Width: 0.4, Height: 0.3, Start: 1, Length: 2.4}}
	m := row.MustBuild()
	for _, schema := range []string{"IFC2X3", "IFC4", "IFC4X3"} {
		for i, naming := range []string{NamesEnglish, NamesTerse, NamesGerman, NamesFrench, NamesNone} {
			d := Disguise{Schema: schema, Naming: naming, Unit: []string{"mm", "m", "ft", "in", "mm"}[i],
				Geometry: []string{"", "brep", "mesh", "mapped", "clipping"}[i], Seed: int64(i), Mirror: i%2 == 1, Baked: i == 3, RotateDeg: 17 * float64(i), Duplicate: 3 * i}
			t.Run(fmt.Sprint(schema, "/", naming), func(t *testing.T) { wellFormed(t, m.STEP(d)) })
		}
	}
}
