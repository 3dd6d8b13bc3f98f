package model

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/source"
)

// StoreyTolerance is the difference of elevation in metres within which storeys of two files
// are one level (project tolerance: structure and finished floor differ by less).
const StoreyTolerance = 0.3

// Federate builds every file into the frame of the first that places anything and joins
// their storeys, spaces and zones. The result does not depend on the order of instances in
// a file. Elements are ordered by file (as given), GlobalId and instance number.
func Federate(files []Content, log *source.Log) *Building {
	b := &Building{Log: log}
	for _, f := range files {
		if a, ok := f.Anchor(); ok {
			b.Origin = a
			break
		}
	}
	parts := make([]*Part, len(files))
	var builds source.Group
	for i, f := range files {
		builds.Go(func() { parts[i] = f.Build(b.Origin) })
	}
	builds.Wait()
	for _, p := range parts {
		b.add(p)
	}
	b.number()
	b.compareFiles(parts)
	b.doubles()
	return b
}

// add appends a file's part.
func (b *Building) add(p *Part) {
	for _, f := range p.Files {
		if !slices.Contains(b.Files, f) { // layers may be in several parts
			b.Files = append(b.Files, f)
		}
	}
	if b.Project == "" {
		b.Project = p.Project
	}
	b.addStoreys(p)
	known, joined := map[string]*Space{}, map[[2]*File]int{}
	for _, s := range b.Spaces {
		known[s.GlobalID] = s
	}
	for _, s := range p.Spaces {
		if first := known[s.GlobalID]; first != nil && s.GlobalID != "" {
			joinSpace(first, s)
			joined[[2]*File{first.File, s.File}]++
			continue
		}
		b.Spaces = append(b.Spaces, s)
	}
	for k, n := range joined {
		b.Log.Add(source.Problem{File: k[1].Name, Code: "space-joined",
			Text: count(n, "space is", "spaces are") + " the same by GlobalId as in " + k[0].Name + "; each pair is taken as one space"})
	}
	b.Elements = append(b.Elements, p.Elements...)
	b.Openings = append(b.Openings, p.Openings...)
	b.Zones = append(b.Zones, p.Zones...)
	b.Grids = append(b.Grids, p.Grids...)
	b.groups = append(b.groups, p.groups...)
	if p.guids != nil {
		b.guids = append(b.guids, p.guids)
	}
}

// joinSpace makes the second file's copy of a space the same space: its zones and
// boundaries count, and its geometry when the first has none.
func joinSpace(first, again *Space) {
	for _, z := range again.Zones {
		for i, s := range z.Spaces {
			if s == again {
				z.Spaces[i] = first
			}
		}
		first.Zones = append(first.Zones, z)
	}
	first.Bounds = append(first.Bounds, again.Bounds...)
	first.Coverings = append(first.Coverings, again.Coverings...)
	if !first.HasShape && again.HasShape {
		first.borrow(again.Element)
	}
}

