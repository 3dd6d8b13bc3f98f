package recognise

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// parallel runs f over stretches of 0..n-1 on all cores; results must go to places of their own.
func parallel(n int, f func(from, to int)) {
	const stretch = 256
	each((n+stretch-1)/stretch, func(k int) { f(k*stretch, min((k+1)*stretch, n)) })
}

// sideBySide runs steps that have nothing to do with each other.
func sideBySide(steps ...func()) {
	each(len(steps), func(k int) { steps[k]() })
}

// each runs f for 0..n-1 on all cores.
func each(n int, f func(int)) {
	workers := min(runtime.GOMAXPROCS(0), n)
	if workers <= 1 {
		for k := range n {
			f(k)
		}
		return
	}
	var next atomic.Int64
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for k := int(next.Add(1)) - 1; k < n; k = int(next.Add(1)) - 1 {
				f(k)
			}
		})
	}
	wg.Wait()
}

// sortStable sorts by merging, both halves at once where that is worth it; what is equal
// keeps its order.
func sortStable[T any](s []T, before func(a, b *T) bool) {
	mergeSort(s, make([]T, len(s)), before)
}

// mergeSort leaves the result in s; room is as long.
func mergeSort[T any](s, room []T, before func(a, b *T) bool) {
	const few, many = 12, 4096
	if len(s) <= few {
		for i := 1; i < len(s); i++ {
			for j := i; j > 0 && before(&s[j], &s[j-1]); j-- {
				s[j], s[j-1] = s[j-1], s[j]
			}
		}
		return
	}
	half := len(s) / 2
	lower := func() { mergeSort(s[:half], room[:half], before) }
	upper := func() { mergeSort(s[half:], room[half:], before) }
	if len(s) > many {
		sideBySide(lower, upper)
	} else {
		lower()
		upper()
	}
	if !before(&s[half], &s[half-1]) {
		return
	}
	copy(room, s)
	i, j := 0, half
	for k := range s {
		if j == len(s) || i < half && !before(&room[j], &room[i]) {
			s[k] = room[i]
			i++
		} else {
			s[k] = room[j]
			j++
		}
	}
}
