package review

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand"
	"os"
	"slices"
	"strings"
	"testing"

	"voidcheck/ifcx/ifctest"
)

// kindOfHouse is a kind of house that the plain random ones do not draw: it draws one from a random stream
// of its own, and what it puts into the adoption by which the house is judged.
type kindOfHouse struct {
	name string
	draw func(r *rand.Rand, seed int64) (b *building, adopted string)
}

var kindsOfHouse = []kindOfHouse{
	{"mixed", mixedBuilding},
	{"fitted", fittedBuilding},
	{"foyer", foyerBuilding},
	{"furred", furredBuilding},
	{"vault", vaultBuilding},
}

// drawKind draws a house of a kind; equal seeds give equal houses.
func drawKind(k kindOfHouse, seed int64) (*building, string) {
	h := fnv.New32a()
	h.Write([]byte(k.name))
	r := rand.New(rand.NewSource(seed*1_000_003 + int64(h.Sum32())))
	return k.draw(r, seed)
}

// The whole from file to findings over kinds of houses of their own: layers beside framing, features that the plain ones
// do not draw, walls of two storeys, a furred end wall, vaulted ceilings. VOIDCHECK_KINDS sets how many of each, VOIDCHECK_FIRST the first seed,
// VOIDCHECK_KIND one kind alone.
func TestKindsOfHouse(t *testing.T) {
	count := 5 // the features of fitted houses go round
	if testing.Short() {
		count = 1
	}
	seeds := ifctest.Seeds("VOIDCHECK_KINDS", 1, count)
	for _, k := range kindsOfHouse {
		if only := os.Getenv("VOIDCHECK_KIND"); only != "" && only != k.name {
			continue
		}
		t.Run(k.name, func(t *testing.T) {
			scores := map[string]*score{}
			mistakes := 0
			for _, seed := range seeds {
				b, adopted := drawKind(k, seed)
				faults, n := judgeHouse(t, b, atticLimit(b.house, seed), adopted, scored(scores))
				mistakes += n
				if len(faults) > 0 {
					t.Errorf("seed %d, %s\n  %s", seed, b, strings.Join(faults, "\n  "))
				}
			}
			t.Logf("%d houses, %d mistakes\n%s", len(seeds), mistakes, table(scores))
		})
	}
}

// spoil adds up to n mistakes of some kinds that have a place in the house and do not hide one another.
func spoil(r *rand.Rand, h ifctest.House, n int, kinds ...string) ifctest.House {
	for range n {
		s := ifctest.Seed{Kind: kinds[r.Intn(len(kinds))], At: 1 + float64(r.Intn(20))/10, Size: 0.1 + float64(r.Intn(8))/10}
		switch unit := r.Intn(len(h.Units)); {
		case strings.HasPrefix(s.Kind, "draft"):
			s.Unit = unit
		default:
			s.Separation = r.Intn(len(h.Units) - 1)
		}
		if !strings.HasPrefix(s.Kind, "attic") {
			s.Level = r.Intn(h.Storeys)
		}
		switch s.Kind {
		case "block-missing":
			s.Side, s.Bay, s.At, s.Size = []string{"low", "high"}[r.Intn(2)], r.Intn(4), 0, 0
		case "plate-missing":
			s.Side, s.Bay, s.At, s.Size = []string{"low", "high"}[r.Intn(2)], r.Intn(3), 0, 0
		case "level-block-missing":
			s.Part, s.Size = []string{"floor", "ceiling"}[r.Intn(2)], s.Size+0.7
		case "run-block-missing":
			s.Index = r.Intn(2)
		case "draftstop-short":
			s.Size = min(s.Size, h.Floor.Depth-0.1) // what is left is a sheet, no strip on the ceiling
		case "draftstop-hole":
			s.Size = 0.05 + s.Size/8
		case "attic-short":
			s.Size /= 2
			if h.Separation.Attic == "sheet" {
				s.Size = 0.2
			}
		}
		if h.Floor.Along == "y" && behindJoist(h, s) {
			continue
		}
		x := h
		x.Defects = append(slices.Clone(h.Defects), s)
		if _, err := x.Build(); err == nil && !slices.ContainsFunc(h.Defects, func(q ifctest.Seed) bool { return hides(q, s) }) {
			h = x
		}
	}
	return h
}

