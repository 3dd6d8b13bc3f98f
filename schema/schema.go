// Package schema holds the JSON Schemas of every file the program reads or writes, and the
// starter adoptions, and validates documents against them. It is data: it imports nothing
// of the project.
//
// A document is first parsed strictly (no duplicate names, nothing after the value), then
// held against its draft-07 schema. Every problem has a line, a column and a path.
package schema

import (
	"embed"
	"fmt"
	"io/fs"
	"sort"
	"strings"
	"sync"

	"github.com/xeipuuv/gojsonschema"
)

//go:embed *.schema.json adoptions/*.json
var files embed.FS

// Problem is one thing wrong with a document. Line and Col are 1-based, Col in bytes.
type Problem struct {
	Line, Col int
	Path      string // "checks.floor-draftstop-area.max-area", "" for the document itself
	Text      string // what was found, what was expected, the way out
}

// String prints "line:col: path: text".
func (p Problem) String() string {
	if p.Path == "" {
		return fmt.Sprintf("%d:%d: %s", p.Line, p.Col, p.Text)
	}
	return fmt.Sprintf("%d:%d: %s: %s", p.Line, p.Col, p.Path, p.Text)
}

// Told is how many problems of one file are told; the rest are counted.
const Told = 20

// Lines prints the problems of a file as every reader tells them: one a line with the file's
// name, the first of them, and how many more there are.
func Lines(file string, problems []Problem) []string {
	var lines []string
	for i, p := range problems {
		if i == Told {
			return append(lines, fmt.Sprintf("%s: and %d more problems", file, len(problems)-i))
		}
		lines = append(lines, file+":"+p.String())
	}
	return lines
}

// Kinds returns the kinds of document that have a schema, sorted: "adoption" stands for
// adoption.schema.json.
func Kinds() []string {
	names, err := fs.Glob(files, "*.schema.json")
	if err != nil {
		panic(err) // the pattern is a constant
	}
	for i := range names {
		names[i] = strings.TrimSuffix(names[i], ".schema.json")
	}
	sort.Strings(names)
	return names
}

// Text returns the schema of a kind as it is shipped.
func Text(kind string) ([]byte, error) { return files.ReadFile(kind + ".schema.json") }

// Starters returns the names of the starter adoptions, sorted: "ibc-based", "irc-based".
func Starters() []string {
	names, err := fs.Glob(files, "adoptions/*.json")
	if err != nil {
		panic(err) // the pattern is a constant
	}
	for i := range names {
		names[i] = strings.TrimSuffix(strings.TrimPrefix(names[i], "adoptions/"), ".json")
	}
	sort.Strings(names)
	return names
}

// Starter returns a starter adoption as it is shipped.
func Starter(name string) ([]byte, error) { return files.ReadFile("adoptions/" + name + ".json") }

// compiled keeps each schema after its first use: compiling costs a few milliseconds.
var compiled sync.Map // kind -> *gojsonschema.Schema

func compile(kind string) (*gojsonschema.Schema, error) {
	if s, ok := compiled.Load(kind); ok {
		return s.(*gojsonschema.Schema), nil
	}
	text, err := Text(kind)
	if err != nil {
		return nil, fmt.Errorf("no schema for %q; there are %s", kind, strings.Join(Kinds(), ", "))
	}
	s, err := gojsonschema.NewSchema(gojsonschema.NewBytesLoader(text))
	if err != nil {
		return nil, fmt.Errorf("schema %s: %w", kind, err)
	}
	compiled.Store(kind, s)
	return s, nil
}

// Validate parses a document strictly and holds it against the schema of its kind. It
// returns the problems in the order of their places; none means that the document is good.
// The places of a document are looked for only when it has problems.
func Validate(kind string, data []byte) []Problem {
	places, problem := parse(data, false)
	if problem != nil {
		return []Problem{*problem}
	}
	s, err := compile(kind)
	if err != nil {
		return []Problem{{Line: 1, Col: 1, Text: err.Error()}}
	}
	result, err := s.Validate(gojsonschema.NewBytesLoader(places.data))
	if err != nil {
		return []Problem{{Line: 1, Col: 1, Text: err.Error()}}
	}
	errs := result.Errors()
	if len(errs) == 0 {
		return nil
	}
	if places, problem = Locate(data); problem != nil {
		return []Problem{*problem}
	}
	text, _ := Text(kind)
	ex := explainer{places: places, schema: text}
	var out []Problem
	for _, e := range errs {
		if p, ok := ex.explain(e); ok {
			out = append(out, p)
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		if out[i].Line != out[j].Line {
			return out[i].Line < out[j].Line
		}
		return out[i].Col < out[j].Col
	})
	return out
}
