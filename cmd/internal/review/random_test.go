package review

import (
	"math/rand"
	"slices"
	"strings"

	"voidcheck/ifcx/ifctest"
)

// building is a small random house with random mistakes, services and features, and the way
// in which its model is written.
type building struct {
	house    ifctest.House
	features []ifctest.Feature
	disguise ifctest.Disguise
}

// model builds it.
func (b *building) model() (*ifctest.Model, error) {
	m, err := b.house.Build()
	if err != nil {
		return nil, err
	}
	for _, f := range b.features {
		if err := m.AddFeature(f); err != nil {
			return nil, err
		}
	}
	return m, nil
}

// randomBuilding draws a building. Equal seeds give equal buildings.
func randomBuilding(seed int64) *building {
	r := rand.New(rand.NewSource(seed ^ 0x5eed))
	b := &building{house: randomHouse(r, seed), disguise: randomDisguise(r, seed)}
	for range 1 + r.Intn(3) {
		f := randomFeature(r, &b.house)
		x := *b
		x.features = append(slices.Clone(b.features), f)
		alike := func(g ifctest.Feature) bool {
			return g.Kind == f.Kind || strings.HasSuffix(g.Kind, "box") && strings.HasPrefix(f.Kind, "box") || strings.HasPrefix(g.Kind, "box") && strings.HasSuffix(f.Kind, "box")
		}
		if _, err := x.model(); err == nil && !slices.ContainsFunc(b.features, alike) {
			b.features = x.features
		}
	}
	return b
}

func randomFeature(r *rand.Rand, h *ifctest.House) ifctest.Feature {
	kinds := []string{"boxes", "large-box", "stair", "chimney", "cornices", "door", "door", "draftstop-material", "block-material", "thin-ceiling"}
	f := ifctest.Feature{
		Kind: kinds[r.Intn(len(kinds))], Unit: r.Intn(len(h.Units)), Separation: r.Intn(len(h.Units) - 1), Level: r.Intn(h.Storeys),
		At: float64(r.Intn(30)) / 10, Sound: r.Intn(3) == 0,
	}
	part := r.Intn(2)
	switch f.Kind {
	case "boxes":
		f.Size = float64(r.Intn(12)) * 2 * ifctest.Inch // up to 22 in
		if f.Sound {
			f.Size = (29 + float64(r.Intn(10))) * ifctest.Inch // clear of each other by 24 in too
		}
	case "stair":
		f.Part = []string{"top", "bottom"}[part]
	case "draftstop-material", "block-material":
		f.Part = []string{"thin", "other"}[part]
	case "large-box":
		f.Part, f.Sound = []string{"low", "high"}[part], false
	}
	return f
}

