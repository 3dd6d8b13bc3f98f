package ifctest

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

// Plan describes a building of framed boxes put side by side: rows, corners, courts, units back
// to back or over each other, on floors of different height. Each box has walls of its own on all four
// sides; where two face each other across a narrow strip they are a unit separation. Everything that has to be
// closed is closed, but for the seeds. Lengths are metres, the frame is that of the package, its origin anywhere.
type Plan struct {
	Style   House // heights, floor framing and how parts are written; its units are not used
	Boxes   []Dwelling
	Parties []Party // the strips between boxes; found by Build when nil
	Roofs   []PlanRoof
	Wall    string // how separations are built: "double", "staggered", "furred", "masonry"
	Gap     float64
	Attic   string // what divides attics at separations: "wall", "sheet"
	// Bare are rooms (box and storey) without a modelled ceiling.
	Bare    [][2]int
	Defects []Seed
}

// Dwelling is one framed box of one storey or more.
type Dwelling struct {
	X, Y    Span // outer faces of its studs
	Base    float64
	Units   []int   // the unit of each storey; -1 for a corridor
	Stud    float64 // depth of the studs in its walls
	Along   string  // of its floor members, "x" or "y"
	Framing string  // of its floors: "truss", "joist", "i-joist", "solid-truss" (a truss as one body)
	Roof    int     // index into Roofs
	// Stops are draftstops in its floor voids, metres along the way in which members are spaced; AtticStops
	// likewise those of its attic.
	Stops, AtticStops []float64
	Well              *StairHole // a stair well in every floor, as for House
}

// Party is a strip between two boxes, a on its low side.
type Party struct {
	A, B int
	Axis Axis // across the strip
	Gap  Span // across, between the rows; turned round where both share a row
	Run  Span // along
}

// planBuilder builds a plan.
type planBuilder struct {
	*builder
	p     *Plan
	elev  []float64 // of the storeys of the model
	roofs []roofField
}

// Build makes the model of the plan and its truth.
func (p Plan) Build() (*Model, error) {
	h := p.Style
	b := &planBuilder{p: &p, builder: &builder{layout: &layout{h: &h}, m: &Model{Name: h.Name, House: &h}, n: map[Role]int{}, cells: newCells(), walls: map[string]*Part{}}}
	for i := range p.Defects {
		b.seeds = append(b.seeds, &seedState{Seed: p.Defects[i]})
	}
	if p.Parties == nil {
		p.Parties = p.parties()
	}
	b.storeys()
	for i := range p.Roofs {
		b.roofs = append(b.roofs, newRoofField(&p.Roofs[i]))
	}
	for d := range p.Boxes {
		b.box(d)
	}
	for i := range p.Parties {
		b.partyStrip(i)
	}
	for i := range p.Roofs {
		b.roofSheets(i)
	}
	b.planRooms()
	if b.err != nil {
		return nil, b.err
	}
	if err := b.unused(); err != nil {
		return nil, err
	}
	b.m.Truth.Units = p.unitCount()
	b.m.Truth.Joined = b.planJoined()
	b.m.cells = b.cells
	b.keys()
	return b.m, nil
}

func (p *Plan) unitCount() int {
	n := 0
	for _, d := range p.Boxes {
		for _, u := range d.Units {
			n = max(n, u+1)
		}
	}
	return n
}

// shared reports whether the boxes on both sides of a strip share one row of plates.
func (p *Plan) shared() bool { return p.Wall == "staggered" }

// parties finds the strips between boxes that face each other across the gap.
func (p *Plan) parties() []Party {
	gap := p.Gap
	if p.shared() {
		gap = -TwoBy
	}
	var out []Party
	for i, a := range p.Boxes {
		for j, c := range p.Boxes {
			if i == j || a.Base > c.Base+storeyRise(p, &c)-0.5 || c.Base > a.Base+storeyRise(p, &a)-0.5 {
				continue
			}
			if y := (Span{max(a.Y.Lo, c.Y.Lo), min(a.Y.Hi, c.Y.Hi)}); math.Abs(c.X.Lo-a.X.Hi-gap) < 1e-6 && y.Len() > 0.5 {
				out = append(out, Party{i, j, X, Span{a.X.Hi, c.X.Lo}, y})
			}
			if x := (Span{max(a.X.Lo, c.X.Lo), min(a.X.Hi, c.X.Hi)}); math.Abs(c.Y.Lo-a.Y.Hi-gap) < 1e-6 && x.Len() > 0.5 {
				out = append(out, Party{i, j, Y, Span{a.Y.Hi, c.Y.Lo}, x})
			}
		}
	}
	return out
}

// storeyRise is the height of a box over its own floor, to the top of its walls.
func storeyRise(p *Plan, d *Dwelling) float64 {
	return float64(len(d.Units))*(p.Style.WallHeight+p.Style.Floor.Depth+p.Style.Floor.Deck) - p.Style.Floor.Depth - p.Style.Floor.Deck
}

