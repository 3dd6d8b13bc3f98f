package ifctest

import (
	"fmt"
	"math"
	"strings"

	"voidcheck/ifcx/geom"
)

// manyBoxes sets outlet boxes of 16 in2 into one face of a separation, all within 100 ft2: seven of them are
// over 100 in2 together (IRC R302.4.2), six are not.
func (b *featureBuilder) manyBoxes() error {
	n, y := 7, 0.6+b.f.At
	if b.f.Sound {
		n = 6
	}
	const apart = 0.22
	if y+float64(n)*apart > b.h.Depth-0.4 {
		return fmt.Errorf("the wall is too short for %d boxes from %.2f m", n, y)
	}
	at := geom.Vec3{}
	for i := range n {
		at = at.Add(b.box(b.f.Part == "high", y+apart*float64(i), 4*Inch).Mul(1 / float64(n)))
	}
	b.mistake("separation-boxes", b.line(), at, apart*float64(n), 0.1)
	return nil
}

// weakDoor is a door in the attic draftstop of a separation that, by its properties, does not latch (Part "latch") or
// does not close by itself.
func (b *featureBuilder) weakDoor() error {
	was, n := b.f, len(b.m.Truth.Defects)
	b.f.Sound = true
	err := b.door()
	b.f = was
	if err != nil {
		return err
	}
	for _, p := range b.m.Find(AtticStop) {
		for i := range p.Openings {
			d := p.Openings[i].Door
			if d == nil {
				continue
			}
			d.Props = []Prop{Flag("Pset_DoorCommon", "SelfClosing", b.f.Sound || b.f.Part == "latch"), Flag("Hardware", "Latch", b.f.Sound || b.f.Part != "latch")}
			c := p.Openings[i].Solid.Bounds().Center()
			b.mistake("draftstop-door", b.line(), c, 0.6, 0.5)
		}
	}
	if len(b.m.Truth.Defects) == n && !b.f.Sound {
		return fmt.Errorf("no door stands there")
	}
	return nil
}

// raisedStop lifts the sheets of a floor draftstop Size off the ceiling; the bottom chord that it laps closes its own height.
func (b *featureBuilder) raisedStop() error {
	lines := b.draftstopLines(b.f.Unit)
	for _, d := range b.m.Truth.Defects {
		if strings.HasPrefix(d.Seed.Kind, "draftstop") && d.Units[0] == b.f.Unit {
			return fmt.Errorf("the draftstops of the unit have a mistake already")
		}
	}
	parts := b.marked(Draftstop, unitMark(b.f.Unit))
	if len(parts) == 0 || len(lines) != 1 || b.h.Units[b.f.Unit].Stair != nil {
		return fmt.Errorf("no plain draftstop stands there")
	}
	open := b.f.Size - b.h.Floor.Chord
	if b.f.Sound {
		open = 0
	}
	for _, p := range parts {
		if len(p.Openings) > 0 || len(p.Solids) != 1 {
			return fmt.Errorf("a sheet has a hole")
		}
		q := p.Bounds()
		lift := b.h.Floor.Chord + open // up to the top of the chord nothing is open
		p.Solids = []Prism{Box(Span{q.Min.X, q.Max.X}, Span{q.Min.Y, q.Max.Y}, Span{q.Min.Z + lift - 0.01*math.Copysign(1, 0.005-open), q.Max.Z}, Z)}
	}
	along, _ := b.voidAlong(b.f.Unit)
	z := b.depthSpan(b.f.Level)
	b.mistake("draftstop-complete", []int{b.f.Unit}, b.stopPoint(lines[0], along.Mid(), z.Lo+b.h.Floor.Chord+open/2), along.Len(), open)
	return nil
}

// hungCeiling hangs the ceilings of a unit below its joists, which then divide the void no more.
func (b *featureBuilder) hungCeiling() error {
	const drop = 0.2
	u, k := b.f.Unit, b.f.Level
	if k < 1 || b.h.Floor.Framing == "truss" || b.h.Units[u].Stair != nil || len(b.h.Services) > 0 || len(b.h.Soffits) > 0 {
		return fmt.Errorf("no plain floor of joists lies over this ceiling")
	}
	x, y := b.voids[u], b.depthY()
	for _, p := range b.m.Find(Ceiling) {
		if c := p.Bounds().Center(); p.Storey == k-1 && c.X > x.Lo && c.X < x.Hi {
			for i := range p.Solids {
				p.Solids[i].Frame.O.Z -= drop
			}
		}
	}
	for _, r := range b.m.Rooms {
		if r.Unit == u && r.Storey == k-1 {
			for i := range r.Solids {
				r.Solids[i].Depth -= drop
			}
		}
	}
	b.f.Sound = false
	b.mistake("floor-draftstop-area", []int{u}, pt(x.Mid(), y.Mid(), b.plateZ(k-1)), 0, 0)
	area := x.Len() * y.Len()
	b.m.Truth.Defects[len(b.m.Truth.Defects)-1].AreaM2 = area
	for i := range b.m.Truth.Voids {
		if v := &b.m.Truth.Voids[i]; v.Kind == "floor" && v.Level == k && v.Units[0] == u { // the joists stand in it now
			v.AreaM2, v.Compartments, v.HeightM = area, []float64{area}, b.h.Floor.Depth+drop
		}
	}
	return nil
}
