package model

import (
	"math"

	"voidcheck/ifcx/graph"
)

// ElevationTolerance is the difference in metres above which a storey's Elevation attribute
// and its placement are said to disagree (project tolerance: a tenth of a plate's thickness).
const ElevationTolerance = 0.005

// readStoreys takes the elevation of a storey from its placement. A file whose storeys all
// stand at one height though their Elevation attributes differ has its elements placed
// absolutely; there the attribute is taken, above the building's own placement.
func (c *content) readStoreys() {
	type level struct {
		r        row
		z, attr  float64
		hasPlace bool
		hasAttr  bool
	}
	var levels []level
	flat, spread := true, false
	for _, r := range c.v.rows("IfcBuildingStorey") {
		l := level{r: r}
		base := 0.0 // height of the building's placement
		if b := c.climb(r.id, "IfcBuilding"); b != 0 && c.v.g.Ref(b, "ObjectPlacement") != 0 {
			base = c.place(b).O.Z
		}
		l.hasPlace = r.ref("ObjectPlacement") != 0
		l.z = c.place(r.id).O.Z
		if x, ok := r.num("Elevation"); ok {
			l.attr, l.hasAttr = base+c.v.units.length().si(x), true
		}
		if len(levels) > 0 {
			flat = flat && math.Abs(l.z-levels[0].z) < ElevationTolerance
			spread = spread || math.Abs(l.attr-levels[0].attr) > 1
		}
		levels = append(levels, l)
	}
	unplaced := flat && spread && len(levels) > 1
	if unplaced {
		c.v.warn(row{}, "storeys-not-placed", "all storeys are placed at one height; their Elevation attributes are taken", "place every storey at its elevation")
	}
	for _, l := range levels {
		z := l.z
		switch {
		case !l.hasAttr:
		case !l.hasPlace || unplaced:
			z = l.attr
		case math.Abs(l.z-l.attr) > ElevationTolerance:
			c.v.warn(l.r, "storey-elevation", "its placement is at "+metres(l.z)+" but its Elevation says "+metres(l.attr)+"; the placement is taken",
				"make the storey's placement and its elevation agree")
		}
		s := &Storey{GlobalID: l.r.str("GlobalId"), Name: l.r.str("Name"), ElevationM: z - c.origin.Z}
		if s.Name == "" {
			s.Name = l.r.str("LongName")
		}
		c.storeys[l.r.id] = s
		c.part.Storeys = append(c.part.Storeys, s)
	}
}

// climb follows wholes and containers upwards to the nearest object of the entity; 0 when
// there is none. Rings of relationships end after 64 steps.
func (c *content) climb(id graph.ID, entity string) graph.ID {
	for range 64 {
		if id == 0 || c.v.g.Is(id, entity) {
			return id
		}
		id = c.up(id)
	}
	return 0
}

// up returns what directly holds an object: its container, else its whole, else the element
// whose opening it fills or that it is cut into or added to.
func (c *content) up(id graph.ID) graph.ID {
	if x := c.rel.container().of(id); x != 0 {
		return x
	}
	if x := c.rel.whole().of(id); x != 0 {
		return x
	}
	if x := c.rel.filledBy().of(id); x != 0 {
		return x
	}
	return c.rel.host().of(id)
}

// storeyOf returns the storey that holds an object, nil when none does.
func (c *content) storeyOf(id graph.ID) *Storey {
	if s := c.storeys[c.climb(c.up(id), "IfcBuildingStorey")]; s != nil {
		return s
	}
	return c.namedBy(id)
}

// namedBy returns the storey that names an object without holding it, which is better than nothing.
func (c *content) namedBy(id graph.ID) *Storey {
	for _, x := range c.rel.referenced().of(id) {
		if s := c.storeys[c.climb(x, "IfcBuildingStorey")]; s != nil {
			return s
		}
	}
	return nil
}
