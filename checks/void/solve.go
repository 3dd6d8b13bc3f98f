package void

import (
	"context"
	"fmt"
	"math"
	"sort"
	"sync"

	"voidcheck/ifcx/geom"
)

// solver is one run.
type solver struct {
	in  *Input
	f   frame
	gap float64
	res *Result

	placed      []*solid // by part, nil without a mesh
	boxes       []geom.Box
	placedRooms []*solid
	roomBoxes   []geom.Box
	decks       []int
	deckIndex   *partIndex
	ceilings    *partIndex
	atticFloor  map[int]bool // decks that are the floor of an attic
	index       *geom.BoxIndex

	stackAbove []bool
	sep        []int // separation of each wall, that of the wall below where it has none
	stackOf    []*stack
	stacks     []*stack
	wallVoid   []*Void
	found      []found
	framed     map[*level]map[[2]int32]bool
	atLevel    map[int][]*Opening // by wall
	atFloor    map[int][]*Opening // by wall: openings at its floor level
	planes     []levelPlane       // where stops close double walls, by height
	unknown    map[int]bool       // by wall: its gap may or may not be closed above it
	mu         sync.Mutex
}

// Solve works out the concealed spaces of a building. It returns an error only when the
// context ends; odd input shows as warnings in the result.
func Solve(ctx context.Context, in *Input) (*Result, error) {
	s := &solver{in: in, res: &Result{}, gap: in.MaxGap - openTol, framed: map[*level]map[[2]int32]bool{}, atticFloor: map[int]bool{}, atLevel: map[int][]*Opening{}, atFloor: map[int][]*Opening{}, unknown: map[int]bool{}}
	if in.MaxGap <= 0 {
		s.gap = defaultMaxGap - openTol
	}
	s.place()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.findStacks()
	s.wallVoids()
	levels := s.findLevels()
	var buf scratch
	for i := range levels { // one by one: the field of a level is large
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		buf.reset()
		h := newHorizontal(s, &levels[i], &buf)
		h.compartments()
		h.reportLines()
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	buf = scratch{}
	s.cavities()
	s.stairs()
	s.chases()
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
	s.f = frame{o: o, dir: dominantDirection(s.in.Parts)}
	s.placed, s.boxes = s.placeAll(s.in.Parts)
	for i, sd := range s.placed {
		if sd != nil && sd.role == RoleDeck {
			s.decks = append(s.decks, i)
		}
	}
	s.deckIndex, s.ceilings = s.indexOf(RoleDeck), s.indexOf(RoleCeiling)
	s.index = geom.NewBoxIndex(s.boxes)
	rooms := make([]Part, len(s.in.Rooms))
	for i, r := range s.in.Rooms {
		rooms[i] = Part{Mesh: r.Mesh, Role: roleRoom}
	}
	s.placedRooms, s.roomBoxes = s.placeAll(rooms)
	for i, sd := range s.placedRooms {
		if sd == nil {
			s.placedRooms[i] = &solid{part: i, role: roleRoom, box: geom.EmptyBox(), faces: noFaces}
		}
	}
}

// placeAll returns parts in the solver's frame, nil for those without faces, and their boxes.
func (s *solver) placeAll(parts []Part) ([]*solid, []geom.Box) {
	placed, boxes := make([]*solid, len(parts)), make([]geom.Box, len(parts))
	inPieces(len(parts), func(_, from, to int) {
		p := placer{f: s.f}
		for i := from; i < to; i++ {
			boxes[i] = geom.EmptyBox()
			if placed[i] = p.place(&parts[i], i, nil); placed[i] != nil {
				boxes[i] = placed[i].box
			}
		}
	})
	return placed, boxes
}

// inFraming reports whether framing of a level stands within a bay of a plan point.
func (s *solver) inFraming(u, v float64, l *level) bool {
	const sq = 0.5
	s.mu.Lock()
	defer s.mu.Unlock()
	m := s.framed[l]
	if m == nil {
		m = map[[2]int32]bool{}
		for _, i := range l.parts {
			switch s.in.Parts[i].Role {
			case RoleChord, RoleJoist, RoleRafter:
			default:
				continue
			}
			b := s.boxes[i]
			d := b.Size()
			if b.Max.Z > l.zt+0.05 { // its top chord lies under the deck
				continue
			}
			gu, gv := 0.35, 0.35
			if d.X > d.Y {
				gu = 0
			} else {
				gv = 0
			}
			for x := floor32((b.Min.X - gu) / sq); x <= floor32((b.Max.X+gu)/sq); x++ {
				for y := floor32((b.Min.Y - gv) / sq); y <= floor32((b.Max.Y+gv)/sq); y++ {
					m[[2]int32{x, y}] = true
				}
			}
		}
		s.framed[l] = m
	}
	return m[[2]int32{floor32(u / sq), floor32(v / sq)}]
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
	s.res.Warnings = append(s.res.Warnings, fmt.Sprintf("an opening (%s) of %.2f m x %.2f m, %.2f m up, leads out of a concealed space (%s) to where none was found; it is not judged: look there on the drawings",
		o.Kind, o.WidthM, o.HeightM, o.Point.Z, c.Void.Kind))
}

// finish resolves the ends of openings, numbers everything in a fixed order and joins
// compartments into groups.
func (s *solver) finish() {
	kinds := map[Kind]int{KindFloor: 0, KindCrawl: 1, KindSoffit: 2, KindAttic: 3, KindStair: 4, KindChase: 5, KindWall: 6}
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
