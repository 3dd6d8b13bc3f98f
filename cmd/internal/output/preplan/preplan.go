// Package preplan writes the sheet that a fire officer takes along: on one page what the
// concealed spaces of a building are, how high and how large, what frames them, which are
// open to each other, what services run in them and where stops divide them.
package preplan

import (
	"fmt"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/output/paper"
	"voidcheck/cmd/internal/output/plan"
	"voidcheck/cmd/internal/output/words"
)

// Make makes the sheet: on one page, with drawings as large as fit; a long building is
// drawn in strips where there is room. If need be drawings get smaller and lists shorter.
func Make(r *finding.Report) (*paper.Document, error) {
	var d *paper.Document
	for _, m := range rooms() {
		d = sheet(r, m)
		n, err := paper.Pages(d)
		if err != nil {
			return nil, err
		}
		if n == 1 {
			break
		}
	}
	return d, nil
}

// room is what a try may take: height of a plan and of a section in millimetres, the
// coarsest scale of a plan, from which on a building is drawn in strips, lines of a list.
type room struct {
	tall, section float64
	coarsest      float64
	lines         int
}

// framed is the coarsest scale at which lines of framing can be told apart.
const framed = 600

// rooms are the tries, the most generous first: a long building is drawn in strips as large
// as there is room for.
func rooms() []room {
	var out []room
	for _, coarsest := range []float64{450, 500, 600, 700, 850, 1000, 1250, 1500} {
		for _, tall := range []float64{62, 56, 51, 47, 43, 40, 35, 31, 28} {
			out = append(out, room{tall, max(tall*0.75, 26), coarsest, 12})
		}
	}
	for lines := 11; lines >= 3; lines-- {
		tall := max(28, 20+2*float64(lines))
		out = append(out, room{tall, tall * 0.75, 2000, lines}, room{tall, tall * 0.75, 0, lines})
	}
	return out
}

func sheet(r *finding.Report, m room) *paper.Document {
	b := words.New(r)
	d := &paper.Document{Title: "Concealed spaces: sheet for the fire service", Subject: b.Project(), At: r.Run.At, Letter: b.Sys != measure.SI, Tight: true, Foot: r.Cautions}
	d.Blocks = append(d.Blocks, paper.Heading{Level: 1, Text: d.Title}, fields(b))
	if r.Unjudged != "" && len(r.Spaces) > 0 {
		d.Blocks = append(d.Blocks, paper.Para{Bold: true, Text: r.Unjudged})
	}
	if len(r.Spaces) == 0 {
		d.Blocks = append(d.Blocks, paper.Para{Bold: true, Text: "No concealed space could be worked out from the models. That does not mean that there is none."})
		return d
	}
	d.Blocks = append(d.Blocks, drawings(b, m)...)
	d.Blocks = append(d.Blocks, paper.Heading{Level: 2, Text: "What they are"}, voids(b, m))
	left := []paper.Block{paper.Heading{Level: 2, Text: "What is open to what"}, short(connected(b), m)}
	right := []paper.Block{paper.Heading{Level: 2, Text: "Where they are stopped"}, short(stops(b), m)}
	if s := services(b); len(s) > 0 {
		left = append(left, paper.Heading{Level: 2, Text: "Services in them"}, short(s, m))
	}
	d.Blocks = append(d.Blocks, paper.Columns{left, right})
	return d
}

// short cuts a list off and says so.
func short(list paper.List, m room) paper.List {
	if len(list) > m.lines {
		list = append(list[:m.lines:m.lines], fmt.Sprintf("and %d more; the report lists all", len(list)-m.lines))
	}
	return list
}

