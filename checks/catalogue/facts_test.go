package catalogue

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"voidcheck/checks/adoption"
	"voidcheck/checks/beyond"
	"voidcheck/checks/materials"
	"voidcheck/checks/shown"
)

// fact is a row of testdata/code-facts.csv: a requirement of the published codes and where
// the program decides it. The last column holds one or more places, separated by "; ":
//
//	check NAME                      a check of the catalogue decides it
//	test FOLDER                     a rule inside a check, with its tests in that folder
//	default NAME.PARAM=VALUE        the default of a parameter
//	irc|ibc NAME.PARAM=VALUE        a value of a starter adoption
//	example FILE NAME.PARAM=VALUE   a value of an invented jurisdiction
//	exempt STARTER NAME: WORDS      an exception whose because holds the words
//	open STARTER NAME: WORDS        the same with confirmed false: it changes nothing by itself
//	instead STARTER NAME: WORDS     an amended limit
//	no-exempt STARTER NAME          the starter has no exception
//	off STARTER NAME                the starter takes the check out
//	section STARTER NAME: WORDS     the starter's section text holds the words
//	material [STARTER] LIST: ENTRY  an entry of a list of materials
//	shown THING                     what the model has to show for a condition
//	beyond TOPIC                    model-content lists it as something to be shown
//	geometry: WORDS                 follows from how the building is read
//	nothing: WORDS                  nothing is to be decided
type fact struct{ key, section, says, where string }

func facts(t *testing.T) []fact {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "code-facts.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []fact
	for _, r := range rows[1:] {
		out = append(out, fact{r[0], r[1], r[2], r[3]})
	}
	return out
}

// Every fact is decided where the table says, with the value that it says.
func TestFacts(t *testing.T) {
	b := book{t: t, files: map[string]*adoption.Adoption{"irc": starter(t, "irc-based"), "ibc": starter(t, "ibc-based")}}
	seen := map[string]bool{}
	for _, f := range facts(t) {
		if seen[f.key] || f.section == "" || f.says == "" || f.where == "" {
			t.Errorf("row %+v", f)
		}
		seen[f.key] = true
		for _, p := range strings.Split(f.where, "; ") {
			if why := b.holds(p); why != "" {
				t.Errorf("%s (%s): %q: %s", f.key, f.section, p, why)
			}
		}
	}
	for _, r := range beyond.Rows() {
		if !slices.ContainsFunc(facts(t), func(f fact) bool { return slices.Contains(strings.Split(f.where, "; "), "beyond "+r.Topic) }) {
			t.Errorf("model-content lists %q, which no fact asks for", r.Topic)
		}
	}
}

// The table has every row of the sheet of code facts.
func TestFactsComplete(t *testing.T) {
	sheet, err := os.ReadFile(filepath.Join("..", "..", "..", "shared", "design", "code-facts.md"))
	if err != nil {
		t.Skip("the sheet of code facts is not here")
	}
	have := map[string]bool{}
	for _, f := range facts(t) {
		have[f.key] = true
	}
	n := 0
	for _, m := range regexp.MustCompile(`(?m)^\| ([A-Z]{2,3}-[0-9a-z.]+) \|`).FindAllStringSubmatch(string(sheet), -1) {
		n++
		if !have[m[1]] {
			t.Errorf("%s of the sheet has no row", m[1])
		}
		delete(have, m[1])
	}
	for k := range have {
		t.Errorf("%s is no row of the sheet", k)
	}
	if n < 90 {
		t.Errorf("%d rows found in the sheet: it reads otherwise now", n)
	}
	words(t, string(sheet))
}

// words compares the words of the sheet's classes of material with those of the program: each
// is of its class, or vague and may be.
func words(t *testing.T, sheet string) {
	t.Helper()
	class, d := "", materials.Default()
	names := map[string][]string{
		"sawn_lumber": {"sawn lumber"}, "wood_structural_panel": {"wood structural panel"}, "particleboard": {"particleboard"}, "gypsum_board": {"gypsum board"}, "cement_board": {"cement board"},
		"mineral_fiber_batt": {"mineral wool", "glass fiber batt"}, "cellulose": {"cellulose"}, "sheet_steel": {"sheet steel"}, "sealant_or_foam": {"sealant or foam"},
	}
	n := 0
	for _, line := range strings.Split(sheet, "\n") {
		if m := regexp.MustCompile(`^- class: (\w+)`).FindStringSubmatch(line); m != nil {
			class = m[1]
		}
		m := regexp.MustCompile(`^  (?:en|de|fr|es|nl|no): \[(.*)\]`).FindStringSubmatch(line)
		if m == nil || names[class] == nil {
			continue
		}
		for _, w := range strings.Split(m[1], ",") {
			w = strings.Trim(strings.TrimSpace(w), `"`)
			r, ok := d.Class(w)
			n++
			if ok && slices.Contains(names[class], r.Class) || slices.ContainsFunc(r.MayBe, func(s string) bool { return slices.Contains(names[class], s) }) || r.Show != "" {
				continue
			}
			t.Errorf("%q of %s: %+v %v", w, class, r, ok)
		}
	}
	if n < 100 {
		t.Errorf("%d words found in the sheet", n)
	}
}

