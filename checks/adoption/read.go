package adoption

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"voidcheck/checks/measure"
	"voidcheck/schema"
)

// Declared is what the catalogue says of a check: its name and its parameters.
type Declared struct {
	Name   string
	Params []Param
}

// Adoption is a jurisdiction's limits, sections and exemptions over the catalogue.
type Adoption struct {
	Name         string // "" for the defaults, when no file was given
	File         string // as the user named it
	SHA256       string
	Jurisdiction string
	Edition      string
	EditionYear  int    // of the adopted model code; 0 when the file does not say
	Effective    string // date
	Notes        []string
	rules        map[string]*Rule
	occupancies  []string // named by conditions
}

// Rule is what an adoption says of one check.
type Rule struct {
	On       bool
	Section  string // "" when the file gives none
	Evidence string // where the values come from, in the file's words
	Limits   Limits
	Given    []string // parameters that the file sets, in catalogue order
	Instead  []Amendment
	Exempt   []Exemption
}

// Rule returns the rule of a check; nil when the catalogue did not declare it.
func (a *Adoption) Rule(check string) *Rule { return a.rules[check] }

// FileError is an adoption or submittal file that cannot be used. Nothing was done with it.
type FileError struct {
	File     string
	Problems []schema.Problem // at least one, by place
}

// Error prints the first problems with their places, one a line, and counts the rest.
func (e *FileError) Error() string { return strings.Join(schema.Lines(e.File, e.Problems), "\n") }

// Defaults returns the adoption that holds when no file is given: every check on, every
// parameter at its default, no section text.
func Defaults(declared []Declared) *Adoption {
	a := &Adoption{rules: map[string]*Rule{}}
	for _, d := range declared {
		r := &Rule{On: true, Limits: newLimits()}
		for _, p := range d.Params {
			if err := r.Limits.set(p, p.Default); err != nil {
				panic(fmt.Sprintf("default of %s.%s: %v", d.Name, p.Name, err)) // checks.Validate refuses it first
			}
		}
		a.rules[d.Name] = r
	}
	return a
}

// document is the adoption file as JSON.
type document struct {
	Schema       string                               `json:"$schema"`
	Format       string                               `json:"format"`
	Name         string                               `json:"name"`
	Jurisdiction string                               `json:"jurisdiction"`
	Edition      string                               `json:"edition"`
	EditionYear  int                                  `json:"edition_year"`
	Effective    string                               `json:"effective"`
	Notes        []string                             `json:"notes"`
	Checks       map[string]map[string]jsontext.Value `json:"checks"`
}

// Read reads an adoption file over the defaults. The error is a *FileError that names the
// line, the column and the JSON path.
func Read(file string, data []byte, declared []Declared) (*Adoption, error) {
	problems := schema.Validate("adoption", data)
	places, bad := schema.Locate(data)
	if bad != nil {
		return nil, &FileError{File: file, Problems: problems}
	}
	var doc document
	if err := json.Unmarshal(trimMark(data), &doc); err != nil && len(problems) == 0 {
		problems = append(problems, schema.Problem{Line: 1, Col: 1, Text: err.Error()})
	}
	a := Defaults(declared)
	a.Name, a.File, a.SHA256 = doc.Name, file, hash(data)
	a.Jurisdiction, a.Edition, a.Effective, a.Notes = doc.Jurisdiction, doc.Edition, doc.Effective, doc.Notes
	a.EditionYear = doc.EditionYear
	for _, d := range declared {
		entry, ok := doc.Checks[d.Name]
		if !ok {
			continue
		}
		more := a.rules[d.Name].read(d, entry, places, &problems)
		problems = append(problems, more...)
	}
	a.words()
	if len(problems) > 0 {
		slices.SortStableFunc(problems, func(p, q schema.Problem) int {
			if p.Line != q.Line {
				return p.Line - q.Line
			}
			return p.Col - q.Col
		})
		return nil, &FileError{File: file, Problems: problems}
	}
	return a, nil
}

