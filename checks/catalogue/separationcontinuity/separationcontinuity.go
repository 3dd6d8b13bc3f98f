// Package separationcontinuity is the separation-continuity check.
package separationcontinuity

import (
	"context"
	"fmt"
	"slices"
	"sort"
	"sync"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Check is the separation-continuity check.
var Check = &checks.Check{
	Name:  "separation-continuity",
	Title: "continuity of unit separations up to the roof",
	Doc: "A unit separation runs unbroken from its lowest storey to the underside of the roof sheathing: at the top of its walls on every storey the wall itself goes " +
		"on, or stops close the void above in line with it, on each side of a double wall. Where the unit line is open this item is a consequence of the openings " +
		"that the unit line names. Draftstops in the attic over walls that end at the ceiling stand for the walls, or are asked about where the wall itself has to go on. A separation that ends short of the exterior wall, so that nothing stands between rooms of two units, is deficient there. A storey on which rooms of both units adjoin without a separation between them is not shown.",
	Topic: "continuity of dwelling unit separations",
	Params: []adoption.Param{{
		Name: "max-gap", Kind: adoption.Length, Default: "1/2 in",
		Doc:    "clear width and height from which a gap counts as open; heights are plumb, also under a sloped roof",
		Source: "our tolerance, the codes say tight to the sheathing; the duty: foundation to underside of roof sheathing (seen in Florida BI-112 extract)",
	}, {
		Name: wallInAttic, Kind: adoption.Switch, Default: "false",
		Doc: "whether the wall itself has to go on through the attic, so that draftstops in line with it are not enough",
		Source: "off as in the IBC, whose fire partitions may stop below the sheathing where the space above is draftstopped along their line (708.4.2 as the 2021 home seen in an officials' discussion); " +
			"the IRC wants the wall up to the roof sheathing (R302.2.3 seen in a digest, R302.3 in Florida BI-112 extract)",
	}},
	Run: run,
}

const wallInAttic = "wall-in-attic"

func run(ctx context.Context, p *checks.Pass) error {
	gap, on := p.Limits.Get("max-gap")
	if !on {
		return nil
	}
	j := judge{p, place.New(p.Building, p.Voids, p.Units), gap, false, map[int][]*void.Room{}, nil, nil}
	j.parts = sync.OnceValue(func() *geom.BoxIndex {
		boxes := make([]geom.Box, len(p.Building.Input.Parts))
		for i := range boxes {
			boxes[i] = geom.EmptyBox()
			if m := p.Building.Input.Parts[i].Mesh; m != nil {
				boxes[i] = m.Box()
			}
		}
		return geom.NewBoxIndex(boxes)
	})
	_, j.whole = p.Limits.Get(wallInAttic)
	j.walls = sync.OnceValue(func() *geom.BoxIndex {
		boxes := make([]geom.Box, len(p.Building.Input.Walls))
		for i := range boxes {
			boxes[i] = p.Building.Input.Walls[i].Box()
		}
		return geom.NewBoxIndex(boxes)
	})
	for i := range p.Building.Input.Rooms {
		if r := &p.Building.Input.Rooms[i]; r.Mesh != nil && !r.Outside {
			j.rooms[r.Unit] = append(j.rooms[r.Unit], r)
		}
	}
	for sep := range p.Building.Input.Separations {
		if err := ctx.Err(); err != nil {
			return err
		}
		j.separation(sep)
	}
	return nil
}

// judge is the pass with its limit read.
type judge struct {
	*checks.Pass
	w     *place.Words
	gap   float64
	whole bool                 // the wall itself has to go on through the attic
	rooms map[int][]*void.Room // enclosed rooms of each unit
	parts func() *geom.BoxIndex
	walls func() *geom.BoxIndex
}

// top is what is known of the tops of a separation's walls on one storey.
type top struct {
	storey   int
	walls    []int
	outcome  finding.Outcome
	evidence finding.Evidence
	bad      []*void.Opening
	ways     map[string]bool // how the walls end
	point    geom.Vec3
	short    bool // told already: its wall ends below the sheathing
	stopped  bool // draftstops go on in the attic in its stead
	bare     bool // ends under a floor whose inside is not shown
	lost     bool // an opening in line with it leads to where no space was found
}

func (j judge) separation(sep int) {
	in := &j.Building.Input
	tops := map[int]*top{}
	var storeys []int
	walls := append([]int(nil), in.Separations[sep].Walls...)
	sort.Ints(walls)
	for _, i := range walls {
		if i < 0 || i >= len(in.Walls) {
			continue
		}
		s := in.Walls[i].Storey
		if tops[s] == nil {
			tops[s] = &top{storey: s, outcome: finding.Meets, ways: map[string]bool{}}
			storeys = append(storeys, s)
		}
		j.wall(tops[s], sep, i)
	}
	sort.Ints(storeys)
	for _, s := range storeys {
		if t := tops[s]; !t.short || t.outcome != finding.Meets {
			j.report(sep, t)
		}
	}
	j.missing(sep)
}

// wall adds what is known of the top of one wall.
func (j judge) wall(t *top, sep, i int) {
	wall := &j.Building.Input.Walls[i]
	t.walls = append(t.walls, i)
	if len(t.walls) == 1 {
		xy := wall.At(wall.Length/2, (wall.Across.Lo+wall.Across.Hi)/2)
		t.point = geom.Vec3{X: xy.X, Y: xy.Y, Z: wall.Z1}
	}
	lines := j.above(sep, i)
	for _, l := range lines {
		if l.Wall == i && j.short(sep, t.storey, l) {
			t.short = true
		}
		bad := grade.Gaps(l.Openings, j.gap)
		if len(bad) == 0 && l.Lost {
			t.lost = true
			t.worse(finding.NotShown)
			continue
		}
		if len(bad) == 0 {
			t.evidence = grade.Weaker(t.evidence, grade.Evidence(l.Void))
			if l.Bounds {
				t.ways["the wall runs through the "+place.Kind(l.Void.Kind)] = true
			} else {
				t.ways["stops close the "+place.Kind(l.Void.Kind)+" in line with it"] = true
				t.stopped = t.stopped || l.Void.Kind == void.KindAttic
			}
			continue
		}
		t.evidence = grade.Weaker(t.evidence, grade.Evidence(l.Void))
		t.bad = append(t.bad, bad...)
		outcome := j.Detail().LineAbsence(l)
		if j.Detail().Stops(l.Elements) {
			outcome = finding.Deficient
		}
		t.worse(outcome)
	}
	switch {
	case len(lines) > 0:
	case j.goesOn(sep, i):
		t.ways["the wall above stands on it"] = true
	case j.reachesTop(wall, false):
		t.ways["it reaches the deck or the roof"] = true
	case j.reachesTop(wall, true):
		t.bare = true
		t.worse(finding.NotShown)
	default:
		t.worse(finding.NotShown)
	}
}

// short reports where a wall that goes on into the attic ends below the sheathing. What else
// may fill the gap, a chord or a rafter, is no part of the separation. It returns whether
// there is such a place.
func (j judge) short(sep, storey int, l *void.Line) bool {
	found := false
	for _, s := range l.Short {
		if s.GapM < j.gap {
			continue
		}
		found = true
		j.Report(checks.Report{
			Outcome: finding.Deficient, Evidence: finding.Modelled, Storey: storey, Units: j.w.UnitList(sep), Point: s.Point,
			Place: j.w.UnitLine(sep) + ", wall in the attic", Elements: j.Building.Input.Walls[l.Wall].Elements, Cause: "wall short of the sheathing",
			Voids:    []*void.Void{l.Void},
			Measured: grade.Metres(s.GapM), Limit: grade.Metres(j.gap),
			Message: fmt.Sprintf("The wall ends %s below the underside of the roof sheathing, measured plumb, over %s of its length.", j.w.Length(s.GapM), j.w.Tape(s.LengthM)),
			Remedy:  "Carry the wall up tight to the underside of the roof sheathing, or as the local code accepts.",
		})
	}
	return found
}

func (t *top) worse(o finding.Outcome) {
	if t.outcome == finding.Meets || o == finding.Deficient {
		t.outcome = o
	}
}

// near is how far above a wall's top the void that it should close may begin, metres: a
// wall may end under the floor framing with a furred ceiling between.
const near = 0.6

// above returns the unit lines at or above the top of a wall.
func (j judge) above(sep, i int) []*void.Line {
	wall := &j.Building.Input.Walls[i]
	var r []*void.Line
	for _, l := range j.Voids.Lines {
		if l.Kind != void.LineSeparation || l.Separation != sep || l.Void == nil || l.Void.Kind == void.KindWall {
			continue
		}
		// Under a sloping roof a line may end above where it begins, or below.
		if max(l.Z0, l.Z1) < wall.Z1-0.05 || min(l.Z0, l.Z1) > wall.Z1+near {
			continue
		}
		if l.Wall == i || over(wall, l) {
			r = append(r, l)
		}
	}
	return r
}

// over reports whether a line lies above a wall in plan.
func over(w *void.Wall, l *void.Line) bool {
	m := l.A.Add(l.B).Mul(0.5).Sub(w.Origin)
	s, t := m.Dot(w.Dir), m.Dot(w.Norm())
	return s > -0.3 && s < w.Length+0.3 && t > w.Across.Lo-0.3 && t < w.Across.Hi+0.3
}

// goesOn reports whether another wall of the separation stands on a wall.
func (j judge) goesOn(sep, i int) bool {
	in := &j.Building.Input
	w := &in.Walls[i]
	for _, k := range in.Separations[sep].Walls {
		if k == i || k < 0 || k >= len(in.Walls) {
			continue
		}
		u := &in.Walls[k]
		m := u.At(u.Length/2, (u.Across.Lo+u.Across.Hi)/2).Sub(w.Origin)
		s, t := m.Dot(w.Dir), m.Dot(w.Norm())
		if u.Z0 <= w.Z1+j.gap && u.Z1 > w.Z1 && s > 0 && s < w.Length && t > w.Across.Lo && t < w.Across.Hi {
			return true
		}
	}
	return false
}

// reachesTop reports whether a roof or deck lies on a wall over most of its length; with bare, also a
// floor in one piece whose inside is not shown.
func (j judge) reachesTop(w *void.Wall, bare bool) bool {
	hits := 0
	for k := 1; k <= 9; k += 2 {
		p := w.At(w.Length*float64(k)/10, (w.Across.Lo+w.Across.Hi)/2)
		for i := range j.Building.Input.Parts {
			part := &j.Building.Input.Parts[i]
			if part.Mesh == nil || part.Role != void.RoleRoof && part.Role != void.RoleDeck && part.Role != void.RoleSolid || part.Bare && !bare || slices.Contains(w.Elements, part.Element) {
				continue
			}
			if lo, hi, ok := heights(part.Mesh, p); ok && lo <= w.Z1+j.gap && hi >= w.Z1-0.05 {
				hits++
				break
			}
		}
	}
	return hits >= 4
}

// heights returns the lowest and highest point of a mesh above a point in plan.
func heights(m *geom.Mesh, p geom.Vec2) (lo, hi float64, ok bool) {
	for _, t := range m.Tris {
		a, b, c := m.Verts[t[0]], m.Verts[t[1]], m.Verts[t[2]]
		area := b.Plan().Sub(a.Plan()).Cross(c.Plan().Sub(a.Plan()))
		if area == 0 {
			continue
		}
		u := p.Sub(a.Plan()).Cross(c.Plan().Sub(a.Plan())) / area
		v := b.Plan().Sub(a.Plan()).Cross(p.Sub(a.Plan())) / area
		if u < 0 || v < 0 || u+v > 1 {
			continue
		}
		z := a.Z + u*(b.Z-a.Z) + v*(c.Z-a.Z)
		if !ok || z < lo {
			lo = z
		}
		if !ok || z > hi {
			hi = z
		}
		ok = true
	}
	return lo, hi, ok
}

func (j judge) report(sep int, t *top) {
	r := checks.Report{
		Outcome: t.outcome, Evidence: grade.Weaker(finding.Modelled, t.evidence), Storey: t.storey, Units: j.w.UnitList(sep), Point: t.point,
		Place: j.w.UnitLine(sep) + ", top of its walls",
	}
	for _, i := range t.walls {
		r.Elements = append(r.Elements, j.Building.Input.Walls[i].Elements...)
	}
	switch {
	case t.outcome == finding.Meets && t.stopped && j.whole:
		r.Outcome, r.Cause = finding.NotShown, "draftstops in the place of the wall"
		r.Message = "The walls of the separation end below the attic, and stops close it in line with them. Whether these are part of the separation, or may stand for it, is not shown."
		r.Remedy = "Carry the wall up to the underside of the roof sheathing, show that what stands in the attic has the construction of the wall, or name the exception by which it may stop below."
	case t.outcome == finding.Meets:
		var ways []string
		for s := range t.ways {
			ways = append(ways, s)
		}
		sort.Strings(ways)
		r.Message = fmt.Sprintf("The separation goes on above its walls here: %s.", place.List(ways))
		if t.stopped {
			r.Message += " That is no wall up to the roof sheathing, where the adopted text wants one."
		}
	case len(t.bad) > 0:
		r.Openings, r.Spaces, r.Point, r.Consequence = t.bad, place.Ends(t.bad), place.Middle(t.bad), true
		r.Cause = "separation interrupted"
		r.Message = fmt.Sprintf("The separation does not go on unbroken above its walls: the %s above is open in line with it at %s.", openInto(t.bad), places(len(t.bad)))
		r.Remedy = "Close what is open in line with the separation, or carry the wall up."
		if t.outcome == finding.NotShown {
			r.Cause = "closure above the separation not shown"
			r.Message = "The walls of the separation end below the void above, and the model does not show what closes it in line with them."
			r.Remedy = "Show what closes the void in line with the separation, or carry the wall up."
		}
	case t.lost:
		r.Cause = "opening not followed"
		r.Message = "An opening above the walls of the separation, in line with them, leads to where no concealed space was found: whether the separation goes on there cannot be told."
		r.Remedy = "Show what closes the void in line with the separation here, or a detail of it."
	case t.bare:
		r.Cause = "floor without layers above the separation"
		r.Message = "The walls of the separation end under a floor that has neither layers nor framing: whether a concealed space in it runs on over them cannot be told."
		r.Remedy = "Show the layers or the framing of this floor, and what closes it in line with the separation."
	default:
		r.Cause = "end of the separation not shown"
		r.Message = "The model shows neither a wall above, nor a deck or roof on top of these walls: how the separation goes on or ends cannot be told."
		r.Remedy = "Show the separation up to the underside of the roof sheathing, with the floors and the roof above it."
	}
	j.Report(r)
}

func places(n int) string {
	if n == 1 {
		return "one place"
	}
	return fmt.Sprintf("%d places", n)
}

// openInto names the kind of void that openings above a wall lead into: a horizontal one first.
func openInto(os []*void.Opening) string {
	for _, o := range os {
		for _, c := range []*void.Compartment{o.A, o.B} {
			if c != nil && c.Void != nil && c.Void.Kind != void.KindWall {
				return place.Kind(c.Void.Kind)
			}
		}
	}
	return "void"
}
