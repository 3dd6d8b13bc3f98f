// Package wallfireblocklevel is the wall-fireblock-level check.
package wallfireblocklevel

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Check is the wall-fireblock-level check.
var Check = &checks.Check{
	Name:  "wall-fireblock-level",
	Title: "fireblocks in wall cavities at floors and ceilings",
	Doc: "The cavity of every stud wall, of every double or staggered wall and of every furred space is closed at each floor and ceiling level that it meets. " +
		"Plates of platform framing do it for a single row of studs: where they are not modelled one by one the wall meets by that usual practice, graded as assumed. " +
		"Between two rows of studs something else has to. Walls without combustible framing are only noted. Chases that are modelled as spaces are looked at at every floor too.",
	Topic: "fireblocking of stud walls at floor and ceiling levels",
	Params: []adoption.Param{{
		Name: "max-gap", Kind: adoption.Length, Default: "1/2 in",
		Doc:    "clear width and height from which a gap counts as open",
		Source: "our tolerance, the codes allow no gap; the duty: at each ceiling and floor line (seen in Florida 2004 residential code quote of R602.8)",
	}},
	Run: run,
}

// tally counts the closed levels of one storey's walls, for one item instead of hundreds.
type tally struct {
	storey  int
	assumed bool
	where   string // "" for the ordinary walls of the storey
	levels  int
	walls   map[int]bool
	point   geom.Vec3 // none for the walls of a storey together
	units   map[int]bool
	element []int
}

func run(ctx context.Context, p *checks.Pass) error {
	gap, on := p.Limits.Get("max-gap")
	if !on {
		return nil
	}
	w := place.New(p.Building, p.Voids, p.Units)
	sums := map[string]*tally{}
	var order []string
	other := map[int]int{} // cavities of walls without combustible framing, by storey
	for _, c := range p.Voids.Cavities {
		if err := ctx.Err(); err != nil {
			return err
		}
		if c.Wall >= 0 && c.Wall < len(p.Building.Input.Walls) && !p.Building.Input.Walls[c.Wall].Combustible {
			other[p.Building.Input.Walls[c.Wall].Storey]++
			continue
		}
		for i := range c.Levels {
			l := &c.Levels[i]
			if !l.Closed {
				open(p, w, c, l, gap)
				continue
			}
			where := ""
			if !ordinary(p, c.Wall) {
				where = w.Cavity(c.Wall)
			}
			key := fmt.Sprint(l.Storey, l.Assumed, where)
			if sums[key] == nil {
				sums[key] = &tally{storey: l.Storey, assumed: l.Assumed, where: where, walls: map[int]bool{}, units: map[int]bool{}}
				if where != "" {
					sums[key].point = at(p, c, l.Z)
				}
				order = append(order, key)
			}
			sums[key].add(c, l)
		}
	}
	for _, k := range order {
		sums[k].report(p)
	}
	notes(p, other)
	chases(p, w, gap)
	return nil
}

// chases reports the floors that a chase passes: open where nothing closes it. A rated shaft
// may pass floors openly; whether a chase is one the model does not tell.
func chases(p *checks.Pass, w *place.Words, gap float64) {
	for _, v := range p.Voids.Voids {
		if v.Kind != void.KindChase {
			continue
		}
		for k := 1; k < len(v.Compartments); k++ {
			below, above := v.Compartments[k-1], v.Compartments[k]
			r := checks.Report{
				Outcome: finding.Meets, Evidence: finding.Modelled, Storey: w.StoreyAt(above.ZLo, true), Units: v.Units, Place: w.Void(v) + " at the floor level",
				Point: geom.Vec3{X: above.Point.X, Y: above.Point.Y, Z: above.ZLo}, Aspect: "chase",
				Message: "Something closes the chase at this floor level; the spaces round its services are told by themselves.",
			}
			for _, o := range p.Voids.Openings {
				if o.Kind == void.OpenLevel && o.A == below && o.B == above && min(o.WidthM, o.HeightM) >= gap {
					r.Outcome, r.Cause, r.Openings, r.Point = finding.NotShown, "chase open through a floor", []*void.Opening{o}, o.Point
					r.Measured, r.Limit = grade.Metres(grade.Clear(o)), grade.Metres(gap)
					r.Message = fmt.Sprintf("The chase passes this floor level openly, %s clear; the model does not tell whether it is a rated shaft, which may stay open, or a concealed space of the framing, which has to be closed at every floor.", w.Size(o))
					r.Remedy = fmt.Sprintf("Show what closes the chase at this level round its services: %s or as the local code accepts; or say that it is a rated shaft.", w.Block())
				}
			}
			p.Report(r)
		}
	}
}

