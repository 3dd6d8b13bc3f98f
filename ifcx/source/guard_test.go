package source

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// sum reads every page.
func sum(d []byte) int {
	n := 0
	for _, c := range d {
		n += int(c)
	}
	return n
}

func spacious(t *testing.T) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "m.ifc")
	if err := os.WriteFile(name, []byte(stepText+strings.Repeat(" ", 1<<20)), 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

// A file that is cut off behind our back ends the reading and not the program.
func TestCutOffWhileLookedAt(t *testing.T) {
	name := spacious(t)
	files, err := Look(name)
	if err != nil {
		t.Fatal(err)
	}
	d := files[0].Data
	whole := sum(d)
	if err := Unchanged(); err != nil {
		t.Errorf("got %v before anything changed", err)
	}
	if err := os.Truncate(name, 0); err != nil {
		t.Fatal(err)
	}
	defer Looking(func() error { return nil })
	for what, f := range map[string]func() error{
		"here": func() error {
			if sum(d) != whole {
				t.Error("something else was read")
			}
			return nil
		},
		"in a group": func() error {
			var g Group
			got := make([]int, 3)
			for i := range got {
				g.Go(func() { got[i] = sum(d) })
			}
			g.Wait()
			if got[2] != whole {
				t.Error("something else was read")
			}
			return nil
		},
		"other fault": func() error { // the table of what lies where no longer fits
			if files[0].mapped {
				return errors.New(string(d[:0][len(name)]))
			}
			return nil
		},
	} {
		err := Guard(f)
		// Where files are read and not mapped, all is there.
		if files[0].mapped && (!errors.Is(err, ErrGone) || !strings.HasPrefix(err.Error(), name+": ")) || !files[0].mapped && err != nil {
			t.Errorf("%s: got %v", what, err)
		}
	}
	if err := Unchanged(); files[0].mapped && !errors.Is(err, ErrGone) {
		t.Errorf("unchanged: got %v", err)
	}
}

// A file that is written to keeps its size and still is another; one that another is put in
// the place of is not touched.
func TestWrittenToWhileLookedAt(t *testing.T) {
	defer Looking(func() error { return nil })
	name := spacious(t)
	files, err := Look(name)
	if err != nil {
		t.Fatal(err)
	}
	if !files[0].mapped {
		t.Skip("files are not mapped here")
	}
	other := spacious(t)
	if err := os.Rename(other, name); err != nil {
		t.Fatal(err)
	}
	if err := Unchanged(); err != nil {
		t.Errorf("put in its place: got %v", err)
	}
	_ = Looking(func() error { return nil }) // which forgets
	if _, err := Look(name); err != nil {
		t.Fatal(err)
	}
	f, err := os.OpenFile(name, os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.WriteAt([]byte("x"), 99); err != nil {
		t.Fatal(err)
	}
	f.Close()
	later := time.Now().Add(time.Second) // clocks of file systems are coarse
	if err := os.Chtimes(name, later, later); err != nil {
		t.Fatal(err)
	}
	if err := Unchanged(); !errors.Is(err, ErrGone) {
		t.Errorf("written to: got %v", err)
	}
}

// What was loaded stays as it was.
func TestCutOffAfterLoading(t *testing.T) {
	name := spacious(t)
	files, err := Load(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(name, 0); err != nil {
		t.Fatal(err)
	}
	if want := sum([]byte(stepText + strings.Repeat(" ", 1<<20))); sum(files[0].Data) != want {
		t.Error("the bytes changed")
	}
}

func TestGuardPassesOn(t *testing.T) {
	if Guard(func() error { return os.ErrClosed }) != os.ErrClosed {
		t.Error("an error of the guarded function must come back")
	}
	defer func() {
		if recover() != "else" {
			t.Error("other panics must go on")
		}
	}()
	_ = Guard(func() error { panic("else") })
}
