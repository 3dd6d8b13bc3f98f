package spread

import (
	"fmt"
	"math/rand"
	"slices"
	"testing"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// The two units of the worked example with a block on either side of their wall: both have to
// be missing. With one bay open the block on the other side alone keeps the units apart.
func TestCutsOfDoubleWall(t *testing.T) {
	b, c, _ := workedExample(true)
	barriers := []Barrier{{c[0], c[2]}, {c[2], c[1]}, {c[3], c[0]}}
	cuts := New(&b.r, halfInch).Cuts(barriers)
	if cuts[0].Size != 2 || !slices.Equal(cuts[0].With, []int{1}) || !slices.Equal(cuts[0].Units, []int{0, 1}) {
		t.Errorf("block of U1: %+v", cuts[0])
	}
	if cuts[1].Size != 2 || !slices.Equal(cuts[1].With, []int{0}) {
		t.Errorf("block of U2: %+v", cuts[1])
	}
	if cuts[2].Size != 0 {
		t.Errorf("plate between two voids of U1: %+v, want nothing", cuts[2])
	}
	b.open(c[0], c[2], 0.5, 0.36, geom.Vec3{})
	g := New(&b.r, halfInch)
	cuts = g.Cuts(barriers)
	if cuts[1].Size != 1 || len(cuts[1].Joined) != 3 {
		t.Errorf("block of U2 with a bay of U1 open: %+v", cuts[1])
	}
	if cuts[0].Size != 0 {
		t.Errorf("other blocks of U1 with one of its bays open: %+v, want nothing: fire is past them", cuts[0])
	}
	if r := g.CutsRepaired(barriers); r[1].Size != 2 || r[0].Size != 2 {
		t.Errorf("once the bay is blocked: %+v, want pairs", r)
	}
}

// Against trying every barrier and every pair: joins of units counted with Groups.
func TestCutsAgainstEveryPair(t *testing.T) {
	r := rand.New(rand.NewSource(3))
	for n := range 300 {
		b := &building{}
		for range 4 + r.Intn(6) {
			switch r.Intn(3) {
			case 0:
				b.comp(void.KindWall, 0, 2, 0, 1) // in no unit
			default:
				b.comp(void.KindFloor, 1, 50, r.Intn(4))
			}
		}
		cs := b.r.Compartments
		pick := func() (*void.Compartment, *void.Compartment) {
			return cs[r.Intn(len(cs))], cs[r.Intn(len(cs))]
		}
		for range r.Intn(4) {
			if x, y := pick(); x != y {
				b.open(x, y, 1, 1, geom.Vec3{})
			}
		}
		var barriers []Barrier
		for range 3 + r.Intn(7) {
			x, y := pick()
			barriers = append(barriers, Barrier{x, y})
		}
		cuts := New(&b.r, 0).Cuts(barriers)
		joins := func(without ...int) string {
			x := building{r: b.r}
			x.r.Openings = slices.Clone(b.r.Openings)
			for _, i := range without {
				if barriers[i].A != barriers[i].B {
					x.open(barriers[i].A, barriers[i].B, 1, 1, geom.Vec3{})
				}
			}
			return fmt.Sprint(super(New(&x.r, 0)))
		}
		asIs := joins()
		for i := range barriers {
			want := 0
			if joins(i) != asIs {
				want = 1
			} else {
				for j := range barriers {
					if j != i && joins(i, j) != asIs && joins(j) == asIs {
						want = 2
					}
				}
			}
			if cuts[i].Size != want {
				t.Fatalf("%d: barrier %d: size %d, trying all gives %d", n, i, cuts[i].Size, want)
			}
		}
	}
}

// super numbers the units by what joins them, over any chain of voids of one unit.
func super(g *Graph) [4]int {
	out := [4]int{0, 1, 2, 3}
	groups := g.Groups()
	for changed := true; changed; {
		changed = false
		for i, a := range g.Compartments {
			for j, b := range g.Compartments {
				if groups[i] != groups[j] {
					continue
				}
				for _, u := range Units(a) {
					for _, v := range Units(b) {
						if m := min(out[u], out[v]); out[u] != m || out[v] != m {
							out[u], out[v], changed = m, m, true
						}
					}
				}
			}
		}
	}
	return out
}
