package recognise

import (
	"fmt"
	"sort"

	"voidcheck/checks/lexicon"
	"voidcheck/ifcx/model"
)

// zoneRooms is a zone with the rooms it holds.
type zoneRooms struct {
	z     *model.Zone
	rooms []int
}

// unitZones returns the zones that are called units, and those that words say nothing of;
// zones for heating, fire, circulation and the like are left out.
func (r *reader) unitZones() (named, plain []zoneRooms) {
	at := map[*model.Space]int{}
	for i, m := range r.rooms {
		at[m.space] = i
	}
	for _, z := range r.m.Zones {
		s := lexicon.Subject{Entity: z.Entity, Names: []string{z.Name, z.LongName, z.ObjectType}}
		for _, c := range z.Classes {
			s.Classes = append(s.Classes, lexicon.ClassRef{System: c.System, Code: c.Code})
			s.Names = append(s.Names, c.Name)
		}
		if _, no := r.lex.Zone("not-unit", s); no {
			continue
		}
		var rooms []int
		for _, sp := range z.Spaces {
			if i, ok := at[sp]; ok {
				rooms = append(rooms, i)
			}
		}
		if len(rooms) == 0 && z.Body != nil {
			rooms = r.roomsWithin(z)
		}
		if len(rooms) == 0 {
			continue
		}
		if _, yes := r.lex.Zone("unit", s); yes {
			named = append(named, zoneRooms{z, rooms})
		} else {
			plain = append(plain, zoneRooms{z, rooms})
		}
	}
	return named, plain
}

// unitsByZone takes zones that are called units, or that share out the rooms without overlap.
func (r *reader) unitsByZone() (grouping, bool) {
	named, plain := r.unitZones()
	if g, zones := r.shareOut(named); zones > 0 {
		return g, true
	}
	g, zones := r.shareOut(plain)
	inside := 0
	for i, m := range r.rooms {
		if !m.outside && g.of[i] != "" {
			inside++
		}
	}
	return g, zones >= 2 && inside*10 >= 6*r.enclosed() && !r.zonesAreStoreys(g)
}

// shareOut gives rooms to zones, the smallest first: a zone that holds rooms of others is a
// building or a storey, not a unit.
func (r *reader) shareOut(set []zoneRooms) (g grouping, zones int) {
	g = grouping{of: map[int]string{}, reason: Reason{Signal: "zone"}}
	sort.SliceStable(set, func(i, j int) bool { return len(set[i].rooms) < len(set[j].rooms) })
	used := map[string]bool{}
	for _, z := range set {
		clash := false
		for _, i := range z.rooms {
			clash = clash || g.of[i] != ""
		}
		if clash {
			continue
		}
		name := z.z.Name
		if name == "" {
			name = z.z.LongName
		}
		if name == "" {
			name = fmt.Sprintf("zone of %s", r.rooms[z.rooms[0]].space.Name)
		}
		if used[name] { // two zones of one name are two units
			name += " " + z.z.GlobalID
		}
		used[name] = true
		for _, i := range z.rooms {
			g.of[i] = name
		}
		zones++
	}
	return g, zones
}

// roomsWithin returns the rooms whose middle lies in the box of a zone's body.
func (r *reader) roomsWithin(z *model.Zone) []int {
	b := z.Body()
	if b == nil {
		return nil
	}
	var out []int
	for i, m := range r.rooms {
		if m.box.IsEmpty() {
			continue
		}
		c := r.turn.out(m.box.Center())
		if c.X > b.Box.Min.X && c.X < b.Box.Max.X && c.Y > b.Box.Min.Y && c.Y < b.Box.Max.Y && c.Z > b.Box.Min.Z && c.Z < b.Box.Max.Z {
			out = append(out, i)
		}
	}
	return out
}
