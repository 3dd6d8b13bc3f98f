package html

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	stdjson "encoding/json"
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"

	"voidcheck/checks/finding"
)

func sample(t testing.TB) *finding.Report {
	t.Helper()
	data, err := os.ReadFile("../../../../testdata/findings/sample.json")
	if err != nil {
		t.Fatal(err)
	}
	var r finding.Report
	if err := json.Unmarshal(data, &r, json.RejectUnknownMembers(true)); err != nil {
		t.Fatal(err)
	}
	r.Drawing = &finding.Drawing{
		Axis: [2]float64{1, 0}, North: &[2]float64{0, 1},
		Grid:     []finding.GridLine{{Name: "A", Line: [2][2]float64{{0, -1}, {0, 12}}}},
		Rooms:    []finding.DrawnRoom{{Name: "Living", Unit: "U1", Storey: "Level 1", Outline: [][][2]float64{{{0.2, 0.2}, {5.8, 0.2}, {5.8, 10.8}, {0.2, 10.8}}}, Z: [2]float64{0, 2.4}}},
		Walls:    []finding.DrawnWall{{Storey: "Level 1", Origin: [2]float64{6, 0}, Dir: [2]float64{0, 1}, LengthM: 11, Across: [2]float64{-0.1, 0.1}, Z: [2]float64{0, 2.4}, Kind: "double-stud", Separation: "S1"}},
		Framing:  []finding.DrawnMember{{Kind: "floor-truss", Mark: "FT-1", Line: [2][2]float64{{0, 1}, {6, 1}}, Z: [2]float64{2.5, 2.9}}},
		Stops:    []finding.DrawnPart{{Kind: "block", Name: "Block 1", Outline: [][2]float64{{5.8, 1}, {5.84, 1}, {5.84, 1.5}, {5.8, 1.5}}, Z: [2]float64{2.5, 2.9}}},
		Services: []finding.DrawnPart{{Kind: "pipe", Name: "Pipe 1", Outline: [][2]float64{{1, 1}, {1.1, 1}, {1.1, 3}}, Z: [2]float64{2.5, 2.6}}},
		Voids: []finding.DrawnVoid{{ID: "V1", Z: [2]float64{2.5, 2.9}, Compartments: []finding.DrawnCompartment{{ID: "V1.1", Point: [3]float64{3, 5, 2.7}, Z: [2]float64{2.5, 2.9}}}},
			{ID: "V2", Z: [2]float64{2.5, 2.9}}},
		Openings: []finding.DrawnOpen{{ID: "O1", Along: [2]float64{0, 1}}},
		Sections: []finding.Section{{ID: "1", Kind: "along", Separation: "S1", Side: "U1", Line: [2][2]float64{{6, -1}, {6, 12}}, Cuts: []finding.Cut{{Role: "stud", Boxes: [][4]float64{{1, 0, 1.04, 2.4}}}}}},
	}
	return &r
}

