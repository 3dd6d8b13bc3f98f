package model

import (
	"runtime"
	"sync/atomic"

	"voidcheck/ifcx/source"
)

// stretches has workers (0: one per processor) take stretches of 0..n-1 until none is left.
// Each worker calls start once, which returns what it does with a stretch.
func stretches(n, workers int, start func() func(from, to int)) {
	const stretch = 256
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	if workers = min(workers, (n+stretch-1)/stretch); workers <= 1 {
		start()(0, n)
		return
	}
	var next atomic.Int64
	var all source.Group
	for range workers {
		all.Go(func() {
			do := start()
			for {
				from := (int(next.Add(1)) - 1) * stretch
				if from >= n {
					return
				}
				do(from, min(from+stretch, n))
			}
		})
	}
	all.Wait()
}
