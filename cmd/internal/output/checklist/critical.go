package checklist

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/output/words"
)

// attach gives the stops that most hangs on to the rows that stand for them; a stop that no
// row stands for gets a row of its own.
func attach(b *words.Book, rows []*row) []*row {
	if b.R.Spread == nil {
		return rows
	}
	from := rows[:len(rows):len(rows)]
	for i := range b.R.Spread.Stops {
		c := &b.R.Spread.Stops[i]
		if x := standsFor(from, c); x != nil {
			x.stops = append(x.stops, c)
			continue
		}
		rows = append(rows, &row{stops: []*finding.CriticalStop{c}, it: &finding.Item{
			Check: "stop", Outcome: finding.Meets, Evidence: finding.Modelled, Storey: c.Storey, Units: c.Units, Place: c.Place, Point: c.Point, Elements: c.Elements,
			Message: "The " + c.Kind + " stands in place, tight and without a hole.",
		}})
	}
	return rows
}

// standsFor finds the row of a stop: by its place, else the nearest of its units and level.
func standsFor(rows []*row, c *finding.CriticalStop) *row {
	line, side, _ := strings.Cut(c.Place, ", ")
	var best *row
	least := 2.0 // metres
	for _, x := range rows {
		it := x.it
		if it.Outcome != finding.Meets || it.Storey != c.Storey || !slices.Equal(it.Units, c.Units) {
			continue
		}
		if it.Place == c.Place || side != "" && strings.HasPrefix(it.Place, line) && strings.HasSuffix(it.Place, ", "+side) {
			return x
		}
		if d := math.Hypot(math.Hypot(it.Point[0]-c.Point[0], it.Point[1]-c.Point[1]), it.Point[2]-c.Point[2]); d < least && strings.HasPrefix(it.Place, line) {
			best, least = x, d
		}
	}
	return best
}

// grave is how few stops have to be missing, this one among them, to join units: 1, 2, or 3
// for more.
func (x *row) grave() int {
	n := 3
	for _, c := range x.stops {
		if c.Alone > 0 {
			n = min(n, c.Alone)
		}
		if c.Repaired > 0 {
			n = min(n, c.Repaired)
		}
	}
	return n
}

// loss says what follows when the stop of a row is missing.
func (x *row) loss(b *words.Book) string {
	if len(x.stops) == 0 {
		return ""
	}
	c := x.stops[0]
	apart := words.List(b.UnitList(c.Units)) + " apart"
	area := ""
	if c.Joins != nil && c.Joins.AreaM2 > 0 {
		area = ": without it " + measure.FormatArea(c.Joins.AreaM2, b.Sys) + " are joined"
	}
	switch {
	case x.grave() == 1:
		return "alone keeps " + apart + area
	case len(c.With) > 0:
		with := c.With
		if len(with) > 2 {
			with = append(with[:1:1], fmt.Sprintf("one of %d others", len(c.With)-1))
		}
		return "keeps " + apart + " together with " + strings.Join(with, " or ")
	}
	return "keeps " + apart + " together with other stops"
}