func write(t testing.TB, r *finding.Report) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, r); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestWriteIsSelfContainedAndSteady(t *testing.T) {
	page := write(t, sample(t))
	if again := write(t, sample(t)); again != page {
		t.Error("the second page differs from the first")
	}
	for _, want := range []string{"Invented Row", "[local section: draftstopping", "unit line U1/U2, bay between trusses FT-8 and FT-9", finding.Cautions[0], "1,421 ft²"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	// Nothing is fetched: no address in an attribute or a style but those inside the page.
	for _, m := range regexp.MustCompile(`(?i)\b(src|href|action|data|srcset)\s*=\s*["']?[^#"'\s]|url\([^#]|@import|<link|<iframe|<img|\bfetch\(|XMLHttpRequest|import\(`).FindAllString(page, -1) {
		if m != "data = J" && m != "url(#" && m != "url($" {
			t.Errorf("the page reaches outside: %q", m)
		}
	}
}

// The content policy names the digests of the very script and style that stand in the page
// (Content Security Policy Level 3, section 6.7.2: SHA-256 of the element's text, base64).
func TestPolicyNamesScriptAndStyle(t *testing.T) {
	page := write(t, sample(t))
	policy := regexp.MustCompile(`Content-Security-Policy" content="([^"]*)"`).FindStringSubmatch(page)
	if policy == nil {
		t.Fatal("no policy")
	}
	said := strings.NewReplacer("&#39;", "'", "&#43;", "+", "&#34;", `"`).Replace(policy[1])
	for _, tag := range []string{"script", "style"} {
		m := regexp.MustCompile(`(?s)<`+tag+`>(.*?)</`+tag+`>`).FindAllStringSubmatch(page, -1)
		if len(m) != 1 {
			t.Fatalf("%d elements %s, want one", len(m), tag)
		}
		sum := sha256.Sum256([]byte(m[0][1]))
		if want := tag + "-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"; !strings.Contains(said, want) {
			t.Errorf("the policy %q does not have %q", said, want)
		}
	}
}

// Hostile is a name that tries every context: element, attribute, script, comment, template,
// reading direction, NUL.
const hostile = "</script></style>--><script>window.hit=1</script><img src=x onerror='window.hit=2'>\" onload=\"window.hit=3\" '{{.}}' javascript:window.hit=4 \u202e\u2028\x00&lt;b&gt; ]]>"

// poison puts the hostile name into every text of a report that a model or a person may
// have written.
func poison(r *finding.Report) {
	keep := map[string]bool{"Format": true, "Key": true, "Check": true, "Outcome": true, "Evidence": true, "ID": true, "Units": true, "Spaces": true, "Kind": true, "Unit": true,
		"Storey": true, "Separation": true, "Between": true, "Items": true, "At": true, "SHA256": true, "For": true, "ConsequenceOf": true, "Role": true, "Side": true, "Space": true, "Openings": true}
	var walk func(v reflect.Value, name string)
	walk = func(v reflect.Value, name string) {
		switch v.Kind() {
		case reflect.Pointer:
			if !v.IsNil() {
				walk(v.Elem(), name)
			}
		case reflect.Struct:
			for i := range v.NumField() {
				walk(v.Field(i), v.Type().Field(i).Name)
			}
		case reflect.Slice:
			for i := range v.Len() {
				walk(v.Index(i), name)
			}
		case reflect.Map:
			if v.Type().Elem().Kind() == reflect.String {
				for _, k := range v.MapKeys() {
					v.SetMapIndex(k, reflect.ValueOf(hostile))
				}
			}
		case reflect.String:
			if !keep[name] {
				v.SetString(hostile)
			}
		}
	}
	walk(reflect.ValueOf(r).Elem(), "")
	// Names that hold the parts together are poisoned alike everywhere.
	level := map[string]string{}
	for i := range r.Building.Storeys {
		s := &r.Building.Storeys[i]
		s.Name = hostile + string(rune('a'+i))
		level["Level "+string(rune('1'+i))] = s.Name
	}
	for i := range r.Items {
		r.Items[i].Storey = level[r.Items[i].Storey]
	}
	for i := range r.Spaces {
		r.Spaces[i].Storey = level[r.Spaces[i].Storey]
	}
	for i := range r.Drawing.Walls {
		r.Drawing.Walls[i].Storey = level[r.Drawing.Walls[i].Storey]
	}
	for i := range r.Drawing.Rooms {
		r.Drawing.Rooms[i].Storey = level[r.Drawing.Rooms[i].Storey]
	}
	r.Run.Units, r.Run.At = "us", "2026-01-31T10:00:00Z"
}

func TestHostileNamesStayText(t *testing.T) {
	clean := sample(t)
	r := sample(t)
	poison(r)
	page := write(t, r)
	// Only the page's own elements: as many tags as the same report with harmless names has.
	tags := regexp.MustCompile(`<[a-zA-Z!/][^>]*>`)
	body := func(s string) string { s, _, _ = strings.Cut(s, `<script type="application/json"`); return s }
	count := func(s string) map[string]int {
		n := map[string]int{}
		for _, m := range tags.FindAllString(body(s), -1) {
			name := regexp.MustCompile(`^</?[a-zA-Z!]+`).FindString(m)
			if name == "<script" || name == "<img" || name == "<style" || name == "<b" {
				n[name]++
			}
		}
		return n
	}
	if got, want := count(page), count(write(t, clean)); !reflect.DeepEqual(got, want) {
		t.Errorf("elements of a hostile page %v, of a harmless one %v", got, want)
	}
	if n := strings.Count(page, "<script"); n != 2 {
		t.Errorf("%d script elements, want the data and the page's own", n)
	}
	m := regexp.MustCompile(`(?s)<script type="application/json" id="data">(.*?)</script>`).FindStringSubmatch(page)
	if m == nil {
		t.Fatal("no data")
	}
	var d drawings
	if err := stdjson.Unmarshal([]byte(m[1]), &d); err != nil {
		t.Fatalf("the data no longer parse: %v", err)
	}
	if len(d.Services) == 0 || !strings.Contains(d.Services[0].Name, "<script>window.hit=1</script>") {
		t.Errorf("a name is not shown as it stands: %+v", d.Services)
	}
	if at := strings.IndexAny(page, "\u202e\x00"); at >= 0 {
		t.Errorf("characters that act came through: %q", page[max(0, at-300):at])
	}
}

// Findings without a drawing, without items, without anything still make a page.
func TestPoorFindings(t *testing.T) {
	r := sample(t)
	r.Drawing = nil
	if page := write(t, r); strings.Contains(page, `id="stage"`) || !strings.Contains(page, "unit line U1/U2") {
		t.Error("without a drawing: want the comments and no stage")
	}
	// A model without storeys is one level; one in which nothing was recognised says so.
	r = sample(t)
	r.Building.Storeys = nil
	for i := range r.Spaces {
		r.Spaces[i].Storey = ""
	}
	for i := range r.Drawing.Walls {
		r.Drawing.Walls[i].Storey = ""
	}
	if page := write(t, r); !strings.Contains(page, `id="stage"`) || !strings.Contains(page, "Building: walls, soffits and shafts") {
		t.Error("without storeys: want the plans of one level")
	}
	r.Drawing, r.Spaces = &finding.Drawing{Axis: [2]float64{1, 0}}, nil
	if page := write(t, r); strings.Contains(page, `id="stage"`) || !strings.Contains(page, "there is nothing to draw") {
		t.Error("with nothing recognised: want that said and no stage")
	}
	empty := &finding.Report{Format: finding.Format, Cautions: finding.Cautions, Run: finding.Run{Units: "si", Round: 1}}
	if page := write(t, empty); !strings.Contains(page, "Nothing asks for an answer") {
		t.Error("an empty report does not say so")
	}
}

func TestFrameTurnsTheLongSideAcross(t *testing.T) {
	// A row that runs at 30 degrees, 4 long and 3 deep: on paper 4 across.
	r := &finding.Report{Drawing: &finding.Drawing{Axis: [2]float64{-0.5, 0.8660254}}}
	ring := [][2]float64{{0, 0}, {3.4641016, 2}, {1.9641016, 4.5980762}, {-1.5, 2.5980762}}
	r.Spaces = []finding.Space{{ID: "V1", Compartments: []finding.Compartment{{ID: "V1.1", Outline: [][][2]float64{ring}}}}}
	f := newFrame(r)
	if w, h := f.box[2]-f.box[0], f.box[3]-f.box[1]; w != 4000 || h != 3000 {
		t.Errorf("on paper %d x %d mm, want 4000 x 3000", w, h)
	}
	p := f.ring(ring)
	area := 0
	for i := 0; i < len(p); i += 2 {
		j := (i + 2) % len(p)
		area += p[i]*p[j+1] - p[j]*p[i+1]
	}
	if area != 2*4000*3000 {
		t.Errorf("the area turned to %d mm2, want 12000000 and the same way round", area/2)
	}
}
