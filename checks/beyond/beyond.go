// Package beyond lists what the codes want shown and no check decides from a model: ratings,
// listings, parapets, access, drawings. It is a table with a condition for each row, so that
// model-content can name what matters to the building at hand. It judges nothing.
package beyond

import (
	_ "embed"
	"regexp"
	"strings"
	"sync"

	"github.com/go-json-experiment/json"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
)

//go:embed beyond.json
var table []byte

// Row is one thing to be shown.
type Row struct {
	Topic string `json:"topic"`
	Keys  string `json:"keys"` // rows of the sheet of code facts
	When  string `json:"when"` // name of its condition
	Show  string `json:"show"` // quantities in braces, as codes print them
}

var quantity = regexp.MustCompile(`\{([^}]*)\}`)

// text is what is to be shown, with its quantities in the reader's units.
func (r Row) text(sys measure.System) string {
	return quantity.ReplaceAllStringFunc(r.Show, func(q string) string {
		q = strings.Trim(q, "{}")
		if sys != measure.SI {
			return q
		}
		if v, err := measure.Parse(measure.Area, q); err == nil {
			return measure.FormatArea(v, sys)
		}
		v, err := measure.Parse(measure.Length, q)
		if err != nil {
			return q // a test reads them all
		}
		return measure.FormatLength(v, sys)
	})
}

// Rows returns the table.
var Rows = sync.OnceValue(func() []Row {
	var rows []Row
	if err := json.Unmarshal(table, &rows, json.RejectUnknownMembers(true)); err != nil {
		panic(err) // the embedded table is tested
	}
	return rows
})

// Cause is the cause of the notes, by which they become one comment.
const Cause = "beyond the model"

// attic access is wanted from this size on, metres (IRC R807.1: 30 in over 30 ft2, seen in
// an officials' discussion).
const (
	accessHigh = 0.762
	accessArea = 2.7870912
)

// tallCavity is the height from which on cavities want blocks up the wall where the text
// has it, metres (10 ft both ways: seen in WAC 296-150C-1030).
const tallCavity = 3.048

// conditions say whether a row matters to a building; an unknown fact keeps it.
var conditions = map[string]func(*checks.Pass) bool{
	"always":     func(*checks.Pass) bool { return true },
	"separation": func(p *checks.Pass) bool { return len(p.Building.Input.Separations) > 0 },
	"townhouse": func(p *checks.Pass) bool {
		o := adoption.Kind(p.Facts.Occupancy)
		return len(p.Building.Input.Separations) > 0 && (o == "" || o == "townhouse" || p.OddOccupancy)
	},
	"service": func(p *checks.Pass) bool { return has(p, void.RoleService) },
	"stair":   func(p *checks.Pass) bool { return has(p, void.RoleStair) },
	"stop":    func(p *checks.Pass) bool { return has(p, void.RoleDraftstop) || has(p, void.RoleBlock) },
	"truss":   func(p *checks.Pass) bool { return len(p.Building.Trusses) > 0 || framed(p, void.FramingTruss) },
	"floor":   func(p *checks.Pass) bool { return kind(p, func(v *void.Void) bool { return v.Kind == void.KindFloor }) },
	"attic": func(p *checks.Pass) bool {
		return kind(p, func(v *void.Void) bool {
			return v.Kind == void.KindAttic && v.HeightMaxM >= accessHigh && v.AreaM2 >= accessArea
		})
	},
	"sprinkler": func(p *checks.Pass) bool { return len(p.Building.Of(recognise.Sprinkler)) > 0 },
	"tall": func(p *checks.Pass) bool {
		for _, c := range p.Voids.Cavities {
			if c.RiseMaxM > tallCavity {
				return true
			}
		}
		return false
	},
	"liner": func(p *checks.Pass) bool {
		for i := range p.Building.Input.Separations {
			if p.Building.Input.Separations[i].Kind == void.WallLiner {
				return true
			}
		}
		return false
	},
	"13R": func(p *checks.Pass) bool {
		s := strings.ToUpper(strings.ReplaceAll(p.Facts.Sprinklers, " ", ""))
		return s == "NFPA13R" || s == "" && len(p.Building.Of(recognise.Sprinkler)) > 0
	},
	"noncombustible": func(p *checks.Pass) bool {
		c := strings.ToUpper(strings.TrimSpace(p.Facts.Construction))
		return c == "IA" || c == "IB" || c == "IIA" || c == "IIB" || c == "I" || c == "II"
	},
}

func has(p *checks.Pass, role void.Role) bool {
	for i := range p.Building.Input.Parts {
		if p.Building.Input.Parts[i].Role == role {
			return true
		}
	}
	return false
}

func kind(p *checks.Pass, is func(*void.Void) bool) bool {
	for _, v := range p.Voids.Voids {
		if is(v) {
			return true
		}
	}
	return false
}

func framed(p *checks.Pass, f void.Framing) bool {
	return kind(p, func(v *void.Void) bool { return v.Framing == f })
}

// Notes returns one note for each row that matters to the building.
func Notes(p *checks.Pass) []checks.Report {
	var out []checks.Report
	for _, r := range Rows() {
		if !conditions[r.When](p) {
			continue
		}
		out = append(out, checks.Report{
			Outcome: finding.Note, Evidence: finding.Modelled, Storey: -1, Place: r.Topic, Cause: Cause,
			Message: "Not decided from the model; to be shown where the adopted text asks for it: " + r.text(p.Units) + ".",
		})
	}
	return out
}
