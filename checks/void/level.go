package void

import (
	"math"
	"slices"
	"sort"

	"voidcheck/ifcx/geom"
)

// level is one horizontal layer of voids: between ceilings and one level of decks, or
// between the top ceilings and the roof.
type level struct {
	kind   Kind
	top    Role
	storey int
	zt     float64 // usual underside of the top membrane
	zmin   float64 // lowest underside of it
	zmax   float64 // and the highest
	zlo    float64 // window looked at
	zhi    float64
	// plane is the underside of the framing, taken where no ceiling is modelled.
	plane    float64
	hasPlane bool
	feet     []float64 // undersides of its framing: those of units side by side may differ
	ceilings []int     // parts that are its ceilings
	parts    []int     // candidates: parts that reach into the window
	rooms    []int
}

// owns reports whether a deck whose underside lies at z is of this level: lower ones belong to the one below.
func (l *level) owns(z float64) bool {
	const joint = 0.02 // metres
	return z > l.zmin-joint
}

// How far below a membrane its void may reach, metres: a dropped ceiling over a room still
// leaves head height, and no floor void is deeper.
const (
	maxFloorVoid = 2.0
	minRoom      = 1.5
	minCrawl     = 0.15
	deckStep     = 0.45 // decks farther apart in height are different levels
)

// boxes of parts and rooms in height order are what the levels are found from.
func (s *solver) findLevels() []level {
	type deck struct {
		z0, z1, area float64
		box          geom.Box
	}
	var decks []deck
	var roofs []int
	for i := range s.in.Parts {
		b := s.boxes[i]
		switch s.in.Parts[i].Role {
		case RoleDeck:
			d := b.Size()
			decks = append(decks, deck{b.Min.Z, b.Max.Z, d.X * d.Y, b})
		case RoleRoof:
			roofs = append(roofs, i)
		}
	}
	sort.Slice(decks, func(i, j int) bool {
		if decks[i].z0 != decks[j].z0 {
			return decks[i].z0 < decks[j].z0
		}
		return decks[i].area > decks[j].area
	})
	var out []level
	for i := 0; i < len(decks); {
		j := i + 1
		for j < len(decks) && decks[j].z0-decks[i].z0 < deckStep {
			j++
		}
		l := level{kind: KindFloor, top: RoleDeck, zhi: decks[i].z1, zmin: decks[i].z0, zmax: decks[i].z0}
		best := 0.0
		for _, d := range decks[i:j] {
			if d.area > best {
				best, l.zt = d.area, d.z0
			}
			l.zhi, l.zmax = math.Max(l.zhi, d.z1), math.Max(l.zmax, d.z0)
		}
		// The deck below is one under these: units side by side may be stepped.
		floor := math.Inf(-1)
		for _, d := range decks[:i] {
			for _, e := range decks[i:j] {
				if overlapPlan(d.box, e.box) > 0.1*math.Min(d.area, e.area) {
					floor = math.Max(floor, d.z1)
				}
			}
		}
		head := minRoom
		if l.zt-floor < maxFloorVoid { // no room fits below: the floor over a crawl space
			head = minCrawl
		}
		lower := math.Max(l.zt-maxFloorVoid, floor+head)
		l.zhi += 0.03
		l.storey = s.storeyAt(l.zt)
		if s.bottomOf(&l, lower) {
			out = append(out, l)
		}
		i = j
	}
	if len(roofs) > 0 {
		l := level{kind: KindAttic, top: RoleRoof, zt: math.Inf(1), zhi: math.Inf(-1)}
		for _, i := range roofs {
			l.zt = math.Min(l.zt, s.boxes[i].Min.Z)
			l.zhi = math.Max(l.zhi, s.boxes[i].Max.Z)
		}
		l.zhi += 0.03
		s.findAtticFloors(&l)
		if s.bottomOf(&l, math.Inf(-1)) {
			l.storey = s.storeyAt(l.zlo)
			out = append(out, l)
		}
	}
	for i := range out {
		s.collect(&out[i])
	}
	return out
}

// overlapPlan returns the plan area that two boxes share, square metres.
func overlapPlan(a, b geom.Box) float64 {
	u := math.Min(a.Max.X, b.Max.X) - math.Max(a.Min.X, b.Min.X)
	v := math.Min(a.Max.Y, b.Max.Y) - math.Max(a.Min.Y, b.Min.Y)
	return math.Max(0, u) * math.Max(0, v)
}

