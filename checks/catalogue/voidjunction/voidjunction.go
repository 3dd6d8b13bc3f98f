// Package voidjunction is the void-junction check.
package voidjunction

import (
	"context"
	"fmt"
	"sort"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
)

// Check is the void-junction check.
var Check = &checks.Check{
	Name:  "void-junction",
	Title: "closure where vertical and horizontal voids meet",
	Doc: "Where a wall cavity, a chase or a stair void meets a floor void, an attic, a soffit or a dropped ceiling, the two are closed from each other, " +
		"and so is a soffit from any other void. A wall cavity that a missing plate opens at its ceiling level is told by the wall, and here as its consequence; " +
		"bays above a unit separation are told by the unit line.",
	Topic: "fireblocking where vertical and horizontal concealed spaces meet",
	Params: []adoption.Param{{
		Name: "max-gap", Kind: adoption.Length, Default: "1/2 in",
		Doc:    "clear width and height from which a gap counts as open",
		Source: "our tolerance, the codes allow no gap; the duty: every place a concealed vertical space meets a horizontal one (seen in Florida 2004 residential code quote)",
	}},
	Run: run,
}

func run(ctx context.Context, p *checks.Pass) error {
	gap, on := p.Limits.Get("max-gap")
	if !on {
		return nil
	}
	w := place.New(p.Building, p.Voids, p.Units)
	told := map[*void.Opening]bool{} // by the wall's own check
	for _, c := range p.Voids.Cavities {
		for i := range c.Levels {
			for _, o := range c.Levels[i].Openings {
				told[o] = true
			}
		}
	}
	openVoid := map[*void.Void]bool{}
	seen := map[[2]*void.Void]bool{}
	var holes []*hole
	for _, o := range grade.Gaps(p.Voids.Openings, gap) {
		if o.A == nil || o.B == nil || !meet(o) {
			continue
		}
		openVoid[o.A.Void], openVoid[o.B.Void] = true, true
		pair := [2]*void.Void{o.A.Void, o.B.Void}
		if untold(p, o) && seen[pair] {
			continue // one item for what is not shown between two voids
		}
		seen[pair] = true
		holes = addTo(holes, o)
	}
	for _, h := range holes {
		report(p, w, h, gap, told[h.parts[0]])
	}
	closed(p)
	soffits(p, w, openVoid)
	return ctx.Err()
}

func vertical(k void.Kind) bool {
	return k == void.KindWall || k == void.KindChase || k == void.KindStair
}

// meet reports whether an opening joins a vertical void to a horizontal one, or a soffit to
// anything, other than as a gap in a unit line or a draftstop, or round a service.
func meet(o *void.Opening) bool {
	if o.Kind == void.OpenRing || o.Line != nil && o.Line.Kind != void.LineWall || o.A.Void == nil || o.B.Void == nil {
		return false
	}
	a, b := o.A.Void.Kind, o.B.Void.Kind
	if a == void.KindSoffit || b == void.KindSoffit {
		return o.A.Void != o.B.Void
	}
	return vertical(a) != vertical(b)
}

func report(p *checks.Pass, w *place.Words, x *hole, gap float64, told bool) {
	o := x.whole()
	v, h := o.A, o.B // the vertical and the horizontal one
	if vertical(h.Void.Kind) && !vertical(v.Void.Kind) {
		v, h = h, v
	}
	r := checks.Report{
		Outcome:  absence(p, o),
		Evidence: grade.Weaker(grade.Evidence(v.Void), grade.Evidence(h.Void)),
		Storey:   v.Void.Storey, Point: o.Point, Elements: o.Members, Spaces: place.Ends(x.parts),
		Measured: grade.Metres(grade.Clear(o)), Limit: grade.Metres(gap), Openings: x.parts, Consequence: told,
	}
	r.Units = union(v.Units, h.Units)
	names := w.Void(v.Void) + " and " + w.Void(h.Void)
	r.Place = "junction of " + names
	if at := w.Opening(o); at != "" {
		r.Place += ", " + at
	}
	if v.Void.Kind == void.KindWall {
		r.At = w.AlongWall(v.Void.Wall, o.Point, o.WidthM)
	}
	if r.Outcome == finding.NotShown {
		r.Cause = "closure not shown at a junction"
		r.Message = fmt.Sprintf("The model does not show what closes the %s from the %s where they meet.", w.Void(v.Void), w.Void(h.Void))
		r.Remedy = "Show the fireblocking of this junction, or a detail of it."
	} else {
		r.Cause = place.Gap(o.Kind)
		r.Message = fmt.Sprintf("The %s is open to the %s where they meet: %s clear.", w.Void(v.Void), w.Void(h.Void), w.Size(o))
		r.Remedy = fmt.Sprintf("Close the junction with a plate, or with %s, or as the local code accepts.", w.Block())
	}
	p.Report(r)
}

