package preplan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/output/paper"
	"voidcheck/cmd/internal/output/words"
)

// alike are voids that one line tells: of one kind on one level with like framing and height.
type alike struct {
	kind, storey, framing string
	spacing, height       float64
	voids                 []*finding.Space
}

// kindOrder is the order in which kinds of void are told: the largest first.
var kindOrder = []string{"attic", "floor", "crawl", "soffit", "stair", "chase", "wall"}

// voids is the table of the voids.
func voids(b *words.Book, m room) *paper.Table {
	t := &paper.Table{Head: []string{"Voids", "Level", "Over or in", "Framing", "Height", "Extent of each"}, Widths: []float64{44, 20, 34, 40, 16, 32}}
	var groups []*alike
	walls := 0
	for i := range b.R.Spaces {
		s := &b.R.Spaces[i]
		if s.Kind == "wall" && len(s.Units) < 2 {
			walls++
			continue
		}
		k := alike{kind: s.Kind, storey: s.Storey, framing: s.Framing, spacing: math.Round(s.SpacingM*100) / 100, height: math.Round(s.HeightMaxM*20) / 20}
		n := slices.IndexFunc(groups, func(g *alike) bool {
			if g.kind == "wall" && k.kind == "wall" {
				return true
			}
			return g.kind == k.kind && g.storey == k.storey && g.framing == k.framing && g.spacing == k.spacing && g.height == k.height
		})
		if n < 0 {
			groups = append(groups, &k)
			n = len(groups) - 1
		}
		groups[n].voids = append(groups[n].voids, s)
	}
	slices.SortStableFunc(groups, func(a, c *alike) int {
		return cmp.Or(cmp.Compare(slices.Index(kindOrder, a.kind), slices.Index(kindOrder, c.kind)), cmp.Compare(b.Level(c.storey), b.Level(a.storey)))
	})
	rest := 0
	for i, g := range groups {
		if i >= m.lines {
			rest += len(g.voids)
			continue
		}
		t.Rows = append(t.Rows, g.row(b))
	}
	if rest > 0 {
		t.Rows = append(t.Rows, paper.Row{Cells: []paper.Cell{paper.Text(fmt.Sprintf("%d more", rest)), {}, {}, {}, {}, paper.Text("in the report")}})
	}
	if walls > 0 {
		t.Rows = append(t.Rows, paper.Row{Cells: []paper.Cell{paper.Text(words.Count(walls, "other wall cavity")), {}, paper.Text("inner and outer walls"), {}, {}, {}}})
	}
	return t
}

func (g *alike) row(b *words.Book) paper.Row {
	var ids, units []string
	lo, hi := math.Inf(1), 0.0
	for _, s := range g.voids {
		ids = append(ids, s.ID)
		lo, hi = min(lo, s.AreaM2), max(hi, s.AreaM2)
		over := b.Line(s.Units)
		if over != "" && !slices.Contains(units, over) {
			units = append(units, over)
		}
	}
	slices.SortFunc(units, finding.Natural)
	framing := words.Framing(g.framing)
	if g.spacing > 0 {
		framing += " at " + measure.FormatLength(g.voids[0].SpacingM, b.Sys)
	}
	extent := measure.FormatArea(lo, b.Sys)
	if measure.FormatArea(hi, b.Sys) != extent {
		extent += " to " + measure.FormatArea(hi, b.Sys)
	}
	name := words.First(words.Kind(g.kind))
	if g.kind == "wall" {
		name = "Cavities of unit separations"
		ids = []string{fmt.Sprintf("(%d)", len(ids))}
		g.storey = levels(g.voids)
	}
	if !g.voids[0].Combustible {
		name += ", not combustible"
	}
	return paper.Row{Cells: []paper.Cell{
		paper.Text(name + " " + listed(ids, 5)), paper.Text(g.storey), paper.Text(listed(units, 6)), paper.Text(framing),
		paper.Text(about(highest(g.voids), b.Sys)), paper.Text(extent),
	}}
}

// about is a height to the inch, or to the centimetre; a low one as it is.
func about(m float64, sys measure.System) string {
	if m < 0.9 {
		return measure.FormatLength(m, sys)
	}
	step := measure.MetresPerInch
	if sys == measure.SI {
		step = 0.01
	}
	return measure.FormatLength(math.Round(m/step)*step, sys)
}

