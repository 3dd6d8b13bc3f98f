package ifctest

import (
	"sort"
	"testing"

	"voidcheck/ifcx/geom"
)

// flood is an oracle of its own for the fixtures: a grid through every face of every part
// (exact for upright boxes), filled cell by cell from a point. It tells which spaces are open
// to each other in the model as built, whatever the truth says.
type flood struct {
	x, y, z []float64
	solid   []bool
	nx, ny  int
}

func gridLines(v []float64) []float64 {
	sort.Float64s(v)
	out := v[:1]
	for _, a := range v[1:] {
		if a-out[len(out)-1] > 1e-4 {
			out = append(out, a)
		}
	}
	return out
}

// contains reports whether a point lies in the prism.
func (p Prism) contains(q geom.Vec3) bool {
	l := inverse(p.Frame).Point(q)
	if l.Z < 0 || l.Z > p.Depth {
		return false
	}
	outer, holes := p.Profile.rings(24)
	in := func(r []geom.Vec2) bool {
		odd := false
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (a.Y > l.Y) != (b.Y > l.Y) && l.X < a.X+(l.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				odd = !odd
			}
		}
		return odd
	}
	if !in(outer) {
		return false
	}
	for _, h := range holes {
		if in(h) {
			return false
		}
	}
	return true
}

func newFlood(m *Model) *flood {
	var solids []Prism
	var cuts [][]Prism
	var xs, ys, zs []float64
	for _, p := range m.Parts {
		for _, s := range p.Solids {
			var c []Prism
			for _, o := range p.Openings {
				c = append(c, o.Solid)
			}
			solids, cuts = append(solids, s), append(cuts, c)
			for _, q := range append([]Prism{s}, c...) {
				b := q.Bounds()
				xs, ys, zs = append(xs, b.Min.X, b.Max.X), append(ys, b.Min.Y, b.Max.Y), append(zs, b.Min.Z, b.Max.Z)
				if q.Profile.Kind == Poly {
					pts, _ := q.faces()
					for _, v := range pts {
						xs, ys, zs = append(xs, v.X), append(ys, v.Y), append(zs, v.Z)
					}
				}
			}
		}
	}
	// slopes need lines of their own: closer than the roof is thick
	for v := -0.2; v < m.House.Depth+0.2; v += 0.04 {
		ys = append(ys, v)
	}
	top := m.Storeys[len(m.Storeys)-1].Elevation + m.House.WallHeight
	for v := top; v < top+4; v += 0.04 {
		zs = append(zs, v)
	}
	f := &flood{x: gridLines(xs), y: gridLines(ys), z: gridLines(zs)}
	f.nx, f.ny = len(f.x)-1, len(f.y)-1
	f.solid = make([]bool, f.nx*f.ny*(len(f.z)-1))
	for i, s := range solids {
		b := s.Bounds()
		for kx := sort.SearchFloat64s(f.x, b.Min.X-1e-3); kx < f.nx && f.x[kx] < b.Max.X-1e-4; kx++ {
			for ky := sort.SearchFloat64s(f.y, b.Min.Y-1e-3); ky < f.ny && f.y[ky] < b.Max.Y-1e-4; ky++ {
				for kz := sort.SearchFloat64s(f.z, b.Min.Z-1e-3); kz < len(f.z)-1 && f.z[kz] < b.Max.Z-1e-4; kz++ {
					q := f.centre(kx, ky, kz)
					in := s.contains(q)
					for _, c := range cuts[i] {
						in = in && !c.contains(q)
					}
					if in {
						f.solid[f.at(kx, ky, kz)] = true
					}
				}
			}
		}
	}
	return f
}

func (f *flood) at(x, y, z int) int { return (z*f.ny+y)*f.nx + x }

func (f *flood) centre(x, y, z int) geom.Vec3 {
	// a little off the middle, so that no sample lies on a slope
	mix := func(l []float64, i int, a float64) float64 { return l[i]*(1-a) + l[i+1]*a }
	return geom.Vec3{X: mix(f.x, x, 0.493), Y: mix(f.y, y, 0.511), Z: mix(f.z, z, 0.479)}
}

func (f *flood) cell(p geom.Vec3) int {
	return f.at(sort.SearchFloat64s(f.x, p.X)-1, sort.SearchFloat64s(f.y, p.Y)-1, sort.SearchFloat64s(f.z, p.Z)-1)
}

