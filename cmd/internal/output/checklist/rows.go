package checklist

import (
	"cmp"
	"fmt"
	"slices"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/plan"
	"voidcheck/cmd/internal/output/words"
)

// row is one thing to look at.
type row struct {
	it     *finding.Item
	number int
	weight int // the higher, the more hangs on it
	layer  plan.Layer
	stops  []*finding.CriticalStop // that the row stands for
}

// weigh says how early a row comes: first what is open between units, then what alone keeps
// units apart, then other defects and stops by what hangs on them.
func (x *row) weigh() int {
	open := map[finding.Outcome]int{finding.Deficient: 5, finding.NotShown: 3}[x.it.Outcome]
	switch {
	case open > 0 && x.it.Joins != nil && x.it.Joins.Units > 1:
		return 60 + open
	case open > 0 && x.it.Disposition != nil:
		return 58 // the examiner sends the inspector there
	case x.grave() == 1:
		return 55
	}
	w := stake(x.it)*10 + open
	if x.grave() == 2 {
		w = max(w, 42)
	}
	return w
}

// notInTheField are checks whose items name no thing that an inspector can look at: they
// follow from others, or speak of areas, of the submittal or of voids as such.
var notInTheField = []string{"floor-draftstop-balance", "separation-continuity", "separation-spread", "void-summary", "void-services", "model-content"}

// belongs reports whether an item is for the inspection list.
func belongs(it *finding.Item) bool {
	switch {
	case it.Disposition.Settles() && words.Open(it.Outcome):
		return false
	case it.Disposition != nil && it.Disposition.Decision == finding.VerifyInField:
		return true
	case slices.Contains(notInTheField, it.Check) || len(it.ConsequenceOf) > 0:
		return false
	}
	area := it.Check == "floor-draftstop-area" || it.Check == "attic-draftstop-area"
	return words.Open(it.Outcome) || it.Outcome == finding.Meets && !area
}

// stake says what hangs on a kind of stop, 4 the most: whether it keeps units apart, divides
// a large void, closes a way between storeys, or closes one place.
func stake(it *finding.Item) int {
	if it.Joins != nil && it.Joins.Units > 1 {
		return 4
	}
	switch it.Check {
	case "floor-draftstop-line", "attic-draftstop-line", "separation-service", "separation-boxes", "cornice-fireblock":
		return 4
	case "draftstop-complete", "draftstop-door", "floor-draftstop-area", "attic-draftstop-area":
		return 3
	case "wall-fireblock-level", "void-junction", "chimney-fireblock", "stair-fireblock":
		return 2
	case "wall-fireblock-run", "floor-membrane":
		return 1
	}
	return 0
}

// reason says in words why a row comes early.
func (x *row) reason(b *words.Book) string {
	it := x.it
	if it.Disposition != nil && words.Open(it.Outcome) {
		return words.Decision(it.Disposition)
	}
	if s := x.loss(b); s != "" {
		return s
	}
	between := ""
	if len(it.Units) > 1 {
		between = words.List(b.UnitList(it.Units))
	}
	once := map[finding.Outcome]string{finding.Deficient: "open; once closed, it ", finding.NotShown: "not shown; it "}[it.Outcome]
	switch {
	case it.Outcome != finding.Meets && it.Joins != nil && it.Joins.Units > 1:
		return fmt.Sprintf("open, it joins %s", words.Count(it.Joins.Units, "dwelling unit"))
	case stake(it) == 4 && between != "":
		return once + "keeps " + between + " apart"
	case stake(it) == 4:
		return once + "keeps dwelling units apart"
	case stake(it) == 3:
		return "divides a large void"
	case stake(it) == 2:
		return "closes a way between voids or storeys"
	}
	return ""
}

