// Package voidsummary is the void-summary check.
package voidsummary

import (
	"context"
	"fmt"
	"sort"

	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
)

// Check is the void-summary check.
var Check = &checks.Check{
	Name:  "void-summary",
	Title: "what the concealed spaces are",
	Doc: "Notes, no requirement: kind, framing, spacing, area, volume, greatest height, services and units of each floor void, attic, soffit and other horizontal " +
		"void and of each unit separation's cavity; the cavities of ordinary stud walls together for each storey.",
	Topic: "concealed spaces, summary",
	Run:   run,

	Inventory: true,
}

func run(ctx context.Context, p *checks.Pass) error {
	w := place.New(p.Building, p.Voids, p.Units)
	walls := map[int][]*void.Void{}
	var storeys []int
	for _, v := range p.Voids.Voids {
		if v.Kind == void.KindWall && ordinary(p, v.Wall) {
			if walls[v.Storey] == nil {
				storeys = append(storeys, v.Storey)
			}
			walls[v.Storey] = append(walls[v.Storey], v)
			continue
		}
		one(p, w, v)
	}
	sort.Ints(storeys)
	for _, s := range storeys {
		storey(p, w, s, walls[s])
	}
	return ctx.Err()
}

// ordinary reports whether a wall has one row of studs and stands within a unit.
func ordinary(p *checks.Pass, wall int) bool {
	if wall < 0 || wall >= len(p.Building.Input.Walls) {
		return true
	}
	w := &p.Building.Input.Walls[wall]
	return w.Separation < 0 && (w.Kind == void.WallSingle || w.Kind == void.WallUnknown || w.Kind == "")
}

func one(p *checks.Pass, w *place.Words, v *void.Void) {
	r := checks.Report{
		Outcome: finding.Note, Evidence: grade.Evidence(v), Storey: v.Storey, Units: v.Units, Place: w.Void(v), Elements: v.Services,
		Voids: []*void.Void{v}, Measured: grade.SquareMetres(v.AreaM2), Cause: place.Kind(v.Kind),
	}
	if len(v.Compartments) > 0 {
		r.Point = v.Compartments[0].Point
	}
	s := fmt.Sprintf("%s: %s", place.VoidID(v), place.Framing(v.Framing))
	if v.SpacingM > 0 {
		s += " at " + w.Length(v.SpacingM) + " on centre"
	}
	s += fmt.Sprintf(", %s in plan, %s, up to %s high, %s", w.Area(v.AreaM2), w.Volume(v.VolumeM3), w.Length(v.HeightMaxM), parts(len(v.Compartments)))
	if len(v.Units) > 0 {
		s += "; touches " + w.Units(v.Units)
	}
	switch {
	case v.CeilingAssumed:
		s += "; no ceiling is modelled, the underside of the framing is taken for it"
	case v.Suspended:
		s += "; the ceiling hangs below the framing"
	}
	switch n := len(v.Services); n {
	case 0:
		s += "; no services modelled inside"
	case 1:
		s += "; one service inside"
	default:
		s += fmt.Sprintf("; %d services inside", n)
	}
	r.Message = s + "."
	p.Report(r)
}

func parts(n int) string {
	if n == 1 {
		return "one compartment"
	}
	return fmt.Sprintf("%d compartments", n)
}

func storey(p *checks.Pass, w *place.Words, s int, vs []*void.Void) {
	var area, volume, height float64
	units := map[int]bool{}
	r := checks.Report{Outcome: finding.Note, Storey: s, Place: "stud walls", Voids: vs, Cause: "stud walls"}
	for _, v := range vs {
		area, volume, height = area+v.AreaM2, volume+v.VolumeM3, max(height, v.HeightMaxM)
		r.Evidence = grade.Weaker(r.Evidence, grade.Evidence(v))
		for _, u := range v.Units {
			units[u] = true
		}
	}
	for u := range units {
		r.Units = append(r.Units, u)
	}
	sort.Ints(r.Units)
	r.Measured = grade.SquareMetres(area)
	r.Message = fmt.Sprintf("%d cavities of ordinary stud walls: %s in plan, %s, up to %s high.", len(vs), w.Area(area), w.Volume(volume), w.Length(height))
	p.Report(r)
}
