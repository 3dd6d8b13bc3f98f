// Package checktest tests checks: over results put together by hand (Hand), for the limits
// and the words, and over whole houses that go through reader, recognition and solver
// (Scenario), under many disguises.
package checktest

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/recognise"
	"voidcheck/checks/spread"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// Hand is a building and its voids put together by hand.
type Hand struct {
	B recognise.Building
	R void.Result
	F adoption.Facts
}

// NewHand returns a building of n units in a row with two storeys at 0 and 3 m: unit u is
// the room from x = 10u to 10u+9.8, y = 0 to 11, on both storeys.
func NewHand(n int) *Hand {
	h := &Hand{}
	h.B.Model = &model.Building{Storeys: []*model.Storey{{Name: "Level 1"}, {Index: 1, Name: "Level 2", ElevationM: 3}}}
	h.B.Input.Levels = []float64{0, 3}
	h.B.Input.Units = n
	h.B.Input.MaxGap = 0.0127
	for u := range n {
		h.B.Units = append(h.B.Units, &recognise.DwellingUnit{Index: u, ID: fmt.Sprintf("U%d", u+1), Name: fmt.Sprintf("Unit %d", u+1)})
		for _, z := range []float64{0, 3} {
			b := geom.Box{Min: geom.Vec3{X: 10 * float64(u), Z: z}, Max: geom.Vec3{X: 10*float64(u) + 9.8, Y: 11, Z: z + 2.4}}
			h.B.Input.Rooms = append(h.B.Input.Rooms, void.Room{Mesh: geom.BoxMesh(b), Unit: u, Element: -1})
		}
	}
	return h
}

// Element adds a model element with its concept and returns its index.
func (h *Hand) Element(c recognise.Concept, entity, name string) int {
	i := len(h.B.Things)
	e := &model.Element{Kind: &model.Kind{Entity: entity}, Index: i, Name: name, GlobalID: fmt.Sprintf("guid%d", i)}
	h.B.Things = append(h.B.Things, recognise.Thing{Element: e, Concept: c})
	h.B.Model.Elements = append(h.B.Model.Elements, e)
	return i
}

// Truss adds a floor truss with a mark and returns the index of its element.
func (h *Hand) Truss(mark string) int {
	i := h.Element(recognise.FloorTruss, "IfcElementAssembly", mark)
	h.B.Trusses = append(h.B.Trusses, &recognise.Truss{Index: len(h.B.Trusses), Concept: recognise.FloorTruss, Mark: mark, Element: h.B.Model.Elements[i], Members: []int{i}})
	return i
}

// Part adds a solid box of a role.
func (h *Hand) Part(r void.Role, element int, x0, y0, z0, x1, y1, z1 float64) {
	b := geom.Box{Min: geom.Vec3{X: x0, Y: y0, Z: z0}, Max: geom.Vec3{X: x1, Y: y1, Z: z1}}
	h.B.Input.Parts = append(h.B.Input.Parts, void.Part{Mesh: geom.BoxMesh(b), Role: r, Element: element, Assembly: -1})
}

// Separation adds the double-stud wall between units u and u+1 on the lower storey and returns
// the index of the wall; its separation has the same number as u.
func (h *Hand) Separation(u int) int {
	w := void.Wall{
		Origin: geom.Vec2{X: 10*float64(u) + 9.8}, Dir: geom.Vec2{Y: 1}, Length: 11, Across: void.Span{Lo: -0.2, Hi: 0},
		Z1: 2.5, Kind: void.WallDouble, Combustible: true, Cavities: []void.Span{{Lo: -0.19, Hi: -0.01}}, Separation: u,
	}
	i := len(h.B.Input.Walls)
	w.Elements = []int{h.Element(recognise.Separation, "IfcWall", fmt.Sprintf("W-%d", i+1))}
	h.B.Input.Walls = append(h.B.Input.Walls, w)
	for len(h.B.Input.Separations) <= u {
		k := len(h.B.Input.Separations)
		h.B.Input.Separations = append(h.B.Input.Separations, void.Separation{Units: [2]int{k, k + 1}, Kind: void.WallDouble})
	}
	h.B.Input.Separations[u].Walls = append(h.B.Input.Separations[u].Walls, i)
	return i
}

// Void adds a void with one compartment of each area, all over the same units. A floor void
// is of open-web trusses with usable space on both sides; change what matters.
func (h *Hand) Void(k void.Kind, storey int, units []int, areas ...float64) *void.Void {
	v := &void.Void{Index: len(h.R.Voids), Kind: k, Storey: storey, Units: units, Wall: -1, HeightMaxM: 0.4, ZLo: 2.5, ZHi: 2.9,
		Framing: void.FramingTruss, UsableAbove: k == void.KindFloor, UsableBelow: k == void.KindFloor, Combustible: true}
	for i, a := range areas {
		c := &void.Compartment{Index: len(h.R.Compartments), Void: v, Number: i + 1, AreaM2: a, Units: units, HeightMaxM: 0.4}
		if len(units) > 0 {
			c.Point = geom.Vec3{X: 10*float64(units[0]) + 5, Y: 2 + float64(i), Z: 2.7}
		}
		v.AreaM2 += a
		v.Compartments = append(v.Compartments, c)
		h.R.Compartments = append(h.R.Compartments, c)
	}
	h.R.Voids = append(h.R.Voids, v)
	return v
}

