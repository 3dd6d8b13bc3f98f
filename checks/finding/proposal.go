package finding

import (
	"fmt"
	"strings"

	"voidcheck/checks/measure"
)

// Together is what several proposals of one comment come to, in one sentence: bays and
// blocks are added up, of draftstops and seals the first stands for all. It is "" where the
// remedy of the items says as much.
func Together(ps []*Proposal, sys measure.System) string {
	if len(ps) == 0 {
		return ""
	}
	first := *ps[0]
	switch first.Kind {
	case "bays", "blocks":
		first.Stops = nil
		for _, p := range ps {
			if p.Kind == first.Kind {
				first.Stops = append(first.Stops, p.Stops...)
			}
		}
		if first.Kind == "bays" && len(first.Stops) < 2 {
			return ""
		}
		return first.Words(sys)
	case "draftstops":
		if len(ps) > 1 {
			return fmt.Sprintf("The first of %d places: %s%s", len(ps), strings.ToLower(first.Text[:1]), first.Text[1:])
		}
		return first.Text
	}
	return ""
}

// Words puts a proposal in one sentence.
func (p *Proposal) Words(sys measure.System) string {
	switch p.Kind {
	case "draftstops":
		return draftstops(p, sys)
	case "bays":
		return "Block " + count(len(p.Stops), "bay") + ", " + sizes(p.Stops, sys) + passing(p.Stops) + "."
	case "blocks":
		var names []string
		for i := range p.Stops {
			if n := p.Stops[i].AttachName; n != "" {
				names = append(names, n)
			}
		}
		s := "Put " + count(len(p.Stops), "block") + " across the cavity, " + sizes(p.Stops, sys)
		if len(names) == len(p.Stops) {
			s += ", at " + short(names)
		}
		return s + "."
	case "seals":
		s := &p.Stops[0]
		if s.RingM <= 0 {
			return fmt.Sprintf("Seal round the service, %s wide.", measure.FormatLength(s.WidthM, sys))
		}
		return fmt.Sprintf("Seal the ring of %s round the service, %s wide, in its hole of %s.",
			measure.FormatLength(s.RingM, sys), measure.FormatLength(s.WidthM, sys), measure.FormatLength(s.LengthM, sys))
	}
	return ""
}

func draftstops(p *Proposal, sys measure.System) string {
	var each, areas []string
	across := false
	for i := range p.Stops {
		s := &p.Stops[i]
		one := measure.FormatLength(s.LengthM, sys)
		switch {
		case s.Separation != "":
			one += " above " + s.AttachName
		case s.Across:
			across = true
			one += " across the framing"
		case s.AttachName != "":
			one += " on the face of " + s.AttachName
		default:
			one += " on the nearest member"
		}
		each = append(each, one)
	}
	for _, a := range p.PartsM2 {
		areas = append(areas, measure.FormatArea(a, sys))
	}
	t := "Place " + count(len(p.Stops), "draftstop") + ": " + short(each)
	if len(areas) > 0 {
		t += "; parts of " + short(areas)
	}
	t += passing(p.Stops)
	if across {
		t += "; cut round every chord and web, which needs the building official's approval"
	}
	return t + "."
}

// passing tells how many services go through stops.
func passing(stops []ProposedStop) string {
	n := 0
	for i := range stops {
		n += len(stops[i].Services)
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("; %s to be sealed where %s", count(n, "service"), map[bool]string{true: "it passes", false: "they pass"}[n == 1])
}

// sizes lists the clear sizes of stops, equal ones with their number.
func sizes(stops []ProposedStop, sys measure.System) string {
	n := map[string]int{}
	var order []string
	for i := range stops {
		s := measure.FormatLength(stops[i].LengthM, sys) + " x " + measure.FormatLength(stops[i].HeightM, sys)
		if n[s] == 0 {
			order = append(order, s)
		}
		n[s]++
	}
	if len(order) == 1 {
		if len(stops) > 1 {
			return order[0] + " each"
		}
		return order[0]
	}
	var out []string
	for _, s := range order {
		out = append(out, fmt.Sprintf("%d of %s", n[s], s))
	}
	return short(out)
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// mostNamed is how many things a sentence names.
const mostNamed = 4

func short(s []string) string {
	if len(s) > mostNamed {
		return strings.Join(s[:mostNamed], ", ") + fmt.Sprintf(" and %d more", len(s)-mostNamed)
	}
	if len(s) < 2 {
		return strings.Join(s, "")
	}
	return strings.Join(s[:len(s)-1], ", ") + " and " + s[len(s)-1]
}
