package void

import (
	"math"
	"testing"

	"voidcheck/ifcx/geom"
)

// layered is a two-unit row of layered solids: walls per storey, floors with a framing
// layer. runsOver lets the floor run over the separation, as on many architects' models.
func layered(runsOver, throughWall bool) *Input {
	in := &Input{Levels: []float64{0, 3.1}, Units: 2, MaxGap: 0.0127}
	n := 0
	add := func(role Role, b geom.Box, fr Framing) {
		in.Parts = append(in.Parts, Part{Mesh: geom.BoxMesh(b), Role: role, Element: n, Assembly: -1, Layered: true, Framing: fr})
		n++
	}
	const half, w, d = 0.1175, 6.0, 10.0
	wallTop := 2.7
	if throughWall {
		wallTop = 3.1
	}
	// separation: gypsum 16, stud 89, air 25, stud 89, gypsum 16 per storey
	for st, z := range []Span{{0, wallTop}, {3.1, 5.8}} {
		add(RoleFinish, box(-half, -half+0.016, 0, d, z.Lo, z.Hi), "")
		add(RoleFraming, box(-half+0.016, half-0.016, 0, d, z.Lo, z.Hi), FramingStud)
		add(RoleFinish, box(half-0.016, half, 0, d, z.Lo, z.Hi), "")
		in.Walls = append(in.Walls, Wall{Dir: geom.Vec2{Y: 1}, Length: d, Across: Span{-half, half}, Z0: z.Lo, Z1: z.Hi,
			Kind: WallDouble, Cavities: []Span{{-half + 0.016, half - 0.016}}, Gaps: []Span{{-0.0125, 0.0125}},
			Rows: []Span{{-half + 0.016, -0.0125}, {0.0125, half - 0.016}}, Separation: 0, Storey: st, Combustible: true})
	}
	in.Separations = []Separation{{Units: [2]int{0, 1}, Walls: []int{0, 1}, Kind: WallDouble}}
	floor := func(x0, x1 float64) {
		add(RoleDeck, box(x0, x1, 0, d, 3.081, 3.1), "")
		add(RoleFraming, box(x0, x1, 0, d, 2.7127, 3.081), FramingTruss)
		add(RoleCeiling, box(x0, x1, 0, d, 2.7, 2.7127), "")
	}
	if runsOver {
		floor(-half-w, half+w)
	} else {
		floor(-half-w, -half)
		floor(half, half+w)
	}
	for u, s := range []Span{{-half - w, -half}, {half, half + w}} {
		for _, z := range []Span{{0, 2.7}, {3.1, 5.7}} {
			in.Rooms = append(in.Rooms, Room{Unit: u, Element: -1, Mesh: geom.BoxMesh(box(s.Lo, s.Hi, 0, d, z.Lo, z.Hi))})
		}
	}
	return in
}

func TestLayeredFloorStopsAtWall(t *testing.T) {
	r := mustSolve(t, disguise(layered(false, true), 15, 0, 0, false))
	fl := floorsOf(r)
	if len(fl) != 2 || math.Abs(fl[0].AreaM2-60) > 0.01 || fl[0].Framing != FramingTruss || !fl[0].Layered {
		t.Fatalf("want two floor voids of 60 m2\n%s", describe(r))
	}
	if len(r.Openings) != 0 {
		t.Errorf("unexpected opening\n%s", describe(r))
	}
	if l := r.Cavities[0].Levels[0]; l.Closed || !l.Assumed {
		t.Errorf("nothing shows whether the gap is closed at the floor: %+v", l)
	}
	for _, l := range r.Lines {
		if !l.Bounds {
			t.Errorf("the wall runs through to the deck: the line is bounded by it\n%s", describe(r))
		}
	}
}

// The plates of a layered wall are usual over its rows of studs and not over the gap between
// them: at the top of the upper wall nothing tells what closes it, unless a roof lies on it.
func TestLayeredDoubleWallTop(t *testing.T) {
	for _, roof := range []bool{false, true} {
		in := layered(false, true)
		if roof {
			in.Parts = append(in.Parts, Part{Mesh: geom.BoxMesh(box(-6.2, 6.2, 0, 10, 5.8, 5.812)), Role: RoleRoof, Element: 900, Assembly: -1})
		}
		r := mustSolve(t, disguise(in, 15, 0, 0, false))
		top := false
		for _, c := range r.Cavities {
			for _, l := range c.Levels {
				if math.Abs(l.Z-5.8) < 1e-6 {
					top = true
					if l.Closed != roof || !l.Assumed {
						t.Errorf("roof %v: closed %v, assumed %v", roof, l.Closed, l.Assumed)
					}
				}
			}
		}
		if !top {
			t.Errorf("roof %v: no level at the top", roof)
		}
	}
}

