package spread

import (
	"fmt"
	"math/rand"
	"testing"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Against looking at every pair of units, whether anything lies between them or not.
func TestCrossingsAgainstEveryPair(t *testing.T) {
	r := rand.New(rand.NewSource(5))
	told := 0
	for n := range 2000 {
		b := &building{}
		units := 3 + r.Intn(6)
		for range 4 + r.Intn(14) {
			kind, storey := []void.Kind{void.KindFloor, void.KindAttic, void.KindWall}[r.Intn(3)], r.Intn(2)
			var us []int
			for range r.Intn(4) {
				us = append(us, r.Intn(units))
			}
			c := b.comp(kind, storey, 50, distinct(us)...)
			if u := r.Intn(units - 1); len(c.Units) > 0 && r.Intn(3) == 0 {
				c.Stacked = [][2]int{{u, u + 1}}
			}
		}
		cs := b.r.Compartments
		for range r.Intn(16) {
			if x, y := cs[r.Intn(len(cs))], cs[r.Intn(len(cs))]; x != y {
				b.open(x, y, 1, float64(1+r.Intn(3)), geom.Vec3{X: r.Float64()})
			}
		}
		var adjacent []Pair
		shares := map[Pair]bool{}
		for u := range units {
			if v := u + 1; v < units && r.Intn(3) > 0 {
				adjacent = append(adjacent, Pair{v, u})
				shares[Pair{u, v}] = true
			}
		}
		g := New(&b.r, 0)
		near := g.neighbourhoods()
		var want []*Crossing
		j := newJoins()
		for _, sharing := range []bool{true, false} {
			for u := range units {
				for v := u + 1; v < units; v++ {
					if p := (Pair{u, v}); shares[p] == sharing {
						for _, c := range g.crossings(p, near.of(p)) {
							if j.join(c.Class, p) || sharing {
								want = append(want, c)
							}
						}
					}
				}
			}
		}
		words := func(list []*Crossing) string {
			says := map[string]bool{}
			for _, c := range list {
				s := fmt.Sprint(c.Pair, c.Class)
				for _, x := range c.Compartments {
					s += fmt.Sprint(" ", x.Index)
				}
				for _, o := range c.Openings {
					s += fmt.Sprint(" o", o.Index)
				}
				says[s] = true
			}
			return fmt.Sprint(says)
		}
		got := g.Crossings(adjacent)
		if words(got) != words(want) {
			t.Fatalf("%d: %s, every pair gives %s", n, words(got), words(want))
		}
		told += len(got)
	}
	if told < 2000 {
		t.Errorf("only %d ways in all", told)
	}
}