// read applies one check's entry. It returns problems that the schema cannot see and takes
// out of found those that it can word better.
func (r *Rule) read(d Declared, entry map[string]jsontext.Value, places *schema.Places, found *[]schema.Problem) []schema.Problem {
	var out []schema.Problem
	for _, p := range d.Params {
		raw, ok := entry[p.Name]
		if !ok {
			continue
		}
		if err := r.Limits.setJSON(p, raw); err != nil {
			worded := places.Problem(err.Error(), "checks", d.Name, p.Name)
			*found = slices.DeleteFunc(*found, func(q schema.Problem) bool { return q.Path == worded.Path })
			out = append(out, worded)
			continue
		}
		r.Given = append(r.Given, p.Name)
	}
	// What follows has the right type when the schema found nothing; otherwise the file is
	// refused anyway.
	_ = json.Unmarshal(entry["section"], &r.Section)
	_ = json.Unmarshal(entry["evidence"], &r.Evidence)
	if raw, ok := entry["on"]; ok {
		_ = json.Unmarshal(raw, &r.On)
	}
	_ = json.Unmarshal(entry["exempt"], &r.Exempt)
	for i := range r.Exempt {
		out = append(out, r.Exempt[i].When.empty(places, "checks", d.Name, "exempt", strconv.Itoa(i), "when")...)
	}
	return append(out, r.readInstead(d, entry["instead"], places, found)...)
}

func newLimits() Limits {
	return Limits{Num: map[string]float64{}, Text: map[string]string{}, List: map[string][]string{}}
}

// dims maps the kinds that measure reads.
var dims = map[ParamKind]measure.Dim{
	Length: measure.Length, Area: measure.Area, Density: measure.Density,
	Ratio: measure.Ratio, Count: measure.Count,
}

// set gives a parameter the value a person wrote; "" and "off" turn it off.
func (l Limits) set(p Param, text string) error {
	l.Text[p.Name] = text
	delete(l.Num, p.Name)
	delete(l.List, p.Name)
	switch {
	case text == "" || text == "off":
		l.Text[p.Name] = "off"
		return nil
	case p.Kind == Words:
		for _, w := range strings.Split(text, ",") {
			l.List[p.Name] = append(l.List[p.Name], strings.TrimSpace(w))
		}
		return p.entries(l.List[p.Name])
	case p.Kind == Switch:
		if text != "true" && text != "false" {
			return fmt.Errorf("%q is not a switch; write true or false", text)
		}
		if text == "true" {
			l.Num[p.Name] = 1
		}
		return nil
	}
	dim, ok := dims[p.Kind]
	if !ok {
		return fmt.Errorf("%q is not a kind of parameter", p.Kind)
	}
	v, err := measure.Parse(dim, text)
	if err != nil {
		return err
	}
	if v == 0 {
		return fmt.Errorf(`%q is a limit that nothing meets; write "off" for no limit`, text)
	}
	l.Num[p.Name] = v
	return nil
}

// setJSON gives a parameter the value of a JSON document.
func (l Limits) setJSON(p Param, raw jsontext.Value) error {
	switch raw.Kind() {
	case '"':
		var s string
		if err := json.Unmarshal(raw, &s); err != nil {
			return err
		}
		if p.Kind == Words && s == "off" {
			return l.set(p, s)
		}
		if p.Kind == Words || p.Kind == Switch {
			return fmt.Errorf("%q is a text, but %s is wanted", s, wanted(p.Kind))
		}
		if s == "" {
			return fmt.Errorf(`the value is empty; write for example %q`, p.Default)
		}
		return l.set(p, s)
	case '0':
		if p.Kind == Ratio || p.Kind == Count {
			return l.set(p, string(raw))
		}
		return fmt.Errorf("%s has no unit; write it in quotes with its unit, for example %q", raw, p.Default)
	case '[':
		if p.Kind != Words {
			return fmt.Errorf("a list stands here, but %s is wanted", wanted(p.Kind))
		}
		var words []string
		if err := json.Unmarshal(raw, &words); err != nil {
			return fmt.Errorf("the list holds something that is not a text")
		}
		l.Text[p.Name], l.List[p.Name] = strings.Join(words, ", "), words
		return p.entries(words)
	case 't', 'f':
		if p.Kind != Switch {
			return fmt.Errorf("%s stands here, but %s is wanted", raw, wanted(p.Kind))
		}
		return l.set(p, string(raw))
	}
	return fmt.Errorf("%s is wanted here", wanted(p.Kind))
}

// entries applies the parameter's own grammar to a list.
func (p Param) entries(words []string) error {
	if p.Check == nil {
		return nil
	}
	return p.Check(words)
}

func wanted(k ParamKind) string {
	switch k {
	case Words:
		return "a list of words"
	case Switch:
		return "true or false"
	case Area:
		return `an area such as "1000 ft2"`
	case Length:
		return `a length such as "1/2 in"`
	case Density:
		return `a density such as "100 in2 per 100 ft2"`
	}
	return "a number"
}

func hash(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}

func trimMark(data []byte) []byte { return []byte(strings.TrimPrefix(string(data), "\ufeff")) }

// Validate reports whether the parameter's default is a value of its kind.
func (p Param) Validate() error { return newLimits().set(p, p.Default) }
