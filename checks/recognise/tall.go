package recognise

import (
	"math"
	"slices"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// besideWell reports whether the studs of a wall run up past a level at which the floor ends before it: beside a foyer of two
// storeys no floor and no ceiling meets the wall, and it is one wall up to its plates. Where the model has no deck at
// that level it does not tell.
func (r *reader) besideWell(l *leaf, v float64) bool {
	const past, near = 1.0, 0.15 // metres
	if !l.framed {
		return false
	}
	stand, pass := 0, 0 // below the level, and of those past it
	for _, m := range l.uprights {
		if m.z0 < v-past && m.z1 > v-past {
			stand++
			if m.z1 > v+past {
				pass++
			}
		}
	}
	if pass == 0 || 2*pass < stand {
		return false
	}
	decks := false
	for _, p := range r.ps {
		if p.skip || p.role != void.RoleDeck || math.Abs(p.z1()-v) > near {
			continue
		}
		decks = true
		if r.deckMeets(p, l) {
			return false
		}
	}
	return decks
}

// deckMeets reports whether a deck lies beside a wall, under it or at its faces, somewhere along it.
func (r *reader) deckMeets(p *piece, l *leaf) bool {
	const beside, ends = 0.06, 0.15 // of its faces; of a wall beyond which its neighbours' floors lie, metres
	lo, hi := l.edges()
	for i := 1; i < 8; i++ {
		s := l.s0 + ends + (l.s1-l.s0-2*ends)*float64(i)/8
		for _, t := range []float64{lo - beside, (lo + hi) / 2, hi + beside} {
			if r.lies(p, l.dir.Mul(s).Add(l.norm.Mul(t))) {
				return true
			}
		}
	}
	return false
}

// lies reports whether a level sheet lies over a point of the turned frame; what is cut out of it does not count.
func (r *reader) lies(p *piece, q geom.Vec2) bool {
	if q.X < p.box.Min.X || q.X > p.box.Max.X || q.Y < p.box.Min.Y || q.Y > p.box.Max.Y {
		return false
	}
	return p.mesh.Covers(r.turn.out2(q))
}

// reachOf gives for each plate the length of the longest stud that stands on it, or on a plate that it lies on, or ends
// under it, metres. over are the plates that lie on each other.
func reachOf(plates, studs []*piece, held [][2][]int, over [][]int32) []float64 {
	own := make([]float64, len(plates))
	for i, h := range held {
		for _, ends := range h {
			for _, j := range ends {
				own[j] = math.Max(own[j], studs[i].z1()-studs[i].z0())
			}
		}
	}
	out := slices.Clone(own)
	for i, l := range over {
		for _, j := range l {
			out[i] = math.Max(out[i], own[j])
		}
	}
	return out
}

// otherHeight reports whether the studs of one plate are so much longer than those of another that they belong to
// walls of other heights: one of two storeys beside one of a storey.
func otherHeight(a, b float64) bool {
	const storey = 1.8                                       // metres
	return math.Min(a, b) > storey && math.Abs(a-b) > storey // what is shorter stands over or under an opening
}

// joinPlates joins plates that lie on each other, and those that go on from each other in one wall.
func (r *reader) joinPlates(g groups, plates, studs []*piece, number []int32, held [][2][]int) {
	over, along := make([][]int32, len(plates)), make([][]int32, len(plates))
	parallel(len(plates), func(from, to int) {
		var near []int
		for i := from; i < to; i++ {
			p := plates[i]
			near = r.near.Append(near[:0], p.box.Grow(endClear))
			for _, k := range near {
				j := int(number[k]) - 1
				switch {
				case j < 0 || j == i:
				case stacked(p, plates[j]):
					over[i] = append(over[i], int32(j))
				case endToEnd(p, plates[j]):
					along[i] = append(along[i], int32(j))
				}
			}
		}
	})
	reach := reachOf(plates, studs, held, over)
	for i, l := range over {
		for _, j := range l {
			g.join(i, int(j))
		}
	}
	for i, l := range along {
		for _, j := range l {
			if !otherHeight(reach[i], reach[j]) {
				g.join(i, int(j))
			}
		}
	}
}
