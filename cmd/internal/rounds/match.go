package rounds

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"voidcheck/checks/finding"
)

// matcher knows what corresponds to what in two rounds.
type matcher struct {
	last, this *finding.Report
	move       move
	storey     map[string]string  // last name -> this name
	lift       map[string]float64 // by last name: how much higher it stands this round, metres
	unit       map[string]string  // last id -> this id
	ran        map[string]bool    // checks that ran this round
	only       []string           // checks this round was narrowed to
}

// pair is an item of this round with how it was found.
type pair struct {
	this int
	by   string // "key" or "place"
}

func newMatcher(last, this *finding.Report) *matcher {
	m := &matcher{last: last, this: this, storey: map[string]string{}, lift: map[string]float64{}, unit: map[string]string{}, ran: map[string]bool{}, only: this.Run.Only}
	for _, c := range this.Checks {
		m.ran[c.Name] = c.On
	}
	for _, c := range this.MissingChecks {
		m.ran[c.Check] = false
	}
	m.storeys()
	m.units()
	if m.move = m.findMove(); !m.move.lost {
		m.unitsByPlace()
	}
	return m
}

// compared reports whether items of a check are compared at all.
func (m *matcher) compared(check string) bool {
	return len(m.only) == 0 || slices.Contains(m.only, check)
}

// match pairs the items of the last round with those of this one: by key first, then by check,
// storey and place.
func (m *matcher) match() map[int]pair {
	out := map[int]pair{}
	taken := map[int]bool{}
	m.byKey(out, taken)
	type candidate struct {
		last, this int
		rank       int
		off        float64
	}
	var list []candidate
	for i := range m.last.Items {
		l := &m.last.Items[i]
		if _, ok := out[i]; ok || !open(l.Outcome) {
			continue
		}
		for j := range m.this.Items {
			t := &m.this.Items[j]
			if taken[j] || t.Check != l.Check || t.Storey != m.storey[l.Storey] || t.Outcome == finding.Note {
				continue
			}
			off, ok := m.near(l, t)
			if !ok {
				continue
			}
			rank := 0               // an open item before one that is met, the same cause before another
			if !m.sameUnits(l, t) { // an attic may reach over more units than it did
				if off > nearPoint || t.Cause != l.Cause {
					continue
				}
				rank += 4
			}
			if !open(t.Outcome) {
				rank += 2
			}
			if t.Cause != l.Cause {
				rank++
			}
			list = append(list, candidate{i, j, rank, off})
		}
	}
	slices.SortStableFunc(list, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(a.rank, b.rank), cmp.Compare(a.off, b.off), cmp.Compare(a.last, b.last), cmp.Compare(a.this, b.this))
	})
	for _, c := range list {
		if _, ok := out[c.last]; !ok && !taken[c.this] {
			out[c.last], taken[c.this] = pair{c.this, "place"}, true
		}
	}
	m.byWords(out, taken)
	return out
}

// byKey pairs items with one key. Items that fell on one key carry a number behind it, which
// counts them in one round only: among those the nearest belong together.
func (m *matcher) byKey(out map[int]pair, taken map[int]bool) {
	stem := func(it *finding.Item) string {
		key, _, _ := strings.Cut(it.Key, "-")
		return it.Check + " " + key
	}
	here := map[string][]int{}
	for j := range m.this.Items {
		k := stem(&m.this.Items[j])
		here[k] = append(here[k], j)
	}
	there := map[string][]int{}
	var order []string
	for i := range m.last.Items {
		k := stem(&m.last.Items[i])
		if there[k] == nil {
			order = append(order, k)
		}
		there[k] = append(there[k], i)
	}
	for _, k := range order {
		for len(here[k]) > 0 && len(there[k]) > 0 {
			bi, bj, best := 0, 0, math.Inf(1)
			for x, i := range there[k] {
				for y, j := range here[k] {
					l, t := &m.last.Items[i], &m.this.Items[j]
					if off := m.off(l, t); off < best && m.mayShare(l, t, off) {
						bi, bj, best = x, y, off
					}
				}
			}
			if math.IsInf(best, 1) {
				break
			}
			out[there[k][bi]] = pair{here[k][bj], "key"}
			taken[here[k][bj]] = true
			there[k], here[k] = slices.Delete(there[k], bi, bi+1), slices.Delete(here[k], bj, bj+1)
		}
	}
}

// mayShare reports whether two items of one key can be one thing. Keys count from the middle
// of the building: after an addition that lies elsewhere, and what had one key may stand
// metres apart from what has it now.
func (m *matcher) mayShare(l, t *finding.Item, off float64) bool {
	if m.move.lost || off <= nearKey || l.Measured == nil && t.Measured == nil && l.Place == t.Place {
		return true
	}
	_, ok := m.near(l, t)
	return ok
}

// off is how far an item lies from where the last round's was, metres.
func (m *matcher) off(l, t *finding.Item) float64 {
	p := m.point(l.Point, l.Storey)
	return math.Hypot(math.Hypot(p[0]-t.Point[0], p[1]-t.Point[1]), p[2]-t.Point[2])
}