// storeys lists the levels of all boxes, those within 0.7 m of each other as one.
func (b *planBuilder) storeys() {
	var zs []float64
	for d := range b.p.Boxes {
		for k := range b.p.Boxes[d].Units {
			zs = append(zs, b.floorAt(d, k))
		}
	}
	slices.SortFunc(zs, cmp.Compare[float64])
	for _, z := range zs {
		if n := len(b.elev); n == 0 || z-b.elev[n-1] > 0.7 {
			b.elev = append(b.elev, z)
			b.m.Storeys = append(b.m.Storeys, Storey{Name: fmt.Sprintf("Level %d", n+1), Elevation: z})
		}
	}
}

// storey returns the storey of the model that storey k of a box belongs to.
func (b *planBuilder) storey(d, k int) int {
	z, best := b.floorAt(d, k), 0
	for i, e := range b.elev {
		if math.Abs(e-z) < math.Abs(b.elev[best]-z) {
			best = i
		}
	}
	return best
}

func (b *planBuilder) floorAt(d, k int) float64 { return b.p.Boxes[d].Base + b.layout.floorZ(k) }
func (b *planBuilder) plateAt(d, k int) float64 { return b.floorAt(d, k) + b.h.WallHeight }
func (b *planBuilder) topOf(d int) int          { return len(b.p.Boxes[d].Units) - 1 }

// depthAt returns the height of the floor void under storey k of a box.
func (b *planBuilder) depthAt(d, k int) Span {
	z := b.plateAt(d, k-1)
	return Span{z, z + b.h.Floor.Depth}
}

// across returns the extent of a box across an axis and along it.
func (d *Dwelling) across(a Axis) (across, along Span) {
	if a == X {
		return d.X, d.Y
	}
	return d.Y, d.X
}

// row returns the strip of the studs on one side of a box (0 low, 1 high) across an axis.
func (d *Dwelling) row(a Axis, side int) Span {
	s, _ := d.across(a)
	if side == 0 {
		return Span{s.Lo, s.Lo + d.Stud}
	}
	return Span{s.Hi - d.Stud, s.Hi}
}

// rimStrip returns the outer strip over a row in which rim boards and blocks stand.
func (d *Dwelling) rimStrip(a Axis, side int) Span {
	s, _ := d.across(a)
	if side == 0 {
		return Span{s.Lo, s.Lo + TwoBy}
	}
	return Span{s.Hi - TwoBy, s.Hi}
}

// hollow returns the plan of the floor voids of a box, frame that between its studs.
func (d *Dwelling) hollow() (x, y Span) { return d.X.grow(-TwoBy), d.Y.grow(-TwoBy) }
func (d *Dwelling) frame() (x, y Span)  { return d.X.grow(-d.Stud), d.Y.grow(-d.Stud) }

// standing returns a sheet across an axis: an outline in (along, z).
func standing(a Axis, across Span, outline []geom.Vec2, holes ...[]geom.Vec2) Prism {
	if a == X {
		return SheetX(across, outline, holes...)
	}
	return SheetY(across, outline, holes...)
}

// cuboid returns a box by its spans across an axis, along and in height; dir tells how the
// solid is extruded: X across, Y along, Z up.
func cuboid(a Axis, across, along, z Span, dir Axis) Prism {
	if a == X {
		return Box(across, along, z, dir)
	}
	if dir != Z {
		dir = 1 - dir
	}
	return Box(along, across, z, dir)
}

// spot returns the point at a place across and along an axis.
func spot(a Axis, across, along, z float64) geom.Vec3 {
	if a == X {
		return pt(across, along, z)
	}
	return pt(along, across, z)
}

// facing returns the pieces of one side of a box: those that face another box, with the number of
// the party, and the rest, with -1.
func (b *planBuilder) facing(d int, a Axis, side int) []facing {
	_, run := b.p.Boxes[d].across(a)
	var out []facing
	var taken []Span
	for i, q := range b.p.Parties {
		if q.Axis == a && (side == 1 && q.A == d || side == 0 && q.B == d) {
			taken = append(taken, q.Run)
			out = append(out, facing{i, q.Run})
		}
	}
	for _, s := range without(run, taken) {
		out = append(out, facing{-1, s})
	}
	slices.SortFunc(out, func(x, y facing) int { return cmp.Compare(x.run.Lo, y.run.Lo) })
	return out
}

// facing is a piece of a side of a box.
type facing struct {
	party int
	run   Span
}

// UnitAt returns the unit in whose rooms a point lies, -1 for none.
func (p *Plan) UnitAt(q geom.Vec3) int {
	rise := p.Style.WallHeight + p.Style.Floor.Depth + p.Style.Floor.Deck
	for _, d := range p.Boxes {
		if k := int(math.Floor((q.Z - d.Base) / rise)); k >= 0 && k < len(d.Units) && q.X > d.X.Lo && q.X < d.X.Hi && q.Y > d.Y.Lo && q.Y < d.Y.Hi {
			return d.Units[k]
		}
	}
	return -1
}