// mixedBuilding is a house of layered floors over framed walls, or of framed floors over layered walls.
func mixedBuilding(r *rand.Rand, seed int64) (*building, string) {
	h := ifctest.Random(seed, 0)
	h.Units, h.Storeys, h.Depth = h.Units[:min(len(h.Units), 3)], min(h.Storeys, 3), min(h.Depth, 8.5)
	h.Layered, h.LayerPlan = true, ifctest.LayerPlan{Framed: []string{"walls", "floors"}[r.Intn(2)], NegSense: r.Intn(2) == 0, CeilingApart: r.Intn(2) == 0}
	framed := h.LayerPlan.Framed
	h.LayerPlan.NoCavityStops = framed == "floors" && r.Intn(2) == 0
	for i := range h.Units {
		u := &h.Units[i]
		u.Draftstops = nil
		if r.Intn(2) > 0 && (framed == "walls" || h.Floor.Framing == "truss") {
			across := h.Depth
			if framed == "floors" && h.Floor.Along == "y" {
				across = u.Width
			}
			u.Draftstops = []float64{across / 2}
		}
	}
	kinds := []string{"block-missing", "block-missing", "line-open", "plate-missing", "level-block-missing", "run-block-missing", "draftstop-missing", "draftstop-short", "draftstop-gap", "attic-open", "attic-short"}
	if framed == "walls" && r.Intn(5) == 0 { // what closes the ends of the floors is left out of the model
		h.LayerPlan.NoEnds = true
		for i := range h.Units {
			h.Units[i].Draftstops = nil
		}
		kinds = []string{"level-block-missing", "run-block-missing", "attic-short"}
	}
	h = spoil(r, h, r.Intn(4), kinds...)
	return &building{house: h, disguise: randomDisguise(r, seed)}, ""
}

// fittedBuilding is a framed house with one of the features that the plain houses do not draw.
func fittedBuilding(r *rand.Rand, seed int64) (*building, string) {
	kinds := []string{"many-boxes", "weak-door", "draftstop-raised", "hung-ceiling", "chimney"}
	kind := kinds[int(seed)%len(kinds)]
	for {
		h := ifctest.Random(r.Int63(), 0)
		h.NoCeilings = kind != "hung-ceiling" && kind != "chimney" && r.Intn(4) == 0
		h.Units, h.Storeys, h.Depth = h.Units[:min(len(h.Units), 3)], 2, min(h.Depth, 8.5)
		f := ifctest.Feature{Kind: kind, Unit: r.Intn(len(h.Units)), Separation: r.Intn(len(h.Units) - 1), Level: 1, At: float64(r.Intn(30)) / 10, Sound: r.Intn(4) == 0}
		switch kind {
		case "many-boxes":
			f.Part, f.Level = []string{"low", "high"}[r.Intn(2)], r.Intn(2)
		case "weak-door":
			f.Part, h.Separation.Attic = []string{"latch", "closer"}[r.Intn(2)], "sheet"
		case "draftstop-raised":
			f.Size = 0.06 + float64(r.Intn(8))/50
		case "chimney":
			f.Part = "wood"
		}
		b := &building{house: h, features: []ifctest.Feature{f}, disguise: randomDisguise(r, seed)}
		if _, err := b.model(); err == nil {
			return b, ""
		}
	}
}

