// Package words says in the trade's words what documents made from findings have in common:
// titles of checks, what was measured against which limit, kinds of void and framing.
package words

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
)

// Book looks things up in findings.
type Book struct {
	R   *finding.Report
	Sys measure.System
	// Items by key, Ran by name of the check.
	Items map[string]*finding.Item
	Ran   map[string]*finding.Ran
	units map[string]string // words for dwelling units by id
}

// New reads findings.
func New(r *finding.Report) *Book {
	b := &Book{R: r, Sys: measure.System(r.Run.Units), Items: map[string]*finding.Item{}, Ran: map[string]*finding.Ran{}, units: map[string]string{}}
	if b.Sys != measure.SI {
		b.Sys = measure.US
	}
	for i, w := range finding.UnitWords(r.Building.Units) {
		b.units[r.Building.Units[i].ID] = w
	}
	for i := range r.Items {
		b.Items[r.Items[i].Key] = &r.Items[i]
	}
	for i := range r.Checks {
		b.Ran[r.Checks[i].Name] = &r.Checks[i]
	}
	return b
}

// Title is a check's title as the first words of a line; its name when findings lack it.
func (b *Book) Title(check string) string {
	if ran := b.Ran[check]; ran != nil && ran.Title != "" {
		return First(ran.Title)
	}
	return First(strings.ReplaceAll(check, "-", " "))
}

// Of are the items of a comment, in its order.
func (b *Book) Of(c *finding.Comment) []*finding.Item {
	var out []*finding.Item
	for _, key := range c.Items {
		if it := b.Items[key]; it != nil {
			out = append(out, it)
		}
	}
	return out
}

// Sizes are what was measured and its limit as a reader of these findings sees them; empty
// when there is none.
func (b *Book) Sizes(it *finding.Item) (measured, limit string) {
	if m := it.Measured; m != nil {
		measured = measure.Format(m.Value, m.Unit, b.Sys)
	}
	if l := it.Limit; l != nil {
		limit = measure.Format(l.Value, l.Unit, b.Sys)
		if m := it.Measured; m != nil && m.Unit == l.Unit {
			measured, limit = measure.FormatPair(m.Value, l.Value, l.Unit, b.Sys)
		}
	}
	return measured, limit
}

// Measured says both in one phrase: "1'-8 1/2", limit 1/2"".
func (b *Book) Measured(it *finding.Item) string {
	m, l := b.Sizes(it)
	switch {
	case m != "" && l != "":
		return m + ", limit " + l
	case l != "":
		return "limit " + l
	}
	return m
}

// Where is an item's place with its storey; what the item is about when it has none.
func (b *Book) Where(it *finding.Item) string {
	return cmp.Or(it.Where(), "the submittal as a whole")
}

// Project is what to call the job.
func (b *Book) Project() string {
	var project string
	if s := b.R.Submittal; s != nil {
		project = s.Project
	}
	return cmp.Or(project, b.R.Building.Project)
}

// Adoption names the limits in force.
func (b *Book) Adoption() string {
	a := b.R.Adoption
	if a.Name == "" {
		return "no adoption file: limits are model-code defaults, sections are placeholders"
	}
	return Join(", ", a.Name, a.Jurisdiction, a.Edition)
}

// Date is the day on which the findings were made, as 2026-01-31.
func (b *Book) Date() string {
	day, _, _ := strings.Cut(b.R.Run.At, "T")
	return day
}

// Day is the same day as a letter has it: "January 31, 2026", or "31 January 2026" in SI.
func (b *Book) Day() string {
	t, err := time.Parse(time.DateOnly, b.Date())
	if err != nil {
		return b.Date()
	}
	if b.Sys == measure.SI {
		return t.Format("2 January 2006")
	}
	return t.Format("January 2, 2006")
}

// Unit is what texts call a dwelling unit: "U1", "Unit A".
func (b *Book) Unit(id string) string { return cmp.Or(b.units[id], id) }

// Line joins several: "U1/U2" and "A/B" for the line between them.
func (b *Book) Line(ids []string) string {
	if len(ids) == 2 {
		return finding.UnitLine(b.Unit(ids[0]), b.Unit(ids[1]))
	}
	return strings.Join(b.UnitList(ids), "/")
}

// UnitList are several one by one.
func (b *Book) UnitList(ids []string) []string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = b.Unit(id)
	}
	return out
}

