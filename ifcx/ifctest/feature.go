package ifctest

import (
	"fmt"
	"math"

	"voidcheck/ifcx/geom"
)

// Feature is something that is added to a framed model after it is built, with its truth:
// sound, or with the one mistake that its kind can have.
//
//	boxes        two outlet boxes of 4 x 4 in, one in each face of Separation on storey Level, Size apart from centre to centre; near each other is the mistake
//	large-box    one outlet box of 5 x 5 in in a face of Separation; its size is the mistake
//	stair        a run of two stringers with a board below in the first room of Unit; the block at its Part ("top" or "bottom") left out is the mistake
//	chimney      a stack up through Unit, with 2 in of space round it in ceilings and decks; open, or closed with wood (Part "wood"), is the mistake
//	cornices     the roof stands out over front and back with a board below; no block at the lines is the mistake
//	door         an opening for access in the attic draftstop of Separation, with a door that closes and latches; no door is the mistake
//	weak-door    a door there that does not latch (Part "latch") or does not close by itself is the mistake
//	many-boxes   seven outlet boxes of 4 x 4 in within 100 ft2 of a face of Separation, six when sound
//	draftstop-raised  the sheets of Unit under Level end Size over the ceiling; when sound no higher than the bottom chords beside them
//	hung-ceiling the ceilings under the joists of Level in Unit hang 0.2 m below them; it has no sound form
//	draftstop-material  the sheets of Unit under Level of 1/4 in board (Part "thin") or of plastic
//	block-material      the blocks over Separation under Level of 3/4 in lumber (Part "thin") or of plastic
//	thin-ceiling        the ceilings under the floor of Level in Unit of 3/8 in board
//
// The last three have no sound form: a house without them is.
type Feature struct {
	Kind       string
	Unit       int
	Separation int
	Level      int
	At, Size   float64
	Part       string
	Sound      bool
}

// AddFeature adds a feature to a framed model, and its mistake to the model's truth. The
// error says what of the house leaves no place for it.
func (m *Model) AddFeature(f Feature) error {
	if m.House.Layered {
		return fmt.Errorf("model %q: features are for framed houses", m.Name)
	}
	b := &featureBuilder{builder: &builder{layout: newLayout(m.House), m: m, cells: m.cells}, f: f}
	add := map[string]func() error{
		"boxes": b.boxes, "large-box": b.largeBox, "stair": b.stair, "chimney": b.chimney, "cornices": b.cornices, "door": b.door,
		"many-boxes": b.manyBoxes, "weak-door": b.weakDoor, "draftstop-raised": b.raisedStop, "hung-ceiling": b.hungCeiling,
		"draftstop-material": b.draftstopMaterial, "block-material": b.blockMaterial, "thin-ceiling": b.thinCeiling,
	}[f.Kind]
	if add == nil {
		return fmt.Errorf("model %q: no feature is called %q", m.Name, f.Kind)
	}
	if f.Unit >= len(m.House.Units) || f.Separation >= len(b.seps) || f.Level >= m.House.Storeys {
		return fmt.Errorf("model %q: feature %+v is not in this house", m.Name, f)
	}
	if err := add(); err != nil {
		return fmt.Errorf("model %q: %s: %w", m.Name, f.Kind, err)
	}
	return nil
}

type featureBuilder struct {
	*builder
	f Feature
}

// mistake records the truth of a feature that is not sound.
func (b *featureBuilder) mistake(check string, units []int, at geom.Vec3, w, h float64) {
	if b.f.Sound {
		return
	}
	b.m.Truth.Defects = append(b.m.Truth.Defects, Defect{
		Seed:  Seed{Kind: b.f.Kind, Unit: b.f.Unit, Separation: b.f.Separation, Level: b.f.Level, At: b.f.At, Size: b.f.Size, Part: b.f.Part},
		Level: b.f.Level, Units: units, Checks: []string{check}, Point: at, WidthM: w, HeightM: h,
	})
}

// anywhere records a mistake that is told of a whole void or of all parts alike.
func (b *featureBuilder) anywhere(check string, units []int, at geom.Vec3) {
	b.f.Sound = false
	b.mistake(check, units, at, 0, 0)
	b.m.Truth.Defects[len(b.m.Truth.Defects)-1].Anywhere = true
}

func (b *featureBuilder) line() []int { return []int{b.f.Separation, b.f.Separation + 1} }

// box adds one outlet box in a face of a separation, its centre at y, and returns its centre.
func (b *featureBuilder) box(high bool, y, side float64) geom.Vec3 {
	s := b.sepStrip(b.f.Separation)
	x := Span{s.Lo - 0.003, s.Lo + 0.04}
	if high {
		x = Span{s.Hi - 0.04, s.Hi + 0.003}
	}
	z := b.floorZ(b.f.Level) + 0.45
	p := Box(x, Span{y - side/2, y + side/2}, Span{z - side/2, z + side/2}, Z)
	b.m.Add(OutletBox, b.f.Level, Steel, p)
	return pt(x.Mid(), y, z)
}

