package recognise

import (
	"fmt"
	"regexp"
	"sort"
	"strings"
	"sync"

	"voidcheck/checks/lexicon"
)

// grouping is one way to share rooms out among units: room index -> unit name.
type grouping struct {
	of     map[int]string
	reason Reason
}

func (g grouping) names() []string {
	seen := map[string]bool{}
	var ns []string
	for _, n := range g.of {
		if !seen[n] {
			seen[n] = true
			ns = append(ns, n)
		}
	}
	sort.Slice(ns, func(i, j int) bool { return naturalLess(ns[i], ns[j]) })
	return ns
}

// findUnits finds the dwelling units: by zones, by the submittal, by a property of the
// spaces, by their names; else by the regions between separations.
func (r *reader) findUnits() {
	r.readRooms()
	for _, find := range []func() (grouping, bool){r.unitsByZone, r.unitsByFacts, r.unitsByProperty, r.unitsByName} {
		if g, ok := find(); ok {
			r.setUnits(g)
			return
		}
	}
	r.unitsByRegion()
}

func (r *reader) setUnits(g grouping) {
	at := map[string][]int{} // rooms by unit
	for k := range r.rooms {
		at[g.of[k]] = append(at[g.of[k]], k)
	}
	for i, n := range g.names() {
		u := &DwellingUnit{Index: i, ID: fmt.Sprintf("U%d", i+1), Name: n, Reason: g.reason}
		u.Reason.Value = strings.TrimSpace(g.reason.Value + " " + n)
		if n == "" {
			at[n] = nil // rooms of no unit
		}
		for _, k := range at[n] {
			m := r.rooms[k]
			m.unit = i
			m.why = u.Reason
			if m.space != nil {
				u.Spaces = append(u.Spaces, m.space)
			}
		}
		r.b.Units = append(r.b.Units, u)
	}
}

// measureUnits sums the floor areas of the rooms of each unit. What the model declares stands
// where the room bodies bear it out: bodies measure to the wall faces, the declared area may
// reach into the walls or leave out what is under a slope.
func (r *reader) measureUnits() {
	of := make([][]*room, len(r.b.Units))
	for _, m := range r.rooms {
		if m.unit >= 0 && !m.outside {
			of[m.unit] = append(of[m.unit], m)
		}
	}
	for i, u := range r.b.Units {
		declared, all := 0.0, true
		for _, m := range of[i] {
			u.PlanM2 += m.area
			a, ok := declaredArea(m)
			declared, all = declared+a, all && ok
		}
		u.AreaM2 = u.PlanM2
		if all && (u.PlanM2 == 0 || declared > 0.8*u.PlanM2 && declared < 1.25*u.PlanM2) {
			u.AreaM2 = declared
		}
	}
}

// areaQuantities are the names of floor area quantities of spaces, the better first: those of
// Qto_SpaceBaseQuantities, then those of a common authoring tool.
var areaQuantities = []string{"NetFloorArea", "GrossFloorArea", "GSA BIM Area", "Area"}

// declaredArea returns the floor area that a space declares, m2.
func declaredArea(m *room) (float64, bool) {
	if m.space == nil {
		return 0, false
	}
	for _, n := range areaQuantities {
		if v, ok := m.space.Prop("", n); ok && v.IsNum && v.Num > 0 {
			return v.Num, true
		}
	}
	return 0, false
}

func (r *reader) enclosed() int {
	n := 0
	for _, m := range r.rooms {
		if !m.outside {
			n++
		}
	}
	return n
}

// zonesAreStoreys reports whether a grouping only repeats the storeys.
func (r *reader) zonesAreStoreys(g grouping) bool {
	storey, name := map[string]int{}, map[int]string{}
	for i, m := range r.rooms {
		n := g.of[i]
		if n == "" {
			continue
		}
		if s, ok := storey[n]; ok && s != m.storey {
			return false
		}
		storey[n] = m.storey
		if o, ok := name[m.storey]; ok && o != n {
			return false
		}
		name[m.storey] = n
	}
	return true
}

// unitsByFacts takes the units of the submittal file that name spaces.
func (r *reader) unitsByFacts() (grouping, bool) {
	g := grouping{of: map[int]string{}, reason: Reason{Signal: "submittal"}}
	for _, u := range r.facts.Units {
		for _, want := range u.Spaces {
			found := false
			for i, m := range r.rooms {
				if m.space != nil && (strings.EqualFold(m.space.Name, want) || strings.EqualFold(m.space.LongName, want) || m.space.GlobalID == want) {
					g.of[i] = u.Name
					found = true
				}
			}
			if !found {
				r.note(fmt.Sprintf("the submittal names the space %q of %s, which the model does not hold", want, u.Name))
			}
		}
	}
	return g, len(g.of) > 0
}