// UnitName is a unit's name where texts call it by its id: "Unit 1 (U1)", else its word.
func (b *Book) UnitName(id string) string {
	for _, u := range b.R.Building.Units {
		if u.ID == id && u.Name != "" && u.Name != id && b.Unit(id) == id {
			return u.Name + " (" + id + ")"
		}
	}
	return First(b.Unit(id))
}

// Level is the place of a storey among the storeys; names that no storey has come last.
func (b *Book) Level(storey string) int {
	i := slices.IndexFunc(b.R.Building.Storeys, func(s finding.Storey) bool { return s.Name == storey })
	if i < 0 {
		return len(b.R.Building.Storeys)
	}
	return i
}

// Void finds the void of a space id: "V1" and "V1.2" are both in V1.
func (b *Book) Void(id string) *finding.Space {
	void, _, _ := strings.Cut(id, ".")
	for i := range b.R.Spaces {
		if b.R.Spaces[i].ID == void {
			return &b.R.Spaces[i]
		}
	}
	return nil
}

// Kind is the word for a kind of void.
func Kind(kind string) string {
	switch kind {
	case "floor":
		return "floor void"
	case "wall":
		return "wall cavity"
	case "stair":
		return "stair void"
	case "crawl":
		return "crawl space"
	}
	return kind
}

// Framing is the word for the framing of a void.
func Framing(f string) string {
	switch f {
	case "open-web-truss":
		return "open-web trusses"
	case "solid-joist":
		return "solid joists"
	case "i-joist":
		return "I-joists"
	case "rafter":
		return "rafters"
	case "stud":
		return "studs"
	case "none":
		return "no framing"
	}
	return "framing not known"
}

// Count is a number with its noun: "1 place", "3 places".
func Count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	if s, ok := strings.CutSuffix(noun, "y"); ok && !strings.HasSuffix(s, "a") && !strings.HasSuffix(s, "e") {
		noun = s + "ie"
	}
	if strings.HasSuffix(noun, "ss") {
		noun += "e"
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// First begins a text with a capital letter.
func First(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 || r == utf8.RuneError {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// Join joins what is not empty.
func Join(sep string, parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), sep)
}

// List joins words as a sentence does: "a, b and c".
func List(parts []string) string {
	if len(parts) < 2 {
		return strings.Join(parts, "")
	}
	return strings.Join(parts[:len(parts)-1], ", ") + " and " + parts[len(parts)-1]
}

// Runs writes rising numbers with their runs joined: "1, 3-5, 8".
func Runs(list []int) string {
	var out []string
	for i := 0; i < len(list); {
		j := i
		for j+1 < len(list) && list[j+1] == list[j]+1 {
			j++
		}
		if j > i+1 {
			out = append(out, fmt.Sprintf("%d-%d", list[i], list[j]))
			i = j + 1
			continue
		}
		out = append(out, fmt.Sprint(list[i]))
		i++
	}
	return strings.Join(out, ", ")
}

// Sentence ends a text with a full stop.
func Sentence(s string) string {
	if s == "" || strings.HasSuffix(s, ".") || strings.HasSuffix(s, "?") || strings.HasSuffix(s, "!") {
		return s
	}
	return s + "."
}

// Outcome is the word for an outcome, as a heading has it.
func Outcome(o finding.Outcome) string {
	switch o {
	case finding.Deficient:
		return "Deficient"
	case finding.NotShown:
		return "Not shown"
	case finding.Meets:
		return "Meets"
	case finding.Exempt:
		return "Exempt"
	}
	return "Note"
}

// Open reports whether an outcome asks for an answer.
func Open(o finding.Outcome) bool { return o == finding.Deficient || o == finding.NotShown }

// Decision says what an examiner decided on an item, who, when and why.
func Decision(d *finding.Disposition) string {
	word := map[finding.Decision]string{finding.Accepted: "accepted", finding.Waived: "waived", finding.VerifyInField: "to be verified in the field"}[d.Decision]
	if word == "" {
		word = string(d.Decision)
	}
	if d.Section != "" {
		word += " under " + d.Section
	}
	round := ""
	if d.Round > 0 {
		round = fmt.Sprintf("round %d", d.Round)
	}
	if by := Join(", ", d.By, round); by != "" {
		word += " (" + by + ")"
	}
	return Join(": ", word, Join("; ", d.Reason, d.Note))
}
