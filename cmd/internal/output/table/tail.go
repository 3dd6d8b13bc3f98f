package table

import (
	"fmt"
	"strings"

	"voidcheck/checks/finding"
)

// tally prints the items by outcome in one line, and what was not judged.
func (p *printer) tally() {
	n := map[finding.Outcome]int{}
	listed := 0 // notes that are no comments
	for i := range p.r.Items {
		n[p.r.Items[i].Outcome]++
		if it := &p.r.Items[i]; it.Outcome == finding.Note && it.Comment == 0 {
			listed++
		}
	}
	var parts []string
	for _, o := range []finding.Outcome{finding.Deficient, finding.NotShown, finding.Meets, finding.Exempt, finding.Note} {
		parts = append(parts, fmt.Sprintf("%d %s", n[o], o))
	}
	if listed > 0 {
		parts[len(parts)-1] += fmt.Sprintf(" (%d on single concealed spaces, which voidcheck survey prints)", listed)
	}
	p.line(pad("Items"), pad(""), strings.Join(parts, ", "))
	var off, silent []string
	for _, c := range p.r.Checks {
		switch {
		case !c.On:
			off = append(off, c.Name)
		case len(c.Items) == 0 && !p.missing(c.Name):
			silent = append(silent, c.Name)
		}
	}
	if only := p.r.Run.Only; len(only) > 0 {
		p.field("Only", strings.Join(only, ", ")+": the other checks were not asked for")
	} else {
		p.field("Off", strings.Join(off, ", "))
	}
	if len(silent) > 0 {
		p.field("Not judged", strings.Join(silent, ", ")+": nothing was found in the model to which they apply")
	}
	for _, m := range p.r.MissingChecks {
		p.field("MISSING", fmt.Sprintf("check %s did not run to its end and nothing here speaks of it: %s", m.Check, m.Why))
	}
	if k := len(p.r.Problems); k > 0 {
		total := 0
		for _, q := range p.r.Problems {
			total += q.Count
		}
		p.field("Input", fmt.Sprintf("%s of %s in the input, named in the JSON output and on standard error", count(total, "problem"), count(k, "kind")))
	}
}

func (p *printer) missing(check string) bool {
	for _, m := range p.r.MissingChecks {
		if m.Check == check {
			return true
		}
	}
	return false
}

// tail prints the cautions.
func (p *printer) tail() {
	p.out.WriteByte('\n')
	for _, c := range p.r.Cautions {
		p.line("* ", "  ", c)
	}
}

// proposed is what the proposals for a comment's items come to.
func (p *printer) proposed(c *finding.Comment) string {
	var ps []*finding.Proposal
	for _, k := range c.Items {
		for i := range p.r.Proposals {
			if p.r.Proposals[i].For == k && p.r.Proposals[i].Text != "" {
				ps = append(ps, &p.r.Proposals[i])
			}
		}
	}
	s := finding.Together(ps, p.sys)
	if s == "" {
		return ""
	}
	return strings.ToLower(s[:1]) + s[1:]
}
