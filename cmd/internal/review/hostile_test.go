//go:build unix

package review

import (
	"context"
	"os"
	"path/filepath"
	"runtime/metrics"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"voidcheck/checks/finding"
	"voidcheck/ifcx/ifctest/hostile"
)

// What one hostile file may take. Most take a hundredth of it.
const (
	hostileTime   = 20 * time.Second // of the processor: other work on the machine does not count
	hostileMemory = 1 << 30          // bytes of heap at any time
)

// Every hostile file comes to what the table of the documentation says, in bounded time and
// memory, through the whole pipeline.
func TestHostileFiles(t *testing.T) {
	dir := t.TempDir()
	for _, f := range hostile.Files() {
		t.Run(f.Name, func(t *testing.T) {
			name := filepath.Join(dir, f.Name)
			if err := os.WriteFile(name, f.Data(), 0o644); err != nil {
				t.Fatal(err)
			}
			peak := watchHeap(t)
			begin := spent(t)
			r, err := Run(context.Background(), Options{Models: []string{name}, Now: noon})
			if took := spent(t) - begin; took > hostileTime {
				t.Errorf("it took %v", took)
			}
			if m := peak(); m > hostileMemory {
				t.Errorf("it took %d MB", m>>20)
			}
			switch {
			case f.Gives == hostile.Refused:
				if err == nil || !strings.Contains(err.Error(), f.Says) || !strings.HasPrefix(err.Error(), name) {
					t.Errorf("error %v, want one that names the file and says %q", err, f.Says)
				}
			case err != nil:
				t.Errorf("refused: %v", err)
			case f.Gives == hostile.Read && len(r.Report.Problems) > 0:
				t.Errorf("problems %v, want none", r.Report.Problems)
			case f.Gives == hostile.Named && !slices.ContainsFunc(r.Report.Problems, func(p finding.Problem) bool { return p.Code == f.Says }):
				t.Errorf("problems %v, want one of code %q", r.Report.Problems, f.Says)
			}
			if err == nil && len(r.Report.MissingChecks) > 0 {
				t.Errorf("checks broke: %v", r.Report.MissingChecks)
			}
		})
	}
}

// spent is the processor time that the process took so far.
func spent(t *testing.T) time.Duration {
	t.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// watchHeap returns a function that ends the watch and tells the greatest growth of the heap.
func watchHeap(t *testing.T) func() uint64 {
	t.Helper()
	sample := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	heap := func() uint64 { metrics.Read(sample); return sample[0].Value.Uint64() }
	begin, peak := heap(), uint64(0)
	stop, done := make(chan bool), make(chan bool)
	go func() {
		defer close(done)
		for {
			peak = max(peak, heap())
			select {
			case <-stop:
				return
			case <-time.After(2 * time.Millisecond):
			}
		}
	}()
	return func() uint64 {
		close(stop)
		<-done
		return peak - min(peak, begin)
	}
}
