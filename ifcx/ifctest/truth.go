package ifctest

import (
	"fmt"
	"math"
	"sort"

	"voidcheck/ifcx/geom"
)

// Truth is what a correct review of the model must find, from arithmetic on the house.
// Points are metres in the frame of the house; Disguise.Point moves them along with the model.
type Truth struct {
	Units       int       `json:"units"`
	UnitAreasM2 []float64 `json:"unit_areas_m2"` // floor area of each unit's rooms, all storeys
	Voids       []Void    `json:"voids"`
	Defects     []Defect  `json:"defects"`
	// Joined are the groups of units that concealed routes connect, each of two or more.
	Joined [][]int `json:"joined"`
}

// Void is one concealed space between the stops that are meant to bound it.
type Void struct {
	Kind   string  `json:"kind"` // "floor", "attic", "wall", "soffit"
	Level  int     `json:"level"`
	Units  []int   `json:"units"`
	AreaM2 float64 `json:"area_m2"`
	// HeightM is the greatest height, VolumeM3 the volume with framing not deducted.
	HeightM  float64 `json:"height_m"`
	VolumeM3 float64 `json:"volume_m3"`
	Framing  string  `json:"framing"`
	// Compartments are the areas of its parts, in the order of their position; one for an
	// undivided void. For solid joists each channel is one.
	Compartments []float64 `json:"compartments_m2,omitempty"`
	Point        geom.Vec3 `json:"point"` // inside it
}

// Defect is one seeded mistake.
type Defect struct {
	Seed Seed `json:"seed"`
	// Checks are the catalogue names of the checks of which at least one must say "deficient"
	// at Point; the first is the one that fits best.
	Checks []string `json:"checks"`
	// Also are checks that may say "deficient" there too.
	Also  []string  `json:"also,omitempty"`
	Level int       `json:"level"`
	Units []int     `json:"units"`
	Point geom.Vec3 `json:"point"`
	// WidthM and HeightM are the clear size of the opening that the defect leaves; for an
	// over-large void WidthM is 0 and AreaM2 the area.
	WidthM  float64 `json:"width_m,omitempty"`
	HeightM float64 `json:"height_m,omitempty"`
	AreaM2  float64 `json:"area_m2,omitempty"`
	// Anywhere is true for a mistake that is told of all parts alike: Point is at one of them.
	Anywhere bool `json:"anywhere,omitempty"`
	// Joins names the two spaces that the defect opens to each other, as keys of the truth
	// graph ("floor/0/1", "cavity/0/s0/2", "attic/1"); empty for a defect that joins nothing.
	Joins [][2]string `json:"joins,omitempty"`
}

// cells is the graph of spaces behind Truth.Joined: a union-find over names.
type cells struct{ parent map[string]string }

func newCells() *cells { return &cells{map[string]string{}} }

func (c *cells) find(a string) string {
	p, ok := c.parent[a]
	if !ok || p == a {
		return a
	}
	r := c.find(p)
	c.parent[a] = r
	return r
}

func (c *cells) join(a, b string) {
	a, b = c.find(a), c.find(b)
	if a != b {
		if b < a {
			a, b = b, a
		}
		c.parent[b] = a
	}
}

// Names of spaces in the truth graph.
func floorCell(unit, level int) string { return fmt.Sprintf("floor/%d/%d", unit, level) }
func atticCell(unit int) string        { return fmt.Sprintf("attic/%d", unit) }

// cavityCell names the part of a separation's cavity in a zone ("s0" beside storey 0, "f1"
// beside the floor void of level 1, "a" beside the attic) between two cavity blocks.
func cavityCell(sep int, zone string, segment int) string {
	return fmt.Sprintf("cavity/%d/%s/%d", sep, zone, segment)
}

// segment returns which stretch between cavity blocks holds y.
func (b *builder) segment(y float64) int {
	return sort.SearchFloat64s(b.runBlocks(), y)
}

// segments returns the stretches that a span of y touches.
func (b *builder) segments(y Span) []int {
	var out []int
	for s := b.segment(y.Lo); s <= b.segment(y.Hi); s++ {
		out = append(out, s)
	}
	return out
}

// defect records a seeded mistake and joins what it opens.
func (b *builder) defect(d Defect) {
	for _, j := range d.Joins {
		b.cells.join(j[0], j[1])
	}
	b.m.Truth.Defects = append(b.m.Truth.Defects, d)
}

// joined lists the groups of units with a concealed route between them.
func (b *builder) joined() [][]int {
	group := map[string][]int{}
	note := func(u int, cell string) {
		r := b.cells.find(cell)
		for _, v := range group[r] {
			if v == u {
				return
			}
		}
		group[r] = append(group[r], u)
	}
	for u := range b.h.Units {
		for k := 1; k < b.h.Storeys; k++ {
			note(u, floorCell(u, k))
		}
		note(u, atticCell(u))
	}
	// A unit's own voids count as one for reach only through concealed spaces, so groups are
	// merged when they share a unit only if the cells themselves are joined: they already are.
	var out [][]int
	seen := map[string]bool{}
	for _, g := range group {
		if len(g) < 2 {
			continue
		}
		sort.Ints(g)
		if k := fmt.Sprint(g); !seen[k] {
			seen[k] = true
			out = append(out, g)
		}
	}
	sort.Slice(out, func(i, j int) bool { return fmt.Sprint(out[i]) < fmt.Sprint(out[j]) })
	return out
}

// Stops returns how many draftstops across one simple cavity keep every part within the limit:
// ceil(area/limit) - 1, with a hair of tolerance at the limit.
func Stops(area, limit float64) int {
	return max(0, int(math.Ceil(area/limit-1e-9))-1)
}
