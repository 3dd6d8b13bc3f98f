// Package table prints findings for a terminal: what was read, the comments ranked by
// consequence, one line of tally, the cautions. It fits 100 columns, works without colour,
// and never cuts a text; items that meet are counted, not listed.
package table

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
)

const (
	width       = 100
	numberWidth = 5
	markWidth   = 11
	bodyWidth   = width - numberWidth - markWidth - 4 // blanks and one rule
	// mostPlaces is how many places of one comment are listed; CSV and JSON have all.
	mostPlaces = 6
)

// Write prints the findings.
func Write(w io.Writer, r *finding.Report) error {
	p := printer{r: r, sys: measure.System(r.Run.Units), items: map[string]*finding.Item{}, titles: map[string]string{}}
	for i := range r.Items {
		p.items[r.Items[i].Key] = &r.Items[i]
	}
	for _, c := range r.Checks {
		p.titles[c.Name] = c.Title
	}
	p.head()
	p.digest()
	if err := p.comments(); err != nil {
		return err
	}
	p.tally()
	p.tail()
	_, err := w.Write(p.out.Bytes())
	return err
}

// Head prints what was read and what was recognised in it, the first lines of the report.
func Head(w io.Writer, r *finding.Report) error {
	p := printer{r: r, sys: measure.System(r.Run.Units)}
	p.head()
	_, err := w.Write(p.out.Bytes())
	return err
}

type printer struct {
	r      *finding.Report
	sys    measure.System
	items  map[string]*finding.Item
	titles map[string]string
	out    bytes.Buffer
}

// line prints words wrapped to the page, continued lines indented.
func (p *printer) line(first, indent, s string) {
	for _, l := range hanging(first, finding.Clean(s), indent, width) {
		p.out.WriteString(strings.TrimRight(l, " "))
		p.out.WriteByte('\n')
	}
}

// pad makes a label of a fixed width.
func pad(s string) string { return fmt.Sprintf("%-11s", s) }

func (p *printer) field(label, s string) {
	if s != "" {
		p.line(pad(label), pad(""), s)
	}
}

func (p *printer) head() {
	r := p.r
	if r.Unjudged != "" {
		p.line(pad("NOT JUDGED"), pad(""), r.Unjudged)
		p.out.WriteByte('\n')
	}
	var files []string
	for _, m := range r.Models {
		files = append(files, fmt.Sprintf("%s (%s)", m.File, strings.Trim(m.Schema+", "+m.Discipline, ", ")))
	}
	p.field("Models", strings.Join(files, ", "))
	if s := r.Submittal; s != nil {
		var parts []string
		for _, f := range [][2]string{{"", s.Project}, {"permit ", s.Permit}, {"occupancy ", s.Occupancy}, {"construction ", s.Construction}, {"sprinklers ", s.Sprinklers}} {
			if f[1] != "" {
				parts = append(parts, f[0]+f[1])
			}
		}
		parts = append(parts, fmt.Sprintf("round %d", r.Run.Round))
		p.field("Submittal", strings.Join(parts, ", "))
	}
	if r.Adoption.Name != "" {
		p.field("Adoption", strings.Join(nonEmpty(r.Adoption.Name, r.Adoption.Jurisdiction, r.Adoption.Edition), ", "))
	} else {
		p.field("Adoption", "none given: model-code default limits, sections are placeholders")
	}
	p.field("Building", p.building())
	p.field("Concealed", p.concealed())
	p.out.WriteByte('\n')
}

func nonEmpty(list ...string) []string {
	var out []string
	for _, s := range list {
		if s != "" {
			out = append(out, s)
		}
	}
	return out
}

func (p *printer) building() string {
	b := p.r.Building
	var parts []string
	parts = append(parts, count(len(b.Storeys), "storey"), count(len(b.Units), "dwelling unit"))
	kinds := map[string]int{}
	for _, s := range b.Separations {
		kinds[s.Kind]++
	}
	sep := count(len(b.Separations), "unit separation")
	if len(kinds) == 1 {
		sep += " (" + b.Separations[0].Kind + ")"
	}
	parts = append(parts, sep)
	if t := p.r.Trusses; t.Floor+t.Roof > 0 {
		parts = append(parts, count(t.Floor, "floor truss"), count(t.Roof, "roof truss"))
	}
	return strings.Join(parts, ", ")
}