func (b *featureBuilder) boxes() error {
	y := 0.6 + b.f.At
	if y+b.f.Size > b.h.Depth-0.4 {
		return fmt.Errorf("the wall is too short for boxes at %.2f and %.2f m", y, y+b.f.Size)
	}
	// A cavity block between them is solid fireblocking: they may be as near as they like.
	for _, s := range b.runBlocks() {
		if s > y-0.2 && s < y+b.f.Size+0.2 {
			return fmt.Errorf("a cavity block stands between the boxes")
		}
	}
	p, q := b.box(false, y, 4*Inch), b.box(true, y+b.f.Size, 4*Inch)
	b.mistake("separation-boxes", b.line(), p.Add(q).Mul(0.5), b.f.Size, 0.1)
	return nil
}

func (b *featureBuilder) largeBox() error {
	y := 0.6 + b.f.At
	if y > b.h.Depth-0.4 {
		return fmt.Errorf("the wall is too short for a box at %.2f m", y)
	}
	b.mistake("separation-boxes", b.line(), b.box(b.f.Part == "high", y, 5*Inch), 0.127, 0.127)
	return nil
}

// stair adds a run along y, 9.25 in stringers 0.9 m apart.
func (b *featureBuilder) stair() error {
	const long, wide = 2.2, 0.9
	x, y := b.clearRoom(b.f.Unit, b.roomFrames(b.f.Unit)[0])
	rise := math.Min(1.7, b.h.WallHeight-0.7)
	if x.Len() < wide+0.6 || y.Len() < long+0.8 {
		return fmt.Errorf("the first room is too small for a stair")
	}
	for i, s := range b.h.Soffits {
		if sy, _ := b.soffitSpans(i); s.Unit == b.f.Unit && s.Level == b.f.Level && sy.Lo < y.Lo+long+1 {
			return fmt.Errorf("a soffit hangs over it")
		}
	}
	x0, y0, z0 := x.Lo+0.4, y.Lo+0.4, b.floorZ(b.f.Level)+0.16
	var low, high geom.Vec3
	for _, dx := range []float64{0, wide} {
		p, q := pt(x0+dx, y0, z0), pt(x0+dx, y0+long, z0+rise)
		low, high = low.Add(p.Mul(0.5)), high.Add(q.Mul(0.5))
		b.m.Add(Stringer, b.f.Level, Lumber, Stick(p, q, geom.Vec3{X: 1}, TwoBy, 9.25*Inch))
	}
	p, q := pt(x0+wide/2, y0, z0-0.155), pt(x0+wide/2, y0+long, z0+rise-0.155)
	b.m.Add(StairBoard, b.f.Level, GypsumBd, Stick(p, q, geom.Vec3{X: 1}, wide, HalfGypsum))
	across := Span{x0 + 0.02, x0 + wide - 0.02}
	if b.f.Sound || b.f.Part != "bottom" {
		b.m.Add(Block, b.f.Level, Lumber, Box(across, Span{y0 + 0.1, y0 + 0.1 + TwoBy}, Span{z0 - 0.1, z0 + 0.15}, X))
	}
	if b.f.Sound || b.f.Part != "top" {
		b.m.Add(Block, b.f.Level, Lumber, Box(across, Span{y0 + long - 0.1 - TwoBy, y0 + long - 0.1}, Span{z0 + rise - 0.2, z0 + rise}, X))
	}
	at := high
	if b.f.Part == "bottom" {
		at = low
	}
	b.mistake("stair-fireblock", []int{b.f.Unit}, at, wide, 0.25)
	return nil
}

// freeColumn returns a place in the first room of a unit where nothing but membranes stands
// from the floor of the lowest storey to the roof, over a square of the given side.
func (b *featureBuilder) freeColumn(side float64) (x, y Span, ok bool) {
	rx, ry := b.clearRoom(b.f.Unit, b.roomFrames(b.f.Unit)[0])
	var taken []geom.Box
	for _, m := range []*Model{b.m, b.m.Services} {
		if m == nil {
			continue
		}
		for _, p := range m.Parts {
			switch p.Role {
			case Ceiling, Deck, RoofPanel, Slab:
				continue
			}
			for _, s := range p.Solids {
				taken = append(taken, s.Bounds())
			}
		}
	}
	for v := ry.Lo + 0.4; v+side < ry.Hi-0.4; v += 0.03 {
	place:
		for u := rx.Lo + 0.5; u+side < rx.Hi-0.3; u += 0.03 {
			for _, t := range taken {
				if t.Min.X < u+side && t.Max.X > u && t.Min.Y < v+side && t.Max.Y > v {
					continue place
				}
			}
			return Span{u, u + side}, Span{v, v + side}, true
		}
	}
	return Span{}, Span{}, false
}