// levels are the storeys of voids.
func levels(list []*finding.Space) string {
	var out []string
	for _, s := range list {
		if s.Storey != "" && !slices.Contains(out, s.Storey) {
			out = append(out, s.Storey)
		}
	}
	return listed(out, 3)
}

func highest(list []*finding.Space) float64 {
	h := 0.0
	for _, s := range list {
		h = max(h, s.HeightMaxM)
	}
	return h
}

// run tells things whose numbers follow each other by the first and the last: "V51 to V100".
func run(list []string) string {
	number := func(s string) (string, int) {
		digits := strings.TrimLeft(s, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz ")
		n, err := strconv.Atoi(digits)
		if err != nil {
			return s, -1
		}
		return strings.TrimSuffix(s, digits), n
	}
	word, last := number(list[0])
	for _, s := range list[1:] {
		w, n := number(s)
		if last < 0 || w != word || n != last+1 {
			return ""
		}
		last = n
	}
	return list[0] + " to " + list[len(list)-1]
}

// listed names things, the first few when there are many.
func listed(list []string, n int) string {
	if len(list) > n {
		if s := run(list); s != "" {
			return s
		}

		return strings.Join(list[:n-1], ", ") + fmt.Sprintf(" and %d more", len(list)-n+1)
	}
	return strings.Join(list, ", ")
}

// together words one group of voids that are open to each other.
func together(b *words.Book, open []*finding.Opening) (units int, text string) {
	var ids, in []string
	kinds := map[string]int{}
	var order []string
	for _, o := range open {
		for _, id := range o.Between {
			if !slices.Contains(ids, id) {
				ids = append(ids, id)
			}
			if v := b.Void(id); v != nil && v.Kind != "wall" {
				for _, u := range v.Units {
					if !slices.Contains(in, u) {
						in = append(in, u)
					}
				}
			}
		}
		w := way(o.Kind)
		if kinds[w] == 0 {
			order = append(order, w)
		}
		kinds[w]++
	}
	slices.SortFunc(ids, finding.Natural)
	slices.SortFunc(in, finding.Natural)
	var names, ways []string
	for _, id := range ids {
		name := id
		if v := b.Void(id); v != nil {
			name = words.Kind(v.Kind) + " " + id
			if v.Kind == "wall" && len(v.Units) > 1 {
				name = "cavity " + id + " of unit line " + b.Line(v.Units)
			}
		}
		names = append(names, name)
	}
	for _, w := range order {
		ways = append(ways, counted(kinds[w], w))
	}
	text = words.First(words.List(short2(names, 6))) + ": " + words.List(ways) + "."
	if len(in) > 1 {
		text += " Fire in one reaches the concealed spaces of " + words.List(short2(b.UnitList(in), 8)) + "."
	}
	return len(in), text
}

func short2(list []string, n int) []string {
	if len(list) > n {
		if s := run(list); s != "" {
			return []string{s}
		}
		return append(list[:n-1:n-1], fmt.Sprintf("%d more", len(list)-n+1))
	}
	return list
}

// counted is a number of ways; the noun of a phrase is its first, or second, word.
func counted(n int, way string) string {
	if n == 1 {
		return "1 " + way
	}
	for _, noun := range []string{"bay", "open stretch", "gap", "place", "cavity", "open junction", "ring", "hole"} {
		if rest, ok := strings.CutPrefix(way, noun); ok {
			switch noun {
			case "cavity":
				noun = "cavitie"
			case "open stretch":
				noun = "open stretche"
			}
			return fmt.Sprintf("%d %ss%s", n, noun, rest)
		}
	}
	return fmt.Sprintf("%d times %s", n, way)
}

// way is the word for a kind of opening.
func way(kind string) string {
	switch kind {
	case "bay":
		return "bay without a block"
	case "line":
		return "open stretch above a unit line"
	case "top-gap":
		return "gap at the top"
	case "bottom-gap":
		return "gap at the bottom"
	case "edge-gap":
		return "gap at an end"
	case "missing-plate":
		return "place without a plate"
	case "open-level":
		return "cavity open through a level"
	case "junction":
		return "open junction"
	case "ring":
		return "ring round a service"
	}
	return strings.ReplaceAll(kind, "-", " ")
}
