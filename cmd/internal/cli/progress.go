package cli

import (
	"io"
	"os"
	"sync/atomic"

	"github.com/vbauerster/mpb/v8"
	"github.com/vbauerster/mpb/v8/decor"
	"golang.org/x/term"
)

// bar is a progress bar on standard error; nothing when that is no terminal.
type bar struct {
	p    *mpb.Progress
	b    *mpb.Bar
	name atomic.Value // string; drawn from a goroutine of the bar's own
}

// progress starts a bar over the steps of a run.
func (a *app) progress(quiet bool) *bar {
	b := &bar{}
	if quiet || !terminal(a.stderr) {
		return b
	}
	b.p = mpb.New(mpb.WithOutput(a.stderr), mpb.WithWidth(40))
	return b
}

func terminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// step moves the bar.
func (b *bar) step(name string, done, total int) {
	if b.p == nil {
		return
	}
	b.name.Store(name)
	if b.b == nil {
		b.b = b.p.AddBar(int64(total), mpb.BarRemoveOnComplete(),
			mpb.PrependDecorators(decor.Any(func(decor.Statistics) string { return b.name.Load().(string) }, decor.WC{W: 10, C: decor.DindentRight})))
	}
	b.b.SetCurrent(int64(done))
}

// stop takes the bar off the terminal.
func (b *bar) stop() {
	if b.p == nil {
		return
	}
	if b.b != nil {
		b.b.Abort(true)
	}
	b.p.Wait()
}
