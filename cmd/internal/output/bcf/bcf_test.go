package bcf

import (
	"archive/zip"
	"bytes"
	"context"
	"image/png"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/beevik/etree"
	"github.com/go-json-experiment/json"
	"pgregory.net/rapid"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/review"
)

const root = "../../../../"

// sample is findings with names made to break outputs, without a drawing.
func sample(t *testing.T) *finding.Report {
	t.Helper()
	data, err := os.ReadFile(root + "testdata/findings/sample.json")
	if err != nil {
		t.Fatal(err)
	}
	var r finding.Report
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	return &r
}

func reviewed(t *testing.T, models ...string) *finding.Report {
	t.Helper()
	r, err := review.Run(context.Background(), review.Options{Models: models, Units: measure.US, Now: time.Date(2026, 1, 31, 10, 0, 0, 0, time.UTC)})
	if err != nil {
		t.Fatal(err)
	}
	return r.Report
}

// demoJSON is the findings of the demo; each test reads its own copy.
var demoJSON []byte

func demo(t *testing.T) *finding.Report {
	t.Helper()
	if demoJSON == nil {
		var err error
		if demoJSON, err = json.Marshal(reviewed(t, root+"testdata/demo/row-architecture.ifc", root+"testdata/demo/row-services.ifc")); err != nil {
			t.Fatal(err)
		}
	}
	var r finding.Report
	if err := json.Unmarshal(demoJSON, &r); err != nil {
		t.Fatal(err)
	}
	return &r
}

