package wallfireblockrun

import (
	"fmt"
	"slices"

	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
)

// plates are those of a wall known by its layers, which do not show them: one below and two above, 1-1/2 in
// each (common practice, no source), metres.
const plates = 3 * 0.0381

// standsInAttic reports whether a wall is the frame of a gable: it stands inside the attic, and what is behind it belongs
// to that. Boards are known by the wall and not by height, so that those of the rooms below tell nothing of it.
func (j cavity) standsInAttic() bool {
	const over = 1.5 // the level of its storey, where rooms end, metres
	in := &j.p.Building.Input
	return j.wall.Separation < 0 && j.wall.Storey >= 0 && j.wall.Storey < len(in.Levels) && j.wall.Z0-in.Levels[j.wall.Storey] > over
}

// rises gathers the clear heights of walls with one row of studs: those within the limit are one item a storey.
type rises struct{ storeys map[int]*risesOf }

type risesOf struct {
	walls   int
	highest float64
	assumed bool
}

// add judges the height of one wall.
func (r *rises) add(j cavity, most float64) {
	if j.c.RiseMaxM == 0 {
		return
	}
	clear := j.c.RiseMaxM
	if !j.wall.Framed {
		clear -= plates
	}
	if grade.Over(clear, most) {
		j.rise(clear, most)
		return
	}
	s := r.storeys[j.wall.Storey]
	if s == nil {
		s = &risesOf{}
		r.storeys[j.wall.Storey] = s
	}
	s.walls++
	s.highest, s.assumed = max(s.highest, clear), s.assumed || !j.wall.Framed
}

// report tells of the walls within the limit.
func (r *rises) report(p *checks.Pass, w *place.Words, most float64) {
	var storeys []int
	for s := range r.storeys {
		storeys = append(storeys, s)
	}
	slices.Sort(storeys)
	for _, s := range storeys {
		x := r.storeys[s]
		height, limit := w.Pair(x.highest, most, "m")
		out := checks.Report{
			Outcome: finding.Meets, Evidence: finding.Modelled, Storey: s, Place: "walls with one row of studs, height", Aspect: "height",
			Measured: grade.Metres(x.highest), Limit: grade.Metres(most),
			Message: fmt.Sprintf("The greatest clear height in %s with one row of studs is %s; up to %s is allowed.", walls(x.walls), height, limit),
		}
		if x.assumed {
			out.Evidence = finding.Assumed
			out.Message += " Plates that layers do not show are taken as usual."
		}
		p.Report(out)
	}
}

func walls(n int) string {
	if n == 1 {
		return "one wall"
	}
	return fmt.Sprintf("%d walls", n)
}