// foyerBuilding is a house with a wall of two storeys beside a foyer, judged by an adoption that wants blocks up the wall every 10 or
// 8 ft, or does not.
func foyerBuilding(r *rand.Rand, seed int64) (*building, string) {
	limit := []float64{0, 10, 8}[r.Intn(3)] * ifctest.Foot
	for {
		h := ifctest.Random(r.Int63(), 0)
		h.Units, h.Storeys, h.Depth = h.Units[:2], 2+r.Intn(2), min(h.Depth, 8.5)
		h.WallHeight = 2.3 + float64(r.Intn(4))/20 // lower than 8 ft between the plates
		h.Units[0].Bearing, h.Units[0].Draftstops = h.Units[0].Bearing && h.Floor.Along == "y", nil
		h.Foyer = &ifctest.Foyer{Start: 1 + float64(r.Intn(10))/10, Length: 1.6 + float64(r.Intn(10))/10, Wide: 1.5 + float64(r.Intn(10))/10, Rows: 1}
		tall := 2*h.WallHeight + h.Floor.Depth + h.Floor.Deck - 3*ifctest.TwoBy
		if limit > 0 {
			for (tall-float64(h.Foyer.Rows)*ifctest.TwoBy)/float64(h.Foyer.Rows+1) > limit {
				h.Foyer.Rows++
			}
			switch r.Intn(3) {
			case 0:
				h.Defects = []ifctest.Seed{{Kind: "rise-blocks-missing"}}
			case 1:
				h.Defects = []ifctest.Seed{{Kind: "rise-block-missing", Index: r.Intn(h.Foyer.Rows), Bay: r.Intn(3)}}
			}
		} else if r.Intn(2) == 0 {
			h.Foyer.Rows = 0 // nothing asks for them
		}
		l := h.Layout()
		if limit > 0 && math.Max(l.Roof(h.Depth/2), l.Roof(h.Depth))-l.Plate(h.Storeys-1) > limit-0.1 {
			continue // the wall between the units would want blocks in the attic too
		}
		if _, err := h.Build(); err != nil {
			continue
		}
		adopted := ""
		if limit > 0 {
			adopted = fmt.Sprintf(`"wall-fireblock-run": {"max-rise": "%g ft"},`, limit/ifctest.Foot)
		}
		return &building{house: h, disguise: randomDisguise(r, seed)}, adopted
	}
}

// furredBuilding is a house of which one end wall is of masonry with furring before it.
func furredBuilding(r *rand.Rand, seed int64) (*building, string) {
	for {
		h := ifctest.Random(r.Int63(), 0)
		h.Units, h.Storeys, h.Furred = h.Units[:2], 1+r.Intn(2), true
		h.Depth = math.Min(math.Max(h.Depth, 6), 8.5)
		for range r.Intn(3) {
			s := ifctest.Seed{Kind: "furring-run-missing", Level: r.Intn(h.Storeys), Index: r.Intn(2)}
			if r.Intn(2) == 0 {
				s = ifctest.Seed{Kind: "furring-level-missing", Level: s.Level, Part: []string{"floor", "ceiling"}[r.Intn(2)], At: 1 + float64(r.Intn(20))/10, Size: 0.6 + float64(r.Intn(8))/10}
			}
			if len(h.Defects) == 0 || h.Defects[0].Level != s.Level {
				h.Defects = append(h.Defects, s)
			}
		}
		if _, err := h.Build(); err == nil {
			return &building{house: h, disguise: randomDisguise(r, seed)}, ""
		}
	}
}

// vaultBuilding is a house with a ceiling that is vaulted over part of a unit, and a draftstop in its attic.
func vaultBuilding(r *rand.Rand, seed int64) (*building, string) {
	for {
		h := ifctest.Random(r.Int63(), 0)
		h.Units, h.Storeys, h.Depth = h.Units[:2], 1+r.Intn(2), math.Min(h.Depth, 8.5)
		h.Roof.Kind, h.Roof.Pitch = "gable", float64(6+r.Intn(5))/12
		u := r.Intn(2)
		h.Units[u].Bearing, h.Units[u].Width = false, math.Max(h.Units[u].Width, 6)
		w := h.Units[u].Width
		h.Vault = &ifctest.Vault{Unit: u, From: w * (0.3 + float64(r.Intn(3))/10), Stop: w * []float64{0.25, 0.75, 0.8}[r.Intn(3)]}
		switch r.Intn(3) {
		case 0:
			h.Defects = []ifctest.Seed{{Kind: "attic-stop-missing"}}
		case 1:
			short := 0.2 + float64(r.Intn(4))/20
			if h.Vault.Stop > h.Vault.From { // the void over a vault is low: one that leaves most of it open divides nothing
				short = 0.2
			}
			h.Defects = []ifctest.Seed{{Kind: "attic-stop-short", Size: short}}
		}
		if _, err := h.Build(); err == nil {
			b := &building{house: h, disguise: randomDisguise(r, seed)}
			if b.disguise.Geometry == "clipping" { // cut by planes, a sheet over a vault falls into crumbs
				b.disguise.Geometry = "brep"
			}
			return b, ""
		}
	}
}
