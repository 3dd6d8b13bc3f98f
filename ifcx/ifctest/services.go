package ifctest

import (
	"fmt"
	"math"

	"voidcheck/ifcx/geom"
)

// Service is one run of pipe, duct or cable with the holes that it needs.
type Service struct {
	Kind string `json:"kind"` // "pipe", "duct", "cable"
	// Through: "floor" (up from storey Level-1 to Level, in the bearing partition or else in
	// the middle of the first room), "separation" (level, through the boards of a unit line at
	// storey Level), "draftstop" (along the floor void through sheet Index of Level), "void"
	// (in the floor void of Level, through nothing).
	Through    string  `json:"through"`
	Unit       int     `json:"unit"`
	Separation int     `json:"separation"`
	Level      int     `json:"level"`
	Index      int     `json:"index"`
	At         float64 `json:"at"` // along the wall or the void, from the front or the left
	Diameter   float64 `json:"diameter"`
	Ring       float64 `json:"ring"`   // free space all round it in the hole
	Sealed     bool    `json:"sealed"` // a collar fills the ring
}

// services builds the second model and cuts the holes into the first.
func (b *builder) services() {
	if len(b.h.Services) == 0 {
		return
	}
	s := &Model{Name: b.h.Name + " services", Storeys: b.m.Storeys}
	b.m.Services = s
	count := map[Role]int{}
	for n, v := range b.h.Services {
		from, to, err := b.route(v)
		if err != nil {
			b.err = fmt.Errorf("house %q: service %d: %w", b.h.Name, n, err)
			return
		}
		role := map[string]Role{"pipe": PipeSeg, "duct": DuctSeg, "cable": CableSeg}[v.Kind]
		if role == "" {
			b.err = fmt.Errorf("house %q: service %d is a %q, expected pipe, duct or cable", b.h.Name, n, v.Kind)
			return
		}
		count[role]++
		wall, mat := 0.003, PVC
		switch v.Kind {
		case "duct":
			wall, mat = 0.001, Steel
		case "cable":
			wall, mat = 0, Copper
		}
		p := &Part{Role: role, N: count[role], Storey: max(0, v.Level), Material: mat, Solids: []Prism{Rod(from, to, v.Diameter/2, wall)}}
		p.key = fmt.Sprintf("%s/%d", role, p.N)
		s.Parts = append(s.Parts, p)
		b.pierce(v, from, to, s, count)
	}
}

// route returns the ends of a service, at a place clear of studs and floor members.
func (b *builder) route(v Service) (from, to geom.Vec3, err error) {
	if v.Unit >= len(b.h.Units) || v.Level >= b.h.Storeys || v.Separation >= max(1, len(b.seps)) {
		return from, to, fmt.Errorf("unit %d, level %d or separation %d is not in this house", v.Unit, v.Level, v.Separation)
	}
	switch v.Through {
	case "floor":
		if v.Level < 1 {
			return from, to, fmt.Errorf("level %d has no floor void below", v.Level)
		}
		p, err := b.stackPlace(v)
		return pt(p.X, p.Y, b.floorZ(v.Level-1)+0.4), pt(p.X, p.Y, b.floorZ(v.Level)+1), err
	case "separation":
		if len(b.seps) == 0 {
			return from, to, fmt.Errorf("one unit has no separation")
		}
		x := b.sepStrip(v.Separation).grow(0.4)
		taken := b.runSpans()
		for _, u := range []int{v.Separation, v.Separation + 1} {
			if _, y, ok := b.partition(u); ok && b.h.Floor.Along == "y" {
				taken = append(taken, y) // a partition ends there: it would run inside it
			}
		}
		y, err := b.freeBay(b.outerY(), v.At, taken)
		z := b.floorZ(v.Level) + 0.45
		return pt(x.Lo, y, z), pt(x.Hi, y, z), err
	case "draftstop", "void":
		if v.Level < 1 {
			return from, to, fmt.Errorf("level %d has no floor void below", v.Level)
		}
		run := b.memberRun(v.Unit)
		a := chase(Span{run.Lo + TwoBy, run.Hi - TwoBy}).Mid()
		_, across := b.voidAlong(v.Unit)
		c := Span{across.Lo + v.At, across.Lo + v.At + 2}
		if v.Through == "draftstop" {
			lines := b.draftstopLines(v.Unit)
			if b.h.Layered {
				lines = nil
				for _, d := range b.h.Units[v.Unit].Draftstops {
					lines = append(lines, stopLine{sheet: Span{d, d + HalfGypsum}})
				}
			}
			if v.Index >= len(lines) {
				return from, to, fmt.Errorf("unit %d has no draftstop %d", v.Unit, v.Index)
			}
			c = lines[v.Index].sheet.grow(1.2)
		}
		p, q := b.across(a, c.Lo), b.across(a, c.Hi)
		z := b.depthSpan(v.Level).Mid()
		return pt(p.X, p.Y, z), pt(q.X, q.Y, z), nil
	}
	return from, to, fmt.Errorf("through is %q, expected floor, separation, draftstop or void", v.Through)
}

