package recognise

import (
	"context"
	"runtime"
	"slices"
	"sort"
	"strings"
	"sync"

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
		r.findSeparations, r.settleThings, r.fillInput, r.takeStock,
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
	of        map[int][]*piece // pieces of an element
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
	found []lexicon.Evidence // strong ones first
	out   bool               // has no part in framing: furniture, doors, windows, site
}

// says returns the first evidence for one of the concepts, strong before weak.
func (h *hint) says(cs ...string) (lexicon.Evidence, bool) {
	for _, e := range h.found {
		for _, c := range cs {
			if e.Concept == c {
				return e, true
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
	for _, e := range h.found {
		if !e.Strong() {
			return e, true
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
	outside := outsiders()
	for i, e := range r.m.Elements {
		r.hints[i].out = outside(e)
	}
	parallel(len(r.m.Elements), func(i int) {
		e, h := r.m.Elements[i], &r.hints[i]
		if h.out {
			return
		}
		h.found = r.lex.Concepts(subject(e))
		if e.Is("IfcDiscreteAccessory") { // shoes, hangers, brackets; a collar may be one too
			switch h.first() {
			case "seal", "fireblock", "draftstop":
			default:
				h.out = true
			}
		}
	})
}

// outsiders returns a function that reports whether an element, or what it is part of, is of
// one of the outside types.
func outsiders() func(*model.Element) bool {
	type class struct {
		entity string
		parent string
		depth  int
	}
	seen := map[class]bool{}
	return func(e *model.Element) bool {
		for ; e != nil; e = e.Whole {
			k := class{entity: e.Entity, depth: len(e.Parents)}
			if k.depth > 0 {
				k.parent = e.Parents[0]
			}
			out, ok := seen[k]
			if !ok {
				out = slices.ContainsFunc(outsideTypes, e.Is)
				seen[k] = out
			}
			if out {
				return true
			}
		}
		return false
	}
}

func subject(e *model.Element) lexicon.Subject {
	s := lexicon.Subject{Entity: e.Entity, Parents: e.Parents, Predefined: e.Predefined,
		Names: []string{e.Name, e.ObjectType, e.TypeName}, Materials: e.Materials,
		Property: func(set, name string) (string, bool) {
			v, ok := e.Prop(set, name)
			if v.Bool != nil {
				if *v.Bool {
					return "true", ok
				}
				return "false", ok
			}
			return v.Text, ok
		}}
	if strings.TrimSpace(e.Name+e.ObjectType+e.TypeName) == "" {
		s.Names = []string{e.Description}
	}
	for _, c := range e.Classes {
		s.Classes = append(s.Classes, lexicon.ClassRef{System: c.System, Code: c.Code})
	}
	return s
}

// cutPieces measures every solid of every element that may matter, splits solids that hold
// several, and sorts the pieces by place so that nothing later depends on file order.
func (r *reader) cutPieces() {
	els := make([][]*geom.Mesh, len(r.m.Elements))
	work := func(i int) {
		e := r.m.Elements[i]
		if r.hints[i].out {
			return
		}
		if b := e.Body(); b != nil {
			for _, s := range b.Solids {
				if s.Mesh != nil && len(s.Mesh.Tris) > 0 {
					els[i] = append(els[i], parts(s.Mesh)...)
				}
			}
		}
	}
	parallel(len(els), work)
	var all []*geom.Mesh
	for i := range els {
		if !r.m.Elements[i].Is("IfcDistributionElement") {
			all = append(all, els[i]...)
		}
	}
	r.turn = dominant(all)
	made := make([][]*piece, len(els))
	parallel(len(els), func(i int) {
		for _, m := range els[i] {
			made[i] = append(made[i], newPiece(i, m, r.turn))
		}
	})
	r.of = map[int][]*piece{}
	for i := range made {
		for _, p := range made[i] {
			if p.size[1] > 0 {
				r.ps = append(r.ps, p)
			}
		}
	}
	sort.SliceStable(r.ps, func(i, j int) bool { return before(r.ps[i], r.ps[j]) })
	for _, p := range r.ps {
		r.of[p.elem] = append(r.of[p.elem], p)
	}
	r.near = newNear(r.ps)
	for _, s := range r.m.Spaces {
		if _, out := r.spaceOutside(s); out {
			continue
		}
		if body := s.Body(); body != nil {
			b := geom.EmptyBox()
			for _, sol := range body.Solids {
				for _, v := range sol.Mesh.Verts {
					b = b.Extend(r.turn.in(v))
				}
			}
			r.spaceBoxes = append(r.spaceBoxes, b)
		}
	}
	r.b.Turn = geom.Vec2{X: r.turn.c, Y: r.turn.s}
}

// before orders pieces by place and size; equal pieces (duplicates) keep their order.
func before(a, b *piece) bool {
	for _, d := range [...][2]float64{
		{a.box.Min.Z, b.box.Min.Z}, {a.box.Min.Y, b.box.Min.Y}, {a.box.Min.X, b.box.Min.X},
		{a.box.Max.Z, b.box.Max.Z}, {a.box.Max.Y, b.box.Max.Y}, {a.box.Max.X, b.box.Max.X}} {
		if d[0] < d[1]-geomTol {
			return true
		}
		if d[0] > d[1]+geomTol {
			return false
		}
	}
	return false
}

// geomTol is the length below which two coordinates are one, metres.
const geomTol = 1e-5

// parallel runs f over 0..n-1 on all cores; results must go to places of their own.
func parallel(n int, f func(int)) {
	workers := runtime.GOMAXPROCS(0)
	var wg sync.WaitGroup
	next := make(chan int, 64)
	for w := 0; w < workers; w++ {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				f(i)
			}
		}()
	}
	for i := 0; i < n; i++ {
		next <- i
	}
	close(next)
	wg.Wait()
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

// ofMaterial reports whether an element's material plays one of the roles.
func (r *reader) ofMaterial(e *model.Element, roles ...string) (string, bool) {
	for _, n := range e.Materials {
		if c, ok := r.lex.Material(n); ok {
			for _, want := range roles {
				if c.Role == want {
					return n, true
				}
			}
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