func written(t *testing.T, r *finding.Report, v version) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b, r, v); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func parts(t *testing.T, data []byte) map[string][]byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]byte{}
	for _, f := range z.File {
		if strings.HasSuffix(f.Name, "/") {
			continue
		}
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if out[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// schemas are the published XSDs by the end of a part's name.
var schemas = map[version]map[string]string{
	v30: {"bcf.version": "version.xsd", "project.bcfp": "project.xsd", "extensions.xml": "extensions.xsd", ".bcf": "markup.xsd", ".bcfv": "visinfo.xsd"},
	v21: {"bcf.version": "version.xsd", "project.bcfp": "project.xsd", ".bcf": "markup.xsd", ".bcfv": "visinfo.xsd"},
}

// Every part of every file against the published schemas.
func TestSchemas(t *testing.T) {
	lint, err := exec.LookPath("xmllint")
	if err != nil {
		t.Skip("xmllint (Debian: libxml2-utils) is not here")
	}
	shared := root + "../shared/reference/"
	if _, err := os.Stat(shared); err != nil {
		t.Skip("the published schemas are not beside the repository")
	}
	reports := map[string]*finding.Report{"sample": sample(t), "demo": demo(t), "layered": reviewed(t, root+"testdata/demo/row-layered.ifc"),
		"empty": {Run: finding.Run{At: "2026-01-31T10:00:00Z", Round: 1}}}
	for v, dir := range map[version]string{v30: "bcf-3.0", v21: "bcf-2.1"} {
		files := map[string][]string{} // by schema
		tmp := t.TempDir()
		for name, r := range reports {
			n := 0
			for part, data := range parts(t, written(t, r, v)) {
				for end, xsd := range schemas[v] {
					if strings.HasSuffix(part, end) {
						file := filepath.Join(tmp, name+"-"+strings.ReplaceAll(part, "/", "-"))
						if err := os.WriteFile(file, data, 0o644); err != nil {
							t.Fatal(err)
						}
						files[xsd] = append(files[xsd], file)
						n++
					}
				}
			}
			if want := 3 + 2*len(r.Comments) - int(v30-v); n < want {
				t.Errorf("%s, %s: %d parts were matched with a schema, want at least %d", dir, name, n, want)
			}
		}
		for xsd, list := range files {
			out, err := exec.Command(lint, append([]string{"--noout", "--nonet", "--schema", shared + dir + "/" + xsd}, list...)...).CombinedOutput()
			if err != nil {
				t.Errorf("%s/%s: %v\n%s", dir, xsd, err, tail(out))
			}
		}
	}
}

// The schema of extensions that 2.1 files carry is one, and the topics' words are in it.
func TestExtensions21(t *testing.T) {
	lint, err := exec.LookPath("xmllint")
	if err != nil {
		t.Skip("xmllint (Debian: libxml2-utils) is not here")
	}
	markup, err := os.ReadFile(root + "../shared/reference/bcf-2.1/markup.xsd")
	if err != nil {
		t.Skip("the published schemas are not beside the repository")
	}
	tmp := t.TempDir()
	if err := os.WriteFile(filepath.Join(tmp, "markup.xsd"), markup, 0o644); err != nil {
		t.Fatal(err)
	}
	var list []string
	for name, data := range parts(t, written(t, demo(t), v21)) {
		if name == "extensions.xsd" || strings.HasSuffix(name, ".bcf") {
			file := filepath.Join(tmp, strings.ReplaceAll(name, "/", "-"))
			if err := os.WriteFile(file, data, 0o644); err != nil {
				t.Fatal(err)
			}
			if name != "extensions.xsd" {
				list = append(list, file)
			}
		}
	}
	out, err := exec.Command(lint, append([]string{"--noout", "--nonet", "--schema", filepath.Join(tmp, "extensions.xsd")}, list...)...).CombinedOutput()
	if err != nil || len(list) < 10 {
		t.Errorf("%d markups: %v\n%s", len(list), err, tail(out))
	}
}

func tail(out []byte) string {
	lines := slices.DeleteFunc(strings.Split(string(out), "\n"), func(s string) bool { return strings.HasSuffix(s, " validates") })
	return strings.Join(lines[:min(len(lines), 10)], "\n")
}

// A camera shows every point, and stands no farther off than that takes.
func TestFrame(t *testing.T) {
	tan := math.Tan(fieldOfView / 2 * math.Pi / 180)
	rapid.Check(t, func(t *rapid.T) {
		coordinate := rapid.Float64Range(-1e6, 1e6)
		offset := rapid.Float64Range(-50, 50)
		base := vec{coordinate.Draw(t, "x"), coordinate.Draw(t, "y"), coordinate.Draw(t, "z")}
		var pts []vec
		for range rapid.IntRange(1, 20).Draw(t, "n") {
			pts = append(pts, around(base.add(vec{offset.Draw(t, "dx"), offset.Draw(t, "dy"), offset.Draw(t, "dz")}), 0.5)...)
		}
		a := rapid.Float64Range(0, 2*math.Pi).Draw(t, "around")
		c := frame(pts, tilt(vec{math.Cos(a), math.Sin(a), 0}, rapid.Float64Range(-80, 80).Draw(t, "tilt")))
		if l := math.Abs(c.look.len()-1) + math.Abs(c.up.len()-1) + math.Abs(c.look.dot(c.up)); l > 1e-9 {
			t.Fatalf("the camera's axes are not of length 1 and square: off by %g", l)
		}
		most := 0.0
		for _, p := range pts {
			u, v, ok := c.sees(p)
			if !ok || u > tan || v > tan {
				t.Fatalf("%v is outside the picture: %g, %g of %g", p, u, v, tan)
			}
			most = max(most, u, v)
		}
		if math.Abs(most-used*tan) > 1e-4 {
			t.Fatalf("the outermost point fills %g of the picture's half, want %g", most/tan, used)
		}
	})
}

// sees is how far from the middle of the picture a point is, as tangents; false behind the camera.
func (c camera) sees(p vec) (u, v float64, ok bool) {
	d := p.sub(c.at)
	w := d.dot(c.look)
	return math.Abs(d.dot(c.look.cross(c.up))) / w, math.Abs(d.dot(c.up)) / w, w > 0
}

// On the demo each viewpoint of a place has the place in its picture, before a cut that
// does not take it away, from a distance at which one can see something.
func TestPlacesAreSeen(t *testing.T) {
	r := demo(t)
	tan := math.Tan(fieldOfView / 2 * math.Pi / 180)
	s := newScene(r)
	cuts := 0
	for i := range r.Items {
		it := &r.Items[i]
		if it.Comment == 0 {
			continue
		}
		v := s.view(s.spot(it))
		p := vec(it.Point)
		u, w, ok := v.camera.sees(p)
		if !ok || u > tan || w > tan {
			t.Errorf("%s: the point is not in the picture (%g, %g)", it.Place, u, w)
		}
		if d := p.sub(v.camera.at).len(); d < 1 || d > 60 {
			t.Errorf("%s: the camera stands %g m off", it.Place, d)
		}
		if s.isBuilding(it) {
			continue // it is about the submittal or the building: all of it is shown
		}
		if v.cut == nil {
			t.Errorf("%s: nothing frees the view", it.Place)
			continue
		}
		cuts++
		if d := p.sub(v.cut.at).dot(v.cut.away); d > 1e-6 && !s.isWhole(it) {
			t.Errorf("%s: the cut takes the place away (%g m before the plane)", it.Place, d)
		}
		if d := v.camera.at.sub(v.cut.at).dot(v.cut.away); d <= 0 {
			t.Errorf("%s: the camera stands behind the cut", it.Place)
		}
	}
	if cuts < 10 {
		t.Errorf("only %d places were looked at", cuts)
	}
}

// Ids hang on what is said and not on when, in which order or under which element ids.
func TestIdsAreSteady(t *testing.T) {
	r := demo(t)
	ids := func(r *finding.Report) []string {
		var out []string
		topics, err := topicsOf(r)
		if err != nil {
			t.Fatal(err)
		}
		for _, t := range topics {
			out = append(out, t.id)
		}
		return out
	}
	want := ids(r)
	if n := len(slices.Compact(slices.Sorted(slices.Values(want)))); n != len(want) || n != len(r.Comments) {
		t.Fatalf("%d different ids for %d comments", n, len(r.Comments))
	}
	r.Run.At, r.Run.Round = "2027-01-01T00:00:00Z", 2
	for i := range r.Items {
		for k := range r.Items[i].Elements {
			r.Items[i].Elements[k] = strings.Repeat("0", 22)
		}
	}
	if got := ids(r); !slices.Equal(got, want) {
		t.Errorf("ids changed with the elements' and the round: %v, want %v", got, want)
	}
	last := r.Comments[len(r.Comments)-1]
	last.Number++
	r.Comments = append(r.Comments, last)
	if got := ids(r); got[len(got)-1] == got[len(got)-2] {
		t.Error("two comments of one cause have the same id")
	}
	for _, id := range want {
		if !regexp.MustCompile(`^[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`).MatchString(id) {
			t.Errorf("%s is no UUID", id)
		}
	}
}

// Each topic with a place has a plan of it, told in the markup.
func TestSnapshots(t *testing.T) {
	r := demo(t)
	all := parts(t, written(t, r, v30))
	n := 0
	for name, data := range all {
		dir, ok := strings.CutSuffix(name, "markup.bcf")
		if !ok {
			continue
		}
		img, has := all[dir+"snapshot.png"]
		if told := bytes.Contains(data, []byte("<Snapshot>snapshot.png</Snapshot>")); told != has {
			t.Errorf("%s: told %v, there %v", name, told, has)
		}
		if !has {
			continue
		}
		n++
		if cfg, err := png.DecodeConfig(bytes.NewReader(img)); err != nil || cfg.Width < 500 || cfg.Height < 200 {
			t.Errorf("%s: %v, %d x %d dots", name, err, cfg.Width, cfg.Height)
		}
	}
	if n < 8 {
		t.Errorf("only %d of %d topics have one", n, len(r.Comments))
	}
}

// Topics say what findings say: title, places, labels, elements, round.
func TestTopics(t *testing.T) {
	r := sample(t)
	for v, tags := range map[version][2]string{v30: {"Topic/Labels/Label", "Topic/Viewpoints/ViewPoint"}, v21: {"Topic/Labels", "Viewpoints"}} {
		found := 0
		for name, data := range parts(t, written(t, r, v)) {
			if !strings.HasSuffix(name, "markup.bcf") {
				continue
			}
			doc := etree.NewDocument()
			if err := doc.ReadFromBytes(data); err != nil {
				t.Fatal(err)
			}
			m := doc.Root()
			title := m.FindElement("Topic/Title").Text()
			if bytes.ContainsAny(data, "\x00\x1b\u202e") {
				t.Errorf("%s: a control character got in", title)
			}
			if !strings.HasPrefix(title, "1. ") {
				continue
			}
			found++
			if want := "1. Floor void stopped at the unit line: deficient (9 places)"; title != want {
				t.Errorf("title %q, want %q", title, want)
			}
			var labels []string
			for _, l := range m.FindElements(tags[0]) {
				labels = append(labels, l.Text())
			}
			if want := []string{"floor-draftstop-line", "Level 2", "U1", "U2", "due in round 2"}; !slices.Equal(labels, want) {
				t.Errorf("labels %q, want %q", labels, want)
			}
			if n := len(m.FindElements(tags[1])); n != 10 {
				t.Errorf("%d viewpoints, want one of all and 9 of places", n)
			}
			text := m.FindElement("Topic/Description").Text()
			for _, want := range []string{"9) Level 2, unit line U1/U2, bay between trusses FT-16 and FT-17: measured 1'-8 1/2\", limit 1/2\".", "Joins 2 dwelling units", r.Cautions[0]} {
				if !strings.Contains(text, want) {
					t.Errorf("%q is not in %q", want, text)
				}
			}
			if got := m.FindElement("Topic/Priority").Text(); got != "High" {
				t.Errorf("priority %q of what joins two units", got)
			}
			if got := len(m.FindElements("Header//Filename")); got != 2 {
				t.Errorf("%d files in the header, want 2", got)
			}
		}
		if found != 1 {
			t.Errorf("%d topics of comment 1", found)
		}
	}
	view := &view{selected: []string{"0aBcDeFgHiJkLmNoPqRs00", "b7e7c4ba-1f9c-4d4c-8d4c-0123456789ab"}}
	doc := view.part(v30)
	if c := doc.FindElements("//Component"); len(c) != 2 || c[0].SelectAttrValue("IfcGuid", "") != view.selected[0] || c[1].SelectAttr("IfcGuid") != nil || c[1].FindElement("AuthoringToolId").Text() != view.selected[1] {
		text, _ := doc.WriteToString()
		t.Errorf("components in %s", text)
	}
}

func TestSameBytes(t *testing.T) {
	r := demo(t)
	for _, v := range []version{v21, v30} {
		if !bytes.Equal(written(t, r, v), written(t, r, v)) {
			t.Errorf("two writings of version %d differ", v)
		}
	}
}
