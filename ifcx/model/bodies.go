package model

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/source"
)

// Bodies computes the geometry of every element, space and spatial zone with up to
// workers goroutines (0: one per processor), so that later calls of Body return at once and
// every layer set is settled. It then warns when files turn out to lie apart. It returns the
// context's error when that ends first.
func (b *Building) Bodies(ctx context.Context, workers int) error {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	var jobs []func()
	for _, e := range b.Elements {
		jobs = append(jobs, func() { e.Body() })
	}
	for _, s := range b.Spaces {
		jobs = append(jobs, func() { s.Body() })
	}
	for _, z := range b.Zones {
		if z.Body != nil {
			jobs = append(jobs, func() { z.Body() })
		}
	}
	var next atomic.Int64
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= len(jobs) {
					return
				}
				jobs[i]()
			}
		})
	}
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return err
	}
	b.compareBodies()
	return nil
}

// compareBodies warns about files whose geometry does not overlap with the first file's,
// unless their placements said so already.
func (b *Building) compareBodies() {
	boxes := map[*File]geom.Box{}
	for _, e := range b.Elements {
		body := e.Body()
		if body == nil || body.Box.IsEmpty() {
			continue
		}
		box, ok := boxes[e.File]
		if !ok {
			box = geom.EmptyBox()
		}
		boxes[e.File] = box.Join(body.Box)
	}
	told := map[string]bool{}
	for _, p := range b.Log.All() {
		if p.Code == "files-apart" {
			told[p.File] = true
		}
	}
	var first *File
	for _, f := range b.Files {
		box, ok := boxes[f]
		switch {
		case !ok:
		case first == nil:
			first = f
		case !told[f.Name]:
			if far, gap := apart(boxes[first], box); far {
				b.Log.Add(source.Problem{File: f.Name, Code: "files-apart",
					Text: "does not overlap with " + first.Name + " (it lies " + metres(gap) + " away)", Fix: "export all files with the same origin"})
			}
		}
	}
}
