package void

import (
	"runtime"
	"sync"
)

// pieces is how many pieces work is cut into that several cores can share. What comes of a
// piece depends on none of the others, so that results are the same for any number.
var pieces = runtime.GOMAXPROCS(0)

// inPieces calls f for consecutive pieces of 0 to n at the same time, and waits for all.
func inPieces(n int, f func(piece, from, to int)) {
	var wg sync.WaitGroup
	for k := range pieces {
		if from, to := k*n/pieces, (k+1)*n/pieces; from < to {
			wg.Go(func() { f(k, from, to) })
		}
	}
	wg.Wait()
}
