package json

import (
	"bytes"
	stdjson "encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"
	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"voidcheck/checks/finding"
	"voidcheck/schema"
)

func sample(t *testing.T) (*finding.Report, []byte) {
	t.Helper()
	data, err := os.ReadFile("../../../../testdata/findings/sample.json")
	if err != nil {
		t.Fatal(err)
	}
	var r finding.Report
	if err := json.Unmarshal(data, &r, json.RejectUnknownMembers(true)); err != nil {
		t.Fatal(err)
	}
	return &r, data
}

func write(t *testing.T, r *finding.Report) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, r); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestWriteKeepsEverything(t *testing.T) {
	r, in := sample(t)
	out := write(t, r)
	if p := schema.Validate("findings", out); len(p) > 0 {
		t.Errorf("the output fails its schema: %v", p)
	}
	var want, got any
	if err := stdjson.Unmarshal(in, &want); err != nil {
		t.Fatal(err)
	}
	if err := stdjson.Unmarshal(out, &got); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("written and read differ (-in +out):\n%s", d)
	}
	if again := write(t, r); !bytes.Equal(out, again) {
		t.Error("the second output differs from the first")
	}
	if n := strings.Count(string(out), "\n    {\"key\""); n != len(r.Items) {
		t.Errorf("%d items stand on lines of their own, want %d", n, len(r.Items))
	}
}

// An empty report has empty lists, not nulls: a reader needs no special cases.
func TestEmptyLists(t *testing.T) {
	r := &finding.Report{Format: finding.Format, Tool: finding.Tool{Version: "0"}, Run: finding.Run{At: "2026-01-31T10:00:00Z", Round: 1, Units: "us"},
		Cautions: finding.Cautions, Models: []finding.Model{{File: "a.ifc", SHA256: strings.Repeat("0", 64)}}}
	out := write(t, r)
	if p := schema.Validate("findings", out); len(p) > 0 {
		t.Errorf("an empty report fails the schema: %v\n%s", p, out)
	}
	if bytes.Contains(out, []byte("null")) {
		t.Errorf("null in %s", out)
	}
}

// A second validator that knows every draft must agree on our own schemas and on what they
// accept and refuse.
func TestSecondOpinion(t *testing.T) {
	text, err := schema.Text("findings")
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("findings.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("findings.json")
	if err != nil {
		t.Fatal(err)
	}
	r, _ := sample(t)
	good := string(write(t, r))
	for _, tt := range []struct{ name, old, new string }{
		{"as written", "", ""},
		{"unknown outcome", `"outcome":"meets"`, `"outcome":"fine"`},
		{"short key", `"key":"00000000000e"`, `"key":"e"`},
		{"null list", `"elements":[]`, `"elements":null`},
		{"unknown field", `"place":`, `"plaec":`},
		{"time with offset", `"at":"2026-01-31T10:00:00Z"`, `"at":"2026-01-31T10:00:00+01:00"`},
	} {
		text := strings.Replace(good, tt.old, tt.new, 1)
		if tt.old != "" && text == good {
			t.Fatalf("%s: nothing was replaced", tt.name)
		}
		v, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		second := s.Validate(v)
		first := schema.Validate("findings", []byte(text))
		if wantBad := tt.old != ""; (second != nil) != wantBad || (len(first) > 0) != wantBad {
			t.Errorf("%s: first %v, second %v", tt.name, first, second)
		}
	}
}
