package table

import (
	"fmt"
	"slices"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/words"
)

// leastDigest is how many comments that need an answer are worth a list before the comments.
const leastDigest = 4

// digest lists the comments that need an answer, a line each, gravest first, so that the
// first screen tells what matters; what only follows from others is one line.
func (p *printer) digest() {
	var open, follow []*finding.Comment
	join := 0
	for i := range p.r.Comments {
		c := &p.r.Comments[i]
		switch {
		case c.Outcome != finding.Deficient && c.Outcome != finding.NotShown:
		case p.causes(c) != nil:
			follow = append(follow, c)
		default:
			open = append(open, c)
			if c.Outcome == finding.Deficient && p.worst(c).Units > 1 {
				join++
			}
		}
	}
	if len(open)+len(follow) < leastDigest {
		return
	}
	s := fmt.Sprintf("%d comments need an answer", len(open)+len(follow))
	if join > 0 {
		s += fmt.Sprintf("; %d of them %s open between dwelling units", join, map[bool]string{true: "tells what is", false: "tell what is"}[join == 1])
	}
	p.field("In short", s)
	for _, c := range open {
		text := p.titles[c.Check]
		it := p.items[c.Items[0]]
		switch {
		case len(c.Items) > 1:
			text += ", " + count(len(c.Items), "place")
		case it != nil && (it.Storey != "" || c.Check == "model-content") && it.Place != "":
			text += ": " + strings.TrimPrefix(finding.StoreyWord(it.Storey)+", ", ", ") + it.Place
		}
		if w := p.worst(c); w.Units > 1 {
			text += fmt.Sprintf("; joins %d units", w.Units)
		}
		p.line(fmt.Sprintf(" %-4d %-11s ", c.Number, word(c.Outcome)), strings.Repeat(" ", 18), text)
	}
	var numbers, causes []int
	for _, c := range follow {
		numbers = append(numbers, c.Number)
		for _, n := range p.causes(c) {
			if !slices.Contains(causes, n) && !slices.ContainsFunc(follow, func(f *finding.Comment) bool { return f.Number == n }) {
				causes = append(causes, n)
			}
		}
	}
	if len(numbers) > 0 && len(causes) > 0 {
		slices.Sort(causes)
		p.line(fmt.Sprintf(" %-17s", words.Runs(numbers)), strings.Repeat(" ", 18), "only follow"+map[bool]string{true: "s", false: ""}[len(numbers) == 1]+" from "+commentList(causes))
	}
	p.out.WriteByte('\n')
}

// word is an outcome as the table marks it.
func word(o finding.Outcome) string {
	if o == finding.Deficient {
		return "DEFICIENT"
	}
	return string(o)
}

// commentList is "comment 1", "comments 1 and 2", "comments 1, 2 and 4".
func commentList(numbers []int) string {
	var s []string
	for _, n := range numbers {
		s = append(s, fmt.Sprint(n))
	}
	if len(s) == 1 {
		return "comment " + s[0]
	}
	return "comments " + strings.Join(s[:len(s)-1], ", ") + " and " + s[len(s)-1]
}

// shared is the beginning, up to a colon, that all of several texts have.
func shared(texts []string) string {
	if len(texts) < 3 {
		return ""
	}
	lead, _, ok := strings.Cut(texts[0], ": ")
	if !ok {
		return ""
	}
	for _, s := range texts {
		if !strings.HasPrefix(s, lead+": ") {
			return ""
		}
	}
	return lead + ":"
}

// causes are the numbers of the comments from which this one follows.
func (p *printer) causes(c *finding.Comment) []int {
	var numbers []int
	for _, k := range c.Items {
		it := p.items[k]
		if it == nil {
			continue
		}
		for _, cause := range it.ConsequenceOf {
			if o := p.items[cause]; o != nil && o.Comment > 0 && o.Comment != c.Number && !slices.Contains(numbers, o.Comment) {
				numbers = append(numbers, o.Comment)
			}
		}
	}
	slices.Sort(numbers)
	return numbers
}
