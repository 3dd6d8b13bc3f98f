package xlsx

import (
	"fmt"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/output/words"
)

// areaUnit is the unit of areas in the chosen system and its size in square metres.
func areaUnit(b *words.Book) (string, float64) {
	if b.Sys == measure.SI {
		return "m2", 1
	}
	return "ft2", measure.M2PerFt2
}

func volumeUnit(b *words.Book) (string, float64) {
	if b.Sys == measure.SI {
		return "m3", 1
	}
	return "ft3", measure.M3PerFt3
}

func items(b *words.Book) *sheet {
	unit, size := areaUnit(b)
	s := &sheet{name: "items", cols: []column{
		{"comment", 9, whole}, {"outcome", 11, plain}, {"evidence", 10, plain}, {"check", 22, plain}, {"storey", 11, plain}, {"units", 10, plain}, {"place", 44, plain}, {"found at", 34, plain},
		{"measured", 13, plain}, {"limit", 11, plain}, {"section", 30, plain}, {"what is shown", 54, plain}, {"what to provide", 54, plain}, {"exemption", 24, plain},
		{"exception not decided", 24, plain}, {"joins units", 10, whole}, {"joins area, " + unit, 12, number}, {"follows from", 16, plain},
		{"measured, SI", 12, number}, {"limit, SI", 10, number}, {"SI unit", 8, plain}, {"x, m", 11, number}, {"y, m", 11, number}, {"z, m", 9, number},
		{"spaces", 14, plain}, {"elements", 26, plain}, {"key", 15, plain}, {"decision", 24, plain},
	}}
	for i := range b.R.Items {
		it := &b.R.Items[i]
		measured, limit := b.Sizes(it)
		row := []any{nil, string(it.Outcome), string(it.Evidence), it.Check, it.Storey, strings.Join(b.UnitList(it.Units), ", "), it.Place, it.At, measured, limit, it.Section,
			it.Message, it.Remedy, it.Exemption, it.Undecided, nil, nil, strings.Join(it.ConsequenceOf, " "), nil, nil, nil,
			it.Point[0], it.Point[1], it.Point[2], strings.Join(it.Spaces, " "), strings.Join(it.Elements, " "), it.Key, nil}
		if it.Disposition != nil {
			row[27] = words.Decision(it.Disposition)
		}
		if it.Comment > 0 {
			row[0] = it.Comment
		}
		if it.Joins != nil {
			row[15], row[16] = it.Joins.Units, it.Joins.AreaM2/size
		}
		if it.Limit != nil {
			row[19], row[20] = it.Limit.Value, it.Limit.Unit
		}
		if it.Measured != nil {
			row[18], row[20] = it.Measured.Value, it.Measured.Unit
		}
		s.rows = append(s.rows, row)
	}
	return s
}

func comments(b *words.Book) *sheet {
	s := &sheet{name: "comments", cols: []column{
		{"number", 9, whole}, {"outcome", 11, plain}, {"check", 22, plain}, {"requirement", 34, plain}, {"places", 8, whole}, {"where", 60, plain},
		{"section", 34, plain}, {"comment", 80, plain}, {"answer", 40, plain},
	}}
	for i := range b.R.Comments {
		c := &b.R.Comments[i]
		s.rows = append(s.rows, []any{c.Number, string(c.Outcome), c.Check, b.Title(c.Check), len(c.Items), strings.Join(c.Places, "; "), c.Section, c.Text, nil})
	}
	return s
}

