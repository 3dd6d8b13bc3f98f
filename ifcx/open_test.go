package ifcx_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"voidcheck/ifcx"
)

func TestOpenReportsEveryBadFile(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{"empty.ifc": "", "picture.ifc": "\x89PNG....", "notes.txt": "hello"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	paths := []string{filepath.Join(dir, "empty.ifc"), filepath.Join(dir, "missing.ifc"), filepath.Join(dir, "picture.ifc"), dir}
	b, err := ifcx.Open(context.Background(), paths, ifcx.Options{})
	if b != nil || err == nil {
		t.Fatal("want an error")
	}
	for _, want := range []string{"empty.ifc: the file is empty", "missing.ifc: there is no such file", "picture.ifc: not a building model", "is a folder"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("the error must say %q:\n%v", want, err)
		}
	}
	if _, err := ifcx.Open(context.Background(), nil, ifcx.Options{}); err == nil {
		t.Error("no file: want an error")
	}
}

func TestOpenProgressAndCancel(t *testing.T) {
	path := shared(t, "models/pcert-hvac.ifc")
	var mu sync.Mutex
	stages := map[string]int{}
	opt := ifcx.Options{Progress: func(p ifcx.Progress) { mu.Lock(); stages[p.Stage]++; mu.Unlock() }}
	if _, err := ifcx.Open(context.Background(), []string{path}, opt); err != nil {
		t.Fatal(err)
	}
	if stages["load"] != 1 || stages["read"] != 1 || stages["build"] != 2 {
		t.Errorf("progress %v", stages)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := ifcx.Open(ctx, []string{path}, ifcx.Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("want the context's error, got %v", err)
	}
	if _, err := ifcx.Open(context.Background(), []string{path, path}, ifcx.Options{}); err == nil || !strings.Contains(err.Error(), "named twice") {
		t.Errorf("one file twice: %v", err)
	}
}

// Broken and hostile inputs give a building or an error, never a panic, and what they lose
// is in the log.
func TestMalformed(t *testing.T) {
	dir := shared(t, "malformed")
	files, err := filepath.Glob(filepath.Join(dir, "*.ifc*"))
	if err != nil || len(files) == 0 {
		t.Fatal("no malformed samples", err)
	}
	for _, f := range files {
		b, err := ifcx.Open(context.Background(), []string{f}, ifcx.Options{})
		if err != nil {
			if !strings.Contains(err.Error(), filepath.Base(f)) {
				t.Errorf("the error does not name the file: %v", err)
			}
			continue
		}
		if err := b.Bodies(context.Background(), 0); err != nil {
			t.Errorf("%s: %v", f, err)
		}
		for _, e := range b.Elements {
			e.Props()
		}
		if strings.Contains(f, "solidus-escape") {
			if l := b.Log.All(); len(l) != 0 {
				t.Errorf("%s is legal, but: %v", filepath.Base(f), l)
			}
		}
	}
}