// addStoreys matches a file's storeys with the building's: by elevation, the same name
// first. Storeys of one file are never joined with each other.
func (b *Building) addStoreys(p *Part) {
	type pair struct {
		own, known *Storey
		dist       float64
		named      bool
	}
	var pairs []pair
	for _, s := range p.Storeys {
		for _, k := range b.Storeys {
			if d := math.Abs(s.ElevationM - k.ElevationM); d <= StoreyTolerance {
				pairs = append(pairs, pair{s, k, d, sameWords(s.Name, k.Name)})
			}
		}
	}
	sort.SliceStable(pairs, func(i, j int) bool {
		if pairs[i].named != pairs[j].named {
			return pairs[i].named
		}
		return pairs[i].dist < pairs[j].dist
	})
	to, taken := map[*Storey]*Storey{}, map[*Storey]bool{}
	for _, x := range pairs {
		if to[x.own] == nil && !taken[x.known] {
			to[x.own], taken[x.known] = x.known, true
		}
	}
	known := len(b.Storeys)
	for _, s := range p.Storeys {
		if to[s] != nil {
			if d := s.ElevationM - to[s].ElevationM; math.Abs(d) > 0.05 {
				b.Log.Add(source.Problem{File: p.Files[0].Name, EntityType: "IfcBuildingStorey", Name: s.Name, GlobalID: s.GlobalID, Code: "storey-shifted",
					Text: fmt.Sprintf("stands %s from storey %q of %s; the two are taken as one", metres(d), to[s].Name, b.Files[0].Name)})
			}
			continue
		}
		to[s] = s
		for _, k := range b.Storeys[:known] {
			if sameWords(s.Name, k.Name) && s.Name != "" {
				b.Log.Add(source.Problem{File: p.Files[0].Name, EntityType: "IfcBuildingStorey", Name: s.Name, GlobalID: s.GlobalID, Code: "storey-differs",
					Text: fmt.Sprintf("is at %s while the storey of that name in %s is at %s; they are kept apart", metres(s.ElevationM), b.Files[0].Name, metres(k.ElevationM)),
					Fix:  "check that both files use the same origin and units"})
			}
		}
		b.Storeys = append(b.Storeys, s)
	}
	for _, s := range p.Storeys {
		if to[s] != s {
			to[s].held += s.held
		}
	}
	for _, l := range [][]*Element{p.Elements, spaceElements(p.Spaces)} {
		for _, e := range l {
			if e.Storey != nil {
				e.Storey = to[e.Storey]
			}
		}
	}
}

func spaceElements(l []*Space) []*Element {
	out := make([]*Element, len(l))
	for i, s := range l {
		out[i] = s.Element
	}
	return out
}

func sameWords(a, b string) bool {
	return strings.EqualFold(strings.Join(strings.Fields(a), " "), strings.Join(strings.Fields(b), " "))
}

// number sorts storeys and numbers everything.
func (b *Building) number() {
	sort.SliceStable(b.Storeys, func(i, j int) bool {
		x, y := b.Storeys[i], b.Storeys[j]
		if x.ElevationM != y.ElevationM {
			return x.ElevationM < y.ElevationM
		}
		return x.Name < y.Name
	})
	for i, s := range b.Storeys {
		s.Index = i
	}
	loose := map[*File]int{}
	for i, e := range b.Elements {
		e.Index = i
		if e.Predefined == "PROVISIONFORVOID" || strings.EqualFold(e.ObjectType, "ProvisionForVoid") {
			b.Provisions = append(b.Provisions, e)
		}
		if e.Storey == nil && e.HasShape {
			loose[e.File]++
		}
	}
	for i, s := range b.Spaces {
		s.Index = i
	}
	for _, f := range b.Files {
		reportLoose(b.Log, f, loose[f])
	}
}

func reportLoose(log *source.Log, f *File, n int) {
	if n > 0 {
		log.Add(source.Problem{File: f.Name, Code: "no-storey", Text: count(n, "element with geometry is", "elements with geometry are") + " in no storey",
			Fix: "assign elements to storeys in the authoring model"})
	}
}

// doubles reports elements of different files that share a GlobalId; both are kept.
func (b *Building) doubles() {
	if len(b.Files) < 2 {
		return
	}
	first := map[string]*Element{}
	n := map[[2]*File]int{} // by the first file that has it, and the other
	for _, e := range b.Elements {
		f := first[e.GlobalID]
		if f == nil {
			first[e.GlobalID] = e
			continue
		}
		if f.File != e.File && e.GlobalID != "" {
			n[[2]*File{f.File, e.File}]++
		}
	}
	countShared(b.guids, n)
	for i, f := range b.Files {
		for _, g := range b.Files[i+1:] {
			if n := n[[2]*File{f, g}]; n > 0 {
				b.Log.Add(source.Problem{File: g.Name, Code: "duplicate-globalid-files",
					Text: count(n, "element has a GlobalId", "elements have a GlobalId") + " that is also in " + f.Name + "; both are kept",
					Fix:  "leave elements of other disciplines out of the export"})
			}
		}
	}
}

