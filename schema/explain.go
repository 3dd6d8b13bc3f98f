package schema

import (
	"encoding/json"
	"fmt"
	"slices"
	"sort"
	"strings"

	"github.com/xeipuuv/gojsonschema"
)

// explainer puts schema errors into plain words with their place.
type explainer struct {
	places *Places
	schema []byte
	root   map[string]any // the parsed schema, on first use
}

// explain returns false for errors that only repeat another one.
func (x *explainer) explain(e gojsonschema.ResultError) (Problem, bool) {
	path := strings.TrimPrefix(strings.TrimPrefix(e.Context().String(step), "(root)"), step)
	d := e.Details()
	at := func(text string) (Problem, bool) {
		off, ok := x.places.values[path]
		if !ok {
			off = 0
		}
		return *x.places.problem(off, path, text), true
	}
	switch e.Type() {
	case "additional_property_not_allowed":
		name := fmt.Sprint(d["property"])
		full := strings.TrimPrefix(path+step+name, step)
		return *x.places.problem(x.places.names[full], full, x.unknown(path, name)), true
	case "required":
		return at(fmt.Sprintf("%q is missing; add it", d["property"]))
	case "invalid_type":
		return at(fmt.Sprintf("%s is wanted, %s found", article(d["expected"]), article(d["given"])))
	case "const":
		return at(fmt.Sprintf("%s is wanted, %s found", d["allowed"], quoted(e.Value())))
	case "enum":
		allowed := strings.ReplaceAll(fmt.Sprint(d["allowed"]), `"`, "")
		return at(fmt.Sprintf("%s is not one of: %s%s", quoted(e.Value()), allowed, meant(fmt.Sprint(e.Value()), strings.Split(allowed, ", "))))
	case "pattern":
		return at(fmt.Sprintf("%s has not the form that is wanted here%s", quoted(e.Value()), x.examples(path)))
	case "number_gte":
		return at(fmt.Sprintf("%v is less than %v", e.Value(), d["min"]))
	case "number_lte":
		return at(fmt.Sprintf("%v is more than %v", e.Value(), d["max"]))
	case "string_gte":
		return at("the text is empty; write something or take the entry out")
	case "array_min_items":
		return at(fmt.Sprintf("the list has fewer than %v entries", d["min"]))
	case "array_min_properties":
		return at(fmt.Sprintf("the object has fewer than %v entries", d["min"]))
	case "unique":
		return at("the list holds the same entry twice")
	case "number_any_of", "number_one_of", "number_all_of", "condition_then", "condition_else":
		return Problem{}, false // the errors inside say it better
	}
	return at(strings.ToLower(e.Description()[:1]) + e.Description()[1:])
}

// unknown says that a name is not known at a place, and which ones are.
func (x *explainer) unknown(path, name string) string {
	known := x.known(path)
	text := fmt.Sprintf("%q is not known here%s", name, meant(name, known))
	if len(known) > 0 {
		text += "; known: " + strings.Join(known, ", ")
	}
	return text
}

// known lists the property names that the schema allows at a path of the document.
func (x *explainer) known(path string) []string {
	props, _ := x.at(path)["properties"].(map[string]any)
	var out []string
	for k := range props {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

func (x *explainer) examples(path string) string {
	list, _ := x.at(path)["examples"].([]any)
	if len(list) == 0 {
		return ""
	}
	var s []string
	for _, e := range list {
		s = append(s, fmt.Sprintf("%q", e))
	}
	return "; write for example " + strings.Join(s, ", ")
}

// at returns the part of the schema that describes a path of the document.
func (x *explainer) at(path string) map[string]any {
	if x.root == nil {
		if json.Unmarshal(x.schema, &x.root) != nil {
			return nil
		}
	}
	node := x.follow(x.root)
	if path == "" {
		return node
	}
	for _, s := range strings.Split(path, step) {
		props, _ := node["properties"].(map[string]any)
		next, ok := props[s].(map[string]any)
		if !ok {
			next, ok = node["items"].(map[string]any)
		}
		if !ok {
			next, ok = node["additionalProperties"].(map[string]any)
		}
		if !ok {
			return nil
		}
		node = x.follow(next)
	}
	return node
}

// follow resolves a reference into the definitions.
func (x *explainer) follow(node map[string]any) map[string]any {
	ref, ok := node["$ref"].(string)
	if !ok {
		return node
	}
	defs, _ := x.root["definitions"].(map[string]any)
	target, _ := defs[strings.TrimPrefix(ref, "#/definitions/")].(map[string]any)
	return target
}

func quoted(v any) string {
	if s, ok := v.(string); ok {
		return fmt.Sprintf("%q", s)
	}
	b, err := json.Marshal(v)
	if err != nil || len(b) > 40 {
		return "this value"
	}
	return string(b)
}

func article(v any) string {
	s := fmt.Sprint(v)
	if l := strings.Split(strings.Trim(s, "[]"), ","); len(l) > 1 { // one of several, null among them
		l = slices.DeleteFunc(l, func(t string) bool { return t == "null" })
		for i := range l {
			l[i] = article(l[i])
		}
		return strings.Join(l, " or ")
	}
	switch {
	case s == "null":
		return "null"
	case strings.IndexByte("aio", s[0]) >= 0:
		return "an " + s
	}
	return "a " + s
}

// meant proposes the known name nearest to a misspelt one.
func meant(name string, known []string) string {
	best, dist := "", len(name)/3+1
	for _, k := range known {
		if d := distance(strings.ToLower(name), strings.ToLower(k)); d <= dist && (best == "" || d < dist) {
			best, dist = k, d
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf("; did you mean %q?", best)
}

// distance counts the edits (insert, drop, change, swap neighbours) between two words.
func distance(a, b string) int {
	two := make([]int, len(b)+1)
	one := make([]int, len(b)+1)
	for j := range one {
		one[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(one[j]+1, row[j-1]+1, one[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], two[j-2]+1)
			}
		}
		two, one = one, row
	}
	return one[len(b)]
}