// findAtticFloors finds the decks that only a sloping roof covers, coming down to them at its
// eaves, with no room between: the boarded floor of an attic.
func (s *solver) findAtticFloors(l *level) {
	const knee = 0.8 // greatest height of the eaves over the boards, metres
	over, rooms := s.indexOf(RoleRoof), geom.NewBoxIndex(s.roomBoxes)
	for _, i := range s.decks {
		b := s.boxes[i]
		if s.deckOver(b, l.zhi) {
			continue
		}
		c := b.Center()
		eaves, covered := math.Inf(1), false
		for _, r := range over.In(upright(b.Min.Plan(), b.Max.Plan())) {
			rb := s.boxes[r]
			if rb.Min.X < b.Max.X && rb.Max.X > b.Min.X && rb.Min.Y < b.Max.Y && rb.Max.Y > b.Min.Y && rb.Max.Z > b.Max.Z+knee {
				eaves = math.Min(eaves, rb.Min.Z)
				covered = true
			}
		}
		if !covered || eaves > b.Max.Z+knee {
			continue
		}
		lived := false
		for _, k := range rooms.In(upright(c.Plan(), c.Plan())) {
			rb := s.roomBoxes[k]
			if s.in.Rooms[k].Element >= 0 && rb.Min.X < c.X && c.X < rb.Max.X && rb.Min.Y < c.Y && c.Y < rb.Max.Y && rb.Max.Z > b.Max.Z+0.5 {
				lived = true
			}
		}
		for _, k := range s.ceilings.In(upright(c.Plan(), c.Plan())) {
			if cb := s.boxes[k]; cb.Min.Z > b.Max.Z+minRoom && cb.Min.X < c.X && c.X < cb.Max.X && cb.Min.Y < c.Y && c.Y < cb.Max.Y {
				lived = true
			}
		}
		if !lived {
			s.atticFloor[i] = true
		}
	}
}

// joistFeet returns the undersides of joists by part: an I-joist may be several solids, of one
// element or of several, whose upper flange goes on in a lower one straight below.
func (s *solver) joistFeet() map[int]float64 {
	const flange, deepest = 0.08, 0.7 // metres
	out, own := map[int]float64{}, map[int]float64{}
	var joists []int
	var boxes []geom.Box
	for i := range s.in.Parts {
		if p := &s.in.Parts[i]; p.Role == RoleJoist {
			joists, boxes = append(joists, i), append(boxes, s.boxes[i])
			if z, ok := own[p.Element]; !ok || s.boxes[i].Min.Z < z {
				own[p.Element] = s.boxes[i].Min.Z
			}
		}
	}
	index := geom.NewBoxIndex(boxes)
	for k, i := range joists {
		b, c := boxes[k], boxes[k].Center().Plan()
		out[i] = b.Min.Z
		if e := s.in.Parts[i].Element; e >= 0 {
			out[i] = own[e]
		}
		if b.Max.Z-b.Min.Z > flange {
			continue
		}
		for _, j := range index.In(upright(c, c)) {
			o := boxes[j]
			lower := o.Max.Z < b.Min.Z+0.005 && b.Max.Z-o.Min.Z < deepest
			if d, f := b.Size(), o.Size(); lower && math.Abs(d.X-f.X) < 0.1*d.X+0.1 && math.Abs(d.Y-f.Y) < 0.1*d.Y+0.1 {
				out[i] = math.Min(out[i], o.Min.Z)
			}
		}
	}
	return out
}

