package source

import (
	"os"
	"syscall"
)

// drop gives back the memory of the pages of a mapping that lie wholly in d[from:to].
func drop(d []byte, from, to int) {
	page := os.Getpagesize()
	from = (from + page - 1) / page * page
	if to = to / page * page; from < to {
		_ = syscall.Madvise(d[from:to], syscall.MADV_DONTNEED) // where it fails, the pages stay
	}
}
