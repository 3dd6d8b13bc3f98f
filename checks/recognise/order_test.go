package recognise

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Sorting keeps the order of what is equal, as the standard library's stable sort does.
func TestSortStable(t *testing.T) {
	type item struct{ key, at int }
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 60).Draw(t, "n")
		if rapid.IntRange(0, 20).Draw(t, "many") == 0 {
			n = 10_000
		}
		keys := rapid.IntRange(1, 30).Draw(t, "keys")
		seed := rapid.Uint32().Draw(t, "seed")
		got := make([]item, n)
		for i := range got {
			seed = seed*1664525 + 1013904223
			got[i] = item{int(seed>>8) % keys, i}
		}
		want := slices.Clone(got)
		slices.SortStableFunc(want, func(a, b item) int { return a.key - b.key })
		sortStable(got, func(a, b *item) bool { return a.key < b.key })
		if !slices.Equal(got, want) {
			t.Fatalf("sorted %v, want %v", got, want)
		}
	})
}

func TestParallel(t *testing.T) {
	for _, n := range []int{0, 1, 255, 256, 257, 5000} {
		seen := make([]int, n)
		parallel(n, func(from, to int) {
			for i := from; i < to; i++ {
				seen[i]++
			}
		})
		if slices.ContainsFunc(seen, func(k int) bool { return k != 1 }) {
			t.Errorf("%d: not every index once", n)
		}
	}
}
