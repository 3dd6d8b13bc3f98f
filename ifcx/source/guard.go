package source

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"runtime/debug"
	"sync"
	"unsafe"
)

// ErrGone is the error for a file that was cut off, went away or was written to while it was read.
var ErrGone = errors.New("the file was cut off, went away or was written to while it was read; wait until it is written, or copy it to a local disk, and start again")

// mapping is a file that Look mapped, as it was then. It stays open, since another file may be
// put in its place, which changes nothing here.
type mapping struct {
	file *os.File
	data []byte
	then fs.FileInfo
}

// changed reports whether the file is no longer what was mapped.
func (m *mapping) changed() bool {
	now, err := m.file.Stat()
	return err != nil || now.Size() != m.then.Size() || !now.ModTime().Equal(m.then.ModTime())
}

func (m *mapping) holds(address uintptr) bool {
	from := uintptr(unsafe.Pointer(&m.data[0]))
	return from <= address && address-from < uintptr(len(m.data))
}

// looked are the files that are mapped, which they stay.
var looked struct {
	sync.Mutex
	list []*mapping
}

func remember(f *os.File, data []byte, info fs.FileInfo) {
	looked.Lock()
	defer looked.Unlock()
	looked.list = append(looked.list, &mapping{f, data, info})
}

// Guard calls f, which may read the data of files that Look gave, and returns an error that
// names the file and is ErrGone when that was cut off or written to meanwhile. Without it the
// program would end, or go on with text of two versions of a file. Goroutines that f starts
// need a Guard of their own: see Group.
func Guard(f func() error) (err error) {
	before := debug.SetPanicOnFault(true)
	defer func() {
		debug.SetPanicOnFault(before)
		if x := recover(); x != nil {
			if err = gone(x); err == nil {
				panic(x)
			}
		}
	}()
	return f()
}

// Looking is Guard around all that is done with files that Look gives: they are forgotten at
// its end. It is for one goroutine at a time.
func Looking(f func() error) error {
	defer func() {
		looked.Lock()
		defer looked.Unlock()
		for _, m := range looked.list {
			m.file.Close()
		}
		looked.list = nil
	}()
	return Guard(f)
}

// gone returns the error for a panic that came of a file that is not what it was; nil for others.
func gone(x any) error {
	if e, ok := x.(error); ok && errors.Is(e, ErrGone) { // of a Group
		return e
	}
	looked.Lock()
	defer looked.Unlock()
	fault, isFault := x.(interface{ Addr() uintptr })
	for _, m := range looked.list {
		if isFault && m.holds(fault.Addr()) || !isFault && m.changed() {
			return m.gone()
		}
	}
	return nil
}

func (m *mapping) gone() error { return fmt.Errorf("%s: %w", m.file.Name(), ErrGone) }

// Unchanged returns an error that is ErrGone for the first file that was written to since Look mapped
// it: what was read of it may then be of two versions.
func Unchanged() error {
	looked.Lock()
	defer looked.Unlock()
	for _, m := range looked.list {
		if m.changed() {
			return m.gone()
		}
	}
	return nil
}

// Group runs functions that may read the data of files in goroutines of their own, each under
// Guard. The zero Group is ready to use. Every package that reads models starts goroutines with it.
type Group struct {
	wg   sync.WaitGroup
	once sync.Once
	err  error
}

// Go calls f in a goroutine.
func (g *Group) Go(f func()) {
	g.wg.Go(func() {
		if err := Guard(func() error { f(); return nil }); err != nil {
			g.once.Do(func() { g.err = err })
		}
	})
}

// Wait waits for all functions. Where a file turned out to be gone it panics with that error,
// for the Guard around it; other panics end the program, as they do in any goroutine.
func (g *Group) Wait() {
	g.wg.Wait()
	if g.err != nil {
		panic(g.err)
	}
}
