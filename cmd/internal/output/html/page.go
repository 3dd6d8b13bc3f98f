package html

import (
	"cmp"
	"fmt"
	"html/template"
	"slices"
	"strconv"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
)

// page is what the template shows.
type page struct {
	Policy   string
	Style    template.CSS
	Script   template.JS
	Data     *drawings
	Title    string
	Report   *finding.Report
	Facts    [][2]string // title block
	Tally    []tally
	Gravest  string
	Places   int // places that ask for an answer
	Comments []comment
	Notes    []comment
	Met      []metCheck
	Others   []metCheck // notes
	Spaces   []spaceGroup
	Limits   []limitRow
	Units    []finding.Unit
	Levels   []string
	Checks   []finding.Ran
	Drawn    bool
}

// tally counts one outcome.
type tally struct {
	Outcome finding.Outcome
	Word    string
	Means   string
	Count   int
}

// outcomes in the order in which they need an answer, with the word and the meaning shown.
var outcomes = []struct {
	outcome     finding.Outcome
	word, means string
}{
	{finding.Deficient, "Deficient", "the model shows that the requirement is not met"},
	{finding.NotShown, "Not shown", "the model lacks what is needed to tell"},
	{finding.Exempt, "Exempt", "an exception of the adoption file applies"},
	{finding.Note, "Note", "information, no requirement"},
	{finding.Meets, "Meets", "the model shows that the requirement is met"},
}

func outcomeWord(o finding.Outcome) string {
	for _, x := range outcomes {
		if x.outcome == o {
			return x.word
		}
	}
	return string(o)
}

// comment is one reviewer comment with its places.
type comment struct {
	Number       int
	Outcome      finding.Outcome
	Word         string
	Check, Title string
	Lone         bool   // speaks of one thing that has no place
	Subject      string // what that thing is, when the title does not say
	Text, Remedy string
	Section      string
	Placeholder  bool
	Items        []*item
}

// item is one place.
type item struct {
	*finding.Item
	Label    string // "8.2", or "8" when the comment has one place
	Title    string // of the check
	Measured string
	Limit    string
	Joins    string
	Units    string // ids, separated by blanks
	OwnText  string // when it says something else than the comment
	Causes   []link
	Proposed string // where stops would go
	Drawn    bool
}

// link names another item.
type link struct{ Key, Label string }

type metCheck struct {
	Check, Title string
	Items        []*item
}

type limitRow struct {
	Title, Check string
	On           bool
	Limits       [][2]string
	Counts       string
}

func newPage(r *finding.Report) (*page, error) {
	sys := measure.System(r.Run.Units)
	style, err := join(styles)
	if err != nil {
		return nil, err
	}
	code, err := script()
	if err != nil {
		return nil, err
	}
	title := cmp.Or(submittal(r).Project, r.Building.Project, "Building")
	style += foot(footWords(r, title))
	p := &page{
		Policy: fmt.Sprintf("default-src 'none'; script-src %s; style-src %s; img-src data:; base-uri 'none'; form-action 'none'", digest(code), digest(style)),
		Style:  template.CSS(style), Script: template.JS(code), Report: r,
		Title: title, Units: r.Building.Units,
	}
	for _, s := range r.Building.Storeys {
		p.Levels = append(p.Levels, s.Name)
	}
	p.Facts = facts(r)
	counts := map[finding.Outcome]int{}
	for i := range r.Items {
		counts[r.Items[i].Outcome]++
	}
	p.Places = counts[finding.Deficient] + counts[finding.NotShown]
	for _, o := range outcomes {
		p.Tally = append(p.Tally, tally{o.outcome, o.word, o.means, counts[o.outcome]})
	}
	items := newItems(r, sys)
	p.comments(r, items)
	p.Met, p.Others = byCheck(r, items, true), byCheck(r, items, false)
	p.Gravest = gravest(r, sys)
	p.limits(r)
	p.Data = newDrawings(r, items, sys)
	p.Drawn = r.Drawing != nil && len(p.Data.Sheets)+len(p.Data.Sections)+len(p.Data.Views) > 0
	p.Spaces = spaceGroups(r, sys)
	return p, nil
}

// footWords names a report in one short line.
func footWords(r *finding.Report, title string) string {
	out := shortened(title, 60)
	if p := submittal(r).Permit; p != "" {
		out += ", permit " + shortened(p, 30)
	}
	date, _, _ := strings.Cut(r.Run.At, "T")
	return fmt.Sprintf("%s: review of concealed spaces, round %d, %s", out, r.Run.Round, date)
}

