// Package separationspread is the separation-spread check.
package separationspread

import (
	"context"
	"fmt"
	"strings"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
	"voidcheck/checks/spread"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Check is the separation-spread check.
var Check = &checks.Check{
	Name:  "separation-spread",
	Title: "concealed ways from unit to unit",
	Doc: "No path through concealed spaces leads from one dwelling unit into another. An item lists the shortest route of a pair of units for each kind of void and " +
		"storey: void, opening, void, opening. It follows from the openings it names and closes with them; what is reported here and nowhere else is that they meet.",
	Topic: "fire spread between dwelling units through concealed spaces",
	Params: []adoption.Param{{
		Name: "min-opening", Kind: adoption.Length, Default: "1/2 in",
		Doc:    "clear width and height from which an opening lets fire pass",
		Source: "our tolerance; the duty: cut off concealed draft openings in both directions (seen in Massachusetts 780 CMR 717.2)",
	}},
	Run: run,
}

func run(ctx context.Context, p *checks.Pass) error {
	least, on := p.Limits.Get("min-opening")
	if !on {
		return nil
	}
	w := place.New(p.Building, p.Voids, p.Units)
	g := spread.New(p.Voids, least)
	var adjacent []spread.Pair
	for _, s := range p.Building.Input.Separations {
		if s.Units[0] >= 0 && s.Units[1] >= 0 && s.Units[0] != s.Units[1] {
			adjacent = append(adjacent, spread.MakePair(s.Units[0], s.Units[1]))
		}
	}
	joined := map[spread.Pair]bool{}
	for _, c := range g.Crossings(adjacent) {
		if err := ctx.Err(); err != nil {
			return err
		}
		joined[c.Pair] = true
		report(p, w, g, c)
	}
	told := map[spread.Pair]bool{}
	for i, s := range p.Building.Input.Separations {
		pair := spread.MakePair(s.Units[0], s.Units[1])
		if pair.A < 0 || pair.A == pair.B || joined[pair] || told[pair] {
			continue
		}
		told[pair] = true
		apart(p, w, g, i, pair)
	}
	return nil
}

// routeWords says a route in words: "from the floor void of U1 through the bay between trusses
// FT-7 and FT-8 into the cavity of unit line U1/U2, through ... into ...".
func routeWords(w *place.Words, c *spread.Crossing) string {
	s := "from " + whole(w, c.Compartments[0])
	for i, o := range c.Openings {
		if i > 0 {
			s += ","
		}
		s += " through " + openingWords(w, o) + " into " + whole(w, c.Compartments[i+1])
	}
	return s
}

// whole names a compartment; of a wall cavity, whose parts nobody counts, the cavity.
func whole(w *place.Words, c *void.Compartment) string {
	if c.Void.Kind == void.KindWall {
		return "the " + w.Void(c.Void)
	}
	name, part, several := strings.Cut(w.Compartment(c), ", part ")
	if several {
		return "part " + part + " of the " + name
	}
	return "the " + name
}

func openingWords(w *place.Words, o *void.Opening) string {
	if o.Kind == void.OpenBay {
		if at := w.Opening(o); at != "" {
			return "the " + at
		}
	}
	gap := place.Gap(o.Kind)
	article := "a "
	if strings.ContainsAny(gap[:1], "aeio") {
		article = "an "
	}
	if o.Kind == void.OpenLevel {
		article, gap = "an ", "open level"
	}
	return article + gap + " (" + w.Size(o) + ")"
}

func report(p *checks.Pass, w *place.Words, g *spread.Graph, c *spread.Crossing) {
	first := c.Compartments[0]
	r := checks.Report{
		Outcome: finding.Deficient, Storey: first.Void.Storey, Units: []int{c.Pair.A, c.Pair.B}, Point: first.Point,
		Spaces: c.Compartments, Openings: c.Openings, Consequence: true, Cause: "way between units",
		Place: fmt.Sprintf("%s and %s, %s", w.Unit(c.Pair.A), w.Unit(c.Pair.B), place.Kind(c.Class.Kind)),
	}
	certain := false // framed somewhere, or with stops modelled: then its absence is a defect
	for _, comp := range c.Compartments {
		r.Evidence = grade.Weaker(r.Evidence, grade.Evidence(comp.Void))
	}
	for _, o := range c.Openings {
		r.Elements = append(r.Elements, o.Members...)
	}
	if len(c.Openings) == 0 {
		r.Cause = "void over both units"
		r.Point = boundary(p, first, c.Pair)
		r.Message = fmt.Sprintf("The %s lies over %s and %s with nothing between them: fire in one unit's concealed space is in the other's.",
			place.Kind(first.Void.Kind), w.Unit(c.Pair.A), w.Unit(c.Pair.B))
		r.Remedy = "Stop the void in line with the unit separation."
		certain = absence(p, first.Void, c.Pair)
	} else {
		r.Point = c.Openings[0].Point
		r.Measured = grade.Metres(c.ClearM())
		least, _ := p.Limits.Get("min-opening")
		r.Limit = grade.Metres(least)
		r.Message = fmt.Sprintf("A concealed way leads from %s into %s: %s.", w.Unit(c.Pair.A), w.Unit(c.Pair.B), routeWords(w, c))
		if more := others(g, c); more > 0 {
			r.Message += " " + lead(more)
		}
		switch n := len(c.Openings); n {
		case 1:
			r.Remedy = "Close this opening."
		case 2:
			r.Remedy = "Close both openings of the way: with one of them closed, the cavity between the units stays open to one."
		default:
			r.Remedy = fmt.Sprintf("Close all %d openings of the way: with some of them closed, the cavity between the units stays open to one.", n)
		}
		certain = true
		for _, o := range c.Openings {
			certain = certain && decided(p, o, c.Pair)
		}
	}
	if !certain {
		r.Outcome, r.Cause = finding.NotShown, "stops between units not shown"
		r.Message += " The model, which shows no blocking and no draftstops, may merely leave out what closes it."
		r.Remedy = "Show what closes the voids in line with the unit separations, or a detail of it."
	}
	p.Report(r)
}

// absence reports whether what is missing in a void between two units is known to be missing.
func absence(p *checks.Pass, v *void.Void, pair spread.Pair) bool {
	known, own, other := false, false, false
	for _, l := range p.Voids.Lines { // the unit lines of the void know more, that of the pair the most
		if l.Void != v || l.Kind != void.LineSeparation || len(l.Openings) == 0 {
			continue
		}
		missing := p.Detail().LineAbsence(l) == finding.Deficient
		if between(p, l, pair) {
			known, own = true, own || missing
		}
		other = other || missing
	}
	switch {
	case known:
		return own
	case other:
		return true
	}
	return p.Detail().Absence(v, void.RoleBlock, void.RoleDraftstop) == finding.Deficient
}

// boundary is the place of a void over both units at their unit line, as far as it has one: of a
// void that balances no other point is told from its mirrored one.
func boundary(p *checks.Pass, c *void.Compartment, pair spread.Pair) geom.Vec3 {
	var open []*void.Opening
	for _, l := range p.Voids.Lines {
		if l.Void != c.Void || !between(p, l, pair) {
			continue
		}
		for _, o := range l.Openings {
			if o.A == c && o.B == c {
				open = append(open, o)
			}
		}
	}
	if len(open) == 0 {
		return c.Point
	}
	return place.Middle(open)
}

// between reports whether a unit line lies between two units.
func between(p *checks.Pass, l *void.Line, pair spread.Pair) bool {
	if l.Separation < 0 {
		return false
	}
	u := p.Building.Input.Separations[l.Separation].Units
	return spread.MakePair(u[0], u[1]) == pair
}

// decided reports whether an opening is a defect rather than a place without detail: one of
// its voids is framed, or a modelled stop has the gap.
func decided(p *checks.Pass, o *void.Opening, pair spread.Pair) bool {
	if o.Line != nil && p.Detail().Stops(o.Line.Elements) {
		return true
	}
	if o.Line != nil && o.Line.Kind == void.LineSeparation {
		return p.Detail().LineAbsence(o.Line) == finding.Deficient
	}
	return absence(p, o.A.Void, pair) || absence(p, o.B.Void, pair)
}

func lead(n int) string {
	if n == 1 {
		return "One more opening leads the same way."
	}
	return fmt.Sprintf("%d more openings lead the same way.", n)
}

// others counts the openings beyond the route that join its two ends.
func others(g *spread.Graph, c *spread.Crossing) int {
	on := map[*void.Opening]bool{}
	for _, o := range c.Openings {
		on[o] = true
	}
	n := 0
	for _, o := range g.Between([]*void.Compartment{c.Compartments[0], c.Compartments[len(c.Compartments)-1]}) {
		if !on[o] {
			n++
		}
	}
	return n
}

// apart reports a pair of units with no concealed way between them.
func apart(p *checks.Pass, w *place.Words, g *spread.Graph, sep int, pair spread.Pair) {
	r := checks.Report{
		Outcome: finding.Meets, Evidence: finding.Modelled, Storey: -1, Units: []int{pair.A, pair.B},
		Place: w.Unit(pair.A) + " and " + w.Unit(pair.B),
	}
	if pair.A < 0 || pair.B < 0 {
		return
	}
	n := 0
	for _, c := range g.Compartments {
		for _, u := range spread.Units(c) {
			if u == pair.A || u == pair.B {
				r.Evidence = grade.Weaker(r.Evidence, grade.Evidence(c.Void))
				n++
				break
			}
		}
	}
	if n == 0 {
		return // no voids are known: model-content says what to show
	}
	for _, i := range p.Building.Input.Separations[sep].Walls {
		if i >= 0 && i < len(p.Building.Input.Walls) {
			wall := &p.Building.Input.Walls[i]
			xy := wall.At(wall.Length/2, (wall.Across.Lo+wall.Across.Hi)/2)
			r.Point.X, r.Point.Y, r.Point.Z = xy.X, xy.Y, (wall.Z0+wall.Z1)/2
			r.Storey = wall.Storey
			break
		}
	}
	r.Message = fmt.Sprintf("No way through the %d concealed spaces of %s and %s leads from one to the other.", n, w.Unit(pair.A), w.Unit(pair.B))
	if what := hidden(p, pair); what != "" {
		r.Outcome, r.Cause = finding.NotShown, "concealed spaces not shown"
		r.Message = fmt.Sprintf("Among the concealed spaces of %s and %s that are known no way leads from one to the other; %s, and what is inside cannot be told.", w.Unit(pair.A), w.Unit(pair.B), what)
		r.Remedy = "Show the layers or the framing of the walls and floors where the units meet."
	}
	p.Report(r)
}

// hidden says why nobody can tell whether a concealed way leads from unit to unit: an opening could not be
// followed, or walls and floors between them are in one piece; "" when nothing is hidden.
func hidden(p *checks.Pass, pair spread.Pair) string {
	for _, l := range p.Voids.Lines {
		if l.Lost && between(p, l, pair) {
			return "an opening in line with their separation leads to where no concealed space was found"
		}
	}
	in := &p.Building.Input
	walls, floors := false, false
	for _, s := range in.Separations {
		if spread.MakePair(s.Units[0], s.Units[1]) != pair {
			continue
		}
		for _, i := range s.Walls {
			if i < 0 || i >= len(in.Walls) {
				continue
			}
			wall := &in.Walls[i]
			walls = walls || len(wall.Cavities) == 0 && wall.Kind != void.WallSolid
			floors = floors || underBare(in, wall)
		}
	}
	switch {
	case walls && floors:
		return "their walls and floors have neither layers nor framing"
	case walls:
		return "the walls between them have neither layers nor framing"
	case floors:
		return "the floor where they meet has neither layers nor framing"
	}
	return ""
}

// underBare reports whether a floor in one piece lies on a wall, or meets it beside its top.
func underBare(in *void.Input, w *void.Wall) bool {
	const beside, above, foot = 0.1, 0.1, 1 // metres
	box := w.Box().Grow(beside)
	for i := range in.Parts {
		if part := &in.Parts[i]; part.Bare && part.Mesh != nil {
			b := part.Mesh.Box()
			if b.Min.X < box.Max.X && b.Max.X > box.Min.X && b.Min.Y < box.Max.Y && b.Max.Y > box.Min.Y && b.Min.Z > w.Z0+foot && b.Min.Z < w.Z1+above {
				return true
			}
		}
	}
	return false
}
