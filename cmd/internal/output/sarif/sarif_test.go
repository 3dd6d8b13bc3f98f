package sarif

import (
	"bytes"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/owenrumney/go-sarif/v3/pkg/report/v210/sarif"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/fixture"
)

func written(t *testing.T, r *finding.Report) []byte {
	t.Helper()
	var b, again bytes.Buffer
	if err := Write(&b, r); err != nil {
		t.Fatal(err)
	}
	if err := Write(&again, r); err != nil || !bytes.Equal(b.Bytes(), again.Bytes()) {
		t.Errorf("two writings differ, or %v", err)
	}
	return b.Bytes()
}

// published is the standard's schema, as the module of a general library of the format
// carries it in its source.
func published(t *testing.T) *jsonschema.Schema {
	t.Helper()
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/owenrumney/go-sarif/v3").Output()
	if err != nil || len(bytes.TrimSpace(out)) == 0 {
		t.Skipf("the module that carries the schema is not here: %v", err)
	}
	f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(strings.TrimSpace(string(out)), "pkg/report/v210/sarif/schema.go"), nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	text := ""
	ast.Inspect(f, func(n ast.Node) bool {
		if v, ok := n.(*ast.ValueSpec); ok && v.Names[0].Name == "schema" {
			text, err = strconv.Unquote(v.Values[0].(*ast.BasicLit).Value)
		}
		return true
	})
	if err != nil || !strings.Contains(text, "SARIF") {
		t.Fatalf("no schema found: %v", err)
	}
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("sarif.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("sarif.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestSchema(t *testing.T) {
	s := published(t)
	valid := func(data []byte) error {
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		return s.Validate(v)
	}
	for name, r := range map[string]*finding.Report{
		"demo": fixture.Demo(t), "layered": fixture.Layered(t), "sample": fixture.Hostile(t), "empty": {},
		"decided": decided(t), "renamed": fixture.Renamed(t, "<b>\x1b\u202e\"\\ 屋 %zz#?:"), "broken": {MissingChecks: []finding.MissingCheck{{Check: "x", Why: "y"}}, Problems: []finding.Problem{{Text: "odd\x07"}}},
	} {
		data := written(t, r)
		if err := valid(data); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if bytes.ContainsAny(data, "\x1b\u202e\x07") {
			t.Errorf("%s: a control character got in", name)
		}
		// The library reads it and finds the same.
		back, err := sarif.FromBytes(data)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		want := 0
		for i := range r.Items {
			if r.Items[i].Outcome != finding.Meets {
				want++
			}
		}
		if got := len(back.Runs[0].Results); got != want {
			t.Errorf("%s: %d results, want %d", name, got, want)
		}
	}
	good := string(written(t, fixture.Hostile(t)))
	if bad := strings.Replace(good, `"kind": "fail"`, `"kind": "bad"`, 1); bad == good || valid([]byte(bad)) == nil {
		t.Error("the schema accepts a kind that is none")
	}
}

func decided(t *testing.T) *finding.Report {
	r := fixture.Demo(t)
	r.Items[0].Disposition = &finding.Disposition{Key: r.Items[0].Key, Decision: finding.Accepted, Reason: "because"}
	var got log
	if err := json.Unmarshal(written(t, r), &got); err != nil {
		t.Fatal(err)
	}
	if s := got.Runs[0].Results[0].Suppressions; len(s) != 1 || s[0].Justification != "accepted: because" {
		t.Errorf("suppressions %+v", s)
	}
	return r
}

// What a program for continuous checks goes by: rule, kind, level, fingerprint, place.
func TestResults(t *testing.T) {
	r := fixture.Hostile(t)
	var got log
	if err := json.Unmarshal(written(t, r), &got); err != nil {
		t.Fatal(err)
	}
	run := got.Runs[0]
	n := map[string]int{}
	for _, x := range run.Results {
		n[x.Kind+" "+x.Level]++
		if x.Index == nil || run.Tool.Driver.Rules[*x.Index].ID != x.Rule {
			t.Errorf("%s: rule index %v", x.Rule, x.Index)
		}
	}
	for k, want := range map[string]int{"fail error": 10, "open none": 1, "notApplicable none": 1, "informational none": 2} {
		if n[k] != want {
			t.Errorf("%d results of %s, want %d", n[k], k, want)
		}
	}
	first := run.Results[0]
	if first.Fingerprints[fingerprint] != "000000000001" || first.Rule != "floor-draftstop-line" ||
		!strings.HasPrefix(first.Message.Text, "Level 2, unit line U1/U2, bay between trusses FT-8 and FT-9: No block closes") {
		t.Errorf("first result %+v", first)
	}
	if l := first.Locations[0]; l.Logical[1].Name != "0aBcDeFgHiJkLmNoPqRs00" || l.Physical.Artifact.URI != "row.ifc" {
		t.Errorf("place %+v", l)
	}
	if run.Properties["itemsThatMeet"] != 1.0 || !strings.Contains(run.Tool.Driver.Full.Text, "approves and rejects nothing") {
		t.Errorf("properties %v", run.Properties)
	}
}

func TestURI(t *testing.T) {
	for in, want := range map[string]string{
		"row.ifc": "row.ifc", "a b/é.ifc": "a%20b/%C3%A9.ifc", "/srv/x.ifc": "file:///srv/x.ifc", `C:\m\x.ifc`: "file:///C:/m/x.ifc", `m\x.ifc`: "m/x.ifc", "a:b.ifc": "./a:b.ifc", "": "",
	} {
		if got := uri(in); got != want {
			t.Errorf("uri(%q) = %q, want %q", in, got, want)
		}
	}
}
