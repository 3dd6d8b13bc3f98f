//go:build unix

package source

import (
	"io/fs"
	"os"
	"syscall"
)

// noWait opens a named pipe that nobody writes to at once; files do not care.
const noWait = syscall.O_NONBLOCK

// mapped maps a file into memory: nothing is copied, and memory that is short takes its pages
// back. It returns nil when that cannot be. The mapping stays for as long as the
// process lives, because text of the file is handed out without copying.
//
// A file that is cut off while it is mapped gives a fault on reading; see Guard.
func mapped(f *os.File, info fs.FileInfo) []byte {
	size := info.Size()
	if size <= 0 || size > maxFile || int64(int(size)) != size {
		return nil
	}
	d, err := syscall.Mmap(int(f.Fd()), 0, int(size), syscall.PROT_READ, syscall.MAP_PRIVATE)
	if err != nil {
		return nil
	}
	remember(f, d, info)
	return d
}
