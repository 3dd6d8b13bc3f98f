package spread

import (
	"testing"

	"pgregory.net/rapid"

	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// drawn is a random small building: floor voids of up to three units, wall cavities, and
// openings of whole centimetres between any of them, parallel ones included.
func drawn(t *rapid.T) *building {
	b := &building{}
	n := rapid.IntRange(1, 7).Draw(t, "compartments")
	for i := 0; i < n; i++ {
		if rapid.Bool().Draw(t, "cavity") {
			b.comp(void.KindWall, 0, 1, 0, 1)
			continue
		}
		b.comp(void.KindFloor, rapid.IntRange(0, 1).Draw(t, "storey"), 10, rapid.IntRange(0, 2).Draw(t, "unit"))
	}
	for i := rapid.IntRange(0, 10).Draw(t, "openings"); i > 0; i-- {
		a, c := rapid.IntRange(0, n-1).Draw(t, "a"), rapid.IntRange(0, n-1).Draw(t, "b")
		w := float64(rapid.IntRange(1, 4).Draw(t, "cm")) / 100
		at := geom.Vec3{X: float64(rapid.IntRange(0, 5).Draw(t, "x")), Y: float64(rapid.IntRange(0, 5).Draw(t, "y"))}
		b.open(b.r.Compartments[a], b.r.Compartments[c], w, 1, at)
	}
	return b
}

// pieces counts the parts of a graph by flooding it plainly.
func pieces(n int, os []*void.Opening, without *void.Opening, gone *void.Compartment) int {
	root := make([]int, n)
	for i := range root {
		root[i] = i
	}
	var find func(int) int
	find = func(i int) int {
		if root[i] != i {
			return find(root[i])
		}
		return i
	}
	for _, o := range os {
		if o != without && o.A != gone && o.B != gone {
			root[find(o.A.Index)] = find(o.B.Index)
		}
	}
	c := 0
	for i := range root {
		if root[i] == i && (gone == nil || i != gone.Index) {
			c++
		}
	}
	return c
}

func TestBridgesAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawn(t)
		g := New(&b.r, halfInch)
		n := len(g.Compartments)
		whole := pieces(n, g.Openings, nil, nil)
		found := map[*void.Opening]bool{}
		for _, o := range g.Bridges() {
			found[o] = true
		}
		for _, o := range g.Openings {
			if want := pieces(n, g.Openings, o, nil) > whole; found[o] != want {
				t.Fatalf("opening %d: bridge %v, want %v", o.Index, found[o], want)
			}
		}
		cut := map[*void.Compartment]bool{}
		for _, c := range g.Articulation() {
			cut[c] = true
		}
		for _, c := range g.Compartments {
			// Taking out a lone node leaves one piece fewer; a cut node leaves more.
			if want := pieces(n, g.Openings, nil, c) > whole; cut[c] != want {
				t.Fatalf("compartment %d: articulation %v, want %v", c.Index, cut[c], want)
			}
		}
	})
}

// ways enumerates every simple way from a to b; the graphs are small.
func ways(g *Graph, a, b int, seen []bool, path []int, visit func([]int)) {
	if a == b {
		visit(path)
		return
	}
	seen[a] = true
	for _, e := range g.adj[a] {
		if !seen[e.to] {
			ways(g, e.to, b, seen, append(append([]int(nil), path...), e.id), visit)
		}
	}
	seen[a] = false
}

func TestRouteAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawn(t)
		g := New(&b.r, halfInch)
		from := rapid.IntRange(0, len(g.adj)-1).Draw(t, "from")
		to := rapid.IntRange(0, len(g.adj)-1).Draw(t, "to")
		type score struct {
			hops, mm int
			length   float64
		}
		var best *score
		ways(g, from, to, make([]bool, len(g.adj)), nil, func(path []int) {
			s := score{hops: len(path), mm: 1e6}
			for i, id := range path {
				s.mm = min(s.mm, sizeMM(g.Openings[id]))
				if i > 0 {
					s.length += g.Openings[id].Point.Sub(g.Openings[path[i-1]].Point).Len()
				}
			}
			if best == nil || s.hops < best.hops || s.hops == best.hops && (s.mm > best.mm || s.mm == best.mm && s.length < best.length) {
				best = &s
			}
		})
		r := g.Route([]*void.Compartment{g.Compartments[from]}, []*void.Compartment{g.Compartments[to]}, nil)
		if (r == nil) != (best == nil) {
			t.Fatalf("route %v, brute force %v", r, best)
		}
		if r == nil {
			return
		}
		got := score{hops: len(r.Openings), mm: 1e6}
		for i, o := range r.Openings {
			got.mm = min(got.mm, sizeMM(o))
			if i > 0 {
				got.length += o.Point.Sub(r.Openings[i-1].Point).Len()
			}
			x, y := r.Compartments[i], r.Compartments[i+1]
			if !(o.A == x && o.B == y || o.A == y && o.B == x) {
				t.Fatalf("opening %d does not join step %d of the route", o.Index, i)
			}
		}
		if got.hops != best.hops || got.mm != best.mm || got.length > best.length+1e-6 {
			t.Fatalf("route %+v, brute force %+v", got, *best)
		}
	})
}

// Closing an opening never opens a way; adding one never parts anything.
func TestClosingNeverJoins(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawn(t)
		if len(b.r.Openings) == 0 {
			return
		}
		before := joinedPairs(New(&b.r, halfInch))
		i := rapid.IntRange(0, len(b.r.Openings)-1).Draw(t, "closed")
		b.r.Openings = append(b.r.Openings[:i:i], b.r.Openings[i+1:]...)
		for p := range joinedPairs(New(&b.r, halfInch)) {
			if !before[p] {
				t.Fatalf("closing an opening joined %v", p)
			}
		}
	})
}

// joinedPairs are the pairs reported straight or by way of others.
func joinedPairs(g *Graph) map[Pair]bool {
	r := map[Pair]bool{}
	for _, c := range g.Compartments {
		us := g.UnitsReached(c)
		for i, u := range us {
			for _, v := range us[i+1:] {
				if len(Units(c)) > 0 {
					r[Pair{u, v}] = true
				}
			}
		}
	}
	return r
}

// Every pair of units in one group is joined by reported crossings, straight or in a chain.
func TestCrossingsExplainEveryGroup(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawn(t)
		g := New(&b.r, halfInch)
		root := []int{0, 1, 2}
		find := func(u int) int {
			for root[u] != u {
				u = root[u]
			}
			return u
		}
		for _, c := range g.Crossings(nil) {
			root[find(c.Pair.A)] = find(c.Pair.B)
		}
		for p := range joinedPairs(g) {
			if find(p.A) != find(p.B) {
				t.Fatalf("units %v are joined, but no chain of crossings says so", p)
			}
		}
	})
}
