// Demo writes the demonstration models into testdata/demo, or into the folder given.
package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"voidcheck/ifcx/ifctest"
)

func main() {
	dir := filepath.Join("testdata", "demo")
	if len(os.Args) > 1 {
		dir = os.Args[1]
	} else if root, err := moduleRoot(); err == nil {
		dir = filepath.Join(root, dir)
	}
	if err := write(dir); err != nil {
		fmt.Fprintln(os.Stderr, "demo:", err)
		os.Exit(1)
	}
}

// moduleRoot walks up to go.mod, so that the command works from any folder of the repository.
func moduleRoot() (string, error) {
	dir, err := os.Getwd()
	for err == nil {
		if _, e := os.Stat(filepath.Join(dir, "go.mod")); e == nil {
			return dir, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", os.ErrNotExist
		}
		dir = up
	}
	return "", err
}

func write(dir string) error {
	files, err := ifctest.DemoFiles()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	names := make([]string, 0, len(files))
	for n := range files {
		names = append(names, n)
	}
	slices.Sort(names)
	for _, n := range names {
		if err := os.WriteFile(filepath.Join(dir, n), files[n], 0o644); err != nil {
			return err
		}
		fmt.Printf("%s %d bytes\n", n, len(files[n]))
	}
	return nil
}
