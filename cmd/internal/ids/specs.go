package ids

import (
	"fmt"
	"strings"

	"voidcheck/checks/adoption"
	"voidcheck/checks/lexicon"
)

// spec is one specification: which entities it is about, and what they must carry.
type spec struct {
	id, name   string
	why        string   // description: what it is for
	how        string   // instructions for the author of the model
	checks     []string // it is asked for when one of them is on; empty: always
	versions   string
	must       bool // the model must have at least one
	entity     []string
	predefined string
	which      *facets // narrows the entities down
	carry      *facets // what each must have
}

// facets are what can be asked of an entity.
type facets struct {
	name     string // pattern over Name; named asks for any name
	group    string // entity of a group it must be in
	material bool
}

const (
	every = "IFC2X3 IFC4 IFC4X3_ADD2"
	newer = "IFC4 IFC4X3_ADD2"
	named = ".+"
)

var (
	lineChecks    = []string{"floor-draftstop-line", "attic-draftstop-line", "attic-draftstop-area", "separation-continuity", "separation-service", "separation-spread", "separation-boxes", "cornice-fireblock"}
	voidChecks    = []string{"floor-draftstop-area", "floor-draftstop-balance", "floor-draftstop-line", "attic-draftstop-area", "attic-draftstop-line", "draftstop-complete", "void-junction", "separation-spread", "floor-membrane"}
	wallChecks    = []string{"wall-fireblock-level", "wall-fireblock-run", "void-junction", "separation-spread"}
	atticChecks   = []string{"attic-draftstop-area", "attic-draftstop-line", "separation-continuity", "cornice-fireblock"}
	stopChecks    = []string{"floor-draftstop-area", "floor-draftstop-line", "attic-draftstop-area", "attic-draftstop-line", "draftstop-complete", "draftstop-material", "wall-fireblock-level", "wall-fireblock-run", "void-junction", "fireblock-material"}
	serviceChecks = []string{"service-opening", "separation-service", "chimney-fireblock", "void-services", "separation-boxes"}
	sealChecks    = []string{"service-opening", "separation-service"}
	boxChecks     = []string{"separation-boxes"}
)

// parts are the entities by which small things are modelled; stops and seals have none of
// their own in the standard.
var parts = []string{"IFCBUILDINGELEMENTPROXY", "IFCBUILDINGELEMENTPART", "IFCCOVERING", "IFCDISCRETEACCESSORY", "IFCMEMBER", "IFCPLATE", "IFCBEAM", "IFCWALL"}

