package recognise

import "voidcheck/checks/void"

// Content counts what the model shows, so that a check can list what it lacks. Storey
// slices are indexed by storey.
type Content struct {
	Spaces          int
	SpacesWithBody  int
	Units           int
	UnitsAssumed    bool // no zone, property or name told the units
	RoomsInferred   bool // the model has no spaces
	FloorTrusses    int
	RoofTrusses     int
	Joists          int
	Rafters         int
	Studs           int
	Plates          int
	Draftstops      int
	Fireblocks      int
	Seals           int
	Services        int // elements
	Sprinklers      int
	Chimneys        int
	Stairs          int
	Roofs           int
	Walls           int
	FramedWalls     int // studs modelled one by one
	LayeredWalls    int
	BareWalls       int // neither layers nor studs: nothing inside can be told
	BareSlabs       int // floors or roofs over 50 mm thick that are solid through without layers, not concrete
	UnreadGeometry  int // elements with items replaced by their box
	CeilingByStorey []bool
	DeckByStorey    []bool
	SpaceByStorey   []bool
	WallByStorey    []bool
	// Separations is the number of unit separations; SeparationsBare those whose walls are bare.
	Separations, SeparationsBare int
}

// takeStock counts the content of the model.
func (r *reader) takeStock() {
	c := &r.b.Content
	n := len(r.levels)
	c.CeilingByStorey, c.DeckByStorey, c.SpaceByStorey, c.WallByStorey = make([]bool, n), make([]bool, n), make([]bool, n), make([]bool, n)
	c.Spaces = len(r.m.Spaces)
	for _, m := range r.rooms {
		if m.space == nil {
			c.RoomsInferred = true
			continue
		}
		if len(m.meshes) > 0 {
			c.SpacesWithBody++
		}
		if m.storey >= 0 && m.storey < n {
			c.SpaceByStorey[m.storey] = true
		}
	}
	c.Units = len(r.b.Units)
	for _, u := range r.b.Units {
		c.UnitsAssumed = c.UnitsAssumed || u.Assumed
	}
	for _, t := range r.b.Trusses {
		if t.Concept == RoofTruss {
			c.RoofTrusses++
		} else {
			c.FloorTrusses++
		}
	}
	r.countPieces(c)
	for _, w := range r.walls {
		c.Walls++
		switch {
		case w.framed:
			c.FramedWalls++
		case w.bare && w.kind == void.WallUnknown:
			c.BareWalls++
		default:
			c.LayeredWalls++
		}
		if w.storey >= 0 && w.storey < n {
			c.WallByStorey[w.storey] = true
		}
	}
	for _, s := range r.b.Separations {
		c.Separations++
		bare := true
		for _, k := range s.Walls {
			bare = bare && r.walls[k].bare
		}
		if bare {
			c.SeparationsBare++
		}
	}
	for _, e := range r.m.Elements {
		if r.hints[e.Index].out {
			continue
		}
		if b := e.Body(); b != nil {
			for _, s := range b.Solids {
				if s.Boxed {
					c.UnreadGeometry++
					break
				}
			}
		}
	}
}

// countPieces counts elements by role; an element counts once for each role it holds, stick
// roles by piece, since one element may hold many sticks.
func (r *reader) countPieces(c *Content) {
	elem := map[[2]int]bool{}
	once := func(p *piece, n *int) {
		k := [2]int{p.elem, int(p.role)}
		if !elem[k] {
			elem[k] = true
			*n++
		}
	}
	for _, p := range r.ps {
		if p.skip {
			continue
		}
		s := r.storeyAt((p.z0() + p.z1()) / 2)
		mark := func(by []bool, s int) {
			if s >= 0 && s < len(by) {
				by[s] = true
			}
		}
		switch p.role {
		case void.RoleJoist:
			c.Joists++
		case void.RoleRafter:
			c.Rafters++
		case void.RoleStud:
			c.Studs++
		case void.RolePlate:
			c.Plates++
		case void.RoleDraftstop:
			once(p, &c.Draftstops)
		case void.RoleBlock:
			once(p, &c.Fireblocks)
		case void.RoleSeal:
			once(p, &c.Seals)
		case void.RoleService:
			if p.concept == Sprinkler {
				once(p, &c.Sprinklers)
			} else {
				once(p, &c.Services)
			}
		case void.RoleChimney:
			once(p, &c.Chimneys)
		case void.RoleStair:
			once(p, &c.Stairs)
		case void.RoleRoof:
			once(p, &c.Roofs)
			r.bareSlab(p, c)
		case void.RoleCeiling:
			mark(c.CeilingByStorey, s)
		case void.RoleDeck:
			mark(c.DeckByStorey, r.storeyAt(p.z1()+0.3))
			r.bareSlab(p, c)
		}
	}
}

// bareSlab counts a floor or roof that is solid through and thick, and not of concrete: its
// framing is not shown.
func (r *reader) bareSlab(p *piece, c *Content) {
	if p.layered || p.size[2] < 0.05 {
		return
	}
	if _, solid := r.ofMaterial(r.element(p), "solid"); !solid {
		c.BareSlabs++
	}
}