// from fills from a point and returns the cells reached.
func (f *flood) from(p geom.Vec3) []bool {
	seen := make([]bool, len(f.solid))
	start := f.cell(p)
	if f.solid[start] {
		return seen
	}
	seen[start] = true
	stack := []int{start}
	n := len(f.solid)
	layer := f.nx * f.ny
	for len(stack) > 0 {
		c := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		x, y := c%f.nx, c/f.nx%f.ny
		push := func(d int, ok bool) {
			if ok && c+d >= 0 && c+d < n && !f.solid[c+d] && !seen[c+d] {
				seen[c+d] = true
				stack = append(stack, c+d)
			}
		}
		push(-1, x > 0)
		push(1, x < f.nx-1)
		push(-f.nx, y > 0)
		push(f.nx, y < f.ny-1)
		push(-layer, true)
		push(layer, true)
	}
	return seen
}

// small is a house with every kind of part in little space.
func small() House {
	h := Row(2)
	h.Depth = 3.2
	for i := range h.Units {
		h.Units[i] = Unit{Width: 3.1, Bearing: i == 0}
	}
	h.Separation.RunMax = 1.2
	h.Roof.Sheathing = 0.12 // thicker than the grid of the oracle is wide
	return h
}

// checkFlood compares what is open to what in the model with the truth.
func checkFlood(t *testing.T, h House) {
	t.Helper()
	m := h.MustBuild()
	f := newFlood(m)
	var spots []geom.Vec3
	var names []string
	unitOf := map[int][]int{}
	for _, v := range m.Truth.Voids {
		if v.Kind == "floor" || v.Kind == "attic" || v.Kind == "soffit" {
			unitOf[len(spots)] = v.Units
			spots, names = append(spots, v.Point), append(names, v.Kind)
		}
	}
	rooms := len(spots)
	for _, r := range m.Rooms {
		c := r.Solids[0].Bounds().Center()
		spots, names = append(spots, c), append(names, "room")
	}
	joined := func(a, b []int) bool {
		for _, g := range m.Truth.Joined {
			in := map[int]bool{}
			for _, u := range g {
				in[u] = true
			}
			for _, u := range a {
				for _, v := range b {
					if u != v && in[u] && in[v] {
						return true
					}
				}
			}
		}
		return false
	}
	found := map[[2]int]bool{}
	for i := 0; i < rooms; i++ {
		if f.solid[f.cell(spots[i])] {
			t.Errorf("the point of %s void %v lies in a solid", names[i], spots[i])
			continue
		}
		seen := f.from(spots[i])
		for j := range spots {
			if j == i || !seen[f.cell(spots[j])] {
				continue
			}
			switch {
			case j < rooms && (names[i] == "soffit" || names[j] == "soffit") && unitOf[i][0] == unitOf[j][0]: // a way within one unit
			case j >= rooms:
				t.Errorf("%s void of units %v is open to a room at %v", names[i], unitOf[i], spots[j])
			case !joined(unitOf[i], unitOf[j]):
				t.Errorf("%s void of units %v is open to the %s void of %v, which the truth does not say", names[i], unitOf[i], names[j], unitOf[j])
			default:
				found[[2]int{unitOf[i][0], unitOf[j][0]}] = true
			}
		}
	}
	for _, g := range m.Truth.Joined {
		same := false
		for _, v := range m.Truth.Voids {
			same = same || v.Kind == "attic" && len(v.Units) > 1
		}
		if !same && !found[[2]int{g[0], g[1]}] {
			t.Errorf("the truth joins units %v, the model does not", g)
		}
	}
}

func TestSoundHousesAreClosed(t *testing.T) {
	for name, change := range map[string]func(*House){
		"double":  func(h *House) {},
		"single":  func(h *House) { h.Separation.Kind, h.Separation.Stud = "single", SixWide },
		"along y": func(h *House) { h.Floor.Along = "y" },
		"joists": func(h *House) {
			h.Floor.Framing, h.Floor.Width, h.Floor.Depth, h.Floor.Spacing = "joist", TwoBy, 9.25*Inch, 16*Inch
		},
		"sheet":  func(h *House) { h.Separation.Attic = "sheet" },
		"mono":   func(h *House) { h.Roof.Kind = "mono" },
		"soffit": func(h *House) { h.Soffits = []Soffit{{Unit: 1, Width: 0.4, Height: 0.3, Start: 0.5, Length: 1.5}} },
	} {
		t.Run(name, func(t *testing.T) {
			h := small()
			change(&h)
			checkFlood(t, h)
		})
	}
}

