// Package lexicon holds the words and types by which building models name things: trusses,
// joists, plates, stops, seals, services, dwelling units, materials. It is data (a JSON
// file, an embedded one by default) with a small matcher; it draws no conclusion about
// geometry and knows no model.
package lexicon

import (
	_ "embed"
	"errors"
	"fmt"

	"regexp"
	"strings"
	"sync"

	"github.com/go-json-experiment/json"

	"voidcheck/schema"
)

//go:embed lexicon.json
var defaultJSON []byte

// Format is the value of the "format" member that a lexicon file must carry.
const Format = "voidcheck-lexicon-1"

// Lexicon is a compiled lexicon. It is safe for use by several goroutines.
type Lexicon struct {
	Name     string // file name, or "default"
	concepts []rule
	zones    map[string][]Matcher
	spaces   map[string][]Matcher
	storeys  map[string][]Matcher
	framing  map[string][]Matcher
	classes  []Class

	// Buildings repeat their names: what a name matches is worked out once.
	findTexts  sync.Once
	byName     sync.Map // folded name -> []hit
	mu         sync.RWMutex
	byEntity   map[string]*entityMatchers
	byMaterial sync.Map // name -> materialHit
	byFraming  sync.Map // word -> string
}

// rule is one concept with its matchers.
type rule struct {
	Concept string    `json:"concept"`
	Match   []Matcher `json:"match"`
}

// Matcher says what must be seen; every member that is given must hold.
type Matcher struct {
	Entity         string               `json:"entity,omitempty"`         // entity or one of its supertypes
	Predefined     string               `json:"predefined,omitempty"`     // predefined type
	Name           string               `json:"name,omitempty"`           // pattern over name, object type, type name, description
	Lang           string               `json:"lang,omitempty"`           // for readers of the file
	Property       *PropertyMatch       `json:"property,omitempty"`       // property value
	Classification *ClassificationMatch `json:"classification,omitempty"` // classification reference
	Material       string               `json:"material,omitempty"`       // pattern over material names

	name, material *regexp.Regexp
	texts          []string // what a name must hold one of to match
}

// PropertyMatch matches a property; an empty set looks in every set, an empty value pattern
// asks only that the property is there.
type PropertyMatch struct {
	Set   string `json:"set,omitempty"`
	Name  string `json:"name"`
	Value string `json:"value,omitempty"`

	value *regexp.Regexp
}

// ClassificationMatch matches a classification reference by the start of its code.
type ClassificationMatch struct {
	System string `json:"system,omitempty"`
	Code   string `json:"code"`

	system *regexp.Regexp
}

// Class is a class of material.
type Class struct {
	Class       string `json:"class"`
	Role        string `json:"role"` // "board", "framing", "solid", "insulation", "seal", "void", "thin"
	Combustible bool   `json:"combustible"`
	Words       string `json:"words"`

	words *regexp.Regexp
}

type file struct {
	Schema    string               `json:"$schema,omitempty"`
	Format    string               `json:"format"`
	About     string               `json:"about,omitempty"`
	Concepts  []rule               `json:"concepts"`
	Zones     map[string][]Matcher `json:"zones,omitempty"`
	Spaces    map[string][]Matcher `json:"spaces,omitempty"`
	Storeys   map[string][]Matcher `json:"storeys,omitempty"`
	Framing   map[string][]Matcher `json:"framing,omitempty"`
	Materials []Class              `json:"materials"`
}

var parseDefault = sync.OnceValues(func() (*Lexicon, error) { return Parse("default", defaultJSON) })

// Default returns the embedded lexicon.
func Default() *Lexicon {
	l, err := parseDefault()
	if err != nil {
		panic("the embedded lexicon is broken: " + err.Error()) // a test reads it
	}
	return l
}

// Parse reads a lexicon from memory; name is used in messages. The error names the file, the
// line or JSON path at fault and what was expected there.
func Parse(name string, data []byte) (*Lexicon, error) {
	if err := validate(name, data); err != nil {
		return nil, err
	}
	var f file
	if err := json.Unmarshal(data, &f); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	l := &Lexicon{Name: name, concepts: f.Concepts, zones: f.Zones, spaces: f.Spaces, storeys: f.Storeys, framing: f.Framing, classes: f.Materials}
	for i := range l.concepts {
		if err := compileAll(l.concepts[i].Match, fmt.Sprintf("concepts.%d.match", i)); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	for _, g := range []struct {
		key string
		m   map[string][]Matcher
	}{{"zones", l.zones}, {"spaces", l.spaces}, {"storeys", l.storeys}, {"framing", l.framing}} {
		for _, k := range sortedKeys(g.m) {
			if err := compileAll(g.m[k], g.key+"."+k); err != nil {
				return nil, fmt.Errorf("%s: %w", name, err)
			}
		}
	}
	for i := range l.classes {
		re, err := compile(l.classes[i].Words)
		if err != nil {
			return nil, fmt.Errorf("%s: materials.%d.words: %w", name, i, err)
		}
		l.classes[i].words = re
	}
	return l, nil
}

func compileAll(ms []Matcher, path string) (err error) {
	for i := range ms {
		m := &ms[i]
		at := func(field string, err error) error { return fmt.Errorf("%s.%d.%s: %w", path, i, field, err) }
		if m.name, err = compile(m.Name); err != nil {
			return at("name", err)
		}
		if m.material, err = compile(m.Material); err != nil {
			return at("material", err)
		}
		if m.Property != nil {
			if m.Property.value, err = compile(m.Property.Value); err != nil {
				return at("property.value", err)
			}
		}
		if m.Classification != nil {
			if m.Classification.system, err = compile(m.Classification.System); err != nil {
				return at("classification.system", err)
			}
		}
	}
	return nil
}

// compile reads a pattern; accents and case in it are folded as names are, so that a person
// may write it either way. The empty pattern gives nil.
func compile(p string) (*regexp.Regexp, error) {
	if p == "" {
		return nil, nil
	}
	q := foldAccents(p)
	if hasUpper(q) { // what is matched is in lower case already
		q = "(?i)" + q
	}
	re, err := regexp.Compile(q)
	if err != nil {
		return nil, fmt.Errorf("%q is not a pattern: %s", p, strings.TrimPrefix(err.Error(), "error parsing regexp: "))
	}
	return re, nil
}

// hasUpper reports whether a pattern holds capitals that are not part of an escape.
func hasUpper(p string) bool {
	escaped := false
	for _, r := range p {
		if !escaped && r >= 'A' && r <= 'Z' {
			return true
		}
		escaped = r == '\\' && !escaped
	}
	return false
}

// validate checks the text strictly (one document, no name twice) and against the schema.
func validate(name string, data []byte) error {
	if ps := schema.Validate("lexicon", data); len(ps) > 0 {
		return errors.New(strings.Join(schema.Lines(name, ps), "\n"))
	}
	return nil
}
