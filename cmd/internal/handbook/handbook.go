// Package handbook writes the parts of the documentation that are made from the catalogue:
// the table of checks in the README and the checks in the adoption schema. A golden test
// keeps the files and the code equal.
package handbook

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"strings"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
)

//go:embed adoption.schema.json
var schemaFrame []byte

// AdoptionSchema returns schema/adoption.schema.json for a catalogue.
func AdoptionSchema(catalogue []*checks.Check) []byte {
	var b bytes.Buffer
	for i, c := range catalogue {
		if i > 0 {
			b.WriteString(",\n")
		}
		fmt.Fprintf(&b, "        %s: {\n          \"type\": \"object\",\n          \"additionalProperties\": false,\n", quote(c.Name))
		fmt.Fprintf(&b, "          \"description\": %s,\n          \"properties\": {\n", quote(c.Title))
		for _, name := range []string{"on", "section", "evidence"} {
			fmt.Fprintf(&b, "            %q: {\"$ref\": \"#/definitions/%s\"},\n", name, name)
		}
		for _, p := range c.Params {
			fmt.Fprintf(&b, "            %s: %s,\n", quote(p.Name), param(p))
		}
		if len(c.Params) > 0 {
			b.WriteString(instead(c))
		}
		b.WriteString("            \"exempt\": {\"$ref\": \"#/definitions/exempt\"}\n          }\n        }")
	}
	return bytes.Replace(schemaFrame, []byte(`        "CATALOGUE": true`), b.Bytes(), 1)
}

// instead writes the schema of a check's amendments.
func instead(c *checks.Check) string {
	var b strings.Builder
	b.WriteString("            \"instead\": {\n              \"type\": \"array\",\n              \"description\": \"Other limits where a condition holds; the first that holds counts.\",\n" +
		"              \"items\": {\n                \"type\": \"object\",\n                \"additionalProperties\": false,\n                \"required\": [\"when\", \"because\"],\n                \"properties\": {\n" +
		"                  \"when\": {\"$ref\": \"#/definitions/when\"},\n                  \"because\": {\"$ref\": \"#/definitions/because\"},\n                  \"section\": {\"$ref\": \"#/definitions/section\"},\n                  \"confirmed\": {\"$ref\": \"#/definitions/confirmed\"}")
	for _, p := range c.Params {
		fmt.Fprintf(&b, ",\n                  %s: {\"$ref\": \"#/definitions/%s\"}", quote(p.Name), p.Kind)
	}
	b.WriteString("\n                }\n              }\n            },\n")
	return b.String()
}

// param writes the schema of one parameter. A $ref stands alone in draft-07, so that the
// meaning goes beside it through allOf.
func param(p adoption.Param) string {
	meaning := p.Doc
	if p.Default == "" {
		meaning += "; off unless given"
	} else {
		meaning += "; " + p.Default + " unless given"
	}
	return fmt.Sprintf(`{"description": %s, "allOf": [{"$ref": "#/definitions/%s"}]}`, quote(meaning), p.Kind)
}

func quote(s string) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(s); err != nil {
		panic(err) // a string always encodes
	}
	return strings.TrimSpace(b.String())
}

// The marks between which the README's table of checks stands.
const (
	TableBegin = "<!-- checks: made from the code by the tests of cmd/internal/handbook -->\n"
	TableEnd   = "<!-- end of checks -->\n"
)

// ChecksTable returns the README's table of checks.
func ChecksTable(catalogue []*checks.Check) string {
	var b strings.Builder
	b.WriteString("| check | what it decides | parameters (default) |\n|---|---|---|\n")
	for _, c := range catalogue {
		var params []string
		for _, p := range c.Params {
			def := p.Default
			if def == "" {
				def = "off"
			}
			params = append(params, fmt.Sprintf("`%s` (%s)", p.Name, def))
		}
		if len(params) == 0 {
			params = []string{"none"}
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", c.Name, cell(c.Title), cell(strings.Join(params, ", ")))
	}
	return b.String()
}

func cell(s string) string { return strings.ReplaceAll(strings.ReplaceAll(s, "\n", " "), "|", `\|`) }

// Splice puts text between the two marks of a document; false when they are not there.
func Splice(doc, begin, text, end string) (string, bool) {
	head, rest, ok := strings.Cut(doc, begin)
	if !ok {
		return doc, false
	}
	_, tail, ok := strings.Cut(rest, end)
	return head + begin + text + end + tail, ok
}

// BlankAdoption returns an adoption file with every check on and every parameter at its
// default, for a jurisdiction to fill in.
func BlankAdoption(catalogue []*checks.Check) []byte {
	var b bytes.Buffer
	b.WriteString("{\n  \"format\": \"voidcheck-adoption-1\",\n  \"name\": \"Name of the adoption\",\n  \"checks\": {\n")
	for i, c := range catalogue {
		fmt.Fprintf(&b, "    %s: {\n      \"on\": true", quote(c.Name))
		for _, p := range c.Params {
			fmt.Fprintf(&b, ",\n      %s: %s", quote(p.Name), value(p))
		}
		b.WriteString("\n    }")
		if i < len(catalogue)-1 {
			b.WriteByte(',')
		}
		b.WriteByte('\n')
	}
	b.WriteString("  }\n}\n")
	return b.Bytes()
}

// value writes a parameter's default as JSON.
func value(p adoption.Param) string {
	switch {
	case p.Default == "":
		return `"off"`
	case p.Kind == adoption.Ratio, p.Kind == adoption.Count, p.Kind == adoption.Switch:
		return p.Default
	case p.Kind == adoption.Words:
		var words []string
		for _, w := range strings.Split(p.Default, ",") {
			words = append(words, quote(strings.TrimSpace(w)))
		}
		return "[" + strings.Join(words, ", ") + "]"
	}
	return quote(p.Default)
}