func shortened(s string, n int) string {
	if r := []rune(words(s)); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return words(s)
}

func submittal(r *finding.Report) *finding.Submittal {
	if r.Submittal == nil {
		return &finding.Submittal{}
	}
	return r.Submittal
}

// newItems gives every item its label and its texts, by key.
func newItems(r *finding.Report, sys measure.System) map[string]*item {
	titles := map[string]string{}
	for _, c := range r.Checks {
		titles[c.Name] = c.Title
	}
	items := make(map[string]*item, len(r.Items))
	for i := range r.Items {
		f := &r.Items[i]
		it := &item{Item: f, Title: cmp.Or(titles[f.Check], f.Check), Units: strings.Join(f.Units, " ")}
		if m := f.Measured; m != nil {
			it.Measured = measure.Format(m.Value, m.Unit, sys)
			if l := f.Limit; l != nil && l.Unit == m.Unit {
				it.Measured, it.Limit = measure.FormatPair(m.Value, l.Value, m.Unit, sys)
			}
		}
		if l := f.Limit; l != nil && it.Limit == "" {
			it.Limit = measure.Format(l.Value, l.Unit, sys)
		}
		if j := f.Joins; j != nil && j.AreaM2 > 0 {
			it.Joins = measure.FormatArea(j.AreaM2, sys) + " joined"
			if j.Units > 1 {
				it.Joins = fmt.Sprintf("joins %d dwelling units, %s", j.Units, measure.FormatArea(j.AreaM2, sys))
			}
		}
		items[f.Key] = it
	}
	for _, c := range r.Comments {
		for n, key := range c.Items {
			if it := items[key]; it != nil {
				it.Label = strconv.Itoa(c.Number)
				if len(c.Items) > 1 {
					it.Label += "." + strconv.Itoa(n+1)
				}
			}
		}
	}
	for i := range r.Proposals {
		if it := items[r.Proposals[i].For]; it != nil && it.Proposed == "" {
			it.Proposed = proposedWords(&r.Proposals[i], sys)
		}
	}
	for _, it := range items {
		for _, key := range it.ConsequenceOf {
			if cause := items[key]; cause != nil && cause.Label != "" {
				it.Causes = append(it.Causes, link{key, cause.Label})
			}
		}
	}
	return items
}

// proposedWords is a proposal in a sentence; its own when it has one.
func proposedWords(p *finding.Proposal, sys measure.System) string {
	if p.Text != "" {
		return p.Text
	}
	var sizes []string
	for i := range p.Stops {
		sizes = append(sizes, measure.FormatLength(p.Stops[i].LengthM, sys))
	}
	if len(sizes) == 0 {
		return ""
	}
	return fmt.Sprintf("%d %s: %s.", len(sizes), plural(len(sizes), "stop"), strings.Join(sizes, ", "))
}

func (p *page) comments(r *finding.Report, items map[string]*item) {
	for _, c := range r.Comments {
		v := comment{Number: c.Number, Outcome: c.Outcome, Word: outcomeWord(c.Outcome), Check: c.Check, Section: c.Section, Text: c.Text}
		same := true
		for _, key := range c.Items {
			if it := items[key]; it != nil {
				v.Items = append(v.Items, it)
				same = same && it.Message == v.Items[0].Message && it.Remedy == v.Items[0].Remedy
			}
		}
		if len(v.Items) > 0 {
			first := v.Items[0]
			v.Title, v.Placeholder, v.Section = first.Title, first.SectionIsPlaceholder, cmp.Or(v.Section, first.Section)
			// The text of a comment is the first item's message and remedy: shown apart.
			v.Text, v.Remedy = first.Message, first.Remedy
			if !same {
				v.Text = ""
				for _, it := range v.Items {
					it.OwnText = it.Message
					if it.Remedy != first.Remedy {
						v.Remedy = ""
					}
				}
				if v.Remedy == "" {
					for _, it := range v.Items {
						it.OwnText = strings.TrimSpace(it.Message + " " + it.Remedy)
					}
				}
			}
		}
		if len(v.Items) == 1 && v.Items[0].aboutAll() {
			v.Lone = true
			if at := v.Items[0].Where(); !strings.Contains(strings.ToLower(v.Title), strings.ToLower(at)) {
				v.Subject = at
			}
		}
		if c.Outcome == finding.Note {
			p.Notes = append(p.Notes, v)
		} else {
			p.Comments = append(p.Comments, v)
		}
	}
}

