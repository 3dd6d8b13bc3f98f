package source

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A file that is cut off behind our back ends the reading and not the program.
func TestCutOffWhileRead(t *testing.T) {
	name := filepath.Join(t.TempDir(), "m.ifc")
	if err := os.WriteFile(name, []byte("ISO-10303-21;"+strings.Repeat(" ", 1<<20)), 0o600); err != nil {
		t.Fatal(err)
	}
	files, err := Load(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(name, 0); err != nil {
		t.Fatal(err)
	}
	sum := 0
	err = Guard(func() error {
		for _, c := range files[0].Data {
			sum += int(c)
		}
		return nil
	})
	if err == nil && sum < 1<<20 || err != nil && !errors.Is(err, ErrGone) { // where files are read and not mapped, all is there
		t.Errorf("got %v and the sum %d", err, sum)
	}
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
