package recognise

import (
	"fmt"
	"strings"

	"voidcheck/checks/void"
	"voidcheck/ifcx/model"
)

// bandKind is what a band across a wall, or a layer through a floor, is to fire.
type bandKind uint8

const (
	bandUnknown    bandKind = iota
	bandBoard               // gypsum, sheathing, decking: a membrane
	bandFrame               // studs, joists, trusses, rafters with what is between them
	bandAir                 // an air space
	bandSolid               // masonry, concrete
	bandInsulation          // a continuous insulating layer
)

// Limits of layer thickness that make sense, metres. Vapour barriers are under half a
// millimetre; no layer of a house is over two metres (sample models hold 0.0004 and 39.52).
const (
	layerThin  = 0.0005
	layerThick = 2.0
	airMax     = 0.15
	frameMin   = 0.055 // shallowest framing: 2x3 on edge is 63.5 mm, metal studs 41 mm are named so
)

// sheetLayer is one layer with its reading.
type sheetLayer struct {
	kind        bandKind
	lo, hi      float64 // along the axis from the base
	material    string
	framing     void.Framing
	combustible bool
	metal       bool
	known       bool // the material is in the lexicon
}

// readLayers reads what each layer of a set is, by material words first and, where they say
// nothing, by thickness and place in the set. Nonsense is noted and left out.
func (r *reader) readLayers(e *model.Element) []sheetLayer {
	var ls []sheetLayer
	at := 0.0
	for i, l := range e.Layers.Layers {
		s := sheetLayer{lo: at, hi: at + l.ThicknessM, material: l.Material, combustible: true, framing: void.FramingUnknown}
		if !(l.ThicknessM > 0) || l.ThicknessM > layerThick {
			r.note(fmt.Sprintf("%s: layer %d (%s) is %.4g m thick, which cannot be; the layers are not used", label(e), i+1, l.Material, l.ThicknessM))
			return nil
		}
		at = s.hi
		if l.ThicknessM < layerThin {
			if len(ls) > 0 {
				ls[len(ls)-1].hi = s.hi
			}
			continue
		}
		r.layerByWords(&s, l)
		ls = append(ls, s)
	}
	if len(ls) > 0 {
		ls[0].lo = 0
	}
	layersByPlace(ls)
	for i := range ls {
		if ls[i].kind == bandFrame && ls[i].framing == void.FramingUnknown && !ls[i].metal {
			if k, ok := r.lex.Framing(e.TypeName, e.Name, e.Layers.Name, e.ObjectType); ok && ls[i].known {
				ls[i].framing = void.Framing(k)
			}
		}
	}
	return ls
}

// layerByWords reads a layer by its material.
func (r *reader) layerByWords(s *sheetLayer, l model.Layer) {
	t := s.hi - s.lo
	c, ok := r.lex.Material(l.Material)
	if !ok {
		c, ok = r.lex.Material(l.Name)
	}
	s.known = ok
	if ok {
		s.combustible = c.Combustible
	}
	// "Wood joist layer, batt insulation" is framing whatever else it names.
	if k, found := r.lex.Framing(l.Material, l.Name); found && t >= frameMin && (!ok || c.Role != "board" && c.Role != "solid") && c.Class != "metal_stud" {
		s.kind, s.framing, s.known, s.combustible = bandFrame, void.Framing(k), true, true
		return
	}
	// Some tools write "unknown" for every layer, which the standard reads as an air layer:
	// the flag counts only where the material says nothing else.
	switch {
	case l.Ventilated && !ok && t < airMax && strings.TrimSpace(l.Material) == "":
		s.kind = bandAir
	case !ok:
	case c.Role == "void":
		s.kind = bandAir
	case c.Class == "metal_stud":
		s.kind, s.metal = bandFrame, true
	case c.Role == "framing" && t > boardMax:
		s.kind = bandFrame
	case c.Role == "framing", c.Role == "board", c.Role == "thin":
		s.kind = bandBoard
	case c.Role == "insulation":
		s.kind = bandInsulation
	case c.Role == "solid" && t > boardMax:
		s.kind = bandSolid
	case c.Role == "solid":
		s.kind = bandBoard
	}
	if s.kind == bandAir {
		s.framing = void.FramingNone
	}
}

// layersByPlace reads the layers whose material says nothing, by thickness and neighbours: a
// panel's thickness is a board, a greater one framing, and a thin layer between two of
// framing is the air between stud rows. Insulation is what fills the framing where no other
// layer can be the framing.
func layersByPlace(ls []sheetLayer) {
	bears, named := false, false
	for i := range ls {
		named = named || ls[i].kind == bandFrame && ls[i].known
	}
	for i := range ls {
		t := ls[i].hi - ls[i].lo
		if ls[i].kind == bandUnknown {
			switch {
			case t <= boardMax:
				ls[i].kind = bandBoard
			case named && (i == 0 || i == len(ls)-1):
				ls[i].kind = bandBoard // planting, ballast, cladding outside the framing that is named
			case t >= frameMin && len(ls) > 1:
				ls[i].kind = bandFrame
			}
		}
		bears = bears || ls[i].kind == bandFrame || ls[i].kind == bandSolid
	}
	for i := range ls {
		t := ls[i].hi - ls[i].lo
		between := i > 0 && i+1 < len(ls) && ls[i-1].kind == bandFrame && ls[i+1].kind == bandFrame
		switch {
		case between && !ls[i].known && t < frameMin*2:
			ls[i].kind, ls[i].framing = bandAir, void.FramingNone
		case ls[i].kind == bandInsulation && !bears && t >= frameMin && len(ls) > 1:
			ls[i].kind = bandFrame
		case ls[i].kind == bandUnknown && len(ls) > 1:
			ls[i].kind = bandAir // 35 to 55 mm: furring or a service space
		}
	}
}

// holdsVoid reports whether any layer is framing or air.
func holdsVoid(ls []sheetLayer) bool {
	for _, l := range ls {
		if l.kind == bandFrame || l.kind == bandAir {
			return true
		}
	}
	return false
}
