package rounds

import (
	"fmt"
	"slices"
	"strings"

	"voidcheck/checks/finding"
)

// gone is an item of the last round that nothing of this round answers: what it was about is
// in order now, unless the model no longer shows what would tell.
func (m *matcher) gone(i int) Change {
	l := &m.last.Items[i]
	c := Change{
		Check: l.Check, LastKey: l.Key, LastOutcome: l.Outcome, LastMeasured: l.Measured, Storey: l.Storey, Units: l.Units, Place: l.Place,
		Point: m.point(l.Point, l.Storey), Limit: l.Limit, Section: l.Section, Message: l.Message, Follows: len(l.ConsequenceOf) > 0,
	}
	if why := m.undecided(l); why != "" {
		c.State, c.Why = Undecidable, why
		return c
	}
	c.State, c.Why = Resolved, "nothing is open there any more"
	return c
}

// undecided tells why an item that is gone cannot be taken for resolved; "" when it can.
func (m *matcher) undecided(l *finding.Item) string {
	if m.this.Unjudged != "" {
		return "the model of this round could not be judged"
	}
	if !m.ran[l.Check] {
		return "the check did not run this round"
	}
	for _, u := range l.Units {
		if m.unit[u] == "" {
			return fmt.Sprintf("dwelling unit %s is not in the model any more", u)
		}
	}
	if _, ok := m.storey[l.Storey]; !ok {
		return fmt.Sprintf("storey %s is not in the model any more", l.Storey)
	}
	if m.aboutServices(l) && services(m.last) && !services(m.this) {
		return "the submittal shows no services any more"
	}
	if strings.HasPrefix(l.Check, "draftstop") && stopAt(m.last, l.Point) && !stopAt(m.this, m.point(l.Point, l.Storey)) {
		return "the model shows no draftstop there any more"
	}
	for _, k := range m.kinds(l) {
		if kindWords[k.kind] != "" && !m.has(k, l.Units) {
			return fmt.Sprintf("the model shows no %s there any more", kindWords[k.kind])
		}
	}
	for i := range m.this.Items {
		t := &m.this.Items[i]
		if t.Outcome == finding.NotShown && t.Check == l.Check && t.Storey == m.storey[l.Storey] && m.sameUnits(l, t) {
			return "the model no longer shows it: " + t.Place
		}
	}
	return ""
}

func (m *matcher) aboutServices(l *finding.Item) bool {
	return strings.Contains(l.Check, "service") || strings.Contains(l.Check, "boxes") || strings.Contains(l.Cause, "service") || strings.Contains(l.Cause, "seal")
}

// stopAt reports whether a draftstop is drawn within half a metre of a point.
func stopAt(r *finding.Report, p [3]float64) bool {
	const near = 0.5
	if r.Drawing == nil {
		return false
	}
	for i := range r.Drawing.Stops {
		s := &r.Drawing.Stops[i]
		if s.Kind != "draftstop" || p[2] < s.Z[0]-near || p[2] > s.Z[1]+near {
			continue
		}
		if s.FarM(p) < near {
			return true
		}
	}
	return false
}

func services(r *finding.Report) bool {
	if r.Drawing != nil && len(r.Drawing.Services) > 0 {
		return true
	}
	return slices.ContainsFunc(r.Spaces, func(s finding.Space) bool { return len(s.Services) > 0 })
}

// where is a kind of space in a storey.
type where struct{ kind, storey string }

// kinds are the horizontal spaces that an item was about, or the walls when there are none.
func (m *matcher) kinds(l *finding.Item) []where {
	var flat, walls []where
	for _, s := range m.last.Spaces {
		about := slices.Contains(l.Spaces, s.ID)
		for _, c := range s.Compartments {
			about = about || slices.Contains(l.Spaces, c.ID)
		}
		w := where{s.Kind, m.storey[s.Storey]}
		switch {
		case !about:
		case s.Kind == "wall" || s.Kind == "chase":
			walls = append(walls, w)
		default:
			flat = append(flat, w)
		}
	}
	if len(flat) == 0 {
		return walls
	}
	return flat
}

// has reports whether this round has such a space that touches one of the units; a space that
// touches none may be anybody's.
func (m *matcher) has(w where, units []string) bool {
	for _, s := range m.this.Spaces {
		if s.Kind != w.kind || s.Storey != w.storey {
			continue
		}
		if len(units) == 0 || len(s.Units) == 0 {
			return true
		}
		for _, u := range units {
			if slices.Contains(s.Units, m.unit[u]) {
				return true
			}
		}
	}
	return false
}

// kindWords are the kinds of space that every framed building has: where one is no longer
// there, the model has lost it. A soffit or a chase may have been taken out.
var kindWords = map[string]string{"floor": "floor void", "attic": "attic", "wall": "wall cavity"}