func (b *featureBuilder) chimney() error {
	const space = 2 * Inch
	if b.h.Units[b.f.Unit].Stair != nil {
		return fmt.Errorf("the unit has a stair well")
	}
	wx, wy, ok := b.freeColumn(0.17 + 2*space)
	if !ok {
		return fmt.Errorf("no bay is free from floor to roof")
	}
	x, y := wx.grow(-space), wy.grow(-space)
	b.m.Add(ChimneyStack, 0, "Brick masonry", Box(x, y, Span{b.floorZ(0), b.roofZ(y.Mid()) + 1}, Z))
	for _, p := range append([]*Part(nil), b.m.Parts...) {
		switch p.Role {
		case Ceiling, Deck, RoofPanel:
		default:
			continue
		}
		box := p.Bounds()
		if box.Min.X > wx.Lo || box.Max.X < wx.Hi || box.Min.Y > wy.Lo || box.Max.Y < wy.Hi {
			continue
		}
		p.Openings = append(p.Openings, Opening{Solid: Box(wx, wy, Span{box.Min.Z - 0.05, box.Max.Z + 0.05}, Z), Name: "Chimney"})
		if p.Role == RoofPanel {
			continue
		}
		z := Span{box.Min.Z, box.Min.Z + 1.5*Inch}
		fill := MineralWool
		if b.f.Part == "wood" && !b.f.Sound {
			fill = Lumber
		}
		if b.f.Sound || fill == Lumber {
			b.m.Add(LevelBlock, p.Storey, fill, Box(wx, Span{wy.Lo, y.Lo}, z, X), Box(wx, Span{y.Hi, wy.Hi}, z, X),
				Box(Span{wx.Lo, x.Lo}, y, z, X), Box(Span{x.Hi, wx.Hi}, y, z, X))
		}
		b.mistake("chimney-fireblock", []int{b.f.Unit}, pt(x.Mid(), y.Mid(), (box.Min.Z+box.Max.Z)/2), wx.Len(), 0.05)
	}
	return nil
}

// cornices lets the roof stand out 16 in over front and back, with boards level below.
func (b *featureBuilder) cornices() error {
	if b.h.Roof.Kind != "gable" || len(b.h.Units) != 2 && !b.f.Sound {
		return fmt.Errorf("only a gable roof has cornices on both sides, and the rule is for dwellings of two units")
	}
	const out = 16 * Inch
	top := b.h.Storeys - 1
	face := b.outerY().grow(SidePanel)
	t := b.plumb(b.h.Roof.Sheathing)
	for _, p := range b.m.Find(RoofPanel) {
		box := p.Bounds()
		x := Span{box.Min.X, box.Max.X}
		y, eave := Span{face.Lo - out, b.h.Depth / 2}, Span{face.Lo - out, face.Lo}
		if back := box.Max.Y > b.h.Depth/2+0.1; back {
			y, eave = Span{b.h.Depth / 2, face.Hi + out}, Span{face.Hi, face.Hi + out}
		}
		z0, z1 := b.roofZ(y.Lo), b.roofZ(y.Hi)
		p.Solids = []Prism{SheetX(x, []geom.Vec2{{X: y.Lo, Y: z0}, {X: y.Hi, Y: z1}, {X: y.Hi, Y: z1 + t}, {X: y.Lo, Y: z0 + t}})}
		low := math.Min(b.roofZ(eave.Lo), b.roofZ(eave.Hi)) - 0.05
		board := Span{low - HalfGypsum, low}
		b.m.Add(SoffitBoard, top, GypsumBd, Box(x, eave, board, X))
		for i := range b.seps {
			mid := b.seps[i].mid()
			if b.f.Sound {
				b.m.Add(Block, top, Lumber, SheetX(Span{mid - TwoBy/2, mid + TwoBy/2}, []geom.Vec2{{X: eave.Lo, Y: low}, {X: eave.Hi, Y: low}, {X: eave.Hi, Y: b.roofZ(eave.Hi)}, {X: eave.Lo, Y: b.roofZ(eave.Lo)}}))
			}
			was := b.f.Separation
			b.f.Separation = i
			b.mistake("cornice-fireblock", b.line(), pt(mid, eave.Mid(), (low+b.roofZ(eave.Mid()))/2), out, 0.1)
			b.f.Separation = was
		}
	}
	return nil
}

