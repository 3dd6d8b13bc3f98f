package void

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sort"
	"sync"

	"voidcheck/ifcx/geom"
)

// solver is one run.
type solver struct {
	in    *Input
	f     frame
	gap   float64
	cores int
	res   *Result

	boxes      []geom.Box
	roomBoxes  []geom.Box
	decks      []int
	deckIndex  *PartIndex
	ceilings   *PartIndex
	floors     *PartIndex      // decks and what is solid
	covers     *PartIndex      // decks, ceilings and roofs
	atticFloor map[int]bool    // decks that are the floor of an attic
	joistFoot  map[int]float64 // undersides of joists, by part
	index      *geom.BoxIndex

	stackAbove []bool
	sep        []int // separation of each wall, that of the wall below where it has none
	stackOf    []*stack
	stacks     []*stack
	wallVoid   []*Void
	found      []found
	atLevel    map[int][]*Opening // by wall
	atFloor    map[int][]*Opening // by wall: openings at its floor level
	planes     []levelPlane       // where stops close double walls, by height
	unknown    map[int]bool       // by wall: its gap may or may not be closed above it
	bare       map[int]bool       // by wall: its cavity ends under nothing
	mu         sync.Mutex         // of what walls that are looked at side by side add: res.Unsolved
}

// Solve works out the concealed spaces of a building. It returns an error only when the
// context ends; odd input shows as warnings in the result.
func Solve(ctx context.Context, in *Input) (*Result, error) {
	in = in.filled()
	s := &solver{in: in, res: &Result{}, gap: in.MaxGap - openTol, cores: runtime.GOMAXPROCS(0), atticFloor: map[int]bool{}, atLevel: map[int][]*Opening{}, atFloor: map[int][]*Opening{}, unknown: map[int]bool{}, bare: map[int]bool{}}
	if in.MaxGap <= 0 {
		s.gap = defaultMaxGap - openTol
	}
	s.place()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.findStacks()
	s.wallVoids()
	s.joistFoot = s.joistFeet()
	levels := s.findLevels()
	for i := range levels { // one by one: the field of a level is large
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		h := newHorizontal(s, &levels[i], &scratch{})
		h.compartments()
		h.reportLines()
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.cavities()
	s.stairs()
	s.chases()
	slices.Sort(s.res.Unsolved) // walls are looked at side by side
	s.res.Warnings = append(s.res.Warnings, s.res.Unsolved...)
	s.finish()
	return s.res, ctx.Err()
}

// place turns all parts and rooms into the solver's frame.
func (s *solver) place() {
	o := geom.Vec2{}
	for i := range s.in.Parts {
		if m := s.in.Parts[i].Mesh; len(m.Verts) > 0 {
			o = m.Verts[0].Plan()
			break
		}
	}
	s.f = frame{o: o, dir: dominantDirection(s.in.Parts, s.cores)}
	s.boxes = s.boxesOf(len(s.in.Parts), s.part)
	for i := range s.in.Parts {
		if s.in.Parts[i].Role == RoleDeck && !s.boxes[i].IsEmpty() {
			s.decks = append(s.decks, i)
		}
	}
	s.deckIndex, s.ceilings = s.indexOf(RoleDeck), s.indexOf(RoleCeiling)
	s.floors = s.indexOf(RoleDeck, RoleSolid)
	s.covers = s.indexOf(RoleDeck, RoleCeiling, RoleRoof)
	s.index = geom.NewBoxIndex(s.boxes)
	s.roomBoxes = s.boxesOf(len(s.in.Rooms), s.room)
}

func (s *solver) part(i int) *Part { return &s.in.Parts[i] }

// room returns a room as a part.
func (s *solver) room(i int) *Part { return &Part{Mesh: s.in.Rooms[i].Mesh, Role: roleRoom} }

// boxesOf returns the boxes of n parts in the solver's frame, empty for those without faces.
func (s *solver) boxesOf(n int, part func(int) *Part) []geom.Box {
	boxes := make([]geom.Box, n)
	inPieces(s.cores, n, func(_, from, to int) {
		for i := from; i < to; i++ {
			boxes[i] = geom.EmptyBox()
			m := part(i).Mesh
			if len(m.Tris) == 0 {
				continue
			}
			for _, v := range m.Verts {
				boxes[i] = boxes[i].Extend(s.f.at(v))
			}
		}
	})
	return boxes
}

// placeAll returns the parts with some numbers in the solver's frame, in order; those without
// faces are left out.
func (s *solver) placeAll(ids []int, part func(int) *Part) []*solid {
	placed := make([]*solid, len(ids))
	inPieces(s.cores, len(ids), func(_, from, to int) {
		p := placer{f: s.f}
		for k := from; k < to; k++ {
			placed[k] = p.place(part(ids[k]), ids[k], nil)
		}
	})
	return slices.DeleteFunc(placed, func(sd *solid) bool { return sd == nil })
}

// overDeck reports whether a deck lies below a plan point, under height z.
func (s *solver) overDeck(u, v, z float64) bool {
	p := geom.Vec2{X: u, Y: v}
	for _, i := range s.deckIndex.In(upright(p, p)) {
		b := s.boxes[i]
		if b.Min.Z < z && b.Min.X < u && u < b.Max.X && b.Min.Y < v && v < b.Max.Y {
			return true
		}
	}
	return false
}

// noteLost says that an opening leads out of a space to where none was found: it cannot be
// judged, and must not go unsaid.
func (s *solver) noteLost(o *found) {
	c := o.A
	if c == nil {
		c = o.B
	}
	if c == nil || o.A != nil && o.B != nil {
		return
	}
	s.res.Warnings = append(s.res.Warnings, fmt.Sprintf("an opening (%s) of %.0f mm x %.0f mm, %.2f m up, leads out of a concealed space (%s) to where none was found; it is not judged: look there on the drawings",
		o.Kind, o.WidthM*1000, o.HeightM*1000, o.Point.Z, c.Void.Kind))
	if o.Line != nil {
		o.Line.Lost = true
	}
}

// noteTooFine says that a plan could not be cut and that what lies there goes unjudged.
func (s *solver) noteTooFine(what string, z0, z1 float64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.res.Unsolved = append(s.res.Unsolved, fmt.Sprintf("the concealed spaces of the %s from %.2f m to %.2f m up cannot be worked out: parts cross each other there at more oblique edges than any building has; nothing of it is judged; look for parts that are turned or stretched wrongly", what, z0, z1))
}

// finish resolves the ends of openings, numbers everything in a fixed order and joins
// compartments into groups.
func (s *solver) finish() {
	kinds := map[Kind]int{KindFloor: 0, KindCrawl: 1, KindSoffit: 2, KindAttic: 3, KindStair: 4, KindChase: 5, KindWall: 6}
	s.divide()
	for i := range s.found {
		o := &s.found[i]
		o.A, o.B = o.a.comp, o.b.comp
		s.noteLost(o)
		if o.a.pocket && (o.Kind == OpenPlate || o.Kind == OpenLevel) {
			o.A = nil // only a pocket above the closure is open to the void
		}
		if o.A == nil || o.B == nil || o.A == o.B && !o.open && (o.Line == nil || o.Line.Kind != LineDraftstop) {
			continue
		}
		x := o.Opening
		s.res.Openings = append(s.res.Openings, &x)
		if l := x.Line; l != nil {
			if l.Void == nil { // no void was met beside the line: what opens in it is told all the same
				l.Void = x.A.Void
				if x.B.AreaM2 > x.A.AreaM2 {
					l.Void = x.B.Void
				}
				s.res.Lines = append(s.res.Lines, l)
			}
			l.Openings = append(l.Openings, &x)
		}
		if x.Kind == OpenLevel || x.Kind == OpenPlate {
			s.noteLevel(o, &x)
		}
	}
	s.closeLevels()
	vs := s.res.Voids
	sort.SliceStable(vs, func(i, j int) bool {
		a, b := vs[i], vs[j]
		if kinds[a.Kind] != kinds[b.Kind] {
			return kinds[a.Kind] < kinds[b.Kind]
		}
		if a.Storey != b.Storey {
			return a.Storey < b.Storey
		}
		if a.Wall != b.Wall {
			return a.Wall < b.Wall
		}
		return s.before(a.Compartments[0].Point, b.Compartments[0].Point)
	})
	for i, v := range vs {
		v.Index = i
		sort.SliceStable(v.Compartments, func(a, b int) bool { return s.before(v.Compartments[a].Point, v.Compartments[b].Point) })
		for k, c := range v.Compartments {
			c.Number = k + 1
			c.Index = len(s.res.Compartments)
			s.res.Compartments = append(s.res.Compartments, c)
		}
	}
	uf := newUnion(len(s.res.Compartments))
	for _, o := range s.res.Openings {
		uf.join(int32(o.A.Index), int32(o.B.Index))
	}
	for _, c := range s.res.Compartments {
		c.Joined = int(uf.find(int32(c.Index)))
	}
	sort.SliceStable(s.res.Openings, func(i, j int) bool {
		a, b := s.res.Openings[i], s.res.Openings[j]
		if math.Abs(a.Point.Z-b.Point.Z) > 1e-3 {
			return a.Point.Z < b.Point.Z
		}
		return s.before(a.Point, b.Point)
	})
	for i, o := range s.res.Openings {
		o.Index = i
	}
	for i, l := range s.res.Lines {
		l.Index = i
		sort.SliceStable(l.Openings, func(a, b int) bool { return l.Openings[a].Index < l.Openings[b].Index })
	}
}

// before orders places along the building, to a millimetre.
func (s *solver) before(a, b geom.Vec3) bool {
	p, q := s.f.in(a.Plan()), s.f.in(b.Plan())
	if math.Abs(p.X-q.X) > 1e-3 {
		return p.X < q.X
	}
	if math.Abs(p.Y-q.Y) > 1e-3 {
		return p.Y < q.Y
	}
	return a.Z < b.Z-1e-3
}

func floor32(x float64) int32 {
	i := int32(x)
	if float64(i) > x {
		i--
	}
	return i
}