// book looks places up.
type book struct {
	t     *testing.T
	files map[string]*adoption.Adoption
}

// holds says what is wrong with a place, "" when nothing is.
func (b *book) holds(place string) string {
	kind, rest, _ := strings.Cut(place, " ")
	switch kind {
	case "geometry:", "nothing:":
		return ""
	case "check":
		if !known(rest) {
			return "there is no such check"
		}
	case "test":
		if got, _ := filepath.Glob(filepath.Join(rest, "*_test.go")); len(got) == 0 {
			return "there is no such folder with tests"
		}
	case "beyond":
		for _, r := range beyond.Rows() {
			if r.Topic == rest {
				return ""
			}
		}
		return "model-content lists no such topic"
	case "shown":
		if !slices.Contains(shown.Things(), rest) {
			return "the model is not asked for it"
		}
	case "material":
		return b.material(rest)
	case "default", "irc", "ibc":
		return b.value(kind, rest)
	case "example":
		file, rest, _ := strings.Cut(rest, " ")
		b.files[file] = example(b.t, file)
		return b.value(file, rest)
	default:
		return b.rule(kind, rest)
	}
	return ""
}

// Everything that a condition may ask of the model reads as words.
func TestShownWords(t *testing.T) {
	for _, thing := range shown.Things() {
		if s := (adoption.When{Shown: []string{thing}}).String(); strings.Contains(s, thing) {
			t.Errorf("%s has no words: %s", thing, s)
		}
	}
}

func known(check string) bool {
	for _, c := range Checks() {
		if c.Name == check {
			return true
		}
	}
	return false
}

// value compares NAME.PARAM=VALUE.
func (b *book) value(file, text string) string {
	at, want, _ := strings.Cut(text, "=")
	name, param, _ := strings.Cut(at, ".")
	if file != "default" {
		rule := b.files[file].Rule(name)
		if rule == nil || !slices.Contains(rule.Given, param) {
			return "the file does not give it"
		}
		if got := rule.Limits.Text[param]; got != want {
			return "the file says " + got
		}
		return ""
	}
	for _, c := range Checks() {
		for _, p := range c.Params {
			if c.Name == name && p.Name == param {
				if p.Default != want {
					return "the default is " + p.Default
				}
				return ""
			}
		}
	}
	return "there is no such parameter"
}

func (b *book) material(text string) string {
	list, entry, _ := strings.Cut(text, ": ")
	if file, rest, ok := strings.Cut(list, " "); ok {
		if !slices.Contains(b.files[file].Rule(rest + "-material").Limits.List["materials"], entry) {
			return "the starter's list does not have it"
		}
		return ""
	}
	if !slices.Contains(strings.Split(materials.Default().List(materials.Use(list)).Text(), ", "), entry) {
		return "the list does not have it"
	}
	return ""
}

// rule looks at the rules of a starter.
func (b *book) rule(kind, text string) string {
	file, text, _ := strings.Cut(text, " ")
	name, words, _ := strings.Cut(text, ": ")
	a := b.files[file]
	if a == nil || !known(name) {
		return "there is no such starter or check"
	}
	r := a.Rule(name)
	switch kind {
	case "off":
		if r.On {
			return "it is on"
		}
		return ""
	case "no-exempt":
		if len(r.Exempt) > 0 {
			return "it has exceptions"
		}
		return ""
	case "section":
		if !strings.Contains(r.Section, words) {
			return "the section is " + r.Section
		}
		return ""
	case "instead":
		if !slices.ContainsFunc(r.Instead, func(x adoption.Amendment) bool { return strings.Contains(x.Because, words) }) {
			return "there is no such amendment"
		}
		return ""
	case "exempt", "open":
		for _, e := range r.Exempt {
			if strings.Contains(e.Because, words) && (e.Confirmed == nil || *e.Confirmed) == (kind == "exempt") {
				return ""
			}
		}
		return "there is no such exception"
	}
	return "this kind of place is not known"
}