// door cuts an opening of 0.6 x 0.5 m into the attic draftstop of a separation.
func (b *featureBuilder) door() error {
	z := Span{b.plateZ(b.h.Storeys-1) + 0.25, b.plateZ(b.h.Storeys-1) + 0.75}
	y := Span{b.h.Depth/2 - 0.3, b.h.Depth/2 + 0.3}
	if math.Min(b.roofZ(y.Lo), b.roofZ(y.Hi)) < z.Hi+0.25 {
		return fmt.Errorf("the attic is too low for a door")
	}
	for _, p := range b.m.Find(AtticStop) {
		box := p.Bounds()
		if p.Mark != unitLine(b.f.Separation) || box.Min.Y > y.Lo || box.Max.Y < y.Hi {
			continue
		}
		var d *Door
		if b.f.Sound {
			d = &Door{Name: "Access door", Props: []Prop{Flag("Pset_DoorCommon", "SelfClosing", true), Flag("Hardware", "Latch", true)}}
		}
		p.Hole(Span{}, y, z, "Access", d)
		b.mistake("draftstop-door", b.line(), pt(box.Center().X, y.Mid(), z.Mid()), y.Len(), z.Len())
		if !b.f.Sound {
			d := &b.m.Truth.Defects[len(b.m.Truth.Defects)-1]
			d.Also = []string{"attic-draftstop-line", "draftstop-complete", "separation-continuity"}
			d.Joins = [][2]string{{atticCell(b.f.Separation), atticCell(b.f.Separation + 1)}}
			b.cells.join(d.Joins[0][0], d.Joins[0][1])
			b.m.Truth.Joined = b.joined()
		}
		return nil
	}
	return fmt.Errorf("no attic draftstop stands there")
}

// thin makes the boards of parts thinner, by their solids, where all are plain boxes.
func thin(parts []*Part, from, to float64) bool {
	for _, p := range parts {
		for _, s := range p.Solids {
			if s.Profile.Kind != Rect {
				return false
			}
		}
	}
	for _, p := range parts {
		for i := range p.Solids {
			for _, d := range []*float64{&p.Solids[i].Profile.W, &p.Solids[i].Profile.H} {
				if math.Abs(*d-from) < 1e-6 {
					*d = to
					break
				}
			}
		}
		if p.Thick > 0 {
			p.Thick = to
		}
	}
	return true
}

// marked are the parts of a role with a mark on the feature's level.
func (b *featureBuilder) marked(role Role, mark string) []*Part {
	var out []*Part
	for _, p := range b.m.Find(role) {
		if p.Mark == mark && p.Storey == b.f.Level {
			out = append(out, p)
		}
	}
	return out
}

func (b *featureBuilder) draftstopMaterial() error {
	parts := b.marked(Draftstop, unitMark(b.f.Unit))
	if len(parts) == 0 {
		return fmt.Errorf("no draftstop stands there")
	}
	if b.f.Part == "thin" {
		if !thin(parts, HalfGypsum, 0.25*Inch) {
			return fmt.Errorf("a sheet has a hole")
		}
	} else {
		for _, p := range parts {
			p.Material = PVC
		}
	}
	b.anywhere("draftstop-material", []int{b.f.Unit}, parts[0].Bounds().Center())
	return nil
}

func (b *featureBuilder) blockMaterial() error {
	parts := b.marked(Block, unitLine(b.f.Separation))
	if len(parts) == 0 {
		return fmt.Errorf("no blocks stand there")
	}
	if b.f.Part == "thin" {
		if b.h.Floor.Along == "y" { // a thin board along the line is a sheet across a void: a draftstop, whatever its name
			return fmt.Errorf("no blocks stand between members")
		}
		thin(parts, TwoBy, 0.75*Inch)
	} else {
		for _, p := range parts {
			p.Material = PVC
		}
	}
	b.anywhere("fireblock-material", b.line(), parts[0].Bounds().Center())
	return nil
}

func (b *featureBuilder) thinCeiling() error {
	if b.f.Level < 1 {
		return fmt.Errorf("no floor lies over this ceiling")
	}
	if b.h.Floor.Framing == "joist" && b.h.Floor.Depth > 9.2*Inch {
		return fmt.Errorf("joists of 2x10 need no membrane")
	}
	n := 0
	x := b.voids[b.f.Unit]
	for _, p := range b.m.Find(Ceiling) {
		c := p.Bounds().Center()
		if p.Storey != b.f.Level-1 || c.X < x.Lo || c.X > x.Hi {
			continue
		}
		for i := range p.Solids {
			p.Solids[i].Frame.O.Z += p.Solids[i].Depth - 0.375*Inch
			p.Solids[i].Depth = 0.375 * Inch
		}
		p.Thick = 0.375 * Inch
		n++
	}
	if n == 0 {
		return fmt.Errorf("no ceiling hangs there")
	}
	b.anywhere("floor-membrane", []int{b.f.Unit}, pt(x.Mid(), b.h.Depth/2, b.plateZ(b.f.Level-1)))
	return nil
}