// aboutAll reports whether an item speaks of the submittal or the building as a whole: it has
// nothing that a row of its own would show.
func (it *item) aboutAll() bool {
	return it.Storey == "" && len(it.Units) == 0 && len(it.Spaces) == 0 && it.Measured == "" && it.Joins == "" && it.Proposed == "" &&
		it.OwnText == "" && it.Exemption == "" && it.Undecided == "" && len(it.Causes) == 0 && len(it.Elements) != 1
}

// byCheck lists the items that no comment speaks of: those that are met, or the others.
func byCheck(r *finding.Report, items map[string]*item, met bool) (out []metCheck) {
	by := map[string]*metCheck{}
	var order []string
	for i := range r.Items {
		f := &r.Items[i]
		if f.Comment > 0 || met != (f.Outcome == finding.Meets) {
			continue
		}
		it := items[f.Key]
		if by[f.Check] == nil {
			by[f.Check] = &metCheck{Check: f.Check, Title: it.Title}
			order = append(order, f.Check)
		}
		by[f.Check].Items = append(by[f.Check].Items, it)
	}
	for _, name := range order {
		out = append(out, *by[name])
	}
	return out
}

// gravest says in one sentence what joins the most dwelling units or the most area.
func gravest(r *finding.Report, sys measure.System) string {
	var worst *finding.Item
	for i := range r.Items {
		it := &r.Items[i]
		if it.Outcome != finding.Deficient || it.Joins == nil {
			continue
		}
		if worst == nil || it.Joins.Units > worst.Joins.Units ||
			it.Joins.Units == worst.Joins.Units && it.Joins.AreaM2 > worst.Joins.AreaM2+1e-4 {
			worst = it
		}
	}
	if worst == nil || worst.Joins.AreaM2 <= 0 {
		return ""
	}
	if worst.Joins.Units > 1 {
		return fmt.Sprintf("The gravest defect joins the concealed spaces of %d dwelling units over %s.", worst.Joins.Units, measure.FormatArea(worst.Joins.AreaM2, sys))
	}
	return fmt.Sprintf("The gravest defect joins %s of concealed space within one dwelling unit.", measure.FormatArea(worst.Joins.AreaM2, sys))
}

func (p *page) limits(r *finding.Report) {
	p.Checks = r.Checks
	for _, c := range r.Checks {
		row := limitRow{Title: c.Title, Check: c.Name, On: c.On}
		names := make([]string, 0, len(c.Limits))
		for n := range c.Limits {
			names = append(names, n)
		}
		slices.Sort(names)
		for _, n := range names {
			row.Limits = append(row.Limits, [2]string{n, c.Limits[n]})
		}
		var counts []string
		for _, o := range outcomes {
			if n := c.Items[o.outcome]; n > 0 {
				counts = append(counts, fmt.Sprintf("%d %s", n, strings.ToLower(o.word)))
			}
		}
		row.Counts = strings.Join(counts, ", ")
		p.Limits = append(p.Limits, row)
	}
}

// facts are the rows of the title block.
func facts(r *finding.Report) [][2]string {
	s := submittal(r)
	adoption := r.Adoption.Name
	if adoption == "" {
		adoption = "none given: model-code default limits, sections are placeholders"
	} else if r.Adoption.Jurisdiction != "" {
		adoption += ", " + r.Adoption.Jurisdiction
	}
	if r.Adoption.Edition != "" {
		adoption += ", " + r.Adoption.Edition
	}
	date, _, _ := strings.Cut(r.Run.At, "T")
	rows := [][2]string{
		{"Address", s.Address}, {"Permit", s.Permit}, {"Applicant", s.Applicant},
		{"Occupancy", s.Occupancy}, {"Construction", s.Construction}, {"Sprinklers", s.Sprinklers},
		{"Building", fmt.Sprintf("%d %s, %d %s", len(r.Building.Storeys), plural(len(r.Building.Storeys), "level"), len(r.Building.Units), plural(len(r.Building.Units), "dwelling unit"))},
		{"Adoption", adoption},
		{"Review", fmt.Sprintf("round %d, %s, voidcheck %s", r.Run.Round, date, r.Tool.Version)},
	}
	if len(r.Run.Only) > 0 {
		rows = append(rows, [2]string{"Narrowed to", strings.Join(r.Run.Only, ", ")})
	}
	return slices.DeleteFunc(rows, func(f [2]string) bool { return f[1] == "" })
}

func plural(n int, word string) string {
	if n == 1 {
		return word
	}
	return word + "s"
}
