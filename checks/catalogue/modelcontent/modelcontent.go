// Package modelcontent is the model-content check.
package modelcontent

import (
	"context"
	"fmt"
	"sort"
	"strings"

	"voidcheck/checks"
	"voidcheck/checks/beyond"
	"voidcheck/checks/crossing"
	"voidcheck/checks/finding"
	"voidcheck/checks/place"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
)

// Check is the model-content check.
var Check = &checks.Check{
	Name:  "model-content",
	Title: "what the submittal must show",
	Doc: "What the submittal must show for the other checks to be decided: dwelling units, separations, ceilings, framing or layers, roof, stops, seals, services, " +
		"sprinkler protection; what in the files could not be read; and, as notes, what the codes want shown and no check decides from a model.",
	Topic: "contents of the submittal",
	Run:   run,
}

// gap is one thing that the submittal does not show.
type gap struct {
	cause   string // short
	message string // what is missing, and which checks wait for it
	remedy  string // what to show
	storey  int
	place   string
	element []int
}

func run(ctx context.Context, p *checks.Pass) error {
	w := place.New(p.Building, p.Voids, p.Units)
	var gaps []gap
	for _, look := range []func(*checks.Pass, *place.Words) []gap{rooms, units, ceilings, walls, floors, roof, stops, services, sprinklers, facts} {
		gaps = append(gaps, look(p, w)...)
	}
	for _, text := range p.Voids.Unsolved {
		gaps = append(gaps, gap{cause: "too many oblique edges", storey: -1, place: "concealed spaces", message: strings.ToUpper(text[:1]) + text[1:] + ".", remedy: "Correct these parts and export the model again."})
	}
	for _, g := range gaps {
		p.Report(checks.Report{
			Outcome: finding.NotShown, Evidence: finding.Modelled, Storey: g.storey, Place: g.place, Cause: g.cause,
			Message: g.message, Remedy: g.remedy, Elements: g.element,
		})
	}
	for _, r := range beyond.Notes(p) {
		p.Report(r)
	}
	n := len(gaps) + unread(p, w)
	for _, note := range p.Building.Notes {
		p.Report(checks.Report{
			Outcome: finding.Note, Evidence: finding.Assumed, Storey: -1, Place: "what was recognised", Aspect: note, Cause: "recognition", Message: note,
		})
	}
	if n == 0 {
		p.Report(checks.Report{
			Outcome: finding.Meets, Evidence: finding.Modelled, Storey: -1, Place: "submittal",
			Message: "The submittal shows units, separations, ceilings, framing, stops, seals, services and sprinkler information.",
		})
	}
	return ctx.Err()
}

func rooms(p *checks.Pass, w *place.Words) []gap {
	if len(p.Building.Input.Rooms) > 0 {
		return nil
	}
	return []gap{{cause: "rooms", storey: -1, place: "rooms",
		message: "No rooms are modelled: which spaces people use, above and below a void, and to which unit they belong, cannot be told.",
		remedy:  "Model the rooms as spaces, or submit the architectural model together with this one."}}
}

func units(p *checks.Pass, w *place.Words) []gap {
	b := p.Building
	switch {
	case len(b.Units) == 0:
		return []gap{{cause: "units", storey: -1, place: "dwelling units",
			message: "The model names no dwelling units, and none could be told from its walls. Every check about unit lines and spread between units waits for them.",
			remedy:  "Group the rooms of each unit in a zone, number them with a unit prefix (A101, B101), or list the units in the submittal file."}}
	case len(b.Units) > 1 && len(b.Input.Separations) == 0 && len(over(p)) == 0:
		return []gap{{cause: "separations", storey: -1, place: "unit separations",
			message: fmt.Sprintf("There are %d dwelling units, and no separation between any two of them was recognised.", len(b.Units)),
			remedy:  "Show the unit separations as walls between the rooms of the units, or name them as such."}}
	}
	var out []gap
	if pairs := over(p); len(pairs) > 0 {
		u := pairs[0]
		more := ""
		if n := len(pairs) - 1; n > 0 {
			more = fmt.Sprintf(", and %d more pairs", n)
		}
		out = append(out, gap{cause: "floors between units", storey: -1, place: "floors between dwelling units",
			message: fmt.Sprintf("%s lies under %s%s. The floor between units is looked at as a floor; its rating, and the rating of seals round what passes it, are not told by the model.", w.Unit(u[0]), w.Unit(u[1]), more),
			remedy:  "Show the rated floor/ceiling assembly between the units with its design number, and the listed seal of each service through it."})
	}
	for _, u := range b.Units {
		if u.Assumed {
			return append(out, gap{cause: "units assumed", storey: -1, place: "dwelling units",
				message: inferred(len(b.Units)),
				remedy:  "Group the rooms of each unit in a zone, or list the units in the submittal file."})
		}
	}
	return out
}

// over returns the pairs of units that lie over each other, the lower one first.
func over(p *checks.Pass) [][2]int {
	seen := map[[2]int]bool{}
	var out [][2]int
	for _, c := range p.Voids.Compartments {
		for _, u := range c.Stacked {
			if !seen[u] {
				seen[u] = true
				out = append(out, u)
			}
		}
	}
	sort.Slice(out, func(i, j int) bool {
		return out[i][0] < out[j][0] || out[i][0] == out[j][0] && out[i][1] < out[j][1]
	})
	return out
}

func inferred(n int) string {
	if n == 1 {
		return "The model names no dwelling units; the whole building is taken as one."
	}
	return fmt.Sprintf("The model names no dwelling units; %d were taken from the regions between separation walls.", n)
}