func voids(b *words.Book) *sheet {
	area, size := areaUnit(b)
	volume, cube := volumeUnit(b)
	s := &sheet{name: "voids", cols: []column{
		{"void", 8, plain}, {"kind", 9, plain}, {"storey", 11, plain}, {"units", 12, plain}, {"framing", 18, plain}, {"spacing", 10, plain}, {"area, " + area, 12, number},
		{"volume, " + volume, 12, number}, {"height", 11, plain}, {"parts", 7, whole}, {"largest part, " + area, 14, number}, {"combustible", 11, plain},
		{"ceiling", 12, plain}, {"known from", 14, plain}, {"services", 30, plain}, {"height, m", 10, number},
	}}
	for i := range b.R.Spaces {
		v := &b.R.Spaces[i]
		largest := 0.0
		for _, c := range v.Compartments {
			largest = max(largest, c.AreaM2)
		}
		row := []any{v.ID, v.Kind, v.Storey, strings.Join(b.UnitList(v.Units), ", "), words.Framing(v.Framing), nil, v.AreaM2 / size, v.VolumeM3 / cube,
			measure.FormatLength(v.HeightMaxM, b.Sys), len(v.Compartments), nil, yes(v.Combustible), "modelled", "geometry", strings.Join(v.Services, " "), v.HeightMaxM}
		if v.SpacingM > 0 {
			row[5] = measure.FormatLength(v.SpacingM, b.Sys)
		}
		if largest > 0 {
			row[10] = largest / size
		}
		if v.CeilingAssumed {
			row[12] = "assumed"
		}
		if v.Layered {
			row[13] = "material layers"
		}
		s.rows = append(s.rows, row)
	}
	return s
}

func yes(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}

func openings(b *words.Book) *sheet {
	s := &sheet{name: "openings", cols: []column{
		{"opening", 10, plain}, {"kind", 16, plain}, {"from", 9, plain}, {"to", 9, plain}, {"from units", 12, plain}, {"to units", 12, plain}, {"clear width", 13, plain}, {"clear height", 13, plain},
		{"width, m", 10, number}, {"height, m", 10, number}, {"x, m", 11, number}, {"y, m", 11, number}, {"z, m", 9, number},
	}}
	for _, o := range b.R.Openings {
		ends := [2]string{}
		units := [2]string{}
		for i := range ends {
			if i < len(o.Between) {
				ends[i] = o.Between[i]
			}
			if v := b.Void(ends[i]); v != nil {
				units[i] = strings.Join(b.UnitList(v.Units), ", ")
			}
		}
		s.rows = append(s.rows, []any{o.ID, o.Kind, ends[0], ends[1], units[0], units[1], measure.FormatLength(o.WidthM, b.Sys), measure.FormatLength(o.HeightM, b.Sys),
			o.WidthM, o.HeightM, o.Point[0], o.Point[1], o.Point[2]})
	}
	return s
}

// about says what was read and by what, what was not judged, and the cautions.
func about(b *words.Book) *sheet {
	s := &sheet{name: "about", cols: []column{{"what", 18, plain}, {"text", 120, plain}}}
	put := func(what, text string) {
		if text != "" {
			s.rows = append(s.rows, []any{what, text})
		}
	}
	r := b.R
	put("project", b.Project())
	if x := r.Submittal; x != nil {
		put("permit", x.Permit)
		put("occupancy", x.Occupancy)
		put("construction", x.Construction)
		put("sprinklers", x.Sprinklers)
	}
	put("round", fmt.Sprint(max(r.Run.Round, 1)))
	put("reviewed at", r.Run.At)
	put("reviewed with", b.Adoption())
	put("program", "voidcheck "+r.Tool.Version)
	for _, m := range r.Models {
		put("model", words.Join(", ", m.File, m.Schema, m.Discipline, "sha256 "+m.SHA256))
	}
	n := map[finding.Outcome]int{}
	for i := range r.Items {
		n[r.Items[i].Outcome]++
	}
	for _, o := range []finding.Outcome{finding.Deficient, finding.NotShown, finding.Meets, finding.Exempt, finding.Note} {
		put("items "+string(o), fmt.Sprint(n[o]))
	}
	for _, c := range r.Checks {
		if !c.On {
			put("not adopted", c.Name)
		}
	}
	for _, m := range r.MissingChecks {
		put("missing", fmt.Sprintf("check %s did not run to its end and nothing here speaks of it: %s", m.Check, m.Why))
	}
	for _, p := range r.Problems {
		put("in the input", p.Text)
	}
	put("coordinates", "x, y, z are metres in the first model's coordinates")
	for _, c := range r.Cautions {
		put("please note", c)
	}
	return s
}