// unitProperty matches names of properties that tell the unit of a space.
var unitProperty = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^(occupancy ?zone( ?name)?|apartment( ?(no|number|name|id|nr))?|(dwelling )?unit( ?(no|number|name|id|nr))?|dwelling|flat( ?(no|number))?|tenant|wohnung(s ?(nr|nummer))?|wohneinheit|nutzungseinheit|logement|appartement|vivienda|apartamento|woning( ?(nr|nummer))?|leilighet(s ?nr)?|bruksenhet|bolig)$`)
})

// unitsByProperty takes a property of the spaces that names their unit.
func (r *reader) unitsByProperty() (grouping, bool) {
	values := map[string]map[int]string{} // set.property -> room -> value
	for i, m := range r.rooms {
		if m.space == nil {
			continue
		}
		for set, ps := range m.space.Props() {
			for name, v := range ps {
				if v.Bool != nil || v.IsNum && v.Num != float64(int(v.Num)) || !unitProperty().MatchString(lexicon.Fold(name)) {
					continue
				}
				t := strings.TrimSpace(v.Text)
				if len(t) > len(name) { // "Unit A OccupancyZoneName": the tool repeats the name
					t = strings.TrimSpace(strings.TrimSuffix(t, name))
				}
				if t == "" || strings.EqualFold(t, "none") || strings.EqualFold(t, "unoccupied") || t == "*" || t == "-" {
					continue
				}
				k := set + "." + name
				if values[k] == nil {
					values[k] = map[int]string{}
				}
				values[k][i] = t
			}
		}
	}
	keys := make([]string, 0, len(values))
	for k := range values {
		keys = append(keys, k)
	}
	sort.Slice(keys, func(i, j int) bool {
		if a, b := len(values[keys[i]]), len(values[keys[j]]); a != b {
			return a > b
		}
		return keys[i] < keys[j]
	})
	for _, k := range keys {
		g := grouping{of: values[k], reason: Reason{"property", k + " ="}}
		r.dropOutside(&g)
		if n := len(g.names()); n >= 2 && n <= len(g.of) && 2*len(g.of) >= r.enclosed() && !r.zonesAreStoreys(g) && n*2 <= len(g.of) {
			return g, true
		}
	}
	return grouping{}, false
}

// dropOutside takes a name away that only open spaces bear.
func (r *reader) dropOutside(g *grouping) {
	inside := map[string]bool{}
	for i, n := range g.of {
		if !r.rooms[i].outside {
			inside[n] = true
		}
	}
	of := map[int]string{}
	for i, n := range g.of {
		if inside[n] {
			of[i] = n
		}
	}
	g.of = of
}

// Ways in which the name of a space begins with its unit.
var namePrefixes = sync.OnceValue(func() []*regexp.Regexp {
	return []*regexp.Regexp{
		regexp.MustCompile(`(?i)\b(?:unit|apt|apartment|flat|dwelling|whg|wohnung|we|haus|logement|lgt|appt|appartement|vivienda|piso|woning|leilighet|bolig|house|townhouse|th|u)[ ._#-]*([0-9]+[a-z]?|[a-z])\b`),
		regexp.MustCompile(`^([A-Za-z]{1,2})[ ._-]?[0-9]{1,4}[a-z]?\b`),
		regexp.MustCompile(`^([0-9]{1,3})[.\-/][0-9]{1,3}\b`),
	}
})

// unitsByName takes the prefix that space names have in common: A101, A102 against B101.
func (r *reader) unitsByName() (grouping, bool) {
	for k, re := range namePrefixes() {
		g := grouping{of: map[int]string{}, reason: Reason{"space name", "prefix"}}
		for i, m := range r.rooms {
			if m.space == nil || m.outside || m.common {
				continue
			}
			for _, n := range []string{m.space.Name, m.space.LongName} {
				if x := re.FindStringSubmatch(strings.TrimSpace(n)); x != nil {
					g.of[i] = strings.ToUpper(x[1])
					break
				}
			}
		}
		names := g.names()
		if len(names) < 2 || 10*len(g.of) < 7*r.enclosed() || r.zonesAreStoreys(g) || !r.prefixesHold(g, names, k) {
			continue
		}
		return g, true
	}
	return grouping{}, false
}

// prefixesHold reports whether each prefix names several rooms, so that it is a unit and not
// a kind of room; a unit of one room is accepted where the word for unit stands before it,
// and beside others in a scheme of letters and room numbers.
func (r *reader) prefixesHold(g grouping, names []string, kind int) bool {
	count := map[string]int{}
	for _, n := range g.of {
		count[n]++
	}
	for _, n := range names {
		if kind > 0 && count[n] < 2 {
			return kind == 1 && r.lettered(g, names)
		}
	}
	return true
}

// roomNumber is a letter with a number of storey and room: A101.
var roomNumber = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[A-Za-z][ ._-]?[1-9][0-9]{2,3}[a-z]?\b`) })

// lettered reports whether the prefixes are the letters from A on, one after the other, each
// with numbers of storey and room: units, however few their rooms, since kinds of rooms have
// letters of their own (B for baths, K for kitchens) and run through all of them.
func (r *reader) lettered(g grouping, names []string) bool {
	for i, n := range names {
		if n != string(rune('A'+i)) {
			return false
		}
	}
	for i := range g.of {
		if s := r.rooms[i].space; !roomNumber().MatchString(strings.TrimSpace(s.Name)) && !roomNumber().MatchString(strings.TrimSpace(s.LongName)) {
			return false
		}
	}
	return true
}

// naturalLess compares names with their numbers by value: "Unit 2" before "Unit 10".
func naturalLess(a, b string) bool {
	x, y := strings.ToLower(a), strings.ToLower(b)
	for x != "" && y != "" {
		dx, dy := digits(x), digits(y)
		if dx > 0 && dy > 0 {
			nx, ny := strings.TrimLeft(x[:dx], "0"), strings.TrimLeft(y[:dy], "0")
			if len(nx) != len(ny) {
				return len(nx) < len(ny)
			}
			if nx != ny {
				return nx < ny
			}
			x, y = x[dx:], y[dy:]
			continue
		}
		if x[0] != y[0] {
			return x[0] < y[0]
		}
		x, y = x[1:], y[1:]
	}
	if x == y {
		return a < b
	}
	return len(x) < len(y)
}

func digits(s string) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}