// Line adds a line of a void.
func (h *Hand) Line(k void.LineKind, v *void.Void, sep, wall, side, bays int) *void.Line {
	l := &void.Line{Index: len(h.R.Lines), Kind: k, Void: v, Separation: sep, Wall: wall, Side: side, Bays: bays, Z0: 2.5, Z1: 2.9}
	if wall >= 0 {
		w := &h.B.Input.Walls[wall]
		t := w.Across.Lo
		if side > 0 {
			t = w.Across.Hi
		}
		l.A, l.B = w.At(0, t), w.At(w.Length, t)
	}
	h.R.Lines = append(h.R.Lines, l)
	return l
}

// Open adds an opening between two compartments, in a line when one is given.
func (h *Hand) Open(k void.OpeningKind, a, b *void.Compartment, l *void.Line, width, height float64, members ...int) *void.Opening {
	o := &void.Opening{Index: len(h.R.Openings), A: a, B: b, Kind: k, WidthM: width, HeightM: height, AreaM2: width * height, Line: l,
		Members: members, Service: -1, Point: geom.Vec3{X: 9.8, Y: 4, Z: 2.7}}
	h.R.Openings = append(h.R.Openings, o)
	if l != nil {
		l.Openings = append(l.Openings, o)
	}
	return o
}

// Run runs a check with its default parameters, changed by pairs of name and value as a
// person writes them ("off" turns one off), and returns what it reports.
func (h *Hand) Run(t testing.TB, c *checks.Check, change ...string) []checks.Report {
	t.Helper()
	groups := spread.New(&h.R, 0).Groups()
	for i, comp := range h.R.Compartments {
		comp.Joined = groups[i]
	}
	limits, err := Limits(c, change...)
	if err != nil {
		t.Fatal(err)
	}
	var r []checks.Report
	p := &checks.Pass{Check: c, Building: &h.B, Voids: &h.R, Limits: limits, Facts: h.F, Report: func(x checks.Report) { r = append(r, x) }}
	if err := c.Run(context.Background(), p); err != nil {
		t.Fatalf("%s: %v", c.Name, err)
	}
	for _, x := range r {
		vet(t, c, x)
	}
	return r
}

// vet checks what every report must have.
func vet(t testing.TB, c *checks.Check, r checks.Report) {
	t.Helper()
	switch {
	case r.Outcome == "" || r.Evidence == "" || r.Place == "" || r.Message == "":
		t.Errorf("%s: outcome, evidence, place or message is missing: %+v", c.Name, r)
	case (r.Outcome == finding.Deficient || r.Outcome == finding.NotShown) && (r.Remedy == "" || r.Cause == ""):
		t.Errorf("%s: no remedy or no cause: %+v", c.Name, r)
	}
	for _, s := range []string{r.Message, r.Remedy, r.Place} {
		if strings.Contains(s, "%!") || strings.Contains(s, "  ") || strings.Contains(s, "NaN") {
			t.Errorf("%s: odd text %q", c.Name, s)
		}
	}
}

// Limits returns a check's default parameters with changes, as the adoption reader types them.
func Limits(c *checks.Check, change ...string) (adoption.Limits, error) {
	entry := fmt.Sprintf("{\"format\": \"voidcheck-adoption-1\", \"name\": \"test\", \"checks\": {%q: {", c.Name)
	for i := 0; i+1 < len(change); i += 2 {
		if i > 0 {
			entry += ", "
		}
		value := fmt.Sprintf("%q", change[i+1])
		if change[i+1] == "true" || change[i+1] == "false" {
			value = change[i+1]
		}
		entry += fmt.Sprintf("%q: %s", change[i], value)
	}
	a, err := adoption.Read("test.json", []byte(entry+"}}}"), checks.Declared([]*checks.Check{c}))
	if err != nil {
		return adoption.Limits{}, err
	}
	return a.Rule(c.Name).Limits, nil
}

// Summary prints reports one a line, "outcome evidence | place | measured", for comparison.
func Summary(rs []checks.Report) string {
	var b strings.Builder
	for _, r := range rs {
		fmt.Fprintf(&b, "%s %s | %s", r.Outcome, r.Evidence, r.Place)
		if r.Measured != nil {
			fmt.Fprintf(&b, " | %.4g %s", r.Measured.Value, r.Measured.Unit)
		}
		if r.Consequence {
			fmt.Fprintf(&b, " | consequence of %d", len(r.Openings))
		}
		b.WriteString("\n")
	}
	return b.String()
}

// Want compares reports with the lines wanted.
func Want(t testing.TB, rs []checks.Report, lines ...string) {
	t.Helper()
	want := strings.Join(lines, "\n")
	if want != "" {
		want += "\n"
	}
	if got := Summary(rs); got != want {
		t.Errorf("got:\n%swant:\n%s", got, want)
	}
}

// RunList is Run with one list parameter given.
func (h *Hand) RunList(t testing.TB, c *checks.Check, name string, entries ...string) []checks.Report {
	t.Helper()
	was := c.Params
	defer func() { c.Params = was }()
	c.Params = append([]adoption.Param(nil), was...)
	for i := range c.Params {
		if c.Params[i].Name == name {
			c.Params[i].Default = strings.Join(entries, ", ")
		}
	}
	return h.Run(t, c)
}
