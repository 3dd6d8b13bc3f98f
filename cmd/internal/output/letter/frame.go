package letter

import (
	"cmp"
	"fmt"
	"path"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/paper"
	"voidcheck/cmd/internal/output/words"
)

// submittal is what the submittal file says, empty without one.
func (l *letter) submittal() *finding.Submittal {
	if s := l.r.Submittal; s != nil {
		return s
	}
	return &finding.Submittal{}
}

// lines are the lines of a text.
func lines(s string) []string {
	var out []string
	for l := range strings.Lines(s) {
		if l = strings.TrimSpace(l); l != "" {
			out = append(out, l)
		}
	}
	return out
}

// head is what stands over the text: who writes, to whom, of what, when.
func (l *letter) head(title string) {
	s := l.submittal()
	for i, t := range lines(cmp.Or(s.Department, l.r.Adoption.Jurisdiction)) {
		l.add(paper.Para{Text: t, Bold: i == 0, Small: i > 0})
	}
	if s.Contact != "" {
		l.add(paper.Para{Text: s.Contact, Small: true})
	}
	l.add(paper.Heading{Level: 1, Text: title})
	var f paper.Fields
	put := func(name, value string) {
		if value != "" {
			f = append(f, [2]string{name, value})
		}
	}
	put("Date", l.b.Day())
	put("To", strings.Join(lines(cmp.Or(s.Applicant, "The applicant")), ", "))
	put("Project", words.Join(", ", l.b.Project(), s.Address))
	put("Permit", s.Permit)
	put("Building", words.Join("; ", prefixed("occupancy ", s.Occupancy), prefixed("construction ", s.Construction), prefixed("sprinklers ", s.Sprinklers),
		counted(s.Storeys, "storey"), counted(len(l.r.Building.Units), "dwelling unit")))
	put("Reviewed under", words.First(l.b.Adoption()))
	l.add(f)
}

func prefixed(word, s string) string {
	if s == "" {
		return ""
	}
	return word + s
}

func counted(n int, noun string) string {
	if n == 0 {
		return ""
	}
	return words.Count(n, noun)
}

// opening is the first paragraph: what was reviewed and what is asked.
func (l *letter) opening() {
	open, joined, follow := 0, 0, 0
	for i := range l.r.Comments {
		c := &l.r.Comments[i]
		if !l.asks(c) {
			continue
		}
		open++
		items := l.unsettled(c)
		if len(l.causeNumbers(c, items)) > 0 {
			follow++
			continue
		}
		for _, it := range items {
			if it.Joins != nil && it.Joins.Units > 1 && it.Outcome == finding.Deficient {
				joined++
				break
			}
		}
	}
	l.add(paper.Para{Text: "Dear applicant,"})
	if l.r.Unjudged != "" {
		l.add(paper.Para{Bold: true, Text: l.r.Unjudged})
	}
	text := "The models named at the end of this letter were reviewed for concealed combustible spaces: draftstops, fireblocks, the separations between dwelling units, and the openings round services. "
	switch {
	case len(l.r.Checks) > 0 && len(l.r.Spaces) == 0:
		text += "No concealed space could be worked out from them, so that only their content could be looked at. "
	case open == 0:
		text += "Nothing in them needs an answer. "
	}
	if open > 0 {
		text += needs(open) + " an answer"
		if follow > 0 {
			text += fmt.Sprintf("; %d of them only %s from others", follow, map[bool]string{true: "follows", false: "follow"}[follow == 1])
		}
		text += ". "
		if joined > 0 {
			text += fmt.Sprintf("%s where the concealed spaces of dwelling units are open to each other. ", map[bool]string{true: "1 comment tells", false: fmt.Sprintf("%d comments tell", joined)}[joined == 1])
		}
		text += fmt.Sprintf("Please answer each by its number, say on which sheet or in which model the change is shown, and send the answers with the resubmittal for round %d.", l.round()+1)
	}
	l.add(paper.Para{Text: text})
}

func needs(n int) string {
	if n == 1 {
		return "1 comment needs"
	}
	return fmt.Sprintf("%d comments need", n)
}

// files names the models, so that nobody answers about another file.
func (l *letter) files() {
	if len(l.r.Models) == 0 {
		return
	}
	t := &paper.Table{Head: []string{"Model file", "Discipline", "Schema", "SHA-256, first 16 digits"}, Widths: []float64{80, 32, 24, 42}}
	for _, m := range l.r.Models {
		t.Rows = append(t.Rows, paper.Row{Cells: []paper.Cell{
			paper.Text(path.Base(strings.ReplaceAll(m.File, "\\", "/"))), paper.Text(m.Discipline), paper.Text(m.Schema), paper.Text(m.SHA256[:min(16, len(m.SHA256))]),
		}})
	}
	l.add(paper.Group{paper.Heading{Level: 2, Text: "Models reviewed"}, t})
}

// close ends the letter with the place to sign.
func (l *letter) close() {
	s := l.submittal()
	l.add(paper.Group{paper.Para{Text: "Respectfully,"}, paper.Sign{words.Join(", ", cmp.Or(s.Examiner, "Plans examiner"), strings.Join(firstOf(lines(s.Department)), "")), "Date"}})
}

func firstOf(list []string) []string { return list[:min(1, len(list))] }
