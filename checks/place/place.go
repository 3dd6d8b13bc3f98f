// Package place puts places, things and figures into the words of the trade, the same in
// every check: "unit line U1/U2", "bay between trusses FT-14 and FT-15", "U1 side",
// 3'-4 1/2". It reads what was recognised and solved; it judges nothing.
package place

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"sync"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Words names the things of one building for one reader.
type Words struct {
	Building *recognise.Building
	Voids    *void.Result
	System   measure.System
	trussOf  func() map[int]*recognise.Truss // by the element of a member or assembly, on first use
	units    []string                        // words for the dwelling units
	rooms    []room                          // enclosed rooms, for telling where a point lies
	lo, hi   geom.Vec2                       // extent of the walls in the building's main directions
	surveyed sync.Once                       // rooms and extent are read on first use
	unitRoom func() *geom.BoxIndex           // the rooms of dwelling units by place, on first use
	north    geom.Vec2                       // true north, or the model's y
	byPlan   bool                            // north is the model's y
}

// New returns the words for a building in a unit system.
func New(b *recognise.Building, r *void.Result, sys measure.System) *Words {
	w := &Words{Building: b, Voids: r, System: sys}
	w.trussOf = sync.OnceValue(func() map[int]*recognise.Truss {
		of := map[int]*recognise.Truss{}
		for _, t := range b.Trusses {
			if t.Element != nil {
				of[t.Element.Index] = t
			}
			for _, m := range t.Members {
				of[m] = t
			}
		}
		return of
	})
	w.unitRoom = sync.OnceValue(func() *geom.BoxIndex {
		boxes := make([]geom.Box, len(b.Input.Rooms))
		for i := range boxes {
			boxes[i] = geom.EmptyBox()
			if r := &b.Input.Rooms[i]; r.Mesh != nil && r.Unit >= 0 {
				boxes[i] = r.Mesh.Box()
			}
		}
		return geom.NewBoxIndex(boxes)
	})
	var units []finding.Unit
	for _, u := range b.Units {
		units = append(units, finding.Unit{ID: u.ID, Name: u.Name})
	}
	w.units = finding.UnitWords(units)
	w.north, w.byPlan = geom.Vec2{Y: 1}, true
	if m := b.Model; m != nil {
		if n, ok := m.TrueNorth(); ok {
			w.north, w.byPlan = n, false
		}
	}
	return w
}

// kinds are the words for voids.
var kinds = map[void.Kind]string{
	void.KindFloor: "floor void", void.KindAttic: "attic", void.KindWall: "wall cavity", void.KindSoffit: "soffit",
	void.KindStair: "stair void", void.KindChase: "chase", void.KindCrawl: "crawl space",
}

// Kind returns the word for a kind of void.
func Kind(k void.Kind) string {
	if s, ok := kinds[k]; ok {
		return s
	}
	return "void"
}

// framings are the words for framings.
var framings = map[void.Framing]string{
	void.FramingTruss: "open-web trusses", void.FramingSolid: "solid joists", void.FramingI: "I-joists",
	void.FramingRafter: "rafters", void.FramingStud: "studs", void.FramingNone: "no framing",
}

// Framing returns the words for a framing; "framing not shown" when it is unknown.
func Framing(f void.Framing) string {
	if s, ok := framings[f]; ok {
		return s
	}
	return "framing not shown"
}

// VoidID returns the id of a void as findings carry it: "V2".
func VoidID(v *void.Void) string { return finding.VoidID(v.Index) }

// CompartmentID returns the id of a compartment as findings carry it: "V2.1".
func CompartmentID(c *void.Compartment) string {
	if c.Void == nil {
		return fmt.Sprintf("C%d", c.Index+1)
	}
	return finding.CompartmentID(c.Void.Index, c.Number)
}

// Unit returns the word for a dwelling unit: "U1", "Unit A"; "common space" for -1.
func (w *Words) Unit(u int) string {
	switch {
	case u < 0:
		return "common space"
	case u < len(w.units) && w.units[u] != "":
		return w.units[u]
	}
	return fmt.Sprintf("U%d", u+1)
}

// Units returns "U1", "U1 and U2", "U1, U2 and U3" or, from five on, "U1 to U5" when they
// are consecutive.
func (w *Words) Units(us []int) string {
	var s []string
	run := len(us) > 3
	for i, u := range us {
		s = append(s, w.Unit(u))
		run = run && (i == 0 || u == us[i-1]+1)
	}
	if run {
		return s[0] + " to " + s[len(s)-1]
	}
	return List(s)
}

// List joins words: "a", "a and b", "a, b and c".
func List(s []string) string {
	if len(s) < 2 {
		return strings.Join(s, "")
	}
	return strings.Join(s[:len(s)-1], ", ") + " and " + s[len(s)-1]
}

// Short joins at most n words and tells how many more there are.
func Short(s []string, n int) string {
	if len(s) <= n {
		return List(s)
	}
	return fmt.Sprintf("%s and %d more", strings.Join(s[:n], ", "), len(s)-n)
}

// UnitLine returns "unit line U1/U2" for a separation by its index.
func (w *Words) UnitLine(sep int) string {
	u := w.SeparationUnits(sep)
	return "unit line " + finding.UnitLine(w.Unit(u[0]), w.Unit(u[1]))
}

// SeparationUnits returns the two units of a separation, the lower index first unless one
// is unknown (-1, put last).
func (w *Words) SeparationUnits(sep int) [2]int {
	u := [2]int{-1, -1}
	if sep >= 0 && sep < len(w.Building.Input.Separations) {
		u = w.Building.Input.Separations[sep].Units
	}
	if u[0] < 0 || u[1] >= 0 && u[1] < u[0] {
		u[0], u[1] = u[1], u[0]
	}
	return u
}

