package preplan

import (
	"fmt"
	"slices"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/output/paper"
	"voidcheck/cmd/internal/output/words"
)

// stops says of each unit line how the voids over it are stopped, and which voids are
// divided.
func stops(b *words.Book) paper.List {
	var out paper.List
	for _, s := range b.R.Building.Separations {
		if len(s.Units) != 2 {
			continue
		}
		var parts []string
		for _, c := range []struct{ check, what string }{{"floor-draftstop-line", "floor voids"}, {"attic-draftstop-line", "attic"}, {"wall-fireblock-level", "wall cavity at floors and ceilings"}} {
			if t := state(b, c.check, s.Units); t != "" {
				parts = append(parts, c.what+" "+t)
			}
		}
		if len(parts) > 0 {
			out = append(out, fmt.Sprintf("Unit line %s: %s.", b.Line(s.Units), strings.Join(parts, "; ")))
		}
	}
	out = merge(b, out)
	for i := range b.R.Spaces {
		v := &b.R.Spaces[i]
		if v.Kind == "wall" || len(v.Compartments) < 2 {
			continue
		}
		var areas []string
		for _, c := range v.Compartments {
			areas = append(areas, measure.FormatArea(c.AreaM2, b.Sys))
		}
		out = append(out, fmt.Sprintf("%s %s%s is divided into %d parts: %s.", words.First(words.Kind(v.Kind)), v.ID, over(b, v), len(areas), words.List(short2(areas, 6))))
	}
	if len(out) == 0 {
		out = append(out, "The model shows no stop that divides a void.")
	}
	return out
}

// merge joins lines that say the same of several unit lines.
func merge(b *words.Book, list paper.List) paper.List {
	var out paper.List
	var lines [][]string
	var said []string
	for _, l := range list {
		line, rest, _ := strings.Cut(strings.TrimPrefix(l, "Unit line "), ": ")
		n := slices.Index(said, rest)
		if n < 0 {
			said, lines = append(said, rest), append(lines, nil)
			n = len(said) - 1
		}
		lines[n] = append(lines[n], line)
	}
	for i, rest := range said {
		name := "Unit line "
		if len(lines[i]) > 1 {
			name = "Unit lines "
		}
		said := words.List(short2(lines[i], 12))
		if len(lines[i]) > 12 && len(lines[i]) == len(b.R.Building.Separations) {
			name, said = "All unit lines, ", lines[i][0]+" to "+lines[i][len(lines[i])-1]
		}
		out = append(out, name+said+": "+rest)
	}
	return out
}

func over(b *words.Book, v *finding.Space) string {
	if len(v.Units) == 0 {
		return ""
	}
	return " (" + strings.Join(b.UnitList(v.Units), ", ") + ")"
}

// state says what the items of a check say of a unit line.
func state(b *words.Book, check string, units []string) string {
	met, open, unseen, exempt := 0, 0, 0, 0
	for i := range b.R.Items {
		it := &b.R.Items[i]
		if it.Check != check || !slices.Equal(it.Units, units) {
			continue
		}
		switch it.Outcome {
		case finding.Meets:
			met++
		case finding.Deficient:
			open++
		case finding.NotShown:
			unseen++
		case finding.Exempt:
			exempt++
		}
	}
	switch {
	case open > 0:
		return fmt.Sprintf("OPEN at %s", words.Count(open, "place"))
	case unseen > 0:
		return "closure not shown"
	case met > 0:
		return "stopped"
	case exempt > 0:
		return "exempt"
	}
	return ""
}

// services lists what runs in each void, by its name in the model.
func services(b *words.Book) paper.List {
	if b.R.Drawing == nil {
		return nil
	}
	named := map[string]finding.DrawnPart{}
	for _, d := range b.R.Drawing.Services {
		named[d.ID] = d
	}
	var out paper.List
	for i := range b.R.Spaces {
		v := &b.R.Spaces[i]
		if len(v.Services) == 0 {
			continue
		}
		var kinds []string
		names := map[string][]string{}
		for _, id := range v.Services {
			kind, name := "service", id
			if d, ok := named[id]; ok {
				kind, name = d.Kind, d.Name
			}
			if names[kind] == nil {
				kinds = append(kinds, kind)
			}
			names[kind] = append(names[kind], name)
		}
		slices.Sort(kinds)
		var parts []string
		for _, k := range kinds {
			plain := k
			if k == "equipment" && len(names[k]) > 1 {
				plain = "piece of equipment"
			}
			parts = append(parts, words.Count(len(names[k]), plain)+" ("+listed(names[k], 4)+")")
		}
		out = append(out, fmt.Sprintf("%s %s%s: %s.", words.First(words.Kind(v.Kind)), v.ID, over(b, v), strings.Join(parts, ", ")))
	}
	return out
}
