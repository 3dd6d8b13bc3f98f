package whatif

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
)

// direction is how a limit is passed.
type direction int

const (
	notOver  direction = iota // deficient above the limit: areas, runs, counts, ratios
	open                      // deficient from the limit on: clear gaps
	notUnder                  // deficient below it: distances apart
)

func directionOf(param string) direction {
	switch {
	case param == "max-gap" || param == "min-opening":
		return open
	case strings.HasPrefix(param, "min-"):
		return notUnder
	}
	return notOver
}

// met reports whether a measured value keeps a limit.
func (d direction) met(v, limit float64) bool {
	const tol = 1e-6
	switch d {
	case open:
		return v < limit*(1-tol)
	case notUnder:
		return v >= limit*(1-tol)
	}
	return v <= limit*(1+tol)
}

// Past judges the items of a findings file under both adoptions by what was measured. What
// the findings do not hold is told in Untold.
func (c *Comparison) Past(name string, r *finding.Report, a, b *adoption.Adoption, catalogue []*checks.Check) Model {
	p := past{r: r, spaces: map[string]*finding.Space{}, limits: map[string]map[string]string{}}
	for i := range r.Spaces {
		s := &r.Spaces[i]
		p.spaces[s.ID] = s
		for _, x := range s.Compartments {
			p.spaces[x.ID] = s
		}
	}
	for _, x := range r.Checks {
		p.limits[x.Name] = x.Limits
	}
	byName := map[string]*checks.Check{}
	for _, x := range catalogue {
		byName[x.Name] = x
	}
	m := Model{Name: name, Source: "findings"}
	for i := range r.Items {
		it := &r.Items[i]
		check := byName[it.Check]
		if check == nil {
			continue
		}
		m.Items++
		x, y := p.under(it, check, a), p.under(it, check, b)
		c.note(&m, x, y)
	}
	m.Untold = p.untold(a, b, catalogue)
	return m
}

// past is a findings file while it is judged.
type past struct {
	r      *finding.Report
	spaces map[string]*finding.Space    // by the ids of spaces and compartments
	limits map[string]map[string]string // of each check, as in force then
}

// under is an item as it would be under an adoption; nil where its check is off.
func (p *past) under(it *finding.Item, check *checks.Check, a *adoption.Adoption) *finding.Item {
	rule := a.Rule(check.Name)
	if !rule.On {
		return nil
	}
	out := *it
	if it.Outcome == finding.Exempt { // what it would be without the exception
		out.Outcome = finding.Deficient
		if it.Measured == nil {
			out.Outcome = finding.NotShown
		}
	}
	out.Exemption = ""
	subject := a.Subject(p.facts(), p.units())
	subject.Framing, subject.Spaces = p.framing(it), p.kinds(it)
	limits := rule.Limits
	if holds, _, _ := rule.Amended(subject); holds != nil {
		limits = holds.Limits
	}
	if param, ok := p.param(it, check); ok {
		limit, on := limits.Get(param.Name)
		kept := !on || directionOf(param.Name).met(it.Measured.Value, limit)
		switch {
		case kept && out.Outcome == finding.Deficient:
			out.Outcome = finding.Meets
		case !kept && out.Outcome == finding.Meets:
			out.Outcome = finding.Deficient
		}
	}
	if out.Outcome == finding.Deficient || out.Outcome == finding.NotShown {
		for _, e := range rule.Exempt {
			if answer, _ := e.Decide(subject); answer == adoption.Yes {
				out.Outcome, out.Exemption = finding.Exempt, e.Because
				break
			}
		}
	}
	return &out
}

