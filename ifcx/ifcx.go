// Package ifcx opens building models: it tells what each file is by its content, unpacks
// zips, reads the files in parallel and federates them into one building.
package ifcx

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/ifcjson"
	"voidcheck/ifcx/ifcxml"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/source"
	"voidcheck/ifcx/step"
)

// Options change how Open works; the zero value is ready to use.
type Options struct {
	// Workers is how many files are read at once; 0 means one per processor.
	Workers int
	// Progress is called when a file has been loaded and when it has been read, from several
	// goroutines; nil is allowed.
	Progress func(Progress)
	// Log receives the problems found in the files; nil makes a new one. It is also the
	// building's Log.
	Log *source.Log

	outline bool
}

// Progress is a step of opening files.
type Progress struct {
	Stage       string // "load", "read" or "build"
	File        string
	Done, Total int // files
}

// graphReaders read one file each into an instance graph, by kind. IFC5 files are not among
// them: several of them are layers of one model and are composed together.
var graphReaders = map[source.Kind]func(*source.File, *source.Log) (*graph.Graph, error){
	source.STEP:   step.Read,
	source.IFCXML: ifcxml.Read,
}

// Open loads, reads and federates model files. The order of paths decides whose coordinates
// are the building's and in what order elements come. When files cannot be used it returns
// one error that names all of them; problems inside files go to the log instead.
func Open(ctx context.Context, paths []string, opt Options) (*model.Building, error) {
	if len(paths) == 0 {
		return nil, errors.New("no model file given")
	}
	if opt.Log == nil {
		opt.Log = &source.Log{}
	}
	o := opener{opt: opt, total: len(paths)}
	files, err := o.load(ctx, paths)
	if err != nil {
		return nil, err
	}
	return OpenFiles(ctx, files, opt)
}

// Outline is Open for a look at what is in the files: the building has its files, storeys,
// spaces and zones, and its elements are counted (model.Building.Groups, ElementsIn) and not
// made. Nothing is placed and no geometry read, so it takes little more than the index. Files
// of a syntax without an index (IFC5) are read as Open does.
//
// The files are looked at where they lie (source.Look): call it, and use the building, under
// source.Looking.
func Outline(ctx context.Context, paths []string, opt Options) (*model.Building, error) {
	opt.outline = true
	return Open(ctx, paths, opt)
}

// OpenFiles is Open for files that are already in memory.
func OpenFiles(ctx context.Context, files []*source.File, opt Options) (*model.Building, error) {
	if len(files) == 0 {
		return nil, errors.New("no model file given")
	}
	if opt.Log == nil {
		opt.Log = &source.Log{}
	}
	o := opener{opt: opt, total: len(files)}
	groups := grouped(files)
	contents := make([][]model.Content, len(groups))
	names := make([]string, len(groups))
	for i, g := range groups {
		names[i] = g[0].Name
	}
	err := o.each(ctx, "read", names, func(i int) (err error) {
		contents[i], err = o.read(groups[i])
		return err
	})
	if err != nil {
		return nil, err
	}
	o.step("build", "", 0)
	b := model.Federate(slices.Concat(contents...), opt.Log)
	o.step("build", "", 1)
	return b, nil
}

// opener carries the options through the stages.
type opener struct {
	opt   Options
	total int
	mu    sync.Mutex
}

func (o *opener) step(stage, file string, done int) {
	if o.opt.Progress != nil {
		o.opt.Progress(Progress{Stage: stage, File: file, Done: done, Total: o.total})
	}
}

// load reads the bytes of every path; a zip gives one file per model in it.
func (o *opener) load(ctx context.Context, paths []string) ([]*source.File, error) {
	loaded := make([][]*source.File, len(paths))
	err := o.each(ctx, "load", paths, func(i int) (err error) {
		if o.opt.outline {
			loaded[i], err = source.Look(paths[i])
		} else {
			loaded[i], err = source.Load(paths[i])
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	var files []*source.File
	named := map[string]bool{}
	for i, l := range loaded {
		if named[paths[i]] {
			return nil, fmt.Errorf("%s: the file is named twice; name each model once", paths[i])
		}
		named[paths[i]] = true
		files = append(files, l...)
	}
	return files, nil
}

// grouped puts all IFC5 files together, at the place of the first, and every other file by
// itself.
func grouped(files []*source.File) [][]*source.File {
	var out [][]*source.File
	ifc5 := -1
	for _, f := range files {
		switch {
		case f.Kind != source.IFC5:
			out = append(out, []*source.File{f})
		case ifc5 < 0:
			ifc5 = len(out)
			out = append(out, []*source.File{f})
		default:
			out[ifc5] = append(out[ifc5], f)
		}
	}
	return out
}

// read turns one file, or the layers of models, into contents that can be federated.
func (o *opener) read(files []*source.File) ([]model.Content, error) {
	f := files[0]
	if f.Kind == source.IFC5 {
		return ifcjson.Read(files, o.opt.Log)
	}
	read := graphReaders[f.Kind]
	if read == nil {
		return nil, fmt.Errorf("%s: %s files cannot be read by this version; export the model as IFC (STEP, .ifc)", f.Name, f.Kind)
	}
	g, err := read(f, o.opt.Log)
	if err != nil {
		return nil, err
	}
	if o.opt.outline {
		return []model.Content{model.OutlineOf(g)}, nil
	}
	return []model.Content{model.FromGraph(g)}, nil
}

// each runs one job for every name on a few goroutines and joins all errors in order.
func (o *opener) each(ctx context.Context, stage string, names []string, job func(int) error) error {
	n := len(names)
	workers := o.opt.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	errs := make([]error, n)
	jobs := make(chan int)
	done := 0
	var wg sync.WaitGroup
	for range min(workers, n) {
		wg.Go(func() {
			for i := range jobs {
				errs[i] = source.Guard(func() error { return job(i) })
				o.mu.Lock()
				done++
				k := done
				o.mu.Unlock()
				o.step(stage, names[i], k)
			}
		})
	}
	for i := range n {
		if ctx.Err() != nil {
			break
		}
		jobs <- i
	}
	close(jobs)
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return err
	}
	return errors.Join(errs...)
}
