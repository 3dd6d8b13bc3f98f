// Package access finds the openings for people through draftstops and what the model says of
// the doors and hatches in them. It judges nothing.
package access

import (
	"math"
	"regexp"
	"sort"
	"sync"

	"voidcheck/checks/lexicon"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// passable is the least clear size both ways of an opening that a person may be meant to
// pass, metres: attic access is 20 x 30 in (a digest of IBC 1208.2), less a frame.
const passable = 0.40

// Answer is what a model says of a property.
type Answer int

// The answers.
const (
	Unsaid Answer = iota
	No
	Yes
)

// Opening is one opening for access through a draftstop.
type Opening struct {
	Stop            int // element of the draftstop
	Door            int // element of the door or hatch, -1 when nothing fills the opening
	Point           geom.Vec3
	WidthM, HeightM float64
	Closes, Latches Answer // self-closing, latching by itself
}

// Find returns the openings for access through the draftstops of a building, in the order
// of their draftstops, then by place.
func Find(b *recognise.Building) []Opening {
	parts := map[int][]*void.Part{}
	var stops []int
	for i := range b.Input.Parts {
		p := &b.Input.Parts[i]
		if p.Role != void.RoleDraftstop || p.Mesh == nil || p.Element < 0 || p.Element >= len(b.Things) || IsDoor(b.Things[p.Element].Element) {
			continue
		}
		if parts[p.Element] == nil {
			stops = append(stops, p.Element)
		}
		parts[p.Element] = append(parts[p.Element], p)
	}
	if len(stops) == 0 {
		return nil
	}
	sort.Ints(stops)
	var doors []*model.Element // names are looked at once
	for _, d := range b.Model.Elements {
		if IsDoor(d) {
			doors = append(doors, d)
		}
	}
	var out []Opening
	for _, s := range stops {
		e := b.Things[s].Element
		if e == nil {
			continue
		}
		sheet := parts[s][0].Mesh.OBB()
		box := geom.EmptyBox()
		for _, p := range parts[s] {
			box = box.Join(p.Mesh.Box())
		}
		from := len(out)
		known := map[int]bool{}
		for _, o := range e.Openings {
			out = append(out, cut(b, s, o, sheet, known)...)
		}
		for _, d := range doors {
			if !known[d.Index] && stands(d, sheet, box) {
				out = append(out, doorAt(s, d, sheet))
			}
		}
		place := out[from:]
		sort.SliceStable(place, func(i, j int) bool {
			p, q := place[i].Point, place[j].Point
			return p.X < q.X-1e-3 || p.X < q.X+1e-3 && (p.Y < q.Y-1e-3 || p.Y < q.Y+1e-3 && p.Z < q.Z-1e-3)
		})
	}
	return out
}

// cut returns what one opening element is: a door, or an open hole large enough for people
// that no service passes.
func cut(b *recognise.Building, stop int, o *model.Opening, sheet geom.OBB, known map[int]bool) []Opening {
	var out []Opening
	for _, f := range o.Fillings {
		known[f.Index] = true
		out = append(out, doorAt(stop, f, sheet))
	}
	if len(out) > 0 || o.Body == nil {
		return out
	}
	body := o.Body()
	if body == nil || body.Box.IsEmpty() {
		return nil
	}
	w, h, at := size(body.Box, sheet)
	if w < passable || h < passable || passed(b, body.Box) {
		return nil
	}
	return []Opening{{Stop: stop, Door: -1, Point: at, WidthM: w, HeightM: h}}
}

// passed reports whether a service runs through the place of an opening.
func passed(b *recognise.Building, box geom.Box) bool {
	for i := range b.Input.Parts {
		p := &b.Input.Parts[i]
		if p.Role == void.RoleService && p.Mesh != nil && p.Mesh.Box().Overlaps(box) {
			return true
		}
	}
	return false
}

// size returns the extents of a box along a sheet and up, and its middle in the sheet.
func size(box geom.Box, sheet geom.OBB) (w, h float64, at geom.Vec3) {
	n := sheet.Axes[2]
	along := geom.Vec3{X: -n.Y, Y: n.X}
	if along.Len() < 0.1 { // a level sheet
		along = geom.Vec3{X: 1}
	}
	along = along.Unit()
	d := box.Size()
	c := box.Center()
	// A box turned in plan is larger than what it holds: its depth through the sheet adds to
	// its width. For sheets along an axis this is exact.
	return math.Abs(along.X)*d.X + math.Abs(along.Y)*d.Y, d.Z, c.Sub(n.Mul(c.Sub(sheet.Center).Dot(n)))
}

// IsDoor reports whether an element is a door, or is called a hatch or an access panel.
func IsDoor(e *model.Element) bool {
	if e == nil {
		return false
	}
	return e.Is("IfcDoor") || hatch().MatchString(lexicon.Fold(e.Name+" "+e.TypeName+" "+e.ObjectType))
}

var (
	hatch = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`\b(access (door|hatch|panel)|attic (door|hatch|access)|hatch|dach ?luke|boden ?luke|revisions ?(tur|klappe|offnung)|wartungs ?(tur|klappe)|trappe|registro|trampilla|luik|luke)\b`)
	})
	close = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`self ?clos|door closer|spring hinge|selbst ?schliess|ferme ?porte|fermeture automatique|cierre automatico|autocierre|zelf ?sluit|selv ?lukk|dor ?lukker|tur ?schliesser`)
	})
	latch = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`latch|selbst ?verriegel|\bfalle\b|fallen ?schloss|loquet|pene|pestillo|dag ?schoot|snapp ?las|smekk ?las`)
	})
)

// stands reports whether the body of a door lies in a sheet.
func stands(d *model.Element, sheet geom.OBB, box geom.Box) bool {
	body := d.Body()
	if body == nil || body.Box.IsEmpty() || !body.Box.Overlaps(box.Grow(0.03)) {
		return false
	}
	c := body.Box.Center().Sub(sheet.Center)
	if math.Abs(c.Dot(sheet.Axes[2])) > 0.15 {
		return false
	}
	return math.Abs(c.Dot(sheet.Axes[0])) <= sheet.Half[0]+0.1 && math.Abs(c.Dot(sheet.Axes[1])) <= sheet.Half[1]+0.1
}

// doorAt reads a door.
func doorAt(stop int, d *model.Element, sheet geom.OBB) Opening {
	o := Opening{Stop: stop, Door: d.Index, Point: sheet.Center}
	if body := d.Body(); body != nil && !body.Box.IsEmpty() {
		o.WidthM, o.HeightM, o.Point = size(body.Box, sheet)
	}
	o.Closes, o.Latches = says(d, close()), says(d, latch())
	return o
}

// says returns what the properties and words of a door say of a quality: a property of that
// name decides, words only affirm.
func says(d *model.Element, what *regexp.Regexp) Answer {
	answer := Unsaid
	for _, set := range d.Props() {
		for name, v := range set {
			if !what.MatchString(lexicon.Fold(name)) {
				if answer == Unsaid && what.MatchString(lexicon.Fold(v.Text)) {
					answer = Yes
				}
				continue
			}
			switch {
			case v.Bool != nil && !*v.Bool, v.Bool == nil && denies().MatchString(lexicon.Fold(v.Text)):
				return No
			case v.Bool != nil, v.Text != "":
				answer = Yes
			}
		}
	}
	if answer == Unsaid && what.MatchString(lexicon.Fold(d.Name+" "+d.TypeName+" "+d.ObjectType+" "+d.Description)) {
		answer = Yes
	}
	return answer
}

var denies = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^(no|none|false|without|nein|ohne|non|sans|sin|nee|geen|nei|uten)\b`)
})