// rowsOf are the rows of a report by storey, unit and what hangs on them.
func rowsOf(b *words.Book, s *plan.Site) []*row {
	var out []*row
	for i := range b.R.Items {
		it := &b.R.Items[i]
		if !belongs(it) {
			continue
		}
		out = append(out, &row{it: it})
	}
	out = attach(b, out)
	for _, x := range out {
		x.weight = x.weigh()
		if s != nil {
			x.layer = s.LayerOf(x.it)
		}
	}
	slices.SortStableFunc(out, func(a, c *row) int {
		return cmp.Or(
			cmp.Compare(b.Level(a.it.Storey), b.Level(c.it.Storey)),
			compareUnits(a.it.Units, c.it.Units),
			cmp.Compare(c.weight, a.weight),
			cmp.Compare(area(c.it), area(a.it)),
			finding.Natural(a.it.Place, c.it.Place),
		)
	})
	for i := range out {
		out[i].number = i + 1
	}
	return out
}

func area(it *finding.Item) float64 {
	if it.Joins == nil {
		return 0
	}
	return it.Joins.AreaM2
}

// compareUnits orders as one walks: a unit, then its line with the next one; what belongs
// to no unit comes last.
func compareUnits(a, b []string) int {
	if len(a) == 0 || len(b) == 0 {
		return cmp.Compare(len(b), len(a))
	}
	for i := range min(len(a), len(b)) {
		if c := finding.Natural(a[i], b[i]); c != 0 {
			return c
		}
	}
	return cmp.Compare(len(a), len(b))
}

// group is the heading of a row's group.
func group(b *words.Book, units []string) string {
	switch len(units) {
	case 0:
		return "Of several units, or of none"
	case 1:
		return b.UnitName(units[0])
	case 2:
		return "Unit line " + b.Line(units)
	}
	return words.First(words.List(b.UnitList(units)))
}

// look is the form of a row's number on a plan.
func look(o finding.Outcome) plan.Look {
	switch o {
	case finding.Deficient:
		return plan.Fault
	case finding.NotShown:
		return plan.Unseen
	}
	return plan.Check
}

// see says what an inspector is to see at a place.
func see(it *finding.Item) string {
	if words.Open(it.Outcome) {
		return cmp.Or(it.Remedy, it.Message)
	}
	switch it.Check {
	case "floor-draftstop-line":
		return "A block or draftstop in every bay, tight to the framing and up to the underside of the deck; none taken out for pipes, ducts or cables."
	case "attic-draftstop-line":
		return "The wall or draftstop runs tight up to the underside of the roof sheathing, without a hole."
	case "draftstop-complete":
		return "The draftstop covers the whole section: tight at deck or sheathing, ceiling, chords and ends, without an open hole."
	case "draftstop-door":
		return "The door closes by itself and latches."
	case "draftstop-material":
		return "The draftstop is of the material and thickness shown."
	case "fireblock-material":
		return "The fireblocks are of the material and thickness shown."
	case "wall-fireblock-level":
		return "The cavity is closed by plates or blocks at the floor and at the ceiling."
	case "wall-fireblock-run":
		return "Blocks stand in the cavity over its full height and depth, at the distances shown."
	case "void-junction":
		return "The voids are closed from each other by plates or blocks."
	case "service-opening":
		return "The ring round the service is closed."
	case "separation-service":
		return "The seal of the listed system stands round the service; no other service passes."
	case "floor-membrane":
		return "The underside of the framing is covered as shown."
	case "stair-fireblock":
		return "The space between the stringers is closed at the top and at the bottom of the run."
	case "chimney-fireblock":
		return "The space round the chimney is closed at floors and ceilings."
	case "cornice-fireblock":
		return "The cornice is closed at the unit line."
	}
	return it.Message
}

// hasPlace reports whether an item stands at a place that a plan can point at: what sums up
// many walls does not.
func hasPlace(it *finding.Item) bool {
	return it.Point != [3]float64{} && (len(it.Units) > 0 || len(it.Spaces) > 0 || len(it.Elements) > 0)
}