// stackPlace returns the plan point of an upright service.
func (b *builder) stackPlace(v Service) (geom.Vec2, error) {
	px, py, ok := b.partition(v.Unit)
	alongWall, along := py, Y
	if b.h.Floor.Along == "y" {
		alongWall, along = px, X
	}
	if !ok {
		f := b.roomFrames(v.Unit)[0]
		y, err := b.freeBay(f.y, v.At, b.blockedBy(v.Unit))
		return geom.Vec2{X: f.x.Mid(), Y: y}, err
	}
	s, err := b.freeBay(alongWall, v.At, b.blockedBy(v.Unit))
	if along == X {
		return geom.Vec2{X: s, Y: py.Mid()}, err
	}
	return geom.Vec2{X: px.Mid(), Y: s}, err
}

// blockedBy returns the spans that floor members take across their direction.
func (b *builder) blockedBy(u int) []Span {
	if b.h.Layered {
		return nil
	}
	return b.members(u)
}

// runSpans returns the cavity blocks along a separation.
func (b *builder) runSpans() []Span {
	var out []Span
	for _, s := range b.runBlocks() {
		out = append(out, Span{s, s + TwoBy})
	}
	return out
}

// freeBay returns the middle of the stud bay nearest to a wanted place in which nothing stands.
func (b *builder) freeBay(wall Span, at float64, taken []Span) (float64, error) {
	studs := studPositions(wall, b.h.StudGap)
	best, found := 0.0, false
	for i := 1; i < len(studs); i++ {
		bay := Span{studs[i-1] + TwoBy, studs[i]}
		free := bay.Len() > 0.2
		for _, t := range taken {
			free = free && !t.overlaps(Span{bay.Mid() - 0.1, bay.Mid() + 0.1})
		}
		if free && (!found || math.Abs(bay.Mid()-wall.Lo-at) < math.Abs(best-wall.Lo-at)) {
			best, found = bay.Mid(), true
		}
	}
	if !found {
		return 0, fmt.Errorf("no stud bay is free for it")
	}
	return best, nil
}