// param finds which parameter of its check an item was held against: the one whose value then
// was the item's limit.
func (p *past) param(it *finding.Item, check *checks.Check) (adoption.Param, bool) {
	if it.Measured == nil || it.Limit == nil || it.Measured.Unit != it.Limit.Unit {
		return adoption.Param{}, false
	}
	for _, x := range check.Params {
		// With amendments a limit reads "1000 ft2; 500 ft2 where framing i-joist".
		for _, text := range strings.Split(p.limits[check.Name][x.Name], "; ") {
			text, _, _ = strings.Cut(text, " where ")
			v, ok := value(x, text)
			if ok && math.Abs(v-it.Limit.Value) <= 1e-6*math.Max(math.Abs(v), 1e-9) && unitOf[x.Kind] == it.Limit.Unit {
				return x, true
			}
		}
	}
	return adoption.Param{}, false
}

var (
	unitOf = map[adoption.ParamKind]string{adoption.Length: "m", adoption.Area: "m2", adoption.Ratio: "ratio", adoption.Count: "count"}
	dimOf  = map[adoption.ParamKind]measure.Dim{adoption.Length: measure.Length, adoption.Area: measure.Area, adoption.Ratio: measure.Ratio, adoption.Count: measure.Count}
)

func value(p adoption.Param, text string) (float64, bool) {
	dim, ok := dimOf[p.Kind]
	if !ok || text == "" || text == "off" {
		return 0, false
	}
	v, err := measure.Parse(dim, text)
	return v, err == nil
}

func (p *past) facts() adoption.Facts {
	s := p.r.Submittal
	if s == nil {
		return adoption.Facts{}
	}
	return adoption.Facts{Occupancy: s.Occupancy, Construction: s.Construction, Sprinklers: s.Sprinklers, SprinklersInVoids: s.SprinklersInVoids, Storeys: s.Storeys}
}

// units counts the dwelling units that the model names.
func (p *past) units() int {
	for _, u := range p.r.Building.Units {
		if u.Assumed {
			return 0
		}
	}
	return len(p.r.Building.Units)
}

func (p *past) framing(it *finding.Item) []string {
	var out []string
	for _, id := range it.Spaces {
		if s := p.spaces[id]; s != nil && s.Framing != "" && s.Framing != "stud" {
			out = append(out, s.Framing)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// kinds lists the kinds of the spaces that an item is about.
func (p *past) kinds(it *finding.Item) []string {
	var out []string
	for _, id := range it.Spaces {
		if s := p.spaces[id]; s != nil {
			out = append(out, s.Kind)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// untold names what the findings do not hold: checks that did not run, and gaps narrower than
// the limit of then.
func (p *past) untold(a, b *adoption.Adoption, catalogue []*checks.Check) []string {
	on := map[string]bool{}
	for _, x := range p.r.Checks {
		on[x.Name] = x.On
	}
	var out []string
	for _, check := range catalogue {
		x, y := a.Rule(check.Name), b.Rule(check.Name)
		if !on[check.Name] && (x.On || y.On) && (x.On != y.On || len(check.Params) > 0) {
			out = append(out, fmt.Sprintf("%s did not run then", check.Name))
			continue
		}
		for _, prm := range check.Params {
			if (prm.Kind == adoption.Words || prm.Kind == adoption.Switch) && x.Limits.Text[prm.Name] != y.Limits.Text[prm.Name] && x.On && y.On {
				out = append(out, fmt.Sprintf("%s %s differ: what that changes needs the models", check.Name, prm.Name))
				continue
			}
			text, _, _ := strings.Cut(p.limits[check.Name][prm.Name], "; ")
			then, ok := value(prm, text)
			for _, r := range []*adoption.Rule{x, y} {
				now, isOn := r.Limits.Get(prm.Name)
				if !r.On || !isOn {
					continue
				}
				narrower := directionOf(prm.Name) == open && ok && now < then*(1-1e-9)
				if narrower || !ok && len(unitOf[prm.Kind]) > 0 {
					out = append(out, fmt.Sprintf("%s %s was %s then: what %s would find needs the models", check.Name, prm.Name, p.limits[check.Name][prm.Name], r.Limits.Text[prm.Name]))
					break
				}
			}
		}
	}
	return slices.Compact(out)
}
