package recognise_test

import (
	"context"
	"fmt"
	"math"
	"os"
	"reflect"
	"testing"

	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/model"
)

// sample opens a model of the shared samples, or skips. Check values of the samples are those
// of an independent reader, in ../shared/data/README.md.
func sample(t testing.TB, name string) *model.Building {
	t.Helper()
	p := samplePath(name)
	if _, err := os.Stat(p); err != nil {
		t.Skipf("sample model %s is not here", name)
	}
	m, err := ifcx.Open(context.Background(), []string{p}, ifcx.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestDuplex(t *testing.T) {
	b := recogniseModel(t, sample(t, "duplex-arch.ifc"))
	if len(b.Units) != 2 || b.Units[0].Name != "Unit A" || b.Units[1].Name != "Unit B" {
		t.Fatalf("units %+v", b.Units)
	}
	for _, u := range b.Units {
		if math.Abs(u.AreaM2-138.162) > 0.001 || len(u.Spaces) != 10 {
			t.Errorf("%s has %.3f m2 in %d spaces, want 138.162 in 10", u.Name, u.AreaM2, len(u.Spaces))
		}
	}
	if want := []float64{-1.25, 0, 3.1, 6}; len(b.Input.Levels) != 4 {
		t.Errorf("levels %v, want %v", b.Input.Levels, want)
	} else {
		for i := range want {
			if math.Abs(b.Input.Levels[i]-want[i]) > 1e-6 {
				t.Errorf("levels %v, want %v", b.Input.Levels, want)
			}
		}
	}
	if len(b.Separations) != 1 {
		t.Fatalf("%d separations, want 1", len(b.Separations))
	}
	got := map[string]bool{}
	for _, k := range b.Separations[0].Walls {
		w := b.Input.Walls[k]
		for _, e := range w.Elements {
			got[b.Model.Elements[e].GlobalID] = true
		}
		if d := w.Across.Hi - w.Across.Lo; math.Abs(d-0.55) > 1e-6 || w.Combustible {
			t.Errorf("separation wall %d is %.4f m thick, combustible %v; want 0.55 m of block on metal studs", k, d, w.Combustible)
		}
	}
	want := map[string]bool{"2O2Fr$t4X7Zf8NOew3FKRi": true, "2O2Fr$t4X7Zf8NOew3FKRH": true, "2O2Fr$t4X7Zf8NOew3FNbT": true, "2O2Fr$t4X7Zf8NOew3FKau": true}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("separation walls %v, want %v", got, want)
	}
	for _, r := range b.Input.Rooms {
		if e := b.Model.Elements; r.Element >= 0 && r.Element < len(e) && r.Outside != (roomName(b, r) == "R301") {
			t.Errorf("room %s: outside %v", roomName(b, r), r.Outside)
		}
	}
	if framed := countParts(b, void.RoleFraming, void.FramingSolid); framed == 0 {
		t.Error("the joist layers of the floors are not framing")
	}
}

func roomName(b *recognise.Building, r void.Room) string {
	for _, s := range b.Model.Spaces {
		if s.Index == r.Element {
			return s.Name
		}
	}
	return ""
}

func countParts(b *recognise.Building, role void.Role, f void.Framing) int {
	n := 0
	for _, p := range b.Input.Parts {
		if p.Role == role && p.Framing == f {
			n++
		}
	}
	return n
}

func TestTimberHouse(t *testing.T) {
	b := recogniseModel(t, sample(t, "timber-house-studs.ifc"))
	got := map[string]int{}
	for _, th := range b.Things {
		if e := th.Element; e.Is("IfcMember") {
			got[e.Name+" "+string(th.Concept)]++
		}
	}
	for k, want := range map[string]int{"Stendere stud": 207, "Bunnsvill plate": 45, "Toppsvill plate": 45, "Modulbjelke joist": 51, "Kantbjelke rim": 20, "Vekselbjelke beam": 6, "Stikkbjelke joist": 11} {
		n := 0
		for g, c := range got {
			if matchName(g, k) {
				n += c
			}
		}
		if n != want {
			t.Errorf("%d of %s, want %d (%v)", n, k, want, got)
		}
	}
	if b.Content.FramedWalls < 20 {
		t.Errorf("%d framed walls", b.Content.FramedWalls)
	}
}

// matchName compares "Name concept" by its first and last word.
func matchName(a, b string) bool {
	var x, y, u, v string
	fmt.Sscan(a, &x)
	fmt.Sscan(b, &y)
	for i := len(a) - 1; i >= 0 && a[i] != ' '; i-- {
		u = a[i:]
	}
	for i := len(b) - 1; i >= 0 && b[i] != ' '; i-- {
		v = b[i:]
	}
	return u == v && (x == y || len(a) > len(y) && containsWord(a, y))
}

func containsWord(s, w string) bool {
	for i := 0; i+len(w) <= len(s); i++ {
		if s[i:i+len(w)] == w {
			return true
		}
	}
	return false
}

func TestRaftersAndPartWalls(t *testing.T) {
	b := recogniseModel(t, sample(t, "fzk-haus-ifc4.ifc"))
	if n := len(b.Of(recognise.Rafter)); n != 42 {
		t.Errorf("%d rafters, want 42", n)
	}
	if n := len(b.Of(recognise.Roof)); n < 2 {
		t.Errorf("%d roofs, want the two slabs", n)
	}
	if len(b.Units) == 1 && math.Abs(b.Units[0].AreaM2-173.342) > 0.001 {
		t.Errorf("floor area %.3f m2, the net areas sum to 173.342", b.Units[0].AreaM2)
	}
	if len(b.Units) != 1 || len(b.Separations) != 0 {
		t.Errorf("%d units, %d separations in a house of one dwelling", len(b.Units), len(b.Separations))
	}
}

func TestElementedWall(t *testing.T) {
	b := recogniseModel(t, sample(t, "wood-framed-wall-elemented.ifc"))
	if b.Content.Studs != 20 || b.Content.FramedWalls == 0 {
		t.Errorf("studs %d, framed walls %d; one member holds many sticks", b.Content.Studs, b.Content.FramedWalls)
	}
}

func TestLayersOfFloorsAndRoofs(t *testing.T) {
	b := recogniseModel(t, sample(t, "us-house-2x-layers.ifc"))
	if n := countParts(b, void.RoleFraming, void.FramingSolid); n != 3 {
		t.Errorf("%d joist layers, want one for each of 3 floors", n)
	}
	if n := countParts(b, void.RoleFraming, void.FramingRafter); n != 10 {
		t.Errorf("%d rafter layers, want one for each of 10 roof slabs", n)
	}
	if a := math.Atan2(b.Turn.Y, b.Turn.X) * 180 / math.Pi; math.Abs(a+1.36) > 0.01 {
		t.Errorf("turn %.3f degrees, want -1.36", a)
	}
}

func TestOtherSamplesDoNotPanic(t *testing.T) {
	for _, n := range []string{"pcert-architecture.ifc", "pcert-structural.ifc", "pcert-hvac.ifc", "gable-wall-to-roof.ifc", "duplex-electrical.ifc", "duplex-design-zones.ifc", "domestic-hot-water.ifc", "four-walls-step.ifczip"} {
		t.Run(n, func(t *testing.T) {
			b := recogniseModel(t, sample(t, n))
			for i, th := range b.Things {
				if th.Element.Index != i || th.Concept == "" {
					t.Fatalf("thing %d is %+v", i, th)
				}
			}
			for _, w := range b.Input.Walls {
				if !(w.Length > 0) || !(w.Z1 > w.Z0) || !(w.Across.Hi > w.Across.Lo) {
					t.Errorf("wall %+v", w)
				}
			}
		})
	}
}

// Shuffled, renumbered instances give the same building, in the same order.
func TestOrderOfInstancesDoesNotMatter(t *testing.T) {
	digest := func(seed int64) (out []string) {
		_, mb := openFixture(t, small(), ifctest.Disguise{Seed: seed, Naming: ifctest.NamesNone})
		b := recogniseModel(t, mb)
		for _, w := range b.Input.Walls {
			out = append(out, fmt.Sprintf("wall %s %.3f %.3f %.3f %.3f %d %d %d", w.Kind, w.Origin, w.Length, w.Z0, w.Z1, w.Separation, w.Storey, len(w.Elements)))
		}
		for _, tr := range b.Trusses {
			out = append(out, fmt.Sprintf("%s %.3f %.3f", tr.Concept, tr.Line, tr.DepthM))
		}
		for _, p := range b.Input.Parts {
			out = append(out, fmt.Sprintf("part %d %.3f", p.Role, p.Mesh.Box()))
		}
		for _, s := range b.Input.Separations {
			out = append(out, fmt.Sprint(s))
		}
		return out
	}
	a, b := digest(1), digest(99)
	if !reflect.DeepEqual(a, b) {
		n := 0
		for i := range a {
			if i < len(b) && a[i] != b[i] && n < 5 {
				t.Errorf("%s\n%s", a[i], b[i])
				n++
			}
		}
		t.Errorf("%d and %d lines", len(a), len(b))
	}
}

func BenchmarkRecognise(b *testing.B) {
	for _, n := range []int{2, 8} {
		b.Run(fmt.Sprintf("units=%d", n), func(b *testing.B) {
			_, mb := openFixture(b, ifctest.Row(n), ifctest.Disguise{})
			for _, e := range mb.Elements {
				e.Body()
			}
			b.ReportAllocs()
			for b.Loop() {
				recogniseModel(b, mb)
			}
		})
	}
}
