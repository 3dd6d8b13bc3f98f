// Package wallfireblockrun is the wall-fireblock-run check.
package wallfireblockrun

import (
	"context"
	"fmt"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Check is the wall-fireblock-run check.
var Check = &checks.Check{
	Name:  "wall-fireblock-run",
	Title: "fireblocks in wall cavities at intervals along the wall",
	Doc: "The cavities of double and staggered stud walls and of furred spaces are closed at intervals along the wall, and up it where the adopted text says so. " +
		"In a single row of studs each full-depth stud is the block along the wall: only its height counts. Of walls without combustible framing nothing is asked. Runs are measured from closure to closure and from closure to end.",
	Topic: "fireblocking of wall cavities at intervals",
	Params: []adoption.Param{
		{
			Name: "max-run", Kind: adoption.Length, Default: "10 ft",
			Doc:    "longest clear run along the wall between two closures",
			Source: "10 ft horizontally (seen in Florida 2004 residential code quote and Massachusetts 780 CMR 717.2.1.1)",
		},
		{
			Name: "max-rise", Kind: adoption.Length, Default: "",
			Doc:    "greatest clear height between two closures; off unless the adopted text asks for blocks up the wall (10 ft or 8 ft)",
			Source: "edition trap: 10 ft both ways seen in Washington WAC 296-150C-1030 and Mecklenburg residential defects sheet, floor and ceiling lines only in later texts",
		},
	},
	Run: run,
}

func run(ctx context.Context, p *checks.Pass) error {
	w := place.New(p.Building, p.Voids, p.Units)
	singles := rises{storeys: map[int]*risesOf{}}
	for _, c := range p.Voids.Cavities {
		if err := ctx.Err(); err != nil {
			return err
		}
		if c.Wall < 0 || c.Wall >= len(p.Building.Input.Walls) {
			continue
		}
		wall := &p.Building.Input.Walls[c.Wall]
		if !wall.Combustible {
			continue // noted by the check of levels
		}
		j := cavity{p, w, c, wall}
		if j.standsInAttic() {
			continue
		}
		switch wall.Kind {
		case void.WallDouble, void.WallStaggered, void.WallFurred, void.WallLiner:
		case void.WallSingle: // each stud is the block along it, and nothing up it
			if most, on := p.Limits.Get("max-rise"); on {
				singles.add(j, most)
			}
			continue
		default:
			continue
		}
		if most, on := p.Limits.Get("max-run"); on && len(c.Runs) > 0 {
			j.runs(most)
		}
		if most, on := p.Limits.Get("max-rise"); on && c.RiseMaxM > 0 {
			j.rise(c.RiseMaxM, most)
		}
	}
	if most, on := p.Limits.Get("max-rise"); on {
		singles.report(p, w, most)
	}
	return nil
}

// cavity is one wall cavity under judgement.
type cavity struct {
	p    *checks.Pass
	w    *place.Words
	c    *void.WallCavity
	wall *void.Wall
}

// at is the point in the middle of the cavity at s along the wall and height z.
func (j cavity) at(s, z float64) geom.Vec3 {
	across := j.wall.Across
	if j.c.Cavity >= 0 && j.c.Cavity < len(j.wall.Cavities) {
		across = j.wall.Cavities[j.c.Cavity]
	}
	xy := j.wall.At(s, (across.Lo+across.Hi)/2)
	return geom.Vec3{X: xy.X, Y: xy.Y, Z: z}
}

func (j cavity) base() checks.Report {
	r := checks.Report{
		Evidence: grade.Evidence(j.c.Void), Storey: j.wall.Storey, Place: j.w.Cavity(j.c.Wall), Elements: j.wall.Elements,
	}
	if j.wall.Separation >= 0 {
		r.Units = j.w.UnitList(j.wall.Separation)
	} else if j.c.Void != nil {
		r.Units = j.c.Void.Units
	}
	if j.c.Void != nil {
		r.Voids = []*void.Void{j.c.Void}
	}
	return r
}

// runs judges the lengths along the wall.
func (j cavity) runs(most float64) {
	longest := &j.c.Runs[0]
	over := 0
	outcome := j.p.Detail().CavityAbsence(j.c.Void, false)
	for i := range j.c.Runs {
		u := &j.c.Runs[i]
		if u.LengthM > longest.LengthM {
			longest = u
		}
		if !grade.Over(u.LengthM, most) {
			continue
		}
		over++
		if outcome == finding.Deficient {
			j.long(u, most)
		}
	}
	if over > 0 && outcome == finding.Deficient {
		return
	}
	r := j.base()
	r.Point = j.at((longest.S0+longest.S1)/2, (longest.Z0+longest.Z1)/2)
	r.Measured, r.Limit = grade.Metres(longest.LengthM), grade.Metres(most)
	length, limit := j.w.Pair(longest.LengthM, most, "m")
	if over > 0 {
		r.Outcome, r.Cause = finding.NotShown, "blocks along the wall not shown"
		r.Message = fmt.Sprintf("This cavity runs %s along the wall; the model, which has no blocks in any wall cavity, does not show what closes it at intervals of up to %s.", length, limit)
		r.Remedy = fmt.Sprintf("Show %s along the wall, or a detail of it.", blocks(grade.Parts(longest.LengthM, most)-1))
	} else {
		r.Outcome = finding.Meets
		r.Message = fmt.Sprintf("The longest clear run along this cavity is %s; up to %s is allowed.", length, limit)
	}
	j.p.Report(r)
}

func blocks(n int) string {
	if n == 1 {
		return "one block"
	}
	return fmt.Sprintf("%d blocks", n)
}

// long reports a run that is over the limit.
func (j cavity) long(u *void.WallRun, most float64) {
	r := j.base()
	r.Outcome, r.Cause = finding.Deficient, "run over the limit"
	r.Point = j.at((u.S0+u.S1)/2, (u.Z0+u.Z1)/2)
	if len(u.Elements) > 0 {
		r.Elements = append(append([]int(nil), u.Elements...), j.wall.Elements...)
	}
	r.Measured, r.Limit = grade.Metres(u.LengthM), grade.Metres(most)
	length, limit := j.w.Pair(u.LengthM, most, "m")
	r.Place = fmt.Sprintf("%s, run of %s", r.Place, j.w.Length(u.LengthM))
	if from := j.w.From(j.wall, u.S0, u.S1); from != "" {
		r.Place += " beginning " + from
	}
	n := grade.Parts(u.LengthM, most)
	r.Message = fmt.Sprintf("This cavity runs %s along the wall without a closure; not more than %s is allowed.", length, limit)
	where := "near the middle of the run"
	if n > 2 {
		where = fmt.Sprintf("about %s apart", j.w.Below(u.LengthM/float64(n)))
	}
	r.Remedy = fmt.Sprintf("Put %s over the full height and depth of the cavity, %s: %s, mineral wool as the local code accepts, or the like.",
		blocks(n-1), where, j.w.Block())
	if os := j.openAbove(u); len(os) > 0 {
		// Fire gets round the blocks over their tops, where the wall ends short.
		r.Consequence, r.Openings = true, os
		r.Message += " The wall ends short above it, so that fire passes over any block as well."
	}
	if u.OpenEnd {
		r.Message += " An end of it is open."
		r.Remedy += " Close the open end as well."
	}
	j.p.Report(r)
}

// openAbove returns the openings of the unit line above the cavity when a run without any
// closures reaches the top of its wall.
func (j cavity) openAbove(u *void.WallRun) []*void.Opening {
	if j.wall.Separation < 0 || len(u.Elements) > 0 || u.Z1 < j.wall.Z1-0.05 {
		return nil
	}
	var r []*void.Opening
	for _, l := range j.p.Voids.Lines {
		if l.Kind == void.LineSeparation && l.Separation == j.wall.Separation && l.Void != nil && max(l.Z0, l.Z1) >= j.wall.Z1-0.1 && min(l.Z0, l.Z1) <= j.wall.Z1+0.1 {
			r = append(r, l.Openings...)
		}
	}
	return r
}

// rise judges the height up the wall.
func (j cavity) rise(clear, most float64) {
	r := j.base()
	r.Point = j.at(j.wall.Length/2, (j.wall.Z0+j.wall.Z1)/2)
	r.Place, r.Aspect = r.Place+", height", "height"
	r.Measured, r.Limit = grade.Metres(clear), grade.Metres(most)
	height, limit := j.w.Pair(clear, most, "m")
	if !grade.Over(clear, most) {
		r.Outcome = finding.Meets
		r.Message = fmt.Sprintf("The greatest clear height in this cavity is %s; up to %s is allowed.", height, limit)
		j.p.Report(r)
		return
	}
	n := grade.Parts(clear, most)
	r.Outcome, r.Cause = j.p.Detail().CavityAbsence(j.c.Void, false), "height over the limit"
	r.Message = fmt.Sprintf("This cavity is clear over a height of %s; not more than %s is allowed.", height, limit)
	where := "about half way up"
	if n > 2 {
		where = fmt.Sprintf("about %s apart up the wall", j.w.Below(clear/float64(n)))
	}
	r.Remedy = fmt.Sprintf("Show %s of blocks, %s: %s or as the local code accepts.", rows(n-1), where, j.w.Block())
	j.p.Report(r)
}

func rows(n int) string {
	if n == 1 {
		return "one row"
	}
	return fmt.Sprintf("%d rows", n)
}