// pierce cuts the holes of a service, adds seals and records what is left open.
func (b *builder) pierce(v Service, from, to geom.Vec3, s *Model, count map[Role]int) {
	dir := to.Sub(from).Unit()
	along := func(p geom.Vec3) float64 { return p.Sub(from).Dot(dir) }
	line := geom.EmptyBox().Extend(from).Extend(to)
	const clear = 0.05 // least length of a service on either side of a draftstop, metres
	var groups []Span  // stretches of matter along the run
	for _, p := range b.m.Parts {
		switch p.Role {
		case TopPlate, BottomPlate, Deck, Ceiling, Gypsum, Draftstop, FloorWhole, WallSep:
		default:
			continue
		}
		box := p.Bounds()
		if across := line.Grow(v.Diameter/2 + v.Ring); p.Role == Draftstop && len(p.Solids) > 0 && box.Overlaps(across) && (v.Through == "floor" || !crosses(p, from, dir)) {
			b.err = fmt.Errorf("house %q: a service runs into the edge of a draftstop or along it", b.h.Name)
			return
		}
		if len(p.Solids) == 0 || !box.Grow(-1e-6).Overlaps(line) || !crosses(p, from, dir) {
			continue
		}
		lo, hi := along(box.Min), along(box.Max)
		if p.Role == Draftstop && (min(lo, hi) < clear || max(lo, hi) > to.Sub(from).Len()-clear) {
			b.err = fmt.Errorf("house %q: a service ends in a draftstop", b.h.Name)
			return
		}
		r := v.Diameter/2 + v.Ring
		p.Openings = append(p.Openings, Opening{Solid: Rod(from.Add(dir.Mul(lo-0.01)), from.Add(dir.Mul(hi+0.01)), r, 0), Name: "Penetration"})
		groups = append(groups, b.boards(p, Span{lo, hi})...)
	}
	for n, g := range merge(groups) {
		a, c := from.Add(dir.Mul(g.Lo)), from.Add(dir.Mul(g.Hi))
		if v.Sealed {
			if v.Ring > 0 {
				count[Seal]++
				p := &Part{Role: Seal, N: count[Seal], Storey: max(0, v.Level), Material: FireSealant, Solids: []Prism{Rod(a, c, v.Diameter/2+v.Ring, v.Ring)}}
				p.key = fmt.Sprintf("%s/%d", Seal, p.N)
				s.Parts = append(s.Parts, p)
			}
			continue
		}
		d := Defect{Seed: Seed{Kind: "service-unsealed", Unit: v.Unit, Separation: v.Separation, Level: v.Level, Index: n, Size: v.Ring},
			Level: v.Level, Units: []int{v.Unit}, Checks: []string{"service-opening"}, Point: a.Add(c).Mul(0.5), WidthM: v.Ring, HeightM: v.Diameter}
		switch v.Through {
		case "separation":
			d.Units, d.Checks = []int{v.Separation, v.Separation + 1}, []string{"separation-service"}
		case "draftstop":
			d.Checks = []string{"draftstop-complete", "service-opening"}
		}
		b.defect(d)
	}
}

// boards returns the stretches of a pierced part that have to be closed: its outer boards when
// it is layered, all of it otherwise.
func (b *builder) boards(p *Part, s Span) []Span {
	switch {
	case p.Role == FloorWhole && b.h.LayerPlan.CeilingApart:
		return []Span{{s.Hi - b.h.Floor.Deck, s.Hi}}
	case p.Role == FloorWhole:
		return []Span{{s.Lo, s.Lo + b.h.Floor.Ceiling}, {s.Hi - b.h.Floor.Deck, s.Hi}}
	case p.Role == WallSep:
		g := b.h.Separation.Gypsum
		return []Span{{s.Lo, s.Lo + g}, {s.Hi - g, s.Hi}}
	}
	return []Span{s}
}

// crosses reports whether a line runs through the solids of a part.
func crosses(p *Part, from, dir geom.Vec3) bool {
	mid := p.Bounds().Center()
	on := from.Add(dir.Mul(mid.Sub(from).Dot(dir)))
	b := p.Bounds()
	return b.Overlaps(geom.Box{Min: on, Max: on})
}

// merge joins spans that touch or lie within 20 mm of each other.
func merge(s []Span) []Span {
	for i := range s { // few spans: plain insertion
		for j := i; j > 0 && s[j].Lo < s[j-1].Lo; j-- {
			s[j], s[j-1] = s[j-1], s[j]
		}
	}
	var out []Span
	for _, x := range s {
		if n := len(out); n > 0 && x.Lo < out[n-1].Hi+0.02 {
			out[n-1].Hi = max(out[n-1].Hi, x.Hi)
			continue
		}
		out = append(out, x)
	}
	return out
}