// kindOrder is the order in which kinds of void are told.
var kindOrder = []string{"floor", "attic", "soffit", "crawl", "stair", "chase", "wall"}

// concealed sums the voids by kind.
func (p *printer) concealed() string {
	number, parts := map[string]int{}, map[string]int{}
	area := map[string]float64{}
	for _, s := range p.r.Spaces {
		number[s.Kind]++
		parts[s.Kind] += len(s.Compartments)
		area[s.Kind] += s.AreaM2
	}
	var out []string
	for _, k := range kindOrder {
		if number[k] == 0 {
			continue
		}
		s := count(number[k], k+" void")
		if k == "attic" {
			s = count(number[k], k)
		}
		if parts[k] > number[k] {
			s += fmt.Sprintf(" in %d compartments", parts[k])
		}
		if k != "wall" {
			s += " of " + measure.FormatArea(area[k], p.sys)
		}
		out = append(out, s)
	}
	if len(out) == 0 {
		return "none could be worked out from the model"
	}
	return strings.Join(out, "; ")
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	if strings.HasSuffix(what, "s") {
		what += "e"
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// comments prints the table.
func (p *printer) comments() error {
	if len(p.r.Comments) == 0 {
		p.line("", "", "No comments.")
		p.out.WriteByte('\n')
		return nil
	}
	g := Grid{Header: []string{"no.", "outcome", "comment"}, Widths: []int{numberWidth, markWidth, bodyWidth + 2}, Lines: true}
	for i := range p.r.Comments {
		c := &p.r.Comments[i]
		g.Rows = append(g.Rows, []string{fmt.Sprint(c.Number), p.mark(c), strings.Join(p.body(c), "\n")})
	}
	if err := g.Write(&p.out); err != nil {
		return err
	}
	p.out.WriteByte('\n')
	return nil
}

// mark is the outcome and, when not from geometry, the weakest evidence.
func (p *printer) mark(c *finding.Comment) string {
	s := word(c.Outcome)
	for _, grade := range []finding.Evidence{finding.Assumed, finding.Declared} {
		for _, k := range c.Items {
			if it := p.items[k]; it != nil && it.Evidence == grade {
				return s + "\n" + string(grade)
			}
		}
	}
	return s
}

// body is the comment's cell: what, section and consequence, the text, the places.
func (p *printer) body(c *finding.Comment) []string {
	first := p.items[c.Items[0]]
	if c.Outcome == finding.Note || c.Outcome == finding.Exempt {
		return p.short(c, first)
	}
	var lines []string
	add := func(lead, indent, s string) {
		lines = append(lines, hanging(lead, finding.Clean(s), indent, bodyWidth)...)
	}
	head := []string{p.titles[c.Check]}
	if j := p.joins(c); j != "" {
		head = append(head, j)
	}
	add("", "", strings.Join(head, "; "))
	add("", "", c.Section)
	add("", "", c.Text)
	if first != nil && first.Undecided != "" {
		add("", "", strings.ToUpper(first.Undecided[:1])+first.Undecided[1:]+".")
	}
	if k := p.causes(c); len(k) > 0 {
		add("", "", "Follows from "+commentList(k)+".")
	}
	if s := p.proposed(c); s != "" {
		add("", "", "Proposed: "+s)
	}
	alike := p.alike(c)
	if alike != "" {
		add("", "", "Measured "+alike+" at each place.")
	}
	places, times := p.places(c, alike == "")
	for i, s := range places {
		if i == mostPlaces && len(places) > mostPlaces+1 {
			add("  ", "    ", fmt.Sprintf("and %d more places, listed in the CSV and JSON outputs", len(places)-i))
			break
		}
		if n := times[s]; n > 1 {
			s += fmt.Sprintf(" (%d times)", n)
		}
		add("  - ", "    ", s)
	}
	return lines
}

// places are the places of a comment, equal ones once with how often they come.
func (p *printer) places(c *finding.Comment, sizes bool) ([]string, map[string]int) {
	var out []string
	times := map[string]int{}
	for _, k := range c.Items {
		it := p.items[k]
		if it == nil {
			continue
		}
		s := it.Where()
		if size := p.size(it); size != "" && sizes {
			s += " [" + size + "]"
		}
		if times[s]++; times[s] == 1 {
			out = append(out, s)
		}
	}
	return out, times
}

// alike is what was measured when several places measure the same, "" otherwise.
func (p *printer) alike(c *finding.Comment) string {
	var all string
	for i, k := range c.Items {
		it := p.items[k]
		if it == nil {
			return ""
		}
		if s := p.size(it); i == 0 {
			all = s
		} else if s != all {
			return ""
		}
	}
	if len(c.Items) < 2 {
		return ""
	}
	return all
}

// short is the cell of notes and exemptions: each text once.
func (p *printer) short(c *finding.Comment, first *finding.Item) []string {
	var lines []string
	add := func(lead, indent, s string) {
		lines = append(lines, hanging(lead, finding.Clean(s), indent, bodyWidth)...)
	}
	if c.Outcome == finding.Exempt && first != nil {
		s := p.titles[c.Check] + ": " + first.Exemption
		if n := len(c.Items); n > 1 {
			s += fmt.Sprintf(" (%d places)", n)
		}
		add("", "", s)
		return lines
	}
	said := map[string]bool{}
	var texts []string
	for _, k := range c.Items {
		if it := p.items[k]; it != nil && !said[it.Message] {
			said[it.Message] = true
			s := it.Message
			if it.Storey != "" {
				s = it.Where() + ": " + s
			}
			texts = append(texts, s)
		}
	}
	if lead := shared(texts); lead != "" {
		add("", "", lead)
		for _, s := range texts {
			add("  - ", "    ", strings.TrimSuffix(s[len(lead)+1:], "."))
		}
		return lines
	}
	for i, s := range texts {
		if i == mostPlaces && len(texts) > mostPlaces+1 {
			add("", "", fmt.Sprintf("and %d more notes of this kind, in the CSV and JSON outputs", len(texts)-i))
			break
		}
		add("", "", s)
	}
	if n := len(c.Items); len(texts) == 1 && n > 1 {
		add("", "", fmt.Sprintf("(%d places)", n))
	}
	return lines
}

// worst is the gravest consequence among a comment's items.
func (p *printer) worst(c *finding.Comment) finding.Joins {
	var worst finding.Joins
	for _, k := range c.Items {
		if it := p.items[k]; it != nil && it.Joins != nil {
			if j := *it.Joins; j.Units > worst.Units || j.Units == worst.Units && j.AreaM2 > worst.AreaM2 {
				worst = j
			}
		}
	}
	return worst
}

// joins words that consequence.
func (p *printer) joins(c *finding.Comment) string {
	worst := p.worst(c)
	switch {
	case worst.Units > 1:
		return fmt.Sprintf("joins %d dwelling units, %s", worst.Units, measure.FormatArea(worst.AreaM2, p.sys))
	case worst.AreaM2 > 0:
		return "opens into " + measure.FormatArea(worst.AreaM2, p.sys)
	}
	return ""
}

// size is what was measured at a place, with its limit.
func (p *printer) size(it *finding.Item) string {
	switch {
	case it.Measured == nil:
		return ""
	case it.Limit == nil || it.Limit.Unit != it.Measured.Unit:
		return measure.Format(it.Measured.Value, it.Measured.Unit, p.sys)
	}
	v, l := measure.FormatPair(it.Measured.Value, it.Limit.Value, it.Measured.Unit, p.sys)
	return fmt.Sprintf("%s, limit %s", v, l)
}