func TestSeededHousesAreOpenAsTold(t *testing.T) {
	for name, seeds := range map[string][]Seed{
		"no stops":     nil,
		"one block":    {{Kind: "block-missing", Side: "low", Level: 1, Bay: 2}},
		"both blocks":  {{Kind: "block-missing", Side: "low", Level: 1, Bay: 2}, {Kind: "block-missing", Side: "high", Level: 1, Bay: 2}},
		"distant bays": {{Kind: "block-missing", Side: "low", Level: 1, Bay: 0}, {Kind: "block-missing", Side: "high", Level: 1, Bay: 4}},
		"line open":    {{Kind: "line-open", Level: 1}},
		"attic open":   {{Kind: "attic-open"}},
		"attic short":  {{Kind: "attic-short", Size: 0.15}},
		"level open":   {{Kind: "level-block-missing", Level: 0, Part: "ceiling"}},
		"plate":        {{Kind: "plate-missing", Side: "low", Level: 0, Bay: 0}},
		"run":          {{Kind: "run-block-missing", Level: 0, Index: 0}},
		"level and blocks": {{Kind: "level-block-missing", Level: 0, Part: "ceiling"}, {Kind: "plate-missing", Side: "low", Level: 0, Bay: 0},
			{Kind: "plate-missing", Side: "high", Level: 0, Bay: 0}},
	} {
		t.Run(name, func(t *testing.T) {
			h := small()
			h.Defects, h.NoStops = seeds, seeds == nil
			checkFlood(t, h)
		})
	}
}

// Ways past the blocks of a cavity, where a level or a soffit beside them is open: from a bay
// on one side of a block to one on its other side.
func TestWaysRoundBlocksAreTold(t *testing.T) {
	soffit := []Soffit{{Unit: 1, Level: 0, Width: 0.4, Height: 0.3, Start: 0.4, Length: 1.5}}
	for name, x := range map[string]struct {
		change func(*House)
		seeds  []Seed
		joined bool
	}{
		"ceiling level over a block": {seeds: []Seed{{Kind: "block-missing", Side: "low", Level: 1, Bay: 0}, {Kind: "block-missing", Side: "high", Level: 1, Bay: 4},
			{Kind: "level-block-missing", Part: "ceiling"}}, joined: true},
		"ceiling level between blocks": {seeds: []Seed{{Kind: "block-missing", Side: "low", Level: 1, Bay: 0}, {Kind: "block-missing", Side: "high", Level: 1, Bay: 4},
			{Kind: "level-block-missing", Part: "ceiling", At: 1.3, Size: 0.5}}},
		"soffit past a block": {seeds: []Seed{{Kind: "soffit-open"}, {Kind: "plate-missing", Side: "low"}}, change: func(h *House) { h.Soffits = soffit }, joined: true},
		"soffit, one row": {seeds: []Seed{{Kind: "soffit-open"}, {Kind: "plate-missing", Side: "low"}}, joined: true, change: func(h *House) {
			h.Soffits = soffit
			h.Separation.Kind, h.Separation.Stud = "single", SixWide
		}},
	} {
		t.Run(name, func(t *testing.T) {
			h := small()
			h.Defects = x.seeds
			if x.change != nil {
				x.change(&h)
			}
			checkFlood(t, h)
			if got := len(h.MustBuild().Truth.Joined) > 0; got != x.joined {
				t.Errorf("the truth says that units are joined: %t, want %t", got, x.joined)
			}
		})
	}
}

// Cavity blocks and level blocks cut the gap of a double wall into the cells of the truth
// graph: every stretch of every zone is shut off from every other.
func TestCavitiesAreDivided(t *testing.T) {
	h := small()
	m := h.MustBuild()
	f := newFlood(m)
	l := newLayout(&h)
	gap := l.seps[0].gap.Mid()
	top := h.Storeys - 1
	levels := map[string]float64{"s0": 1, "f1": l.depthSpan(1).Mid(), "s1": l.floorZ(1) + 1, "a": l.plateZ(top) + 0.35}
	type cell struct {
		name string
		p    geom.Vec3
	}
	var cells []cell
	edges := append(append([]float64{l.outerY().Lo}, l.runBlocks()...), l.outerY().Hi)
	if len(edges) < 4 {
		t.Fatalf("too few cavity blocks to tell: %v", edges)
	}
	for zone, z := range levels {
		for i := 1; i < len(edges); i++ {
			y := (edges[i-1] + edges[i]) / 2
			cells = append(cells, cell{cavityCell(0, zone, i-1), pt(gap, y, z)})
		}
	}
	for i, a := range cells {
		if f.solid[f.cell(a.p)] {
			t.Errorf("%s: %v lies in a solid", a.name, a.p)
		}
		seen := f.from(a.p)
		for j, b := range cells {
			if i != j && seen[f.cell(b.p)] {
				t.Errorf("%s is open to %s", a.name, b.name)
			}
		}
	}
}