// notes reports the walls of which fireblocking is not asked.
func notes(p *checks.Pass, other map[int]int) {
	var storeys []int
	for s := range other {
		storeys = append(storeys, s)
	}
	sort.Ints(storeys)
	for _, s := range storeys {
		p.Report(checks.Report{
			Outcome: finding.Note, Evidence: finding.Declared, Storey: s, Place: "walls without combustible framing", Cause: "not combustible",
			Message: fmt.Sprintf("%s in walls whose layers name no combustible framing (masonry, concrete, metal studs); fireblocking is asked of combustible construction.", cavities(other[s])),
		})
	}
}

// ordinary reports whether a wall has one row of studs, whose plates close it.
func ordinary(p *checks.Pass, wall int) bool {
	if wall < 0 || wall >= len(p.Building.Input.Walls) {
		return true
	}
	w := &p.Building.Input.Walls[wall]
	return w.Separation < 0 && (w.Kind == void.WallSingle || w.Kind == void.WallUnknown || w.Kind == "")
}

// at is the middle of a cavity at a height.
func at(p *checks.Pass, c *void.WallCavity, z float64) geom.Vec3 {
	if c.Wall < 0 || c.Wall >= len(p.Building.Input.Walls) {
		return geom.Vec3{Z: z}
	}
	w := &p.Building.Input.Walls[c.Wall]
	across := w.Across
	if c.Cavity >= 0 && c.Cavity < len(w.Cavities) {
		across = w.Cavities[c.Cavity]
	}
	xy := w.At(w.Length/2, (across.Lo+across.Hi)/2)
	return geom.Vec3{X: xy.X, Y: xy.Y, Z: z}
}

// levelName says whether a level is that of a ceiling or of a floor. A framed wall whose studs
// run through is cut at the floor.
func levelName(p *checks.Pass, c *void.WallCavity, l *void.WallLevel) string {
	in := &p.Building.Input
	cut := c.Wall >= 0 && c.Wall < len(in.Walls) && in.Walls[c.Wall].Framed && slices.ContainsFunc(in.Levels, func(z float64) bool { return math.Abs(z-l.Z) < 0.03 })
	if l.Ceiling && !cut {
		return "ceiling level"
	}
	return "floor level"
}

// open reports a level at which a cavity is not closed: each opening, or the whole level.
func open(p *checks.Pass, w *place.Words, c *void.WallCavity, l *void.WallLevel, gap float64) {
	bad := grade.Gaps(l.Openings, gap)
	if len(l.Openings) > 0 && len(bad) == 0 {
		return // open by less than this check's gap
	}
	level := levelName(p, c, l)
	r := checks.Report{
		Evidence: grade.Evidence(c.Void), Storey: l.Storey, Place: w.Cavity(c.Wall) + " at the " + level,
		Point: at(p, c, l.Z), Limit: grade.Metres(gap), Elements: elements(p, c.Wall), Units: units(w, p, c),
		Outcome: p.Detail().CavityAbsence(c.Void, l.Assumed),
	}
	bare := l.Assumed && c.Void != nil && !c.Void.Layered
	if bare {
		r.Outcome = finding.NotShown // its members are modelled, and nothing above it is
	}
	if c.Wall >= 0 && c.Wall < len(p.Building.Input.Walls) && p.Building.Input.Walls[c.Wall].Separation < 0 {
		r.At = w.AlongWall(c.Wall, r.Point, 0)
	}
	if r.Outcome == finding.NotShown {
		r.Cause = "closure not shown at a " + level
		r.Openings, r.Spaces = bad, place.Ends(bad)
		if len(bad) > 0 {
			r.Point = place.Middle(bad)
		}
		r.Message = fmt.Sprintf("The model does not show what closes the %s between floors here; the plates of a single row of studs would, but %s.", w.Cavity(c.Wall), why(p, c.Wall))
		if bare {
			r.Message = fmt.Sprintf("The %s ends at this %s, at least in part, under nothing that is modelled: no plate, deck, ceiling or roof closes it there.", w.Cavity(c.Wall), level)
		}
		r.Remedy = "Show the fireblocking of this cavity at every floor and ceiling level, or a detail of it."
		p.Report(r)
		return
	}
	r.Cause = "cavity open at a " + level
	r.Remedy = fmt.Sprintf("Close the cavity at this level over its full width with %s or as the local code accepts.", w.Block())
	if len(bad) == 0 {
		r.Message = fmt.Sprintf("The %s is not closed at this %s.", w.Cavity(c.Wall), level)
		p.Report(r)
		return
	}
	for _, o := range bad {
		one := r
		one.Place, one.At = join(r.Place, w.Opening(o)), w.AlongWall(c.Wall, o.Point, o.WidthM)
		one.Point, one.Openings, one.Spaces = o.Point, []*void.Opening{o}, place.Ends([]*void.Opening{o})
		one.Elements = append(append([]int(nil), o.Members...), r.Elements...)
		one.Measured = grade.Metres(grade.Clear(o))
		one.Message = fmt.Sprintf("The %s is open at this %s: %s clear.", w.Cavity(c.Wall), level, w.Size(o))
		p.Report(one)
	}
}