// ceilings tells the storeys above whose rooms no ceiling is modelled.
func ceilings(p *checks.Pass, w *place.Words) []gap {
	storeys := map[int]bool{}
	for _, v := range p.Voids.Voids {
		if v.CeilingAssumed && (v.Kind == void.KindFloor || v.Kind == void.KindAttic) {
			storeys[w.StoreyAt(v.ZLo-0.1, true)] = true
		}
	}
	var r []gap
	for s := -1; s <= len(p.Building.Input.Levels); s++ {
		if storeys[s] {
			r = append(r, gap{cause: "ceilings", storey: s, place: "ceilings",
				message: "No ceiling is modelled here; the underside of the framing is taken for it, and areas, heights and openings of the void above are graded as assumed.",
				remedy:  "Show the ceilings of this storey, or say that the framing stays exposed."})
		}
	}
	return r
}

// walls tells walls that are neither layered nor framed.
func walls(p *checks.Pass, w *place.Words) []gap {
	var elements []int
	n := 0
	for i := range p.Building.Input.Walls {
		wall := &p.Building.Input.Walls[i]
		if len(wall.Cavities) == 0 && wall.Kind != void.WallSolid {
			n++
			elements = append(elements, wall.Elements...)
		}
	}
	if n == 0 {
		return nil
	}
	what := fmt.Sprintf("%d walls have", n)
	if n == 1 {
		what = "One wall has"
	}
	return []gap{{cause: "walls", storey: -1, place: "walls without layers", element: elements,
		message: what + " neither layers nor studs: cavities, and what closes them, cannot be told.",
		remedy:  "Give the walls their layers (board, framing, air, framing, board) or model their studs and plates."}}
}

// floors tells floors that are neither layered nor framed, and framing that is not named.
func floors(p *checks.Pass, w *place.Words) []gap {
	framing, floor := false, false
	for _, v := range p.Voids.Voids {
		if v.Kind == void.KindFloor {
			floor = true
			framing = framing || v.Framing == void.FramingUnknown
		}
	}
	switch {
	case !floor && len(p.Building.Input.Levels) > 1:
		return []gap{{cause: "floors", storey: -1, place: "floors",
			message: "No floor void could be told: the floors have neither layers nor framing with a deck above it.",
			remedy:  "Give the floors their layers with thickness and order, or model decks, joists or trusses, and ceilings."}}
	case framing:
		return []gap{{cause: "floor framing", storey: -1, place: "floor framing",
			message: "The framing of some floor voids is not shown: whether fire crosses it freely, and whether the area limit applies, cannot be told.",
			remedy:  "Say in the layer or the model whether the floor is of open-web trusses, I-joists or solid joists."}}
	}
	return nil
}

// roof tells a missing roof, and a roof without anything that makes an attic of it.
func roof(p *checks.Pass, w *place.Words) []gap {
	if !p.Detail().Shows(void.RoleRoof) {
		return []gap{{cause: "roof", storey: -1, place: "roof",
			message: "No roof sheathing is modelled: attics, and how unit separations end below it, cannot be told.",
			remedy:  "Show the roof with its sheathing."}}
	}
	for _, v := range p.Voids.Voids {
		if v.Kind == void.KindAttic {
			return nil
		}
	}
	return []gap{{cause: "attic", storey: -1, place: "attic",
		message: "A roof is modelled and no attic could be told: there is neither a ceiling nor framing below it, and the roof has no layers.",
		remedy:  "Show the ceiling below the roof and the roof's layers or framing, or say that the roof space is open."}}
}

func stops(p *checks.Pass, w *place.Words) []gap {
	var r []gap
	if len(p.Voids.Voids) > 0 && !p.Detail().Shows(void.RoleBlock, void.RoleDraftstop) {
		r = append(r, gap{cause: "stops", storey: -1, place: "draftstops and fireblocks",
			message: "The model shows no draftstops and no fireblocks at all.",
			remedy:  "Show them: draftstops as sheets in the voids, blocks between members, named as what they are; or submit details that tell where they go."})
	}
	if runs(p) && !p.Detail().Shows(void.RoleSeal) {
		r = append(r, gap{cause: "seals", storey: -1, place: "seals",
			message: "The model shows pipes, ducts or cables and no seals round any of them.",
			remedy:  "Show the seals, named as such, or submit a detail for each kind of penetration."})
	}
	return r
}

// runs reports whether pipes, ducts or cables are modelled, not just fixtures and outlets.
func runs(p *checks.Pass) bool {
	run := crossing.Runs(p.Building)
	for i := range p.Building.Input.Parts {
		if part := &p.Building.Input.Parts[i]; part.Role == void.RoleService && run(part.Element) {
			return true
		}
	}
	return false
}

func services(p *checks.Pass, w *place.Words) []gap {
	if runs(p) {
		return nil
	}
	return []gap{{cause: "services", storey: -1, place: "services",
		message: "No pipes, ducts or cables are modelled: openings round services and penetrations of separations cannot be told.",
		remedy:  "Submit the models of plumbing, mechanical and electrical services together with this one."}}
}

func sprinklers(p *checks.Pass, w *place.Words) []gap {
	if p.Facts.Sprinklers != "" || len(p.Building.Of(recognise.Sprinkler)) > 0 {
		return nil
	}
	return []gap{{cause: "sprinklers", storey: -1, place: "sprinkler protection",
		message: "Neither the model nor a submittal file says whether the building is sprinklered, and to which standard; exceptions may depend on it.",
		remedy:  "Name the sprinkler standard, or that there are none, in the submittal file."}}
}