// specsOf are the specifications that an adoption asks for, worded with a lexicon's words.
func specsOf(a *adoption.Adoption, l *lexicon.Lexicon) []spec {
	stops := append(append([]lexicon.Matcher{}, l.Matchers("draftstop")...), l.Matchers("fireblock")...)
	all := []spec{
		{
			id: "storeys", name: "Storeys have names", versions: every, must: true, entity: []string{"IFCBUILDINGSTOREY"}, carry: &facets{name: named},
			why: "Comments and the inspection list say on which level a place is.", how: "Name each storey as the drawings do.",
		},
		{
			id: "rooms", name: "Rooms are modelled as spaces", versions: every, must: true, entity: []string{"IFCSPACE"}, carry: &facets{name: named}, checks: voidChecks,
			why: "A void lies between rooms; without rooms it cannot be told from one.", how: "Model every room as a space with its name or number.",
		},
		{
			id: "units", name: "Dwelling units are zones", versions: every, must: true, entity: []string{"IFCZONE"}, which: &facets{name: namePattern(l.ZoneMatchers("unit"))}, checks: lineChecks,
			why: "Unit lines, and what joins two units, hang on which room is in which unit.", how: "Make one zone for each dwelling unit and name it so (Unit 1). Or list the units in the submittal file.",
		},
		{
			id: "rooms-in-units", name: "Rooms are grouped in zones", versions: every, must: true, entity: []string{"IFCSPACE"}, which: &facets{group: "IFCZONE"}, checks: lineChecks,
			why: "Unit lines, and what joins two units, hang on which room is in which unit.", how: "Put the rooms of each dwelling unit into its zone; corridors and other common rooms into none.",
		},
		{
			id: "walls", name: "Walls tell what they are made of", versions: every, must: true, entity: []string{"IFCWALL", "IFCWALLSTANDARDCASE", "IFCMEMBER", "IFCBUILDINGELEMENTPART"}, which: &facets{material: true}, checks: wallChecks,
			why: "The cavity of a wall is a concealed space; it is told by the layers, or by studs and boards modelled one by one.",
			how: "Give walls their layers in order and with thickness (board, framing, air, framing, board), or model studs, plates and boards with their materials.",
		},
		{
			id: "ceilings", name: "Ceilings are modelled", versions: every, must: true, entity: []string{"IFCCOVERING"}, predefined: "CEILING", carry: &facets{material: true}, checks: voidChecks,
			why: "The void of a floor and the attic begin at the ceiling; without one their areas, heights and openings are assumed.",
			how: "Model each ceiling as a covering of type CEILING with its material or layers.",
		},
		{
			id: "floors", name: "Floors tell what they are made of", versions: every, must: true, entity: []string{"IFCSLAB"}, carry: &facets{material: true}, checks: voidChecks,
			why: "The deck closes the void above; layers tell the framing where it is not modelled.",
			how: "Give floors their layers with thickness and order and say whether the framing is open-web trusses, I-joists or solid joists; or model the deck with its material and the framing one by one.",
		},
		{
			id: "roof", name: "The roof is modelled", versions: every, must: true, entity: []string{"IFCROOF"}, checks: atticChecks,
			why: "An attic ends at the roof sheathing, and so must a unit separation.", how: "Model the roof with its sheathing.",
		},
		{
			id: "trusses", name: "Trusses have marks", versions: every, entity: []string{"IFCELEMENTASSEMBLY"}, predefined: "TRUSS", carry: &facets{name: named}, checks: voidChecks,
			why: "A place in a floor or an attic is told by the trusses on either side.", how: "Name each truss by its mark, as the layout drawing does.",
		},
		{
			id: "stops", name: "Draftstops and fireblocks are shown and named", versions: every, must: true, entity: parts, which: &facets{name: namePattern(stops)}, checks: stopChecks,
			why: "The standard has no type for them: they are known by name and by where they stand.",
			how: "Model draftstops as sheets across the void and fireblocks as blocks, and name them as what they are." + accessDoors(a),
		},
		{
			id: "stop-materials", name: "Draftstops and fireblocks have a material", versions: every, entity: parts, which: &facets{name: namePattern(stops)}, carry: &facets{material: true},
			checks: []string{"draftstop-material", "fireblock-material"},
			why:    "Whether a stop is of an accepted material and thick enough is told by its material.", how: "Give each stop its material with the thickness." + accepted(a),
		},
		{
			id: "services", name: "Pipes, ducts and cables are modelled", versions: newer, must: true, checks: serviceChecks,
			entity: []string{"IFCPIPESEGMENT", "IFCDUCTSEGMENT", "IFCCABLESEGMENT", "IFCCABLECARRIERSEGMENT"}, carry: &facets{name: named},
			why: "What passes through floors, ceilings and unit separations leaves a ring that must be closed.", how: "Check this against the services models, which are submitted with the architecture.",
		},
		{
			id: "services-ifc2x3", name: "Pipes, ducts and cables are modelled (IFC2X3)", versions: "IFC2X3", must: true, checks: serviceChecks, entity: []string{"IFCFLOWSEGMENT"}, carry: &facets{name: named},
			why: "What passes through floors, ceilings and unit separations leaves a ring that must be closed.", how: "Check this against the services models, which are submitted with the architecture.",
		},
		{
			id: "seals", name: "Seals round services are shown and named", versions: every, must: true, entity: parts, which: &facets{name: namePattern(l.Matchers("seal"))}, checks: sealChecks,
			why: "The standard has no type for them: they are known by name and by where they stand.",
			how: "Model the seal round each service, or submit a detail for each kind of penetration; name it as what it is.",
		},
		{
			id: "boxes", name: "Outlets, switches and boxes are modelled", versions: newer, must: true, checks: boxChecks, carry: &facets{name: named},
			entity: []string{"IFCOUTLET", "IFCSWITCHINGDEVICE", "IFCJUNCTIONBOX", "IFCELECTRICDISTRIBUTIONBOARD"},
			why:    "Boxes in a unit separation must be small and far enough apart.", how: boxesHow,
		},
		{
			id: "boxes-ifc2x3", name: "Outlets, switches and boxes are modelled (IFC2X3)", versions: "IFC2X3", must: true, checks: boxChecks, carry: &facets{name: named},
			entity: []string{"IFCFLOWTERMINAL", "IFCFLOWCONTROLLER", "IFCFLOWFITTING", "IFCELECTRICDISTRIBUTIONPOINT"},
			why:    "Boxes in a unit separation must be small and far enough apart.", how: boxesHow,
		},
		{
			id: "stringers", name: "Stair stringers tell what they are made of", versions: newer, entity: []string{"IFCMEMBER"}, predefined: "STRINGER", carry: &facets{material: true}, checks: []string{"stair-fireblock"},
			why: "The spaces between wood stringers are concealed and must be closed at the top and bottom of the run.",
			how: "Model each stair with its stringers, with what closes its underside, and with the blocks at the top and bottom of the run; or submit a section that tells them.",
		},
		{
			id: "chimneys", name: "Chimneys tell what they are made of", versions: newer, entity: []string{"IFCCHIMNEY"}, carry: &facets{material: true}, checks: []string{"chimney-fireblock"},
			why: "The space round a chimney is closed at floors and ceilings with a noncombustible filling.",
			how: "Model each chimney with its material, and the filling round it at each floor and ceiling with its material and depth; or submit a detail.",
		},
	}
	var out []spec
	for _, s := range all {
		if on(a, s.checks) && !(s.which != nil && *s.which == facets{}) {
			out = append(out, s)
		}
	}
	return out
}

const boxesHow = "Check this against the electrical model, which is submitted with the architecture."

// accessDoors says what doors in draftstops must tell, when a check asks for it.
func accessDoors(a *adoption.Adoption) string {
	if !on(a, []string{"draftstop-door"}) {
		return ""
	}
	return " A door or hatch in a draftstop says that it closes by itself (Pset_DoorCommon.SelfClosing) and that it latches."
}

// on reports whether a check that needs the information is on.
func on(a *adoption.Adoption, list []string) bool {
	for _, name := range list {
		if r := a.Rule(name); r != nil && r.On {
			return true
		}
	}
	return len(list) == 0
}

// accepted says which materials the adoption lists.
func accepted(a *adoption.Adoption) string {
	var b strings.Builder
	for _, c := range []struct{ check, what string }{{"draftstop-material", "draftstops"}, {"fireblock-material", "fireblocks"}} {
		if r := a.Rule(c.check); r != nil && r.On && r.Limits.Text["materials"] != "" {
			fmt.Fprintf(&b, " Accepted for %s: %s.", c.what, r.Limits.Text["materials"])
		}
	}
	return b.String()
}
