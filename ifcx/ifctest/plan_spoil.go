package ifctest

import (
	"math/rand"
	"slices"
)

// Spoil adds up to n random mistakes that have a place in the building, no two at one place.
func (p *Plan) Spoil(r *rand.Rand, n int) {
	if p.Parties == nil {
		p.Parties = p.parties()
	}
	sound, err := p.Build()
	if err != nil {
		return
	}
	for range 6 * n {
		if len(p.Defects) >= n {
			return
		}
		s := p.mistake(r)
		if slices.ContainsFunc(p.Defects, func(q Seed) bool {
			return q.Kind == s.Kind || q.Separation == s.Separation && !onStop(q) && !onStop(s) || onStop(q) && onStop(s) && q.Unit == s.Unit
		}) {
			continue
		}
		x := *p
		x.Defects = append(slices.Clone(p.Defects), s)
		m, err := x.Build()
		if err != nil || len(m.Truth.Defects) != len(sound.Truth.Defects)+len(x.Defects) {
			continue
		}
		if d := m.Truth.Defects; slices.ContainsFunc(d, func(d Defect) bool {
			return d.AreaM2 == 0 && (d.WidthM < 0.019 || d.HeightM < 0.04 || max(d.WidthM, d.HeightM) < 0.2 || d.Seed.Kind == "block-missing" && d.WidthM < 0.15)
		}) {
			continue // too small a piece
		}
		p.Defects = x.Defects
	}
}

func onStop(s Seed) bool {
	return len(s.Kind) > 9 && (s.Kind[:9] == "draftstop" || s.Kind[:9] == "attic-sto")
}

// mistake draws a seed that may or may not have a place.
func (p *Plan) mistake(r *rand.Rand) Seed {
	i := r.Intn(len(p.Parties))
	q := p.Parties[i]
	s := Seed{Separation: i, Side: []string{"low", "high"}[r.Intn(2)], Bay: r.Intn(8)}
	d := &p.Boxes[q.A]
	if s.Side == "high" {
		d = &p.Boxes[q.B]
	}
	top := len(d.Units) - 1
	even := p.Boxes[q.A].Base == p.Boxes[q.B].Base
	same := p.Boxes[q.A].Roof == p.Boxes[q.B].Roof
	double := p.Wall == "double"
	kinds := []string{"block-missing", "plate-missing", "level-block-missing", "run-block-missing", "line-open", "attic-short", "attic-open", "row-short",
		"draftstop-missing", "draftstop-gap", "draftstop-short", "attic-stop-missing", "attic-stop-short", "attic-stop-hole"}
	s.Kind = kinds[r.Intn(len(kinds))]
	none := Seed{Kind: "none"}
	// One of the two walls of a corridor stopped up to the roof and through the floors is enough
	// (IBC 718.4.2 exception 1, 718.3.2): what one of them lacks is no mistake by itself.
	corridor := p.Boxes[q.A].Units[0] < 0 || p.Boxes[q.B].Units[0] < 0
	if corridor && slices.Contains([]string{"block-missing", "line-open", "attic-short", "attic-open"}, s.Kind) {
		return none
	}
	member := d.memberAxis()
	switch s.Kind {
	case "block-missing":
		s.Level = 1 + r.Intn(top)
		if p.Wall == "masonry" || p.Wall == "furred" || member != q.Axis && d.Framing != "truss" {
			return none
		}
	case "plate-missing":
		s.Level, s.Bay = r.Intn(top), r.Intn(3)
		if p.shared() {
			s.Side = "low"
		}
	case "level-block-missing":
		s.Level, s.Part, s.At, s.Size = r.Intn(top+1), []string{"floor", "ceiling"}[r.Intn(2)], 1+float64(r.Intn(15))/10, 0.6+float64(r.Intn(8))/10
		if s.Level == top && s.Part == "ceiling" && (p.Attic != "wall" || !double) || !even && p.crowdedLevel(q, s) {
			return none
		}
		if s.Level == top && s.Part == "ceiling" && d.Base > min(p.Boxes[q.A].Base, p.Boxes[q.B].Base) {
			return none // above the roof next door, where the row is an outer wall
		}
	case "run-block-missing":
		s.Index, s.Level = r.Intn(2), 2*r.Intn(top+1)
		if p.shared() {
			s.Level = r.Intn(top + 1)
		}
		if s.Bay = 0; p.Wall == "furred" {
			s.Bay = r.Intn(2)
		}
		if !even {
			return none
		}
	case "line-open":
		s.Level = 1 + r.Intn(top)
		if !even || !double && !p.shared() || member != q.Axis && d.Framing != "truss" {
			return none
		}
	case "attic-short":
		s.Size = 0.15 + float64(r.Intn(5))/10
		if !same || !double && !p.shared() || p.Roofs[d.Roof].Heel < s.Size+0.05 {
			return none
		}
	case "attic-open":
		if !same || !double && !p.shared() || p.sloped(q.A) {
			return none // without a wall, sloping ceilings would leave the rooms open
		}
	case "row-short":
		s.Size = 0.12 + float64(r.Intn(4))/50
		if !double || p.Attic != "wall" || p.Roofs[d.Roof].Heel < s.Size+0.18 || p.Roofs[d.Roof].Kind == "flat" || p.Roofs[d.Roof].Attic == "cathedral" {
			return none // what is left would hardly be a row
		}
	default:
		s.Separation, s.Bay, s.Side = 0, 0, ""
		s.Unit = r.Intn(len(p.Boxes))
		d = &p.Boxes[s.Unit]
		if s.Kind[:5] != "attic" {
			s.Level = 1 + r.Intn(len(d.Units)-1)
		}
		s.At, s.Size = 1+float64(r.Intn(20))/10, 0.15+float64(r.Intn(4))/20
		switch s.Kind { // what is left is a sheet, no strip on the ceiling
		case "draftstop-short":
			s.Size = min(s.Size, p.Style.Floor.Depth-0.1)
		case "attic-stop-short":
			s.Size = min(s.Size, p.Roofs[d.Roof].Heel-0.1)
		}
		if s.Kind == "attic-stop-hole" {
			s.Size = 0.2
			if p.Roofs[d.Roof].Attic == "scissor" {
				return none
			}
		}
	}
	return s
}

// crowdedLevel reports whether a level of one box lies so close to one of the other that both would be told as one.
func (p *Plan) crowdedLevel(q Party, s Seed) bool {
	h := &p.Style
	at := func(d *Dwelling, k int, part string) float64 {
		z := d.Base + float64(k)*(h.WallHeight+h.Floor.Depth+h.Floor.Deck)
		if part == "ceiling" {
			z += h.WallHeight
		}
		return z
	}
	own, other := &p.Boxes[q.A], &p.Boxes[q.B]
	if s.Side == "high" {
		own, other = other, own
	}
	z := at(own, s.Level, s.Part)
	for k := range other.Units {
		for _, part := range []string{"floor", "ceiling"} {
			if o := at(other, k, part); z-o < 0.15 && o-z < 0.15 {
				return true
			}
		}
	}
	return false
}