// byWords pairs items that are left when each is the only one of its check that names its
// place so: a wall that still ends short, but elsewhere along its length.
func (m *matcher) byWords(out map[int]pair, taken map[int]bool) {
	words := func(it *finding.Item, storey string) string {
		return strings.Join([]string{it.Check, storey, it.Place, it.Cause}, "\x00")
	}
	count := map[string][2]int{}
	at := map[string]int{}
	for j := range m.this.Items {
		if t := &m.this.Items[j]; !taken[j] && open(t.Outcome) {
			w := words(t, t.Storey)
			n := count[w]
			n[1]++
			count[w], at[w] = n, j
		}
	}
	left := func(i int) bool {
		_, ok := out[i]
		return !ok && open(m.last.Items[i].Outcome)
	}
	for i := range m.last.Items {
		if left(i) {
			w := words(&m.last.Items[i], m.storey[m.last.Items[i].Storey])
			n := count[w]
			n[0]++
			count[w] = n
		}
	}
	for i := range m.last.Items {
		w := words(&m.last.Items[i], m.storey[m.last.Items[i].Storey])
		if left(i) && count[w] == [2]int{1, 1} && m.sameUnits(&m.last.Items[i], &m.this.Items[at[w]]) && m.overlap(&m.last.Items[i], &m.this.Items[at[w]]) {
			out[i], taken[at[w]] = pair{at[w], "place"}, true
		}
	}
}

// overlap reports whether two items may lie over each other: each reaches as far as the
// opening it is about, and items about whole things reach anywhere.
func (m *matcher) overlap(l, t *finding.Item) bool {
	if l.Measured == nil || t.Measured == nil || l.Measured.Unit != "m" || t.Measured.Unit != "m" || m.move.lost {
		return true
	}
	a, b := extent(m.last, l), extent(m.this, t)
	return a == 0 && b == 0 || m.off(l, t) <= (a+b)/2+nearPoint
}

// extent is the largest size of the opening that an item is about, 0 when none stands there.
func extent(r *finding.Report, it *finding.Item) float64 {
	most := 0.0
	for i := range r.Openings {
		o := &r.Openings[i]
		if math.Hypot(math.Hypot(o.Point[0]-it.Point[0], o.Point[1]-it.Point[1]), o.Point[2]-it.Point[2]) < 0.02 {
			most = max(most, o.WidthM, o.HeightM)
		}
	}
	return most
}

// sameUnits reports whether two items are about the same units.
func (m *matcher) sameUnits(l, t *finding.Item) bool {
	var us []string
	for _, u := range l.Units {
		us = append(us, m.unit[u])
	}
	slices.Sort(us)
	vs := slices.Clone(t.Units)
	slices.Sort(vs)
	return slices.Equal(us, vs)
}

// How far apart, metres, two points of one item may lie: an opening that changed its size
// moves its middle a little, a bay is wider; a space has no one point.
const (
	nearPoint = 0.2
	nearKey   = 0.6 // with one key: a key's cell is 0.25 m in plan and 0.5 m high
	nearSpace = 6.0
)

// near returns how far an item lies from where the last round's was, and whether that is near
// enough to be the same.
func (m *matcher) near(l, t *finding.Item) (float64, bool) {
	off := m.off(l, t)
	unit := func(it *finding.Item) string {
		if it.Measured == nil {
			return ""
		}
		return it.Measured.Unit
	}
	a, b := unit(l), unit(t)
	switch {
	case a != b && a != "" && b != "":
		return off, false
	case a == "m2" || a == "count" || a == "ratio":
		return off, off <= nearSpace
	case l.Check == "wall-fireblock-run" && a == "m":
		reach := l.Measured.Value / 2
		if t.Measured != nil {
			reach = math.Max(reach, t.Measured.Value/2)
		}
		return off, off <= reach
	}
	reach := nearPoint
	if l.Cause == t.Cause { // the middle of something long moves when its end does
		reach = max(reach, (extent(m.last, l)+extent(m.this, t))/4)
	}
	return off, off <= reach
}

// notes tell what makes the rounds hard to compare.
func (m *matcher) notes() []string {
	var out []string
	if m.this.Unjudged != "" {
		out = append(out, m.this.Unjudged)
	}
	a, b := m.last.Adoption, m.this.Adoption
	if a.SHA256 != b.SHA256 || a.Name != b.Name {
		name := func(x finding.Adoption) string {
			if x.Name == "" {
				return "the defaults"
			}
			return x.Name
		}
		if name(a) != name(b) {
			out = append(out, fmt.Sprintf("The last round was reviewed under %s, this one under %s.", name(a), name(b)))
		} else {
			out = append(out, "The adoption file "+name(a)+" changed between the rounds.")
		}
	}
	if len(m.last.Run.Only) > 0 && !slices.Equal(m.last.Run.Only, m.this.Run.Only) {
		out = append(out, "The last round ran some of the checks only; what the others find reads as new.")
	}
	if m.move.lost {
		out = append(out, "The spaces of the two rounds could not be laid over each other; items are matched by key alone and by where they stood.")
	}
	if x, y := len(m.last.Building.Units), len(m.this.Building.Units); x != y {
		out = append(out, fmt.Sprintf("The last round had %d dwelling units, this one has %d.", x, y))
	}
	return out
}
