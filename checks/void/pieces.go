package void

import "sync"

// inPieces calls f for consecutive pieces of 0 to n, as many as there are cores, at the same
// time, and waits for all; a piece may be empty. What comes of a piece depends on none of the
// others, so that results are the same for any number.
func inPieces(cores, n int, f func(piece, from, to int)) {
	if cores == 1 {
		f(0, 0, n)
		return
	}
	var wg sync.WaitGroup
	for k := range cores {
		wg.Go(func() { f(k, k*n/cores, (k+1)*n/cores) })
	}
	wg.Wait()
}
