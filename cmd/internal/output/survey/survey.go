// Package survey prints what was recognised in models, with counts and reasons, and the
// table of concealed spaces. It judges nothing.
package survey

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/checks/recognise"
	"voidcheck/cmd/internal/output/table"
)

// numbers tell one thing of a kind from the next, "Stud 17" from "Stud 18"; reasons that
// differ in nothing else are one reason.
var numbers = regexp.MustCompile(`[0-9]+`)

// mostReasons is how many reasons are told for one concept.
const mostReasons = 3

// Write prints the survey of a building.
func Write(w io.Writer, b *recognise.Building, r *finding.Report, sys measure.System) error {
	var out bytes.Buffer
	if err := table.Head(&out, r); err != nil {
		return err
	}
	grids := []table.Grid{storeys(r, sys), units(r, sys), separations(r), concepts(b), spaces(r, sys)}
	for _, g := range grids {
		if len(g.Rows) == 0 {
			continue
		}
		if err := g.Write(&out); err != nil {
			return err
		}
		out.WriteByte('\n')
	}
	for _, n := range b.Notes {
		for _, l := range table.Hanging("* "+finding.Clean(n), "  ") {
			out.WriteString(l + "\n")
		}
	}
	_, err := w.Write(out.Bytes())
	return err
}

func storeys(r *finding.Report, sys measure.System) table.Grid {
	g := table.Grid{Header: []string{"storey", "elevation", "GlobalId"}, Widths: []int{40, 16, 26}}
	for _, s := range r.Building.Storeys {
		g.Rows = append(g.Rows, []string{s.Name, measure.FormatLength(s.ElevationM, sys), s.ID})
	}
	return g
}

func units(r *finding.Report, sys measure.System) table.Grid {
	g := table.Grid{Header: []string{"unit", "name", "floor area", "why"}, Widths: []int{7, 24, 14, 48}}
	for _, u := range r.Building.Units {
		why := u.Reason
		if u.Assumed {
			why += " (assumed)"
		}
		g.Rows = append(g.Rows, []string{u.ID, u.Name, measure.FormatArea(u.AreaM2, sys), why})
	}
	return g
}

func separations(r *finding.Report) table.Grid {
	g := table.Grid{Header: []string{"separation", "units", "kind", "elements", "why"}, Widths: []int{12, 10, 16, 10, 47}}
	for _, s := range r.Building.Separations {
		g.Rows = append(g.Rows, []string{s.ID, strings.Join(s.Units, "/"), s.Kind, fmt.Sprint(len(s.Elements)), s.Reason})
	}
	return g
}

// concepts counts the elements of each concept with the reasons given most often.
func concepts(b *recognise.Building) table.Grid {
	g := table.Grid{Header: []string{"recognised", "count", "why (how often)"}, Widths: []int{16, 8, 71}}
	type tally struct {
		n       int
		reasons map[string]int
	}
	by := map[recognise.Concept]*tally{}
	add := func(c recognise.Concept, r recognise.Reason) {
		t := by[c]
		if t == nil {
			t = &tally{reasons: map[string]int{}}
			by[c] = t
		}
		t.n++
		why := r.Signal
		if r.Value != "" {
			why += " " + numbers.ReplaceAllString(r.Value, "#")
		}
		t.reasons[why]++
	}
	for i := range b.Things {
		add(b.Things[i].Concept, b.Things[i].Reason)
	}
	var order []recognise.Concept
	for c := range by {
		order = append(order, c)
	}
	slices.SortFunc(order, func(a, c recognise.Concept) int {
		// What nothing was made of comes last.
		return cmp.Or(cmp.Compare(last(a), last(c)), cmp.Compare(by[c].n, by[a].n), cmp.Compare(a, c))
	})
	for _, c := range order {
		t := by[c]
		g.Rows = append(g.Rows, []string{string(c), fmt.Sprint(t.n), reasons(t.reasons)})
	}
	return g
}

func last(c recognise.Concept) int {
	if c == recognise.Other || c == "" {
		return 1
	}
	return 0
}

func reasons(counts map[string]int) string {
	var list []string
	for r := range counts {
		list = append(list, r)
	}
	slices.SortFunc(list, func(a, b string) int { return cmp.Or(cmp.Compare(counts[b], counts[a]), cmp.Compare(a, b)) })
	var out []string
	rest := 0
	for i, r := range list {
		if i < mostReasons {
			out = append(out, fmt.Sprintf("%s (%d)", r, counts[r]))
		} else {
			rest += counts[r]
		}
	}
	if rest > 0 {
		out = append(out, fmt.Sprintf("%d other reasons (%d)", len(list)-mostReasons, rest))
	}
	return strings.Join(out, "; ")
}

func spaces(r *finding.Report, sys measure.System) table.Grid {
	g := table.Grid{
		Header: []string{"void", "kind", "storey", "units", "framing", "area", "height", "parts", "largest"},
		Widths: []int{6, 7, 11, 9, 25, 11, 13, 7, 11},
	}
	walls := map[string]*wallSum{}
	var wallOrder []string
	for i := range r.Spaces {
		s := &r.Spaces[i]
		if s.Kind == "wall" {
			k := s.Storey + "\x00" + s.Framing
			if walls[k] == nil {
				walls[k] = &wallSum{storey: s.Storey, framing: s.Framing}
				wallOrder = append(wallOrder, k)
			}
			walls[k].add(s)
			continue
		}
		largest := 0.0
		for _, c := range s.Compartments {
			largest = max(largest, c.AreaM2)
		}
		framing := s.Framing
		if s.SpacingM > 0 {
			framing += " at " + measure.FormatLength(s.SpacingM, sys)
		}
		height := measure.FormatLength(s.HeightMaxM, sys)
		if s.CeilingAssumed {
			height += " (ceiling assumed)"
		}
		g.Rows = append(g.Rows, []string{
			s.ID, s.Kind, s.Storey, strings.Join(s.Units, " "), framing, measure.FormatArea(s.AreaM2, sys), height,
			fmt.Sprint(len(s.Compartments)), measure.FormatArea(largest, sys),
		})
	}
	for _, k := range wallOrder {
		w := walls[k]
		g.Rows = append(g.Rows, []string{
			fmt.Sprintf("(%d)", w.n), "wall", w.storey, "", w.framing, measure.FormatArea(w.area, sys), measure.FormatLength(w.height, sys), fmt.Sprint(w.parts), "",
		})
	}
	return g
}

// wallSum is the wall cavities of one storey and framing together.
type wallSum struct {
	storey, framing string
	n, parts        int
	area, height    float64
}

func (w *wallSum) add(s *finding.Space) {
	w.n++
	w.parts += len(s.Compartments)
	w.area += s.AreaM2
	w.height = max(w.height, s.HeightMaxM)
}
