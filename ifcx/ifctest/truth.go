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
	// Follows is what the mistakes lead to elsewhere.
	Follows []Follow `json:"follows,omitempty"`
}

// Follow names a check that may say "deficient" anywhere at these units, since a mistake
// elsewhere leads to it: a void that runs on over an open unit line is too large, a cavity
// that is open round its blocks runs too far.
type Follow struct {
	Check string `json:"check"`
	Units []int  `json:"units"`
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

func soffitCell(i int) string { return fmt.Sprintf("soffit/%d", i) }

// cavityCell names the part of a separation's cavity in a zone ("s0" beside storey 0, "f1"
// beside the floor void of level 1, "a" beside the attic) between two cavity blocks.
func cavityCell(sep int, zone string, segment int) string {
	return fmt.Sprintf("cavity/%d/%s/%d", sep, zone, segment)
}

// stretches are the parts of the inside of a separation that stops or studs divide along it:
// between the cavity blocks of a double one, the stud bays of a single one.
func (b *builder) stretches() []Span {
	at := b.runBlocks()
	if b.h.Separation.Kind == "single" {
		studs := studPositions(b.outerY(), b.h.StudGap)
		at = studs[1 : len(studs)-1]
	}
	rest := b.outerY()
	var out []Span
	for _, s := range at {
		out = append(out, Span{rest.Lo, s})
		rest.Lo = s + TwoBy
	}
	return append(out, rest)
}

// segments returns the stretches into which a span of y opens wide enough to count.
func (b *builder) segments(y Span) []int {
	var out []int
	for i, s := range b.stretches() {
		if min(s.Hi, y.Hi)-max(s.Lo, y.Lo) >= 0.5*Inch {
			out = append(out, i)
		}
	}
	return out
}

// around joins the stretches of a zone that a span of y leaves open to each other, past the
// stops between them, which end there; the cavity then runs on along the wall.
func (b *builder) around(sep int, zone string, y Span) {
	in := b.segments(y)
	for _, s := range in[1:] {
		b.cells.join(cavityCell(sep, zone, in[0]), cavityCell(sep, zone, s))
	}
	reached := 0 // also by a chink that is too narrow to count: it may be told
	for _, s := range b.stretches() {
		if y.overlaps(s) {
			reached++
		}
	}
	if reached > 1 {
		b.follow("wall-fireblock-run", sep, sep+1)
	}
}

// follow records what a mistake leads to elsewhere.
func (b *builder) follow(check string, units ...int) {
	b.m.Truth.Follows = append(b.m.Truth.Follows, Follow{check, units})
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
	for i, s := range b.h.Soffits {
		note(s.Unit, soffitCell(i))
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
