// Package separationboxes is the separation-boxes check.
package separationboxes

import (
	"context"
	"fmt"
	"strings"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/equipment"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/materials"
	"voidcheck/checks/measure"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Check is the separation-boxes check.
var Check = &checks.Check{
	Name:  "separation-boxes",
	Title: "boxes in unit separations",
	Doc: "Outlets, switches, junction boxes and the like that stand in the face of a unit separation: the opening of each is within the size limit, those of one face together " +
		"within the limit for any stretch of wall of the named area over its full height, and boxes in opposite faces of one wall are far enough apart along it. Where even their centres are " +
		"nearer than the limit they are deficient, where only their edges are it is left to the reviewer. Solid fireblocking between them, a seal or pad at one of them, and for mineral " +
		"wool or cellulose fill a distance of the cavity's depth are taken instead. The limits are for steel boxes; listings of others are not evaluated.",
	Topic: "membrane penetrations of dwelling unit separations by electrical boxes",
	Params: []adoption.Param{
		{
			Name: "min-spacing", Kind: adoption.Length, Default: "24 in",
			Doc:    "least horizontal distance between boxes in opposite faces of a wall",
			Source: "IRC R302.4.2, IBC 714.4.2 (seen in MeyerFire note, NFPA 101 wording of the same set)",
		},
		{
			Name: "max-box", Kind: adoption.Area, Default: "16 in2",
			Doc:    "largest opening of one box",
			Source: "IRC R302.4.2 (seen in Forum thread 27392)",
		},
		{
			Name: "max-density", Kind: adoption.Density, Default: "100 in2 per 100 ft2",
			Doc:    "largest sum of the openings in one face, in any stretch of wall of the named area",
			Source: "IRC R302.4.2 (seen in Forum thread 27392)",
		},
	},
	Run: run,
}

// job is one run of the check.
type job struct {
	p       *checks.Pass
	w       *place.Words
	boxes   []part // of the whole building
	between []part
}

func run(ctx context.Context, p *checks.Pass) error {
	j := job{p: p, w: place.New(p.Building, p.Voids, p.Units)}
	j.boxes, j.between = candidates(p)
	walls, found := 0, 0
	for i := range p.Building.Input.Walls {
		wall := &p.Building.Input.Walls[i]
		if wall.Separation < 0 {
			continue
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		walls++
		list := boxesIn(j.boxes, wall)
		found += len(list)
		if len(list) > 0 {
			j.wall(i, list)
		}
	}
	if walls > 0 && found == 0 {
		j.none()
	}
	return nil
}

// none reports what there is to say where no box stands in any separation.
func (j job) none() {
	n := 0
	for _, part := range j.boxes {
		if equipment.Of(j.p.Building, part.Element).Electrical() {
			n++
		}
	}
	r := checks.Report{Evidence: finding.Modelled, Storey: -1, Place: "boxes in unit separations"}
	if n > 0 {
		r.Outcome = finding.Meets
		r.Message = "Outlets, switches and lights are modelled, and none of them stands in a unit separation."
	} else {
		r.Outcome, r.Cause = finding.NotShown, "boxes not shown"
		r.Message = "No outlets, switches or boxes are modelled: how large and how far apart those in unit separations are cannot be told."
		r.Remedy = "Submit the electrical model, or a plan of the boxes in unit separations with their type, size and spacing."
	}
	j.p.Report(r)
}

// base is what all reports about a wall share.
func (j job) base(i int, at geom.Vec3, list ...*box) checks.Report {
	wall := &j.p.Building.Input.Walls[i]
	r := checks.Report{Evidence: finding.Modelled, Storey: wall.Storey, Units: j.w.UnitList(wall.Separation), Place: j.w.UnitLine(wall.Separation), At: j.w.AlongWall(i, at, 0), Point: at}
	for _, b := range list {
		r.Elements = append(r.Elements, b.element)
	}
	r.Elements = append(r.Elements, wall.Elements...)
	return r
}

// name is how a box is called; of names that hold a whole type path, the family and the number.
func (j job) name(b *box) string {
	if e := j.w.ModelElement(b.element); e != nil {
		if path := strings.Split(e.Name, ":"); len(path) > 2 {
			return strings.TrimSpace(path[0]) + " " + strings.TrimSpace(path[len(path)-1])
		}
	}
	if n := j.w.Element(b.element); n != "" {
		return n
	}
	return string(equipment.Of(j.p.Building, b.element))
}

// wall judges the boxes of one wall.
func (j job) wall(i int, list []*box) {
	wall := &j.p.Building.Input.Walls[i]
	good := true
	if most, on := j.p.Limits.Get("max-box"); on {
		for _, b := range list {
			if grade.Over(b.area, most) {
				j.large(i, b, most)
				good = false
			}
		}
	}
	good = j.density(i, list) && good
	var low, high []*box
	for _, b := range list {
		if b.high {
			high = append(high, b)
		} else {
			low = append(low, b)
		}
	}
	if least, on := j.p.Limits.Get("min-spacing"); on {
		for _, a := range low {
			for _, b := range high {
				good = j.pair(i, a, b, least) && good
			}
		}
	}
	if wall.Kind == void.WallStaggered && len(low) > 0 && len(high) > 0 {
		j.staggered(i, list)
		good = false
	}
	if good {
		r := j.base(i, middle(list), list...)
		r.Outcome, r.At = finding.Meets, ""
		r.Place += ", boxes"
		r.Message = fmt.Sprintf("%s stand in this unit separation within the limits of size, sum and distance. Whether they are of steel or listed is not evaluated.", count(len(list)))
		if len(list) == 1 {
			r.Message = strings.Replace(r.Message, "stand in", "stands in", 1)
		}
		j.p.Report(r)
	}
}

func count(n int) string {
	if n == 1 {
		return "One box"
	}
	return fmt.Sprintf("%d boxes", n)
}

func middle(list []*box) geom.Vec3 {
	var m geom.Vec3
	for _, b := range list {
		m = m.Add(b.centre)
	}
	return m.Mul(1 / float64(len(list)))
}

// small prints a small area in the reader's units.
func (j job) small(m2 float64) string {
	if j.w.System == measure.SI {
		return fmt.Sprintf("%.0f cm2", m2*1e4)
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", m2/measure.M2PerIn2), ".0") + " in2"
}

// large reports a box whose opening is over the limit.
func (j job) large(i int, b *box, most float64) {
	r := j.base(i, b.centre, b)
	r.Outcome, r.Cause = finding.Deficient, "box over the size limit"
	r.Place += ", " + j.name(b)
	r.Measured, r.Limit = grade.SquareMetres(b.area), grade.SquareMetres(most)
	r.Message = fmt.Sprintf("The opening for %s in the face of the unit separation is %s; not more than %s is allowed.", j.name(b), j.small(b.area), j.small(most))
	r.Remedy = "Use a smaller box, set it on the face, or show the listing that allows its size."
	j.p.Report(r)
}

// pair judges two boxes in opposite faces and reports whether all is well.
func (j job) pair(i int, a, b *box, least float64) bool {
	wall := &j.p.Building.Input.Walls[i]
	centres, clear := apart(a, b)
	if clear >= least*(1-1e-6) {
		return true
	}
	r := j.base(i, a.centre.Add(b.centre).Mul(0.5), a, b)
	r.Place += ", " + place.List(place.Sorted([]string{j.name(a), j.name(b)})) // so that a mirrored model reads the same
	r.Measured, r.Limit = grade.Metres(centres), grade.Metres(least)
	far, limit := j.w.Pair(centres, least, "m")
	how := far + " apart along the wall, centre to centre"
	if centres < 0.005 {
		how = "back to back"
	}
	r.Message = fmt.Sprintf("Boxes stand in opposite faces of the unit separation %s; %s is wanted between them.", how, limit)
	r.Remedy = fmt.Sprintf("Move one of them so that they are %s apart, put solid fireblocking between them, or show putty pads or another listed means.", limit)
	x := look(j.p, j.between, wall, a, b)
	r.Elements = append(r.Elements, x.elements...)
	switch {
	case x.block, x.sealed, x.filled && clear >= cavity(wall)*(1-1e-6):
		r.Outcome, r.Remedy = finding.Meets, ""
		r.Message = fmt.Sprintf("Boxes stand in opposite faces of the unit separation %s; %s. Listings are not evaluated.", how, j.instead(x))
		j.p.Report(r)
		return true
	case wall.Kind == void.WallLiner:
		r.Outcome, r.Cause, r.Remedy = finding.Note, "boxes in front of liner panels", ""
		r.Message = fmt.Sprintf("Boxes stand in the stud rows on either side of liner panels %s. Whether they penetrate the rated part of the wall depends on its listing.", how)
		j.p.Report(r)
		return true
	case centres >= least*(1-1e-6):
		r.Outcome, r.Cause = finding.NotShown, "distance by centres only"
		r.Measured = grade.Metres(clear)
		r.Message = fmt.Sprintf("Boxes stand in opposite faces of the unit separation %s, and %s clear of each other; %s is wanted. Between which points that is measured is for the reviewer.", how, j.w.Length(clear), limit)
	default:
		r.Outcome, r.Cause = finding.Deficient, "boxes too near each other"
		if x.layer {
			r.Message += " A layer divides the wall between them; where the reviewer takes it for solid fireblocking, this is met."
		}
	}
	j.p.Report(r)
	return false
}

func (j job) instead(x between) string {
	switch {
	case x.block:
		return "a fireblock closes the cavity between them"
	case x.sealed:
		return "a seal or pad is modelled at one of them"
	}
	return "the cavity is filled, and they are its depth apart"
}

// staggered reports boxes in opposite faces of a staggered-stud wall (UL guide text).
func (j job) staggered(i int, list []*box) {
	r := j.base(i, middle(list), list...)
	r.Outcome, r.Cause = finding.NotShown, "staggered studs"
	r.Place += ", boxes in a staggered-stud wall"
	r.Message = "Boxes stand in opposite faces of a wall of staggered studs; there they want listed opening protection whatever their distance."
	r.Remedy = "Show the listed protection of these boxes, or keep boxes out of one face."
	j.p.Report(r)
}

// density judges the sum of the openings in each face and reports whether all is well.
func (j job) density(i int, list []*box) bool {
	sum, over, ok := window(j.p.Limits)
	if !ok {
		return true
	}
	wall := &j.p.Building.Input.Walls[i]
	length := over / (wall.Z1 - wall.Z0)
	good := true
	for side := range 2 {
		var face []*box
		for _, b := range list {
			if b.high == (side == 1) {
				face = append(face, b)
			}
		}
		worst, most := []*box(nil), sum
		for k, first := range face {
			total := 0.0
			n := k
			for ; n < len(face) && face[n].s()-first.s() <= length+1e-9; n++ {
				total += face[n].area
			}
			if total > most*(1+1e-6) {
				worst, most = face[k:n], total
			}
		}
		if worst == nil {
			continue
		}
		good = false
		r := j.base(i, middle(worst), worst...)
		r.Outcome, r.Cause = finding.Deficient, "sum of boxes over the limit"
		r.Place += ", boxes of one face together"
		r.Measured, r.Limit = grade.SquareMetres(most), grade.SquareMetres(sum)
		r.Message = fmt.Sprintf("%d boxes in one face of the unit separation open %s within %s of wall; not more than %s is allowed.", len(worst), j.small(most), j.w.Area(over), j.small(sum))
		r.Remedy = "Take boxes out of this face or spread them along the wall, or show the listing that allows more."
		j.p.Report(r)
	}
	return good
}

// window reads the density limit as a sum and the area of wall that it is for.
func window(l adoption.Limits) (sum, over float64, ok bool) {
	ratio, on := l.Get("max-density")
	if !on {
		return 0, 0, false
	}
	text := strings.Replace(l.Text["max-density"], " in any ", " per ", 1)
	_, bottom, _ := strings.Cut(text, " per ")
	over, err := measure.Parse(measure.Area, bottom)
	if err != nil || over <= 0 {
		return 0, 0, false // the reader of the adoption has parsed it before
	}
	return ratio * over, over, true
}

// slag reports whether an element is of mineral wool or cellulose.
func slag(p *checks.Pass, element int) bool {
	if element < 0 || element >= len(p.Building.Things) || p.Building.Things[element].Element == nil {
		return false
	}
	for _, m := range p.Building.Things[element].Element.Materials {
		if r, ok := materials.Default().Class(m); ok && (r.Class == "mineral wool" || r.Class == "cellulose") {
			return true
		}
	}
	return false
}
