package recognise

import (
	"context"
	"slices"
	"strings"

	"voidcheck/checks/adoption"
	"voidcheck/checks/lexicon"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// Recognise turns a building model into storeys, units, separations, framing, membranes,
// stops and services, and into the solver's input. Types of the standard count before
// geometry, geometry before words; words decide only between readings that the geometry
// allows. The result does not depend on the order of the elements. The error is that of
// the context.
func Recognise(ctx context.Context, m *model.Building, lex *lexicon.Lexicon, facts adoption.Facts) (*Building, error) {
	r := &reader{m: m, lex: lex, facts: facts, b: &Building{Model: m}}
	steps := []func(){
		r.readHints, r.cutPieces, r.settleByType, r.expandLayers, r.findTrusses, r.findRows, r.findMembers,
		r.findSheets, r.findStops, r.settleRest, r.buildWalls, r.findUnits, r.findRooms,
		r.findSeparations, func() { sideBySide(r.settleThings, r.fillInput, r.takeStock) },
	}
	for _, step := range steps {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		step()
	}
	return r.b, nil
}

// reader holds what the steps pass on to each other.
type reader struct {
	m     *model.Building
	lex   *lexicon.Lexicon
	facts adoption.Facts
	b     *Building

	turn      turn
	hints     []hint // by element index
	ps        []*piece
	near      *geom.BoxIndex
	of        [][]*piece // pieces of an element
	rows      []*row
	sliced    []*piece  // cut from layered elements, not yet among ps
	leaves    []*leaf   // layered and bare walls
	leafGrid  *leafGrid // of the leaves
	rowLeaves *leafGrid // of the rows
	walls     []*wall
	levels    []float64 // storey elevations, ascending
	rooms     []*room
	// spaceBoxes are the boxes of the enclosed spaces, in the turned frame.
	spaceBoxes []geom.Box
	notes      []string
}

// hint is what types and words say of an element, before any look at its geometry.
type hint struct {
	e     *model.Element
	found []lexicon.Evidence // strong ones first; shared by elements that are alike
	roles materialRoles      // of the materials
	out   bool               // has no part in framing: furniture, doors, windows, site
}

// at returns the i-th evidence.
func (h *hint) at(i int) lexicon.Evidence {
	var room [3]string
	return h.found[i].Of(namesOf(h.e, room[:0]))
}

// says returns the first evidence for one of the concepts, strong before weak.
func (h *hint) says(cs ...string) (lexicon.Evidence, bool) {
	for i := range h.found {
		for _, c := range cs {
			if h.found[i].Concept == c {
				return h.at(i), true
			}
		}
	}
	return lexicon.Evidence{}, false
}

// first returns the leading concept, or "".
func (h *hint) first() string {
	if len(h.found) == 0 {
		return ""
	}
	return h.found[0].Concept
}

// word returns the leading concept by name, or "".
func (h *hint) word() (lexicon.Evidence, bool) {
	for i := range h.found {
		if !h.found[i].Strong() {
			return h.at(i), true
		}
	}
	return lexicon.Evidence{}, false
}

// outsideTypes are products that never bound or fill a concealed space of the framing.
var outsideTypes = []string{
	"IfcDoor", "IfcWindow", "IfcFurnishingElement", "IfcFurniture", "IfcSystemFurnitureElement", "IfcTransportElement",
	"IfcRailing", "IfcCurtainWall", "IfcGeographicElement", "IfcSite", "IfcBuilding", "IfcVirtualElement",
	"IfcReinforcingElement", "IfcFastener", "IfcMechanicalFastener", "IfcCivilElement", "IfcStructuralItem",
	"IfcStructuralActivity", "IfcSpatialElement", "IfcSpatialStructureElement", "IfcAnnotation", "IfcGrid", "IfcPort",
	"IfcFeatureElement", "IfcEquipmentElement", "IfcElectricalElement", "IfcShadingDevice",
}

func (r *reader) readHints() {
	r.hints = make([]hint, len(r.m.Elements))
	parallel(len(r.m.Elements), func(from, to int) {
		s, outside := &subject{}, outsiders()
		for i := from; i < to; i++ {
			h := &r.hints[i]
			h.e = r.m.Elements[i]
			h.out = outside(h.e)
			h.roles = r.rolesOf(h.e.Materials)
			if h.out {
				continue
			}
			h.found = r.lex.Shared(s.of(h.e))
			if h.e.Is("IfcDiscreteAccessory") { // shoes, hangers, brackets; a collar may be one too
				switch h.first() {
				case "seal", "fireblock", "draftstop":
				default:
					h.out = true
				}
			}
		}
	})
}

// outsiders returns a function that reports whether an element, or what it is part of, is of
// one of the outside types.
func outsiders() func(*model.Element) bool {
	seen := map[*model.Kind]bool{}
	var last *model.Kind // mostly that of the one before
	was := false
	return func(e *model.Element) bool {
		for ; e != nil; e = e.Whole {
			if e.Kind != last {
				out, ok := seen[e.Kind]
				if !ok {
					out = slices.ContainsFunc(outsideTypes, e.Is)
					seen[e.Kind] = out
				}
				last, was = e.Kind, out
			}
			if was {
				return true
			}
		}
		return false
	}
}

// subject is what the lexicon is asked about, one element after another.
type subject struct {
	lexicon.Subject
	e     *model.Element
	names [3]string
}

// of returns the subject for an element, until the next call.
func (s *subject) of(e *model.Element) *lexicon.Subject {
	s.e = e
	if s.Property == nil {
		s.Property = s.property
	}
	s.Entity, s.Parents, s.Predefined, s.Materials = e.Entity, e.Parents, e.Predefined, e.Materials
	s.Names = namesOf(e, s.names[:0])
	s.Classes = s.Classes[:0]
	for _, c := range e.Classes {
		s.Classes = append(s.Classes, lexicon.ClassRef{System: c.System, Code: c.Code})
	}
	return &s.Subject
}

func (s *subject) property(set, name string) (string, bool) {
	v, ok := s.e.Prop(set, name)
	if v.Bool != nil {
		if *v.Bool {
			return "true", ok
		}
		return "false", ok
	}
	return v.Text, ok
}

// namesOf appends the names by which an element may be known.
func namesOf(e *model.Element, to []string) []string {
	blank := func(s string) bool { return s == "" || s[0] <= ' ' && strings.TrimSpace(s) == "" }
	if blank(e.Name) && blank(e.ObjectType) && blank(e.TypeName) {
		return append(to, e.Description)
	}
	return append(to, e.Name, e.ObjectType, e.TypeName)
}

// hint returns the hint of a piece's element.
func (r *reader) hint(p *piece) *hint { return &r.hints[p.elem] }

// elem returns the element of a piece.
func (r *reader) element(p *piece) *model.Element { return r.m.Elements[p.elem] }

// materials returns the material words of a piece's element.
func (r *reader) materialClass(e *model.Element) (lexicon.Class, bool) {
	for _, n := range e.Materials {
		if c, ok := r.lex.Material(n); ok {
			return c, true
		}
	}
	return lexicon.Class{}, false
}

// materialRoles are the roles of materials as bits.
type materialRoles uint8

func bitOf(role string) materialRoles {
	switch role {
	case "board":
		return 1
	case "framing":
		return 2
	case "solid":
		return 4
	case "insulation":
		return 8
	case "seal":
		return 16
	case "void":
		return 32
	}
	return 64
}

func (r *reader) rolesOf(materials []string) (set materialRoles) {
	for _, n := range materials {
		if c, ok := r.lex.Material(n); ok {
			set |= bitOf(c.Role)
		}
	}
	return set
}

// ofMaterial returns the first material of an element that plays one of the roles, and
// whether there is one.
func (r *reader) ofMaterial(e *model.Element, roles ...string) (string, bool) {
	if set := r.hints[e.Index].roles; set == 0 || !slices.ContainsFunc(roles, func(role string) bool { return set&bitOf(role) != 0 }) {
		return "", false
	}
	for _, n := range e.Materials {
		if c, ok := r.lex.Material(n); ok && slices.Contains(roles, c.Role) {
			return n, true
		}
	}
	return "", false
}

// note adds a remark once.
func (r *reader) note(s string) {
	for _, n := range r.notes {
		if n == s {
			return
		}
	}
	r.notes = append(r.notes, s)
}

// label is how a person would call an element.
func label(e *model.Element) string {
	if n := strings.TrimSpace(e.Name); n != "" {
		return e.Entity + " \"" + n + "\""
	}
	return e.Entity + " " + e.GlobalID
}
