package checks

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"slices"
	"strings"

	"voidcheck/ifcx/geom"
)

// Keys stay the same over re-exports: they are made from the check, the storey, the units
// and the place in the building's own frame, never from ids, entity numbers or order. The
// place is rounded to a coarse grid; its seams lie at odd values, so that the round figures
// of buildings do not fall on them.
const (
	gridPlan = 0.25 // metres; finer than any usual spacing of framing
	gridUp   = 0.50
	seamPlan = 0.0931
	seamUp   = 0.1377
)

// spot is where an item stands for its key.
type spot struct {
	words string // what does not depend on the place
	at    geom.Vec2
	up    float64
	fixed bool // has no place: the words alone are the key
}

// keys gives every draft its key.
func keys(in *Input, f *frame, drafts []draft) {
	spots := make([]spot, len(drafts))
	for i := range drafts {
		spots[i] = in.spot(f, &drafts[i])
	}
	turn := settle(f, spots)
	type keyed struct {
		i    int
		hash string
	}
	list := make([]keyed, len(drafts))
	for i := range spots {
		list[i] = keyed{i, spots[i].hash(turn)}
	}
	// Items that fall on one key are told apart by their exact order in the frame.
	slices.SortStableFunc(list, func(a, b keyed) int {
		p, q := turn(spots[a.i].at), turn(spots[b.i].at)
		return cmp.Or(
			strings.Compare(a.hash, b.hash),
			near(p.X, q.X), near(p.Y, q.Y), near(spots[a.i].up, spots[b.i].up),
			strings.Compare(drafts[a.i].item.Place, drafts[b.i].item.Place),
			strings.Compare(drafts[a.i].item.Message, drafts[b.i].item.Message),
		)
	})
	for n, k := range list {
		key := k.hash
		run := 1
		for j := n - 1; j >= 0 && list[j].hash == k.hash; j-- {
			run++
		}
		if run > 1 {
			key += fmt.Sprintf("-%d", run)
		}
		drafts[k.i].item.Key = key
	}
}

// near compares with half a millimetre of tolerance.
func near(a, b float64) int {
	if math.Abs(a-b) < 5e-4 {
		return 0
	}
	return cmp.Compare(a, b)
}

// spot works out where an item stands. Items about openings stand where the report says;
// items about whole compartments at the middle of their outlines, which does not depend on
// how a point inside them was found.
func (in *Input) spot(f *frame, d *draft) spot {
	r := d.report
	var units []string
	for _, u := range r.Units {
		if u >= 0 && u < len(in.Building.Units) && !in.Building.Units[u].Assumed {
			units = append(units, in.Building.Units[u].Name)
		}
	}
	slices.Sort(units)
	words := []string{d.item.Check, d.item.Storey, strings.Join(units, "+")}
	if len(r.Openings) > 0 {
		words = append(words, string(r.Openings[0].Kind))
	}
	if r.Aspect != "" {
		words = append(words, r.Aspect)
	}
	s := spot{words: strings.Join(words, "|")}
	p := r.Point
	if len(r.Openings) == 0 {
		if q, ok := middle(r); ok {
			p = q
		}
	}
	if p == (geom.Vec3{}) {
		s.fixed = true
		s.words += "|" + r.Place + "|" + r.Cause
		return s
	}
	s.at, s.up = f.local(p), p.Z-f.middle.Z
	if m := in.Building.Model; m != nil && r.Storey >= 0 && r.Storey < len(m.Storeys) {
		s.up = p.Z - m.Storeys[r.Storey].ElevationM
	}
	return s
}

// hash is the key of a spot once the senses of the frame are settled.
func (s *spot) hash(turn func(geom.Vec2) geom.Vec2) string {
	h := sha256.Sum256([]byte(s.text(turn)))
	return hex.EncodeToString(h[:6])
}

func (s *spot) text(turn func(geom.Vec2) geom.Vec2) string {
	if s.fixed {
		return s.words
	}
	p := turn(s.at)
	return fmt.Sprintf("%s|%d|%d|%d", s.words, cell(p.X, gridPlan, seamPlan), cell(p.Y, gridPlan, seamPlan), cell(s.up, gridUp, seamUp))
}

func cell(v, grid, seam float64) int { return int(math.Floor((v + seam) / grid)) }

// settle picks among the variants of an undecided frame the one whose list of places comes
// first, so that a symmetric building gets the same keys however it is turned.
func settle(f *frame, spots []spot) func(geom.Vec2) geom.Vec2 {
	variants := f.variants()
	if len(variants) == 1 {
		return variants[0]
	}
	best := 0
	var bestList []string
	for i, turn := range variants {
		list := make([]string, len(spots))
		for k := range spots {
			list[k] = spots[k].text(turn)
		}
		slices.Sort(list)
		if i == 0 || slices.Compare(list, bestList) < 0 {
			best, bestList = i, list
		}
	}
	return variants[best]
}

// middle is the centre of area of the compartments that a report is about.
func middle(r *Report) (geom.Vec3, bool) {
	comps := slices.Clone(r.Spaces)
	for _, v := range r.Voids {
		comps = append(comps, v.Compartments...)
	}
	var sum geom.Vec2
	var area, up float64
	for _, c := range comps {
		a, m := centre(c.Outline)
		if a < 0 { // rings the other way round
			a, m = -a, m.Mul(-1)
		}
		sum, area = sum.Add(m), area+a
		if c.Void != nil {
			up += a * (c.Void.ZLo + c.Void.ZHi) / 2
		}
	}
	if area < 1e-9 {
		return geom.Vec3{}, false
	}
	return geom.Vec3{X: sum.X / area, Y: sum.Y / area, Z: up / area}, true
}

// centre returns the area of rings and their centre of area times that area.
func centre(rings [][]geom.Vec2) (area float64, moment geom.Vec2) {
	for _, ring := range rings {
		if len(ring) == 0 {
			continue
		}
		o := ring[0] // keeps the products small
		var a float64
		var m geom.Vec2
		for i, p := range ring {
			p, q := p.Sub(o), ring[(i+1)%len(ring)].Sub(o)
			x := p.Cross(q) / 2
			a += x
			m = m.Add(p.Add(q).Mul(x / 3))
		}
		area += a
		moment = moment.Add(m).Add(o.Mul(a))
	}
	return area, moment
}
