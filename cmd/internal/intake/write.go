package intake

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"slices"

	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/output/table"
	"voidcheck/ifcx/model"
)

func sortKinds(k []Kind) {
	slices.SortFunc(k, func(a, b Kind) int { return cmp.Or(cmp.Compare(b.N, a.N), cmp.Compare(a.Entity, b.Entity)) })
}

// Write prints what the files are, the storeys, the elements by kind and the needs.
func Write(w io.Writer, b *model.Building, sys measure.System) error {
	var out bytes.Buffer
	files := table.Grid{Header: []string{"file", "schema", "discipline", "unit", "entities", "written by"}, Widths: []int{30, 9, 14, 12, 10, 23}}
	for _, f := range b.Files {
		files.Rows = append(files.Rows, []string{f.Name, f.Schema, f.Discipline, f.LengthUnit, fmt.Sprint(f.Entities), f.Tool})
	}
	storeys := table.Grid{Header: []string{"storey", "elevation", "spaces", "elements"}, Widths: []int{40, 16, 10, 10}}
	for _, s := range b.Storeys {
		spaces := 0
		for _, sp := range b.Spaces {
			if sp.Storey == s {
				spaces++
			}
		}
		z := measure.FormatLength(s.ElevationM+b.Origin.Z, sys)
		storeys.Rows = append(storeys.Rows, []string{s.Name, z, fmt.Sprint(spaces), fmt.Sprint(b.ElementsIn(s))})
	}
	kinds := table.Grid{Header: []string{"elements", "count"}, Widths: []int{40, 10}}
	for _, k := range Kinds(b) {
		kinds.Rows = append(kinds.Rows, []string{k.Entity, fmt.Sprint(k.N)})
	}
	needs := table.Grid{Header: []string{"needed", "there", "found", "what to ask for"}, Widths: []int{16, 7, 30, 45}}
	for _, n := range Needs(b) {
		needs.Rows = append(needs.Rows, []string{n.What, n.State, n.Found, n.Ask})
	}
	for _, g := range []table.Grid{files, storeys, kinds, needs} {
		if len(g.Rows) == 0 {
			continue
		}
		if err := g.Write(&out); err != nil {
			return err
		}
		out.WriteByte('\n')
	}
	_, err := w.Write(out.Bytes())
	return err
}