// bottomOf sets the window's lower end and the assumed plane; false when nothing says that
// there is a void.
func (s *solver) bottomOf(l *level, lower float64) bool {
	l.zlo = math.Inf(1)
	frame := math.Inf(1)
	for i := range s.in.Parts {
		p, b := &s.in.Parts[i], s.boxes[i]
		if b.Max.Z > l.zhi || b.Min.Z < lower {
			continue
		}
		switch p.Role {
		case RoleDeck:
			if l.kind == KindAttic && s.atticFloor[i] {
				l.zlo = math.Min(l.zlo, b.Min.Z)
				l.ceilings = append(l.ceilings, i)
			}
		case RoleSoffitBoard: // under the ceiling of a floor; those under eaves are outside
			if d := b.Size(); l.kind == KindFloor && b.Max.Z < l.zt && d.Z < 0.1 && math.Min(d.X, d.Y) > 0.1 {
				l.zlo = math.Min(l.zlo, b.Min.Z)
			}
		case RoleCeiling:
			if l.kind == KindFloor && b.Min.Z < l.zt && b.Max.Z <= l.zt+0.02 || l.kind == KindAttic && !s.deckOver(b, l.zhi) {
				l.zlo = math.Min(l.zlo, b.Min.Z)
				l.ceilings = append(l.ceilings, i)
			}
		case RoleChord, RoleJoist, RoleRafter, RoleFraming:
			if p.Role != RoleRafter && !slices.ContainsFunc(l.feet, func(z float64) bool { return math.Abs(z-b.Min.Z) < 1e-3 }) {
				l.feet = append(l.feet, b.Min.Z)
			}
			if p.Role == RoleFraming && b.Max.Z-b.Min.Z > 1.2 && l.kind == KindFloor {
				continue // a wall's framing layer
			}
			if l.kind == KindFloor && math.Abs(b.Max.Z-l.zt) < 0.12 || p.Role == RoleChord && l.kind == KindFloor && b.Max.Z <= l.zt+0.05 && b.Min.Z > l.zt-1 {
				frame = math.Min(frame, b.Min.Z)
				if z, ok := s.joistFoot[i]; ok && z > l.zt-1 { // the flange of an I-joist: it goes on below
					frame = math.Min(frame, z)
				}
			}
			if l.kind == KindAttic && (p.Role == RoleChord || p.Role == RoleJoist) && !s.deckOver(b, l.zhi) {
				frame = math.Min(frame, b.Min.Z)
			}
		}
	}
	if l.kind == KindAttic {
		s.boxedUnder(l)
	}
	if !math.IsInf(frame, 1) {
		l.plane, l.hasPlane = frame, true
		l.zlo = math.Min(l.zlo, frame)
	}
	if math.IsInf(l.zlo, 1) {
		return false
	}
	l.zlo -= 0.02
	return true
}

// boxedUnder takes the window of an attic down to the boards that hang below its ceilings:
// boxed-out spaces in the rooms of the top storey. Boards under eaves have no ceiling above.
func (s *solver) boxedUnder(l *level) {
	const hang = 1.5 // metres
	for i := range s.in.Parts {
		b := s.boxes[i]
		if d := b.Size(); s.in.Parts[i].Role != RoleSoffitBoard || d.Z > 0.1 || math.Min(d.X, d.Y) < 0.1 {
			continue
		}
		c := b.Center()
		for _, k := range l.ceilings {
			if cb := s.boxes[k]; cb.Min.X < c.X && c.X < cb.Max.X && cb.Min.Y < c.Y && c.Y < cb.Max.Y && cb.Min.Z > b.Max.Z && cb.Min.Z < b.Max.Z+hang {
				l.zlo = math.Min(l.zlo, b.Min.Z)
				break
			}
		}
	}
}

// deckOver reports whether a deck lies above the middle of a box, below z.
func (s *solver) deckOver(b geom.Box, z float64) bool {
	c := b.Center()
	for _, i := range s.deckIndex.In(upright(c.Plan(), c.Plan())) {
		d := s.boxes[i]
		if d.Min.Z > b.Max.Z-0.01 && d.Min.Z < z && d.Min.X < c.X && c.X < d.Max.X && d.Min.Y < c.Y && c.Y < d.Max.Y {
			return true
		}
	}
	return false
}

func (s *solver) collect(l *level) {
	for i := range s.in.Parts {
		b := s.boxes[i]
		if b.Max.Z <= l.zlo || b.Min.Z >= l.zhi || s.in.Parts[i].Role == RoleInsulation {
			continue
		}
		l.parts = append(l.parts, i)
	}
	for i := range s.in.Rooms {
		b := s.roomBoxes[i]
		if !s.in.Rooms[i].Outside && b.Max.Z > l.zlo-1 && b.Min.Z < l.zhi+1 {
			l.rooms = append(l.rooms, i)
		}
	}
}

// storeyAt returns the index of the storey whose floor is nearest below z plus half a metre.
func (s *solver) storeyAt(z float64) int {
	k := -1
	for i, e := range s.in.Levels {
		if e <= z+0.6 {
			k = i
		}
	}
	return max(k, 0)
}