func fields(b *words.Book) paper.Fields {
	r := b.R
	var f paper.Fields
	put := func(name, value string) {
		if value != "" {
			f = append(f, [2]string{name, value})
		}
	}
	put("Building", b.Project())
	if s := r.Submittal; s != nil {
		put("Address", s.Address)
		put("Permit", s.Permit)
		put("Occupancy", s.Occupancy)
		put("Construction", s.Construction)
		sprinklers := s.Sprinklers
		if v := s.SprinklersInVoids; v != nil {
			sprinklers = words.Join(", ", sprinklers, map[bool]string{true: "also in concealed spaces", false: "not in concealed spaces"}[*v])
		}
		put("Sprinklers", sprinklers)
	}
	put("Storeys", fmt.Sprint(len(r.Building.Storeys)))
	put("Dwelling units", fmt.Sprint(len(r.Building.Units)))
	if n := len(r.Building.Separations); n > 0 {
		put("Unit separations", fmt.Sprintf("%d%s", n, kinds(r)))
	}
	if t := r.Trusses; t.Floor+t.Roof > 0 {
		put("Trusses", fmt.Sprintf("%d in floors, %d in roofs", t.Floor, t.Roof))
	}
	put("As of", fmt.Sprintf("plans of round %d, %s", max(r.Run.Round, 1), b.Date()))
	return f
}

// kinds names the kind of the separations when they are of one.
func kinds(r *finding.Report) string {
	kind := r.Building.Separations[0].Kind
	for _, s := range r.Building.Separations {
		if s.Kind != kind {
			return ""
		}
	}
	if kind == "unknown" {
		return ""
	}
	return " (" + kind + ")"
}

// drawings are the attic, the floor void with the largest extent, and the sections.
func drawings(b *words.Book, m room) []paper.Block {
	s := plan.New(b)
	if s == nil {
		return nil
	}
	var out []paper.Block
	inStrips := false
	for _, kind := range []string{"attic", "floor"} {
		storey, others := largest(b, kind)
		if storey == "" {
			continue
		}
		l, o := plan.Floor, plan.Options{Width: paper.Width, Tall: m.tall, Coarsest: m.coarsest, OneBar: true}
		if kind == "attic" {
			l, o.Bare, o.Tall = plan.Attic, true, m.tall-plan.Foot // of one scale with the floor
		}
		o.Marks = marks(b, storey, l)
		strips := s.Level(storey, l, o)
		if strips[0].Scale <= framed {
			o.Framing = true
			strips = s.Level(storey, l, o)
		}
		inStrips = inStrips || len(strips) > 1
		for i, p := range strips {
			if i < len(strips)-1 {
				out = append(out, paper.Figure{Picture: p})
				continue
			}
			caption := p.Title
			if len(strips) > 1 {
				caption += fmt.Sprintf(", in %d parts from left to right", len(strips))
			}
			if others > 0 {
				caption += fmt.Sprintf("; %s of the kind on other levels", words.Count(others, "void"))
			}
			caption += ". Black: stops. Grey: walls below; dark grey: unit separations."
			if len(o.Marks) > 0 {
				caption += " Letters: what is open, as listed below."
			}
			out = append(out, paper.Figure{Picture: p, Caption: caption})
		}
	}
	var list paper.Figures
	if long := s.Section("long", 116, m.section); long != nil && !inStrips {
		list = append(list, paper.Figure{Picture: long, Caption: long.Title})
	}
	if cross := s.Section("cross", 57, m.section); cross != nil {
		list = append(list, paper.Figure{Picture: cross, Caption: cross.Title})
	}
	if len(list) > 0 {
		out = append(out, list)
	}
	return out
}

// largest is the storey whose voids of a kind have the largest extent, and how many voids
// of the kind lie on others.
func largest(b *words.Book, kind string) (storey string, others int) {
	areas := map[string]float64{}
	best := 0.0
	for i := range b.R.Spaces {
		s := &b.R.Spaces[i]
		if s.Kind != kind {
			continue
		}
		areas[s.Storey] += s.AreaM2
		if areas[s.Storey] > best+1e-6 {
			best, storey = areas[s.Storey], s.Storey
		}
	}
	for i := range b.R.Spaces {
		if s := &b.R.Spaces[i]; s.Kind == kind && s.Storey != storey {
			others++
		}
	}
	return storey, others
}