func TestLayeredFloorRunsOver(t *testing.T) {
	r := mustSolve(t, disguise(layered(true, false), 15, 0, 0, false))
	fl := floorsOf(r)
	if len(fl) != 1 || math.Abs(fl[0].AreaM2-122.35) > 0.01 || len(fl[0].Units) != 2 || len(r.Openings) != 1 || r.Openings[0].Kind != OpenLine {
		t.Fatalf("want one floor void over both units, open along the unit line\n%s", describe(r))
	}
	o := r.Openings[0]
	if math.Abs(o.WidthM-10) > 0.002 || math.Abs(o.HeightM-0.3683) > 0.002 {
		t.Errorf("opening %.4f x %.4f want 10 x 0.3683\n%s", o.WidthM, o.HeightM, describe(r))
	}
}

// Blocks stand in two rows over a double wall of layers as over one of studs: one that is
// missing on one side opens that unit's floor void to the space between the rows.
func TestBlocksInTwoRowsOverLayers(t *testing.T) {
	h := &twoUnits{wide: 5.8, deep: 9.6, depth: 0.4, spacing: 0.61, skip: map[string]bool{"Lc": true}}
	in := h.build()
	for i := range in.Walls {
		in.Walls[i].Framed = false
	}
	r := mustSolve(t, in)
	sides := map[int]bool{}
	for _, l := range r.Lines {
		if l.Kind == LineSeparation && l.Void != nil && l.Void.Kind == KindFloor {
			sides[l.Side] = true
		}
	}
	if !sides[-1] || !sides[1] {
		t.Errorf("want a line for each row of blocks, have sides %v\n%s", sides, describe(r))
	}
	n := 0
	for _, o := range r.Openings {
		if o.Kind == OpenBay && o.Line != nil && o.Line.Side > 0 {
			n++
		}
	}
	if n != 1 {
		t.Errorf("%d open bays on the side of the missing block, want 1\n%s", n, describe(r))
	}
}

// A joist as deep as the void that lies along the wall on its plates is the rim, whatever it
// is called; one that is less deep closes nothing.
func TestJoistOverWallIsRim(t *testing.T) {
	for _, short := range []float64{0, 0.1} {
		h := &twoUnits{wide: 5.8, deep: 9.6, depth: 0.4, spacing: 0.61}
		in := h.build()
		keep := in.Parts[:0]
		for _, p := range in.Parts {
			if p.Role != RoleBlock && p.Role != RoleChord && p.Role != RoleWeb {
				keep = append(keep, p)
			}
		}
		in.Parts = keep
		for _, x := range []float64{-gapW/2 - 0.028, gapW / 2} {
			h.box(RoleJoist, x, x+0.028, 0, h.deep, 2.7, 3.1-short, -1)
		}
		for i := range in.Walls {
			in.Walls[i].Framed = false
		}
		open := 0
		for _, o := range mustSolve(t, in).Openings {
			if o.Line != nil && o.Line.Kind == LineSeparation {
				open++
			}
		}
		if (open > 0) != (short > 0) {
			t.Errorf("joist %g m short of the deck: %d openings", short, open)
		}
	}
}

// Bays between joists over a room are voids where no ceiling is modelled, as those of trusses
// are: what a missing block opens there is found. An I-joist may be three solids, of one element
// or of three.
func TestJoistBaysWithoutCeiling(t *testing.T) {
	for _, solids := range []int{1, 3, 4} {
		h := &twoUnits{wide: 5.8, deep: 9.6, depth: 0.24, spacing: 0.61, skip: map[string]bool{"Lc": true, "Rc": true}}
		in := h.build()
		var parts []Part
		for _, p := range in.Parts {
			b := p.Mesh.Box()
			if p.Role == RoleCeiling || p.Role == RoleWeb || p.Role == RoleChord && b.Min.Z > 2.8 {
				continue
			}
			if p.Role == RoleChord { // the bottom chord becomes the joist
				p.Role, p.Assembly, p.Framing = RoleJoist, -1, FramingI
				spans := []Span{{2.7, 2.74}, {2.74, 2.9}, {2.9, 2.94}}
				if solids == 1 {
					spans = []Span{{2.7, 2.94}}
				}
				for k, z := range spans {
					b.Min.Z, b.Max.Z = z.Lo, z.Hi
					q := p
					if solids == 4 { // elements of their own; the web reads as a board
						q.Element += 10000 * (k + 1)
						q.Role = []Role{RoleJoist, RoleFinish, RoleJoist}[k]
					}
					q.Mesh = geom.BoxMesh(b)
					parts = append(parts, q)
				}
				continue
			}
			parts = append(parts, p)
		}
		in.Parts = parts
		r := mustSolve(t, in)
		area, high := 0.0, 0.0
		for _, v := range floorsOf(r) {
			area, high = area+v.AreaM2, math.Max(high, v.HeightMaxM)
		}
		if want := 2 * 5.8 * 9.6; math.Abs(area-want) > 0.2*want || math.Abs(high-0.24) > 0.02 { // the joists divide it
			t.Errorf("%d solids: floor voids of %.1f m2, %.3f m high, want about %.1f and 0.24\n%s", solids, area, high, want, describe(r))
		}
		bays := 0
		for _, o := range r.Openings {
			if o.Kind == OpenBay && o.Line != nil && o.Line.Kind == LineSeparation {
				bays++
			}
		}
		if bays != 2 {
			t.Errorf("%d solids: %d open bays, want one on each side\n%s", solids, bays, describe(r))
		}
	}
}
