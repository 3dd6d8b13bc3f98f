// Package intake says what model files are and whether they hold what a review needs. It
// reads the index of the files and no geometry, and judges nothing.
package intake

import (
	"fmt"

	"voidcheck/ifcx/model"
)

// Need is one kind of information that a review uses.
type Need struct {
	What  string
	State string // "yes", "part" or "no"
	Found string // what there is
	Ask   string // what waits for it, and what to ask for; "" when it is there
}

// The states of a need.
const (
	Yes  = "yes"
	Part = "part"
	No   = "no"
)

// Needs looks for the information that a review uses, in the order in which it is used.
func Needs(b *model.Building) []Need {
	c := count(b)
	return []Need{
		need("storeys", len(b.Storeys), len(b.Storeys), "with an elevation each",
			"floor and ceiling levels wait for them: ask for storeys with elevations"),
		need("rooms", len(b.Spaces), len(b.Spaces), "spaces",
			"what is concealed is told from rooms: ask for the spaces of every unit"),
		need("dwelling units", c.zoned, len(b.Spaces), fmt.Sprintf("of %d spaces are in a zone (%d zones)", len(b.Spaces), len(b.Zones)),
			"checks of unit lines wait for them: ask for a zone for each unit, unit prefixes in room numbers, or name the units in the submittal file"),
		need("wall build-up", c.wallLayers+c.wallParts, c.walls, fmt.Sprintf("of %d walls have layers or parts", c.walls),
			"wall cavities wait for it: ask for layers in order, or studs and plates"),
		need("floor build-up", c.floorLayers, c.floors, fmt.Sprintf("of %d floor slabs have layers or parts", c.floors),
			"floor voids wait for it where framing is not modelled: ask for layers in order"),
		need("framing", c.framing, c.framing, "beams, members and assemblies",
			"bays and blocks are seen only in framed models: ask for the truss layout or framing model if it exists"),
		need("trusses", c.trusses, c.trusses, "assemblies typed as trusses",
			"loose members are recognised from their shape; ask for assemblies typed TRUSS if trusses exist"),
		need("ceilings", c.ceilings, c.ceilings, "coverings typed as ceilings",
			"the underside of the framing is taken for the ceiling: ask for ceilings"),
		need("roof", c.roofs, c.roofs, "roofs and roof slabs",
			"attics wait for it: ask for the roof with its sheathing"),
		need("services", c.services, c.services, "pipes, ducts, cables, boxes and the like",
			"openings round services wait for them: ask for the services models of the same building"),
	}
}

func need(what string, have, of int, found, ask string) Need {
	n := Need{What: what, Found: fmt.Sprintf("%d %s", have, found)}
	switch {
	case have == 0:
		n.State, n.Ask = No, ask
	case have < of:
		n.State, n.Ask = Part, ask
	default:
		n.State = Yes
	}
	return n
}

// counts are the elements that bear on the needs.
type counts struct {
	zoned                             int
	walls, wallLayers, wallParts      int
	floors, floorLayers               int
	framing, trusses, ceilings, roofs int
	services                          int
}

func count(b *model.Building) counts {
	var c counts
	for _, s := range b.Spaces {
		if len(s.Zones) > 0 {
			c.zoned++
		}
	}
	for _, g := range b.Groups() {
		switch {
		case g.Is("IfcWall"):
			if g.PartOfWall {
				continue
			}
			c.walls += g.N
			if g.Layered {
				c.wallLayers += g.N
			} else if g.HasParts {
				c.wallParts += g.N
			}
		case g.Is("IfcRoof"), g.Is("IfcSlab") && g.Predefined == "ROOF":
			c.roofs += g.N
		case g.Is("IfcSlab"):
			c.floors += g.N
			if g.Layered || g.HasParts {
				c.floorLayers += g.N
			}
		case g.Is("IfcCovering") && g.Predefined == "CEILING":
			c.ceilings += g.N
		case g.Is("IfcElementAssembly"):
			c.framing += g.N
			if g.Predefined == "TRUSS" {
				c.trusses += g.N
			}
		case g.Is("IfcBeam"), g.Is("IfcMember"):
			c.framing += g.N
		case g.Is("IfcDistributionElement"):
			c.services += g.N
		}
	}
	return c
}

// Kind is how many elements of one entity there are.
type Kind struct {
	Entity string
	N      int
}

// Kinds counts the elements by entity, most first.
func Kinds(b *model.Building) []Kind {
	n := map[string]int{}
	for _, g := range b.Groups() {
		n[g.Entity] += g.N
	}
	var out []Kind
	for k, v := range n {
		out = append(out, Kind{k, v})
	}
	sortKinds(out)
	return out
}
