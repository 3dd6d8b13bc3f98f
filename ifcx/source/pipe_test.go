//go:build unix

package source

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

func fifo(t *testing.T) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "pipe")
	if err := syscall.Mkfifo(name, 0o600); err != nil {
		t.Skip(err)
	}
	return name
}

// A pipe gives a model like a file; one that gives nothing or no end does not hold the program.
func TestPipe(t *testing.T) {
	write := func(name, text string, wait time.Duration) {
		time.Sleep(wait)
		f, err := os.OpenFile(name, os.O_WRONLY, 0)
		if err != nil {
			return
		}
		for strings.HasPrefix(text, "endless") {
			if _, err := f.WriteString(text); err != nil {
				break
			}
		}
		_, _ = f.WriteString(text)
		f.Close()
	}
	name := fifo(t)
	go write(name, stepText+strings.Repeat(" ", 1<<20), 100*time.Millisecond)
	files, err := Load(name)
	if err != nil || len(files) != 1 || len(files[0].Data) != len(stepText)+1<<20 || files[0].Kind != STEP {
		t.Errorf("got %v, %v", files, err)
	}
	begun := time.Now()
	if _, err := Load(name); err == nil || !strings.Contains(err.Error(), "nothing comes through this pipe") {
		t.Errorf("nobody writes: got %v", err)
	}
	go write(name, "endless nonsense\n", 0)
	if _, err := Look(name); err == nil || !strings.Contains(err.Error(), "not a building model") {
		t.Errorf("endless: got %v", err)
	}
	if took := time.Since(begun); took > 20*time.Second {
		t.Errorf("took %v", took)
	}
}