// compareFiles warns when files do not seem to show one building.
func (b *Building) compareFiles(parts []*Part) {
	boxes := make([]geom.Box, len(parts))
	for i, p := range parts {
		boxes[i] = placementBox(p)
		if s := boxes[i].Size(); !boxes[i].IsEmpty() && len(p.Elements) > 20 {
			if big := math.Max(s.X, s.Y); big > 0 && big < 0.5 || big > 20000 {
				b.Log.Add(source.Problem{File: p.Files[0].Name, Code: "odd-size", Text: fmt.Sprintf("its elements are spread over %s by %s: the length unit (%s) looks wrong", metres(s.X), metres(s.Y), p.Files[0].LengthUnit),
					Fix: "check the length unit of the export"})
			}
		}
	}
	for i, p := range parts {
		if i == 0 {
			continue
		}
		first := parts[0]
		if p.Files[0].LengthUnitM != first.Files[0].LengthUnitM {
			b.Log.Add(source.Problem{File: p.Files[0].Name, Code: "units-differ",
				Text: fmt.Sprintf("is in %s while %s is in %s; both are converted", p.Files[0].LengthUnit, first.Files[0].Name, first.Files[0].LengthUnit)})
		}
		if p.Files[0].Map != nil && first.Files[0].Map != nil && *p.Files[0].Map != *first.Files[0].Map {
			b.Log.Add(source.Problem{File: p.Files[0].Name, Code: "map-differs",
				Text: "its map conversion differs from that of " + first.Files[0].Name + "; the files are laid over each other by their local coordinates",
				Fix:  "export all files with one shared coordinate system"})
		}
		if far, gap := apart(boxes[0], boxes[i]); far {
			b.Log.Add(source.Problem{File: p.Files[0].Name, Code: "files-apart",
				Text: "does not overlap with " + first.Files[0].Name + " (it lies " + metres(gap) + " away)" + mapShift(first.Files[0].Map, p.Files[0].Map),
				Fix:  "export all files with the same origin"})
		}
	}
}

// mapShift says how far apart the map conversions put the origins of two files, which
// explains local coordinates that do not fit together.
func mapShift(a, b *MapConversion) string {
	if a == nil || b == nil || *a == *b {
		return ""
	}
	return fmt.Sprintf("; their map conversions put the origins %.3f east and %.3f north of each other, in map units", b.Eastings-a.Eastings, b.Northings-a.Northings)
}

// placementBox bounds the placements of the elements with geometry; it is empty when all of
// them stand at one point, which says nothing about where the geometry is.
func placementBox(p *Part) geom.Box {
	box := geom.EmptyBox()
	for _, e := range p.Elements {
		if e.HasShape && !far(e.Placement().O) {
			box = box.Extend(e.Placement().O)
		}
	}
	if box.IsEmpty() || box.Size().Len() < 1e-6 {
		return geom.EmptyBox()
	}
	return box
}

// apart reports whether two boxes lie more than 5 m from each other, and how far.
func apart(a, b geom.Box) (bool, float64) {
	if a.IsEmpty() || b.IsEmpty() || a.Grow(5).Overlaps(b) {
		return false, 0
	}
	d := func(lo1, hi1, lo2, hi2 float64) float64 { return math.Max(0, math.Max(lo2-hi1, lo1-hi2)) }
	return true, geom.Vec3{X: d(a.Min.X, a.Max.X, b.Min.X, b.Max.X), Y: d(a.Min.Y, a.Max.Y, b.Min.Y, b.Max.Y), Z: d(a.Min.Z, a.Max.Z, b.Min.Z, b.Max.Z)}.Len()
}

// far reports a coordinate that no building has; one broken placement must not decide.
func far(v geom.Vec3) bool { return !(v.Len() < 1e8) }
