package review

import (
	"fmt"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/ifcx/source"
)

// morePlaces is how many further places of a folded problem are named.
const morePlaces = 2

// Fold folds equal problems of one file into one with a count and the first places, in the
// order of the problems; warnings of the solver follow as they are.
func Fold(problems []source.Problem, warnings []string) []finding.Problem {
	type key struct{ file, code string }
	var out []finding.Problem
	at := map[key]int{}
	places := map[key][]string{}
	for _, p := range problems {
		k := key{p.File, p.Code}
		if p.Code == "" {
			k.code = p.Text
		}
		i, seen := at[k]
		if !seen {
			at[k] = len(out)
			out = append(out, finding.Problem{Code: p.Code, Text: p.String(), Count: 1})
			continue
		}
		out[i].Count++
		if len(places[k]) < morePlaces {
			places[k] = append(places[k], where(p))
		}
	}
	for k, i := range at {
		if n := out[i].Count - 1; n > 0 {
			more := strings.Join(places[k], ", ")
			if n > morePlaces {
				more += ", ..."
			}
			out[i].Text += fmt.Sprintf(" (and %d more like it: %s)", n, more)
		}
	}
	seen := map[string]int{}
	for _, w := range warnings {
		if i, ok := seen[w]; ok {
			out[i].Count++
			continue
		}
		seen[w] = len(out)
		out = append(out, finding.Problem{Code: "solver", Text: w, Count: 1})
	}
	return out
}

func where(p source.Problem) string {
	switch {
	case p.Entity != "":
		return p.Entity
	case p.Line > 0:
		return fmt.Sprintf("line %d", p.Line)
	case p.GlobalID != "":
		return p.GlobalID
	}
	return p.File
}