// randomHouse is a house small enough to be reviewed in a fraction of a second.
func randomHouse(r *rand.Rand, seed int64) ifctest.House {
	h := ifctest.Random(seed, 2+r.Intn(5))
	small := h
	if r.Intn(6) == 0 {
		return layeredHouse(r, small)
	}
	small.Units = small.Units[:min(len(small.Units), 2+r.Intn(2))]
	small.Storeys = min(small.Storeys, 2+r.Intn(8)/7) // three storeys now and then
	small.Depth = min(small.Depth, 8.5)
	small.Defects = nil
	if small.Floor.Framing == "truss" && r.Intn(3) > 0 { // as many draftstops as a low limit asks for
		for i := range small.Units {
			across := small.Depth
			if small.Floor.Along == "y" {
				across = small.Units[i].Width
			}
			small.Units[i].Draftstops = []float64{across / 2}
		}
	}
	fits := func(x ifctest.House) bool {
		_, err := x.Build()
		return err == nil
	}
	for _, s := range h.Defects { // those for which the smaller house has a place
		if small.Floor.Along == "y" && behindJoist(small, s) {
			continue
		}
		x := small
		x.Defects = append(slices.Clone(small.Defects), s)
		if fits(x) {
			small = x
		}
	}
	for i := range small.Defects {
		// A level that is open along the whole of the only unit line is told by nothing in the
		// model: no other stops show that this level is wanted apart from the one below or above.
		if s := &small.Defects[i]; s.Kind == "level-block-missing" {
			s.At, s.Size = 1+float64(r.Intn(20))/10, 0.8+float64(r.Intn(10))/10
		}
	}
	for range r.Intn(3) { // kinds that Random does not draw
		var s ifctest.Seed
		switch r.Intn(2) {
		case 0:
			s = ifctest.Seed{Kind: "run-block-missing", Separation: r.Intn(len(small.Units) - 1), Level: r.Intn(small.Storeys), Index: r.Intn(2)}
		default:
			s = ifctest.Seed{Kind: "draftstop-gap", Unit: r.Intn(len(small.Units)), Level: small.Storeys - 1, At: 1 + float64(r.Intn(20))/10, Size: 0.1 + float64(r.Intn(8))/10}
		}
		x := small
		x.Defects = append(slices.Clone(small.Defects), s)
		if fits(x) && !slices.ContainsFunc(small.Defects, func(q ifctest.Seed) bool { return hides(q, s) }) {
			small = x
		}
	}
	if r.Intn(3) == 0 {
		small = boxedOut(r, small)
	}
	for range r.Intn(3) {
		s := ifctest.Service{
			Kind: []string{"pipe", "duct", "cable"}[r.Intn(3)], Through: []string{"floor", "floor", "separation", "draftstop", "void"}[r.Intn(5)],
			Unit: r.Intn(len(small.Units)), Separation: r.Intn(len(small.Units) - 1), Level: r.Intn(small.Storeys), At: 1.5 + float64(r.Intn(30))/10,
			Diameter: []float64{0.0127, 0.0508, 0.1016}[r.Intn(3)], Ring: []float64{0.006, 0.016, 0.025}[r.Intn(3)], Sealed: r.Intn(2) == 0,
		}
		if _, across := reachOf(small, s.Unit); s.Through == "void" && s.At+2.2 > across {
			continue // it would run into the next unit
		}
		x := small
		x.Services = append(slices.Clone(small.Services), s)
		if fits(x) && !crowded(small, s) {
			small = x
		}
	}
	return small
}

// randomDisguise is a way of writing a model.
func randomDisguise(r *rand.Rand, seed int64) ifctest.Disguise {
	pick := func(list ...string) string { return list[r.Intn(len(list))] }
	d := ifctest.Disguise{
		Schema: pick("IFC4", "IFC2X3", "IFC4X3"), Unit: pick("mm", "m", "ft", "in"), Naming: pick(ifctest.NamesEnglish, ifctest.NamesEnglish, ifctest.NamesTerse, ifctest.NamesGerman, ifctest.NamesFrench),
		Geometry: pick("extrusion", "extrusion", "brep", "mesh", "mapped", "clipping"), RotateDeg: float64(r.Intn(8)) * 22.5, Seed: seed + 1,
		Mirror: r.Intn(4) == 0, Baked: r.Intn(3) == 0, Shift: [3]float64{float64(r.Intn(3)) * 1234.5, float64(r.Intn(2)) * -987, float64(r.Intn(2)) * 3.2},
	}
	switch r.Intn(4) {
	case 0:
		d.Overlap = 0.01
	case 1:
		d.Clearance = 0.002
	}
	return d
}

