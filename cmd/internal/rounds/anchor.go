package rounds

import (
	"fmt"
	"math"
	"slices"

	"voidcheck/checks/finding"
)

// anchor is something by which two rounds are laid over each other: a room, a wall, a
// compartment, an opening, an item.
type anchor struct {
	kind, storey string // storey by its name in this round
	tag          string // the two together: only like is laid on like
	unit         string // by its id in this round as names tell it; "" when they do not
	name         string
	size         float64 // area or length, 0 for points
	weight       float64 // how much it tells
	x, y         float64
}

func (a *anchor) label() string { return a.tag }

func alikeAnchor(a, b *anchor) bool {
	return math.Abs(a.size-b.size) <= sameSize*math.Max(a.size, b.size)+1e-3
}

// channelM2 is the area up to which a part of a floor or an attic may be a channel between
// two joists.
const channelM2 = 6.0

// anchors lists what a round has of them. Items come last and weigh least: they are what
// changes between rounds.
func (m *matcher) anchors(r *finding.Report, last bool) []anchor {
	var out []anchor
	add := func(kind, storey, unit, name string, size, weight, x, y float64) {
		if last {
			storey = m.storey[storey]
			unit = m.unit[unit]
		}
		out = append(out, anchor{kind, storey, kind + "|" + storey, unit, name, size, weight, x, y})
	}
	if d := r.Drawing; d != nil {
		for i := range d.Rooms {
			if area, x, y := middle(d.Rooms[i].Outline); area > 1e-6 {
				add("room", d.Rooms[i].Storey, d.Rooms[i].Unit, d.Rooms[i].Name, area, 3, x, y)
			}
		}
		for i := range d.Walls {
			w := &d.Walls[i]
			along, across := w.LengthM/2, (w.Across[0]+w.Across[1])/2
			add("wall "+w.Kind, w.Storey, "", "", w.LengthM, 1,
				w.Origin[0]+w.Dir[0]*along-w.Dir[1]*across, w.Origin[1]+w.Dir[1]*along+w.Dir[0]*across)
		}
	}
	for i := range r.Spaces {
		s := &r.Spaces[i]
		for k := range s.Compartments {
			unit := ""
			if u := s.Compartments[k].Units; len(u) == 1 {
				unit = u[0]
			}
			// The channels between joists repeat and would fit beside each other just as well.
			if area, x, y := middle(s.Compartments[k].Outline); area > 1e-6 && (s.Kind == "wall" || area > channelM2) {
				add("space "+s.Kind, s.Storey, unit, "", area, 1, x, y)
			}
		}
	}
	for i := range r.Items {
		it := &r.Items[i]
		if it.Outcome == finding.Note || it.Measured == nil {
			continue
		}
		unit := ""
		if len(it.Units) > 0 {
			unit = it.Units[0]
		}
		add("item "+it.Check, it.Storey, unit, "", 0, 0.5, it.Point[0], it.Point[1])
	}
	rarity(out)
	return out
}

// rarity makes what a building has many of weigh less each: stud bays and channels between
// joists fit one spacing further on nearly as well.
func rarity(list []anchor) {
	like := func(a *anchor) string {
		return fmt.Sprintf("%s|%d", a.label(), int(math.Round(math.Log(a.size+0.1)*25)))
	}
	count := map[string]int{}
	for i := range list {
		count[like(&list[i])]++
	}
	for i := range list {
		list[i].weight /= math.Sqrt(float64(count[like(&list[i])]))
	}
}

// anchorIndex finds the anchors near a place.
type anchorIndex struct {
	list []anchor
	like map[string][]int // by label
	at   map[square][]int // by label and square metre
}

type square struct {
	label string
	x, y  int
}

func indexOf(list []anchor) *anchorIndex {
	x := &anchorIndex{list: list, like: map[string][]int{}, at: map[square][]int{}}
	for i := range list {
		l := list[i].label()
		x.like[l] = append(x.like[l], i)
		s := square{l, int(math.Floor(list[i].x)), int(math.Floor(list[i].y))}
		x.at[s] = append(x.at[s], i)
	}
	return x
}

// hits weighs the anchors that fall on their like; those whose unit and name stay the same
// tell a little more, which settles which end of a building of equal units is which.
func (x *anchorIndex) hits(t move, a []anchor) float64 {
	n := 0.0
	for i := range a {
		p := &a[i]
		px, py := t.plan(p.x, p.y)
		best := 0.0
		x.near(p.label(), px, py, sameAnchor, func(q *anchor, _ float64) {
			if !alikeAnchor(p, q) {
				return
			}
			w := 1.0
			if p.unit != "" && p.unit == q.unit {
				w += 0.1
			}
			if p.name != "" && p.name == q.name {
				w += 0.1
			}
			best = max(best, w)
		})
		n += best * p.weight
	}
	return n
}

// settle puts a shift right by the middle of what is left between things and their like: half
// of them may have moved, the others tell to the millimetre.
func (x *anchorIndex) settle(t move, a []anchor) move {
	for range 3 {
		var dx, dy []float64
		for i := range a {
			px, py := t.plan(a[i].x, a[i].y)
			x.near(a[i].label(), px, py, sameAnchor, func(q *anchor, _ float64) {
				if alikeAnchor(&a[i], q) {
					dx, dy = append(dx, q.x-px), append(dy, q.y-py)
				}
			})
		}
		if len(dx) == 0 {
			return t
		}
		slices.Sort(dx)
		slices.Sort(dy)
		t.dx, t.dy = t.dx+dx[len(dx)/2], t.dy+dy[len(dy)/2]
	}
	return t
}

// near calls for each anchor of a label within a distance of less than a metre.
func (x *anchorIndex) near(label string, px, py, reach float64, call func(q *anchor, off float64)) {
	i, j := int(math.Floor(px)), int(math.Floor(py))
	for di := -1; di <= 1; di++ {
		for dj := -1; dj <= 1; dj++ {
			for _, k := range x.at[square{label, i + di, j + dj}] {
				if q := &x.list[k]; math.Hypot(px-q.x, py-q.y) <= reach {
					call(q, math.Hypot(px-q.x, py-q.y))
				}
			}
		}
	}
}

// middle is the area of rings and the middle of it.
func middle(rings [][][2]float64) (area, x, y float64) {
	var ox, oy float64 // keeps the products small far from the origin
	for k, r := range rings {
		if k == 0 && len(r) > 0 {
			ox, oy = r[0][0], r[0][1]
		}
		for i := range r {
			p, q := r[i], r[(i+1)%len(r)]
			c := ((p[0]-ox)*(q[1]-oy) - (q[0]-ox)*(p[1]-oy)) / 2
			area += c
			x += c * (p[0] - ox + q[0] - ox) / 3
			y += c * (p[1] - oy + q[1] - oy) / 3
		}
	}
	if math.Abs(area) < 1e-9 {
		return 0, 0, 0
	}
	return math.Abs(area), ox + x/area, oy + y/area
}
