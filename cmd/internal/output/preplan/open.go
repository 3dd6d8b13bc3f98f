package preplan

import (
	"cmp"
	"math"
	"slices"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/paper"
	"voidcheck/cmd/internal/output/plan"
	"voidcheck/cmd/internal/output/words"
)

// opened are voids that are open to each other, with the openings that join them.
type opened struct {
	letter string
	units  int
	text   string
	open   []*finding.Opening
}

// groups are the voids that are open to each other, those over the most units first.
func groups(b *words.Book) []*opened {
	root := map[string]string{}
	find := func(id string) string {
		for root[id] != "" && root[id] != id {
			id = root[id]
		}
		return id
	}
	for _, o := range b.R.Openings {
		x, y := find(o.Between[0]), find(o.Between[1])
		if x != y {
			root[max(x, y)] = min(x, y)
		}
	}
	at := map[string]*opened{}
	var out []*opened
	for i := range b.R.Openings {
		o := &b.R.Openings[i]
		g := find(o.Between[0])
		if at[g] == nil {
			at[g] = &opened{}
			out = append(out, at[g])
		}
		at[g].open = append(at[g].open, o)
	}
	for _, g := range out {
		g.units, g.text = together(b, g.open)
	}
	slices.SortStableFunc(out, func(a, c *opened) int { return cmp.Compare(c.units, a.units) })
	for i, g := range out {
		if i < 26 {
			g.letter = string(rune('A' + i))
		}
	}
	return out
}

// connected names the voids that are open to each other, and what ways there are.
func connected(b *words.Book) paper.List {
	var out paper.List
	for _, g := range groups(b) {
		text := g.text
		if g.letter != "" {
			text = g.letter + ": " + text
		}
		out = append(out, text)
	}
	if len(out) == 0 {
		out = append(out, "The model shows no opening between concealed spaces. Holes for services made on site are not in it.")
	}
	return out
}

const (
	mostMarks = 6   // of one letter on a plan: more hide what they point at
	nearFloor = 1.3 // metres above or below a level's floor at which an opening is marked on its plan
)

// marks are the letters of the openings that lie on a plan.
func marks(b *words.Book, storey string, l plan.Layer) []plan.Mark {
	floor := math.Inf(1)
	if n := b.Level(storey); n < len(b.R.Building.Storeys) {
		floor = b.R.Building.Storeys[n].ElevationM
	}
	var out []plan.Mark
	for _, g := range groups(b) {
		n := 0
		for _, o := range g.open {
			if g.letter == "" || n == mostMarks {
				break
			}
			attic, flat := false, ""
			for _, id := range o.Between {
				if v := b.Void(id); v != nil && v.Kind != "wall" {
					attic, flat = attic || v.Kind == "attic", v.Storey
				}
			}
			on := attic && flat == storey
			if l == plan.Floor {
				on = !attic && (flat == storey || math.Abs(o.Point[2]-floor) < nearFloor)
			}
			if on {
				out = append(out, plan.Mark{Point: o.Point, Text: g.letter, Look: plan.Fault})
				n++
			}
		}
	}
	return out
}