// layeredHouse is a house of walls, floors and roofs with layers, and the mistakes that those can show.
func layeredHouse(r *rand.Rand, h ifctest.House) ifctest.House {
	h.Layered, h.Separation.Attic = true, "wall"
	h.LayerPlan = ifctest.LayerPlan{FullHeight: r.Intn(3) == 0, NegSense: r.Intn(2) == 0, CeilingApart: r.Intn(2) == 0}
	h.Units = h.Units[:min(len(h.Units), 3)]
	h.Storeys = min(h.Storeys, 3)
	h.Depth = min(h.Depth, 8.5)
	h.Defects = nil
	for i := range h.Units {
		h.Units[i].Draftstops = nil
		if r.Intn(2) == 0 {
			h.Units[i].Draftstops = []float64{h.Depth / 2}
		}
	}
	for range r.Intn(4) {
		s := ifctest.Seed{Kind: []string{"line-open", "attic-open", "attic-short", "draftstop-missing", "draftstop-short", "draftstop-gap"}[r.Intn(6)],
			At: 1 + float64(r.Intn(10))/10, Size: 0.05 + float64(r.Intn(8))/20}
		if sep := r.Intn(len(h.Units) - 1); !strings.HasPrefix(s.Kind, "draft") {
			s.Separation = sep
		}
		if strings.HasPrefix(s.Kind, "draft") {
			s.Unit = r.Intn(len(h.Units))
		}
		if !strings.HasPrefix(s.Kind, "attic") {
			s.Level = r.Intn(h.Storeys)
		}
		if s.Kind == "draftstop-short" {
			s.Size = min(s.Size, h.Floor.Depth-0.1) // what is left is a sheet, no strip on the ceiling
		}
		x := h
		x.Defects = append(slices.Clone(h.Defects), s)
		if _, err := x.Build(); err == nil && !slices.ContainsFunc(h.Defects, func(q ifctest.Seed) bool { return hides(q, s) }) {
			h = x
		}
	}
	return h
}

// boxedOut adds a soffit, open to the wall behind it or not.
func boxedOut(r *rand.Rand, h ifctest.House) ifctest.House {
	f := ifctest.Soffit{
		Unit: r.Intn(len(h.Units)), Level: r.Intn(h.Storeys), Width: 0.3 + float64(r.Intn(4))/10, Height: 0.25 + float64(r.Intn(3))/10,
		Start: 0.5 + float64(r.Intn(10))/10, Length: 1.2 + float64(r.Intn(10))/10,
	}
	x := h
	x.Soffits = []ifctest.Soffit{f}
	if _, err := x.Build(); err != nil {
		return h
	}
	if y := x; r.Intn(3) > 0 {
		y.Defects = append(slices.Clone(x.Defects), ifctest.Seed{Kind: "soffit-open"})
		if _, err := y.Build(); err == nil {
			return y
		}
	}
	return x
}

// behindJoist reports whether a mistake shows nothing where floor members run beside the unit
// lines: the outermost member lies on the plate and closes it, and when it is solid what
// is left open above the wall lies behind it.
func behindJoist(h ifctest.House, s ifctest.Seed) bool {
	switch s.Kind {
	case "plate-missing":
		return s.Level < h.Storeys-1
	case "block-missing", "line-open":
		return h.Floor.Framing != "truss"
	}
	return false
}

// hides reports whether two mistakes at one place would be told as one.
func hides(a, b ifctest.Seed) bool {
	if strings.HasPrefix(b.Kind, "draftstop") {
		return strings.HasPrefix(a.Kind, "draftstop") && a.Unit == b.Unit && a.Level == b.Level
	}
	return a.Separation == b.Separation
}

// reachOf is how far the floor void of a unit reaches along and across its members, metres.
func reachOf(h ifctest.House, unit int) (along, across float64) {
	if h.Floor.Along == "y" {
		return h.Depth, h.Units[unit].Width
	}
	return h.Units[unit].Width, h.Depth
}

// crowded reports whether a service would stand where another one does: those along a floor
// void lie in the one chase opening of its trusses, in which the hole of a draftstop is cut too and where
// its gap may end.
func crowded(h ifctest.House, s ifctest.Service) bool {
	along := func(x ifctest.Service) bool { return x.Through == "void" || x.Through == "draftstop" }
	if along(s) && slices.ContainsFunc(h.Defects, func(q ifctest.Seed) bool {
		return (q.Kind == "draftstop-hole" || q.Kind == "draftstop-gap") && q.Unit == s.Unit && q.Level == s.Level
	}) {
		return true
	}
	for _, x := range h.Services {
		one := x.Unit == s.Unit
		if x.Through == "separation" && s.Through == "separation" {
			one = x.Separation == s.Separation
		}
		if !one || x.Level != s.Level {
			continue
		}
		if x.Through == s.Through && x.At-s.At < 1 && s.At-x.At < 1 || along(x) && along(s) {
			return true
		}
	}
	return false
}