// absence grades what should close a junction. Of a wall known by its layers no plate is
// modelled: only blocks in wall cavities tell that the model would have shown one.
func absence(p *checks.Pass, o *void.Opening) finding.Outcome {
	for _, v := range []*void.Void{o.A.Void, o.B.Void} {
		if v.Kind == void.KindWall && v.Layered {
			return p.Detail().CavityAbsence(v, true)
		}
	}
	return p.Detail().Absence(layered(o.A.Void, o.B.Void), void.RoleBlock, void.RoleDraftstop, void.RolePlate)
}

func untold(p *checks.Pass, o *void.Opening) bool { return absence(p, o) == finding.NotShown }

// layered returns the void by which the detail of a place is judged: a framed one if there is.
func layered(a, b *void.Void) *void.Void {
	if a.Layered {
		return b
	}
	return a
}

func union(a, b []int) []int {
	seen := map[int]bool{}
	var r []int
	for _, u := range append(append([]int(nil), a...), b...) {
		if !seen[u] {
			seen[u] = true
			r = append(r, u)
		}
	}
	sort.Ints(r)
	return r
}

// closed reports, once a storey, the cavities that are closed from what lies above them.
func closed(p *checks.Pass) {
	type key struct {
		storey  int
		assumed bool
	}
	count := map[key]int{}
	for _, c := range p.Voids.Cavities {
		for i := range c.Levels {
			l := &c.Levels[i]
			if !l.Ceiling || !l.Closed {
				continue
			}
			k := key{l.Storey, l.Assumed}
			count[k]++
		}
	}
	var keys []key
	for k := range count {
		keys = append(keys, k)
	}
	sort.Slice(keys, func(i, j int) bool {
		return keys[i].storey < keys[j].storey || keys[i].storey == keys[j].storey && !keys[i].assumed
	})
	for _, k := range keys {
		r := checks.Report{
			Outcome: finding.Meets, Evidence: finding.Modelled, Storey: k.storey, Place: "tops of walls",
			Message: fmt.Sprintf("%s closed from the void above by modelled plates or blocks.", cavities(count[k])),
		}
		if k.assumed {
			r.Evidence = finding.Assumed
			r.Message = fmt.Sprintf("%s taken as closed from the void above by the top plates of platform framing; the plates are not modelled.", cavities(count[k]))
		}
		p.Report(r)
	}
}

func cavities(n int) string {
	if n == 1 {
		return "One wall cavity is"
	}
	return fmt.Sprintf("%d wall cavities are", n)
}

// soffits reports the soffits that no opening joins to another void.
func soffits(p *checks.Pass, w *place.Words, open map[*void.Void]bool) {
	for _, v := range p.Voids.Voids {
		if v.Kind != void.KindSoffit || open[v] || len(v.Compartments) == 0 {
			continue
		}
		p.Report(checks.Report{
			Outcome: finding.Meets, Evidence: grade.Evidence(v), Storey: v.Storey, Units: v.Units, Place: w.Void(v), Point: v.Compartments[0].Point,
			Voids: []*void.Void{v}, Message: "This soffit is closed from the voids beside and above it.",
		})
	}
}