func join(a, b string) string {
	if b == "" {
		return a
	}
	return a + ", " + b
}

// why says why plates are not taken for granted in a wall.
func why(p *checks.Pass, wall int) string {
	if wall >= 0 && wall < len(p.Building.Input.Walls) {
		switch p.Building.Input.Walls[wall].Kind {
		case void.WallDouble, void.WallStaggered, void.WallLiner:
			return "the space between the rows of this wall has none"
		case void.WallFurred:
			return "a furred space has none"
		}
	}
	return "none are modelled and the cavity runs through"
}

func elements(p *checks.Pass, wall int) []int {
	if wall < 0 || wall >= len(p.Building.Input.Walls) {
		return nil
	}
	return p.Building.Input.Walls[wall].Elements
}

func units(w *place.Words, p *checks.Pass, c *void.WallCavity) []int {
	if c.Wall >= 0 && c.Wall < len(p.Building.Input.Walls) {
		if s := p.Building.Input.Walls[c.Wall].Separation; s >= 0 {
			return w.UnitList(s)
		}
	}
	if c.Void != nil {
		return c.Void.Units
	}
	return nil
}

func (t *tally) add(c *void.WallCavity, l *void.WallLevel) {
	t.levels++
	t.walls[c.Wall] = true
	if c.Void != nil {
		for _, u := range c.Void.Units {
			t.units[u] = true
		}
	}
	if t.where != "" {
		t.element = append(t.element, l.Elements...)
	}
}

func cavities(n int) string {
	if n == 1 {
		return "One wall cavity is"
	}
	return fmt.Sprintf("%d wall cavities are", n)
}

func (t *tally) report(p *checks.Pass) {
	r := checks.Report{Outcome: finding.Meets, Evidence: finding.Modelled, Storey: t.storey, Place: t.where, Point: t.point, Elements: t.element}
	for u := range t.units {
		r.Units = append(r.Units, u)
	}
	sort.Ints(r.Units)
	n := cavities(t.levels)
	if t.levels > len(t.walls) {
		n = fmt.Sprintf("Cavities of %d walls, %d in all, are", len(t.walls), t.levels)
	}
	switch {
	case t.where != "":
		n = "This cavity is"
		if t.levels > 1 {
			n = fmt.Sprintf("At %d levels this cavity is", t.levels)
		}
		r.Message = n + " closed by the plates or blocks that are modelled."
	default:
		r.Place = "stud walls"
		r.Message = n + " closed at floor or ceiling levels by modelled plates or blocks."
	}
	if t.assumed {
		r.Evidence = finding.Assumed
		r.Message = n + " taken as closed at floor and ceiling levels by the plates of platform framing; the plates are not modelled."
	}
	p.Report(r)
}
