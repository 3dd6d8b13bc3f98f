package source

import (
	"errors"
	"runtime/debug"
)

// ErrGone is the error for a file that was cut off or went away while it was read.
var ErrGone = errors.New("the file was cut off or went away while it was read; wait until it is written, or copy it to a local disk, and start again")

// Guard calls f, which may read the data of files, and returns ErrGone when their pages turn
// out to be no longer there, where the program would otherwise end.
func Guard(f func() error) (err error) {
	before := debug.SetPanicOnFault(true)
	defer func() {
		debug.SetPanicOnFault(before)
		if x := recover(); x != nil {
			if _, fault := x.(interface{ Addr() uintptr }); !fault {
				panic(x)
			}
			err = ErrGone
		}
	}()
	return f()
}
