package schema

import (
	"encoding/json"
	"fmt"
	"sort"
	"strings"
	"testing"
)

// draft07 lists every keyword of JSON Schema draft-07 (json-schema.org, core and
// validation, March 2018). The validator ignores newer ones without a word, so that a
// schema using one would accept bad documents.
var draft07 = strings.Fields(`$schema $id $ref $comment title description default examples readOnly
	multipleOf maximum exclusiveMaximum minimum exclusiveMinimum maxLength minLength pattern items
	additionalItems maxItems minItems uniqueItems contains maxProperties minProperties required
	properties patternProperties additionalProperties dependencies propertyNames const enum type
	format contentMediaType contentEncoding if then else allOf anyOf oneOf not definitions`)

func TestSchemasAreDraft07(t *testing.T) {
	allowed := map[string]bool{}
	for _, k := range draft07 {
		allowed[k] = true
	}
	for _, kind := range Kinds() {
		text, err := Text(kind)
		if err != nil {
			t.Fatal(err)
		}
		var root map[string]any
		if err := json.Unmarshal(text, &root); err != nil {
			t.Fatalf("%s: %v", kind, err)
		}
		if root["$schema"] != "http://json-schema.org/draft-07/schema#" {
			t.Errorf("%s: $schema is %v", kind, root["$schema"])
		}
		var walk func(path string, v any)
		walk = func(path string, v any) {
			node, ok := v.(map[string]any)
			if !ok {
				return
			}
			for _, k := range sorted(node) {
				here := path + "/" + k
				if !allowed[k] {
					t.Errorf("%s: %s is not a draft-07 keyword", kind, here)
				}
				switch k {
				case "properties", "patternProperties", "definitions":
					for _, name := range sorted(node[k].(map[string]any)) {
						walk(here+"/"+name, node[k].(map[string]any)[name])
					}
				case "items", "additionalProperties", "additionalItems", "not", "contains", "if", "then", "else", "propertyNames":
					walk(here, node[k])
				case "allOf", "anyOf", "oneOf":
					for i, sub := range node[k].([]any) {
						walk(fmt.Sprint(here, i), sub)
					}
				case "$ref":
					ref := node[k].(string)
					if _, ok := root["definitions"].(map[string]any)[strings.TrimPrefix(ref, "#/definitions/")]; !ok {
						t.Errorf("%s: %s leads to %q, which is not among its definitions", kind, here, ref)
					}
				}
			}
		}
		walk("", root)
	}
}

func sorted(m map[string]any) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

func TestValidate(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"good", `{"format": "voidcheck-submittal-1", "storeys": 3}`, ""},
		{"byte order mark", "\ufeff" + `{"format": "voidcheck-submittal-1"}`, ""},
		{"empty", " \n", `1:1: the file is empty; a JSON object is wanted`},
		{"unknown name", "{\n \"format\": \"voidcheck-submittal-1\",\n \"sprinkler\": \"none\"}",
			`3:2: sprinkler: "sprinkler" is not known here; did you mean "sprinklers"?; known: $schema, address, applicant, construction, contact, department, examiner, format, occupancy, permit, project, round, sprinklers, sprinklers_in_voids, storeys, units`},
		{"missing name", `{"format": "voidcheck-submittal-1", "units": [{"name": "A"}]}`,
			`1:47: units[0]: "spaces" is missing; add it`},
		{"wrong type", `{"format": "voidcheck-submittal-1", "storeys": "3"}`,
			`1:48: storeys: an integer is wanted, a string found`},
		{"not listed", `{"format": "voidcheck-submittal-1", "sprinklers": "NFPA13R"}`,
			`1:51: sprinklers: "NFPA13R" is not one of: none, NFPA 13, NFPA 13R, NFPA 13D, P2904, other; did you mean "NFPA 13R"?`},
		{"wrong format", `{"format": "voidcheck-submittal-9"}`,
			`1:12: format: "voidcheck-submittal-1" is wanted, "voidcheck-submittal-9" found`},
		{"twice", `{"format": "voidcheck-submittal-1", "round": 1, "round": 2}`,
			`1:49: round: "round" stands here twice; take one out`},
		{"too early", `{"format": "voidcheck-submittal-1"`,
			`1:35: the file ends too early; a bracket, brace or quote is not closed`},
		{"text not closed", "{\"format\": \"voidcheck\n}", `1:22: format: a text is not closed before the end of its line; add the missing quote`},
		{"more text", "{\"format\": \"voidcheck-submittal-1\"}\n{}",
			`2:1: there is more text after the end of the document; take it out`},
		{"not JSON", `{"format": voidcheck}`, `1:12: format: not JSON: invalid character 'v' at start of value`},
		{"not UTF-8", "{\"format\": \"\xe9\"}", `1:13: format: the text is not UTF-8; save the file as UTF-8`},
		{"too small", `{"format": "voidcheck-submittal-1", "storeys": 0}`, `1:48: storeys: 0 is less than 1`},
		{"empty text", `{"format": "voidcheck-submittal-1", "permit": ""}`,
			`1:47: permit: the text is empty; write something or take the entry out`},
		{"not an object", `[1]`, `1:1: an object is wanted, an array found`},
	}
	for _, tt := range tests {
		var got []string
		for _, p := range Validate("submittal", []byte(tt.in)) {
			got = append(got, p.String())
		}
		if s := strings.Join(got, "\n"); s != tt.want {
			t.Errorf("%s:\n got %s\nwant %s", tt.name, s, tt.want)
		}
	}
}

// Of many problems the first by place are told and the rest counted, however many there are.
func TestLines(t *testing.T) {
	for _, n := range []int{0, 1, Told, Told + 1, 3000} {
		units := strings.TrimSuffix(strings.Repeat("{\"name\": \"A\"},\n", n), ",\n")
		doc := `{"format": "voidcheck-submittal-1", "units": [` + "\n" + units + `]}`
		if n == 0 {
			doc = `{"format": "voidcheck-submittal-1"}`
		}
		ps := Validate("submittal", []byte(doc))
		if len(ps) != n {
			t.Fatalf("%d problems of %d", len(ps), n)
		}
		lines := Lines("s.json", ps)
		if want := min(n, Told+1); len(lines) != want {
			t.Errorf("%d problems: %d lines, want %d", n, len(lines), want)
		}
		for i, l := range lines {
			want := fmt.Sprintf(`s.json:%d:1: units[%d]: "spaces" is missing; add it`, i+2, i)
			if i == Told {
				want = fmt.Sprintf("s.json: and %d more problems", n-Told)
			}
			if l != want {
				t.Errorf("line %d of %d: got %s, want %s", i, n, l, want)
			}
		}
	}
}

func FuzzValidate(f *testing.F) {
	f.Add([]byte(`{"format": "voidcheck-submittal-1", "units": [{"name": "A", "spaces": ["1"]}]}`))
	f.Add([]byte(`{"a/b": {"~": [1, {"x": null}]}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, p := range Validate("submittal", data) {
			if p.Line < 1 || p.Col < 1 || p.Text == "" {
				t.Errorf("problem without place or text: %+v", p)
			}
		}
	})
}