// UnitList returns the known units of a separation.
func (w *Words) UnitList(sep int) []int {
	var r []int
	for _, u := range w.SeparationUnits(sep) {
		if u >= 0 {
			r = append(r, u)
		}
	}
	return r
}

// Storey returns the name of a storey by index, "" when there is none.
func (w *Words) Storey(i int) string {
	m := w.Building.Model
	if m == nil || i < 0 || i >= len(m.Storeys) {
		if i < 0 {
			return ""
		}
		return fmt.Sprintf("storey %d", i+1)
	}
	return m.StoreyName(i)
}

// Void names a void by what it is and whose: "floor void of U1", "attic over U1 and U2".
func (w *Words) Void(v *void.Void) string {
	switch {
	case v == nil:
		return "void"
	case v.Kind == void.KindWall:
		return w.Cavity(v.Wall)
	case len(v.Units) == 0 || w.alone():
		return Kind(v.Kind)
	case v.Kind == void.KindAttic:
		return "attic over " + w.Units(v.Units)
	}
	return Kind(v.Kind) + " of " + w.Units(v.Units)
}

// alone reports whether the whole building was taken as one unit: naming it tells nothing.
func (w *Words) alone() bool { return len(w.Building.Units) == 1 && w.Building.Units[0].Assumed }

// Compartment names a compartment: its void, and which part of it when there are several.
func (w *Words) Compartment(c *void.Compartment) string {
	v := c.Void
	if v == nil || len(v.Compartments) < 2 {
		return w.Void(v)
	}
	own := *v
	own.Units = c.Units
	alone := 0 // parts of the void over the same units
	for _, d := range v.Compartments {
		if equal(d.Units, c.Units) {
			alone++
		}
	}
	if alone == 1 {
		return w.Void(&own)
	}
	return fmt.Sprintf("%s, part %d of %d", w.Void(&own), c.Number, len(v.Compartments))
}

func equal(a, b []int) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// Wall names a wall: its unit line, or its element.
func (w *Words) Wall(i int) string {
	if i < 0 || i >= len(w.Building.Input.Walls) {
		return "wall"
	}
	wall := &w.Building.Input.Walls[i]
	if wall.Separation >= 0 {
		return w.UnitLine(wall.Separation)
	}
	first, whole := "", ""
	for _, e := range wall.Elements {
		n := w.Element(e)
		if el := w.ModelElement(e); whole == "" && el != nil && el.Whole != nil { // the frame rather than one stud of it
			whole = Name(el.Whole)
		}
		if n != "" && e < len(w.Building.Things) && (w.Building.Things[e].Concept == recognise.Wall || w.Building.Things[e].Concept == recognise.Separation) {
			return Named("wall", n)
		}
		if first == "" {
			first = n
		}
	}
	switch {
	case whole != "":
		return Named("wall", whole)
	case first != "":
		return "wall of " + first
	}
	return "wall"
}

// Cavity names the cavity of a wall.
func (w *Words) Cavity(i int) string {
	if i < 0 {
		return "wall cavity"
	}
	return "cavity of " + w.Wall(i)
}

// Length prints metres in the reader's units.
func (w *Words) Length(m float64) string { return measure.FormatLength(m, w.System) }

// Area prints square metres in the reader's units.
func (w *Words) Area(m2 float64) string { return measure.FormatArea(m2, w.System) }

// Volume prints cubic metres in the reader's units.
func (w *Words) Volume(m3 float64) string { return measure.FormatVolume(m3, w.System) }

// Size prints a clear size: width by height.
func (w *Words) Size(o *void.Opening) string {
	return w.Length(o.WidthM) + " x " + w.Length(o.HeightM)
}

// Ring says how much a ring round a service leaves open at its narrowest and its widest place,
// metres: limits speak of the widest.
func (w *Words) Ring(narrow, wide float64) string {
	const even = 0.003 // a ring that varies less is one width all round
	switch {
	case wide-narrow < even:
		return w.Length(wide) + " open round it"
	case narrow < even:
		return w.Length(wide) + " open beside it at the widest place"
	}
	return fmt.Sprintf("%s open round it at the widest place and %s at the narrowest", w.Length(wide), w.Length(narrow))
}

// Pair prints a value beside its limit so that they never read the same when they differ.
func (w *Words) Pair(v, limit float64, unit string) (value, bound string) {
	if math.Abs(v-limit) <= 1e-6*math.Abs(limit) {
		v = limit // they differ by floating point only
	}
	return measure.FormatPair(v, limit, unit, w.System)
}

// Board is the usual stop in the reader's units, as remedies name it.
func (w *Words) Board() string {
	if w.System == measure.SI {
		return "12.7 mm gypsum board or 9.5 mm wood structural panel"
	}
	return "1/2 in gypsum board or 3/8 in wood structural panel"
}

// Block is the usual fireblock in the reader's units, as remedies name it.
func (w *Words) Block() string {
	if w.System == measure.SI {
		return "lumber 38 mm thick, 18.3 mm wood structural panel or 12.7 mm gypsum board"
	}
	return "2x lumber, 23/32 in wood structural panel or 1/2 in gypsum board"
}

// Sorted returns names in natural order.
func Sorted(s []string) []string {
	s = append([]string(nil), s...)
	sort.SliceStable(s, func(i, j int) bool { return finding.Natural(s[i], s[j]) < 0 })
	return s
}
